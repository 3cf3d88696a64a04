//! How far a letter reaches left and right at each height.

use crate::curve::{BezPath, Curve, PathEl, Point};

/// Lowest and highest row, letter units; what is beyond does not space.
const FLOOR: f64 = -62.0;
/// Distance of two rows.
const STEP: f64 = 4.0;
/// Number of rows.
const ROWS: usize = 65;
/// Greatest distance of two sampled points of a stroke.
const DENSE: f64 = 3.0;

/// Left and right ends of a letter's body, row by row; an empty row has none.
#[derive(Clone, Debug)]
pub(super) struct Profile {
    rows: Vec<Option<[f64; 2]>>,
}

impl Profile {
    /// Of strokes made with a pen of this radius.
    pub(super) fn new(points: &[Point], radius: f64) -> Self {
        let mut rows: Vec<Option<[f64; 2]>> = vec![None; ROWS];
        for at in points {
            let lowest = ((at.y - radius - FLOOR) / STEP).ceil().max(0.0) as usize;
            for (row, ends) in rows.iter_mut().enumerate().skip(lowest) {
                let rise = height(row) - at.y;
                if rise > radius {
                    break;
                }
                let half = (radius * radius - rise * rise).max(0.0).sqrt();
                let [left, right] =
                    ends.get_or_insert([f64::INFINITY, f64::NEG_INFINITY]);
                *left = left.min(at.x - half);
                *right = right.max(at.x + half);
            }
        }
        Self { rows }
    }

    /// Height of each row and the white between this letter and the next one in it, were
    /// their origins in one place; `None` where one of them is not.
    pub(super) fn whites<'a>(
        &'a self,
        next: &'a Self,
    ) -> impl Iterator<Item = (f64, Option<f64>)> + 'a {
        self.rows.iter().zip(&next.rows).enumerate().map(|(row, pair)| {
            let white = match pair {
                (Some([_, right]), Some([left, _])) => Some(left - right),
                _ => None,
            };
            (height(row), white)
        })
    }

    /// Its leftmost and rightmost place.
    pub(super) fn ends(&self) -> [f64; 2] {
        let filled = self.rows.iter().flatten();
        filled
            .copied()
            .reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
            .unwrap_or([0.0, 0.0])
    }

    /// Height of its highest row.
    pub(super) fn top(&self) -> f64 {
        self.rows.iter().rposition(Option::is_some).map_or(FLOOR, height)
    }
}

fn height(row: usize) -> f64 {
    FLOOR + STEP * row as f64
}

/// Points along strokes, near enough to each other for a profile.
pub(super) fn points(strokes: &[BezPath]) -> Vec<Point> {
    let mut points = Vec::new();
    for stroke in strokes {
        if let Some(PathEl::MoveTo(at)) = stroke.elements().first() {
            points.push(*at);
        }
        for segment in stroke.segments() {
            let curve = Curve::from_segment(segment);
            let count = (curve.length() / DENSE).ceil().max(1.0) as usize;
            points.extend((1..=count).map(|i| curve.eval(i as f64 / count as f64)));
        }
    }
    points
}
