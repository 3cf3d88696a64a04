//! Numbers over the pixels of a picture.

use super::spread::Spread;
use std::ops::Range;

/// Rows of numbers, from the upper left.
#[derive(Clone, Debug)]
pub(super) struct Map {
    pub(super) size: [usize; 2],
    pub(super) values: Vec<f32>,
}

impl Map {
    pub(super) fn row(&self, row: usize) -> &[f32] {
        &self.values[row * self.size[0]..(row + 1) * self.size[0]]
    }

    /// Means of squares of two by two pixels, for what has no details; rows are handed in one
    /// after the other.
    pub(super) fn half(size: [usize; 2]) -> Self {
        let size = size.map(|count| count.div_ceil(2));
        Self { size, values: Vec::with_capacity(size[0] * size[1]) }
    }

    /// Takes a row of pixels in.
    pub(super) fn take(&mut self, row: usize, pixels: &[f32]) {
        let start = row / 2 * self.size[0];
        if row.is_multiple_of(2) {
            // The last row may be alone.
            self.values.resize(start, 0.0);
            self.values.extend(
                pixels.chunks(2).map(|pair| 0.5 * (pair[0] + pair[pair.len() - 1])),
            );
        } else {
            for (sum, pair) in self.values[start..].iter_mut().zip(pixels.chunks(2)) {
                *sum = 0.5 * *sum + 0.25 * (pair[0] + pair[pair.len() - 1]);
            }
        }
    }

    /// Means over about so many pixels to each side, taken twice, where this is half of a map
    /// with so many columns.
    pub(super) fn soft(&self, pixels: f32, columns: usize) -> Soft {
        /// What is left of the distance in cells of the smaller map.
        const CELLS: f32 = 1.8;
        let by = ((pixels / 2.0 / CELLS) as usize).max(1);
        let mut map = self.smaller(by);
        let cells = ((pixels / 2.0 / by as f32).round() as usize).max(1);
        for _ in 0..2 {
            map.blur_rows(cells);
            map.blur_columns(cells);
        }
        let by = 2 * by;
        let places = (0..columns).map(|column| place(column, by));
        Soft { map, by, across: Spread::new(places) }
    }

    /// Means of squares of so many pixels.
    fn smaller(&self, by: usize) -> Self {
        if by == 1 {
            return self.clone();
        }
        let size = self.size.map(|count| count.div_ceil(by));
        let mut values = Vec::with_capacity(size[0] * size[1]);
        let mut sums = vec![0.0; size[0]];
        for rows in self.values.chunks(by * self.size[0]) {
            sums.fill(0.0);
            for row in rows.chunks(self.size[0]) {
                for (sum, pixels) in sums.iter_mut().zip(row.chunks(by)) {
                    *sum += pixels.iter().sum::<f32>() / pixels.len() as f32;
                }
            }
            let count = (rows.len() / self.size[0]) as f32;
            values.extend(sums.iter().map(|sum| sum / count));
        }
        Self { size, values }
    }

    fn blur_rows(&mut self, by: usize) {
        let columns = self.size[0];
        let share = 1.0 / (2 * by + 1) as f32;
        let mut line = vec![0.0; columns];
        for row in self.values.chunks_mut(columns) {
            // Counted from `by` before the first; beyond the ends it stays as there.
            let at = |place: usize| row[place.saturating_sub(by).min(columns - 1)];
            let mut sum: f32 = (0..=2 * by).map(at).sum();
            for (i, mean) in line.iter_mut().enumerate() {
                *mean = sum * share;
                sum += at(i + 2 * by + 1) - at(i);
            }
            row.copy_from_slice(&line);
        }
    }

    fn blur_columns(&mut self, by: usize) {
        let [columns, rows] = self.size;
        let share = 1.0 / (2 * by + 1) as f32;
        let old = self.clone();
        let at = |place: usize| old.row(place.saturating_sub(by).min(rows - 1));
        let mut sums = vec![0.0; columns];
        for place in 0..=2 * by {
            for (sum, value) in sums.iter_mut().zip(at(place)) {
                *sum += value;
            }
        }
        for (i, row) in self.values.chunks_mut(columns).enumerate() {
            let (next, last) = (at(i + 2 * by + 1), at(i));
            for (((mean, sum), next), last) in
                row.iter_mut().zip(&mut sums).zip(next).zip(last)
            {
                *mean = *sum * share;
                *sum += next - last;
            }
        }
    }
}

/// The middle of a pixel in cells of so many pixels, counted from the middle of the first.
fn place(pixel: usize, by: usize) -> f32 {
    ((pixel as f32 + 0.5) / by as f32 - 0.5).max(0.0)
}

/// A map without details, kept on few cells.
#[derive(Clone, Debug)]
pub(super) struct Soft {
    map: Map,
    /// Pixels along a cell.
    by: usize,
    across: Spread,
}

impl Soft {
    /// Its values at some of the pixels of a row.
    pub(super) fn draw(
        &self,
        row: usize,
        (columns, nodes): (&Range<usize>, &mut Vec<f32>),
        out: &mut [f32],
    ) {
        let place = place(row, self.by);
        let share = place.fract();
        let row = (place as usize).min(self.map.size[1] - 1);
        let below = self.map.row((row + 1).min(self.map.size[1] - 1));
        nodes.clear();
        let pairs = self.map.row(row).iter().zip(below);
        nodes.extend(pairs.map(|(upper, lower)| upper + (lower - upper) * share));
        nodes.extend(nodes.last().copied());
        self.across.draw(nodes, columns, out);
    }
}
