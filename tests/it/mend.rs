//! Ways out: each value offered is drawn again and must be followed; nearer ones are not.

use crate::sample::cut_out;
use std::path::Path;
use std::process::{Command, Output};
use treen::batch::{compare, examine, mended, specimen};
use treen::curve::svg::{drawing, file_outline};
use treen::curve::{Origin, Region};
use treen::feasibility::Pins;
use treen::finding::{Code, RemedyKind, Severity, Source, SourceFile};
use treen::intake;
use treen::mend::Mend;
use treen::model::{Recipe, Setting, SettingValue, Shop};
use treen::reach::Profile;

/// An L whose inside corner is `corner`, or `9 - sharp`, whichever is less; 100 mm wide times
/// `size`.
const ELL: &str = "title: Ell
parameters:
  corner: {default: 2 mm, min: 0.5 mm, max: 8 mm}
  sharp: {default: 1, min: 0, max: 8.5}
  size: {default: 1, min: 0.5, max: 4}
outline:
  - rectangle: {center: [50 * size, 50 * size], size: [100 * size, 100 * size]}
  - cut: {rectangle: {center: [70 * size, 65 * size], size: [60 * size, 70 * size]}}
  - fillet: {inside: \"size * min(corner, 9 - sharp)\"}
recess: {shape: [{rectangle: {center: [20 * size, 50 * size], size: [24 * size, 60 * size], radius: 5 * size}}]}
";

const SHOP: &str = "cutters:
  - {id: quarter, kind: end mill, diameter: 1/4 in}
  - {id: eighth, kind: end mill, diameter: 1/8 in}
  - {id: bowl, kind: bowl bit, diameter: 3/4 in, corner_radius: 1/4 in}
  - {id: ball, kind: ball nose, diameter: 1/4 in}
  - {id: vee, kind: v-bit, diameter: 1/2 in, angle: 60}
";

fn the_shop() -> Shop {
    let checked = intake::shop("shop.yaml", SHOP);
    checked.value.unwrap_or_else(|| panic!("{:?}", checked.findings))
}

fn the_recipe() -> Recipe {
    let checked = intake::recipe("ell.yaml", ELL, "ell", None);
    checked.value.unwrap_or_else(|| panic!("{:?}", checked.findings))
}

fn set(name: &str, value: f64) -> Setting {
    let file = SourceFile::new("test", "");
    let value = SettingValue::Number(value);
    Setting { name: name.to_owned(), value, source: Source::whole(&file) }
}

fn asked(settings: Vec<Setting>, id: &str) -> Mend {
    let (recipe, shop) = (the_recipe(), the_shop());
    let order = specimen(&recipe, settings);
    let compared = compare(&recipe, &order, &shop, &Pins::default());
    let answer = mended(&recipe, &order, &shop, &compared, id).expect("a dish");
    answer.unwrap_or_else(|finding| panic!("{finding:?}"))
}

fn tuned(mend: &Mend, name: &str) -> Option<f64> {
    mend.tuned.iter().find(|tuned| tuned.name == name).expect("a parameter").value
}

#[test]
fn a_parameter_is_tuned_to_the_nearest_value_that_does() {
    let mend = asked(vec![], "quarter");
    assert!(!mend.follows, "2 mm are too tight for 3.175 mm");
    // Known to a thousandth of the range, and rounded away from the present value.
    let corner = tuned(&mend, "corner").expect("a larger corner does");
    let (least, slack) = (3.173, 0.0075 + 0.001);
    assert!((least..=least + slack).contains(&corner), "corner {corner}");
    let size = tuned(&mend, "size").expect("a larger dish does");
    let least = 3.173 / 2.0;
    assert!((least..=least + 0.0035 + 0.001).contains(&size), "size {size}");
    assert_eq!(tuned(&mend, "sharp"), None, "2 mm stay whatever it is");
    for (name, value) in [("corner", corner), ("size", size)] {
        assert!(asked(vec![set(name, value)], "quarter").follows, "{name} {value}");
    }
    for (name, value) in [("corner", corner - 0.01), ("size", size - 0.006)] {
        assert!(!asked(vec![set(name, value)], "quarter").follows, "{name} {value}");
    }
}

#[test]
fn a_parameter_may_have_to_be_less() {
    let sharp = 8.0;
    let mend = asked(vec![set("sharp", sharp), set("corner", 8.0)], "quarter");
    let value = tuned(&mend, "sharp").expect("a lower value does");
    let most = 9.0 - 3.173;
    assert!((most - 0.0095..=most).contains(&value), "sharp {value}");
    let present = mend.tuned.iter().find(|t| t.name == "sharp").map(|t| t.present);
    assert_eq!(present, Some(sharp), "what was set, not the default");
    assert_eq!(tuned(&mend, "corner"), None, "1 mm stays whatever it is");
}

#[test]
fn the_smallest_width_is_that_of_everything_scaled() {
    for id in ["quarter", "eighth", "bowl", "ball"] {
        let mend = asked(vec![], id);
        let width = mend.smallest_width.expect("no sharp corner");
        let size = width / mend.width;
        assert!(asked(vec![set("size", size)], id).follows, "{id} at {width}");
        let less = asked(vec![set("size", size * 0.998)], id);
        assert!(!less.follows, "{id} at {}", less.width);
    }
    let bowl = asked(vec![], "bowl");
    assert!(!bowl.follows, "5 mm corners, a radius of 9.525 mm");
    let width = bowl.smallest_width.expect("a width");
    assert!((width - 100.0 * bowl.radius / 5.0).abs() < 0.05, "{width}");
}

#[test]
fn the_fillet_the_other_cutter_and_the_softened_edge_do() {
    let mend = asked(vec![], "quarter");
    assert_eq!(
        mend.largest.as_ref().map(|other| other.id.as_str()),
        Some("eighth"),
        "2 mm"
    );
    assert_eq!(mend.fillet, Some(3.175), "its own radius");
    // From the arc of 2 mm to that of 3.175 mm along the diagonal.
    let departure = mend.departure().expect("an edge").0;
    let (diagonal, quarter) = (2.0_f64.sqrt() - 1.0, 1.0 - std::f64::consts::FRAC_PI_4);
    assert!((departure - 1.175 * diagonal).abs() < 0.002, "{departure}");
    let area = (3.175 * 3.175 - 4.0) * quarter;
    assert!((mend.area() - area).abs() < 0.002, "{} for {area}", mend.area());
    let bowl = asked(vec![], "bowl");
    let departure = bowl.departure().expect("an edge").0;
    assert!((departure - (bowl.radius - 5.0) * diagonal).abs() < 0.002, "{departure}");
    let area = -4.0 * (bowl.radius * bowl.radius - 25.0) * quarter;
    assert!((bowl.area() - area).abs() < 0.01, "{} for {area}", bowl.area());
    assert!(asked(vec![], "eighth").tuned.is_empty(), "nothing to mend");
}

#[test]
fn a_finding_offers_the_softened_outline() {
    let (recipe, shop) = (the_recipe(), the_shop());
    let mut pins = Pins::default();
    pins.set(cut_out("quarter"));
    let compared = compare(&recipe, &specimen(&recipe, vec![]), &shop, &pins);
    let tight = compared.findings.iter().find(|f| f.code == Code::OutlineTooTight);
    let remedies = &tight.expect("too tight").remedies;
    let soft = remedies.iter().find(|r| r.kind == RemedyKind::Soften).expect("offered");
    let departure = 1.175 * (2.0_f64.sqrt() - 1.0);
    assert!((soft.value.unwrap_or(0.0) - departure).abs() < 0.002, "{soft:?}");
}

/// A stop offers each parameter that alone would do; with its value set the stop is gone, and
/// without a stop nothing is looked for.
#[test]
fn a_stop_offers_the_parameters_that_would_do() {
    let (recipe, shop) = (the_recipe(), the_shop());
    let mut pins = Pins::default();
    pins.set(cut_out("quarter"));
    let told = |settings: Vec<Setting>, pins: &Pins| {
        let findings =
            examine(&recipe, &specimen(&recipe, settings), &shop, pins).findings;
        findings.into_iter().find(|f| f.code == Code::OutlineTooTight)
    };
    let stop = told(vec![], &pins).expect("2 mm are too tight for 3.175 mm");
    assert_eq!(stop.severity, Severity::Stop, "pinned");
    let offered: Vec<(&str, f64)> = stop
        .remedies
        .iter()
        .filter(|remedy| remedy.kind == RemedyKind::Parameter)
        .map(|remedy| {
            let name = remedy.text.split('`').nth(1).expect("a name");
            (name, remedy.value.expect("a value"))
        })
        .collect();
    let names: Vec<&str> = offered.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, ["corner", "size"], "those that can do it alone");
    for (name, value) in offered {
        let after = told(vec![set(name, value)], &pins);
        let stops = after.is_some_and(|finding| finding.severity == Severity::Stop);
        assert!(!stops, "`{name}` at {value} does not do");
    }
    let note = told(vec![], &Pins::default()).expect("told");
    assert_eq!(note.severity, Severity::Note, "the eighth follows");
    let none = note.remedies.iter().all(|r| r.kind != RemedyKind::Parameter);
    assert!(none, "nothing stops it: {note:?}");
}

#[test]
fn a_recess_that_stops_is_offered_softer_and_with_other_values() {
    let ball = "  - {id: ball, kind: ball nose, diameter: 1/4 in}\n";
    let rack = SHOP.replace(ball, "");
    let shop =
        intake::shop("shop.yaml", &rack).value.expect("a shop without the ball nose");
    let recipe = the_recipe();
    let told = |settings: Vec<Setting>| {
        let order = specimen(&recipe, settings);
        let findings = examine(&recipe, &order, &shop, &Pins::default()).findings;
        findings.into_iter().find(|f| f.code == Code::RecessCornerUnreached)
    };
    let stop = told(vec![]).expect("corners of 5 mm are too tight for 9.525 mm");
    assert_eq!(stop.severity, Severity::Stop, "nothing else carves it");
    let value = |kind: RemedyKind| stop.remedies.iter().find(|r| r.kind == kind)?.value;
    let departure = (9.525 - 5.0) * (2.0_f64.sqrt() - 1.0);
    let soft = value(RemedyKind::Soften).expect("a softer recess");
    assert!((soft - departure).abs() < 0.002, "{soft}, not {departure}");
    let size = value(RemedyKind::Parameter).expect("a larger dish");
    // 9.525 - 0.002 over 5, known to a thousandth of the range and rounded up.
    assert!((1.9046..=1.9046 + 0.0045).contains(&size), "size {size}");
    assert!(told(vec![set("size", size)]).is_none(), "`size` at {size} does not do");
}

#[test]
fn the_softened_outline_is_written_in_true_millimetres() {
    let mend = asked(vec![], "quarter");
    let region = &mend.softened[0].region;
    let text = drawing(region);
    assert!(text.contains("width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\""));
    assert!(text.contains("A3.175 3.175 0 0 "), "arcs stay arcs: {text}");
    // A reader of SVG turns arcs into cubics in single precision.
    let path = file_outline(&text, 100.0).expect("an outline");
    let back = Region::filled(&path, Origin(0)).expect("an area");
    assert!((back.area() - region.area()).abs() < 0.02, "{}", back.area());
    let low = Profile::outside(&back, 20.0).lowest_reach().expect("a corner");
    assert!((low.radius - 3.175).abs() < 0.02, "{low:?}");
    let (x, y) = (low.at.x - region.bounds().center().x, low.at.y - 50.0);
    let read = back.bounds().center();
    assert!((low.at.x - read.x + 10.0).abs() < 3.0, "up stays up: {x} {y}");
    assert!((low.at.y - read.y + 20.0).abs() < 3.0, "up stays up: {x} {y}");
}

fn treen(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_treen"))
        .current_dir(folder)
        .args(args)
        .output()
        .expect("the binary runs")
}

#[test]
fn the_command_answers_writes_and_refuses() {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::write(dir.path().join("ell.yaml"), ELL).expect("written");
    std::fs::write(dir.path().join("shop.yaml"), SHOP).expect("written");
    let ask = |id: &str, more: &[&str]| {
        treen(dir.path(), &[&["mend", "ell.yaml", "--cutter", id], more].concat())
    };
    let out = ask("quarter", &["--json", "--write", "soft.svg"]);
    assert_eq!(out.status.code(), Some(1), "it does not follow as drawn");
    let json: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    assert_eq!(json["largest"]["id"], "eighth", "{json}");
    assert_eq!(json["fillet_mm"], 3.175, "{json}");
    assert_eq!(json["parameters"][1]["value"], serde_json::Value::Null, "{json}");
    let drawn = std::fs::read_to_string(dir.path().join("soft.svg")).expect("a drawing");
    assert!(drawn.starts_with("<svg "), "{drawn}");
    let text = String::from_utf8(ask("quarter", &[]).stdout).expect("UTF-8");
    for words in ["does not follow the outline", "use eighth", "set `corner`", "none"] {
        assert!(text.contains(words), "no `{words}` in\n{text}");
    }
    assert_eq!(ask("eighth", &[]).status.code(), Some(0), "it follows");
    assert_eq!(ask("eighth", &["--write", "n.svg"]).status.code(), Some(2), "nothing");
    assert!(!dir.path().join("n.svg").exists(), "nothing was written");
    let wrong = ask("quartr", &[]);
    assert_eq!(wrong.status.code(), Some(2), "no such cutter");
    let said = String::from_utf8(wrong.stderr).expect("UTF-8");
    assert!(said.contains("did you mean `quarter`?"), "{said}");
    let vee = String::from_utf8(ask("vee", &[]).stderr).expect("UTF-8");
    assert!(vee.contains("neither cuts dishes out nor carves recesses"), "{vee}");
}
