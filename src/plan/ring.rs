//! A line for the tip to follow, as arcs and straight stretches that can be entered anywhere.

use crate::curve::arcs::{Bend, bends};
use crate::curve::{BezPath, Contour, Curve, Origin, PathEl, Piece, Point, Vec2, left};

/// Arcs flatter than this are straight, 1/mm.
const FLAT: f64 = 1e-7;

/// A straight stretch or an arc.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    pub a: Point,
    pub b: Point,
    /// Unit tangent at its start.
    ta: Vec2,
    /// Signed, 1/mm, positive bending left.
    pub curvature: f64,
    pub length: f64,
}

/// A line of stretches, closed or open.
#[derive(Clone, Debug)]
pub(super) struct Ring {
    pub stretches: Vec<Stretch>,
    pub closed: bool,
}

fn turn(v: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}

impl Stretch {
    fn of(bend: &Bend) -> Self {
        let curvature = if bend.curvature.abs() < FLAT { 0.0 } else { bend.curvature };
        let ta = bend.ta;
        Self { a: bend.a, b: bend.b, ta, curvature, length: bend.length }
    }

    /// Middle of its circle; `None` where it is straight.
    pub(super) fn center(&self) -> Option<Point> {
        let bent = self.curvature.abs() >= FLAT;
        bent.then(|| self.a + left(self.ta) / self.curvature)
    }

    /// The point at a share of its length; the ends exactly.
    fn eval(&self, t: f64) -> Point {
        if t <= 0.0 {
            return self.a;
        }
        if t >= 1.0 {
            return self.b;
        }
        match self.center() {
            Some(center) => {
                center + turn(self.a - center, self.curvature * self.length * t)
            }
            None => self.a.lerp(self.b, t),
        }
    }

    /// The part between two shares.
    pub(super) fn part(&self, t0: f64, t1: f64) -> Self {
        Self {
            a: self.eval(t0),
            b: self.eval(t1),
            ta: turn(self.ta, self.curvature * self.length * t0),
            curvature: self.curvature,
            length: self.length * (t1 - t0),
        }
    }

    pub(super) fn reversed(&self) -> Self {
        let tb = turn(self.ta, self.curvature * self.length);
        Self { a: self.b, b: self.a, ta: -tb, curvature: -self.curvature, ..*self }
    }

    /// Share of its length nearest to a point, and how far that is, mm.
    fn nearest(&self, p: Point) -> (f64, f64) {
        let t = match self.center() {
            None => {
                let chord = self.b - self.a;
                ((p - self.a).dot(chord) / chord.hypot2().max(f64::MIN_POSITIVE))
                    .clamp(0.0, 1.0)
            }
            Some(center) => {
                let (from, to) = (self.a - center, p - center);
                let sweep = self.curvature * self.length;
                let angle = from.cross(to).atan2(from.dot(to)) * sweep.signum();
                let share = angle / sweep.abs();
                if (0.0..=1.0).contains(&share) {
                    share
                } else if p.distance(self.a) <= p.distance(self.b) {
                    0.0
                } else {
                    1.0
                }
            }
        };
        (t, self.eval(t).distance(p))
    }
}

impl Ring {
    /// A closed boundary.
    pub(super) fn of(contour: &Contour) -> Self {
        let stretches = bends(contour).iter().map(Stretch::of).collect();
        Self { stretches, closed: true }
    }

    /// The lines of a path, each open or closed as drawn.
    pub(super) fn lines(path: &BezPath) -> Vec<Self> {
        let mut lines = Vec::new();
        let mut run: Vec<PathEl> = Vec::new();
        for element in path.elements() {
            if matches!(element, PathEl::MoveTo(_)) {
                lines.extend(Self::line(&run));
                run.clear();
            }
            run.push(*element);
        }
        lines.extend(Self::line(&run));
        lines
    }

    fn line(elements: &[PathEl]) -> Option<Self> {
        let path = BezPath::from_vec(elements.to_vec());
        if !matches!(elements.first(), Some(PathEl::MoveTo(_))) {
            return None;
        }
        let piece = |segment| Piece {
            curve: Curve::from_segment(segment),
            origin: Origin::default(),
        };
        let contour = Contour::from_pieces(path.segments().map(piece).collect());
        let ring = Self::of(&contour);
        let (first, last) = (ring.stretches.first()?.a, ring.stretches.last()?.b);
        let closed = first.distance(last) < 1e-6;
        Some(Self { closed, ..ring })
    }

    /// Length, mm.
    pub(super) fn length(&self) -> f64 {
        self.stretches.iter().map(|stretch| stretch.length).sum()
    }

    /// The first point.
    pub(super) fn start(&self) -> Option<Point> {
        self.stretches.first().map(|stretch| stretch.a)
    }

    /// The place nearest to a point: stretch, share, distance in mm.
    pub(super) fn nearest(&self, p: Point) -> Option<(usize, f64, f64)> {
        self.stretches
            .iter()
            .enumerate()
            .map(|(index, stretch)| {
                let (t, distance) = stretch.nearest(p);
                (index, t, distance)
            })
            .min_by(|a, b| a.2.total_cmp(&b.2))
    }

    /// A closed ring begun at the place nearest to a point; an open one at its nearer end.
    pub(super) fn begun_near(&self, p: Point) -> Self {
        if !self.closed {
            let (Some(first), Some(last)) =
                (self.stretches.first(), self.stretches.last())
            else {
                return self.clone();
            };
            let turned = p.distance(last.b) < p.distance(first.a);
            return if turned { self.reversed() } else { self.clone() };
        }
        self.nearest(p).map_or_else(|| self.clone(), |(index, t, _)| self.begun(index, t))
    }

    /// A closed ring begun at a share of a stretch.
    fn begun(&self, index: usize, t: f64) -> Self {
        let mut stretches = Vec::with_capacity(self.stretches.len() + 1);
        let Some(cut) = self.stretches.get(index) else { return self.clone() };
        let least = 1e-6 / cut.length.max(1e-6);
        if t < 1.0 - least {
            stretches.push(cut.part(if t < least { 0.0 } else { t }, 1.0));
        }
        stretches.extend_from_slice(&self.stretches[index + 1..]);
        stretches.extend_from_slice(&self.stretches[..index]);
        if t >= least {
            stretches.push(cut.part(0.0, if t > 1.0 - least { 1.0 } else { t }));
        }
        Self { stretches, closed: true }
    }

    /// A closed ring begun a length further on, mm.
    pub(super) fn begun_after(&self, length: f64) -> Self {
        let mut left = length.rem_euclid(self.length().max(f64::MIN_POSITIVE));
        for (index, stretch) in self.stretches.iter().enumerate() {
            if left < stretch.length {
                return self.begun(index, left / stretch.length);
            }
            left -= stretch.length;
        }
        self.clone()
    }

    /// Run through backwards.
    pub(super) fn reversed(&self) -> Self {
        let stretches = self.stretches.iter().rev().map(Stretch::reversed).collect();
        Self { stretches, closed: self.closed }
    }

    /// An open line there and back again, as a closed one.
    pub(super) fn there_and_back(&self) -> Self {
        let mut stretches = self.stretches.clone();
        stretches.extend(self.reversed().stretches);
        Self { stretches, closed: true }
    }

    /// Pieces of at most `length` mm, each with how far along it ends.
    pub(super) fn cut_at(&self, places: &[f64]) -> Vec<(Stretch, f64)> {
        let mut parts = Vec::with_capacity(self.stretches.len() + places.len());
        let mut gone = 0.0;
        for stretch in &self.stretches {
            let end = gone + stretch.length;
            let mut from = 0.0;
            for place in places.iter().filter(|p| **p > gone + 1e-6 && **p < end - 1e-6) {
                let t = (place - gone) / stretch.length;
                parts.push((stretch.part(from, t), *place));
                from = t;
            }
            parts.push((stretch.part(from, 1.0), end));
            gone = end;
        }
        parts
    }
}
