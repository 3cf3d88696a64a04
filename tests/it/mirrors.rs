//! Half drawn, half mirrored: pairs, mirrored splines, and the spiral as a line.

use kurbo::ParamCurve;
use treen::curve::{Affine, Region};
use treen::finding::{Code, Finding, long};
use treen::intake::recipe;
use treen::shape::{Form, NoFiles, build};

fn form(yaml: &str) -> (Option<Form>, Vec<Finding>) {
    let read = recipe("test.yaml", yaml, "test", None);
    let said: String = read.findings.iter().map(long).collect();
    let recipe = read.value.unwrap_or_else(|| panic!("{said}"));
    let built = build(&recipe, &[], "", &NoFiles);
    (built.value, built.findings)
}

fn outline(step: &str) -> Region {
    let (form, findings) = form(&format!("title: Test\noutline:\n  - {step}\n"));
    let said: String = findings.iter().map(long).collect();
    form.unwrap_or_else(|| panic!("{step}: {said}")).outline
}

/// The area in which two regions differ, mm².
fn differ(a: &Region, b: &Region) -> f64 {
    a.cut(b).area() + b.cut(a).area()
}

/// A list of all points and a list of half of them draw the same, whether the ends lie on the
/// mirror or not, with corners on either side.
#[test]
fn half_a_spline_mirrored_is_the_whole_spline() {
    let cases = [
        (
            "through: [[0, -40], [30, -30], [50, 10], [20, 40], [0, 30]], mirror: left-right",
            "through: [[0, -40], [30, -30], [50, 10], [20, 40], [0, 30], [-20, 40], \
             [-50, 10], [-30, -30]]",
        ),
        (
            "through: [[10, -40], [50, 10], [20, 40]], corners: [1], mirror: left-right",
            "through: [[10, -40], [50, 10], [20, 40], [-20, 40], [-50, 10], [-10, -40]], \
             corners: [1, 4]",
        ),
        (
            "through: [[-60, 0], [0, 30], [70, 0]], corners: [0, 2], mirror: up-down",
            "through: [[-60, 0], [0, 30], [70, 0], [0, -30]], corners: [0, 2]",
        ),
        (
            "through: [[0, -50], [40, 20], [0, 25]], corners: [0, 2], mirror: left-right",
            "through: [[0, -50], [40, 20], [0, 25], [-40, 20]], corners: [0, 2]",
        ),
        (
            "through: [[30, 0], [0, 20]], mirror: left-right",
            "through: [[30, 0], [0, 20], [-30, 0]]",
        ),
    ];
    for (half, whole) in cases {
        let a = outline(&format!("spline: {{{half}}}"));
        let b = outline(&format!("spline: {{{whole}}}"));
        assert!(b.area() > 400.0, "{whole}: {} mm²", b.area());
        assert!(differ(&a, &b) < 1e-3, "{half}: {} mm²", differ(&a, &b));
    }
}

#[test]
fn a_mirrored_line_is_open_and_symmetrical() {
    let yaml = "title: Smile\noutline:\n  - circle: {radius: 60}\ndetails:\n  \
                - {groove: {spline: {through: [[-20, 5], [-10, -4], [0, -7]], \
                mirror: left-right}}, width: 2, on: rim}\n";
    let (form, _) = form(yaml);
    let form = form.expect("drawn");
    let line = &form.grooves.first().expect("a groove").line;
    let ends: Vec<_> = line.segments().map(|s| (s.start(), s.end())).collect();
    let (first, last) =
        (ends.first().expect("a first").0, ends.last().expect("a last").1);
    assert_eq!(ends.len(), 4, "four spans");
    assert!(first.distance((-20.0, 5.0).into()) < 1e-9, "from {first}");
    assert!(last.distance((20.0, 5.0).into()) < 1e-9, "to {last}");
}

#[test]
fn a_pair_is_a_shape_and_its_image() {
    let one = "circle: {center: [30, 20], radius: 12}";
    let base = "ellipse: {radii: [40, 30]}";
    for (mirror, said, map) in [
        ("", "left-right", Affine::FLIP_X),
        (", mirror: left-right", "left-right", Affine::FLIP_X),
        (", mirror: up-down", "up-down", Affine::FLIP_Y),
    ] {
        let pair = outline(&format!("{base}\n  - pair: {{of: {{{one}}}{mirror}}}"));
        let twice = format!("{base}\n  - {one}\n  - add: {{{one}, mirror: {said}}}");
        assert!(differ(&pair, &outline(&twice)) < 1e-3, "{mirror}");
        let image = pair.transformed(map);
        assert!(differ(&pair, &image) < 1e-3, "{mirror} is symmetrical");
    }
}

/// Both lines of a pair are carved, each once.
#[test]
fn details_come_in_pairs_and_spirals() {
    let yaml = "title: Eyes\noutline:\n  - circle: {radius: 80}\ndetails:\n  \
                - {groove: {pair: {of: {spiral: {center: [30, 10], from: 2, to: 12, \
                turns: 2}}}}, width: 2, on: rim}\n";
    let (form, findings) = form(yaml);
    assert!(findings.is_empty(), "{}", findings.iter().map(long).collect::<String>());
    let line = form.expect("drawn").grooves.first().expect("a groove").line.clone();
    let starts =
        line.elements().iter().filter(|e| matches!(e, treen::curve::PathEl::MoveTo(_)));
    assert_eq!(starts.count(), 2, "two lines");
    let xs: Vec<f64> = line.segments().map(|s| s.start().x).collect();
    assert!(xs.iter().any(|x| *x > 40.0) && xs.iter().any(|x| *x < -40.0), "{xs:?}");
}

#[test]
fn a_spiral_is_no_area() {
    let (form, findings) =
        form("title: Test\noutline:\n  - spiral: {from: 3, to: 40, turns: 2}\n");
    assert!(form.is_none(), "not drawn");
    let codes: Vec<Code> = findings.iter().map(|f| f.code).collect();
    assert_eq!(
        codes,
        [Code::OpenOutline],
        "{}",
        findings.iter().map(long).collect::<String>()
    );
    assert_eq!(findings.first().and_then(|f| f.source.as_ref()).map(|s| s.line), Some(3));
}

#[test]
fn a_mirror_takes_one_of_two_words() {
    let yaml = "title: Test\noutline:\n  - pair: {of: {circle: {radius: 30}}, mirror: sideways}\n";
    let read = recipe("test.yaml", yaml, "test", None);
    let said: String = read.findings.iter().map(long).collect();
    assert!(read.value.is_none() && said.contains("left-right"), "{said}");
}
