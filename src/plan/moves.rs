//! Moves of the cutter's tip: what a machine would be told, as data.
//!
//! x right, y up, z up from the top of the board, all mm; the wood is at z ≤ 0.

use super::ring::Stretch;
use crate::curve::{Point, Vec2, left};

/// The tip travels this high above the board, mm.
pub const CLEAR: f64 = 5.0;
/// Down to this far above the wood a traverse goes before the plunge feed takes over, mm.
const AIR: f64 = 1.0;
/// Moves shorter than this are left out, mm.
const LEAST: f64 = 1e-7;

/// A place of the tip, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Right.
    pub x: f64,
    /// Up on the paper.
    pub y: f64,
    /// Above the top of the board; negative in the wood.
    pub z: f64,
}

impl Place {
    /// Seen from above.
    pub const fn plan(self) -> Point {
        Point::new(self.x, self.y)
    }
}

/// How fast a move may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pace {
    /// Above the wood, as fast as the machine goes.
    Traverse,
    /// Straight down into the wood, at the plunge feed.
    Plunge,
    /// In the wood, at the feed.
    Cut,
}

/// The way of a move seen from above; height changes evenly along it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Way {
    /// Straight.
    Straight,
    /// About a centre, less than a full turn.
    Arc {
        /// Middle of the circle.
        center: Point,
        /// Counter-clockwise seen from above.
        ccw: bool,
    },
}

/// One move, from where the one before ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// Where it ends.
    pub to: Place,
    /// How it gets there.
    pub way: Way,
    /// How fast.
    pub pace: Pace,
}

/// All moves of one cut, first to last, from a place above the board back to above the board.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// Where the tip is before the first move.
    pub start: Place,
    /// The moves.
    pub moves: Vec<Move>,
    /// Depths worked at, mm below the top of the board, from shallow to deep.
    pub levels: Vec<f64>,
}

/// A move with where it begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Where it begins.
    pub from: Place,
    /// The move.
    pub step: Move,
}

impl Route {
    /// Every move with where it begins.
    pub fn passages(&self) -> impl Iterator<Item = Passage> + '_ {
        let starts = std::iter::once(self.start).chain(self.moves.iter().map(|m| m.to));
        starts.zip(&self.moves).map(|(from, step)| Passage { from, step: *step })
    }

    /// Length at a pace, mm.
    pub fn length(&self, pace: Pace) -> f64 {
        self.passages().filter(|p| p.step.pace == pace).map(|p| p.length()).sum()
    }

    /// The deepest the tip goes, mm below the top of the board.
    pub fn depth(&self) -> f64 {
        self.moves.iter().map(|m| -m.to.z).fold(0.0, f64::max)
    }
}

impl Passage {
    /// Signed sweep of an arc, radians, counter-clockwise positive; 0 for a straight move.
    pub fn sweep(&self) -> f64 {
        let Way::Arc { center, ccw } = self.step.way else { return 0.0 };
        let (a, b) = (self.from.plan() - center, self.step.to.plan() - center);
        let angle = a.cross(b).atan2(a.dot(b));
        let turn = std::f64::consts::TAU;
        match (ccw, angle > 0.0) {
            (true, false) => angle + turn,
            (false, true) => angle - turn,
            _ => angle,
        }
    }

    /// Radius of an arc, mm; infinite for a straight move.
    pub fn radius(&self) -> f64 {
        match self.step.way {
            Way::Arc { center, .. } => center.distance(self.from.plan()),
            Way::Straight => f64::INFINITY,
        }
    }

    /// Length seen from above, mm.
    fn flat(&self) -> f64 {
        match self.step.way {
            Way::Arc { .. } => self.radius() * self.sweep().abs(),
            Way::Straight => self.from.plan().distance(self.step.to.plan()),
        }
    }

    /// Length, mm; of a helix where an arc changes its height.
    pub fn length(&self) -> f64 {
        self.flat().hypot(self.step.to.z - self.from.z)
    }

    /// The place at a share of its length.
    pub fn at(&self, share: f64) -> Place {
        let z = self.from.z + (self.step.to.z - self.from.z) * share;
        let point = match self.step.way {
            Way::Straight => self.from.plan().lerp(self.step.to.plan(), share),
            Way::Arc { center, .. } => {
                let (sin, cos) = (self.sweep() * share).sin_cos();
                let out = self.from.plan() - center;
                center + Vec2::new(out.x * cos - out.y * sin, out.x * sin + out.y * cos)
            }
        };
        Place { x: point.x, y: point.y, z }
    }

    /// Unit direction at its beginning and its end: right, up, above.
    pub fn directions(&self) -> [[f64; 3]; 2] {
        let length = self.length().max(f64::MIN_POSITIVE);
        let (flat, rise) =
            (self.flat() / length, (self.step.to.z - self.from.z) / length);
        let along = |v: Vec2| [v.x * flat, v.y * flat, rise];
        match self.step.way {
            Way::Straight => {
                let chord = self.step.to.plan() - self.from.plan();
                let way = if chord.hypot() > 0.0 { chord / chord.hypot() } else { chord };
                [along(way); 2]
            }
            Way::Arc { center, ccw } => [self.from, self.step.to].map(|place| {
                let out = place.plan() - center;
                let out = out / out.hypot().max(f64::MIN_POSITIVE);
                along(if ccw { left(out) } else { -left(out) })
            }),
        }
    }
}

/// A route being laid.
#[derive(Debug)]
pub(super) struct Course {
    start: Place,
    here: Place,
    moves: Vec<Move>,
}

impl Course {
    /// Above a point.
    pub(super) const fn above(point: Point) -> Self {
        let start = Place { x: point.x, y: point.y, z: CLEAR };
        Self { start, here: start, moves: Vec::new() }
    }

    /// Where the tip is.
    pub(super) const fn here(&self) -> Place {
        self.here
    }

    fn push(&mut self, to: Place, way: Way, pace: Pace) {
        let passage = Passage { from: self.here, step: Move { to, way, pace } };
        if passage.length() > LEAST {
            self.moves.push(passage.step);
            self.here = to;
        }
    }

    /// Straight to a place.
    pub(super) fn line(&mut self, point: Point, z: f64, pace: Pace) {
        self.push(Place { x: point.x, y: point.y, z }, Way::Straight, pace);
    }

    /// Up out of the wood, over to a point and down to just above the wood there, whose top
    /// is at `top`.
    pub(super) fn over(&mut self, point: Point, top: f64) {
        let low = (top + AIR).min(CLEAR);
        if self.here.plan().distance(point) > LEAST {
            self.line(self.here.plan(), CLEAR, Pace::Traverse);
            self.line(point, CLEAR, Pace::Traverse);
        }
        if self.here.z > low {
            self.line(point, low, Pace::Traverse);
        }
    }

    /// Straight down (or up) to a height.
    pub(super) fn plunge(&mut self, z: f64) {
        let pace = if z < self.here.z { Pace::Plunge } else { Pace::Traverse };
        self.line(self.here.plan(), z, pace);
    }

    /// Along a stretch to a height at its end, at the feed.
    pub(super) fn follow(&mut self, stretch: &Stretch, z: f64) {
        let to = Place { x: stretch.b.x, y: stretch.b.y, z };
        let way = stretch.center().map_or(Way::Straight, |center| Way::Arc {
            center,
            ccw: stretch.curvature > 0.0,
        });
        self.push(to, way, Pace::Cut);
    }

    /// Back above the board: the route.
    pub(super) fn done(mut self, mut levels: Vec<f64>) -> Route {
        self.line(self.here.plan(), CLEAR, Pace::Traverse);
        levels.sort_by(f64::total_cmp);
        levels.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        Route { start: self.start, moves: self.moves, levels }
    }
}
