//! The nearest outline a cutter follows, and how far it departs from the drawn one.
//!
//! A closing leaves exactly what a cutter of that radius leaves, so it is the nearest outline
//! that only ever adds wood. Where two of its discs overlap in a waist they leave a gap the
//! cutter cannot pass; such a waist is bridged and closed again.

use super::morph::{closing, opening};
use super::neck::edge_distance;
use super::profile::{Low, Profile};
use super::tree::Tree;
use super::walk::Walk;
use crate::curve::arcs::Bend;
use crate::curve::{BezPath, Origin, Point, Region, left, unit};
use crate::units::Tolerance;

/// Waists that are bridged at most, one after the other.
const MOST_BRIDGES: usize = 12;

/// Width of a bridge before it is closed, mm.
const BRIDGE: f64 = 0.05;

/// How far a bridge runs into the wood at both ends, mm.
const ROOT: f64 = 0.05;

/// A distance is looked for until it is known this well, mm.
const SURE: f64 = 5e-4;

/// An outline changed so that a cutter follows it.
#[derive(Clone, Debug)]
pub struct Softened {
    /// What the cutter follows, by its lowest reach.
    pub region: Region,
    /// The greatest distance between the drawn edge and this one, mm: the deeper of what was
    /// filled and of the distance from either edge to the nearest point of the other.
    pub departure: f64,
    /// Where on the drawn edge (or on this one) that is.
    pub at: Point,
    /// Area gained, mm²; negative where it is lost.
    pub area: f64,
    /// Waists bridged: places where the cutter could get in only by plunging again.
    pub bridges: usize,
}

/// Which side of the edge the cutter works on.
#[derive(Clone, Copy)]
enum Side {
    Outside,
    Inside,
}

/// The nearest outline that a cutter of radius c mm follows from outside, wood only added.
/// New arcs carry `origin`. `None` when no such outline could be made sure of.
pub fn soften(region: &Region, c: f64, origin: Origin) -> Option<Softened> {
    softened(region, c, origin, Side::Outside)
}

/// The nearest recess that a cutter of radius c mm follows from inside, never a wider one.
pub fn soften_recess(region: &Region, c: f64, origin: Origin) -> Option<Softened> {
    softened(region, c, origin, Side::Inside)
}

impl Side {
    fn profile(self, region: &Region, cap: f64) -> Profile {
        match self {
            Self::Outside => Profile::outside(region, cap),
            Self::Inside => Profile::inside(region, cap),
        }
    }

    fn smooth(self, region: &Region, c: f64, origin: Origin) -> Option<Region> {
        match self {
            Self::Outside => closing(region, c, origin),
            Self::Inside => opening(region, c, origin),
        }
    }

    fn bridged(self, region: &Region, bridge: &Region) -> Region {
        match self {
            Self::Outside => region.unite(bridge),
            Self::Inside => region.cut(bridge),
        }
    }
}

fn softened(drawn: &Region, c: f64, origin: Origin, side: Side) -> Option<Softened> {
    let cap = 2.0 * c + 1.0;
    let mut region = drawn.clone();
    let mut deepest = (0.0, Point::ZERO);
    for bridges in 0..=MOST_BRIDGES {
        let profile = side.profile(&region, cap);
        if let Some(worst) = profile.leftovers(c)?.first()
            && worst.depth > deepest.0
        {
            deepest = (worst.depth, worst.at);
        }
        region = side.smooth(&region, c, origin)?;
        if region.is_empty() {
            return None;
        }
        let low = side.profile(&region, cap).lowest_reach();
        let short = low.filter(|low| low.radius < c - Tolerance::REACH.get());
        let Some(low) = short else {
            let area = region.area() - drawn.area();
            let (departure, at) = farther(deepest, departure(drawn, &region, side, c));
            return Some(Softened { region, departure, at, area, bridges });
        };
        region = side.bridged(&region, &bridge(low, origin)?);
    }
    None
}

/// A thin bar across a waist, its ends in the wood.
fn bridge(low: Low, origin: Origin) -> Option<Region> {
    let across = low.across?;
    let way = unit(across - low.at);
    if !way.hypot().is_finite() || way.hypot() < 0.5 {
        return None;
    }
    let side = left(way) * (BRIDGE / 2.0);
    let (from, to) = (low.at - way * ROOT, across + way * ROOT);
    let mut path = BezPath::new();
    path.move_to(from - side);
    path.line_to(to - side);
    path.line_to(to + side);
    path.line_to(from + side);
    path.close_path();
    Region::filled(&path, origin).ok()
}

fn farther(a: (f64, Point), b: (f64, Point)) -> (f64, Point) {
    if b.0 > a.0 { b } else { a }
}

/// The greatest distance from either edge to the nearest point of the other. Loops of the
/// drawn edge that vanish whole have no other edge to be near to and are left out: their
/// width is the depth of what was filled.
fn departure(drawn: &Region, now: &Region, side: Side, c: f64) -> (f64, Point) {
    let profile = side.profile(drawn, c);
    let blocked = profile.blocked(c, None);
    let kept = |lane: usize| {
        blocked.get(lane).is_some_and(|elements| {
            elements.iter().any(|stretches| stretches.as_slice() != [(0.0, 1.0)])
        })
    };
    let after = Walk::new(now);
    let mut far = (0.0, Point::ZERO);
    let tree = Tree::new(&after);
    for (_, ring) in profile.walk.loops.iter().enumerate().filter(|ring| kept(ring.0)) {
        let (first, last) = ring.bends;
        for joined in &profile.walk.bends[first as usize..last as usize] {
            farthest(&joined.bend, (&after, &tree), &mut far);
        }
    }
    for joined in &after.bends {
        farthest(&joined.bend, (&profile.walk, &profile.tree), &mut far);
    }
    far
}

/// Raises `far` to the greatest distance from a bend to an edge. A distance changes no faster
/// than the point moves, so halves that cannot hold a greater one are left out.
fn farthest(bend: &Bend, (walk, tree): (&Walk, &Tree), far: &mut (f64, Point)) {
    let mut open = vec![(0.0, 1.0)];
    while let Some((from, to)) = open.pop() {
        let middle = f64::midpoint(from, to);
        let point = bend.eval(middle);
        let distance = edge_distance(walk, tree, point);
        *far = farther(*far, (distance, point));
        let half = (to - from) / 2.0 * bend.length;
        if distance + half > far.0 + SURE {
            open.push((from, middle));
            open.push((middle, to));
        }
    }
}
