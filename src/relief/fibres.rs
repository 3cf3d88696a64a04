//! The fine figure of a board: fibres, pores and rays, worked out ahead.

use super::figure::Figure;
use super::lanes::{at_least, mix, nearest};
use super::noise::Noise;
use super::spread::{Between, Spread, ease};
use crate::model::Grain;
use std::ops::Range;

/// Keeps the places of the noise above zero, mm.
pub(super) const AWAY: f32 = 1000.0;

/// How much fibres shift across the grain where the surface is lower by one mm.
const SHIFT: f32 = 0.6;

/// What one is as darkness is kept.
const WHOLE: f32 = 8192.0;

/// The lines of a board, one beside the other, as fine as its picture and in its order.
pub(super) struct Fibres<'a> {
    noise: &'a Noise,
    figure: &'a Figure,
    kinds: [Kind; 4],
    /// Where the first row of the picture lies along the grain or across it, mm, and how
    /// many rows lie before it.
    down: [f32; 2],
    /// From row to row, mm.
    side: f32,
    /// Lines by one mm of height.
    per_mm: f32,
    /// How far the first line of a surface at the top of the board lies from the first of all.
    offset: f32,
    /// Cells in a row, and from one line to the next.
    width: usize,
    apart: usize,
    /// So many rows a row of the picture may need, with its own.
    deep: usize,
    /// Row by row, from one on: what a row of the picture needs, and what was left before.
    cells: Vec<Fibre>,
    first: usize,
    /// How many rows have been woven, from the first of all.
    woven: usize,
}

/// Darkness of fibres and rays in the lower half, of pores in the upper, both in parts of
/// [`WHOLE`].
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Fibre(u32);

impl Fibre {
    #[inline(always)]
    fn new(fibre: f32, pore: f32) -> Self {
        /// Whole numbers around it have their own lowest bits, those below zero as well.
        const MIDDLE: f32 = 12_582_912.0;
        let bits = |dark: f32| (dark * WHOLE + MIDDLE).to_bits();
        Self(bits(fibre) & 0xFFFF | bits(pore) << 16)
    }

    /// Of fibres and rays, then of pores.
    #[inline(always)]
    pub(super) fn darks(self) -> [f32; 2] {
        let parts = [(self.0 << 16).cast_signed() >> 16, self.0.cast_signed() >> 16];
        parts.map(|part| part as f32 * (1.0 / WHOLE))
    }
}

/// One kind of noise.
struct Kind {
    /// Length along the grain and width across it, mm.
    size: [f32; 2],
    /// Where it begins across.
    off: f32,
    /// What does not change from row to row of the picture.
    across: Across,
    row: Between,
}

/// How noise goes over a row of the picture.
enum Across {
    /// Along the grain, from a node on.
    Along(Spread, usize),
    /// Across the grain: the row of the noise, and how far to the next.
    Lines(Vec<(usize, f32)>),
}

impl Kind {
    /// Over so many pixels of a row, by where they lie along the grain or across it.
    fn new(grain: Grain, [long, wide, off]: [f32; 3], pixels: &[f32]) -> Self {
        let across = match grain {
            Grain::X => {
                let first = pixels.first().map_or(0.0, |from| (from / long).floor());
                let places = pixels.iter().map(|at| at / long - first);
                Across::Along(Spread::new(places).eased(), first as usize)
            }
            Grain::Y => {
                let lines = pixels.iter().map(|at| place(at / wide + off));
                Across::Lines(lines.collect())
            }
        };
        Self { size: [long, wide], off, across, row: Between::default() }
    }

    /// Draws the row of the picture that lies there along the grain or across it.
    #[inline(always)]
    fn draw(&mut self, noise: &Noise, at: f32, width: usize) {
        let Self { size: [long, wide], off, across, row } = self;
        let all = 0..width;
        match across {
            Across::Along(spread, first) => {
                row.to(place(at / *wide + *off), &all, |row, out| {
                    let nodes: Vec<f32> = noise.along(row, *first, spread.nodes());
                    spread.draw(&nodes, out);
                });
            }
            Across::Lines(lines) => row.to(place(at / *long), &all, |column, out| {
                out.clear();
                out.extend(lines.iter().map(|(row, share)| {
                    let [upper, lower] =
                        [*row, row + 1].map(|row| noise.node(row, column));
                    mix(upper, lower, *share)
                }));
            }),
        }
    }
}

/// A node and how far, eased, to the next.
fn place(at: f32) -> (usize, f32) {
    let node = at as usize;
    (node, ease(at - node as f32))
}

impl<'a> Fibres<'a> {
    /// From a corner (to the right and down, mm) over a picture so wide and high, with pixels
    /// of a side, its surface down to a depth.
    pub(super) fn new(
        (noise, figure): (&'a Noise, &'a Figure),
        (grain, [right, down]): (Grain, [f32; 2]),
        (columns, side): (usize, f32),
        depth: f32,
    ) -> Self {
        let offset = (SHIFT * depth / side).ceil() + 1.0;
        let more = offset as usize + 1;
        let (width, deep, apart, back) = match grain {
            Grain::X => (columns, 1 + more, columns, [0.0, offset]),
            Grain::Y => (columns + more, 1, 1, [offset, 0.0]),
        };
        let pixels: Vec<f32> = (0..width)
            .map(|cell| right + AWAY + (cell as f32 - back[0]) * side)
            .collect();
        let [long, wide] = figure.pore;
        let kinds = [
            [14.0, (2.0 * side).max(0.3), 0.0],
            [60.0, 1.3, 0.0],
            [long, wide.max(1.5 * side), 0.0],
            [1.9, (1.8 * side).max(0.55), 31.0],
        ]
        .map(|parts| Kind::new(grain, parts, &pixels));
        Self {
            noise,
            figure,
            kinds,
            down: [down + AWAY, back[1]],
            side,
            per_mm: SHIFT / side,
            offset,
            width,
            apart,
            deep,
            cells: vec![Fibre::default(); 2 * deep * width],
            first: 0,
            woven: 0,
        }
    }

    /// Goes on to a row of the picture: it or one below it is asked for next.
    #[inline(always)]
    pub(super) fn to(&mut self, row: usize) {
        let end = row + self.deep;
        if end > self.first + 2 * self.deep {
            let [from, to] =
                [row.min(self.woven), self.woven].map(|row| row - self.first);
            self.cells.copy_within(from * self.width..to * self.width, 0);
            self.first = row;
            self.woven = self.woven.max(row);
        }
        for row in self.woven..end {
            self.weave(row);
        }
        self.woven = self.woven.max(end);
    }

    /// Weaves a row.
    #[inline(always)]
    fn weave(&mut self, row: usize) {
        let Self { noise, figure, kinds, width, down: [down, back], .. } = self;
        let at = *down + (row as f32 - *back) * self.side;
        // Without flecks no rays are drawn.
        let drawn = if figure.flecks > 0.0 { 4 } else { 3 };
        for kind in &mut kinds[..drawn] {
            kind.draw(noise, at, *width);
        }
        let [fine, coarse, pores, rays] = kinds.each_ref().map(|kind| kind.row.line());
        let rays = if drawn == 4 { rays } else { fine };
        let start = (row - self.first) * *width;
        weave(figure, [fine, coarse, pores, rays], &mut self.cells[start..][..*width]);
    }

    /// At a pixel, on a surface at a height.
    pub(super) fn at(&self, [column, row]: [usize; 2], z: f32) -> Fibre {
        let cell = (row - self.first) * self.width + column + self.apart * self.line(z);
        self.cells.get(cell).copied().unwrap_or_default()
    }

    /// The same for some pixels of a row.
    #[inline(always)]
    pub(super) fn row(
        &self,
        row: usize,
        columns: &Range<usize>,
        heights: &[f32],
        out: &mut [Fibre],
    ) {
        let first = (row - self.first) * self.width;
        let cells = (first + columns.start..first + columns.end).zip(heights);
        for ((cell, z), out) in cells.zip(out) {
            let fibre = self.cells.get(cell + self.apart * self.line(*z));
            *out = fibre.copied().unwrap_or_default();
        }
    }

    /// Fibres are cut where the surface slopes, so that they shift with depth.
    #[inline(always)]
    fn line(&self, z: f32) -> usize {
        nearest(at_least(self.offset + z * self.per_mm, 0.0)) as usize
    }
}

/// A row of fine and coarse fibres, pores and rays.
#[inline(always)]
fn weave(figure: &Figure, lines: [&[f32]; 4], out: &mut [Fibre]) {
    let [fine, coarse, pores, rays] = lines;
    let parts = fine.iter().zip(coarse).zip(pores).zip(rays);
    for (out, (((fine, coarse), pore), ray)) in out.iter_mut().zip(parts) {
        let fibre = 0.6 * (fine - 0.5) + (coarse - 0.5);
        let fleck = at_least((ray - 0.66) * 3.0, 0.0);
        let pore = at_least((pore - 0.62) * 2.7, 0.0);
        let fibre = figure.fibre * fibre + figure.flecks * fleck;
        *out = Fibre::new(fibre, figure.pores * pore);
    }
}
