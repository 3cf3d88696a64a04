//! One cut after the other, each by the distances of cells from its edge alone.

use super::field::{Facet, Field, STEEPEST, Step};
use super::flank::Flank;
use super::grid::Grid;
use super::near::Near;
use super::solid::{Cut, Edge, Tip};

/// A cut as its edge, and the heights within.
pub(super) struct Pass {
    pub(super) near: Near,
    /// How far within the edge a cell lies: this, and so many times its distance.
    within: [f32; 2],
    flank: Flank,
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    /// Takes away what is within the edge.
    Hollow,
    /// The same by a bit with a flat tip of a radius, mm: it gets the deeper for the flat.
    Flat(f32),
    /// Rounds what stands beside a hollow: within is the wood.
    Rim,
    /// Rounds the outline: within is the wood, and beyond there is nothing.
    Outline,
}

impl Pass {
    pub(super) fn cut(cut: &Cut, grid: &Grid) -> Self {
        match cut {
            Cut::Cleared { area, by, depth } => {
                let flank = flank(by, *depth, grid);
                let near = Near::region(area, grid, f64::from(flank.reach));
                Self { near, within: [0.0, 1.0], flank, kind: Kind::Hollow }
            }
            Cut::Led { middle, by, depth } => {
                let shown = by.shown(*depth);
                let near = Near::region(middle, grid, shown + grid.step);
                let within = [shown as f32, 1.0];
                let flank = flank(by, *depth, grid);
                Self { near, within, flank, kind: Kind::Hollow }
            }
            Cut::Along { lines, by, depth } => {
                let shown = by.shown(*depth);
                let near = Near::line(lines, grid, shown + grid.step);
                let within = [shown as f32, -1.0];
                let flank = flank(by, *depth, grid);
                Self { near, within, flank, kind: Kind::Hollow }
            }
            Cut::Pointed { area, by, surface, limit } => {
                let most = by.radius_at(*limit).max(grid.step);
                let near = Near::region(area, grid, most + grid.step);
                let flank = Flank::new(most, |wide| {
                    let depth = by.height_at(wide.min(by.radius())).unwrap_or(0.0);
                    -(surface + depth.min(*limit))
                });
                let flat = by.radius_at(0.0) as f32;
                let kind = if flat > 0.0 { Kind::Flat(flat) } else { Kind::Hollow };
                Self { near, within: [0.0, 1.0], flank, kind }
            }
        }
    }

    pub(super) fn edge(edge: &Edge, grid: &Grid) -> Self {
        let near = Near::region(&edge.hollow, grid, edge.radius + grid.step);
        let flank = Flank::new(edge.radius, |off| round(off, edge.radius));
        Self { near, within: [0.0, -1.0], flank, kind: Kind::Rim }
    }

    /// Along the outline of a dish.
    pub(super) fn around(near: Near, radius: f64) -> Self {
        let flank = Flank::new(radius, |off| round(off, radius));
        Self { near, within: [0.0, 1.0], flank, kind: Kind::Outline }
    }
}

impl Field {
    pub(super) fn carve(&mut self, pass: &Pass) {
        let columns = self.grid.size[0];
        let side = self.grid.step as f32;
        let level = pass.flank.level();
        // Distances are kept to a millionth of what they are.
        let reach = pass.flank.reach * 0.9999;
        let [from, times] = pass.within;
        for (row, first, values) in pass.near.rows() {
            for (column, value) in (first..).zip(values) {
                let within = from + times * value;
                if within <= -side {
                    continue;
                }
                let cell = row * columns + column;
                if within < reach {
                    self.flank(pass, [column, row], within);
                } else if pass.kind == Kind::Hollow || matches!(pass.kind, Kind::Flat(_))
                {
                    let flat = Facet { z: level, slope: [0.0; 2] };
                    self.lower(cell, flat);
                    if let Some(step) = self.steps.get_mut(cell) {
                        lower(&mut step.low, flat);
                        lower(&mut step.high, flat);
                    }
                }
            }
        }
    }

    /// Carves a cell on the side of a cut, or on its edge.
    fn flank(&mut self, pass: &Pass, [column, row]: [usize; 2], within: f32) {
        let side = self.grid.step as f32;
        let cell = row * self.grid.size[0] + column;
        let [right, up] = pass.near.slope(column, row);
        let into = [right, up].map(|part| part * pass.within[1] / (2.0 * side));
        let share = (0.5 + within / side).clamp(0.0, 1.0);
        let near = 1.0 - within.abs() / side;
        // The middle of what of the cell is within.
        let middle = if share < 1.0 { share * side / 2.0 } else { within };
        let deeper = match pass.kind {
            Kind::Flat(flat) => {
                pass.near.farther_in([column, row], flat / side, into) - within
            }
            Kind::Hollow | Kind::Rim | Kind::Outline => 0.0,
        };
        let rise = pass.flank.rise(middle + deeper, side / 2.0);
        let slope = gentle(into.map(|part| part * rise));
        let facet = Facet { z: pass.flank.height(middle + deeper), slope };
        let own = Facet { z: pass.flank.height(within + deeper), slope };
        let before = self.facet(cell);
        if within > 0.0 {
            self.lower(cell, own);
        }
        match (self.steps.get_mut(cell), pass.kind) {
            (Some(step), Kind::Rim) if near > 0.0 => lower(&mut step.high, facet),
            (Some(step), Kind::Hollow | Kind::Flat(_)) if near > 0.0 => {
                if facet.z < step.high.z {
                    step.share = step.share.max(share);
                    step.near = step.near.max(near);
                }
                lower(&mut step.low, facet);
            }
            (Some(step), _) if share > 0.0 => {
                lower(&mut step.low, facet);
                lower(&mut step.high, facet);
            }
            (None, Kind::Hollow | Kind::Flat(_)) if near > 0.0 => {
                if facet.z < before.z {
                    let (low, high) = (facet, before);
                    self.steps.put(cell, Step { share, low, high, into, near });
                }
            }
            // Its middle lies beyond the outline.
            (None, Kind::Outline) if share > 0.0 && within <= 0.0 => {
                self.lower(cell, facet);
            }
            (Some(_) | None, _) => {}
        }
    }
}

fn lower(facet: &mut Facet, to: Facet) {
    if to.z < facet.z {
        *facet = to;
    }
}

/// A slope, no steeper than is kept.
fn gentle(slope: [f32; 2]) -> [f32; 2] {
    let steep = (slope[0] * slope[0] + slope[1] * slope[1]).sqrt();
    slope.map(|part| part * (STEEPEST / steep.max(STEEPEST)))
}

/// The side that the tip at a depth leaves, as far in as it is no flat.
fn flank(by: &Tip, depth: f64, grid: &Grid) -> Flank {
    let shown = by.shown(depth);
    Flank::new((shown - by.flat()).max(grid.step), |within| {
        let up = by.height((shown - within).max(0.0)).filter(|up| *up < depth);
        up.map_or(0.0, |up| up - depth)
    })
}

/// A quarter round that begins at an edge: height at a distance from it, into the wood.
/// On the circle about (radius, −radius): z = −(r − √(r² − (r − d)²)).
fn round(off: f64, radius: f64) -> f64 {
    let left = (radius - off).clamp(0.0, radius);
    ((radius - left) * (radius + left)).sqrt() - radius
}
