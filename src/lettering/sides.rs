//! Where a line of letters begins and ends to the eye.

use super::written::Written;
use crate::curve::{BezPath, Curve, Drawn as _, Rect};

/// White beside a letter counts no deeper than this share of the height.
const DEEPEST: f64 = 0.2;

/// Rows over the height of a capital in which a side is looked at.
const ROWS: u32 = 40;

/// Chords of a curve.
const STEPS: u32 = 8;

impl Written {
    /// The middle to the eye, for capitals of a height: half way between the means of both
    /// sides over that height, so that the open side of an L, T or j is not taken for ink. At
    /// most `spare` from the middle of the ink.
    pub(super) fn optical_middle(&self, height: f64, spare: f64) -> f64 {
        let boxes: Vec<Rect> = self.glyphs.iter().map(BezPath::bounding_box).collect();
        let Some(ink) = boxes.iter().copied().reduce(|a, b| a.union(b)) else {
            return 0.0;
        };
        let deepest = DEEPEST * height;
        let near = |b: &Rect| b.x0 < ink.x0 + deepest || b.x1 > ink.x1 - deepest;
        let rows = vec![[deepest; 2]; ROWS as usize];
        let mut sides = Sides { ends: [ink.x0, ink.x1], height, rows };
        for (glyph, _) in self.glyphs.iter().zip(&boxes).filter(|(_, b)| near(b)) {
            sides.look_at(glyph);
        }
        let mean = |side: fn(&[f64; 2]) -> f64| {
            sides.rows.iter().map(side).sum::<f64>() / f64::from(ROWS)
        };
        let off = (mean(|row| row[0]) - mean(|row| row[1])) / 2.0;
        f64::midpoint(ink.x0, ink.x1) + off.clamp(-spare, spare)
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
