//! The wood a dish is painted in: growth rings of a trunk, cut through where the dish is.
//!
//! The trunk runs along the grain, its pith below the board, so that the board is flat-sawn.
//! Colour is a function of the place in the wood: where the dish is hollow the surface meets
//! other rings, which shows as lines that follow the depth.

use super::figure::Figure;
use super::noise::{Noise, share};
use crate::model::{Grain, Wood};

/// A trunk to paint with.
#[derive(Clone, Debug)]
pub struct Timber {
    pub(super) figure: Figure,
    pub(super) grain: Grain,
    /// Linear light of its mean colour.
    pub(super) tone: [f32; 3],
    pub(super) noise: Noise,
    /// Mean darkness, taken off so that the board has its tone.
    pub(super) mean: f32,
    /// The pith: across the grain from the middle of the dish, and below the top, mm.
    pub(super) pith: [f32; 2],
    /// How much a trunk widens along its length.
    pub(super) taper: f32,
}

impl Timber {
    /// A trunk of some wood; another for each name of a dish.
    pub fn new(wood: &Wood, grain: Grain, dish: &str) -> Self {
        /// Shares of a ring that its mean is taken from.
        const SHARES: u16 = 256;
        let mut seed = seed(dish);
        let figure = Figure::of(wood.species.map(|species| species.name));
        let side = if share(&mut seed) < 0.5 { -1.0 } else { 1.0 };
        let pith =
            [side * (6.0 + 26.0 * share(&mut seed)), 70.0 + 50.0 * share(&mut seed)];
        let taper = 0.016 + 0.03 * share(&mut seed);
        let shares = (0..SHARES).map(|step| (f32::from(step) + 0.5) / f32::from(SHARES));
        let rings: f32 = shares.map(|share| figure.profile(share)).sum();
        let mean = rings / f32::from(SHARES) + 0.05 * figure.pores + 0.04 * figure.flecks;
        let tone = wood.tone.map(linear);
        Self { figure, grain, tone, noise: Noise::new(seed), mean, pith, taper }
    }

    /// The colour of wood so much darker than its mean, as linear light.
    pub(super) fn color(&self, dark: f32) -> [f32; 3] {
        [0, 1, 2].map(|part| self.tint(part).color(dark))
    }

    /// Red, green or blue of its colour.
    pub(super) fn tint(&self, part: usize) -> Tint {
        /// What is darker is warmer: how much it takes of red, green and blue.
        const WARM: [f32; 3] = [0.82, 1.04, 1.34];
        Tint { tone: self.tone[part], warm: WARM[part] }
    }
}

/// A part of the colour of a wood: at its mean, and how much darkness takes of it.
#[derive(Clone, Copy)]
pub(super) struct Tint {
    tone: f32,
    warm: f32,
}

impl Tint {
    /// Where wood is so much darker than its mean, as linear light.
    #[inline(always)]
    pub(super) fn color(self, dark: f32) -> f32 {
        let x = dark * self.warm;
        // e^−x to the third power, near enough for x below one.
        self.tone * (1.0 - x * (1.0 - x * (0.5 - x * (1.0 / 6.0))))
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
