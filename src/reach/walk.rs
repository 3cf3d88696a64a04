//! A region's boundary as a cutter on its right walks it: bends, fans round corners turned
//! away, and sharp inside corners.

use crate::curve::arcs::{Bend, bends};
use crate::curve::{Point, Region, Vec2, left};

/// A place on the boundary that a round cutter can touch with its normal.
#[derive(Clone, Copy, Debug)]
pub(super) enum Element {
    /// Along a bend.
    Along(u32),
    /// About a corner turned away: the normal swings from `from` by `sweep` radians.
    /// `before` is the bend that ends here.
    Fan { at: Point, from: Vec2, sweep: f64, before: u32 },
    /// A sharp inside corner: nothing fits.
    Corner { at: Point },
}

/// A closed stretch of boundary.
#[derive(Clone, Debug, Default)]
pub(super) struct Loop {
    /// In walking order; cyclic.
    pub elements: Vec<Element>,
    /// Indices of its bends, first and one past last.
    pub bends: (u32, u32),
    /// The contour of the region.
    pub contour: usize,
}

/// A bend and what it is joined to.
#[derive(Clone, Copy, Debug)]
pub(super) struct Joined {
    pub bend: Bend,
    pub previous: u32,
    pub next: u32,
    pub joint_before: Joint,
    pub joint_after: Joint,
}

/// How two bends meet, seen from the right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Joint {
    Smooth,
    TurnedAway,
    Inside,
}

/// Bends turning by less than this where they meet (radians) are joined smoothly. A kink of
/// this size cannot stop a disc of less than 100 mm radius that touches more than
/// [`super::ball::NEAR_JOINT`] away from it.
const SMOOTH: f64 = 1e-5;

/// The whole boundary.
#[derive(Clone, Debug, Default)]
pub(super) struct Walk {
    pub bends: Vec<Joined>,
    pub loops: Vec<Loop>,
}

/// How far the boundary turns from one bend to the next, radians, left positive. Where it
/// turns right back the bends' curvatures tell whether wood or air runs out in the cusp.
fn turning(bend: &Bend, next: &Bend) -> f64 {
    const CUSP: f64 = 1e-6;
    let sweep = bend.tb.cross(next.ta).atan2(bend.tb.dot(next.ta));
    if sweep.abs() < std::f64::consts::PI - CUSP {
        return sweep;
    }
    let wood = bend.curvature + next.curvature < 0.0;
    if wood { sweep.abs() } else { -sweep.abs() }
}

/// The normal to the right of a direction.
pub(super) fn right(v: Vec2) -> Vec2 {
    -left(v)
}

impl Walk {
    /// The boundary with the cutter on the right: outside for a region as it is.
    pub(super) fn new(region: &Region) -> Self {
        let mut walk = Self::default();
        for (contour, drawn) in region.contours().iter().enumerate() {
            walk.add_loop(contour, bends(drawn));
        }
        walk
    }

    fn add_loop(&mut self, contour: usize, bends: Vec<Bend>) {
        let count = bends.len() as u32;
        if count == 0 {
            return;
        }
        let base = self.bends.len() as u32;
        let mut elements = Vec::with_capacity(bends.len() * 2);
        let mut joints = Vec::with_capacity(bends.len());
        for (i, bend) in bends.iter().enumerate() {
            let next = &bends[(i + 1) % bends.len()];
            elements.push(Element::Along(base + i as u32));
            let sweep = turning(bend, next);
            joints.push(if sweep.abs() < SMOOTH {
                Joint::Smooth
            } else if sweep > 0.0 {
                elements.push(Element::Fan {
                    at: bend.b,
                    from: right(bend.tb),
                    sweep,
                    before: base + i as u32,
                });
                Joint::TurnedAway
            } else {
                elements.push(Element::Corner { at: bend.b });
                Joint::Inside
            });
        }
        for (i, bend) in bends.into_iter().enumerate() {
            let i = i as u32;
            let before = (i + count - 1) % count;
            self.bends.push(Joined {
                bend,
                previous: base + before,
                next: base + (i + 1) % count,
                joint_before: joints[before as usize],
                joint_after: joints[i as usize],
            });
        }
        self.loops.push(Loop { elements, bends: (base, base + count), contour });
    }

    /// Point and normal at a share u of an element.
    pub(super) fn place(&self, element: Element, u: f64) -> (Point, Vec2) {
        match element {
            Element::Along(index) => {
                let bend = &self.bends[index as usize].bend;
                let point = if u <= 0.0 {
                    bend.a
                } else if u >= 1.0 {
                    bend.b
                } else {
                    bend.eval(u)
                };
                (point, right(bend.tangent(u)))
            }
            Element::Fan { at, from, sweep, .. } => {
                let (sin, cos) = (sweep * u).sin_cos();
                let normal =
                    Vec2::new(from.x * cos - from.y * sin, from.x * sin + from.y * cos);
                (at, normal)
            }
            Element::Corner { at } => (at, Vec2::ZERO),
        }
    }
}
