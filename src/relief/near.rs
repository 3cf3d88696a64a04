//! Distances from the cells of a grid to lines, near those lines.

use super::band::Band;
use super::cells::Cells;
use super::grid::{Grid, Part};
use crate::curve::{BezPath, Point, Rect, Region, chords};
use fearless_simd::{Level, dispatch};

/// Chords lie within this of their curves, share of a cell: far below what it shows.
const CHORD: f64 = 0.02;

/// Distances of cells from a line, or into a region: above zero inside it, below outside.
/// What is farther than a limit is at that limit.
#[derive(Clone, Debug)]
pub(super) struct Near {
    pub(super) part: Part,
    /// Row by row.
    values: Cells,
}

impl Near {
    /// From no line at all.
    pub(super) fn nothing() -> Self {
        Self { part: Part { columns: 0..0, rows: 0..0 }, values: Cells::of(0.0, 0) }
    }

    /// From a drawn line, up to `most` mm.
    pub(super) fn line(line: &BezPath, grid: &Grid, most: f64) -> Self {
        Self::lines(&chords(line, CHORD * grid.step), grid, [most; 2])
    }

    /// From the edge of a region, up to so many mm outside and inside, and no less than some
    /// cells; what is farther is at the greater of both.
    pub(super) fn region(region: &Region, grid: &Grid, most: [f64; 2]) -> Self {
        /// A slope at an edge is taken from both sides.
        const LEAST: f64 = 3.0;
        let lines = chords(&region.path(), CHORD * grid.step);
        let most = most.map(|most| most.max(LEAST * grid.step));
        // The region lies to the left of its edge.
        let mut near = Self::lines(&lines, grid, most);
        near.sign(&lines, grid);
        near
    }

    /// Row by row: the row, its first column and its distances.
    pub(super) fn rows(&self) -> impl Iterator<Item = (usize, usize, &[f32])> {
        let width = self.part.columns.len().max(1);
        let rows = self.part.rows.clone().zip(self.values.chunks(width));
        rows.map(|(row, values)| (row, self.part.columns.start, values))
    }

    /// The first column of a row and its distances; `None` far away.
    pub(super) fn row(&self, row: usize) -> Option<(usize, &[f32])> {
        let Part { columns, rows } = &self.part;
        let index = row.checked_sub(rows.start).filter(|_| rows.contains(&row))?;
        let values = &self.values[index * columns.len()..][..columns.len()];
        Some((columns.start, values))
    }

    /// The distances of the rows above, at and below one; where there is none its own.
    pub(super) fn about(&self, row: usize) -> Option<[&[f32]; 3]> {
        let at = |row: Option<usize>| self.row(row?).map(|(_, values)| values);
        let own = at(Some(row))?;
        let [above, below] = [row.checked_sub(1), row.checked_add(1)].map(at);
        Some([above.unwrap_or(own), own, below.unwrap_or(own)])
    }

    /// The distance of a cell; `None` far away.
    pub(super) fn get(&self, column: usize, row: usize) -> Option<f32> {
        let Part { columns, rows } = &self.part;
        if !columns.contains(&column) || !rows.contains(&row) {
            return None;
        }
        let index = (row - rows.start) * columns.len() + column - columns.start;
        self.values.get(index).copied()
    }

    /// The distance so many cells farther in from a cell, where it grows by `slope` to the
    /// right and up; on a ridge the cell's own.
    pub(super) fn farther_in(
        &self,
        [column, row]: [usize; 2],
        cells: f32,
        slope: [f32; 2],
    ) -> f32 {
        let own = self.get(column, row).unwrap_or(0.0);
        let steep = (slope[0] * slope[0] + slope[1] * slope[1]).sqrt();
        // Astride a ridge the slopes of both sides cancel.
        if steep < 0.7 {
            return own;
        }
        let x = (column as f32 + slope[0] / steep * cells).max(0.0);
        let y = (row as f32 - slope[1] / steep * cells).max(0.0);
        let (left, top) = (x as usize, y as usize);
        let (u, v) = (x - left as f32, y - top as f32);
        let corner = |i: usize, j: usize| self.get(left + i, top + j).unwrap_or(own);
        let upper = corner(0, 0) * (1.0 - u) + corner(1, 0) * u;
        let lower = corner(0, 1) * (1.0 - u) + corner(1, 1) * u;
        own.max(upper * (1.0 - v) + lower * v)
    }

    /// From chords, up to so many mm to the right and the left of them.
    fn lines(lines: &[[Point; 2]], grid: &Grid, beside: [f64; 2]) -> Self {
        let boxes = lines.iter().map(|[a, b]| Rect::from_points(*a, *b));
        let Some(bounds) = boxes.reduce(|a, b| a.union(b)) else {
            return Self::nothing();
        };
        let most = beside[0].max(beside[1]);
        let part = grid.part(bounds.inflate(most, most));
        let cells = most / grid.step;
        let values = Cells::of((cells * cells) as f32, part.cells());
        let mut near = Self { part, values };
        let places: Vec<f32> = near.part.columns.clone().map(|at| at as f32).collect();
        let bands = Band::all(lines, grid, beside.map(|mm| mm / grid.step));
        dispatch!(Level::new(), _ => near.stamp_all(&bands, &places, grid.step as f32));
        near
    }

    /// Finds the distances of what lies about chords, mm.
    #[inline(always)]
    fn stamp_all(&mut self, bands: &[Band], places: &[f32], side: f32) {
        for band in bands {
            self.stamp(band, places);
        }
        for value in self.values.iter_mut() {
            *value = value.sqrt() * side;
        }
    }

    /// Lowers the squares of what lies about one chord, cells.
    #[inline(always)]
    fn stamp(&mut self, band: &Band, places: &[f32]) {
        let Part { columns, rows } = &self.part;
        let along = band.chord();
        let (dx, dy) = (along.x as f32, along.y as f32);
        let square = along.hypot2() as f32;
        let inverse = if square > 0.0 { 1.0 / square } else { 0.0 };
        let from = band.from.x as f32;
        for row in band.rows(rows) {
            let shown = band.columns(row, columns);
            let shown = shown.start - columns.start..shown.end - columns.start;
            let y = (row as f64 - band.from.y) as f32;
            let start = (row - rows.start) * columns.len();
            let out = &mut self.values[start..][shown.clone()];
            for (value, place) in out.iter_mut().zip(&places[shown]) {
                let x = place - from;
                let t = ((x * dx + y * dy) * inverse).clamp(0.0, 1.0);
                let (off, up) = (x - t * dx, y - t * dy);
                let found = off * off + up * up;
                *value = if found < *value { found } else { *value };
            }
        }
    }

    /// Turns what lies outside the closed lines below zero (non-zero winding).
    fn sign(&mut self, lines: &[[Point; 2]], grid: &Grid) {
        let rows = self.part.rows.clone();
        let width = self.part.columns.len();
        let mut crossings: Vec<Vec<(f64, i32)>> = vec![Vec::new(); rows.len()];
        for &[a, b] in lines {
            let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
            let turn = if a.y < b.y { 1 } else { -1 };
            let level = Rect::new(grid.corner.x, low.y, grid.corner.x, high.y);
            for row in grid.part(level).rows {
                let y = grid.at(0, row).y;
                if low.y <= y && y < high.y && rows.contains(&row) {
                    let x = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
                    crossings[row - rows.start].push((x, turn));
                }
            }
        }
        for (line, mut at) in self.values.chunks_mut(width.max(1)).zip(crossings) {
            at.sort_by(|a, b| a.0.total_cmp(&b.0));
            let (mut winding, mut from) = (0, 0);
            for (x, turn) in at.into_iter().chain([(f64::INFINITY, 0)]) {
                let end = grid.columns(x, f64::INFINITY).start;
                let end = end.clamp(self.part.columns.start, self.part.columns.end);
                let to = end - self.part.columns.start;
                if winding == 0 {
                    for value in &mut line[from..to] {
                        *value = -*value;
                    }
                }
                winding += turn;
                from = to;
            }
        }
    }
}
