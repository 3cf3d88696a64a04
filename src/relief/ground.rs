//! The paper beside a dish, darkened by its shade.

use super::map::{Map, Soft};

/// How far the shade on the paper reaches to the lower right, as a share of the thickness.
pub(super) const CAST: f64 = 0.16;

/// How soft it is, share of the thickness.
pub(super) const BLUR: f64 = 0.11;

/// Where a dish keeps light off the paper.
pub(super) struct Ground {
    /// Its shade and the darkness where it touches.
    parts: [Part; 2],
    nodes: Vec<f32>,
}

struct Part {
    soft: Soft,
    /// How far to the lower right it lies, pixels.
    by: usize,
    /// How dark it is.
    most: f32,
    /// Of the present row.
    line: Vec<f32>,
}

impl Ground {
    /// Under a dish that is so many pixels thick, by half the map of what it covers of so many
    /// columns.
    pub(super) fn of(half: &Map, columns: usize, thick: f32) -> Self {
        let part = |blur: f32, cast: f32, most: f32| Part {
            soft: half.soft(blur * thick, columns),
            by: (cast * thick).round() as usize,
            most,
            line: vec![0.0; columns],
        };
        let parts = [part(BLUR as f32, CAST as f32, 0.42), part(0.03, 0.05, 0.30)];
        Self { parts, nodes: Vec::new() }
    }

    /// Goes to a row.
    pub(super) fn row(&mut self, row: usize) {
        for part in &mut self.parts {
            match row.checked_sub(part.by) {
                Some(row) => {
                    let columns = 0..part.line.len();
                    part.soft.draw(row, (&columns, &mut self.nodes), &mut part.line);
                }
                None => part.line.fill(0.0),
            }
        }
    }

    /// How bright the paper of a pixel is.
    pub(super) fn bright(&self, column: usize) -> f32 {
        let mut bright = 1.0;
        for part in &self.parts {
            let hidden = column.checked_sub(part.by).map_or(0.0, |from| part.line[from]);
            bright *= 1.0 - part.most * hidden;
        }
        bright
    }
}
