//! The largest disc that touches the boundary at one point and meets it nowhere else.
//!
//! Shrinking ball: J. Ma, S. W. Bae, S. Choi, "3D medial axis point approximation using
//! nearest neighbors and the normal field", The Visual Computer 28, 2012; here the ball is
//! shrunk against exact arcs and segments instead of points.

use super::tree::{Tree, distance2};
use super::walk::{Element, Joint, Walk};
use crate::curve::arcs::Bend;
use crate::curve::{Point, Rect, Vec2, left};

/// Nearer than this to a smooth joint the neighbour counts by its sharpest bend alone, mm:
/// its tangent disc would drown in rounding.
pub(super) const NEAR_JOINT: f64 = 1e-3;

/// What stopped the disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Contact {
    /// The other point of contact; the touching point itself where a bend's own curvature
    /// stops the disc.
    pub point: Point,
    /// The bend touched.
    pub bend: u32,
}

/// The largest disc at one place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ball {
    /// Its radius, mm; the cap where nothing stops it.
    pub radius: f64,
    /// What stopped it.
    pub contact: Option<Contact>,
}

/// Points of other bends nearer than this touch: no disc fits between, mm.
const TOUCHING: f64 = 1e-6;

const NONE: u32 = u32::MAX;

/// A place on the boundary and the ball being shrunk there.
struct Shrink<'w> {
    walk: &'w Walk,
    p: Point,
    n: Vec2,
    center: Point,
    radius: f64,
    contact: Option<Contact>,
    /// The bend the place lies on, if it does; it counts by its sharpest bend alone.
    own: u32,
    /// Bends whose interior is not looked at: neighbours too near.
    no_foot: [u32; 2],
    /// The bend whose end, and the bend whose start, lies on the place's own bend or point.
    skip_end_of: u32,
    skip_start_of: u32,
}

/// The largest disc up to `cap` mm that touches at a share u of an element from its right.
/// `hint` is the contact at a neighbouring place.
pub(super) fn ball(
    (walk, tree): (&Walk, &Tree),
    (element, u): (Element, f64),
    cap: f64,
    hint: Option<Contact>,
) -> Ball {
    let (p, n) = walk.place(element, u);
    let mut shrink = Shrink {
        walk,
        p,
        n,
        center: p + n * cap,
        radius: cap,
        contact: None,
        own: NONE,
        no_foot: [NONE; 2],
        skip_end_of: NONE,
        skip_start_of: NONE,
    };
    let blocked = match element {
        Element::Corner { .. } => true,
        Element::Along(index) => shrink.stand_on_bend(index, u),
        Element::Fan { before, .. } => shrink.stand_on_fan(before),
    };
    if blocked {
        return Ball { radius: 0.0, contact: None };
    }
    if let Some(contact) = hint {
        shrink.against(contact.bend);
    }
    tree.visit(&mut shrink, Shrink::meets, Shrink::against);
    Ball { radius: shrink.radius, contact: shrink.contact }
}

impl Shrink<'_> {
    /// Sets up a place on a bend; true when nothing fits there at all.
    fn stand_on_bend(&mut self, index: u32, u: f64) -> bool {
        let joined = self.walk.bends[index as usize];
        self.own = index;
        self.skip_end_of = joined.previous;
        self.skip_start_of = joined.next;
        self.limit(inner_radius(&joined.bend), self.p, index);
        let sides = [
            (joined.joint_before, joined.previous, u * joined.bend.length),
            (joined.joint_after, joined.next, (1.0 - u) * joined.bend.length),
        ];
        for (slot, (joint, neighbour, distance)) in sides.into_iter().enumerate() {
            match joint {
                Joint::Smooth if distance < NEAR_JOINT => {
                    self.no_foot[slot] = neighbour;
                    let radius = inner_radius(&self.walk.bends[neighbour as usize].bend);
                    self.limit(radius, self.p, neighbour);
                }
                Joint::TurnedAway if distance < 1e-9 => self.no_foot[slot] = neighbour,
                Joint::Inside if distance < 1e-9 => return true,
                Joint::Smooth | Joint::TurnedAway | Joint::Inside => {}
            }
        }
        false
    }

    /// Sets up a place on a corner turned away, between a bend and its next.
    fn stand_on_fan(&mut self, before: u32) -> bool {
        let after = self.walk.bends[before as usize].next;
        self.no_foot = [before, after];
        self.skip_end_of = before;
        self.skip_start_of = after;
        false
    }

    fn limit(&mut self, radius: f64, point: Point, bend: u32) {
        if radius < self.radius {
            self.radius = radius;
            self.center = self.p + self.n * radius;
            self.contact = Some(Contact { point, bend });
        }
    }

    /// The disc may meet something in the box.
    fn meets(&self, rect: &Rect) -> bool {
        distance2(rect, self.center) < self.radius * self.radius
    }

    /// Shrinks the disc until it no longer meets a bend.
    fn against(&mut self, index: u32) {
        if index == self.own {
            return;
        }
        let bend = &self.walk.bends[index as usize].bend;
        if index != self.skip_start_of {
            self.limit(self.through(bend.a), bend.a, index);
        }
        if index != self.skip_end_of {
            self.limit(self.through(bend.b), bend.b, index);
        }
        if !self.no_foot.contains(&index)
            && let Some((radius, foot)) = self.tangent(bend)
        {
            self.limit(radius, foot, index);
        }
    }

    /// Radius of the disc through a point: |q|² / (2 n·q), q from the place.
    fn through(&self, point: Point) -> f64 {
        let q = point - self.p;
        if q.hypot2() < TOUCHING * TOUCHING {
            return 0.0;
        }
        let ahead = self.n.dot(q);
        if ahead > 0.0 { q.hypot2() / (2.0 * ahead) } else { f64::INFINITY }
    }

    /// Radius of the disc tangent to a bend, and where, if that lies within the bend.
    ///
    /// With q = p − a, N the bend's left normal at a, κ its curvature, the power
    /// s = 2 N·q − κ|q|² tells the side; the disc on that side has radius
    /// ±s / (2 (1 ∓ N·n ± κ q·n)).
    fn tangent(&self, bend: &Bend) -> Option<(f64, Point)> {
        let q = self.p - bend.a;
        let normal = left(bend.ta);
        let power = 2.0 * normal.dot(q) - bend.curvature * q.hypot2();
        let slope = normal.dot(self.n) - bend.curvature * q.dot(self.n);
        let (power, below) =
            if power >= 0.0 { (power, 1.0 - slope) } else { (-power, 1.0 + slope) };
        if below <= 1e-12 {
            return None;
        }
        let radius = power / (2.0 * below);
        if radius >= self.radius {
            return None;
        }
        let foot = foot(bend, self.p + self.n * radius);
        within(bend, foot).then_some((radius, foot))
    }
}

/// Radius of a bend that curves toward the cutter, else infinite, mm.
pub(super) fn inner_radius(bend: &Bend) -> f64 {
    if bend.curvature < 0.0 { -1.0 / bend.curvature } else { f64::INFINITY }
}

/// The nearest point to c on a bend's full circle (or line).
pub(super) fn foot(bend: &Bend, c: Point) -> Point {
    let q = c - bend.a;
    let normal = left(bend.ta);
    let slope = normal - q * bend.curvature;
    let size = slope.hypot();
    let power = 2.0 * normal.dot(q) - bend.curvature * q.hypot2();
    let distance = power / (1.0 + size);
    if size > 0.0 { c - slope * (distance / size) } else { bend.a }
}

/// A point of a bend's circle lies on the bend.
pub(super) fn within(bend: &Bend, point: Point) -> bool {
    let chord = bend.b - bend.a;
    let v = point - bend.a;
    let along = v.dot(chord);
    let offset = chord.cross(v) * bend.curvature;
    along > 0.0 && along < chord.hypot2() && offset <= 1e-12 * chord.hypot2()
}
