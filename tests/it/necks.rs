//! The thinnest neck against brute force: pairs of places on the true curves that face each
//! other through the wood.

use crate::random_shapes::case;
use rayon::prelude::*;
use treen::curve::{Point, Region, Vec2};
use treen::reach::thinnest;

/// Necks wider than this are not looked for, mm.
const CAP: f64 = 24.0;
/// Distance between the places looked at, mm.
const APART: f64 = 0.2;
/// What a neck may be off: places lie apart, and tapers are sampled every 0.75 mm, mm.
const OFF: f64 = 0.05;

/// A place on the edge with its normals into the wood: two at a corner that stands into it.
struct Place(Point, [Vec2; 2]);

impl Place {
    /// The cosine of the angle between a way and the nearest normal.
    fn ahead(&self, way: Vec2) -> f64 {
        let Self(_, [n, m]) = self;
        let between = n.cross(*m) < 0.0 && n.cross(way) < 0.0 && way.cross(*m) < 0.0;
        if between { 1.0 } else { way.dot(*n).max(way.dot(*m)) / way.hypot() }
    }
}

fn places(region: &Region) -> Vec<Place> {
    let normal = |way: Vec2| Vec2::new(-way.y, way.x) / way.hypot();
    let mut all = Vec::new();
    for contour in region.contours() {
        let pieces = contour.pieces();
        let before = pieces.iter().cycle().skip(pieces.len() - 1);
        for (piece, before) in pieces.iter().zip(before) {
            let curve = piece.curve;
            let (from, to) = (before.curve.tangent(1.0), curve.tangent(0.0));
            if from.cross(to) < 0.0 {
                all.push(Place(curve.start(), [normal(from), normal(to)]));
            }
            let count = (curve.length() / APART).ceil().max(2.0) as usize;
            all.extend((0..count).map(|i| {
                let t = (i as f64 + 0.5) / count as f64;
                Place(curve.eval(t), [normal(curve.tangent(t)); 2])
            }));
        }
    }
    all
}

/// The smallest distance of two places that face each other within an angle on both sides,
/// radians, with wood all the way between them; `None` above the cap.
fn facing(region: &Region, places: &[Place], angle: f64) -> Option<f64> {
    let least = angle.cos();
    let mut pairs = Vec::new();
    for (i, one) in places.iter().enumerate() {
        for other in &places[i + 1..] {
            let way = other.0 - one.0;
            let far = way.hypot();
            if far < CAP
                && far > 1e-6
                && one.ahead(way) > least
                && other.ahead(-way) > least
            {
                pairs.push((far, one.0, other.0));
            }
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let wooden = |p: Point, q: Point| {
        (1..20).all(|i| region.contains(p.lerp(q, f64::from(i) / 20.0)))
    };
    pairs.into_iter().find(|(_, p, q)| wooden(*p, *q)).map(|(far, ..)| far)
}

/// No neck is overlooked, and none is told that is not there.
#[test]
fn necks_are_as_thin_as_brute_force_finds_them() {
    let seen: usize = (0..400_u64)
        .into_par_iter()
        .filter_map(|number| Some((number, case(number)?.region)))
        .filter(|(_, region)| region.perimeter() < 700.0)
        .map(|(number, region)| {
            let places = places(&region);
            let have = thinnest(&region, CAP).map(|low| 2.0 * low.radius);
            if let Some(strict) = facing(&region, &places, 0.015) {
                let told = have.is_some_and(|have| have <= strict + OFF);
                assert!(told, "case {number}: {have:?}, a neck of {strict} mm");
            }
            let Some(have) = have else { return 0 };
            let wide = facing(&region, &places, 0.35);
            let there = wide.is_some_and(|wide| have >= wide - OFF);
            assert!(there, "case {number}: {have} mm told, {wide:?} found");
            1
        })
        .sum();
    assert!(seen >= 60, "only {seen} necks");
}
