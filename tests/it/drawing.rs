//! Recipes become curves: steps, repeats, fillets, parts, and what is said when they cannot.

use crate::golden::value;
use treen::curve::{Contour, Curve, Point, Region};
use treen::finding::{Checked, Code, Finding, Source, SourceFile};
use treen::lettering::Font;
use treen::model::{FaceWord, Setting, SettingValue};
use treen::reach::Profile;
use treen::shape::{Files, Form, NoFiles, NoFont, build};

/// Two drawings and no fonts.
struct Two;

impl Files for Two {
    fn svg(&self, name: &str) -> Result<String, String> {
        let square = r#"<svg xmlns="http://www.w3.org/2000/svg"><rect width="9" height="9"/></svg>"#;
        match name {
            "square.svg" => Ok(square.to_owned()),
            "script.svg" => Ok("<svg><script/></svg>".to_owned()),
            _ => Err("there is no such file".to_owned()),
        }
    }

    fn font(&self, wanted: &FaceWord) -> Result<Font, NoFont> {
        NoFiles.font(wanted)
    }
}

fn ordered(yaml: &str, settings: &[Setting], person: &str) -> Checked<Form> {
    let read = treen::intake::recipe("test.yaml", yaml, "test", None);
    let said: String = read.findings.iter().map(treen::finding::long).collect();
    let recipe = read.value.unwrap_or_else(|| panic!("{said}"));
    build(&recipe, settings, person, &Two)
}

/// A recipe of nothing but an outline.
fn outline(steps: &str) -> String {
    format!("title: Test\noutline:\n{steps}\n")
}

fn drawn(steps: &str) -> Region {
    let built = ordered(&outline(steps), &[], "");
    let said: String = built.findings.iter().map(treen::finding::long).collect();
    assert!(built.findings.is_empty(), "{steps}\n{said}");
    built.value.expect("a form").outline
}

/// The one finding of a recipe that cannot be drawn: its code, line and column are as said.
#[track_caller]
fn stopped(yaml: &str, code: Code, line: u32) -> Finding {
    let built = ordered(yaml, &[], "");
    let said: String = built.findings.iter().map(treen::finding::long).collect();
    assert!(built.value.is_none(), "{yaml} was drawn");
    assert_eq!(built.findings.len(), 1, "{said}");
    let finding = built.findings.into_iter().next().expect("a finding");
    assert_eq!(finding.code, code, "{said}");
    assert_eq!(finding.source.as_ref().map(|source| source.line), Some(line), "{said}");
    assert!(finding.expected.is_some() && !finding.remedies.is_empty(), "{said}");
    finding
}

#[track_caller]
fn area(steps: &str, want: f64, within: f64) {
    let have = drawn(steps).area();
    assert!((have - want).abs() <= within, "{steps}: {have} instead of {want}");
}

#[test]
fn steps_add_cut_and_keep() {
    area("  - rectangle: {size: [60, 40]}", 2_400.0, 1e-6);
    area(
        "  - rectangle: {size: [60, 40]}\n  - cut: {rectangle: {size: [20, 10]}}",
        2_200.0,
        1e-6,
    );
    area(
        "  - rectangle: {size: [60, 40]}\n  - keep: {rectangle: {size: [20, 100]}}",
        800.0,
        1e-6,
    );
    area(
        "  - rectangle: {size: [60, 40]}\n  - add: {rectangle: {size: [40, 60]}}",
        2.0 * 2_400.0 - 1_600.0,
        1e-6,
    );
}

#[test]
fn placings_apply_first_to_last() {
    let moved_then_turned = drawn("  - {circle: {radius: 10}, move: [50, 0], turn: 90}");
    let turned_then_moved = drawn("  - {circle: {radius: 10}, turn: 90, move: [50, 0]}");
    let at = |region: &Region| region.bounds().center();
    assert!(
        (at(&moved_then_turned) - Point::new(0.0, 50.0)).hypot() < 1e-6,
        "moved first"
    );
    assert!(
        (at(&turned_then_moved) - Point::new(50.0, 0.0)).hypot() < 1e-6,
        "turned first"
    );
    let about = drawn("  - {circle: {radius: 10}, scale: {by: [2, 3], about: [10, 0]}}");
    let bounds = about.bounds();
    assert!(
        (bounds.x0 + 30.0).abs() < 1e-4 && (bounds.x1 - 10.0).abs() < 1e-4,
        "{bounds}"
    );
    assert!((bounds.height() - 60.0).abs() < 1e-3, "{bounds}");
    let mirrored =
        drawn("  - {polygon: {points: [[0, 0], [30, 0], [0, 20]]}, mirror: left-right}");
    assert!((mirrored.area() - 300.0).abs() < 1e-6, "stays filled");
    assert!((mirrored.bounds().x0 + 30.0).abs() < 1e-6, "turned over");
}

#[test]
fn rings_turn_their_copies_outward_and_rows_step() {
    let ring = "  - ring: {count: 6, radius: 50, start: 0, of: {rectangle: {size: [40, 4]}}}\n  \
                - add: {circle: {radius: 40}}";
    let region = drawn(ring);
    assert!((region.bounds().width() - 140.0).abs() < 1e-3, "reaches to 70 both ways");
    for i in 0..6 {
        let angle = f64::from(i) * std::f64::consts::FRAC_PI_3;
        let tip = Point::new(69.0 * angle.cos(), 69.0 * angle.sin());
        assert!(region.contains(tip), "spoke {i}");
    }
    let half = "  - ring: {count: 3, radius: 50, start: 0, sweep: 180, of: {circle: {radius: 8}}}\n  \
                - add: {circle: {radius: 45}}";
    let region = drawn(half);
    assert!(region.contains(Point::new(57.0, 0.0)), "first at 0");
    assert!(region.contains(Point::new(-28.5, 49.3)), "last at 120");
    assert!(!region.contains(Point::new(-57.0, 0.0)), "none at 180");
    area(
        "  - row: {count: 5, step: [8, 0], of: {rectangle: {size: [10, 10]}}}",
        420.0,
        1e-6,
    );
}

/// Serra's operators on polygons in closed form, rows of the closed forms by id.
#[test]
fn fillets_and_moved_edges_are_exact() {
    let square = "  - rectangle: {size: [100, 100]}";
    area(
        &format!("{square}\n  - fillet: {{outside: 3.175}}"),
        value("OPEN-4gon-A"),
        1e-5,
    );
    let l = "  - polygon: {points: [[0, 0], [100, 0], [100, 30], [40, 30], [40, 100], [0, 100]]}";
    area(&format!("{l}\n  - fillet: {{inside: 3.175}}"), value("L-close-3.175"), 1e-5);
    area(&format!("{l}\n  - fillet: {{outside: 3.175}}"), value("L-open-3.175"), 1e-5);
    let star = format!("  - star: {{points: 5, outer: 70, inner: {}}}", value("STAR-ri"));
    let bare = drawn(&star).area();
    area(
        &format!("{star}\n  - fillet: {{outside: 3.175}}"),
        bare - value("STAR-openlost"),
        1e-4,
    );
    area(
        &format!("{star}\n  - fillet: {{inside: 3.175}}"),
        bare + value("STAR-closeadd"),
        1e-4,
    );
    let rect = "  - rectangle: {size: [120, 80]}";
    area(&format!("{rect}\n  - grow: 3.175"), value("STEIN-rect120x80-A"), 1e-5);
    area(&format!("{rect}\n  - shrink: 5"), 110.0 * 70.0, 1e-5);
    let ellipse = "  - ellipse: {radii: [80, 50]}\n  - shrink: 5";
    area(ellipse, value("ELL1-off-"), 0.05);
}

/// The inside fillet comes last, so the cutter of that radius follows everything.
#[test]
fn inside_corners_get_the_radius_asked_for() {
    for radius in [0.8, 1.5, 2.0, 3.0, 3.2, 5.0] {
        let steps = format!(
            "  - star: {{points: 7, outer: 90, inner: 60}}\n  - fillet: {{inside: {radius}, outside: 4}}"
        );
        let region = drawn(&steps);
        let low = Profile::outside(&region, 20.0).lowest_reach().expect("a corner");
        assert!((low.radius - radius).abs() < 0.002, "{radius}: {low:?}");
    }
}

#[test]
fn every_piece_of_the_outline_knows_its_step() {
    let yaml = outline(
        "  - rectangle: {size: [100, 60]}\n  - add: {circle: {center: [50, 0], radius: 25}}\n  \
         - fillet: {inside: 6 mm}",
    );
    let form = ordered(&yaml, &[], "").value.expect("a form");
    let line = |point: Point| {
        let origin = form.outline.origin_near(point).expect("a piece");
        form.outline_sources.get(origin.0 as usize).map(|source| source.line)
    };
    assert_eq!(line(Point::new(-50.0, 0.0)), Some(3), "the rectangle");
    assert_eq!(line(Point::new(75.0, 0.0)), Some(4), "the circle");
    let mut fillets = 0;
    for piece in form.outline.contours().iter().flat_map(Contour::pieces) {
        let source = form.outline_sources.get(piece.origin.0 as usize).expect("a step");
        let rounded =
            matches!(piece.curve, Curve::Arc(arc) if (arc.radius - 6.0).abs() < 1e-6);
        assert_eq!(
            rounded,
            source.line == 5,
            "{:?} comes from {}",
            piece.curve,
            source.line
        );
        fillets += usize::from(rounded);
    }
    assert!(fillets >= 2, "two inside corners");
}

#[test]
fn recesses_follow_and_are_rounded() {
    let yaml = "title: Test\noutline: [{rectangle: {size: [120, 80]}}]\nrim: 10\n\
                recess: {follow: outline, corners: 8 mm, keep_floor: 6}\n";
    let form = ordered(yaml, &[], "").value.expect("a form");
    let recess = form.recesses.first().expect("a recess");
    let want = 100.0 * 60.0 - (4.0 - std::f64::consts::PI) * 64.0;
    assert!((recess.region.area() - want).abs() < 1e-4, "{}", recess.region.area());
    assert_eq!(recess.keep_floor, Some(6.0), "keeps its floor");
    assert_eq!(form.rim, Some(10.0), "states its rim");
}

#[test]
fn svg_files_and_letters_are_outlines() {
    area("  - svg: {file: square.svg, width: 90}", 8_100.0, 0.01);
    let letter =
        drawn("  - letter: {text: I, height: 100, center: [7, 5], face: sans bold}");
    let bounds = letter.bounds();
    assert!((bounds.height() - 100.0).abs() < 0.01, "{bounds}");
    assert!((bounds.center() - Point::new(7.0, 5.0)).hypot() < 0.01, "{bounds}");
}

#[test]
fn parameters_come_from_the_order_the_name_and_the_recipe() {
    let yaml = "title: Test\nparameters:\n  size: {default: 2 in, min: 40, max: 90}\n  \
                initial: {default: Q, from_name: true}\nlet: {half: size / 2}\n\
                outline: [{circle: {radius: half}}]\n";
    let source = Source::whole(&SourceFile::new("orders.yaml", ""));
    let set = |name: &str, value: SettingValue| Setting {
        name: name.to_owned(),
        value,
        source: source.clone(),
    };
    let form = ordered(yaml, &[], " élan").value.expect("a form");
    let shown = |name: &str, text: &str| (name.to_owned(), text.to_owned());
    assert_eq!(form.parameters, [shown("size", "50.8 mm"), shown("initial", "É")]);
    assert!((form.outline.bounds().width() - 50.8).abs() < 1e-3, "2 in across");
    let form = ordered(yaml, &[], "").value.expect("a form");
    assert_eq!(form.parameters.last(), Some(&shown("initial", "Q")), "no name");
    let settings = [
        set("size", SettingValue::Number(80.0)),
        set("initial", SettingValue::Text("Zz".to_owned())),
    ];
    let form = ordered(yaml, &settings, "Ada").value.expect("a form");
    assert_eq!(form.parameters, [shown("size", "80 mm"), shown("initial", "Zz")]);
    let wrong = [
        set("size", SettingValue::Number(91.0)),
        set("siez", SettingValue::Number(80.0)),
        set("initial", SettingValue::Text(String::new())),
    ];
    let built = ordered(yaml, &wrong, "");
    let codes: Vec<Code> = built.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, [Code::UnknownParameter, Code::OutOfRange, Code::BadNumber]);
    let outside = built.findings.get(1).expect("out of range");
    assert_eq!((outside.have, outside.need), (Some(91.0), Some(90.0)), "the range");
    let unknown = built.findings.first().expect("unknown");
    assert!(unknown.remedies.iter().any(|r| r.text.contains("`size`")), "{unknown:?}");
    for value in [f64::NAN, f64::INFINITY] {
        let built = ordered(yaml, &[set("size", SettingValue::Number(value))], "");
        assert_eq!(built.findings.first().map(|f| f.code), Some(Code::BadNumber));
    }
}

#[test]
fn drawings_that_make_no_outline_say_why() {
    let bow = outline("  - polygon: {points: [[0, 0], [50, 50], [50, 0], [0, 50]]}");
    let crossing = stopped(&bow, Code::SelfCrossing, 3);
    assert_eq!(crossing.at, Some([25.0, 25.0]), "where it crosses");
    let eight = "  - spline: {through: [[0, 0], [50, 40], [50, 0], [0, 40]]}";
    stopped(&outline(eight), Code::SelfCrossing, 3);
    let open = "  - spline: {closed: false, through: [[0, 0], [50, 40], [90, 0]]}";
    stopped(&outline(open), Code::OpenOutline, 3);
    stopped(&outline("  - path: {d: M0 0 L50 0 L50 50}"), Code::OpenOutline, 3);
    let loose =
        "  - circle: {radius: 40}\n  - add: {circle: {center: [100, 0], radius: 20}}";
    let loose = stopped(&outline(loose), Code::LoosePiece, 4);
    assert!(loose.at.is_some_and(|[x, _]| x >= 80.0), "at the smaller piece: {loose:?}");
    let gone = "  - circle: {radius: 20}\n  - shrink: 21";
    stopped(&outline(gone), Code::EmptyOutline, 4);
    let cut = "  - circle: {radius: 20}\n  - cut: {circle: {radius: 21}}";
    stopped(&outline(cut), Code::EmptyOutline, 4);
}

#[test]
fn recesses_that_cannot_be_say_why() {
    let with = |recess: &str| {
        format!("title: Test\noutline: [{{circle: {{radius: 40}}}}]\n{recess}\n")
    };
    stopped(&with("recess: {follow: outline}"), Code::MissingKey, 3);
    stopped(&with("rim: 41\nrecess: {follow: outline}"), Code::RecessVanishes, 4);
    let narrow = "recess: {shape: {rectangle: {size: [50, 10]}}, corners: 6}";
    stopped(&with(narrow), Code::RecessVanishes, 3);
    let outside = "recess: {shape: {circle: {center: [20, 0], radius: 30}}}";
    stopped(&with(outside), Code::RecessOutsideOutline, 3);
    stopped(
        &with("name: {on: floor, along: [[0, 0], [9, 0]], height: 9}"),
        Code::DrawingFault,
        3,
    );
    let name = "name: {on: rim, along: [[0, 0], [0, 0]], height: 9}";
    stopped(&with(name), Code::DrawingFault, 3);
    stopped(&with("rim: -1"), Code::DrawingFault, 3);
    let face = "name: {on: rim, along: [[0, 0], [9, 0]], height: 9, face: serif bald}";
    stopped(&with(face), Code::UnknownWord, 3);
}

#[test]
fn grooves_stay_on_their_surface() {
    let with = |groove: &str| {
        format!(
            "title: Test\noutline: [{{rectangle: {{size: [120, 80]}}}}]\nrim: 10\n\
             recess: {{follow: outline}}\ndetails:\n  - {{groove: {groove}, width: 2}}\n"
        )
    };
    let said = |groove: &str| {
        let built = ordered(&with(groove), &[], "");
        assert!(built.value.is_some(), "{groove}: it can still be made");
        built.findings.into_iter().map(|f| (f.code, f.at)).collect::<Vec<_>>()
    };
    assert_eq!(said("[[-40, 0], [40, 0]]"), []);
    assert_eq!(said("[[-55, -30], [-55, 30]], on: rim"), []);
    let leaves = |x: f64, y: f64| vec![(Code::DrawingFault, Some([x, y]))];
    assert_eq!(said("[[0, 0], [80, 0]]"), leaves(60.0, 0.0), "off the floor");
    assert_eq!(
        said("[[-55, 0], [45, 0]], on: rim"),
        leaves(-30.0, 0.0),
        "over the hollow"
    );
    assert_eq!(said("[[-55, 0], [-75, 0]], on: rim"), leaves(-65.0, 0.0), "off the wood");
}

#[test]
fn numbers_without_sense_say_so_where_they_stand() {
    for step in [
        "  - circle: {radius: -1}",
        "  - circle: {radius: 1e300}",
        "  - circle: {center: [1e9, 0], radius: 5}",
        "  - rectangle: {size: [10, 10], radius: 6}",
        "  - star: {points: 5, outer: 10, inner: 20}",
        "  - star: {points: 1e9, outer: 10, inner: 5}",
        "  - petals: {count: 0, radius: 10, depth: 1}",
        "  - superellipse: {radii: [10, 10], exponent: 50}",
        "  - spline: {through: [[0, 0], [0, 0], [9, 9]]}",
        "  - polygon: {points: [[0, 0], [9, 0], [18, 0]]}",
        "  - path: {d: M0 0 what}",
        "  - ring: {count: 501, radius: 10, of: {circle: {radius: 5}}}",
        "  - row: {count: -3, step: [1, 0], of: {circle: {radius: 5}}}",
        "  - ring: {count: 400, radius: 10, of: {ring: {count: 40, radius: 1000, of: {circle: {radius: 1}}}}}",
        "  - row: {count: 400, step: [1000, 0], of: {circle: {radius: 900}}}",
        "  - {circle: {radius: 10}, scale: 0}",
        "  - {circle: {radius: 10}, scale: -1}",
        "  - {circle: {radius: 90000}, scale: 900}",
        "  - {circle: {radius: 10}, move: [1e7, 0]}",
        "  - letter: {text: ' ', height: 50}",
        "  - letter: {text: A, height: -50}",
    ] {
        stopped(&outline(step), Code::DrawingFault, 3);
    }
    for step in [
        "grow: -1",
        "grow: 1e6",
        "shrink: 1e9",
        "fillet: {inside: -2}",
        "fillet: {outside: 1e9}",
        "move: [1e6, 0]",
        "scale: 1e9",
    ] {
        let steps = format!("  - circle: {{radius: 10}}\n  - {step}");
        stopped(&outline(&steps), Code::DrawingFault, 4);
    }
    stopped(&outline("  - letter: {text: 鹿, height: 50}"), Code::MissingLetter, 3);
    stopped(&outline("  - svg: {file: script.svg, width: 50}"), Code::SvgFault, 3);
    stopped(&outline("  - svg: {file: none.svg, width: 50}"), Code::SvgFault, 3);
    stopped(&outline("  - svg: {file: square.svg, width: -50}"), Code::SvgFault, 3);
    stopped(&outline("  - circle: {radius: 1 / 0}"), Code::FormulaValue, 3);
}

#[test]
fn every_fault_is_found_in_one_run() {
    let steps = "  - circle: {radius: -1}\n  - add: {star: {points: 5, outer: 1, inner: 2}}\n  \
                 - cut: {polygon: {points: [[0, 0], [5, 5], [5, 0], [0, 5]]}}";
    let built = ordered(&outline(steps), &[], "");
    let lines: Vec<u32> =
        built.findings.iter().filter_map(|f| f.source.as_ref()).map(|s| s.line).collect();
    assert_eq!(lines, [3, 4, 5], "one for each step");
}
