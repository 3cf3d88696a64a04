//! Square cells over a dish.

use crate::curve::{Point, Rect};
use std::ops::Range;

/// Square cells, counted in columns to the right and rows **downward**.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// The upper left corner of the first cell, mm, y up.
    pub corner: Point,
    /// Side of a cell, mm.
    pub step: f64,
    /// Columns and rows.
    pub size: [usize; 2],
}

impl Grid {
    /// The fewest cells that cover a box, from its upper left corner.
    pub fn over(bounds: Rect, step: f64) -> Self {
        let cells = |length: f64| (length / step - 1e-9).ceil().max(1.0) as usize;
        let size = [cells(bounds.width()), cells(bounds.height())];
        Self { corner: Point::new(bounds.x0, bounds.y1), step, size }
    }

    /// The middle of a cell.
    pub fn at(&self, column: usize, row: usize) -> Point {
        let along = |cells: usize| (cells as f64 + 0.5) * self.step;
        Point::new(self.corner.x + along(column), self.corner.y - along(row))
    }

    /// The cells whose middles lie in a box.
    pub(super) fn part(&self, bounds: Rect) -> Part {
        let y = self.corner.y;
        Part {
            columns: self.columns(bounds.x0, bounds.x1),
            rows: self.range(y - bounds.y1, y - bounds.y0, self.size[1]),
        }
    }

    /// The columns whose middles lie between two places, mm.
    pub(super) fn columns(&self, from: f64, to: f64) -> Range<usize> {
        self.range(from - self.corner.x, to - self.corner.x, self.size[0])
    }

    fn range(&self, from: f64, to: f64, count: usize) -> Range<usize> {
        let cell = |mm: f64| (mm / self.step - 0.5).clamp(-1.0, count as f64);
        let first = cell(from).ceil().max(0.0) as usize;
        let end = (cell(to).floor() + 1.0).max(0.0) as usize;
        first..end.min(count).max(first)
    }
}

/// Neighbouring columns and rows of a grid.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Part {
    pub(super) columns: Range<usize>,
    pub(super) rows: Range<usize>,
}

impl Part {
    pub(super) fn cells(&self) -> usize {
        self.columns.len() * self.rows.len()
    }
}
