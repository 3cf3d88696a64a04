//! Numbers over the pixels of a picture.

use super::spread::{Between, Spread};
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
        let pairs = pixels.chunks_exact(2);
        // The last column may be alone, as may the last row.
        let alone = pairs.remainder().first().copied();
        if row.is_multiple_of(2) {
            self.values.truncate(start);
            self.values.extend(pairs.map(|pair| 0.5 * (pair[0] + pair[1])).chain(alone));
        } else {
            let sums = &mut self.values[start..];
            for (sum, pair) in sums.iter_mut().zip(pairs) {
                *sum = 0.5 * *sum + 0.25 * (pair[0] + pair[1]);
            }
            if let Some((sum, alone)) = sums.last_mut().zip(alone) {
                *sum = 0.5 * (*sum + alone);
            }
        }
    }

    /// Means over about so many pixels to each side, taken twice, where this is half of a map
    /// with so many columns.
    pub(super) fn soft(&self, pixels: f32, columns: usize) -> Soft {
        /// What is left of the distance in cells of the smaller map.
        const CELLS: f32 = 1.8;
        /// From so many pixels on no cell is smaller than two of this map.
        const SOME: f32 = 3.0;
        let least = if pixels < SOME { 1 } else { 2 };
        let by = ((pixels / 2.0 / CELLS) as usize).max(least);
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
        let mut sums = vec![0.0; self.size[0]];
        for rows in self.values.chunks(by * self.size[0]) {
            sums.fill(0.0);
            for row in rows.chunks(self.size[0]) {
                for (sum, pixel) in sums.iter_mut().zip(row) {
                    *sum += pixel;
                }
            }
            let count = (rows.len() / self.size[0]) as f32;
            let mean =
                |sums: &[f32]| sums.iter().sum::<f32>() / (count * sums.len() as f32);
            values.extend(sums.chunks(by).map(mean));
        }
        Self { size, values }
    }

    fn blur_rows(&mut self, by: usize) {
        let columns = self.size[0];
        let share = 1.0 / (2 * by + 1) as f32;
        let mut line = vec![0.0; columns + 2 * by + 1];
        for row in self.values.chunks_mut(columns) {
            // Beyond the ends it stays as there.
            line[..by].fill(row[0]);
            line[by..by + columns].copy_from_slice(row);
            line[by + columns..].fill(row[columns - 1]);
            let mut sum: f32 = line[..=2 * by].iter().sum();
            let moves = line[2 * by + 1..].iter().zip(&line);
            for (mean, (next, last)) in row.iter_mut().zip(moves) {
                *mean = sum * share;
                sum += next - last;
            }
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
    /// Goes to its values at some of the pixels of a row.
    #[inline(always)]
    pub(super) fn to(&self, row: usize, columns: &Range<usize>, out: &mut Between) {
        let place = place(row, self.by);
        let last = self.map.size[1] - 1;
        let upper = (place as usize).min(last);
        out.to((upper, place - upper as f32), columns, |row, out| {
            self.across.draw(self.map.row(row.min(last)), out);
        });
    }
}
