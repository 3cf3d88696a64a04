//! Polygons, as tests and benches draw them.

use treen::curve::{BezPath, Point};

/// The closed path through points, mm.
pub(crate) fn polygon<P: Copy + Into<Point>>(points: &[P]) -> BezPath {
    let mut path = BezPath::new();
    let mut points = points.iter().map(|point| (*point).into());
    if let Some(first) = points.next() {
        path.move_to(first);
        points.for_each(|point| path.line_to(point));
        path.close_path();
    }
    path
}
