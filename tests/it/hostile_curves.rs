//! Curves nobody should draw: no panic, no hang, and a clear fault or a right answer.

use crate::polygon::polygon;
use std::f64::consts::PI;
use treen::curve::{BezPath, Origin, Point, Region, RegionFault};
use treen::reach::{Profile, closing, grow, opening, shrink, thinnest};

const O: Origin = Origin(0);

fn square(from: f64, to: f64) -> Vec<(f64, f64)> {
    vec![(from, from), (to, from), (to, to), (from, to)]
}

/// Fills and asks everything there is to ask; gives the reach from outside and inside.
fn ask(path: &BezPath) -> Result<(f64, f64), RegionFault> {
    let region = Region::filled(path, O)?;
    let area = region.area();
    assert!(area.is_finite() && area > 0.0, "area {area}");
    let mut reaches = [0.0; 2];
    for (place, profile) in
        [Profile::outside(&region, 8.0), Profile::inside(&region, 8.0)].iter().enumerate()
    {
        let low = profile.lowest_reach();
        reaches[place] = low.map_or(8.0, |low| low.radius);
        assert!(reaches[place] >= 0.0, "reach {}", reaches[place]);
        for left in profile.leftovers_of_each(&[0.5, 3.175]).into_iter().flatten() {
            let sound = left.iter().all(|l| l.area.is_finite() && l.depth.is_finite());
            assert!(sound, "a leftover without a size");
        }
    }
    for work in [closing, opening, grow, shrink] {
        let after = work(&region, 1.5, O).map_or(0.0, |region| region.area());
        assert!(after.is_finite(), "area {after} afterwards");
    }
    let width = thinnest(&region, 8.0).map_or(0.0, |low| low.radius);
    assert!(width.is_finite() && width >= 0.0, "width {width}");
    Ok((reaches[0], reaches[1]))
}

fn near(have: f64, want: f64) {
    assert!((have - want).abs() < 1e-3, "have {have}, want {want}");
}

#[test]
fn what_is_not_a_number_or_out_of_range_is_a_fault() {
    for bad in [f64::NAN, f64::INFINITY, -f64::INFINITY, 1e300, 1e6, -1.1e5] {
        let drawn = polygon(&[(0.0, 0.0), (bad, 0.0), (10.0, 10.0)]);
        assert_eq!(ask(&drawn), Err(RegionFault::NotFinite), "{bad}");
        let mut curved = BezPath::new();
        curved.move_to((0.0, 0.0));
        curved.curve_to((5.0, bad), (9.0, 3.0), (10.0, 10.0));
        assert_eq!(ask(&curved), Err(RegionFault::NotFinite), "{bad}");
    }
}

#[test]
fn nothing_enclosed_is_a_fault() {
    let nothing = [
        BezPath::new(),
        polygon(&[(1.0, 1.0)]),
        polygon(&[(1.0, 1.0), (1.0, 1.0), (1.0, 1.0)]),
        polygon(&[(0.0, 0.0), (50.0, 30.0)]),
        polygon(&[(0.0, 0.0), (50.0, 0.0), (20.0, 0.0), (90.0, 0.0)]),
        polygon(&[(0.0, 0.0), (1e-9, 0.0), (0.0, 1e-9)]),
    ];
    for drawn in nothing {
        assert_eq!(ask(&drawn), Err(RegionFault::Empty), "{drawn:?}");
    }
}

#[test]
fn points_drawn_many_times_are_drawn_once() {
    let points: Vec<(f64, f64)> =
        square(0.0, 40.0).into_iter().flat_map(|p| [p; 500]).collect();
    let (outside, inside) = ask(&polygon(&points)).expect("a square");
    near(outside, 8.0);
    near(inside, 0.0);
}

#[test]
fn edges_drawn_thousands_of_times_are_drawn_once() {
    let mut drawn = BezPath::new();
    for _ in 0..2_000 {
        drawn.extend(polygon(&square(0.0, 40.0)));
    }
    let region = Region::filled(&drawn, O).expect("a square");
    near(region.area(), 1600.0);
    near(ask(&drawn).expect("a square").0, 8.0);
}

#[test]
fn a_long_spiral_keeps_its_gap() {
    // an Archimedean spiral of 20 turns, 2 mm of wood and 2 mm of air
    let turn = |shift: f64| {
        (0..=2_400).map(move |i| {
            let angle = 2.0 * PI * f64::from(i) / 120.0;
            let r = 5.0 + 4.0 * angle / (2.0 * PI) + shift;
            (r * angle.cos(), r * angle.sin())
        })
    };
    let back: Vec<(f64, f64)> = turn(2.0).collect();
    let points: Vec<(f64, f64)> = turn(0.0).chain(back.into_iter().rev()).collect();
    let region = Region::filled(&polygon(&points), O).expect("a spiral");
    let half = thinnest(&region, 8.0).expect("a thin spiral").radius;
    assert!((0.9..=1.0).contains(&half), "half width {half}");
    ask(&polygon(&points)).expect("a spiral");
}

#[test]
fn bow_ties_and_pentagrams_are_filled() {
    let tie = polygon(&[(0.0, 0.0), (40.0, 40.0), (40.0, 0.0), (0.0, 40.0)]);
    let (outside, inside) = ask(&tie).expect("two triangles");
    near(outside, 0.0);
    near(inside, 0.0);
    let tips: Vec<(f64, f64)> = (0..5)
        .map(|i| {
            let angle = 4.0 * PI * f64::from(i) / 5.0;
            (50.0 * angle.cos(), 50.0 * angle.sin())
        })
        .collect();
    near(ask(&polygon(&tips)).expect("a pentagram").0, 0.0);
}

#[test]
fn a_hairline_sliver_and_a_hairline_slit_have_their_width() {
    for width in [1e-2, 1e-3, 1e-4] {
        let sliver = polygon(&[(0.0, 0.0), (80.0, 0.0), (80.0, width), (0.0, width)]);
        if let Ok((outside, _)) = ask(&sliver) {
            near(outside, 8.0);
        }
        let slit = polygon(&[
            (0.0, 0.0),
            (80.0, 0.0),
            (80.0, 40.0),
            (40.0 + width, 40.0),
            (40.0 + width, 10.0),
            (40.0, 10.0),
            (40.0, 40.0),
            (0.0, 40.0),
        ]);
        near(ask(&slit).expect("a block").0, 0.0);
    }
}

#[test]
fn a_hole_that_touches_the_edge_lets_no_cutter_through() {
    for (from, to) in [(0.0, 20.0), (1e-7, 20.0), (20.0, 40.0)] {
        let mut drawn = polygon(&square(0.0, 40.0));
        let mut hole = square(from, to);
        hole.reverse();
        drawn.extend(polygon(&hole));
        near(ask(&drawn).expect("a square with a hole").0, 0.0);
    }
    // touching in one point: a disc inside a disc
    let disc = |x: f64, r: f64| {
        treen::curve::primitive::circle(Point::new(x, 0.0), r).expect("a circle")
    };
    let mut drawn = disc(0.0, 30.0);
    drawn.extend(disc(10.0, 20.0).reverse_subpaths());
    let (_, inside) = ask(&drawn).expect("a crescent");
    near(inside, 0.0);
}

#[test]
fn segments_of_a_nanometre_and_sizes_of_a_hundred_metres() {
    let mut points = square(0.0, 40.0);
    points.extend((1..200).map(|i| (0.0, 40.0 - f64::from(i) * 1e-9)));
    near(ask(&polygon(&points)).expect("a square").0, 8.0);
    near(ask(&polygon(&square(-9.9e4, 9.9e4))).expect("a square").0, 8.0);
    let mut curved = BezPath::new();
    curved.move_to((-9e4, 0.0));
    curved.curve_to((-9e4, 9e4), (9e4, 9e4), (9e4, 0.0));
    curved.curve_to((9e4, -9e4), (-9e4, -9e4), (-9e4, 0.0));
    curved.close_path();
    near(ask(&curved).expect("a round").0, 8.0);
}

#[test]
fn cusps_loops_and_folded_handles_are_answered() {
    let cubics = [
        [(0.0, 0.0), (60.0, 40.0), (-20.0, 40.0), (40.0, 0.0)],
        [(0.0, 0.0), (40.0, 40.0), (0.0, 40.0), (40.0, 0.0)],
        [(0.0, 0.0), (0.0, 0.0), (40.0, 40.0), (40.0, 0.0)],
        [(0.0, 0.0), (-30.0, 0.0), (70.0, 1e-6), (40.0, 20.0)],
        [(0.0, 0.0), (1e-9, 40.0), (1e-9, 40.0), (40.0, 0.0)],
    ];
    for c in cubics {
        let mut drawn = BezPath::new();
        drawn.move_to(c[0]);
        drawn.curve_to(c[1], c[2], c[3]);
        drawn.line_to((20.0, -30.0));
        drawn.close_path();
        ask(&drawn).expect("something is enclosed");
    }
}
