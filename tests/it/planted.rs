//! Planted answers: a corner or gap of known size is drawn, and the verdict must know it.

use crate::sample::cut_out;
use treen::batch::{Examined, examine, specimen};
use treen::feasibility::{Job, Pins, SwapRow};
use treen::finding::{Code, Finding, RemedyKind, Severity};
use treen::intake;
use treen::model::Shop;

const NOTCHED: &str = "title: Notched
outline:
  - rectangle: {center: [0, 0], size: [200, 120]}
  - cut: {rectangle: {center: [60, 40], size: [100, 60]}}
  - fillet: {inside: RADIUS mm}
";

/// A round chamber of radius 34 mm behind a channel whose walls, of radius 60 mm, come within
/// 4 mm of each other; every corner turns away from the cutter. Curvature alone sees nothing.
const CHANNEL: &str = "title: Channel
outline:
  - rectangle: {center: [0, 0], size: [280, 160]}
  - cut: {circle: {center: [0, -28], radius: 34}}
  - cut:
      group:
        - rectangle: {center: [0, 40], size: [44, 100]}
        - cut: {circle: {center: [-62, 40], radius: 60}}
        - cut: {circle: {center: [62, 40], radius: 60}}
";

fn shop(ids: &[(&str, &str)]) -> Shop {
    let mut text = String::from("cutters:\n");
    for (id, diameter) in ids {
        let line = format!("  - {{id: {id}, kind: end mill, diameter: {diameter}}}\n");
        text.push_str(&line);
    }
    intake::shop("shop.yaml", &text).value.expect("a shop")
}

fn look(recipe: &str, shop: &Shop, pin: Option<&str>) -> Examined {
    let checked = intake::recipe("planted.yaml", recipe, "planted", None);
    let recipe = checked.value.unwrap_or_else(|| panic!("{:?}", checked.findings));
    let mut pins = Pins::default();
    if let Some(id) = pin {
        pins.set(cut_out(id));
    }
    examine(&recipe, &specimen(&recipe, Vec::new()), shop, &pins)
}

fn row<'e>(examined: &'e Examined, id: &str) -> &'e SwapRow {
    let (_, report, _) = examined.dish.as_ref().expect("a dish");
    report
        .swap
        .rows
        .iter()
        .find(|row| row.id == id && row.job == Job::Outline)
        .expect("a row")
}

fn tight(examined: &Examined, need: f64) -> Option<&Finding> {
    examined.findings.iter().find(|finding| {
        finding.code == Code::OutlineTooTight
            && finding.need.is_some_and(|n| (n - need).abs() < 1e-9)
    })
}

fn value(finding: &Finding, kind: RemedyKind) -> Option<f64> {
    finding.remedies.iter().find(|remedy| remedy.kind == kind)?.value
}

#[test]
fn a_planted_corner_is_the_reach() {
    let rack = shop(&[("quarter", "1/4 in"), ("eighth", "1/8 in")]);
    for r in [0.8, 1.5, 2.0, 3.0, 3.2, 5.0] {
        let recipe = NOTCHED.replace("RADIUS", &r.to_string());
        let examined = look(&recipe, &rack, None);
        let (_, report, _) = examined.dish.as_ref().expect("a dish");
        let low = report.swap.outside.expect("a corner");
        assert!((low.radius - r).abs() < 0.002, "planted {r}, found {}", low.radius);
        assert!((low.at.x - 10.0).hypot(low.at.y - 10.0) < r, "at {:?}", low.at);
        for (id, c) in [("quarter", 3.175), ("eighth", 1.5875)] {
            assert_eq!(row(&examined, id).follows, c <= r + 0.002, "{id} at {r}");
        }
    }
}

#[test]
fn a_quarter_inch_cutter_in_a_corner_of_two_millimetres() {
    let rack = shop(&[("quarter", "1/4 in")]);
    let examined = look(&NOTCHED.replace("RADIUS", "2"), &rack, None);
    let finding = tight(&examined, 3.175).expect("a finding");
    assert_eq!(finding.severity, Severity::Stop, "nothing else is on the rack");
    assert!(
        (finding.have.expect("a number") - 2.0).abs() < 5e-4,
        "have {:?}",
        finding.have
    );
    let source = finding.source.as_ref().expect("a place");
    assert_eq!(
        (source.file.label.as_str(), source.line),
        ("planted.yaml", 5),
        "the fillet"
    );
    let width = value(finding, RemedyKind::Width).expect("a width");
    assert!((width - 200.0 * 3.175 / 2.0).abs() < 0.05, "scales exactly: {width}");
    let fillet = value(finding, RemedyKind::Fillet).expect("a fillet");
    assert!((fillet - 3.175).abs() < 1e-9, "the fillet that would do: {fillet}");
}

#[test]
fn an_eighth_inch_cutter_beside_it_takes_over() {
    let rack = shop(&[("quarter", "1/4 in"), ("eighth", "1/8 in")]);
    let recipe = NOTCHED.replace("RADIUS", "2");
    let examined = look(&recipe, &rack, None);
    assert!(row(&examined, "eighth").follows, "1/8 in follows");
    let quarter = row(&examined, "quarter");
    assert!(!quarter.follows && !quarter.sandable, "1/4 in does not");
    assert_eq!(quarter.leftovers.len(), 1, "one leftover");
    // a right angle: the disc's centre lies (c - r)(sqrt 2 - 1) farther from the arc
    let depth = (3.175 - 2.0) * (2.0_f64.sqrt() - 1.0);
    assert!((quarter.deepest() - depth).abs() < 1e-4, "depth {}", quarter.deepest());
    let area = (3.175_f64.powi(2) - 4.0) * (1.0 - std::f64::consts::FRAC_PI_4);
    assert!((quarter.area_left() - area).abs() < 1e-3, "area {}", quarter.area_left());
    let finding = tight(&examined, 3.175).expect("a finding");
    assert_eq!(finding.severity, Severity::Note, "the dish can be cut");
    assert_eq!(value(finding, RemedyKind::Cutter), Some(3.175), "by the 1/8 in cutter");
    let pinned = look(&recipe, &rack, Some("quarter"));
    let finding = tight(&pinned, 3.175).expect("a finding");
    assert_eq!(finding.severity, Severity::Stop, "unless the maker insists on 1/4 in");
}

#[test]
fn each_remedy_makes_the_finding_vanish() {
    let rack = shop(&[("quarter", "1/4 in")]);
    for change in [
        ("fillet: {inside: RADIUS mm}", "fillet: {inside: 3.175 mm}"),
        ("fillet: {inside: RADIUS mm}", "fillet: {inside: 2 mm}\n  - scale: 1.5875"),
    ] {
        let examined = look(&NOTCHED.replace(change.0, change.1), &rack, None);
        assert!(row(&examined, "quarter").follows, "{}", change.1);
        let left =
            examined.findings.iter().filter(|f| f.severity == Severity::Stop).count();
        assert_eq!(left, 0, "{}", change.1);
    }
}

#[test]
fn a_gap_between_gentle_walls_stops_the_cutter() {
    let rack = shop(&[("quarter", "1/4 in"), ("eighth", "1/8 in")]);
    let examined = look(CHANNEL, &rack, None);
    let (dish, report, _) = examined.dish.as_ref().expect("a dish");
    let gentlest = dish
        .outline
        .contours()
        .iter()
        .flat_map(treen::curve::Contour::pieces)
        .map(|piece| piece.curve.curvature(0.5).abs())
        .fold(0.0, f64::max);
    assert!(gentlest <= 1.0 / 34.0 + 1e-9, "no curve is tighter than 34 mm: {gentlest}");
    let low = report.swap.outside.expect("a gap");
    assert!((low.radius - 2.0).abs() < 1e-6, "half the gap, found {}", low.radius);
    assert!(
        low.at.x.abs() < 2.0 + 1e-6 && (low.at.y - 40.0).abs() < 1e-3,
        "{:?}",
        low.at
    );
    let quarter = row(&examined, "quarter");
    assert!(!quarter.follows, "the gap is 4 mm wide, the cutter 6.35");
    let gap = quarter.leftovers.iter().any(|l| l.region.bounds().contains((0.0, 40.0)));
    assert!(gap, "wood stays across the gap");
    assert!(row(&examined, "eighth").follows, "3.175 mm passes 4 mm");
    let narrower = CHANNEL.replace("-62,", "-61.5,").replace("[62,", "[61.5,");
    assert!(!row(&look(&narrower, &rack, None), "eighth").follows, "but not 3 mm");
}
