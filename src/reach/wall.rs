//! The thinnest wall between two edges.
//!
//! Two bends are nearest where they cross, at an end of one, or where they have a normal in
//! common; every pair whose boxes are near enough to matter is measured, nothing is sampled.

use super::ball::{foot, within};
use super::block::distance;
use super::facing::common_normals;
use super::path::{Path, Roots};
use super::tree::{Tree, bend_box, overlaps};
use super::walk::{Element, Walk};
use crate::curve::arcs::Bend;
use crate::curve::{Point, Rect, Region, left};

/// A place must be nearer by this to count as another, mm: a rim of one width all round has
/// the first place as its thinnest.
const NEARER: f64 = 1e-9;

/// The smallest distance between the edges of two regions, mm, exact to how near their arcs
/// lie to their curves, and the point of the first edge where it is. `None` when one is
/// empty.
pub fn wall(first: &Region, second: &Region) -> Option<(f64, Point)> {
    let (walk, other) = (Walk::new(first), Walk::new(second));
    let tree = Tree::new(&other);
    let start = walk.bends.first()?.bend;
    other.bends.first()?;
    let (size, bounds) = (f64::INFINITY, Rect::ZERO);
    let mut search = Search {
        other: &other,
        own: start,
        path: None,
        bounds,
        nearest: (size, start.a),
    };
    for (index, joined) in walk.bends.iter().enumerate() {
        search.own = joined.bend;
        search.path = Path::new(&walk, Element::Along(index as u32), 0.0);
        search.bounds = bend_box(&joined.bend);
        tree.visit(&mut search, Search::near, Search::against);
    }
    Some(search.nearest)
}

struct Search<'w> {
    other: &'w Walk,
    /// The bend of the first edge that is looked at, itself as a path, and its box.
    own: Bend,
    path: Option<Path>,
    bounds: Rect,
    nearest: (f64, Point),
}

impl Search<'_> {
    fn near(&self, rect: &Rect) -> bool {
        let size = self.nearest.0;
        overlaps(rect, &self.bounds.inflate(size, size))
    }

    fn against(&mut self, index: u32) {
        let bend = &self.other.bends[index as usize].bend;
        if !self.near(&bend_box(bend)) {
            return;
        }
        let own = self.own;
        // Each end is the start of the next bend.
        self.consider(distance(bend, own.a), own.a);
        let near = foot(&own, bend.a);
        if within(&own, near) {
            self.consider((near - bend.a).hypot(), near);
        }
        for (p, q) in common_normals(&own, bend) {
            if within(&own, p) && within(bend, q) {
                self.consider((q - p).hypot(), p);
            }
        }
        if let Some(point) = self.crossing(bend) {
            self.consider(0.0, point);
        }
    }

    fn consider(&mut self, distance: f64, at: Point) {
        if distance < self.nearest.0 - NEARER {
            self.nearest = (distance, at);
        }
    }

    fn crossing(&self, bend: &Bend) -> Option<Point> {
        if !overlaps(&bend_box(bend), &self.bounds) {
            return None;
        }
        let path = self.path?;
        let mut roots = Roots::default();
        let normal = left(bend.ta);
        if bend.curvature == 0.0 {
            path.meet_line(normal, normal.dot(bend.a.to_vec2()), &mut roots);
        } else {
            let center = bend.a + normal / bend.curvature;
            path.meet_circle(center, 1.0 / bend.curvature.abs(), &mut roots);
        }
        let points = roots.sorted().iter().map(|&u| path.eval(u));
        points.into_iter().find(|&point| within(bend, point))
    }
}
