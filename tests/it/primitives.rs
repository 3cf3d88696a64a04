//! Primitives against closed forms; rows of `tests/golden/closed_forms.tsv`, by id.

use crate::golden::value as row;
use treen::curve::{
    BezPath, Origin, PathSeg, Point, Region, first_crossing, primitive, svg,
};

/// Signed area by Green's theorem, exact for Béziers.
fn area(path: &BezPath) -> f64 {
    use kurbo::Shape;
    path.area()
}

fn perimeter(path: &BezPath) -> f64 {
    use kurbo::Shape;
    path.perimeter(1e-9)
}

/// Signed curvature at many places of every piece, positive where it bends left.
fn curvatures(path: &BezPath) -> Vec<f64> {
    use kurbo::{ParamCurve, ParamCurveDeriv};
    let mut all = Vec::new();
    for segment in path.segments() {
        let PathSeg::Cubic(cubic) = segment else { continue };
        let (first, second) = (cubic.deriv(), cubic.deriv().deriv());
        for i in 0..=64 {
            let t = f64::from(i) / 64.0;
            let (v, w) = (first.eval(t).to_vec2(), second.eval(t).to_vec2());
            all.push(v.cross(w) / v.hypot().powi(3));
        }
    }
    all
}

/// The smallest radius bending left, and the smallest bending right as a negative number.
fn tightest(path: &BezPath) -> (f64, f64) {
    let all = curvatures(path);
    let most = all.iter().copied().fold(f64::MIN, f64::max);
    let least = all.iter().copied().fold(f64::MAX, f64::min);
    (1.0 / most, 1.0 / least)
}

#[track_caller]
fn near(what: &str, have: f64, want: f64, within: f64) {
    assert!((have - want).abs() <= within, "{what}: {have} instead of {want}");
}

/// Elementary derivations; do Carmo, *Differential Geometry of Curves and Surfaces*, from
/// memory, for the radius of curvature.
#[test]
fn ellipses_have_their_area_perimeter_and_radii() {
    for (id, a, b) in [("ELL1", 80.0, 50.0), ("ELL2", 60.0, 40.0), ("ELL3", 100.0, 60.0)]
    {
        let path = primitive::ellipse(Point::new(3.0, -7.0), a, b).expect("an ellipse");
        near(id, area(&path), row(&format!("{id}-area")), 0.001);
        near(id, perimeter(&path), row(&format!("{id}-per")), 0.001);
        let radius = 1.0 / curvatures(&path).into_iter().fold(f64::MAX, f64::min);
        match id {
            "ELL2" => near("ELL2-rmax", radius, row("ELL2-rmax"), 0.05),
            _ => near(id, tightest(&path).0, row(&format!("{id}-rmin")), 0.002),
        }
    }
}

/// Weisstein, "Superellipse", `MathWorld`, for the area; radii by a golden-section search.
#[test]
fn superellipses_have_their_area_and_smallest_radius() {
    let shapes = [
        ("SUP1", 80.0, 50.0, 2.5),
        ("SUP2", 50.0, 50.0, 4.0),
        ("SUP3", 80.0, 50.0, 3.0),
        ("SUP4", 60.0, 40.0, 2.5),
    ];
    for (id, a, b, n) in shapes {
        let path =
            primitive::superellipse(Point::ORIGIN, a, b, n).expect("a superellipse");
        near(id, area(&path), row(&format!("{id}-area")), 0.001);
        near(id, tightest(&path).0, row(&format!("{id}-rmin")), 0.002);
    }
}

/// `r = R + A cos(n t)`: area, perimeter and radii at tip and valley in closed form.
#[test]
fn flowers_have_their_area_perimeter_and_radii() {
    let shapes = [
        ("FLOW1", 5.0, 70.0, 10.0),
        ("FLOW2", 6.0, 70.0, 10.0),
        ("FLOW3", 8.0, 60.0, 6.0),
        ("FLOW4", 6.0, 75.0, 4.0),
    ];
    for (id, n, radius, depth) in shapes {
        let path = primitive::petals(Point::ORIGIN, n, radius, depth).expect("a flower");
        let (tip, valley) = tightest(&path);
        near(id, area(&path), row(&format!("{id}-area")), 0.001);
        near(id, tip, row(&format!("{id}-tip")), 0.002);
        if matches!(id, "FLOW1" | "FLOW2") {
            near(id, valley, row(&format!("{id}-valley")), 0.002);
        }
        if matches!(id, "FLOW1" | "FLOW4") {
            near(id, perimeter(&path), row(&format!("{id}-per")), 0.001);
        }
    }
}

/// The radial error of a cubic arc grows with the sixth power of its angle: 2.7e-4 for a
/// quarter (row BEZ4), 64 times less for an eighth of a turn.
#[test]
fn circles_are_round() {
    use kurbo::ParamCurve;
    let (center, radius) = (Point::new(-4.0, 9.0), 60.0);
    let path = primitive::circle(center, radius).expect("a circle");
    let worst = |path: &BezPath, center: Point, radius: f64| {
        path.segments()
            .flat_map(|s| (0..=2000).map(move |i| s.eval(f64::from(i) / 2000.0)))
            .map(|p| (p.distance(center) / radius - 1.0).abs())
            .fold(0.0, f64::max)
    };
    let error = worst(&path, center, radius);
    assert!(error <= row("BEZ4") / 60.0, "radial error {error}");
    assert!(error <= 4.3e-6, "radial error {error}");
    let k = 4.0 / 3.0 * (std::f64::consts::PI / 8.0).tan();
    let d = format!(
        "M1 0C1 {k} {k} 1 0 1C-{k} 1-1 {k}-1 0C-1-{k}-{k}-1 0-1C{k}-1 1-{k} 1 0Z"
    );
    let quarters = svg::path_data(&d).expect("path data");
    near("BEZ4", worst(&quarters, Point::ORIGIN, 1.0), row("BEZ4"), 1e-9);
}

/// Sagitta and chord of a circle, elementary.
#[test]
fn circles_bulge_over_their_chords_as_the_sagitta_says() {
    use kurbo::ParamCurve;
    for (id, radius, chord) in [("SAG1", 50.0, 2.0), ("SAG2", 3.0, 0.5)] {
        let path = primitive::circle(Point::ORIGIN, radius).expect("a circle");
        let half = f64::asin(chord / 2.0 / radius);
        let middle = std::f64::consts::FRAC_PI_8;
        let end = (kurbo::Vec2::from_angle(middle + half) * radius).to_point();
        let start = (kurbo::Vec2::from_angle(middle - half) * radius).to_point();
        near(id, start.distance(end), chord, 1e-9);
        let top = path.segments().next().expect("an arc").eval(0.5);
        let sagitta = top.distance(start.midpoint(end));
        near(id, sagitta, row(id), 5e-6 * radius);
    }
    for (id, radius, sagitta) in [("CHORD1", 50.0, 0.01), ("CHORD3", 75.0, 0.005)] {
        let half = f64::acos(1.0 - sagitta / radius);
        near(id, 2.0 * radius * half.sin(), row(id), 1e-9);
    }
}

#[test]
fn primitives_run_counter_clockwise_and_close() {
    use kurbo::ParamCurve;
    let at = Point::new(10.0, -20.0);
    let points = [(0.0, 0.0), (0.0, 10.0), (10.0, 10.0), (10.0, 0.0)];
    let all = [
        ("circle", primitive::circle(at, 5.0), std::f64::consts::PI * 25.0),
        ("square", primitive::rectangle(at, 8.0, 4.0, 0.0), 32.0),
        (
            "stadium",
            primitive::rectangle(at, 8.0, 4.0, 2.0),
            16.0 + std::f64::consts::PI * 4.0,
        ),
        ("polygon", primitive::polygon(&points.map(Point::from)), 100.0),
        (
            "star",
            primitive::star(at, 5.0, 70.0, 26.737_620_787_507_4),
            5.0 * 70.0 * 26.737_620_787_507_4 * (std::f64::consts::PI / 5.0).sin(),
        ),
        ("diamond", primitive::superellipse(at, 3.0, 2.0, 1.0), 12.0),
        ("parabolas", primitive::superellipse(at, 3.0, 2.0, 0.5), 4.0),
    ];
    for (what, path, want) in all {
        let path = path.unwrap_or_else(|fault| panic!("{what}: {fault}"));
        near(what, area(&path), want, 0.01);
        let mut ends = path.segments();
        let first = ends.next().expect("a piece");
        let last = ends.last().expect("a second piece");
        assert_eq!(first.start(), last.end(), "{what} is closed");
        assert_eq!(first_crossing(&path), None, "{what} is simple");
    }
}

#[test]
fn numbers_without_sense_are_faults() {
    let at = Point::ORIGIN;
    let nan = f64::NAN;
    let faults = [
        primitive::circle(at, -1.0),
        primitive::circle(at, nan),
        primitive::circle(at, f64::INFINITY),
        primitive::circle(Point::new(nan, 0.0), 1.0),
        primitive::circle(Point::new(2e5, 0.0), 1.0),
        primitive::ellipse(at, 0.0, 1.0),
        primitive::rectangle(at, 10.0, 4.0, 2.1),
        primitive::rectangle(at, 10.0, 4.0, -0.1),
        primitive::rectangle(at, nan, 4.0, 0.0),
        primitive::polygon(&[at, Point::new(1.0, 0.0)]),
        primitive::star(at, 5.0, 10.0, 12.0),
        primitive::star(at, 501.0, 10.0, 2.0),
        primitive::star(at, nan, 10.0, 2.0),
        primitive::petals(at, 5.0, 10.0, 11.0),
        primitive::petals(at, 0.0, 10.0, 1.0),
        primitive::superellipse(at, 1.0, 1.0, 0.4),
        primitive::superellipse(at, 1.0, 1.0, 21.0),
        primitive::spiral(at, [-1.0, 5.0], 2.0, 0.0),
        primitive::spiral(at, [1.0, nan], 2.0, 0.0),
        primitive::spiral(at, [0.0, 0.0], 2.0, 0.0),
        primitive::spiral(at, [1.0, 5.0], 0.0, 0.0),
        primitive::spiral(at, [1.0, 5.0], 51.0, 0.0),
    ];
    for (i, fault) in faults.into_iter().enumerate() {
        let fault = fault.err().unwrap_or_else(|| panic!("case {i} was drawn"));
        assert!(
            !fault.what.is_empty() && !fault.expected.is_empty(),
            "case {i}: {fault}"
        );
    }
}

/// Superellipses of every exponent stay near the true curve.
#[test]
fn superellipses_stay_on_their_curve() {
    use kurbo::ParamCurve;
    let (a, b) = (80.0_f64, 50.0_f64);
    for n in [0.5, 0.7, 1.0, 1.05, 1.3, 2.0, 2.5, 6.0, 20.0] {
        let path =
            primitive::superellipse(Point::ORIGIN, a, b, n).expect("a superellipse");
        for p in path
            .segments()
            .flat_map(|s| (0..20).map(move |i| s.eval(f64::from(i) / 20.0)))
        {
            // First order distance to the curve f = 0, f = |x/a|^n + |y/b|^n - 1.
            let f = (p.x / a).abs().powf(n) + (p.y / b).abs().powf(n) - 1.0;
            let slope = |v: f64, half: f64| n / half * (v / half).abs().powf(n - 1.0);
            let off = f / slope(p.x, a).hypot(slope(p.y, b));
            assert!(off.abs() < 0.0005, "n {n}: {off} mm off at {p}");
        }
        assert!(
            path.segments().count() < 1000,
            "n {n}: {} pieces",
            path.segments().count()
        );
    }
}

/// Weisstein, "Archimedes' Spiral", `MathWorld`: r = b t has the length
/// b / 2 (t sqrt(1 + t^2) + arsinh t).
#[test]
fn spirals_have_their_length_and_stay_on_their_curve() {
    use kurbo::ParamCurve;
    use std::f64::consts::TAU;
    for (to, turns) in [(40.0, 2.5), (60.0, 7.0), (12.0, 0.25)] {
        let path = primitive::spiral(Point::ORIGIN, [0.0, to], turns, 0.0);
        let t = TAU * turns;
        let want = to / t / 2.0 * (t * t.hypot(1.0) + t.asinh());
        near("length", perimeter(&path.expect("a spiral")), want, 1e-4);
    }
    let (center, from, to, turns, start) = (Point::new(3.0, -7.0), 20.0, 5.0, -1.5, 30.0);
    let path = primitive::spiral(center, [from, to], turns, start).expect("a spiral");
    let ends = (path.segments().next(), path.segments().last());
    let (first, last) = (ends.0.expect("a first").start(), ends.1.expect("a last").end());
    let at =
        |degrees: f64, r: f64| center + kurbo::Vec2::from_angle(degrees.to_radians()) * r;
    assert!(first.distance(at(30.0, from)) < 1e-9, "starts at {first}");
    // Clockwise by a turn and a half.
    assert!(last.distance(at(30.0 + 180.0, to)) < 1e-6, "ends at {last}");
    let mut turned = 0.0;
    let mut before = 30.0_f64.to_radians();
    for segment in path.segments() {
        for i in 1..=16 {
            let v = segment.eval(f64::from(i) / 16.0) - center;
            turned += (v.angle() - before + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0;
            before = v.angle();
            let want = from + (to - from) * turned / (TAU * turns);
            near("radius", v.hypot(), want, 0.0005);
        }
    }
}

/// Two circles joined, cut and kept: Weisstein, "Circle-Circle Intersection", `MathWorld`.
#[test]
fn lenses_and_crescents_have_their_area_and_tips() {
    let pairs = [
        ("LENS1", 50.0, 50.0, 60.0),
        ("LENS2", 50.0, 50.0, 50.0),
        ("LENS3", 80.0, 60.0, 40.0),
        ("LENS4", 75.0, 60.0, 30.0),
    ];
    for (id, r1, r2, d) in pairs {
        let disc = |x: f64, r: f64| {
            let path = primitive::circle(Point::new(x, 0.0), r).expect("a circle");
            Region::filled(&path, Origin(0)).expect("a disc")
        };
        let (one, two) = (disc(0.0, r1), disc(d, r2));
        let lens = one.keep(&two);
        let crescent = one.cut(&two);
        near(id, lens.area() + crescent.area(), one.area(), 0.01);
        if matches!(id, "LENS1" | "LENS4") {
            near(id, crescent.area(), row(&format!("{id}-cresarea")), 0.02);
        }
        let tip = Point::new(row(&format!("{id}-cuspx")), row(&format!("{id}-cuspy")));
        let gap = lens
            .contours()
            .iter()
            .flat_map(treen::curve::Contour::pieces)
            .map(|piece| piece.curve.start().distance(tip))
            .fold(f64::MAX, f64::min);
        near(id, gap, 0.0, 0.001);
    }
}
