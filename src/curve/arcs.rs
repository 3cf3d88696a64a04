//! A region's boundary as circular arcs and segments that join without turning.
//!
//! Lines and arcs stay as they are. A cubic is cut at its extremes of curvature and its
//! inflections, then each part is replaced by a pair of arcs that meet without turning (a
//! biarc; see K. M. Bolton, "Biarc curves", Computer-Aided Design 7, 1975, title from
//! memory), halved until it lies within [`Tolerance::ARC_FIT`] of the curve.

use super::piece::{Curve, Piece, left, unit};
use super::region::Contour;
use crate::units::Tolerance;
use kurbo::{Point, Vec2};

/// A circular arc of at most a quarter turn, or a segment where the curvature is zero.
#[derive(Clone, Copy, Debug)]
pub struct Bend {
    /// Where it starts.
    pub a: Point,
    /// Where it ends.
    pub b: Point,
    /// Unit tangent at `a`.
    pub ta: Vec2,
    /// Unit tangent at `b`.
    pub tb: Vec2,
    /// Signed curvature, 1/mm, positive bending left.
    pub curvature: f64,
    /// The sharpest bend to the right of the curve it stands for, as a radius in mm: exact
    /// where the arc is only fitted. Infinite where it bends left or not.
    pub right_radius: f64,
    /// The same to the left.
    pub left_radius: f64,
    /// Length, mm.
    pub length: f64,
    /// Which piece of the contour it stands for.
    pub piece: u32,
    /// It only lies near that piece, within [`Tolerance::ARC_FIT`].
    pub fitted: bool,
}

/// Two pieces that turn by less than this where they meet (radians) were meant to be smooth.
pub const SMOOTH_TURN: f64 = 1e-3;

/// Flatter arcs than this are treated as segments, 1/mm.
const FLAT: f64 = 1e-9;

impl Bend {
    /// The point at a share t of its length.
    pub fn eval(&self, t: f64) -> Point {
        let s = t * self.length;
        let half = self.curvature * s / 2.0;
        // chord of the part: length s * sin(half)/half, turned by half
        let chord = if half.abs() < 1e-8 { s } else { s * half.sin() / half };
        self.a + turn(self.ta, half) * chord
    }

    /// Unit tangent at a share t of its length.
    pub fn tangent(&self, t: f64) -> Vec2 {
        turn(self.ta, self.curvature * t * self.length)
    }
}

fn turn(v: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}

/// The contour as bends, in order.
pub fn bends(contour: &Contour) -> Vec<Bend> {
    let pieces = contour.pieces();
    let tangents = joint_tangents(pieces);
    let mut out = Vec::with_capacity(pieces.len() * 2);
    for (index, piece) in pieces.iter().enumerate() {
        let index = index as u32;
        match &piece.curve {
            Curve::Line(line) => {
                let way = unit(line.p1 - line.p0);
                push(&mut out, line.p0, line.p1, way, index);
            }
            Curve::Arc(arc) if !adjusted(piece, tangents[index as usize]) => {
                let count = (arc.sweep().abs() / 1.5).ceil().max(1.0) as usize;
                for i in 0..count {
                    let part = piece
                        .curve
                        .part(i as f64 / count as f64, (i + 1) as f64 / count as f64);
                    push(&mut out, part.start(), part.end(), part.tangent(0.0), index);
                    if let Some(last) = out.last_mut() {
                        set_exact(last, arc.radius, arc.ccw);
                    }
                }
            }
            Curve::Arc(_) | Curve::Cubic(_) => {
                let ends = tangents[index as usize];
                fit_cubic(&piece.curve, ends, index, &mut out);
            }
        }
    }
    out
}

fn set_exact(bend: &mut Bend, radius: f64, ccw: bool) {
    bend.curvature = if ccw { 1.0 / radius } else { -1.0 / radius };
    bend.tb = turn(bend.ta, bend.curvature * bend.length);
    let infinite = f64::INFINITY;
    (bend.left_radius, bend.right_radius) =
        if ccw { (radius, infinite) } else { (infinite, radius) };
}

/// The arc from a, along `ta`, to b. `right_radius`/`left_radius` are its own.
fn push(out: &mut Vec<Bend>, a: Point, b: Point, ta: Vec2, piece: u32) {
    let chord = b - a;
    let length2 = chord.hypot2();
    if length2 <= 0.0 {
        return;
    }
    let curvature = 2.0 * ta.cross(chord) / length2;
    let half = ta.cross(chord).atan2(ta.dot(chord));
    let chord_length = length2.sqrt();
    let flat = curvature.abs() < FLAT || half.abs() < 1e-12;
    let (curvature, length) = if flat {
        (0.0, chord_length)
    } else {
        (curvature, chord_length * half / half.sin())
    };
    let ta = if flat { unit(chord) } else { ta };
    let radius = |k: f64| if k > 0.0 { 1.0 / k } else { f64::INFINITY };
    out.push(Bend {
        a,
        b,
        ta,
        tb: turn(ta, curvature * length),
        curvature,
        right_radius: radius(-curvature),
        left_radius: radius(curvature),
        length,
        piece,
        fitted: false,
    });
}

/// A shared tangent differs from the piece's own.
fn adjusted(piece: &Piece, (start, end): (Vec2, Vec2)) -> bool {
    const ROUNDING: f64 = 1e-6;
    (piece.curve.tangent(0.0) - start).hypot() > ROUNDING
        || (piece.curve.tangent(1.0) - end).hypot() > ROUNDING
}

/// Start and end tangent of every piece; where two meet almost smoothly they share one, so
/// that rounding in a file does not read as a corner.
fn joint_tangents(pieces: &[Piece]) -> Vec<(Vec2, Vec2)> {
    let mut tangents: Vec<(Vec2, Vec2)> =
        pieces.iter().map(|p| (p.curve.tangent(0.0), p.curve.tangent(1.0))).collect();
    let bent = |i: usize| !matches!(pieces[i].curve, Curve::Line(_));
    for i in 0..pieces.len() {
        let j = (i + 1) % pieces.len();
        let (end, start) = (tangents[i].1, tangents[j].0);
        let turned = end.cross(start).atan2(end.dot(start)).abs();
        if turned > SMOOTH_TURN {
            continue;
        }
        let shared = match (bent(i), bent(j)) {
            (true, true) => unit(end + start),
            (true, false) => start,
            (false, true) => end,
            (false, false) => continue,
        };
        tangents[i].1 = shared;
        tangents[j].0 = shared;
    }
    tangents
}

/// Cuts the cubic where its curvature is extreme or zero and fits each part.
fn fit_cubic(curve: &Curve, ends: (Vec2, Vec2), piece: u32, out: &mut Vec<Bend>) {
    let cuts = curvature_cuts(curve);
    let tangent = |t: f64| {
        if t <= 0.0 {
            ends.0
        } else if t >= 1.0 {
            ends.1
        } else {
            curve.tangent(t)
        }
    };
    for pair in cuts.windows(2) {
        fit_part(curve, &tangent, (pair[0], pair[1]), piece, out);
    }
}

/// Parameters from 0 to 1 between which the curvature is monotone and of one sign (found on
/// a grid of 48 steps, then refined).
fn curvature_cuts(curve: &Curve) -> Vec<f64> {
    const STEPS: usize = 48;
    let at = |i: usize| i as f64 / STEPS as f64;
    let values: Vec<f64> = (0..=STEPS).map(|i| curve.curvature(at(i))).collect();
    let mut cuts = vec![0.0];
    for i in 1..STEPS {
        let (before, here, after) = (values[i - 1], values[i], values[i + 1]);
        if (here - before) * (after - here) < 0.0 {
            cuts.push(extreme(curve, at(i - 1), at(i + 1), here > before));
        }
        if before * here < 0.0 {
            cuts.push(zero(curve, at(i - 1), at(i)));
        }
    }
    // an extreme between an end and the grid's next place shows in the slopes alone
    for (from, to) in [(0.0, at(1)), (at(STEPS - 1), 1.0)] {
        let bit = (to - from) * 1e-3;
        let rising = curve.curvature(from + bit) - curve.curvature(from);
        let falling = curve.curvature(to - bit) - curve.curvature(to);
        if rising * falling > 0.0 {
            cuts.push(extreme(curve, from, to, rising > 0.0));
        }
    }
    if values[STEPS - 1] * values[STEPS] < 0.0 {
        cuts.push(zero(curve, at(STEPS - 1), 1.0));
    }
    cuts.push(1.0);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    if let Some(last) = cuts.last_mut() {
        *last = 1.0;
    }
    cuts
}

/// Golden-section search for the greatest (or least) curvature in lo..hi.
fn extreme(curve: &Curve, mut lo: f64, mut hi: f64, greatest: bool) -> f64 {
    let value = |t: f64| if greatest { curve.curvature(t) } else { -curve.curvature(t) };
    let share = (5.0_f64.sqrt() - 1.0) / 2.0;
    for _ in 0..40 {
        let (a, b) = (hi - share * (hi - lo), lo + share * (hi - lo));
        if value(a) >= value(b) { hi = b } else { lo = a }
    }
    f64::midpoint(lo, hi)
}

fn zero(curve: &Curve, mut lo: f64, mut hi: f64) -> f64 {
    let sign = curve.curvature(lo);
    for _ in 0..48 {
        let middle = f64::midpoint(lo, hi);
        if curve.curvature(middle) * sign > 0.0 { lo = middle } else { hi = middle }
    }
    f64::midpoint(lo, hi)
}

fn fit_part(
    curve: &Curve,
    tangent: &dyn Fn(f64) -> Vec2,
    range: (f64, f64),
    piece: u32,
    out: &mut Vec<Bend>,
) {
    // A stack of ranges still to do, the next on top.
    let mut todo = vec![(range, 0)];
    while let Some(((t0, t1), depth)) = todo.pop() {
        let (a, b) = (curve.eval(t0), curve.eval(t1));
        let (ta, tb) = (tangent(t0), tangent(t1));
        let middle = f64::midpoint(t0, t1);
        let turned = ta.cross(tb).atan2(ta.dot(tb)).abs();
        if let Some(joint) = biarc_joint(a, ta, b, tb) {
            let mut pair = Vec::with_capacity(2);
            push(&mut pair, a, joint, ta, piece);
            if let Some(&first) = pair.first() {
                push(&mut pair, joint, b, first.tb, piece);
            }
            let near = turned < 1.0 && is_near(curve, (t0, t1), &pair);
            if near || depth >= 14 {
                bound_radii(curve, (t0, t1), &mut pair);
                out.append(&mut pair);
                continue;
            }
        } else if depth >= 14 {
            push(out, a, b, unit(b - a), piece);
            continue;
        }
        todo.push(((middle, t1), depth + 1));
        todo.push(((t0, middle), depth + 1));
    }
}

/// Where the two arcs of the biarc with equal tangent lengths meet.
fn biarc_joint(a: Point, ta: Vec2, b: Point, tb: Vec2) -> Option<Point> {
    let v = b - a;
    let t = ta + tb;
    let k = 2.0 * (1.0 - ta.dot(tb));
    let vt = v.dot(t);
    // d with |v - d t|^2 = 4 d^2, in a form that stays good as k goes to zero
    let root = (vt * vt + k * v.hypot2()).sqrt();
    let below = vt + root;
    if below <= 1e-12 {
        return None;
    }
    let d = v.hypot2() / below;
    Some(a.midpoint(b) + (ta - tb) * (d / 2.0))
}

/// Sampled points of the curve lie within the tolerance of the pair.
fn is_near(curve: &Curve, (t0, t1): (f64, f64), pair: &[Bend]) -> bool {
    (1..8).all(|i| {
        let p = curve.eval(t0 + (t1 - t0) * f64::from(i) / 8.0);
        pair.iter().any(|bend| distance_to_circle(bend, p) <= Tolerance::ARC_FIT.get())
    })
}

/// Distance from p to the full circle (or line) of a bend, mm.
pub fn distance_to_circle(bend: &Bend, p: Point) -> f64 {
    let q = p - bend.a;
    let normal = left(bend.ta);
    let power = 2.0 * normal.dot(q) - bend.curvature * q.hypot2();
    let slope = (normal - q * bend.curvature).hypot();
    (power / (1.0 + slope)).abs()
}

/// Replaces the arcs' radii by the sharpest ones of the curve over the same range.
fn bound_radii(curve: &Curve, (t0, t1): (f64, f64), pair: &mut [Bend]) {
    let mut sharpest = (0.0_f64, 0.0_f64);
    for t in [t0, f64::midpoint(t0, t1), t1] {
        let k = curve.curvature(t);
        sharpest = (sharpest.0.max(k), sharpest.1.max(-k));
    }
    let radius = |k: f64| if k > FLAT { 1.0 / k } else { f64::INFINITY };
    for bend in pair {
        bend.fitted = true;
        bend.left_radius = radius(sharpest.0);
        bend.right_radius = radius(sharpest.1);
    }
}
