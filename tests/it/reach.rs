//! Reach, openings and closings against closed forms.
//!
//! Source of the formulas: openings and closings by a disc are those of J. Serra, "Image
//! Analysis and Mathematical Morphology" (from memory); each value is elementary geometry.

use crate::golden::value;
use std::f64::consts::PI;
use treen::curve::{BezPath, Origin, Point, Region};
use treen::reach::{Niche, Profile, closing, grow, opening, shrink, thinnest};

const O: Origin = Origin(0);

pub(crate) fn polygon(points: &[(f64, f64)]) -> Region {
    let mut path = BezPath::new();
    path.move_to(points[0]);
    for &p in &points[1..] {
        path.line_to(p);
    }
    path.close_path();
    Region::filled(&path, O).expect("a polygon with an area")
}

fn regular(n: usize, side: f64) -> Region {
    let r = side / 2.0 / (PI / n as f64).sin();
    let points: Vec<(f64, f64)> = (0..n)
        .map(|i| {
            let a = 2.0 * PI * i as f64 / n as f64 + 0.3;
            (r * a.cos(), r * a.sin())
        })
        .collect();
    polygon(&points)
}

fn disc(x: f64, r: f64) -> Region {
    use kurbo::Shape as _;
    Region::filled(&kurbo::Circle::new((x, 0.0), r).to_path(1e-9), O).expect("a disc")
}

fn star() -> Region {
    let inner = value("STAR-ri");
    let points: Vec<(f64, f64)> = (0..10)
        .map(|i| {
            let a = PI / 5.0 * f64::from(i) + 0.1;
            let r = if i % 2 == 0 { 70.0 } else { inner };
            (r * a.cos(), r * a.sin())
        })
        .collect();
    polygon(&points)
}

pub(crate) fn ell() -> Region {
    polygon(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 30.0),
        (40.0, 30.0),
        (40.0, 100.0),
        (0.0, 100.0),
    ])
}

pub(crate) fn near(what: &str, have: f64, want: f64, tolerance: f64) {
    assert!((have - want).abs() <= tolerance, "{what}: have {have}, want {want}");
}

fn area_near(what: &str, region: Option<Region>, want: f64) {
    let have = region.map_or(f64::NAN, |region| region.area());
    near(what, have, want, 0.0005 + 1e-7 * want);
}

#[test]
fn opening_of_regular_polygons() {
    for (n, side, r, id) in [
        (3, 100.0, 3.175, "OPEN-3gon"),
        (4, 100.0, 3.175, "OPEN-4gon"),
        (6, 50.0, 3.175, "OPEN-6gon"),
        (5, 60.0, 6.0, "OPEN-5gon"),
        (8, 40.0, 6.0, "OPEN-8gon"),
    ] {
        let region = regular(n, side);
        let opened = opening(&region, r, O).expect("an answer");
        let (tan, n) = ((PI / n as f64).tan(), n as f64);
        let a = region.area() - r * r * (n * tan - PI);
        near(id, opened.area(), a, 1e-4);
        let l = region.perimeter() - 2.0 * r * (n * tan - PI);
        near(id, opened.perimeter(), l, 1e-4);
        for (suffix, have) in [("A", opened.area()), ("L", opened.perimeter())] {
            let id = format!("{id}-{suffix}");
            if include_str!("../golden/closed_forms.tsv").contains(&format!("{id}\t")) {
                near(&id, have, value(&id), 1e-4);
            }
        }
    }
}

#[test]
fn gaps_left_in_corners_are_leftover_depths() {
    for (n, side, r, id) in [
        (4, 100.0, 3.175, "OPEN-4gon-gap"),
        (5, 60.0, 6.0, "OPEN-5gon-gap"),
        (8, 40.0, 6.0, "OPEN-8gon-gap"),
    ] {
        let region = regular(n, side);
        // seen from inside, as a recess
        let profile = Profile::inside(&region, 20.0);
        assert!(
            profile.lowest_reach().is_some_and(|low| low.radius == 0.0),
            "sharp corners"
        );
        let leftovers = profile.leftovers(r).expect("an answer");
        assert_eq!(leftovers.len(), n, "one leftover a corner");
        for leftover in leftovers {
            near(id, leftover.depth, value(id), 1e-4);
        }
    }
}

#[test]
fn wedges() {
    for (angle, ids) in [
        (36.0, ["WEDGE36-A", "WEDGE36-gap", "WEDGE36-tan"]),
        (60.0, ["", "WEDGE60-gap", ""]),
        (90.0, ["", "WEDGE90-gap", ""]),
        (120.0, ["", "", "WEDGE120-tan"]),
        (135.0, ["", "WEDGE135-gap", ""]),
        (150.0, ["WEDGE150-A", "WEDGE150-gap", ""]),
    ] {
        let half: f64 = f64::to_radians(angle / 2.0);
        let (c, s) = (80.0 * half.cos(), 80.0 * half.sin());
        let region = polygon(&[(0.0, 0.0), (c, -s), (c + 300.0, 0.0), (c, s)]);
        let profile = Profile::inside(&region, 20.0);
        let leftovers = profile.leftovers(3.175).expect("an answer");
        let tip =
            leftovers.iter().find(|l| l.at.distance(Point::ZERO) < 1e-6).expect("a tip");
        let tangent = tip.mouth / 2.0 / half.sin();
        for (id, have) in ids.into_iter().zip([tip.area, tip.depth, tangent]) {
            if !id.is_empty() {
                near(id, have, value(id), 1e-4);
            }
        }
    }
}

#[test]
fn l_shape_closed_and_opened() {
    let region = ell();
    area_near("close", closing(&region, 3.175, O), value("L-close-3.175"));
    area_near("open", opening(&region, 3.175, O), value("L-open-3.175"));
    area_near("open", opening(&region, 6.0, O), value("L-open-6.0"));
}

#[test]
fn star_closed_and_opened() {
    let region = star();
    let opened = opening(&region, 3.175, O).expect("an answer").area();
    near("lost", region.area() - opened, value("STAR-openlost"), 1e-3);
    let closed = closing(&region, 3.175, O).expect("an answer").area();
    near("added", closed - region.area(), value("STAR-closeadd"), 1e-3);
}

#[test]
fn lenses_and_crescents_opened() {
    for (r1, r2, d, id) in [
        (50.0, 50.0, 60.0, "LENS1"),
        (50.0, 50.0, 50.0, "LENS2"),
        (80.0, 60.0, 40.0, "LENS3"),
        (75.0, 60.0, 30.0, "LENS4"),
    ] {
        let (a, b) = (disc(0.0, r1), disc(d, r2));
        for (region, what) in [(a.keep(&b), "gapL"), (a.cut(&b), "gapC")] {
            let row = format!("{id}-{what}");
            let known =
                include_str!("../golden/closed_forms.tsv").contains(&format!("{row}\t"));
            let profile = Profile::inside(&region, 20.0);
            let leftovers = profile.leftovers(3.175).expect("an answer");
            assert_eq!(leftovers.len(), 2, "two tips");
            if known {
                for leftover in leftovers {
                    near(&row, leftover.depth, value(&row), 1e-4);
                }
            }
        }
        let row = format!("{id}-openA");
        if include_str!("../golden/closed_forms.tsv").contains(&format!("{row}\t")) {
            area_near(&row, opening(&a.keep(&b), 3.175, O), value(&row));
        }
    }
}

/// Minkowski-Steiner formula: area A + L d + pi d², length L + 2 pi d.
#[test]
fn grown_convex_shapes() {
    let rect = polygon(&[(0.0, 0.0), (120.0, 0.0), (120.0, 80.0), (0.0, 80.0)]);
    for (region, id) in [
        (rect, "STEIN-rect120x80"),
        (regular(3, 100.0), "STEIN-eqtri100"),
        (regular(6, 50.0), "STEIN-hex50"),
        (disc(0.0, 50.0), "STEIN-disc50"),
    ] {
        let grown = grow(&region, 3.175, O).expect("an answer");
        near(id, grown.area(), value(&format!("{id}-A")), 1e-4);
        near(id, grown.perimeter(), value(&format!("{id}-L")), 1e-4);
    }
}

#[test]
fn shrunk_polygons() {
    for (n, side, id) in [(5, 60.0, "INSET-5gon"), (6, 50.0, "INSET-6gon")] {
        area_near(id, shrink(&regular(n, side), 5.0, O), value(id));
    }
}

#[test]
fn a_gap_between_gentle_lobes_counts() {
    // Two discs of radius 40 whose edges are 5 mm apart, joined by a bar far below: every
    // curve is gentle where the gap is, only the far side stops the cutter.
    let bar = polygon(&[(-40.0, -60.0), (125.0, -60.0), (125.0, -30.0), (-40.0, -30.0)]);
    let region = disc(0.0, 40.0).unite(&disc(85.0, 40.0)).unite(&bar);
    let low = Profile::outside(&region, 60.0).thinnest();
    let low = low.expect("a gap");
    near("half the gap", low.radius, 2.5, 1e-6);
    near("x", low.at.x.min(low.across.expect("a gap").x), 40.0, 1e-3);
}

#[test]
fn a_planted_fillet_is_found_again() {
    for r in [0.8, 1.5, 2.0, 3.0, 3.2, 5.0] {
        let region = closing(&ell(), r, O).expect("an answer");
        let low = Profile::outside(&region, 60.0).lowest_reach().expect("a corner");
        near("reach", low.radius, r, 2e-6);
        near("place", low.at.distance(Point::new(40.0, 30.0)), 0.0, r * 1.1);
        let again = closing(&region, r, O).expect("an answer");
        near("closing twice", again.area(), region.area(), 1e-6);
        let profile = Profile::outside(&region, 10.0);
        assert!(profile.leftovers(r).expect("an answer").is_empty(), "follows {r}");
        assert_eq!(profile.leftovers(r + 0.01).expect("an answer").len(), 1, "{r}");
    }
}

#[test]
fn necks_are_found_and_tips_are_not() {
    let dumbbell = disc(0.0, 30.0).unite(&disc(80.0, 30.0)).unite(&polygon(&[
        (0.0, -3.5),
        (80.0, -3.5),
        (80.0, 3.5),
        (0.0, 3.5),
    ]));
    let neck = thinnest(&dumbbell, 40.0).expect("a neck");
    near("width", neck.radius * 2.0, 7.0, 1e-9);
    // a finger that widens from 8 to 12 mm over 100: no neck by the letter, and yet thin; the
    // first disc that touches both sides before its end does is 8.16 mm wide, and the next
    // sample is at most 0.75 mm on
    let finger = polygon(&[(0.0, -4.0), (100.0, -6.0), (100.0, 6.0), (0.0, 4.0)]);
    let thin = thinnest(&finger, 40.0).expect("a taper").radius * 2.0;
    assert!((8.16..8.16 + 0.04 * 0.75).contains(&thin), "a slow taper is thin: {thin}");
    let lens = disc(0.0, 50.0).keep(&disc(60.0, 50.0));
    let low = thinnest(&lens, 100.0).expect("its waist");
    // within 2.5 degrees of its waist its edges still face each other
    let wide = low.radius * 2.0;
    assert!(
        (39.9..40.0 + 1e-6).contains(&wide),
        "thinnest at its waist, not its tips: {wide}"
    );
}

/// The largest circle that fits: s / (2 tan(pi/n)) for regular polygons, Heron's formula for
/// triangles, w1 + w2 - sqrt(2 w1 w2) for an L with long legs.
#[test]
fn inscribed_circles() {
    let fits = |region: &Region| Profile::inside(region, 100.0).highest_reach();
    for (n, side) in [(3, 100.0), (4, 100.0), (5, 60.0), (6, 50.0), (8, 40.0), (12, 20.0)]
    {
        let id = format!("INR-{n}");
        near(&id, fits(&regular(n, side)), value(&id), 1e-6);
    }
    for (a, b, c, id) in [
        (7.0, 8.0, 9.0, "INR-tri-7-8-9"),
        (60.0, 80.0, 100.0, "INR-tri-60-80-100"),
        (13.0, 14.0, 15.0, "INR-tri-13-14-15"),
    ] {
        let x: f64 = (a * a + c * c - b * b) / (2.0 * c);
        let triangle = polygon(&[(0.0, 0.0), (c, 0.0), (x, (a * a - x * x).sqrt())]);
        near(id, fits(&triangle), value(id), 1e-6);
    }
    let rect = polygon(&[(0.0, 0.0), (120.0, 0.0), (120.0, 80.0), (0.0, 80.0)]);
    near("INR-rect", fits(&rect), value("INR-rect"), 1e-9);
    near("INR-L-40-30", fits(&ell()), value("INR-L-40-30"), 1e-6);
    for (r1, r2, d, id) in [
        (50.0, 50.0, 50.0, "LENS2"),
        (80.0, 60.0, 40.0, "LENS3"),
        (75.0, 60.0, 30.0, "LENS4"),
    ] {
        let (a, b) = (disc(0.0, r1), disc(d, r2));
        near(id, fits(&a.keep(&b)), value(&format!("{id}-incl")), 1e-6);
        near(id, fits(&a.cut(&b)), value(&format!("{id}-incc")), 1e-6);
    }
}

/// Smooth outlines: the reach is their sharpest bend, whichever side it turns to.
#[test]
fn smooth_outlines() {
    use treen::curve::primitive::{DrawFault, ellipse, petals, superellipse};
    let middle = Point::ZERO;
    let region = |path: Result<BezPath, DrawFault>| {
        Region::filled(&path.expect("a drawing"), O).expect("an area")
    };
    let inside =
        |r: &Region| Profile::inside(r, 500.0).lowest_reach().map(|low| low.radius);
    let outside =
        |r: &Region| Profile::outside(r, 500.0).lowest_reach().map(|low| low.radius);
    for (a, b, id) in [(80.0, 50.0, "ELL1-rmin"), (100.0, 60.0, "ELL3-rmin")] {
        let oval = region(ellipse(middle, a, b));
        near(id, inside(&oval).expect("an end"), value(id), 2e-3);
        assert_eq!(outside(&oval), None, "nothing stops a cutter outside an ellipse");
    }
    for (r, a, n, id) in [
        (70.0, 10.0, 5.0, "FLOW1"),
        (70.0, 10.0, 6.0, "FLOW2"),
        (60.0, 6.0, 8.0, "FLOW3"),
    ] {
        let flower = region(petals(middle, n, r, a));
        near(id, inside(&flower).expect("a tip"), value(&format!("{id}-tip")), 2e-3);
        if n < 7.0 {
            let valley = -value(&format!("{id}-valley"));
            near(id, outside(&flower).expect("a valley"), valley, 2e-3);
        }
    }
    for (a, b, n, id) in [(80.0, 50.0, 2.5, "SUP1"), (50.0, 50.0, 4.0, "SUP2")] {
        let round = region(superellipse(middle, a, b, n));
        near(id, inside(&round).expect("a shoulder"), value(&format!("{id}-rmin")), 2e-3);
    }
}

/// Opening and closing leave a smooth shape alone up to its sharpest bend (facts: only above
/// those radii is there a change).
#[test]
fn smooth_outlines_change_only_above_their_sharpest_bend() {
    let path =
        treen::curve::primitive::petals(Point::ZERO, 6.0, 70.0, 10.0).expect("drawn");
    let flower = Region::filled(&path, O).expect("an area");
    let area = value("FLOW2-area");
    for (r, same) in [(11.9, true), (12.1, false)] {
        let closed = closing(&flower, r, O).expect("an answer").area();
        assert_eq!(
            (closed - area).abs() < 2e-3,
            same,
            "closing by {r}: {closed} of {area}"
        );
    }
    for (r, same) in [(14.5, true), (14.65, false)] {
        let opened = opening(&flower, r, O).expect("an answer").area();
        assert_eq!(
            (opened - area).abs() < 2e-3,
            same,
            "opening by {r}: {opened} of {area}"
        );
    }
}

#[test]
fn leftovers_are_told_apart() {
    let plate =
        polygon(&[(-100.0, -60.0), (100.0, -60.0), (100.0, 60.0), (-100.0, 60.0)]);
    let bar = |x0: f64, x1: f64, y0: f64, y1: f64| {
        polygon(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    };
    let slot = plate.cut(&bar(-2.0, 2.0, 0.0, 80.0));
    let hole = plate.cut(&disc(0.0, 2.5));
    let chamber = plate.cut(&disc(0.0, 20.0)).cut(&bar(-2.0, 2.0, 10.0, 80.0));
    let corner = plate.cut(&bar(0.0, 110.0, 0.0, 70.0));
    for (region, niche) in [
        (slot, Niche::Slot),
        (hole, Niche::Hole),
        (chamber, Niche::Neck),
        (corner, Niche::Corner),
    ] {
        let left = Profile::outside(&region, 20.0).leftovers(3.175).expect("an answer");
        assert_eq!(left.len(), 1, "{niche:?}");
        assert_eq!(left[0].niche, niche, "at {:?}", left[0].at);
        assert!(Profile::outside(&region, 20.0).leftovers(50.0).is_some(), "{niche:?}");
    }
}

/// A hypotrochoid x = q cos t + d cos ut, y = q sin t - d sin ut with q = R - r, u = q / r, as
/// Hermite cubics a quarter of a degree long (J. D. Lawrence, "A Catalog of Special Plane
/// Curves", from memory, for the curve).
fn hypotrochoid(big: f64, small: f64, d: f64) -> Region {
    const STEPS: u32 = 1440;
    let (q, u) = (big - small, (big - small) / small);
    let at = |t: f64| {
        let point =
            Point::new(q * t.cos() + d * (u * t).cos(), q * t.sin() - d * (u * t).sin());
        let way = treen::curve::Vec2::new(
            -q * t.sin() - d * u * (u * t).sin(),
            q * t.cos() - d * u * (u * t).cos(),
        );
        (point, way)
    };
    let step = 2.0 * PI / f64::from(STEPS);
    let mut path = BezPath::new();
    path.move_to(at(0.0).0);
    for i in 0..STEPS {
        let (a, va) = at(step * f64::from(i));
        let (b, vb) = at(step * f64::from((i + 1) % STEPS));
        path.curve_to(a + va * (step / 3.0), b - vb * (step / 3.0), b);
    }
    path.close_path();
    Region::filled(&path, O).expect("an area")
}

#[test]
fn hypotrochoids() {
    for (big, small, d, id, sharp) in [
        (80.0, 20.0, 6.0, "HTR1", true),
        (90.0, 18.0, 5.0, "HTR2", false),
        (60.0, 20.0, 8.0, "HTR3", true),
    ] {
        let region = hypotrochoid(big, small, d);
        near(id, region.area(), value(&format!("{id}-area")), 0.02);
        if sharp {
            let low = Profile::inside(&region, 200.0).lowest_reach().expect("a tip");
            near(id, low.radius, value(&format!("{id}-r0")), 2e-3);
        }
        let k1 = value(&format!("{id}-k1"));
        let low = Profile::outside(&region, 5000.0).lowest_reach();
        if k1 < 0.0 {
            let low = low.expect("a hollow side");
            near(id, -1.0 / low.radius, k1, 2e-6);
        } else {
            assert!(low.is_none(), "{id} bends outward all round: {low:?}");
        }
    }
}

/// Closed forms of elementary geometry: distances between circles, lines and corners.
#[test]
fn walls_between_two_edges() {
    use treen::reach::wall;
    let disc = |x: f64, y: f64, r: f64| {
        use kurbo::Shape as _;
        let path = kurbo::Circle::new((x, y), r).to_path(1e-9);
        Region::filled(&path, Origin::default()).expect("a disc")
    };
    let square = |x: f64, y: f64, half: f64| {
        use kurbo::Shape as _;
        let path =
            kurbo::Rect::from_center_size((x, y), (2.0 * half, 2.0 * half)).to_path(1e-9);
        Region::filled(&path, Origin::default()).expect("a square")
    };
    let cases = [
        ("two discs", disc(0.0, 0.0, 10.0), disc(30.0, 40.0, 15.0), 25.0),
        ("one in the other", disc(0.0, 0.0, 10.0), disc(3.0, 4.0, 40.0), 25.0),
        ("concentric", disc(1.0, 2.0, 10.0), disc(1.0, 2.0, 17.5), 7.5),
        (
            "a disc beside a straight edge",
            disc(40.0, 3.0, 10.0),
            square(0.0, 0.0, 20.0),
            10.0,
        ),
        ("a disc off a corner", disc(50.0, 60.0, 5.0), square(0.0, 0.0, 20.0), 45.0),
        ("corner to corner", square(0.0, 0.0, 10.0), square(23.0, 24.0, 10.0), 5.0),
        ("edge to edge", square(0.0, 0.0, 10.0), square(33.0, 4.0, 10.0), 13.0),
        ("crossing", disc(0.0, 0.0, 10.0), disc(12.0, 0.0, 10.0), 0.0),
        ("crossing edges", square(0.0, 0.0, 10.0), square(7.0, 3.0, 9.0), 0.0),
    ];
    for (what, a, b, want) in cases {
        for (first, second) in [(&a, &b), (&b, &a)] {
            let (have, at) = wall(first, second).expect("two edges");
            assert!((have - want).abs() < 1e-6, "{what}: {have} for {want}");
            let off = first
                .contours()
                .iter()
                .flat_map(treen::curve::Contour::pieces)
                .map(|piece| (piece.curve.nearest(at) - at).hypot())
                .fold(f64::INFINITY, f64::min);
            assert!(off < 1e-6, "{what}: the place lies {off} mm off the first edge");
        }
    }
}
