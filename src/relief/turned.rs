//! A dish to be turned in the light: its heights and the bare colour of its wood, apart.

use super::board::{Board, Course};
use super::field::Field;
use super::grid::Grid;
use super::scene::{Codes, Scene};

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
        let mut heights = vec![f32::NAN; columns * rows];
        let mut inside = vec![-beside as f32; heights.len()];
        for (row, first, values) in field.inside() {
            let start = row * columns + first;
            inside[start..start + values.len()].copy_from_slice(values);
            let cells = heights[start..].iter_mut().zip(&field.row(row)[first..]);
            for ((height, z), _) in cells.zip(values).filter(|(_, far)| **far >= 0.0) {
                *height = *z;
            }
        }
        let rgb = self.bare(&field);
        let round = self.solid.outer_round.unwrap_or(0.0);
        Turned { grid, thickness: self.solid.thickness, round, heights, inside, rgb }
    }

    /// The colour of every cell of a field, as if light came from everywhere.
    fn bare(&self, field: &Field) -> Vec<u8> {
        let grid = &field.grid;
        let depth = self.solid.thickness as f32;
        let middle = self.solid.outline.bounds().center();
        let mut board = Board::new(&self.timber, grid, middle, depth);
        let mut course = Course::default();
        let codes = Codes::known();
        let mean = self.timber.tone.map(|light| codes.of(light));
        let [columns, rows] = grid.size;
        let mut darks = Vec::new();
        let mut rgb = Vec::with_capacity(columns * rows * 3);
        for row in 0..rows {
            board.row(row, &(0..columns), &mut course);
            let surface = (field.row(row), field.slopes(row));
            board.darks(&mut course, &(0..columns), surface, &mut darks);
            for (column, dark) in darks.iter().enumerate() {
                let wood = !field.height(column, row).is_nan();
                let color = || self.timber.color(*dark).map(|light| codes.of(light));
                rgb.extend(if wood { color() } else { mean });
            }
        }
        rgb
    }
}
