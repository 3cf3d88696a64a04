//! Real outlines as dish outlines 200 mm wide: laws and brute force.

use crate::outlines::{ICONS, RADII, outlines};
use treen::curve::{Origin, Point, Region, Vec2};
use treen::reach::{Profile, closing, opening};

/// Every fifth of them.
fn regions() -> impl Iterator<Item = (usize, Region)> {
    outlines().filter(|(index, _)| index % 5 == 0)
}

#[test]
fn icons_become_outlines() {
    let count = outlines().count();
    assert!(count >= ICONS.len() - 2, "only {count} of {} have an area", ICONS.len());
}

/// Two routes of our own must agree: the sum of the leftovers and what closing or opening
/// changed. Fitted arcs may lie 0.0005 mm off the curves they stand for; a twentieth of that
/// along the whole edge is allowed.
#[test]
fn leftovers_add_up_to_what_closing_and_opening_change() {
    let (mut answers, mut unsure) = (0, 0);
    for (index, region) in regions() {
        let slack = 0.0005 / 20.0 * region.perimeter();
        for c in RADII {
            let pairs = [
                (Profile::outside(&region, 20.0), closing(&region, c, Origin(0)), 1.0),
                (Profile::inside(&region, 20.0), opening(&region, c, Origin(0)), -1.0),
            ];
            for (profile, changed, sign) in pairs {
                answers += 1;
                let (Some(left), Some(changed)) = (profile.leftovers(c), changed) else {
                    unsure += 1;
                    continue;
                };
                let sum: f64 = left.iter().map(|l| l.area).sum();
                let change = sign * (changed.area() - region.area());
                assert!(
                    (sum - change).abs() < slack,
                    "icon {index}, radius {c}, sign {sign}: leftovers {sum}, change {change}"
                );
            }
        }
    }
    assert!(unsure * 100 <= answers, "{unsure} of {answers} not made sure of");
}

/// The reach is never above what a brute-force search finds: every pair of points 0.25 mm
/// apart along the edge. (The search sees points only, so it may find too much, never too
/// little: each pair it finds bounds the true reach from above.)
#[test]
fn reach_is_never_above_a_brute_force_search() {
    for (index, region) in regions() {
        let places = places(&region);
        let mut bound = f64::INFINITY;
        for (p, n) in &places {
            for (q, _) in &places {
                let v = *q - *p;
                let ahead = n.dot(v);
                if ahead > 0.02 * v.hypot() {
                    bound = bound.min(v.hypot2() / (2.0 * ahead));
                }
            }
        }
        let low = Profile::outside(&region, 200.0).lowest_reach();
        let reach = low.map_or(200.0, |low| low.radius);
        assert!(
            reach <= bound + 0.002,
            "icon {index}: reach {reach}, but {bound} was found"
        );
    }
}

/// Points along the edge with their normals to the right.
fn places(region: &Region) -> Vec<(Point, Vec2)> {
    let mut places = Vec::new();
    for contour in region.contours() {
        for piece in contour.pieces() {
            let count = (piece.curve.length() / 0.25).ceil().max(2.0);
            for i in 0..=count as usize {
                let t = i as f64 / count;
                let way = piece.curve.tangent(t);
                places.push((piece.curve.eval(t), Vec2::new(way.y, -way.x)));
            }
        }
    }
    places
}
