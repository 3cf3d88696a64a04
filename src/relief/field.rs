//! Heights of a finished dish over a grid.

use super::carve::{Pass, lower};
use super::cells::Cells;
use super::grid::Grid;
use super::lanes::{at_least, mix};
use super::near::Near;
use super::solid::Solid;
use std::ops::Range;

/// How far beside the outline its distance is known at least, cells.
const BESIDE: f64 = 3.0;

/// Slopes are kept no steeper.
pub(super) const STEEPEST: f32 = 2.4;

/// Heights above the top of the board, mm, at the middles of the cells of a grid.
#[derive(Clone, Debug)]
pub struct Field {
    /// The cells.
    pub grid: Grid,
    /// Beyond the outline too.
    heights: Cells,
    /// How much the height grows to the right, and up.
    slopes: [Cells; 2],
    /// Cells at the edge of a cut, row by row.
    pub(super) steps: Vec<Steps>,
    outline: Near,
}

/// A piece of the surface.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facet {
    /// Height, mm.
    pub(super) z: f32,
    /// How much the height grows to the right and up.
    pub(super) slope: [f32; 2],
}

/// A cell at an edge, as near as its side.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    /// How much of it is cut.
    pub(super) share: f32,
    pub(super) low: Facet,
    pub(super) high: Facet,
    /// Into the cut: to the right and up.
    pub(super) into: [f32; 2],
    /// How near it is to the edge, 1 where that goes through its middle. Across the edge the
    /// cells share it out among them.
    pub(super) near: f32,
}

impl Step {
    /// The mean height.
    fn mean(&self) -> f32 {
        self.high.z + (self.low.z - self.high.z) * self.share
    }
}

/// Steps of a row by their columns.
#[derive(Clone, Debug, Default)]
pub(super) struct Steps {
    /// From left to right.
    columns: Vec<usize>,
    all: Vec<Step>,
}

impl Steps {
    /// Room for those of most rows.
    const FEW: usize = 16;

    pub(super) fn get_mut(&mut self, column: usize) -> Option<&mut Step> {
        let place = self.columns.binary_search(&column).ok()?;
        self.all.get_mut(place)
    }

    pub(super) fn put(&mut self, column: usize, step: Step) {
        if self.columns.is_empty() {
            self.columns.reserve(Self::FEW);
            self.all.reserve(Self::FEW);
        }
        let place = self.columns.partition_point(|own| *own < column);
        self.columns.insert(place, column);
        self.all.insert(place, step);
    }

    /// Among some columns.
    fn among(
        &mut self,
        columns: &Range<usize>,
    ) -> impl Iterator<Item = (usize, &mut Step)> {
        let [from, to] = [columns.start, columns.end]
            .map(|end| self.columns.partition_point(|own| *own < end));
        self.columns[from..to].iter().copied().zip(&mut self.all[from..to])
    }

    fn iter(&self) -> impl Iterator<Item = (usize, &Step)> {
        self.columns.iter().copied().zip(&self.all)
    }
}

impl Field {
    /// A dish as it is made.
    pub fn of(solid: &Solid, grid: Grid) -> Self {
        let round = solid.outer_round.unwrap_or(0.0);
        let beside = BESIDE * grid.step;
        let outline = Near::region(&solid.outline, &grid, [beside, round.max(beside)]);
        let cells = grid.size[0] * grid.size[1];
        let flat = || Cells::of(0.0, cells);
        let steps = vec![Steps::default(); grid.size[1]];
        let slopes = [flat(), flat()];
        let mut field = Self { grid, heights: flat(), slopes, steps, outline };
        for cut in &solid.cuts {
            field.carve(&Pass::cut(cut, &grid));
        }
        for edge in &solid.edges {
            field.carve(&Pass::edge(edge, &grid));
        }
        field.bound(round, solid.thickness);
        field
    }

    /// Height of a cell; not a number outside the outline.
    pub fn height(&self, column: usize, row: usize) -> f32 {
        match self.outline.get(column, row) {
            Some(inside) if inside >= 0.0 => self.row(row)[column],
            Some(_) | None => f32::NAN,
        }
    }

    /// Wood cut away below the top of the board within the outline, mm³.
    pub fn volume_cut(&self) -> f64 {
        let mut sum = 0.0;
        for (row, first, inside) in self.inside() {
            let cells = inside.iter().zip(&self.row(row)[first..]);
            let wood = cells.filter(|(inside, _)| **inside >= 0.0);
            sum -= wood.map(|(_, z)| f64::from(*z)).sum::<f64>();
        }
        sum * self.grid.step * self.grid.step
    }

    /// How far cells lie inside the outline, mm, as far as it is known, below zero outside;
    /// row by row: the row, its first column, its cells. What is left out is outside.
    pub(super) fn inside(&self) -> impl Iterator<Item = (usize, usize, &[f32])> {
        self.outline.rows()
    }

    /// Heights of a row, beyond the outline too.
    pub(super) fn row(&self, row: usize) -> &[f32] {
        &self.heights[self.cells(row)]
    }

    /// How much heights of a row grow to the right, and up.
    pub(super) fn slopes(&self, row: usize) -> [&[f32]; 2] {
        let cells = self.cells(row);
        [&self.slopes[0][cells.clone()], &self.slopes[1][cells]]
    }

    /// Steps of a row by their columns.
    pub(super) fn steps(&self, row: usize) -> impl Iterator<Item = (usize, &Step)> {
        self.steps[row].iter()
    }

    /// Where a row is kept.
    fn cells(&self, row: usize) -> Range<usize> {
        row * self.grid.size[0]..(row + 1) * self.grid.size[0]
    }

    /// The surface of a cell.
    pub(super) fn facet(&self, cell: usize) -> Facet {
        let [right, up] = &self.slopes;
        Facet { z: self.heights[cell], slope: [right[cell], up[cell]] }
    }

    /// Takes away what of a cell stands higher.
    pub(super) fn lower(&mut self, cell: usize, to: Facet) {
        if to.z < self.heights[cell] {
            self.heights[cell] = to.z;
            let [right, up] = &mut self.slopes;
            [right[cell], up[cell]] = to.slope;
        }
    }

    /// Takes away what of some cells stands higher than level ground.
    #[inline(always)]
    pub(super) fn lower_all(&mut self, cells: &Range<usize>, to: f32) {
        let [right, up] = &mut self.slopes;
        let slopes = right[cells.clone()].iter_mut().zip(&mut up[cells.clone()]);
        for (z, (right, up)) in self.heights[cells.clone()].iter_mut().zip(slopes) {
            let higher = to < *z;
            *z = if higher { to } else { *z };
            *right = if higher { 0.0 } else { *right };
            *up = if higher { 0.0 } else { *up };
        }
    }

    /// Takes away what of some cells stands higher than a surface, by its heights and slopes.
    #[inline(always)]
    pub(super) fn lower_to(
        &mut self,
        cells: &Range<usize>,
        heights: &[f32],
        [to_right, to_up]: [&[f32]; 2],
    ) {
        let [right, up] = &mut self.slopes;
        let own = right[cells.clone()].iter_mut().zip(&mut up[cells.clone()]);
        let to = heights.iter().zip(to_right.iter().zip(to_up));
        let own = self.heights[cells.clone()].iter_mut().zip(own);
        for ((z, (right, up)), (to, (to_right, to_up))) in own.zip(to) {
            let higher = *to < *z;
            *z = if higher { *to } else { *z };
            *right = if higher { *to_right } else { *right };
            *up = if higher { *to_up } else { *up };
        }
    }

    /// Takes away what of both sides of the steps among some columns of a row stands higher.
    pub(super) fn lower_steps(
        &mut self,
        row: usize,
        columns: &Range<usize>,
        to: impl Fn(usize) -> Facet,
    ) {
        for (column, step) in self.steps[row].among(columns) {
            lower(&mut step.low, to(column));
            lower(&mut step.high, to(column));
        }
    }

    /// Where some cells of a row are kept.
    pub(super) fn place(&self, row: usize, columns: &Range<usize>) -> Range<usize> {
        let first = self.cells(row).start;
        first + columns.start..first + columns.end
    }

    /// The share of each cell of a row that is dish, and their columns.
    #[inline(always)]
    pub(super) fn cover(&self, row: usize, out: &mut [f32]) -> Range<usize> {
        out.fill(0.0);
        let Some((first, inside)) = self.outline.row(row) else { return 0..0 };
        let per_mm = 1.0 / self.grid.step as f32;
        for (share, inside) in out[first..].iter_mut().zip(inside) {
            *share = (0.5 + inside * per_mm).clamp(0.0, 1.0);
        }
        let some = |share: &f32| *share > 0.0;
        let columns = out.iter().position(some).zip(out.iter().rposition(some));
        columns.map_or(0..0, |(first, last)| first..last + 1)
    }

    /// Mean heights of the cells of a row; what is not dish is as low as its underside.
    #[inline(always)]
    pub(super) fn means(&self, row: usize, cover: &[f32], bottom: f32, out: &mut [f32]) {
        let parts = self.row(row).iter().zip(cover);
        for (out, (z, share)) in out.iter_mut().zip(parts) {
            *out = mix(bottom, *z, *share);
        }
        for (column, step) in self.steps(row) {
            out[column] = mix(bottom, step.mean(), cover[column]);
        }
    }

    /// Rounds the outer edge; no cut goes below the board.
    fn bound(&mut self, radius: f64, thickness: f64) {
        let bottom = -thickness as f32;
        if radius > 0.0 {
            let outline = std::mem::replace(&mut self.outline, Near::nothing());
            let around = Pass::around(outline, radius);
            self.carve(&around);
            self.outline = around.near;
        }
        for z in self.heights.iter_mut() {
            *z = at_least(*z, bottom);
        }
        for step in self.steps.iter_mut().flat_map(|row| &mut row.all) {
            step.low.z = step.low.z.max(bottom);
        }
    }
}
