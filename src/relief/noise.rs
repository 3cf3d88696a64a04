//! Smooth noise over a plane, the same for the same seed.

use super::spread::ease;

/// Columns of the table, a power of two.
const COLUMNS: usize = 128;
/// Rows of the table, a power of two.
const ROWS: usize = 256;

/// Random values at whole places, smooth between them.
#[derive(Clone, Debug)]
pub(super) struct Noise {
    values: Vec<f32>,
}

impl Noise {
    pub(super) fn new(seed: u64) -> Self {
        let mut state = seed;
        let values = (0..COLUMNS * ROWS).map(|_| share(&mut state)).collect();
        Self { values }
    }

    /// From 0 to 1. Neither place may be below zero.
    pub(super) fn at(&self, x: f32, y: f32) -> f32 {
        let (column, row) = (x as i32, y as i32);
        let (u, v) = (ease(x - column as f32), ease(y - row as f32));
        let row_at = |row: i32| (row as usize % ROWS) * COLUMNS;
        let (upper, lower) = (row_at(row), row_at(row + 1));
        let (left, right) = (column as usize % COLUMNS, (column + 1) as usize % COLUMNS);
        let at = |row: usize, column: usize| self.values[row + column];
        let above = at(upper, left) + (at(upper, right) - at(upper, left)) * u;
        let below = at(lower, left) + (at(lower, right) - at(lower, left)) * u;
        above + (below - above) * v
    }

    /// Its value at a whole place.
    pub(super) fn node(&self, row: usize, column: usize) -> f32 {
        self.values[row % ROWS * COLUMNS + column % COLUMNS]
    }

    /// Its values at so many whole places of a row, from one on to the right.
    pub(super) fn along(&self, row: usize, first: usize, count: usize) -> Vec<f32> {
        (first..first + count).map(|column| self.node(row, column)).collect()
    }

    /// The value of one place of many.
    pub(super) fn one(&self, index: i32) -> f32 {
        // Odd, so that neighbours lie far apart.
        const STRIDE: usize = 4099;
        self.values[(index as usize).wrapping_mul(STRIDE) % (COLUMNS * ROWS)]
    }
}

/// The next random number from 0 to 1 (G. L. Steele, D. Lea, C. H. Flood, "Fast splittable
/// pseudorandom number generators", OOPSLA 2014; constants from memory).
pub(super) fn share(state: &mut u64) -> f32 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut mixed = *state;
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    mixed ^= mixed >> 31;
    (mixed >> 40) as f32 / (1_u64 << 24) as f32
}
