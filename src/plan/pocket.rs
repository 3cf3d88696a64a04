//! Clearing an area: rings moved inward one within the other, cut from the inside out.
//!
//! A point between two rings a step apart is never farther than the step from one of them,
//! corners included: where the boundary turns by 2α about it the worst point is step/(1 + sin α)
//! away. So a step of at most the cutter's radius leaves no wood standing.

use super::moves::{Course, Pace};
use super::passes::{Entry, along, enter};
use super::ring::Ring;
use crate::curve::{Origin, Point, Region};
use crate::model::Cutter;
use crate::reach::shrink;

/// More rings than this are not laid.
const MOST: usize = 4000;
/// When the move inward cannot be made sure of, it is tried this much nearer, as a share.
const NUDGES: [f64; 4] = [0.0, 0.003, 0.01, 0.03];
/// The middle is reached when a further ring would be shorter than this, mm.
const LEAST_RING: f64 = 1e-3;

/// A ring and those within it.
#[derive(Debug)]
struct Node {
    ring: Ring,
    within: Vec<usize>,
}

/// All rings of an area at one step.
#[derive(Debug)]
pub(super) struct Nest {
    nodes: Vec<Node>,
    /// The outermost rings.
    outer: Vec<usize>,
    /// Where the tip may be.
    room: Region,
    step: f64,
}

impl Nest {
    /// The area the tip may be in, ringed at a step in mm; `None` where a ring could not be
    /// made sure of.
    pub(super) fn of(room: &Region, step: f64) -> Option<Self> {
        let mut nest =
            Self { nodes: Vec::new(), outer: Vec::new(), room: room.clone(), step };
        let mut last: Vec<usize> = Vec::new();
        let mut by = 0.0;
        let mut region = room.clone();
        while !region.is_empty() && nest.nodes.len() < MOST {
            let mut now = Vec::new();
            for contour in region.contours() {
                // Climb: the wood to be kept lies on the right of the way.
                let ring = Ring::of(contour);
                if ring.length() < LEAST_RING {
                    continue;
                }
                let index = nest.nodes.len();
                let parent = ring.start().and_then(|p| nest.nearest(&last, p));
                nest.nodes.push(Node { ring, within: Vec::new() });
                match parent {
                    Some(parent) => nest.nodes[parent].within.push(index),
                    None => nest.outer.push(index),
                }
                now.push(index);
            }
            last = now;
            (region, by) = inward(room, by, step)?;
        }
        Some(nest)
    }

    fn nearest(&self, among: &[usize], p: Point) -> Option<usize> {
        let far = |index: &usize| {
            self.nodes[*index].ring.nearest(p).map_or(f64::INFINITY, |(_, _, d)| d)
        };
        among.iter().copied().min_by(|a, b| far(a).total_cmp(&far(b)))
    }

    /// The outermost rings.
    pub(super) fn chambers(&self) -> &[usize] {
        &self.outer
    }

    /// Cuts a ring and all within it, those first.
    pub(super) fn cut(&self, chamber: usize, course: &mut Course, entry: Entry) {
        // Depth first without recursion: rings in the order in which they are done.
        let (mut order, mut stack) = (Vec::new(), vec![chamber]);
        while let Some(index) = stack.pop() {
            order.push(index);
            stack.extend(&self.nodes[index].within);
        }
        order.reverse();
        let mut before: Option<usize> = None;
        for index in order {
            let ring = self.nodes[index].ring.begun_near(course.here().plan());
            let child = before.filter(|b| self.nodes[index].within.contains(b));
            let linked = child.is_some() && self.linked(course.here().plan(), &ring);
            let ring = if let (true, Some(start)) = (linked, ring.start()) {
                course.line(start, entry.to, Pace::Cut);
                ring
            } else {
                enter(course, &ring, entry)
            };
            along(course, &ring, entry.to);
            before = Some(index);
        }
    }

    /// The straight way to a ring's start is short and stays where the tip may be.
    fn linked(&self, from: Point, ring: &Ring) -> bool {
        ring.start().is_some_and(|to| {
            from.distance(to) <= 1.6 * self.step
                && (1..=4).all(|k| {
                    let point = from.lerp(to, f64::from(k) / 5.0);
                    self.room.contains(point)
                })
        })
    }
}

/// The room moved inward by one more step, and by how much that is; where it cannot be made
/// sure of, by slightly less.
fn inward(room: &Region, by: f64, step: f64) -> Option<(Region, f64)> {
    NUDGES.iter().find_map(|nudge| {
        let by = by + step * (1.0 - nudge);
        shrink(room, by, Origin::default()).map(|region| (region, by))
    })
}

/// One pass over an area.
#[derive(Debug)]
pub(super) struct Layer {
    /// Depth below the board's top, mm.
    pub depth: f64,
    /// The fine step or the coarse one.
    pub fine: bool,
}

/// Clears an area in layers from a surface at `top` (0 or less): coarse ones, fine ones.
pub(super) fn clear(
    course: &mut Course,
    (room, cutter): (&Region, &Cutter),
    steps: [f64; 2],
    (top, layers): (f64, &[Layer]),
) -> Option<()> {
    let nest = |fine: bool| -> Option<Option<Nest>> {
        if !layers.iter().any(|layer| layer.fine == fine) {
            return Some(None);
        }
        Nest::of(room, steps[usize::from(fine)]).map(Some)
    };
    let (coarse, fine) = (nest(false)?, nest(true)?);
    let count = coarse.iter().chain(&fine).map(|n| n.chambers().len()).max().unwrap_or(0);
    for chamber in 0..count {
        let mut above = top;
        for layer in layers {
            let nest = if layer.fine { fine.as_ref() } else { coarse.as_ref() };
            let entry = Entry::of(cutter, above, -layer.depth);
            above = -layer.depth;
            let Some(nest) = nest else { continue };
            if let Some(&index) = nest.chambers().get(chamber) {
                nest.cut(index, course, entry);
            }
        }
    }
    Some(())
}
