//! The wood a dish is painted in: growth rings of a trunk, cut through where the dish is.
//!
//! The trunk runs along the grain, its pith below the board, so that the board is flat-sawn.
//! Colour is a function of the place in the wood: where the dish is hollow the surface meets
//! other rings, which shows as lines that follow the depth.

use super::board::Board;
use super::figure::Figure;
use super::noise::{Noise, share};
use crate::model::{Grain, Wood};

/// Shares of a ring in its table.
const STEPS: usize = 256;

/// Keeps the places of the noise above zero, mm.
pub(super) const AWAY: f32 = 1000.0;

/// A trunk to paint with.
#[derive(Clone, Debug)]
pub struct Timber {
    figure: Figure,
    grain: Grain,
    /// Linear light of its mean colour.
    pub(super) tone: [f32; 3],
    noise: Noise,
    /// Of the profile of a ring, from 0 to each share of it.
    sums: Vec<f32>,
    /// Mean darkness, taken off so that the board has its tone.
    mean: f32,
    /// The pith: across the grain from the middle of the dish, and below the top, mm.
    pith: [f32; 2],
    /// How much a trunk widens along its length.
    taper: f32,
}

/// A place on the surface.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// Right and up from the middle of the dish, mm.
    pub(super) at: [f32; 2],
    /// Height, mm.
    pub(super) z: f32,
    /// How much the height grows to the right and up.
    pub(super) slope: [f32; 2],
    /// Side of what is painted in one colour, mm.
    pub(super) cell: f32,
}

impl Timber {
    /// A trunk of some wood; another for each name of a dish.
    pub fn new(wood: &Wood, grain: Grain, dish: &str) -> Self {
        let mut seed = seed(dish);
        let figure = Figure::of(wood.species.map(|species| species.name));
        let side = if share(&mut seed) < 0.5 { -1.0 } else { 1.0 };
        let pith =
            [side * (6.0 + 26.0 * share(&mut seed)), 70.0 + 50.0 * share(&mut seed)];
        let taper = 0.016 + 0.03 * share(&mut seed);
        let mut sums = vec![0.0; STEPS + 1];
        for step in 0..STEPS {
            let share = (step as f32 + 0.5) / STEPS as f32;
            sums[step + 1] = sums[step] + figure.profile(share) / STEPS as f32;
        }
        let mean = sums[STEPS] + 0.05 * figure.pores + 0.04 * figure.flecks;
        let tone = wood.tone.map(linear);
        Self { figure, grain, tone, noise: Noise::new(seed), sums, mean, pith, taper }
    }

    /// The board under a dish that reaches so far right and up from its middle, mm.
    pub(super) fn board(&self, [right, up]: [f32; 2]) -> Board {
        let [along, across] = match self.grain {
            Grain::X => [right, up],
            Grain::Y => [up, right],
        };
        Board::new(&self.noise, [along, across], self.figure.ring)
    }

    /// Its colour at a place of a board, as linear light.
    pub(super) fn color(&self, spot: &Spot, board: &Board) -> [f32; 3] {
        /// What is darker is warmer: how much it takes of red, green and blue.
        const WARM: [f32; 3] = [0.82, 1.04, 1.34];
        let dark = self.dark(spot, board) - self.mean;
        let mut color = self.tone;
        for (part, warm) in color.iter_mut().zip(WARM) {
            let x = dark * warm;
            // e^−x to the third power, near enough for x below one.
            *part *= 1.0 - x * (1.0 - x * (0.5 - x / 6.0));
        }
        color
    }

    fn dark(&self, spot: &Spot, board: &Board) -> f32 {
        let Spot { at: [right, up], z, slope: [to_right, to_up], cell } = *spot;
        let (along, across, up_along, up_across) = match self.grain {
            Grain::X => (right, up, to_right, to_up),
            Grain::Y => (up, right, to_up, to_right),
        };
        let figure = &self.figure;
        let [bend, shift, streak] = board.slow(along, across);
        let off = across - self.pith[0] + bend;
        let deep = self.pith[1] + z;
        let radius = (off * off + deep * deep).sqrt();
        let place = radius + self.taper * along + shift;
        let [phase, band] = board.ring(place);
        let turn = (off + deep * up_across) / radius;
        let run = deep * up_along / radius + self.taper;
        let half = (0.5 * cell * (turn.abs() + run.abs()) / figure.ring).max(0.02);
        let ring = (self.sum(phase + half) - self.sum(phase - half)) / (2.0 * half);
        let clear = (1.0 - 1.6 * half).max(0.0);
        let own = 1.0 + clear * (self.noise.one(phase as i32) - 0.5);
        // Fibres are cut where the surface slopes, so that they shift with depth.
        let (u, fibre) = (along + AWAY, across + AWAY + 0.6 * z);
        let wide = (2.0 * cell).max(0.3);
        let fine = self.noise.at(u * (1.0 / 14.0), fibre / wide) - 0.5;
        let coarse = self.noise.at(u * (1.0 / 60.0), fibre * (1.0 / 1.3)) - 0.5;
        ring * own
            + figure.fibre * (0.6 * fine + coarse)
            + figure.streaks * (streak + band)
            + self.pores([u, fibre], phase, cell)
            + self.flecks([u, fibre], cell)
    }

    /// Short dark lines, crowded where a ring begins if it has a band of them.
    fn pores(&self, [u, fibre]: [f32; 2], phase: f32, cell: f32) -> f32 {
        let figure = &self.figure;
        let [long, wide] = figure.pore;
        let crowd = if figure.early > 0.0 {
            let share = phase - (phase as i32) as f32;
            (1.0 - share / 0.5).max(0.08)
        } else {
            0.6
        };
        let wide = wide.max(1.5 * cell);
        let one = self.noise.at(u / long, fibre / wide);
        let line = ((one - 0.62) * 2.7).max(0.0);
        figure.pores * crowd * line
    }

    fn flecks(&self, [u, fibre]: [f32; 2], cell: f32) -> f32 {
        if self.figure.flecks <= 0.0 {
            return 0.0;
        }
        let one = self.noise.at(u / 1.9 + 31.0, fibre / (1.8 * cell).max(0.55));
        self.figure.flecks * ((one - 0.66) * 3.0).max(0.0)
    }

    /// Sum of the rings' profile from 0 to a phase above zero.
    fn sum(&self, phase: f32) -> f32 {
        let whole = phase as i32 as f32;
        let place = (phase - whole) * STEPS as f32;
        let step = (place as i32 as usize).min(STEPS - 1);
        let (from, to) = (self.sums[step], self.sums[step + 1]);
        whole * self.sums[STEPS] + from + (to - from) * (place - step as f32)
    }
}

/// A number of a name (G. Fowler, L. C. Noll, K.-P. Vo: FNV-1a with 64 bits; from memory).
fn seed(name: &str) -> u64 {
    name.bytes().fold(0xCBF2_9CE4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3)
    })
}

/// Linear light of a coded value (IEC 61966-2-1, sRGB; from memory).
pub fn linear(coded: u8) -> f32 {
    let coded = f32::from(coded) / 255.0;
    if coded <= 0.04045 { coded / 12.92 } else { ((coded + 0.055) / 1.055).powf(2.4) }
}
