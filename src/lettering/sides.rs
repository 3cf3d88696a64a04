//! Where a line of letters begins and ends to the eye.

use super::written::Written;
use crate::curve::{BezPath, Curve, Drawn as _};

/// White beside a letter counts no deeper than this share of the height.
const DEEPEST: f64 = 0.2;

/// Rows over the height of a capital in which a side is looked at.
const ROWS: u32 = 40;

/// Chords of a curve.
const STEPS: u32 = 8;

impl Written {
    /// The middle to the eye, for capitals of a height: half way between the means of both
    /// sides over that height, so that the open side of an L, T or j is not taken for ink.
    pub(super) fn optical_middle(&self, height: f64) -> f64 {
        let [left, right] = self.ink().unwrap_or_default();
        let deepest = DEEPEST * height;
        let near = |x: f64| x < left + deepest || x > right - deepest;
        let mut sides = Sides { ends: [left, right], height, rows: Vec::new() };
        sides.rows.resize(ROWS as usize, [deepest; 2]);
        for glyph in &self.glyphs {
            let bounds = glyph.bounding_box();
            if near(bounds.x0) || near(bounds.x1) {
                sides.look_at(glyph);
            }
        }
        let mean = |side: fn(&[f64; 2]) -> f64| {
            sides.rows.iter().map(side).sum::<f64>() / f64::from(ROWS)
        };
        f64::midpoint(left + mean(|row| row[0]), right - mean(|row| row[1]))
    }
}

struct Sides {
    ends: [f64; 2],
    height: f64,
    /// White at the left and right end of each row.
    rows: Vec<[f64; 2]>,
}

impl Sides {
    fn look_at(&mut self, glyph: &BezPath) {
        for segment in glyph.segments() {
            let curve = Curve::from_segment(segment);
            let steps = if matches!(curve, Curve::Line(_)) { 1 } else { STEPS };
            let mut from = curve.start();
            for step in 1..=steps {
                let to = curve.eval(f64::from(step) / f64::from(steps));
                self.crossed([from.x, from.y], [to.x, to.y]);
                from = to;
            }
        }
    }

    /// A chord, in every row whose middle it crosses.
    fn crossed(&mut self, from: [f64; 2], to: [f64; 2]) {
        let row = self.height / f64::from(ROWS);
        let (low, high) = (from[1].min(to[1]), from[1].max(to[1]));
        for (number, white) in (0..ROWS).zip(&mut self.rows) {
            let y = (f64::from(number) + 0.5) * row;
            if y < low || y >= high {
                continue;
            }
            let x = from[0] + (to[0] - from[0]) * (y - from[1]) / (to[1] - from[1]);
            white[0] = white[0].min(x - self.ends[0]);
            white[1] = white[1].min(self.ends[1] - x);
        }
    }
}
