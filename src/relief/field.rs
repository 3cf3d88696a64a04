//! Heights of a finished dish over a grid.

use super::grid::Grid;
use super::near::Near;
use super::solid::{Cut, Edge, Solid, Tip};
use crate::model::Cutter;

/// How far beside the outline its distance is known at least, cells.
const BESIDE: f64 = 3.0;

/// Heights above the top of the board, mm, at the middles of the cells of a grid.
#[derive(Clone, Debug)]
pub struct Field {
    /// The cells.
    pub grid: Grid,
    heights: Vec<f32>,
    outline: Near,
}

impl Field {
    /// A dish as it is made.
    pub fn of(solid: &Solid, grid: Grid) -> Self {
        let round = solid.outer_round.unwrap_or(0.0);
        let beside = round.max(BESIDE * grid.step);
        let outline = Near::region(&solid.outline, &grid, beside);
        let heights = vec![0.0; grid.size[0] * grid.size[1]];
        let mut field = Self { grid, heights, outline };
        for cut in &solid.cuts {
            field.cut(cut);
        }
        for edge in &solid.edges {
            field.edge(edge);
        }
        field.bound(round, solid.thickness);
        field
    }

    /// Height of a cell; not a number outside the outline.
    pub fn height(&self, column: usize, row: usize) -> f32 {
        let [columns, rows] = self.grid.size;
        if column >= columns || row >= rows {
            return f32::NAN;
        }
        self.heights[row * columns + column]
    }

    /// Wood cut away below the top of the board within the outline, mm³.
    pub fn volume_cut(&self) -> f64 {
        let depths = self.heights.iter().filter(|z| !z.is_nan());
        depths.map(|z| -f64::from(*z)).sum::<f64>() * self.grid.step * self.grid.step
    }

    /// How far cells lie inside the outline, mm, as far as it is known, below zero outside;
    /// row by row: the row, its first column, its cells. What is left out is outside.
    pub(super) fn inside(&self) -> impl Iterator<Item = (usize, usize, &[f32])> {
        self.outline.rows()
    }

    /// A row of heights.
    pub(super) fn row(&self, row: usize) -> &[f32] {
        let columns = self.grid.size[0];
        &self.heights[row * columns..(row + 1) * columns]
    }

    fn cut(&mut self, cut: &Cut) {
        let grid = self.grid;
        match cut {
            Cut::Cleared { area, by, depth } => {
                let shown = by.shown(*depth);
                // Farther in than the curve along its side the tip is flat.
                let curve = (shown - by.flat()).max(grid.step);
                let near = Near::region(area, &grid, curve);
                let most = curve - 1e-6;
                self.carve(&near, |inside| match inside {
                    outside if outside <= 0.0 => None,
                    far if far >= most => Some(-depth),
                    _ => height(by, (shown - inside).max(0.0), *depth),
                });
            }
            Cut::Led { middle, by, depth } => {
                let near = Near::region(middle, &grid, by.shown(*depth) + grid.step);
                self.carve(&near, |inside| height(by, -inside, *depth));
            }
            Cut::Along { lines, by, depth } => {
                let near = Near::line(lines, &grid, by.shown(*depth) + grid.step);
                self.carve(&near, |off| height(by, off, *depth));
            }
            Cut::Pointed { area, by, surface, limit } => {
                let most = by.radius_at(*limit).max(grid.step) + grid.step;
                let near = Near::region(area, &grid, most);
                self.pointed(&near, by, (*surface, *limit));
            }
        }
    }

    /// Lowers cells to the height that their distance gives.
    fn carve(&mut self, near: &Near, height: impl Fn(f64) -> Option<f64>) {
        let columns = self.grid.size[0];
        for (row, first, values) in near.rows() {
            let start = row * columns + first;
            let cells = &mut self.heights[start..start + values.len()];
            for (cell, value) in cells.iter_mut().zip(values) {
                if let Some(height) = height(f64::from(*value)) {
                    *cell = cell.min(height as f32);
                }
            }
        }
    }

    /// A disc of the cutter fits inside the area around every point; the deepest that reaches
    /// a cell is that around the point its flat tip's width farther in.
    fn pointed(&mut self, near: &Near, by: &Cutter, (surface, limit): (f64, f64)) {
        let flat = by.radius_at(0.0);
        let columns = self.grid.size[0];
        for (row, first, values) in near.rows() {
            for (column, value) in (first..).zip(values).filter(|(_, v)| **v > 0.0) {
                let wide = if flat > 0.0 {
                    self.farther_in(near, [column, row], flat)
                } else {
                    f64::from(*value)
                };
                let depth = by.height_at(wide.min(by.radius())).unwrap_or(0.0).min(limit);
                let cell = &mut self.heights[row * columns + column];
                if depth > 0.0 {
                    *cell = cell.min(-(surface + depth) as f32);
                }
            }
        }
    }

    /// The distance to the edge so far up its slope from a cell; on a ridge the cell's own.
    fn farther_in(&self, near: &Near, [column, row]: [usize; 2], by: f64) -> f64 {
        let get = |column: usize, row: usize| near.get(column, row).map(f64::from);
        let own = get(column, row).unwrap_or(0.0);
        let (Some(left), Some(right)) =
            (get(column.wrapping_sub(1), row), get(column + 1, row))
        else {
            return own;
        };
        let (Some(up), Some(down)) =
            (get(column, row.wrapping_sub(1)), get(column, row + 1))
        else {
            return own;
        };
        let (dx, dy) = (right - left, down - up);
        let steep = dx.hypot(dy) / (2.0 * self.grid.step);
        // Astride a ridge the slopes of both sides cancel.
        if steep < 0.7 {
            return own;
        }
        let cells = by / self.grid.step / dx.hypot(dy);
        let (x, y) = (column as f64 + dx * cells, row as f64 + dy * cells);
        let (left, up) = (x.floor(), y.floor());
        let (u, v) = (x - left, y - up);
        let (left, up) = (left as usize, up as usize);
        let corner = |i: usize, j: usize| get(left + i, up + j).unwrap_or(own);
        let upper = corner(0, 0) * (1.0 - u) + corner(1, 0) * u;
        let lower = corner(0, 1) * (1.0 - u) + corner(1, 1) * u;
        own.max(upper * (1.0 - v) + lower * v)
    }

    fn edge(&mut self, edge: &Edge) {
        let radius = edge.radius;
        let near = Near::region(&edge.hollow, &self.grid, radius + self.grid.step);
        self.carve(&near, |inside| round(-inside, radius));
    }

    /// Rounds the outer edge and leaves nothing outside it; no cut goes below the board.
    fn bound(&mut self, radius: f64, thickness: f64) {
        let columns = self.grid.size[0];
        let bottom = -thickness as f32;
        let mut bounded = vec![f32::NAN; self.heights.len()];
        for (row, first, values) in self.outline.rows() {
            let start = row * columns + first;
            let cells = &self.heights[start..start + values.len()];
            let out = &mut bounded[start..start + values.len()];
            for ((out, cell), inside) in out.iter_mut().zip(cells).zip(values) {
                if *inside >= 0.0 {
                    let round = round(f64::from(*inside), radius).unwrap_or(0.0);
                    *out = cell.min(round as f32).max(bottom);
                }
            }
        }
        self.heights = bounded;
    }
}

/// Height where the tip at a depth leaves the wood at a distance from its middle.
fn height(by: &Tip, off: f64, depth: f64) -> Option<f64> {
    let up = by.height(off)?;
    (up < depth).then_some(up - depth)
}

/// A quarter round that begins at an edge: height at a distance from it, into the wood.
/// On the circle about (radius, −radius): z = −(r − √(r² − (r − d)²)).
fn round(off: f64, radius: f64) -> Option<f64> {
    if off < 0.0 || off >= radius {
        return None;
    }
    let left = radius - off;
    Some(((radius - left) * (radius + left)).sqrt() - radius)
}
