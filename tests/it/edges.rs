//! Rounded edges: where the tip of the bit runs, and what is said where it cannot.

use crate::routes::{Grid, along, each, edge};
use treen::batch::{Examined, examine, specimen};
use treen::feasibility::Pins;
use treen::finding::{Code, Finding, RemedyKind, Severity, Source, SourceFile};
use treen::intake::{demo, recipe, shop};
use treen::model::{Pin, Shop, Work};
use treen::plan::Pace;

/// Of the demo's round-over bit: the radius of its tip and of its round, mm.
const TIP: f64 = 3.175;

fn the_shop(more: &str) -> Shop {
    let text = demo::SHOP.replace("cutters:\n", &format!("cutters:\n{more}"));
    let read = shop("shop.yaml", &text);
    read.value.unwrap_or_else(|| panic!("{:?}", read.findings))
}

/// A dish cut out with one cutter.
fn look(text: &str, shop: &Shop, cut_out: &str) -> Examined {
    let recipe = recipe("test.yaml", text, "test", None);
    let recipe = recipe.value.unwrap_or_else(|| panic!("{:?}", recipe.findings));
    let mut pins = Pins::default();
    let source = Source::whole(&SourceFile::new("--use", cut_out));
    pins.set(Pin { work: Work::CutOut, cutter: cut_out.to_owned(), source });
    examine(&recipe, &specimen(&recipe, Vec::new()), shop, &pins)
}

fn works(examined: &Examined) -> Vec<Work> {
    let (.., plan) = examined.dish.as_ref().expect("drawn");
    plan.operations.iter().map(|op| op.work).collect()
}

fn said(examined: &Examined, code: Code) -> Option<&Finding> {
    examined.findings.iter().find(|finding| finding.code == code)
}

fn near(have: Option<f64>, want: f64) {
    let have = have.expect("a number");
    assert!((have - want).abs() < 2e-3, "{have}, not {want}");
}

/// A tray with a rim, corners and a floor of so many mm, both edges rounded.
fn tray(rim: f64, corners: f64, floor: f64) -> String {
    let (w, h) = (200.0 - 2.0 * rim, 120.0 - 2.0 * rim);
    format!(
        "title: Tray
outline: [{{rectangle: {{size: [200, 120], radius: 30}}}}]
recess: {{shape: {{rectangle: {{size: [{w}, {h}], radius: {corners}}}}}, keep_floor: {floor}}}
edges: {{outer: 1/8 in round-over, recess: 1/8 in round-over}}
"
    )
}

/// The tip, a disc under the round, keeps within the groove: its own radius off the dish, and no
/// farther than leaves it inside of what the cut-out has cleared before, over the whole way and
/// on the way down.
#[test]
fn the_outer_edge_is_rounded_in_the_groove_of_the_cut_out() {
    each(|examined, operation, route, cutter| {
        if operation.work != Work::OuterEdge {
            return;
        }
        let (dish, _, plan) = examined.dish.as_ref().expect("drawn");
        let place = |work| plan.operations.iter().position(|op| op.work == work);
        let (cut, round) = (place(Work::CutOut), place(Work::OuterEdge));
        assert!(cut.is_some() && cut < round, "{}: {cut:?} {round:?}", examined.id);
        let groove = &plan.operations[cut.expect("a cut-out")];
        assert!(groove.depth > operation.depth, "the groove is deeper than the round");
        let tip = cutter.radius_at(0.0);
        let points = edge(&dish.outline, 0.1);
        let grid = Grid::of(&points, 8.0);
        let mut in_wood = 0;
        for passage in route.passages() {
            for at in along(&passage, 0.25) {
                if at.z > 0.0 && passage.step.pace == Pace::Traverse {
                    continue;
                }
                in_wood += 1;
                let far = grid.nearest(at.plan());
                let id = &examined.id;
                assert!(!dish.outline.contains(at.plan()), "{id}: over the dish, {at:?}");
                assert!(far >= tip - 0.003, "{id}: {far} from the dish");
                let most = groove.diameter - tip;
                assert!(far <= most + 0.003, "{id}: {far}, the groove ends at {most}");
            }
        }
        assert!(in_wood > 100, "it goes all round");
    });
}

/// A bit whose tip does not cut is never let straight down into wood.
#[test]
fn no_round_over_bit_plunges() {
    each(|examined, operation, route, _| {
        if matches!(operation.work, Work::OuterEdge | Work::RecessEdge) {
            let lowest = route.passages().filter(|p| p.step.pace == Pace::Plunge);
            let lowest = lowest.map(|p| p.step.to.z).fold(0.0, f64::min);
            assert!(lowest >= 0.0, "{}: down to {lowest}", examined.id);
        }
    });
}

#[test]
fn a_tip_wider_than_the_groove_leaves_the_outer_edge_to_the_hand() {
    let shop = the_shop("");
    let text = tray(10.0, 14.0, 5.0);
    let narrow = look(&text, &shop, "comp-5");
    assert!(!works(&narrow).contains(&Work::OuterEdge), "{:?}", works(&narrow));
    assert!(works(&narrow).contains(&Work::RecessEdge), "the recess's edge stays");
    let finding = said(&narrow, Code::CutterTouchesWall).expect("said");
    assert_eq!(finding.severity, Severity::Note, "{finding:?}");
    near(finding.have, 4.7625);
    near(finding.need, 2.0 * TIP);
    let (.., plan) = narrow.dish.as_ref().expect("drawn");
    let choice =
        plan.choices.iter().find(|c| c.work == Work::OuterEdge).expect("looked at");
    assert!(choice.able.is_empty() && choice.refused.len() == 1, "{choice:?}");
    // The way out: a groove as wide as the tip, to the very width.
    for wide in ["comp-6", "end-6"] {
        let examined = look(&text, &shop, wide);
        assert_eq!(works(&examined).last(), Some(&Work::OuterEdge), "{wide}");
        assert!(said(&examined, Code::CutterTouchesWall).is_none(), "{wide}");
    }
}

#[test]
fn with_no_outer_round_the_recess_edge_comes_before_the_cut_out() {
    let text = tray(10.0, 14.0, 5.0).replace("outer: 1/8 in round-over, ", "");
    let works = works(&look(&text, &the_shop(""), "comp-6"));
    assert_eq!(works.last(), Some(&Work::CutOut), "{works:?}");
    assert!(works.contains(&Work::RecessEdge), "{works:?}");
}

/// Corners of the recess just as round as the tip are followed, tighter ones are not.
#[test]
fn a_tip_follows_corners_of_its_own_radius_and_none_tighter() {
    let small = "  - {id: ball-4, kind: ball nose, diameter: 4, cutting_length: 25, stick_out: 40, flutes: 2}\n";
    let shop = the_shop(small);
    for (corner, follows) in [(3.175, true), (3.18, true), (2.5, false)] {
        let examined = look(&tray(10.0, corner, 5.0), &shop, "comp-6");
        let rounds = works(&examined).contains(&Work::RecessEdge);
        let finding = said(&examined, Code::RecessCornerUnreached);
        assert_eq!(
            (rounds, finding.is_none()),
            (follows, follows),
            "{corner}: {finding:?}"
        );
        if let Some(finding) = finding {
            near(finding.have, corner);
            near(finding.need, TIP);
            let fillet = finding.remedies.iter().find(|r| r.kind == RemedyKind::Fillet);
            let value = fillet.and_then(|fillet| fillet.value).expect("a radius");
            let mended = look(&tray(10.0, value, 5.0), &shop, "comp-6");
            assert!(works(&mended).contains(&Work::RecessEdge), "{value}");
        }
    }
}

/// Rounds of 3.175 mm on both edges take 6.35 mm.
#[test]
fn two_rounds_leave_a_flat_between_them() {
    for (rim, thin) in [(6.34, true), (6.36, false)] {
        let examined = look(&tray(rim, 30.0 - rim, 5.0), &the_shop(""), "comp-6");
        let finding = said(&examined, Code::RimTooThin);
        assert_eq!(finding.is_some(), thin, "{rim}: {finding:?}");
        if let Some(finding) = finding {
            near(finding.have, rim);
            near(finding.need, 6.35);
            assert_eq!(finding.severity, Severity::Note, "a hair: {finding:?}");
        }
    }
    // Over 5 mm both are 0.675 mm past their highest: r − √(r² − 0.675²) lower.
    let examined = look(&tray(5.0, 25.0, 5.0), &the_shop(""), "comp-6");
    let finding = said(&examined, Code::RimTooThin).expect("said");
    assert!(finding.message.ends_with("its top 0.073 mm lower"), "{finding:?}");
    // Over 4 mm by 1.175: more than the 0.2 mm that may be sanded away.
    let text = tray(4.0, 26.0, 5.0);
    let examined = look(&text, &the_shop(""), "comp-6");
    let mut found = examined.findings.iter();
    let grave = found.find(|f| f.message.ends_with("its top 0.225 mm lower"));
    assert_eq!(
        grave.map(|f| f.severity),
        Some(Severity::Warn),
        "{:?}",
        examined.findings
    );
    // One round alone takes half of that.
    let one = tray(6.34, 23.66, 5.0).replace("outer: 1/8 in round-over, ", "");
    let examined = look(&one, &the_shop(""), "comp-6");
    assert!(said(&examined, Code::RimTooThin).is_none(), "one round on this rim");
}

/// A bowl bit with a corner of 6.35 mm leaves the wall upright down to its depth less 6.35; the
/// tip works at 3.175 mm.
#[test]
fn a_tip_that_meets_the_foot_of_the_wall_is_told() {
    // The board is 25.4 mm thick.
    for (deep, meets) in [(9.0, true), (9.5, true), (9.55, false), (20.0, false)] {
        let examined = look(&tray(10.0, 14.0, 25.4 - deep), &the_shop(""), "comp-6");
        let (.., plan) = examined.dish.as_ref().expect("drawn");
        let used = plan.operations.iter().find(|op| op.work == Work::Recess);
        let used = used.map(|op| op.cutter.as_str());
        assert!(
            matches!(used, Some("bowl-25" | "bowl-19")),
            "a corner of 6.35: {used:?}"
        );
        let finding = said(&examined, Code::EdgeDeeperThanRecess);
        assert_eq!(finding.is_some(), meets, "{deep}: {finding:?}");
        if let Some(finding) = finding {
            near(finding.have, deep - 6.35);
            near(finding.need, TIP);
        }
    }
}
