//! From dish coordinates (mm, y up) to a block's (mm on paper, y down).

use super::scale::Scale;
use crate::curve::{Affine, BezPath, Point, Rect, Region, Vec2};

/// How a drawing sits in its block.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    /// Dish to paper.
    pub(super) affine: Affine,
    /// What is shown, on paper: left, top, right, bottom.
    pub(super) frame: Rect,
    /// Length on paper of one mm.
    pub(super) factor: f64,
}

impl View {
    /// Shows `bounds` (dish) with its top left corner at `at` (paper).
    pub(super) fn new(bounds: Rect, scale: Scale, at: (f64, f64)) -> Self {
        let factor = scale.factor();
        let affine = Affine::translate(at)
            * Affine::scale_non_uniform(factor, -factor)
            * Affine::translate((-bounds.x0, -bounds.y1));
        let size = Vec2::new(bounds.width() * factor, bounds.height() * factor);
        let corner = Point::from(at);
        Self { affine, frame: Rect::from_points(corner, corner + size), factor }
    }

    /// A path on paper.
    pub(super) fn path(&self, path: &BezPath) -> BezPath {
        self.affine * path.clone()
    }

    /// A region's contours on paper.
    pub(super) fn region(&self, region: &Region) -> BezPath {
        self.path(&region.path())
    }

    /// A region moved by so much on paper (right, down), still in dish coordinates.
    pub(super) fn nudged(&self, region: &Region, right: f64, down: f64) -> Region {
        let by = Vec2::new(right / self.factor, -down / self.factor);
        region.transformed(Affine::translate(by))
    }

    /// A point on paper.
    pub(super) fn point(&self, point: Point) -> Point {
        self.affine * point
    }
}
