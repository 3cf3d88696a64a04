//! Where wood is thin: necks of one region, walls between two.

use super::ball::{foot, within};
use super::profile::{Low, Profile};
use super::tree::{Tree, distance2};
use super::walk::Walk;
use crate::curve::{BezPath, Curve, Point, Region};

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

/// The smallest distance from a drawn line to the edge of a region, mm, and the point of the
/// line where it is. Never too large by more than `tolerance` mm, never too small: a stretch is
/// halved until what it could hide, half of what its length exceeds the distances at its ends,
/// is below that. `None` when one is empty.
pub fn apart(line: &BezPath, region: &Region, tolerance: f64) -> Option<(f64, Point)> {
    let walk = Walk::new(region);
    if walk.bends.is_empty() {
        return None;
    }
    let tree = Tree::new(&walk);
    let distance = |p: Point| edge_distance(&walk, &tree, p);
    let mut nearest: Option<(f64, Point)> = None;
    let mut left: Vec<(Curve, f64, f64)> = Vec::new();
    for segment in line.segments() {
        let curve = Curve::from_segment(segment);
        let ends = [curve.start(), curve.end()].map(|p| (distance(p), p));
        for end in ends {
            nearest = Some(nearest.filter(|n| n.0 <= end.0).unwrap_or(end));
        }
        left.push((curve, ends[0].0, ends[1].0));
    }
    while let Some((curve, from, to)) = left.pop() {
        let best = nearest.map_or(f64::INFINITY, |n| n.0);
        if (from + to - curve.length()) / 2.0 >= best - tolerance {
            continue;
        }
        let at = curve.eval(0.5);
        let middle = distance(at);
        if middle < best {
            nearest = Some((middle, at));
        }
        left.push((curve.part(0.5, 1.0), middle, to));
        left.push((curve.part(0.0, 0.5), from, middle));
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
