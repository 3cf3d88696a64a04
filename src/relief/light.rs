//! Light from the upper left on a height field: what shades what.

use super::field::Facet;
use super::lanes::at_least;
use super::map::{Map, Soft};
use super::spread::Between;
use std::ops::Range;

/// Toward the light: right, up, out of the picture.
const TOWARD: [f32; 3] = [-0.46, 0.52, 0.80];

/// Share of the light that comes from everywhere.
const SKY: f32 = 0.46;

/// The lamp is wide: how steeply its lower and its upper edge shine, rise by run.
const LAMP: [f32; 2] = [0.75, 2.1];

/// How dark full shade is, share of the lamp.
const SHADE: f32 = 0.8;

/// Light on the pixels of a picture, row by row from the top.
pub(super) struct Light {
    rays: Rays,
    /// Heights nearby and around, mm.
    around: [Soft; 2],
    beam: Beam,
}

impl Light {
    /// On pixels with sides of `side` mm in so many columns, by half the map of their heights.
    pub(super) fn on(half: &Map, columns: usize, side: f32) -> Self {
        let around = [1.2, 5.0].map(|mm| half.soft(mm / side, columns));
        let beam = Beam { shade: vec![0.0; columns], around: Default::default() };
        Self { rays: Rays::new(columns, side), around, beam }
    }

    /// On some pixels of the next row, by its heights.
    #[inline(always)]
    pub(super) fn row(
        &mut self,
        (row, heights): (usize, &[f32]),
        columns: &Range<usize>,
    ) {
        let Self { rays, around, beam } = self;
        rays.row(heights, &mut beam.shade);
        for (map, out) in around.iter().zip(&mut beam.around) {
            map.to(row, columns, out);
        }
    }

    /// On the present row.
    pub(super) fn beam(&self) -> &Beam {
        &self.beam
    }
}

/// Light on a row of pixels.
pub(super) struct Beam {
    /// What is hidden from the lamp, 0 to 1.
    shade: Vec<f32>,
    /// Heights nearby and around, mm.
    around: [Between; 2],
}

/// What comes from the places of a row to the eye, each in its own line.
#[derive(Default)]
pub(super) struct Glows {
    pub(super) bright: Vec<f32>,
    pub(super) gloss: Vec<f32>,
    pub(super) around: Vec<f32>,
}

/// What comes from a place to the eye.
#[derive(Clone, Copy)]
pub(super) struct Glow {
    /// 1 where it lies flat in the open.
    pub(super) bright: f32,
    /// How much it shines.
    pub(super) gloss: f32,
    /// What comes to it from the wood around.
    pub(super) around: f32,
}

impl Beam {
    /// On a piece of the surface in one of the pixels.
    pub(super) fn on(&self, column: usize, facet: Facet) -> Glow {
        let [near, far] = self.around.each_ref().map(|row| row.line()[column]);
        glow(facet, [near, far], self.shade[column])
    }

    /// On the surface in some of the pixels.
    #[inline(always)]
    pub(super) fn over(
        &self,
        columns: &Range<usize>,
        (heights, [right, up]): (&[f32], [&[f32]; 2]),
        out: &mut Glows,
    ) {
        let count = columns.len();
        let Glows { bright, gloss, around } = out;
        for line in [&mut *bright, &mut *gloss, &mut *around] {
            line.resize(count, 0.0);
        }
        let [near, far] = self.around.each_ref().map(|row| &row.line()[columns.clone()]);
        let facets = heights.iter().zip(right).zip(up);
        let light = near.iter().zip(far).zip(&self.shade[columns.clone()]);
        let outs = bright.iter_mut().zip(gloss).zip(around);
        for (((out, gloss), around), (facet, light)) in outs.zip(facets.zip(light)) {
            let (((z, right), up), ((near, far), shade)) = (facet, light);
            let facet = Facet { z: *z, slope: [*right, *up] };
            let found = glow(facet, [*near, *far], *shade);
            *out = found.bright;
            *gloss = found.gloss;
            *around = found.around;
        }
    }
}

/// On a piece of the surface, by the heights nearby and around, and what is hidden from the
/// lamp.
#[inline(always)]
pub(super) fn glow(facet: Facet, around: [f32; 2], shade: f32) -> Glow {
    let Facet { z: height, slope: [to_right, to_up] } = facet;
    let [near, far] = around.map(|mean| mean - height);
    // What the walls around hide of the sky; below zero on what stands out.
    let hidden = (0.50 * near).clamp(-0.05, 0.52) + (0.042 * far).clamp(-0.06, 0.34);
    let up = 1.0 / (to_right * to_right + to_up * to_up + 1.0).sqrt();
    let [x, y, z] = TOWARD;
    let faced = x * to_right + y * to_up;
    let lamp = ((z - faced) * up * (1.0 / z)).clamp(0.0, 1.42);
    let sky = SKY * (0.45 + 0.55 * up) * (1.0 - hidden);
    let bright = sky + (1.0 - SKY) * lamp * (1.0 - SHADE * shade);
    // Half way between lamp and eye.
    let gloss = at_least((HALF - faced) * up * HALF_LENGTH, 0.0);
    let gloss = gloss * gloss;
    let gloss = gloss * gloss * gloss * gloss;
    let gloss = gloss * gloss * (1.0 - shade);
    Glow { bright, gloss, around: 0.36 * at_least(hidden, 0.0) }
}

/// How far up the vector half way between lamp and eye goes, and one by its length.
const HALF: f32 = TOWARD[2] + TALL;
const HALF_LENGTH: f32 = 0.503_87;

/// The length of the way to the lamp.
const TALL: f32 = 1.059_245;

/// Rays that graze what stands higher, row by row away from the light: the lowest of the lamp.
/// What a place sees of the lamp above the edge that hides it follows from how far under the
/// ray it lies, at what distance from that edge.
struct Rays {
    /// Of each pixel of the row above, after a copy of the first: height, distance gone.
    last: [Vec<f32>; 2],
    next: [Vec<f32>; 2],
    /// How far to the left a ray comes from, share of a pixel.
    back: f32,
    /// From row to row, mm.
    step: f32,
}

impl Rays {
    fn new(columns: usize, side: f32) -> Self {
        let [x, y, _] = TOWARD;
        let back = -x / y;
        let step = side * (1.0 + back * back).sqrt();
        let low = || [vec![f32::MIN / 4.0; columns + 1], vec![0.0; columns + 1]];
        Self { last: low(), next: low(), back, step }
    }

    #[inline(always)]
    fn row(&mut self, heights: &[f32], shade: &mut [f32]) {
        let Self { last: [over, run], next: [next_over, next_run], back, step } = self;
        let (back, step) = (*back, *step);
        let drop = step * LAMP[0];
        let before = over.iter().zip(&over[1..]).zip(run.iter().zip(&run[1..]));
        let after = next_over[1..].iter_mut().zip(&mut next_run[1..]);
        let cells = before.zip(after).zip(heights.iter().zip(shade));
        for ((((left, own), (left_run, own_run)), (over, run)), (z, shade)) in cells {
            let ray = back * left + (1.0 - back) * own - drop;
            let gone = back * left_run + (1.0 - back) * own_run + step;
            let hidden = (ray - z) / (gone * (LAMP[1] - LAMP[0]));
            let hidden = hidden.clamp(0.0, 1.0);
            *shade = hidden * hidden * (3.0 - 2.0 * hidden);
            let passes = ray > *z;
            *over = if passes { ray } else { *z };
            *run = if passes { gone } else { 0.0 };
        }
        (next_over[0], next_run[0]) = (next_over[1], next_run[1]);
        std::mem::swap(&mut self.last, &mut self.next);
    }
}
