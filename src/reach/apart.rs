//! How far a drawn line stays from an edge.

use super::neck::edge_distance;
use super::tree::Tree;
use super::walk::Walk;
use crate::curve::{BezPath, Curve, Point, Region};

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
