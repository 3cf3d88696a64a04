//! A trunk under the pixels of one picture: what it looks like there, worked out ahead.

use super::fibres::{AWAY, Fibres};
use super::field::Facet;
use super::figure::Figure;
use super::grid::Grid;
use super::noise::Noise;
use super::spread::Spread;
use super::timber::Timber;
use crate::curve::Point;
use crate::model::Grain;
use std::ops::Range;

/// From one place of the lattice to the next, mm: the fastest change takes three.
const APART: f32 = 2.0;

/// From one place along the radius of the trunk to the next, mm.
const ALONG: f32 = 0.05;

/// How far from the pith the rings are worked out, mm; beyond, the last goes on.
const FAR: f32 = 500.0;

/// The board of one picture.
#[derive(Clone, Debug)]
pub(super) struct Board {
    grain: Grain,
    /// Side of a pixel, and a pixel's middle to the right and down from that of the dish, mm.
    side: f32,
    corner: [f32; 2],
    fibres: Fibres,
    slow: Slow,
    /// From the pith outward: darkness summed up, and how many pores there are.
    rings: Vec<[f32; 2]>,
    /// The pith: across the grain from the middle of the dish, and below the top, mm.
    pith: [f32; 2],
    taper: f32,
    streaks: f32,
    /// The least stretch along the radius that is told apart, mm.
    least: f32,
}

impl Board {
    /// Under a grid around the middle of a dish that is so deep at most.
    pub(super) fn new(timber: &Timber, grid: &Grid, middle: Point, depth: f32) -> Self {
        let Timber { figure, grain, noise, pith, taper, .. } = timber;
        let first = grid.at(0, 0) - middle;
        let corner = [first.x as f32, -first.y as f32];
        let side = grid.step as f32;
        let [columns, rows] = grid.size;
        let (size, start) = match grain {
            Grain::X => ([columns, rows], corner),
            Grain::Y => ([rows, columns], [corner[1], corner[0]]),
        };
        Self {
            grain: *grain,
            side,
            corner,
            fibres: Fibres::new((noise, figure), start, (size, side), depth),
            slow: Slow::new(noise, *grain, corner, (grid.size, side)),
            rings: rings(noise, figure, timber.mean),
            pith: *pith,
            taper: *taper,
            streaks: figure.streaks,
            least: 0.02 * figure.ring,
        }
    }

    /// Some pixels of a row on it.
    pub(super) fn row(&self, row: usize, columns: &Range<usize>, course: &mut Course) {
        course.row = row;
        self.slow.draw(row, columns, course);
    }

    /// How much darker than its mean the wood is at a piece of the surface, in a pixel of a
    /// row.
    pub(super) fn dark(&self, course: &Course, column: usize, facet: Facet) -> f32 {
        let [bend, shift, streak] =
            [0, 1, 2].map(|part: usize| course.slow[part][column]);
        let way = self.way(course.row);
        let stretch = self.stretch(&way, column as f32, facet, [bend, shift]);
        self.at(stretch, way.cell(column), (facet.z, streak))
    }

    /// The same for some pixels of a row.
    pub(super) fn darks(
        &self,
        course: &mut Course,
        columns: Range<usize>,
        (heights, [right, up]): (&[f32], [&[f32]; 2]),
        out: &mut [f32],
    ) {
        let Course { row, slow: [bends, shifts, streaks], stretches, .. } = course;
        let way = self.way(*row);
        stretches.clear();
        let slopes = right[columns.clone()].iter().zip(&up[columns.clone()]);
        let slow = bends[columns.clone()].iter().zip(&shifts[columns.clone()]);
        let first = i32::try_from(columns.start).unwrap_or(i32::MAX);
        let cells = (first..).zip(&heights[columns.clone()]).zip(slopes).zip(slow);
        stretches.extend(cells.map(|(((column, z), (right, up)), (bend, shift))| {
            let facet = Facet { z: *z, slope: [*right, *up] };
            self.stretch(&way, column as f32, facet, [*bend, *shift])
        }));
        let parts = heights[columns.clone()].iter().zip(&streaks[columns.clone()]);
        let cells = columns.clone().zip(stretches.iter()).zip(parts);
        for (((column, stretch), (z, streak)), out) in cells.zip(&mut out[columns]) {
            *out = self.at(*stretch, way.cell(column), (*z, *streak));
        }
    }

    /// How pixels of a row lie to the grain.
    fn way(&self, row: usize) -> Way {
        let down = self.corner[1] + row as f32 * self.side;
        let (right, side) = (self.corner[0], self.side);
        match self.grain {
            Grain::X => Way {
                row,
                turned: false,
                along: [right, side],
                across: [down, 0.0],
                by_along: [1.0, 0.0],
                by_across: [0.0, -1.0],
            },
            Grain::Y => Way {
                row,
                turned: true,
                along: [down, 0.0],
                across: [right, side],
                by_along: [0.0, -1.0],
                by_across: [1.0, 0.0],
            },
        }
    }

    /// The middle of what a piece of the surface meets of the radius, and half its length.
    #[inline]
    fn stretch(&self, way: &Way, column: f32, facet: Facet, slow: [f32; 2]) -> [f32; 2] {
        let Facet { z, slope: [right, up] } = facet;
        let [bend, shift] = slow;
        let along = way.along[0] + way.along[1] * column;
        let off = way.across[0] + way.across[1] * column - self.pith[0] + bend;
        let by_along = way.by_along[0] * right + way.by_along[1] * up;
        let by_across = way.by_across[0] * right + way.by_across[1] * up;
        let deep = self.pith[1] + z;
        let radius = (off * off + deep * deep).sqrt();
        let inverse = 1.0 / radius;
        let turn = (off + deep * by_across) * inverse;
        let run = deep * by_along * inverse + self.taper;
        let half = (0.5 * self.side * (turn.abs() + run.abs())).max(self.least);
        [radius + self.taper * along + shift, half]
    }

    /// How dark the wood is over a stretch of the radius, at a cell along and across the grain.
    #[inline]
    fn at(
        &self,
        [place, half]: [f32; 2],
        cell: [usize; 2],
        (z, streak): (f32, f32),
    ) -> f32 {
        let (from, to) = (self.sum(place - half), self.sum(place + half));
        let middle = (place * (1.0 / ALONG)) as i32 as usize;
        let crowd = self.rings[middle.min(self.rings.len() - 1)][1];
        let [fibre, pore] = self.fibres.at(cell, z);
        (to - from) / (2.0 * half) + self.streaks * streak + fibre + pore * crowd
    }

    /// Darkness summed up from the pith to a place along the radius.
    fn sum(&self, place: f32) -> f32 {
        let place = place.max(0.0) * (1.0 / ALONG);
        let step = (place as i32 as usize).min(self.rings.len() - 2);
        let (from, to) = (self.rings[step][0], self.rings[step + 1][0]);
        from + (to - from) * (place - step as f32)
    }
}

/// Rings outward from the pith.
fn rings(noise: &Noise, figure: &Figure, mean: f32) -> Vec<[f32; 2]> {
    let mut sum = 0.0_f64;
    let places = (0..=(FAR / ALONG) as u16).map(|step| (f32::from(step) + 0.5) * ALONG);
    let rings = places.map(|place| {
        let uneven = noise.at(place / 13.0, 40.5);
        let phase = place / figure.ring + 0.9 * uneven;
        let band = noise.at(place / 7.0, 90.5) - 0.5;
        let share = phase - (phase as i32) as f32;
        let own = 0.5 + noise.one(phase as i32);
        let crowd = if figure.early > 0.0 { (1.0 - share / 0.5).max(0.08) } else { 0.6 };
        let before = sum as f32;
        let dark = figure.profile(share) * own + figure.streaks * band - mean;
        sum += f64::from(dark * ALONG);
        [before, crowd]
    });
    rings.collect()
}

/// How pixels of a row lie to the grain: where the first is and how far it is to the next, mm,
/// and what the slopes to the right and up count along and across it.
struct Way {
    row: usize,
    /// Whether the grain runs down the picture.
    turned: bool,
    along: [f32; 2],
    across: [f32; 2],
    by_along: [f32; 2],
    by_across: [f32; 2],
}

impl Way {
    /// Along and across the grain.
    fn cell(&self, column: usize) -> [usize; 2] {
        if self.turned { [self.row, column] } else { [column, self.row] }
    }
}

/// A row of pixels on a board.
#[derive(Default)]
pub(super) struct Course {
    row: usize,
    /// How far the pith is off, how much the rings are shifted, mm, and how dark the wood is.
    slow: [Vec<f32>; 3],
    stretches: Vec<[f32; 2]>,
    nodes: Vec<f32>,
}

/// The slow changes of a trunk, on a coarse lattice.
#[derive(Clone, Debug)]
struct Slow {
    /// Places of the lattice in a row, and pixels from row to row.
    columns: usize,
    apart: f32,
    across: Spread,
    /// As in a course; row by row.
    lattice: [Vec<f32>; 3],
}

impl Slow {
    fn new(
        noise: &Noise,
        grain: Grain,
        corner: [f32; 2],
        (size, side): ([usize; 2], f32),
    ) -> Self {
        let apart = APART / side;
        let across = Spread::new((0..size[0]).map(|column| column as f32 / apart));
        let columns = across.nodes();
        let rows = (size[1] as f32 / apart) as usize + 2;
        let mut lattice = [const { Vec::new() }; 3];
        for row in 0..rows {
            let down = corner[1] + row as f32 * APART + AWAY;
            for column in 0..columns {
                let right = corner[0] + column as f32 * APART + AWAY;
                let (u, v) = match grain {
                    Grain::X => (right, down),
                    Grain::Y => (down, right),
                };
                // The trunk is not straight, its rings not round.
                let bend = noise.at(u / 90.0, 3.5) - 0.5;
                let wave = noise.at(u / 120.0, v / 26.0) - 0.5;
                let ripple = noise.at(u / 36.0, v / 6.0) - 0.5;
                let streak = noise.at(u / 240.0, v / 19.0) - 0.5;
                let values = [16.0 * bend, 5.0 * wave + 0.55 * ripple, streak];
                for (part, value) in lattice.iter_mut().zip(values) {
                    part.push(value);
                }
            }
        }
        Self { columns, apart, across, lattice }
    }

    fn draw(&self, row: usize, columns: &Range<usize>, course: &mut Course) {
        let Course { slow, nodes, .. } = course;
        let place = row as f32 / self.apart;
        let share = place.fract();
        let first = place as usize * self.columns;
        let pixels = self.across.places();
        for (part, out) in self.lattice.iter().zip(slow) {
            let (upper, lower) = part[first..].split_at(self.columns);
            nodes.clear();
            let pairs = upper.iter().zip(lower);
            nodes.extend(pairs.map(|(upper, lower)| upper + (lower - upper) * share));
            out.resize(pixels, 0.0);
            self.across.draw(nodes, columns, out);
        }
    }
}
