//! A path as straight chords.

use super::{BezPath, PathEl, Point};

/// Chords no farther than `tolerance` mm from a path, subpaths closed where they are closed.
/// A point alone gives a chord without length.
pub fn chords(path: &BezPath, tolerance: f64) -> Vec<[Point; 2]> {
    let mut chords = Vec::new();
    let (mut start, mut last) = (Point::ZERO, Point::ZERO);
    let mut alone = false;
    kurbo::flatten(path, tolerance, |element| match element {
        PathEl::MoveTo(to) => {
            if alone {
                chords.push([last, last]);
            }
            (start, last, alone) = (to, to, true);
        }
        PathEl::LineTo(to) => {
            chords.push([last, to]);
            (last, alone) = (to, false);
        }
        PathEl::ClosePath => {
            chords.push([last, start]);
            (last, alone) = (start, false);
        }
        // Flattening leaves no other.
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    if alone {
        chords.push([last, last]);
    }
    chords
}
