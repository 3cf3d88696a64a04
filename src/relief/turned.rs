//! A dish to be turned in the light: its heights and the bare colour of its wood, apart.

use super::field::Field;
use super::grid::Grid;
use super::scene::{Scene, TABLE, codes};
use super::timber::Spot;

/// Cells around the outline that lie outside it, so that its edge can be found between cells.
const AROUND: f64 = 3.0;

/// A dish over a grid, unlit.
#[derive(Clone, Debug)]
pub struct Turned {
    /// The cells.
    pub grid: Grid,
    /// Thickness of the board, mm.
    pub thickness: f64,
    /// Radius of the round along the outline, mm; 0 for a square edge.
    pub round: f64,
    /// Heights above the top of the board, mm, row by row; not a number outside the outline.
    pub heights: Vec<f32>,
    /// How far cells lie inside the outline, mm, below zero outside; far away, no less than
    /// two cells.
    pub inside: Vec<f32>,
    /// Red, green and blue of the wood (sRGB), without light or shade.
    pub rgb: Vec<u8>,
}

impl Scene {
    /// The dish over so many cells along its longer side.
    pub fn turned(&self, cells: u16) -> Turned {
        let bounds = self.solid.outline.bounds();
        let longer = bounds.width().max(bounds.height());
        let step = longer / (f64::from(cells) - 2.0 * AROUND).max(1.0);
        let beside = AROUND * step;
        let grid = Grid::over(bounds.inflate(beside, beside), step);
        let field = Field::of(&self.solid, grid);
        let [columns, rows] = grid.size;
        let mut heights = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            heights.extend_from_slice(field.row(row));
        }
        let mut inside = vec![-beside as f32; heights.len()];
        for (row, first, values) in field.inside() {
            let start = row * columns + first;
            inside[start..start + values.len()].copy_from_slice(values);
        }
        let rgb = self.bare(&field);
        let round = self.solid.outer_round.unwrap_or(0.0);
        Turned { grid, thickness: self.solid.thickness, round, heights, inside, rgb }
    }

    /// The colour of every cell of a field, as if light came from everywhere.
    fn bare(&self, field: &Field) -> Vec<u8> {
        let grid = &field.grid;
        let bounds = self.solid.outline.bounds();
        let half = [bounds.width() / 2.0, bounds.height() / 2.0].map(|mm| mm as f32);
        let board = self.timber.board(half);
        let middle = bounds.center();
        let cell = grid.step as f32;
        let codes = codes();
        let code = |light: f32| codes[(light.clamp(0.0, 1.0) * TABLE) as usize];
        let mean = self.timber.tone.map(code);
        let mut rgb = Vec::with_capacity(grid.size[0] * grid.size[1] * 3);
        for row in 0..grid.size[1] {
            for column in 0..grid.size[0] {
                let z = field.height(column, row);
                if z.is_nan() {
                    rgb.extend(mean);
                    continue;
                }
                let place = grid.at(column, row) - middle;
                let at = [place.x as f32, place.y as f32];
                let slope = slope(field, [column, row], z);
                let spot = Spot { at, z, slope, cell };
                rgb.extend(self.timber.color(&spot, &board).map(code));
            }
        }
        rgb
    }
}

/// How a cell's surface rises to the right and up.
fn slope(field: &Field, [column, row]: [usize; 2], own: f32) -> [f32; 2] {
    /// Beyond it the figure of the wood is too fine to be drawn.
    const STEEPEST: f32 = 2.4;
    let at = |column: usize, row: usize| {
        let z = field.height(column, row);
        if z.is_nan() { own } else { z }
    };
    let right = at(column + 1, row) - at(column.wrapping_sub(1), row);
    let up = at(column, row.wrapping_sub(1)) - at(column, row + 1);
    let run = 2.0 * field.grid.step as f32;
    [right, up].map(|rise| (rise / run).clamp(-STEEPEST, STEEPEST))
}
