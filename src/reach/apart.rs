//! How far a drawn line stays from an edge.

use super::neck::edge_distance;
use super::tree::Tree;
use super::walk::Walk;
use crate::curve::{BezPath, Curve, PathEl, Point, Region};

/// The smallest distance from a drawn line to the edge of a region, mm, and the point of the
/// line where it is. Never too large by more than `tolerance` mm, never too small: a stretch is
/// halved until what it could hide, half of what its length exceeds the distances at its ends,
/// is below that. Single points of the path count too. `None` when one is empty.
pub fn apart(line: &BezPath, region: &Region, tolerance: f64) -> Option<(f64, Point)> {
    let walk = Walk::new(region);
    if walk.bends.is_empty() {
        return None;
    }
    let tree = Tree::new(&walk);
    let distance = |p: Point| edge_distance(&walk, &tree, p);
    let ends = line.elements().iter().filter_map(PathEl::end_point);
    let mut nearest = ends.map(|p| (distance(p), p)).min_by(|a, b| a.0.total_cmp(&b.0));
    let mut left: Vec<(Curve, f64, f64)> = Vec::new();
    for segment in line.segments() {
        let curve = Curve::from_segment(segment);
        let (from, to) = (distance(curve.start()), distance(curve.end()));
        left.push((curve, from, to));
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
