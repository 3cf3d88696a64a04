//! Booleans on regions against closed forms.

use treen::curve::{BezPath, Origin, Point, Region, primitive};

const SOURCE: &str =
    "circle-circle intersection: Weisstein, MathWorld, \"Circle-Circle Intersection\"";

fn disc(x: f64, y: f64, r: f64) -> Region {
    use kurbo::Shape as _;
    let path = kurbo::Circle::new((x, y), r).to_path(1e-9);
    Region::filled(&path, Origin(0)).expect("a disc has an area")
}

fn polygon(points: &[(f64, f64)]) -> Region {
    let mut path = BezPath::new();
    path.move_to(points[0]);
    for &p in &points[1..] {
        path.line_to(p);
    }
    path.close_path();
    Region::filled(&path, Origin(0)).expect("a polygon with an area")
}

fn lens_area(r1: f64, r2: f64, d: f64) -> f64 {
    let (a1, a2) = (
        ((d * d + r1 * r1 - r2 * r2) / (2.0 * d * r1)).acos(),
        ((d * d + r2 * r2 - r1 * r1) / (2.0 * d * r2)).acos(),
    );
    r1 * r1 * (a1 - (2.0 * a1).sin() / 2.0) + r2 * r2 * (a2 - (2.0 * a2).sin() / 2.0)
}

#[test]
fn lens_and_crescent_of_two_discs() {
    for (r1, r2, d) in [(50.0, 50.0, 60.0), (80.0, 60.0, 40.0), (75.0, 60.0, 30.0)] {
        let (a, b) = (disc(0.0, 0.0, r1), disc(d, 0.0, r2));
        let lens = lens_area(r1, r2, d);
        let pi = std::f64::consts::PI;
        let checks = [
            ("lens", a.keep(&b).area(), lens),
            ("crescent", a.cut(&b).area(), pi * r1 * r1 - lens),
            ("both", a.unite(&b).area(), pi * (r1 * r1 + r2 * r2) - lens),
        ];
        for (what, have, want) in checks {
            assert!(
                (have - want).abs() < 1e-6,
                "{what} {r1} {r2} {d}: {have} {want} ({SOURCE})"
            );
        }
        let x = (d * d + r1 * r1 - r2 * r2) / (2.0 * d);
        let cusp = Point::new(x, (r1 * r1 - x * x).sqrt());
        let keep = a.keep(&b);
        let near = keep.contours()[0]
            .pieces()
            .iter()
            .map(|piece| (piece.curve.start() - cusp).hypot())
            .fold(f64::INFINITY, f64::min);
        assert!(near < 1e-9, "cusp of the lens off by {near} mm ({SOURCE})");
    }
}

#[test]
fn a_hole_runs_clockwise_and_counts_once() {
    let ring = disc(0.0, 0.0, 50.0).cut(&disc(5.0, 0.0, 20.0));
    assert_eq!(ring.contours().len(), 2, "outer edge and hole");
    assert_eq!(ring.parts(), 1, "one part");
    let pi = std::f64::consts::PI;
    assert!((ring.area() - pi * (2500.0 - 400.0)).abs() < 1e-6, "area of a ring");
}

#[test]
fn coincident_edges_vanish_in_a_union() {
    let left = polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]);
    let right = polygon(&[(10.0, 0.0), (30.0, 0.0), (30.0, 10.0), (10.0, 10.0)]);
    let both = left.unite(&right);
    assert_eq!(both.contours().len(), 1, "one contour");
    assert!((both.area() - 300.0).abs() < 1e-6, "area {}", both.area());
    assert!((left.unite(&left).area() - 100.0).abs() < 1e-6, "a region with itself");
    assert!(left.cut(&left).is_empty(), "nothing left of a region cut by itself");
}

#[test]
fn a_simple_convex_curve_is_taken_as_drawn_and_no_other() {
    let pi = std::f64::consts::PI;
    let round = disc(3.0, 4.0, 20.0);
    assert!((round.area() - pi * 400.0).abs() < 1e-6, "a disc: {}", round.area());
    let twice = {
        use kurbo::Shape as _;
        // Once round with a radius of 10, then once with 20, from one point: it turns left
        // only, but two full turns.
        let mut path = BezPath::new();
        for radius in [10.0, 20.0] {
            let circle = kurbo::Circle::new((-radius, 0.0), radius).to_path(1e-9);
            let skip = usize::from(radius > 10.0);
            path.extend(circle.elements().iter().skip(skip).copied());
            path.truncate(path.elements().len() - 1);
        }
        path.close_path();
        Region::filled(&path, Origin(0)).expect("a region")
    };
    assert!((twice.area() - pi * 400.0).abs() < 1e-4, "filled once: {}", twice.area());
    let clockwise = polygon(&[(0.0, 0.0), (0.0, 9.0), (7.0, 9.0), (7.0, 0.0)]);
    assert!((clockwise.area() - 63.0).abs() < 1e-9, "wood is on the left");
    let there_and_back = polygon(&[(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (4.0, 0.0)]);
    assert!((there_and_back.area() - 22.5).abs() < 1e-6, "{}", there_and_back.area());
}

#[test]
fn many_regions_are_united_as_if_one_by_one() {
    let discs: Vec<Region> = (0..6)
        .map(|i| disc(f64::from(i) * 12.0, 0.0, 10.0).cut(&disc(0.0, 0.0, 3.0)))
        .collect();
    let mut single = Region::default();
    for region in &discs {
        single = single.unite(region);
    }
    let at_once = Region::united(&discs);
    assert!((single.area() - at_once.area()).abs() < 1e-6, "{}", at_once.area());
    assert_eq!(single.contours().len(), at_once.contours().len(), "contours");
    assert!(Region::united(&[]).is_empty(), "none of none");
}

/// Points at exactly the height of a joint between pieces, or of an arc's top, are inside or
/// outside by where they are. A winding by path once took some outside points for inside.
#[test]
fn points_level_with_a_joint_are_told_apart() {
    let path = primitive::rectangle(Point::ORIGIN, 20.0, 10.0, 3.0).expect("a rectangle");
    let plate = Region::filled(&path, Origin::default()).expect("an area");
    let disc = primitive::circle(Point::new(0.0, 2.0), 1.5).expect("a circle");
    let hole = Region::filled(&disc, Origin::default()).expect("an area");
    let plate = plate.cut(&hole);
    let joints = plate.contours().iter().flat_map(treen::curve::Contour::pieces);
    let heights: Vec<f64> = joints
        .flat_map(|piece| [0.0, 0.5, 1.0].map(|t| piece.curve.eval(t).y))
        .chain([-5.0, 5.0, 0.5, 3.5])
        .collect();
    assert!(heights.len() > 20, "{} heights", heights.len());
    for y in heights {
        for x in [-30.0, -10.0 - 1e-9, 10.0 + 1e-9, 11.0, 25.0] {
            assert!(!plate.contains(Point::new(x, y)), "({x}, {y}) is outside");
        }
        // Between the straight sides and clear of the hole.
        if y.abs() < 5.0 {
            assert!(plate.contains(Point::new(5.0, y)), "(5, {y}) is inside");
            assert!(plate.contains(Point::new(-5.0, y)), "(-5, {y}) is inside");
        }
    }
    assert!(!plate.contains(Point::new(0.0, 2.0)), "in the hole");
    assert!(plate.contains(Point::new(0.0, 4.0)), "above the hole");
}

/// Regions apart, near, one in a hole of the other and one within the other: whether or not
/// an overlay is needed, the areas are those of discs and rings.
#[test]
fn regions_that_lie_apart_are_combined_as_well_as_those_that_touch() {
    let pi = std::f64::consts::PI;
    let ring = disc(0.0, 0.0, 50.0).cut(&disc(0.0, 0.0, 30.0));
    let cases = [
        ("apart", disc(0.0, 0.0, 20.0), disc(60.0, 0.0, 20.0), 800.0, 0.0),
        ("boxes overlap", disc(0.0, 0.0, 20.0), disc(30.0, 30.0, 20.0), 800.0, 0.0),
        ("nearly touching", disc(0.0, 0.0, 20.0), disc(40.005, 0.0, 20.0), 800.0, 0.0),
        ("in the hole", ring.clone(), disc(5.0, 0.0, 20.0), 1600.0 + 400.0, 0.0),
        ("in the wood", ring, disc(40.0, 0.0, 5.0), 1600.0, 25.0),
        ("within", disc(0.0, 0.0, 50.0), disc(0.0, 5.0, 10.0), 2500.0, 100.0),
        ("the same", disc(0.0, 0.0, 50.0), disc(0.0, 0.0, 50.0), 2500.0, 2500.0),
    ];
    for (what, a, b, both, common) in cases {
        let near = |op: &str, have: f64, want: f64| {
            assert!(
                (have - want * pi).abs() < 0.02,
                "{what}, {op}: {have} for {}",
                want * pi
            );
        };
        for (a, b) in [(&a, &b), (&b, &a)] {
            near("unite", a.unite(b).area(), both);
            near("united", Region::united(&[a.clone(), b.clone()]).area(), both);
            near("keep", a.keep(b).area(), common);
            near("cut", a.cut(b).area(), a.area() / pi - common);
        }
    }
}
