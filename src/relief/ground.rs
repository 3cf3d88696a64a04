//! The paper beside a dish, darkened by its shade.

use super::map::{Map, Soft};
use super::spread::Between;
use std::ops::Range;

/// How far the shade on the paper reaches to the lower right, as a share of the thickness.
pub(super) const CAST: f64 = 0.16;

/// How soft it is, share of the thickness.
pub(super) const BLUR: f64 = 0.11;

/// Where a dish keeps light off the paper.
pub(super) struct Ground {
    /// Its shade and the darkness where it touches.
    parts: [Part; 2],
    /// How bright the paper of the present row is where it is seen.
    pub(super) bright: Vec<f32>,
}

struct Part {
    soft: Soft,
    /// How far to the lower right it lies, pixels.
    by: usize,
    /// How dark it is.
    most: f32,
    row: Between,
}

impl Ground {
    /// Under a dish that is so many pixels thick, by half the map of what it covers of so many
    /// columns.
    pub(super) fn of(half: &Map, columns: usize, thick: f32) -> Self {
        let part = |blur: f32, cast: f32, most: f32| Part {
            soft: half.soft(blur * thick, columns),
            by: (cast * thick).round() as usize,
            most,
            row: Between::default(),
        };
        let parts = [part(BLUR as f32, CAST as f32, 0.42), part(0.03, 0.05, 0.30)];
        Self { parts, bright: vec![1.0; columns] }
    }

    /// Goes to some columns of a row.
    #[inline(always)]
    pub(super) fn row(&mut self, row: usize, columns: &Range<usize>) {
        let bright = &mut self.bright[columns.clone()];
        bright.fill(1.0);
        for part in &mut self.parts {
            let Some(row) = row.checked_sub(part.by) else { continue };
            // What lies so far to the left of them; of the first there may be nothing.
            let from = columns.start.saturating_sub(part.by);
            let beside = from..columns.end.saturating_sub(part.by).max(from);
            part.soft.to(row, &beside, &mut part.row);
            let first = bright.len() - beside.len();
            let hidden = &part.row.line()[beside];
            for (bright, hidden) in bright[first..].iter_mut().zip(hidden) {
                *bright *= 1.0 - part.most * hidden;
            }
        }
    }
}
