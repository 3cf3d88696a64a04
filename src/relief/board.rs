//! A trunk under the pixels of one picture: what it looks like there, worked out ahead.

use super::fibres::{AWAY, Fibre, Fibres};
use super::field::Facet;
use super::figure::Figure;
use super::grid::Grid;
use super::lanes::{at_least, nearest};
use super::noise::Noise;
use super::spread::{Between, Spread};
use super::timber::Timber;
use crate::curve::Point;
use crate::model::Grain;
use std::ops::Range;

/// From one place of the lattice to the next, mm: the fastest change takes three.
const APART: f32 = 2.0;

/// From one place along the radius of the trunk to the next, mm.
const ALONG: f32 = 0.05;

/// At so many places the rings are worked out, 0.4 m from the pith; beyond, the last goes on.
const PLACES: u16 = 8192;

/// The board of one picture, row by row from the top.
pub(super) struct Board<'a> {
    grain: Grain,
    /// The columns.
    columns: Vec<f32>,
    /// Side of a pixel, and a pixel's middle to the right and down from that of the dish, mm.
    side: f32,
    corner: [f32; 2],
    fibres: Fibres<'a>,
    slow: Slow,
    /// From the pith outward.
    rings: Vec<Ring>,
    /// The pith: across the grain from the middle of the dish, and below the top, mm.
    pith: [f32; 2],
    taper: f32,
    streaks: f32,
    /// The least stretch along the radius that is told apart, mm.
    least: f32,
}

impl<'a> Board<'a> {
    /// Under a grid around the middle of a dish that is so deep at most.
    pub(super) fn new(
        timber: &'a Timber,
        grid: &Grid,
        middle: Point,
        depth: f32,
    ) -> Self {
        let Timber { figure, grain, noise, pith, taper, .. } = timber;
        let first = grid.at(0, 0) - middle;
        let corner = [first.x as f32, -first.y as f32];
        let side = grid.step as f32;
        Self {
            grain: *grain,
            columns: (0..grid.size[0]).map(|column| column as f32).collect(),
            side,
            corner,
            fibres: Fibres::new(
                (noise, figure),
                (*grain, corner),
                (grid.size[0], side),
                depth,
            ),
            slow: Slow::new(noise, *grain, corner, (grid.size, side)),
            rings: rings(noise, figure, timber.mean, farthest(timber, corner, grid)),
            pith: *pith,
            taper: *taper,
            streaks: figure.streaks,
            least: 0.02 * figure.ring,
        }
    }

    /// Goes on to some pixels of a row.
    #[inline(always)]
    pub(super) fn row(
        &mut self,
        row: usize,
        columns: &Range<usize>,
        course: &mut Course,
    ) {
        course.row = row;
        self.fibres.to(row);
        self.slow.draw(row, columns, course);
    }

    /// How much darker than its mean the wood is at a piece of the surface, in a pixel of a
    /// row.
    pub(super) fn dark(&self, course: &Course, column: usize, facet: Facet) -> f32 {
        let [bend, shift, streak] =
            course.slow.each_ref().map(|part| part.line()[column]);
        let way = self.way(course.row);
        let found = self.stretch(&way, column as f32, facet, [bend, shift]);
        let fibre = self.fibres.at([column, course.row], facet.z);
        self.sum(self.rings(found), found[2], streak, fibre)
    }

    /// The same for some pixels of a row, over each of which heights and slopes are given.
    #[inline(always)]
    pub(super) fn darks(
        &self,
        course: &mut Course,
        columns: &Range<usize>,
        (heights, slopes): (&[f32], [&[f32]; 2]),
        out: &mut Vec<f32>,
    ) {
        let Course { row, slow, stretches, fibres } = course;
        let count = columns.len();
        for line in stretches.iter_mut().chain([&mut *out]) {
            line.resize(count, 0.0);
        }
        fibres.resize(count, Fibre::default());
        let slow = slow.each_ref().map(|part| &part.line()[columns.clone()]);
        let [bends, shifts, streaks] = slow;
        let [froms, tos, inverses] = stretches;
        let way = self.way(*row);
        let facets = heights.iter().zip(slopes[0]).zip(slopes[1]);
        let numbers = self.columns[columns.clone()].iter();
        let cells = numbers.zip(facets).zip(bends.iter().zip(shifts));
        let ends = froms.iter_mut().zip(&mut *tos).zip(&mut *inverses);
        for (((from, to), inverse), ((column, facet), (bend, shift))) in ends.zip(cells) {
            let ((z, right), up) = facet;
            let facet = Facet { z: *z, slope: [*right, *up] };
            [*from, *to, *inverse] = self.stretch(&way, *column, facet, [*bend, *shift]);
        }
        for (from, to) in froms.iter_mut().zip(&mut *tos) {
            [*from, *to] = self.rings([*from, *to, 0.0]);
        }
        self.fibres.row(*row, columns, heights, fibres);
        let rings = froms.iter().zip(&*tos).zip(&*inverses);
        let parts = rings.zip(streaks.iter().zip(&*fibres));
        for (out, (((rise, crowd), inverse), (streak, fibre))) in
            out.iter_mut().zip(parts)
        {
            *out = self.sum([*rise, *crowd], *inverse, *streak, *fibre);
        }
    }

    /// How pixels of a row lie to the grain.
    fn way(&self, row: usize) -> Way {
        let down = self.corner[1] + row as f32 * self.side;
        let (right, side) = (self.corner[0], self.side);
        match self.grain {
            Grain::X => Way {
                along: [right, side],
                across: [down, 0.0],
                by_along: [1.0, 0.0],
                by_across: [0.0, -1.0],
            },
            Grain::Y => Way {
                along: [down, 0.0],
                across: [right, side],
                by_along: [0.0, -1.0],
                by_across: [1.0, 0.0],
            },
        }
    }

    /// Where what a piece of the surface meets of the radius begins and ends, in steps of the
    /// rings less a half, and one by its length.
    #[inline(always)]
    fn stretch(&self, way: &Way, column: f32, facet: Facet, slow: [f32; 2]) -> [f32; 3] {
        const STEPS: f32 = 1.0 / ALONG;
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
        let half = at_least(0.5 * self.side * (turn.abs() + run.abs()), self.least);
        let middle = (radius + self.taper * along + shift) * STEPS - 0.5;
        let half = half * STEPS;
        let last = f32::from(PLACES - 1);
        let [from, to] = [middle - half, middle + half].map(|end| end.clamp(0.0, last));
        [from, to, 0.5 * STEPS / half]
    }

    /// How much darkness is summed up over a stretch, and how many pores there are.
    #[inline(always)]
    fn rings(&self, [from, to, _]: [f32; 3]) -> [f32; 2] {
        let rings = &self.rings[..usize::from(PLACES)];
        let [(low, before), (high, after)] = [from, to].map(|end| {
            let place = nearest(end);
            let ring = rings[place as usize % rings.len()];
            (ring, ring.before + ring.dark * (end - place as f32))
        });
        [after - before, 0.5 * (low.crowd + high.crowd)]
    }

    /// How dark the wood is, by its rings over a stretch and all else.
    #[inline(always)]
    fn sum(
        &self,
        [rise, crowd]: [f32; 2],
        inverse: f32,
        streak: f32,
        fibre: Fibre,
    ) -> f32 {
        let [fibre, pore] = fibre.darks();
        rise * inverse + self.streaks * streak + fibre + pore * crowd
    }
}

/// A place along the radius.
#[derive(Clone, Copy, Debug, Default)]
struct Ring {
    /// Darkness summed up from the pith to its middle, and its own over one step.
    before: f32,
    dark: f32,
    /// How many pores there are.
    crowd: f32,
}

/// No pixel lies farther from the pith, mm, with its stretch along the radius.
fn farthest(timber: &Timber, corner: [f32; 2], grid: &Grid) -> f32 {
    /// What bends, shifts and slopes add at most.
    const MORE: f32 = 16.0;
    let sides = corner.iter().zip(grid.size).map(|(from, count)| {
        let to = from + count as f32 * grid.step as f32;
        from.abs().max(to.abs())
    });
    let off = sides.fold(0.0, f32::max);
    let across = off + timber.pith[0].abs();
    (across * across + timber.pith[1] * timber.pith[1]).sqrt() + timber.taper * off + MORE
}

/// Rings outward from the pith, as far as `most` mm; beyond, the last goes on.
fn rings(noise: &Noise, figure: &Figure, mean: f32, most: f32) -> Vec<Ring> {
    let mut sum = 0.0_f64;
    let count = (most / ALONG).min(f32::from(PLACES)) as u16;
    let places = (0..count).map(|step| (f32::from(step) + 0.5) * ALONG);
    let rings = places.map(|place| {
        let uneven = noise.at(place / 13.0, 40.5);
        let phase = place / figure.ring + 0.9 * uneven;
        let band = noise.at(place / 7.0, 90.5) - 0.5;
        let share = phase - (phase as i32) as f32;
        let own = 0.5 + noise.one(phase as i32);
        let crowd = if figure.early > 0.0 { (1.0 - share / 0.5).max(0.08) } else { 0.6 };
        let dark = figure.profile(share) * own + figure.streaks * band - mean;
        let dark = dark * ALONG;
        let before = (sum + 0.5 * f64::from(dark)) as f32;
        sum += f64::from(dark);
        Ring { before, dark, crowd }
    });
    let mut rings: Vec<Ring> = rings.collect();
    let beyond = rings.last().copied().unwrap_or_default();
    rings.resize(usize::from(PLACES), beyond);
    rings
}

/// How pixels of a row lie to the grain: where the first is and how far it is to the next, mm,
/// and what the slopes to the right and up count along and across it.
struct Way {
    along: [f32; 2],
    across: [f32; 2],
    by_along: [f32; 2],
    by_across: [f32; 2],
}

/// A row of pixels on a board.
#[derive(Default)]
pub(super) struct Course {
    row: usize,
    /// How far the pith is off, how much the rings are shifted, mm, and how dark the wood is.
    slow: [Between; 3],
    /// Where stretches of the radius begin and end, then what is found there; one by their
    /// length.
    stretches: [Vec<f32>; 3],
    fibres: Vec<Fibre>,
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
        let place = row as f32 / self.apart;
        let upper = place as usize;
        for (part, out) in self.lattice.iter().zip(&mut course.slow) {
            out.to((upper, place - upper as f32), columns, |row, out| {
                self.across.draw(&part[row * self.columns..][..self.columns], out);
            });
        }
    }
}
