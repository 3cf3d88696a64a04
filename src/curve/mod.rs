//! Regions bounded by closed, oriented curves: drawn, combined, measured, flattened.
//!
//! x right, y up, mm. Outer contours run counter-clockwise, holes clockwise: the wood is
//! always on the left.

pub mod primitive;
mod region;
pub mod spline;
pub mod svg;

pub use kurbo::{Affine, BezPath, PathEl, PathSeg, Point, Rect, Vec2};
pub use region::{Contour, Origin, Piece, Region, RegionFault, first_crossing};
