//! Splines against what J. D. Hobby published (Discrete & Computational Geometry 1, 1986).

use crate::polygon::polygon;
use kurbo::{Affine, ParamCurve, ParamCurveDeriv, Vec2};
use treen::curve::spline::{Spline, through};
use treen::curve::{BezPath, PathSeg, Point, first_crossing};

const SNAKE: [(f64, f64); 7] = [
    (0.0, 0.0),
    (40.0, 25.0),
    (55.0, 80.0),
    (20.0, 95.0),
    (-30.0, 60.0),
    (-35.0, 20.0),
    (-10.0, -12.0),
];

fn points(list: &[(f64, f64)]) -> Vec<Point> {
    list.iter().map(|p| Point::from(*p)).collect()
}

fn spline(through_points: &[Point], closed: bool, corners: &[usize]) -> BezPath {
    let spline = Spline { through: through_points, closed, corners, tension: 1.0 };
    through(&spline).expect("a spline")
}

fn cubics(path: &BezPath) -> Vec<kurbo::CubicBez> {
    path.segments()
        .filter_map(|s| match s {
            PathSeg::Cubic(cubic) => Some(cubic),
            PathSeg::Line(_) | PathSeg::Quad(_) => None,
        })
        .collect()
}

/// The angle by which the curve turns sharply where one cubic ends and the next starts.
fn turn(before: &kurbo::CubicBez, after: &kurbo::CubicBez) -> f64 {
    let v: Vec2 = before.deriv().eval(1.0).to_vec2();
    let w: Vec2 = after.deriv().eval(0.0).to_vec2();
    v.cross(w).atan2(v.dot(w)).abs()
}

/// Hobby's velocities are chosen so that equal arcs of a circle come out nearly round; the
/// bounds are those we measured, rounded up (four points: row BEZ4 of the closed forms).
#[test]
fn points_on_a_circle_give_nearly_a_circle() {
    for (count, bound) in
        [(3, 0.001_55), (4, 0.000_273), (6, 0.000_024), (8, 0.000_004_3)]
    {
        let ring: Vec<Point> = (0..count)
            .map(|i| {
                let angle = std::f64::consts::TAU * f64::from(i) / f64::from(count);
                (Vec2::from_angle(angle) * 100.0).to_point()
            })
            .collect();
        let path = spline(&ring, true, &[]);
        let worst = path
            .segments()
            .flat_map(|s| (0..=200).map(move |i| s.eval(f64::from(i) / 200.0)))
            .map(|p| (p.to_vec2().hypot() / 100.0 - 1.0).abs())
            .fold(0.0, f64::max);
        assert!(worst < bound, "{count} points: {worst} of the radius");
    }
}

#[test]
fn passes_through_every_point_smoothly() {
    let knots = points(&SNAKE);
    for closed in [false, true] {
        let all = cubics(&spline(&knots, closed, &[]));
        assert_eq!(all.len(), if closed { 7 } else { 6 }, "spans");
        for (cubic, knot) in all.iter().zip(&knots) {
            assert_eq!(cubic.p0, *knot, "starts at its knot");
        }
        for pair in all.windows(2) {
            assert!(turn(&pair[0], &pair[1]) < 1e-9, "smooth at {}", pair[1].p0);
        }
        if closed {
            assert_eq!(all[6].p3, knots[0], "closes");
            assert!(turn(&all[6], &all[0]) < 1e-9, "smooth where it closes");
        }
    }
}

/// The mock curvature is the curvature to first order, so on a gentle curve the true
/// curvature hardly jumps.
#[test]
fn curvature_hardly_jumps_on_gentle_curves() {
    let knots: Vec<Point> = (0..9)
        .map(|i| Point::new(f64::from(i) * 10.0, (f64::from(i) * 0.7).sin()))
        .collect();
    let curvature = |cubic: &kurbo::CubicBez, t: f64| {
        let v = cubic.deriv().eval(t).to_vec2();
        let w = cubic.deriv().deriv().eval(t).to_vec2();
        v.cross(w) / v.hypot().powi(3)
    };
    for pair in cubics(&spline(&knots, false, &[])).windows(2) {
        let jump = (curvature(&pair[0], 1.0) - curvature(&pair[1], 0.0)).abs();
        assert!(jump < 2e-4, "jump {jump} at {}", pair[1].p0);
    }
}

#[test]
fn turns_sharply_at_corners_alone() {
    let knots = points(&SNAKE);
    for (closed, corners) in [(true, [2_usize, 5]), (false, [2, 5])] {
        let all = cubics(&spline(&knots, closed, &corners));
        let mut sharp = 0;
        let around = if closed { all.len() } else { all.len() - 1 };
        for i in 0..around {
            let after = &all[(i + 1) % all.len()];
            let angle = turn(&all[i], after);
            if corners.iter().any(|corner| knots[*corner] == after.p0) {
                sharp += usize::from(angle > 0.05);
            } else {
                assert!(angle < 1e-9, "smooth at {}", after.p0);
            }
        }
        assert_eq!(sharp, 2, "closed {closed}");
    }
}

#[test]
fn two_points_make_a_straight_line_and_tension_tightens() {
    let line = cubics(&spline(&points(&[(0.0, 0.0), (30.0, 40.0)]), false, &[]));
    let line = line.first().expect("a cubic");
    assert!((line.eval(0.5) - Point::new(15.0, 20.0)).hypot() < 1e-12, "straight");
    let knots = points(&SNAKE);
    let length = |tension: f64| {
        let spline = Spline { through: &knots, closed: true, corners: &[], tension };
        kurbo::Shape::perimeter(&through(&spline).expect("a spline"), 1e-6)
    };
    assert!(length(1.0) > length(2.0) && length(2.0) > length(10.0), "tauter is shorter");
}

#[test]
fn turning_scaling_and_mirroring_commute_with_drawing() {
    let knots = points(&SNAKE);
    let moves = [
        Affine::rotate(0.7) * Affine::scale(3.0),
        Affine::translate((100.0, -40.0)),
        Affine::scale_non_uniform(-1.0, 1.0),
    ];
    for affine in moves {
        let moved: Vec<Point> = knots.iter().map(|p| affine * *p).collect();
        let after = affine * spline(&knots, true, &[3]);
        let before = spline(&moved, true, &[3]);
        for (a, b) in after.segments().zip(before.segments()) {
            for i in 0..=8 {
                let t = f64::from(i) / 8.0;
                assert!(a.eval(t).distance(b.eval(t)) < 1e-9, "at {}", a.eval(t));
            }
        }
    }
}

#[test]
fn nonsense_is_a_fault() {
    let good = points(&SNAKE);
    let twice = points(&[(0.0, 0.0), (1.0, 0.0), (1.0, 0.0), (0.0, 5.0)]);
    let round = points(&[(0.0, 0.0), (1.0, 0.0), (1.0, 4.0), (0.0, 0.0)]);
    let nan = points(&[(0.0, 0.0), (f64::NAN, 0.0), (1.0, 4.0)]);
    let case = |through: &[Point], closed, corners: &[usize], tension| {
        treen::curve::spline::through(&Spline { through, closed, corners, tension })
    };
    assert!(case(&good[..1], false, &[], 1.0).is_err(), "one point");
    assert!(case(&good[..2], true, &[], 1.0).is_err(), "closed through two");
    assert!(case(&twice, false, &[], 1.0).is_err(), "coincident neighbours");
    assert!(case(&round, true, &[], 1.0).is_err(), "coincident where it closes");
    assert!(case(&round, false, &[], 1.0).is_ok(), "open may end where it starts");
    assert!(case(&nan, false, &[], 1.0).is_err(), "NaN");
    assert!(case(&good, true, &[7], 1.0).is_err(), "no such corner");
    assert!(case(&good, true, &[], 0.5).is_err(), "too slack");
    assert!(case(&good, true, &[], f64::NAN).is_err(), "NaN tension");
}

/// Wild turns must not blow up.
#[test]
fn wild_points_stay_finite() {
    let wild =
        points(&[(0.0, 0.0), (10.0, 0.0), (0.0, 0.001), (10.0, 0.001), (-5.0, 0.0)]);
    for closed in [false, true] {
        let path = spline(&wild, closed, &[]);
        assert!(path.is_finite(), "closed {closed}");
        let _ = first_crossing(&path);
    }
}

/// Strands that cross at a joint of either, or of both, are told; those that only touch there
/// are not.
#[test]
fn crossings_at_joints_are_told() {
    let third = 100.0 / 3.0;
    let crossing = [
        // A bow-tie with a joint of both, of one strand, and a skew one where both cross.
        vec![
            (-60.0, -40.0),
            (0.0, 0.0),
            (60.0, 40.0),
            (60.0, -40.0),
            (0.0, 0.0),
            (-60.0, 40.0),
        ],
        vec![(-60.0, -40.0), (0.0, 0.0), (60.0, 40.0), (60.0, -40.0), (-60.0, 40.0)],
        vec![
            (-60.0, -40.0),
            (third, 7.0),
            (60.0, 40.0),
            (90.0, -40.0),
            (third, 7.0),
            (-60.0, 40.0),
        ],
        // The joint is where the path starts.
        vec![
            (0.0, 0.0),
            (60.0, 40.0),
            (60.0, -40.0),
            (0.0, 0.0),
            (-60.0, 40.0),
            (-60.0, -40.0),
        ],
    ];
    for points in crossing {
        assert!(first_crossing(&polygon(&points)).is_some(), "{points:?} crosses");
    }
    let touching = [
        // Two triangles tip to tip, and a tip that touches a side.
        vec![
            (0.0, 0.0),
            (60.0, 40.0),
            (60.0, -40.0),
            (0.0, 0.0),
            (-60.0, -40.0),
            (-60.0, 40.0),
        ],
        vec![
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 50.0),
            (70.0, 50.0),
            (50.0, 0.0),
            (30.0, 50.0),
            (0.0, 50.0),
        ],
        // Out and back along one line.
        vec![
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 50.0),
            (100.0, 90.0),
            (100.0, 50.0),
            (0.0, 50.0),
        ],
    ];
    for points in touching {
        assert_eq!(first_crossing(&polygon(&points)), None, "{points:?} touches");
    }
}

/// Two lobes of a spline that meet at a knot both pass through: a figure of eight crosses
/// there, two loops that turn back do not.
#[test]
fn splines_that_cross_at_a_knot_are_told() {
    let eight = [
        (0.0, 0.0),
        (40.0, 30.0),
        (80.0, 0.0),
        (40.0, -30.0),
        (0.0, 0.0),
        (-40.0, 30.0),
        (-80.0, 0.0),
        (-40.0, -30.0),
    ];
    let points: Vec<Point> = eight.iter().map(|&p| p.into()).collect();
    let spline = Spline { through: &points, closed: true, corners: &[], tension: 1.0 };
    let at = first_crossing(&through(&spline).expect("drawn")).expect("it crosses");
    assert!(at.to_vec2().hypot() < 1e-3, "it crosses at {at}");
    // The second lobe run the other way round touches the first.
    let (first, second) = eight.split_at(4);
    let back = second[1..].iter().rev();
    let points: Vec<Point> =
        first.iter().chain([&second[0]]).chain(back).map(|&p| p.into()).collect();
    let spline =
        Spline { through: &points, closed: true, corners: &[0, 4], tension: 1.0 };
    assert_eq!(first_crossing(&through(&spline).expect("drawn")), None, "it touches");
}
