//! Softened outlines: the area against closed forms, the departure against closed forms and
//! against samples, and that a cutter does follow them.
//!
//! Source of the values: elementary geometry; the closing of a corner is that of J. Serra,
//! "Image Analysis and Mathematical Morphology" (from memory).

use crate::golden::value;
use crate::reach::{ell, near, polygon};
use std::f64::consts::SQRT_2;
use treen::curve::{Origin, Point, Region};
use treen::reach::{Profile, soften, soften_recess};

const O: Origin = Origin(0);

/// Points of every piece of a region's edge, about `step` mm apart, with normals to the
/// right.
fn samples(region: &Region, step: f64) -> Vec<(Point, Point)> {
    let pieces = region.contours().iter().flat_map(treen::curve::Contour::pieces);
    pieces
        .flat_map(|piece| {
            let count = (piece.curve.length() / step).ceil().max(1.0);
            (0..count as usize).map(move |i| {
                let t = (i as f64 + 0.5) / count;
                let way = piece.curve.tangent(t);
                (piece.curve.eval(t), Point::new(way.y, -way.x))
            })
        })
        .collect()
}

fn nearest(points: &[(Point, Point)], p: Point) -> f64 {
    points.iter().map(|q| (q.0 - p).hypot()).fold(f64::INFINITY, f64::min)
}

/// No sampled disc of radius c that touches the edge from outside holds a sampled point.
fn followed(region: &Region, c: f64) -> bool {
    let points = samples(region, 0.1);
    points.iter().step_by(4).all(|(p, normal)| {
        let center = *p + normal.to_vec2() * c;
        nearest(&points, center) >= c - 0.002
    })
}

#[test]
fn a_right_corner_departs_by_its_diagonal() {
    for c in [3.175, 6.0, 9.5] {
        let soft = soften(&ell(), c, O).expect("an outline");
        near("departure", soft.departure, c * (SQRT_2 - 1.0), 0.001);
        near("area", soft.area, c * c * (1.0 - std::f64::consts::FRAC_PI_4), 1e-4);
        near("x", soft.at.x, 40.0, c);
        near("y", soft.at.y, 30.0, c);
        assert_eq!(soft.bridges, 0, "nothing to bridge");
        assert!(followed(&soft.region, c), "followed at {c}");
    }
    let soft = soften(&ell(), 3.175, O).expect("an outline");
    near("golden", soft.region.area(), value("L-close-3.175"), 0.0005);
}

#[test]
fn recess_corners_depart_by_their_diagonals() {
    let c = 6.0;
    let soft = soften_recess(&ell(), c, O).expect("a recess");
    near("golden", soft.region.area(), value("L-open-6.0"), 0.0005);
    near("departure", soft.departure, c * (SQRT_2 - 1.0), 0.001);
    assert!(soft.area < 0.0, "a recess only gets smaller: {}", soft.area);
    let low = Profile::inside(&soft.region, 50.0).lowest_reach().expect("corners");
    near("reach", low.radius, c, 0.002);
}

#[test]
fn an_outline_that_is_followed_stays() {
    let plate = polygon(&[(0.0, 0.0), (80.0, 0.0), (80.0, 50.0), (0.0, 50.0)]);
    let soft = soften(&plate, 25.0, O).expect("an outline");
    near("departure", soft.departure, 0.0, 1e-6);
    near("area", soft.area, 0.0, 1e-6);
}

/// A slot of width 4 and depth 30 in a plate: a disc of radius 3 rests on both edges of its
/// mouth, its middle √(3² − 2²) above.
#[test]
fn a_slot_too_narrow_is_filled() {
    let slot = polygon(&[
        (-60.0, -80.0),
        (60.0, -80.0),
        (60.0, 0.0),
        (2.0, 0.0),
        (2.0, -30.0),
        (-2.0, -30.0),
        (-2.0, 0.0),
        (-60.0, 0.0),
    ]);
    let soft = soften(&slot, 3.0, O).expect("an outline");
    let rise = 5.0_f64.sqrt();
    near("departure", soft.departure, 2.0_f64.hypot(30.0 + rise) - 3.0, 0.001);
    let segment = 9.0 * (2.0_f64 / 3.0).asin() - 2.0 * rise;
    near("area", soft.area, 120.0 - segment, 1e-3);
    assert!(followed(&soft.region, 3.0), "followed");
}

/// Near thin wood the nearest point of the new edge is that of another side; what was filled
/// is no less deep for it.
#[test]
fn depth_is_not_measured_through_thin_wood() {
    let slot = polygon(&[
        (-60.0, -32.0),
        (60.0, -32.0),
        (60.0, 0.0),
        (2.0, 0.0),
        (2.0, -30.0),
        (-2.0, -30.0),
        (-2.0, 0.0),
        (-60.0, 0.0),
    ]);
    let soft = soften(&slot, 3.0, O).expect("an outline");
    let depth = 2.0_f64.hypot(30.0 + 5.0_f64.sqrt()) - 3.0;
    near("departure", soft.departure, depth, 0.001);
}

/// Two teeth leave a waist between two places the cutter fits into: their discs overlap, so
/// the closing alone leaves a gap.
#[test]
fn a_waist_between_overlapping_discs_is_bridged() {
    let teeth = |gap: f64| {
        polygon(&[
            (-60.0, -80.0),
            (60.0, -80.0),
            (60.0, 0.0),
            (20.0, 0.0),
            (gap / 2.0, -20.0),
            (20.0, -40.0),
            (-20.0, -40.0),
            (-gap / 2.0, -20.0),
            (-20.0, 0.0),
            (-60.0, 0.0),
        ])
    };
    let c = 3.0;
    for gap in [3.0, 5.0, 5.9, 5.99] {
        let drawn = teeth(gap);
        let closed = treen::reach::closing(&drawn, c, O).expect("a closing");
        let low = Profile::outside(&closed, 50.0).lowest_reach().expect("a limit");
        assert!(low.radius < c - 0.002 && low.across.is_some(), "closed: {low:?}");
        let soft = soften(&drawn, c, O).expect("an outline");
        assert_eq!(soft.bridges, 1, "one waist at {gap}");
        let low = Profile::outside(&soft.region, 50.0).lowest_reach().expect("a limit");
        assert!(low.radius >= c - 0.002, "{low:?} at {gap}");
        assert!(followed(&soft.region, c), "followed at {gap}");
        assert!(soft.area > 0.0, "wood is only added");
        let edge = samples(&soft.region, 0.02);
        let far =
            samples(&drawn, 0.5).iter().map(|p| nearest(&edge, p.0)).fold(0.0, f64::max);
        assert!(soft.departure >= far - 0.02, "{} against sampled {far}", soft.departure);
        assert!(soft.departure < 20.0, "{}", soft.departure);
    }
    // Faces at nearly 45° keep two discs apart where the gap is less than 6(√2 − 1).
    for gap in [1.0, 2.4, 6.01] {
        let bridges = soften(&teeth(gap), c, O).map(|soft| soft.bridges);
        assert_eq!(bridges, Some(0), "no waist at {gap}");
    }
}

/// A planted notch of every width and depth: the softened outline is followed, and the edge
/// is nowhere farther from the drawn one than said.
#[test]
fn notches_of_all_sizes_are_softened() {
    for (width, depth) in [(1.0, 4.0), (5.0, 2.0), (6.3, 20.0), (8.0, 12.0), (30.0, 7.0)]
    {
        for slant in [0.0, 0.4, 2.0] {
            let (a, b) = (width / 2.0 + slant, width / 2.0);
            let drawn = polygon(&[
                (-60.0, -50.0),
                (60.0, -50.0),
                (60.0, 0.0),
                (a, 0.0),
                (b, -depth),
                (-b, -depth),
                (-a, 0.0),
                (-60.0, 0.0),
            ]);
            for c in [1.5875, 2.38125, 3.175, 6.35] {
                let said = format!("{width} {depth} {slant} at {c}");
                let soft = soften(&drawn, c, O).unwrap_or_else(|| panic!("{said}"));
                assert!(followed(&soft.region, c), "{said}");
                let edge = samples(&soft.region, 0.05);
                let far = samples(&drawn, 0.5)
                    .iter()
                    .map(|p| nearest(&edge, p.0))
                    .fold(0.0, f64::max);
                let over = far - soft.departure;
                assert!(over < 0.03, "{said}: said {}, sampled {far}", soft.departure);
                assert!(soft.area >= -1e-6, "{said}: wood is only added");
            }
        }
    }
}

/// Stretches of the follow map add up to the whole edge, and beside a right corner each
/// cutter loses its own radius of both sides.
#[test]
fn the_follow_map_is_that_of_a_corner() {
    let region = ell();
    let radii = [1.5, 6.0, 3.0];
    let traces = Profile::outside(&region, 50.0).follow_map(&radii);
    let length = |which: Option<usize>| -> f64 {
        traces.iter().filter(|t| t.largest == which).map(|t| t.length).sum()
    };
    near("none", length(None), 2.0 * 1.5, 0.01);
    near("1.5", length(Some(0)), 2.0 * 1.5, 0.01);
    near("3", length(Some(2)), 2.0 * 3.0, 0.01);
    near("6", length(Some(1)), region.perimeter() - 2.0 * 6.0, 0.01);
    for trace in &traces {
        let along = trace.path.segments().count();
        assert!(along > 0, "a stretch has a line");
    }
}
