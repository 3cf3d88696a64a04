//! The fine figure of a board: fibres, pores and rays, worked out ahead.

use super::figure::Figure;
use super::noise::Noise;
use super::spread::Spread;

/// Keeps the places of the noise above zero, mm.
pub(super) const AWAY: f32 = 1000.0;

/// How much fibres shift across the grain where the surface is lower by one mm.
const SHIFT: f32 = 0.6;

/// What one is as darkness is kept.
const WHOLE: f32 = 8192.0;

/// The lines of a board, one beside the other, as fine as its picture.
#[derive(Clone, Debug)]
pub(super) struct Fibres {
    /// Side of a cell, mm.
    side: f32,
    /// Cells along a line.
    length: usize,
    /// How far the first line of a surface at the top of the board lies from the first of all.
    offset: f32,
    /// Fibres and rays, then pores, both in parts of [`WHOLE`]; line by line.
    cells: Vec<[i16; 2]>,
}

/// One kind of noise on a line.
struct Kind {
    spread: Spread,
    /// Width across the grain, mm, and where it begins there.
    wide: [f32; 2],
    nodes: Vec<f32>,
    line: Vec<f32>,
}

impl Kind {
    fn new(from: f32, (length, side): (usize, f32), [long, wide, off]: [f32; 3]) -> Self {
        let first = (from / long).floor();
        let at = |cell: usize| (from + cell as f32 * side) / long - first;
        let spread = Spread::new((0..length).map(at)).eased();
        let nodes = vec![0.0; spread.nodes() + first as usize];
        Self { spread, wide: [wide, off], nodes, line: vec![0.0; length] }
    }

    fn draw(&mut self, noise: &Noise, across: f32) {
        noise.nodes(across / self.wide[0] + self.wide[1], &mut self.nodes);
        let first = self.nodes.len() - self.spread.nodes();
        let all = 0..self.line.len();
        self.spread.draw(&self.nodes[first..], &all, &mut self.line);
    }
}

impl Fibres {
    /// From a corner (along and across the grain, mm) over a board so long and wide, its
    /// surface down to a depth.
    pub(super) fn new(
        (noise, figure): (&Noise, &Figure),
        [along, across]: [f32; 2],
        (size, side): ([usize; 2], f32),
        depth: f32,
    ) -> Self {
        let [length, width] = size;
        let offset = (SHIFT * depth / side).ceil() + 1.0;
        let lines = width + offset as usize + 1;
        let kind = |parts: [f32; 3]| Kind::new(along + AWAY, (length, side), parts);
        let [long, wide] = figure.pore;
        let mut fine = kind([14.0, (2.0 * side).max(0.3), 0.0]);
        let mut coarse = kind([60.0, 1.3, 0.0]);
        let mut pores = kind([long, wide.max(1.5 * side), 0.0]);
        let mut rays = kind([1.9, (1.8 * side).max(0.55), 31.0]);
        let mut cells = Vec::with_capacity(length * lines);
        for line in 0..lines {
            let at = across + AWAY + (line as f32 - offset) * side;
            for kind in [&mut fine, &mut coarse, &mut pores] {
                kind.draw(noise, at);
            }
            if figure.flecks > 0.0 {
                rays.draw(noise, at);
            }
            let parts =
                fine.line.iter().zip(&coarse.line).zip(&pores.line).zip(&rays.line);
            cells.extend(parts.map(|(((fine, coarse), pore), ray)| {
                let fibre = 0.6 * (fine - 0.5) + (coarse - 0.5);
                let fleck = ((ray - 0.66) * 3.0).max(0.0);
                let pore = ((pore - 0.62) * 2.7).max(0.0);
                let dark =
                    [figure.fibre * fibre + figure.flecks * fleck, figure.pores * pore];
                dark.map(|part| (part * WHOLE) as i32 as i16)
            }));
        }
        Self { side, length, offset, cells }
    }

    /// At a cell along the grain and one across it, on a surface at a height.
    pub(super) fn at(&self, [along, across]: [usize; 2], z: f32) -> [f32; 2] {
        // Fibres are cut where the surface slopes, so that they shift with depth.
        let shift = (self.offset + z * (SHIFT / self.side) + 0.5) as i32 as usize;
        let cell = self.cells.get((across + shift) * self.length + along);
        cell.copied().unwrap_or_default().map(|part| f32::from(part) * (1.0 / WHOLE))
    }
}
