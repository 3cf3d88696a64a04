//! Where wood is thin: necks of one region, walls between two.

use super::ball::{foot, within};
use super::profile::{Low, Profile};
use super::tree::{Tree, distance2};
use super::walk::Walk;
use crate::curve::{Point, Region};

/// Two edges that face each other within this cosine (2.5 degrees) bound a neck: long thin
/// tapers count, rounded and pointed tips do not.
const FACING: f64 = 0.999;

/// The thinnest neck of a region up to `cap` mm wide: where two edges face each other with a
/// low of the distance between them (exactly), or run side by side in a slow taper (sampled
/// every 0.75 mm). The result's radius is half the width.
pub fn thinnest(region: &Region, cap: f64) -> Option<Low> {
    let profile = Profile::inside(region, cap / 2.0);
    let taper = profile.narrowest_taper(FACING);
    let neck = profile.thinnest();
    match (neck, taper) {
        (Some(neck), Some(taper)) if taper.radius < neck.radius => Some(taper),
        (None, taper) => taper,
        (neck, _) => neck,
    }
}

/// The smallest distance between the edges of two regions, mm, and the point of the first
/// edge where it is. `None` when one is empty.
pub fn wall(first: &Region, second: &Region) -> Option<(f64, Point)> {
    const STEPS: usize = 8;
    let (walk, other) = (Walk::new(first), Walk::new(second));
    let tree = Tree::new(&other);
    let mut nearest: Option<(f64, Point)> = None;
    for joined in &walk.bends {
        let bend = &joined.bend;
        let distance = |t: f64| edge_distance(&other, &tree, bend.eval(t));
        let values: Vec<f64> =
            (0..=STEPS).map(|i| distance(i as f64 / STEPS as f64)).collect();
        let lowest =
            (0..=STEPS).min_by(|&a, &b| values[a].total_cmp(&values[b])).unwrap_or(0);
        let mut lo = lowest.saturating_sub(1) as f64 / STEPS as f64;
        let mut hi = (lowest + 1).min(STEPS) as f64 / STEPS as f64;
        if nearest.is_some_and(|n| values[lowest] > n.0 + bend.length / STEPS as f64) {
            continue;
        }
        for _ in 0..50 {
            let (a, b) = (lo + (hi - lo) * 0.382, lo + (hi - lo) * 0.618);
            if distance(a) <= distance(b) { hi = b } else { lo = a }
        }
        let t = f64::midpoint(lo, hi);
        if nearest.is_none_or(|n| distance(t) < n.0) {
            nearest = Some((distance(t), bend.eval(t)));
        }
    }
    nearest
}

struct Nearest<'w> {
    walk: &'w Walk,
    p: Point,
    distance: f64,
}

/// Distance from a point to the nearest edge, mm.
pub(super) fn edge_distance(walk: &Walk, tree: &Tree, p: Point) -> f64 {
    let mut nearest = Nearest { walk, p, distance: f64::INFINITY };
    tree.visit(
        &mut nearest,
        |n, rect| distance2(rect, n.p) < n.distance * n.distance,
        |n, index| {
            let bend = &n.walk.bends[index as usize].bend;
            let mut best = (bend.a - n.p).hypot().min((bend.b - n.p).hypot());
            let near = foot(bend, n.p);
            if within(bend, near) {
                best = best.min((near - n.p).hypot());
            }
            n.distance = n.distance.min(best);
        },
    );
    nearest.distance
}
