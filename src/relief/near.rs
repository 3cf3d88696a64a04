//! Distances from the cells of a grid to lines, near those lines.

use super::grid::{Grid, Part};
use crate::curve::{BezPath, Point, Rect, Region, chords};

/// Chords lie within this of their curves, share of a cell: far below what it shows.
const CHORD: f64 = 0.02;

/// Distances of cells from a line, or into a region: above zero inside it, below outside.
/// What is farther than a limit is at that limit.
#[derive(Clone, Debug)]
pub(super) struct Near {
    pub(super) part: Part,
    values: Vec<f32>,
}

impl Near {
    /// From no line at all.
    pub(super) fn nothing() -> Self {
        Self { part: Part { columns: 0..0, rows: 0..0 }, values: vec![] }
    }

    /// From a drawn line, up to `most` mm.
    pub(super) fn line(line: &BezPath, grid: &Grid, most: f64) -> Self {
        Self::lines(&chords(line, CHORD * grid.step), grid, most)
    }

    /// From the edge of a region, up to `most` mm.
    pub(super) fn region(region: &Region, grid: &Grid, most: f64) -> Self {
        let lines = chords(&region.path(), CHORD * grid.step);
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

    /// The distance of a cell; `None` far away.
    pub(super) fn get(&self, column: usize, row: usize) -> Option<f32> {
        let Part { columns, rows } = &self.part;
        if !columns.contains(&column) || !rows.contains(&row) {
            return None;
        }
        let index = (row - rows.start) * columns.len() + column - columns.start;
        self.values.get(index).copied()
    }

    /// How much the distance grows over the two cells around one, to the right and up.
    pub(super) fn slope(&self, column: usize, row: usize) -> [f32; 2] {
        let own = self.get(column, row).unwrap_or(0.0);
        let at = |column: usize, row: usize| self.get(column, row).unwrap_or(own);
        [
            at(column + 1, row) - at(column.wrapping_sub(1), row),
            at(column, row.wrapping_sub(1)) - at(column, row + 1),
        ]
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

    fn lines(lines: &[[Point; 2]], grid: &Grid, most: f64) -> Self {
        let boxes = lines.iter().map(|[a, b]| Rect::from_points(*a, *b));
        let Some(bounds) = boxes.reduce(|a, b| a.union(b)) else {
            return Self::nothing();
        };
        let part = grid.part(bounds.inflate(most, most));
        let values = vec![(most * most) as f32; part.cells()];
        let mut near = Self { part, values };
        let xs: Vec<f32> = (0..grid.size[0])
            .map(|column| (grid.at(column, 0).x - grid.corner.x) as f32)
            .collect();
        for &[a, b] in lines {
            // Long chords in pieces, so that the boxes around them stay small.
            let pieces = (a.distance(b) / most.max(grid.step)).ceil().max(1.0);
            let at = |k: f64| a.lerp(b, k / pieces);
            for k in 0..pieces as u32 {
                let piece = [at(f64::from(k)), at(f64::from(k) + 1.0)];
                near.stamp(piece, (grid, &xs), most);
            }
        }
        for value in &mut near.values {
            *value = value.sqrt();
        }
        near
    }

    /// Lowers the squares around one chord.
    fn stamp(&mut self, [a, b]: [Point; 2], (grid, xs): (&Grid, &[f32]), most: f64) {
        let part = grid.part(Rect::from_points(a, b).inflate(most, most));
        let along = b - a;
        let (dx, dy) = (along.x as f32, along.y as f32);
        let square = along.hypot2() as f32;
        let inverse = if square > 0.0 { 1.0 / square } else { 0.0 };
        let from = (a.x - grid.corner.x) as f32;
        let width = self.part.columns.len();
        let (low, high) = (a.y.min(b.y), a.y.max(b.y));
        for row in part.rows {
            let level = grid.at(0, row).y;
            // No cell of the row is nearer than the chord is to the whole of it.
            let off = (low - level).max(level - high).max(0.0);
            let reach = ((most - off) * (most + off)).max(0.0).sqrt() + grid.step;
            let columns = grid.columns(a.x.min(b.x) - reach, a.x.max(b.x) + reach);
            let y = (level - a.y) as f32;
            let start = (row - self.part.rows.start) * width;
            let shown = columns.start.max(part.columns.start)
                ..columns.end.min(part.columns.end).max(part.columns.start);
            let Some(xs) = xs.get(shown.clone()) else { continue };
            let start = start + (shown.start - self.part.columns.start);
            let out = &mut self.values[start..start + xs.len()];
            for (value, x) in out.iter_mut().zip(xs) {
                let x = x - from;
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
