//! The slow changes of a trunk under one dish, worked out ahead on a coarse lattice.

use super::noise::Noise;
use super::timber::AWAY;

/// From one place of the lattice to the next, mm: the fastest change takes three.
const APART: f32 = 2.0;

/// From one place along the radius of the trunk to the next, mm.
const ALONG: f32 = 1.0;

/// How far from the pith the rings are worked out, mm; beyond, the last goes on.
const FAR: f32 = 600.0;

/// Under one dish.
#[derive(Clone, Debug)]
pub(super) struct Board {
    /// Along and across the grain from the middle of the dish, mm.
    corner: [f32; 2],
    columns: usize,
    rows: usize,
    /// How far the pith is off, how much the rings are shifted, mm, and how dark the wood is.
    slow: Vec<[f32; 3]>,
    /// Rings counted from the pith, and how dark the wood is, by place along the radius.
    rings: Vec<[f32; 2]>,
}

impl Board {
    pub(super) fn new(noise: &Noise, [along, across]: [f32; 2], ring: f32) -> Self {
        let corner = [-along - APART, -across - APART];
        let count = |half: f32| (2.0 * half / APART) as usize + 4;
        let (columns, rows) = (count(along), count(across));
        let mut slow = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            let v = corner[1] + row as f32 * APART + AWAY;
            slow.extend((0..columns).map(|column| {
                let u = corner[0] + column as f32 * APART + AWAY;
                // The trunk is not straight, its rings not round.
                let bend = noise.at(u / 90.0, 3.5) - 0.5;
                let wave = noise.at(u / 120.0, v / 26.0) - 0.5;
                let ripple = noise.at(u / 36.0, v / 6.0) - 0.5;
                let streak = noise.at(u / 240.0, v / 19.0) - 0.5;
                [16.0 * bend, 5.0 * wave + 0.55 * ripple, streak]
            }));
        }
        let places = (0..=(FAR / ALONG) as u16).map(|place| f32::from(place) * ALONG);
        let rings = places.map(|place| {
            let uneven = noise.at(place / 13.0, 40.5);
            [place / ring + 0.9 * uneven, noise.at(place / 7.0, 90.5) - 0.5]
        });
        Self { corner, columns, rows, slow, rings: rings.collect() }
    }

    /// How far the pith is off, how much the rings are shifted, and how dark the wood is.
    pub(super) fn slow(&self, along: f32, across: f32) -> [f32; 3] {
        let x = ((along - self.corner[0]) / APART).max(0.0);
        let y = ((across - self.corner[1]) / APART).max(0.0);
        let column = (x as i32 as usize).min(self.columns - 2);
        let row = (y as i32 as usize).min(self.rows - 2);
        let (u, v) = (x - column as f32, y - row as f32);
        let at = row * self.columns + column;
        let upper = &self.slow[at..at + 2];
        let lower = &self.slow[at + self.columns..at + self.columns + 2];
        let mut out = [0.0; 3];
        for (part, out) in out.iter_mut().enumerate() {
            let above = upper[0][part] + (upper[1][part] - upper[0][part]) * u;
            let below = lower[0][part] + (lower[1][part] - lower[0][part]) * u;
            *out = above + (below - above) * v;
        }
        out
    }

    /// Rings counted from the pith and how dark the wood is, at a place along the radius.
    pub(super) fn ring(&self, place: f32) -> [f32; 2] {
        let place = (place / ALONG).max(1.0);
        let step = (place as i32 as usize).min(self.rings.len() - 2);
        let share = place - step as f32;
        let (from, to) = (self.rings[step], self.rings[step + 1]);
        [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share]
    }
}
