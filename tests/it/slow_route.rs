//! The slow route to openings and closings, forced, against the quick one and closed forms.

use crate::outlines::outlines;
use std::f64::consts::PI;
use treen::curve::{BezPath, Drawn, Origin, Region};
use treen::reach::{Route, Working, work, work_slowly};

const WORKINGS: [Working; 4] =
    [Working::Closing, Working::Opening, Working::Growing, Working::Shrinking];

/// The two routes' edges may lie this far apart, mm: what the slow one says it is off.
const APART: f64 = 0.003;

/// What may be missing on the side it errs from, mm: chords where the two are compared.
const ROUNDING: f64 = 2e-4;

fn filled(path: &BezPath) -> Region {
    Region::filled(path, Origin::default()).expect("a shape with an area")
}

fn polygon(points: &[(f64, f64)]) -> Region {
    let mut path = BezPath::new();
    for (index, point) in points.iter().enumerate() {
        if index == 0 { path.move_to(*point) } else { path.line_to(*point) }
    }
    path.close_path();
    filled(&path)
}

/// Quick and slow agree; the slow one errs toward more wood, or less room.
fn agree(what: &str, region: &Region, radius: f64) {
    for working in WORKINGS {
        let quick = work(region, working, radius, Origin::default());
        let quick =
            quick.unwrap_or_else(|| panic!("{what} {working:?} {radius}: unsure"));
        assert_eq!(quick.route, Route::Quick, "{what} {working:?} {radius}");
        let slow = work_slowly(region, working, radius, Origin::default());
        let edge = quick.region.perimeter().max(region.perimeter()) + 1.0;
        let (more, less) =
            (slow.cut(&quick.region).area(), quick.region.cut(&slow).area());
        let (over, under) = match working {
            Working::Closing | Working::Growing => (more, less),
            Working::Opening | Working::Shrinking => (less, more),
        };
        assert!(over < APART * edge, "{what} {working:?} {radius}: {over} mm² too far");
        assert!(
            under < ROUNDING * edge,
            "{what} {working:?} {radius}: {under} mm² of {edge} mm not far enough"
        );
    }
}

#[test]
fn both_routes_agree_on_drawn_shapes() {
    let square = polygon(&[(0.0, 0.0), (80.0, 0.0), (80.0, 80.0), (0.0, 80.0)]);
    let ell = polygon(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (40.0, 40.0),
        (40.0, 90.0),
        (0.0, 90.0),
    ]);
    let disc = filled(&kurbo::Circle::new((10.0, 5.0), 30.0).to_path(1e-6));
    let oval = filled(&kurbo::Ellipse::new((0.0, 0.0), (60.0, 12.0), 0.3).to_path(1e-6));
    let notched =
        disc.cut(&polygon(&[(8.0, 0.0), (12.0, 0.0), (14.0, 60.0), (7.0, 60.0)]));
    let ring = square.cut(&filled(&kurbo::Circle::new((45.0, 38.0), 9.0).to_path(1e-6)));
    let pair =
        disc.unite(&polygon(&[(50.0, -20.0), (90.0, -20.0), (90.0, 40.0), (50.0, 40.0)]));
    let shapes = [
        ("square", square),
        ("L", ell),
        ("disc", disc),
        ("oval", oval),
        ("notched disc", notched),
        ("ring", ring),
        ("two parts", pair),
    ];
    for (what, region) in &shapes {
        for radius in [0.8, 3.175, 6.3, 9.7] {
            agree(what, region, radius);
        }
    }
}

#[test]
fn the_slow_route_keeps_to_closed_forms() {
    let square = polygon(&[(0.0, 0.0), (80.0, 0.0), (80.0, 80.0), (0.0, 80.0)]);
    // The parallel body of a convex one: J. Steiner, "Über parallele Flächen", 1840.
    let area =
        |working, radius| work_slowly(&square, working, radius, Origin::default()).area();
    let r = 6.0;
    let cases = [
        ("grown", area(Working::Growing, r), 6400.0 + 320.0 * r + PI * r * r, 345.0),
        ("shrunk", area(Working::Shrinking, r), (80.0 - 2.0 * r).powi(2), 272.0),
        ("opened", area(Working::Opening, r), 6400.0 - (4.0 - PI) * r * r, 320.0),
        ("closed", area(Working::Closing, r), 6400.0, 320.0),
    ];
    for (what, have, want, edge) in cases {
        assert!((have - want).abs() < APART * edge, "{what}: {have} for {want}");
    }
}

#[test]
fn both_routes_agree_on_icons() {
    for (index, region) in outlines().step_by(37) {
        for radius in [1.6, 4.76] {
            agree(&format!("icon {index}"), &region, radius);
        }
    }
}
