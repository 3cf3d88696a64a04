//! One cut after the other, each by the distances of cells from its edge alone.

use super::field::{Facet, Field, STEEPEST, Step};
use super::flank::Flank;
use super::grid::Grid;
use super::near::Near;
use super::solid::{Cut, Edge, Tip};
use fearless_simd::{Level, dispatch};
use std::ops::Range;

/// A cut as its edge, and the heights within.
pub(super) struct Pass {
    pub(super) near: Near,
    /// How far within the edge a cell lies: this, and so many times its distance.
    within: [f32; 2],
    flank: Flank,
    kind: Kind,
}

/// How a cell lies to a cut.
#[derive(Clone, Copy, PartialEq)]
enum Place {
    Beyond,
    Edge,
    Side,
    Level,
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
    /// A cut.
    pub(super) fn cut(cut: &Cut, grid: &Grid) -> Self {
        match cut {
            Cut::Cleared { area, by, depth } => {
                let flank = flank(by, *depth, grid);
                let near = Near::region(area, grid, [0.0, f64::from(flank.reach)]);
                Self { near, within: [0.0, 1.0], flank, kind: Kind::Hollow }
            }
            Cut::Led { middle, by, depth } => {
                let shown = by.shown(*depth);
                let near = Near::region(middle, grid, [shown + grid.step, 0.0]);
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
                let near = Near::region(area, grid, [grid.step, most + grid.step]);
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

    /// The round of an edge.
    pub(super) fn edge(edge: &Edge, grid: &Grid) -> Self {
        let near = Near::region(&edge.hollow, grid, [edge.radius + grid.step, 0.0]);
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
        dispatch!(Level::new(), _ => self.carve_rows(pass));
    }

    #[inline(always)]
    fn carve_rows(&mut self, pass: &Pass) {
        let side = self.grid.step as f32;
        // Distances are kept to a millionth of what they are; what is farther is at its limit.
        let (least, reach) = (-side * 0.9999, pass.flank.reach * 0.9999);
        let [from, times] = pass.within;
        let flat = matches!(pass.kind, Kind::Flat(_));
        let sort = |value: &f32| {
            let within = from + times * value;
            if within <= least {
                Place::Beyond
            } else if within >= reach {
                Place::Level
            } else if within < side || flat {
                Place::Edge
            } else {
                Place::Side
            }
        };
        let first = pass.near.part.columns.start;
        let columns = |cells: Range<usize>| first + cells.start..first + cells.end;
        for row in pass.near.part.rows.clone() {
            let Some(about) = pass.near.about(row) else { continue };
            let mut start = 0;
            while let Some(place) = about[1].get(start).map(sort) {
                let left = &about[1][start..];
                let count = match place {
                    Place::Beyond => count(left, |value| from + times * value <= least),
                    Place::Level => count(left, |value| from + times * value >= reach),
                    Place::Edge | Place::Side => {
                        count(left, |value| sort(&value) == place)
                    }
                };
                let columns = columns(start..start + count);
                match place {
                    Place::Beyond => {}
                    Place::Level => self.level(pass, row, columns),
                    Place::Side => self.side(pass, about, (row, columns)),
                    Place::Edge => {
                        for column in columns {
                            self.flank(pass, about, [column, row]);
                        }
                    }
                }
                start += count;
            }
        }
    }

    /// Carves cells of a row where the cut is level.
    #[inline(always)]
    fn level(&mut self, pass: &Pass, row: usize, columns: Range<usize>) {
        if matches!(pass.kind, Kind::Rim | Kind::Outline) {
            return;
        }
        let z = pass.flank.level();
        let flat = Facet { z, slope: [0.0; 2] };
        self.lower_all(&self.place(row, &columns), z);
        self.lower_steps(row, &columns, |_| flat);
    }

    /// Carves cells of a row on the side of a cut, at least their own side away from its edge.
    #[inline(always)]
    fn side(
        &mut self,
        pass: &Pass,
        about: About<'_>,
        (row, columns): (usize, Range<usize>),
    ) {
        let first = pass.near.part.columns.start;
        for start in columns.clone().step_by(BLOCK) {
            let columns = start..columns.end.min(start + BLOCK);
            let places = columns.start - first..columns.end - first;
            let facets = Facets::of(pass, about, &places, self.grid.step as f32);
            let slopes = facets.slopes.each_ref().map(<[f32; BLOCK]>::as_slice);
            self.lower_to(&self.place(row, &columns), &facets.heights, slopes);
            self.lower_steps(row, &columns, |column| facets.at(column - start));
        }
    }

    /// Carves a cell on the side of a cut, or on its edge.
    fn flank(&mut self, pass: &Pass, about: About<'_>, [column, row]: [usize; 2]) {
        let side = self.grid.step as f32;
        let cell = row * self.grid.size[0] + column;
        let place = column - pass.near.part.columns.start;
        let within = pass.within[0] + pass.within[1] * about[1][place];
        let [right, up] = growth(about, place);
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
        match (self.steps[row].get_mut(column), pass.kind) {
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
                    let step = Step { share, low, high, into, near };
                    self.steps[row].put(column, step);
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

/// Distances of the rows above, at and below one.
type About<'a> = [&'a [f32]; 3];

/// How much the distance grows over the two cells around one, to the right and up.
#[inline(always)]
fn growth([above, own, below]: About<'_>, place: usize) -> [f32; 2] {
    let [left, right] = [place.saturating_sub(1), (own.len() - 1).min(place + 1)];
    [own[right] - own[left], above[place] - below[place]]
}

/// So many cells of a row are worked on at once.
const BLOCK: usize = 16;

/// The surface of some cells of a row on the side of a cut.
struct Facets {
    heights: [f32; BLOCK],
    /// To the right and up.
    slopes: [[f32; BLOCK]; 2],
}

impl Facets {
    /// Of some places of a row of distances.
    #[inline(always)]
    fn of(pass: &Pass, about: About<'_>, places: &Range<usize>, side: f32) -> Self {
        let [from, times] = pass.within;
        let values = &about[1][places.clone()];
        let [mut heights, mut rises] = [[0.0; BLOCK]; 2];
        for ((z, rise), value) in heights.iter_mut().zip(&mut rises).zip(values) {
            let within = from + times * value;
            *z = pass.flank.height(within);
            let [low, high] = [within - side / 2.0, within + side / 2.0]
                .map(|at| pass.flank.height(at));
            *rise = high - low;
        }
        // What is left over of a block has no slope.
        let mut slopes = [[0.0; BLOCK]; 2];
        let [right, up] = &mut slopes;
        for (place, (right, up)) in places.clone().zip(right.iter_mut().zip(&mut *up)) {
            [*right, *up] = growth(about, place);
        }
        let half = times / (2.0 * side * side);
        for ((right, up), rise) in right.iter_mut().zip(up).zip(&rises) {
            [*right, *up] = gentle([*right, *up].map(|part| part * (rise * half)));
        }
        Self { heights, slopes }
    }

    fn at(&self, place: usize) -> Facet {
        let [right, up] = &self.slopes;
        Facet { z: self.heights[place], slope: [right[place], up[place]] }
    }
}

/// How many values hold, up to the first that does not.
#[inline(always)]
fn count(values: &[f32], holds: impl Fn(f32) -> bool) -> usize {
    // Sixteen at a time, all of which are looked at.
    let (blocks, _) = values.as_chunks::<16>();
    let whole = |block: &&[f32; 16]| block.iter().fold(true, |all, v| all & holds(*v));
    let count = 16 * blocks.iter().take_while(whole).count();
    count + values[count..].iter().take_while(|value| holds(**value)).count()
}

/// Takes away what of a piece of the surface stands higher.
pub(super) fn lower(facet: &mut Facet, to: Facet) {
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
