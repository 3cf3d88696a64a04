//! Regions bounded by closed, oriented curves: drawn, combined, measured, flattened.
//!
//! x right, y up, mm. Outer contours run counter-clockwise, holes clockwise: the wood is
//! always on the left.

pub mod arcs;
mod bits;
mod boolean;
mod chords;
mod crossing;
mod piece;
pub mod primitive;
mod region;
mod smooth;
pub mod spline;
pub mod svg;

pub use chords::chords;
pub use crossing::first_crossing;
pub use kurbo::{
    Affine, BezPath, Line, PathEl, PathSeg, Point, Rect, Shape as Drawn, Vec2,
};
pub use piece::{Arc, Curve, Origin, Piece, left, unit};
pub use region::{COORDINATE_LIMIT, Contour, Region, RegionFault};
