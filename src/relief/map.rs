//! Numbers over the pixels of a picture.

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

    /// The value so many columns to the left and rows up of a place; 0 beyond the edges.
    pub(super) fn before(&self, [column, row]: [usize; 2], by: usize) -> f32 {
        let place = column.checked_sub(by).zip(row.checked_sub(by));
        place.map_or(0.0, |(column, row)| self.row(row)[column])
    }

    /// Means over squares of so many pixels to each side, taken twice.
    pub(super) fn blurred(&self, by: usize) -> Self {
        let mut map = self.clone();
        for _ in 0..2 {
            map.blur_rows(by);
            map.blur_columns(by);
        }
        map
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
