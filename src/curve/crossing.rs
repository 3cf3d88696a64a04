//! Where a drawn path crosses itself.
//!
//! Chords are compared twice, the second time cut at the middles of the first: a crossing at
//! the very ends of two chords shows in the other set. Joints of curves are ends in both; there
//! the four ways that leave the point tell: two strands cross where the ways of one part those
//! of the other.

use super::boolean::chord_steps;
use super::piece::Curve;
use kurbo::{BezPath, Line, Point, Vec2};

/// A joint lies on another strand when it is no farther from it, mm.
const ON: f64 = 1e-5;

/// How far from a joint its ways are looked at, mm: far enough that curves which touch there
/// have parted by more than rounding, near enough that nothing else has happened.
const ARM: f64 = 0.01;

/// Ways nearer than this run along each other, radians: no crossing can be told.
const ALONG: f64 = 1e-7;

/// A point where the drawn path crosses itself, if it does (mm); touching is not crossing.
pub fn first_crossing(path: &BezPath) -> Option<Point> {
    let strands = strands(path);
    let chords = |steps: fn(&Curve) -> Vec<(f64, f64)>| -> Vec<Line> {
        let of = |curve: &Curve| {
            let line = |(t0, t1)| Line::new(curve.eval(t0), curve.eval(t1));
            steps(curve).into_iter().map(line).collect::<Vec<_>>()
        };
        strands.iter().flat_map(|strand| &strand.curves).flat_map(of).collect()
    };
    crossing_of(&chords(chord_steps))
        .or_else(|| crossing_of(&chords(shifted_steps)))
        .or_else(|| crossing_at_joint(&strands))
}

/// One subpath.
struct Strand {
    curves: Vec<Curve>,
    closed: bool,
}

/// A point of a strand: a curve of it and the parameter there.
#[derive(Clone, Copy)]
struct Spot {
    strand: usize,
    curve: usize,
    t: f64,
}

/// The subpaths, without curves that go nowhere.
fn strands(path: &BezPath) -> Vec<Strand> {
    let mut strands: Vec<Strand> = Vec::new();
    let mut last = None;
    for segment in path.segments() {
        let curve = Curve::from_segment(segment);
        if curve.length() <= 0.0 {
            continue;
        }
        let start = curve.start();
        if last != Some(start) {
            strands.push(Strand { curves: Vec::new(), closed: false });
        }
        last = Some(curve.end());
        if let Some(strand) = strands.last_mut() {
            strand.curves.push(curve);
            strand.closed = strand.curves[0].start() == curve.end();
        }
    }
    strands
}

impl Strand {
    /// The curve after this one, or before it; `None` at an open end.
    fn beside(&self, curve: usize, forward: bool) -> Option<usize> {
        let count = self.curves.len();
        match (curve, forward) {
            (i, true) if i + 1 < count => Some(i + 1),
            (0, false) => self.closed.then(|| count - 1),
            (_, true) => self.closed.then_some(0),
            (i, false) => Some(i - 1),
        }
    }

    /// The way from a spot, either forward or back, to where the strand is [`ARM`] off it.
    fn way(&self, spot: Spot, forward: bool) -> Option<Vec2> {
        let at = self.curves[spot.curve].eval(spot.t);
        let off = |curve: &Curve, t: f64| (curve.eval(t) - at).hypot();
        let (mut index, mut from) = (spot.curve, spot.t);
        for _ in 0..self.curves.len() {
            let curve = &self.curves[index];
            let end = if forward { 1.0 } else { 0.0 };
            if off(curve, end) < ARM {
                index = self.beside(index, forward)?;
                from = 1.0 - end;
                continue;
            }
            let (mut near, mut far) = (from, end);
            for _ in 0..60 {
                let middle = f64::midpoint(near, far);
                if off(curve, middle) < ARM { near = middle } else { far = middle }
            }
            return Some(curve.eval(far) - at);
        }
        None
    }
}

/// A joint of two curves through which another strand, or the same one elsewhere, crosses.
fn crossing_at_joint(strands: &[Strand]) -> Option<Point> {
    let mut joints: Vec<(Point, Spot)> = Vec::new();
    let mut chords: Vec<(Line, Spot, f64)> = Vec::new();
    for (strand, Strand { curves, closed }) in strands.iter().enumerate() {
        for (curve, drawn) in curves.iter().enumerate() {
            if curve > 0 || *closed {
                joints.push((drawn.start(), Spot { strand, curve, t: 0.0 }));
            }
            chords.extend(chord_steps(drawn).into_iter().map(|(t, end)| {
                (
                    Line::new(drawn.eval(t), drawn.eval(end)),
                    Spot { strand, curve, t },
                    end,
                )
            }));
        }
    }
    joints.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    for (chord, spot, end) in chords {
        let slack = 2.0 * crate::units::Tolerance::CHORD.get();
        let (low, high) = (chord.p0.x.min(chord.p1.x), chord.p0.x.max(chord.p1.x));
        let first = joints.partition_point(|joint| joint.0.x < low - slack);
        for &(at, joint) in
            joints[first..].iter().take_while(|joint| joint.0.x <= high + slack)
        {
            if away(chord, at) > slack {
                continue;
            }
            let curve = &strands[spot.strand].curves[spot.curve];
            let passing = Spot { t: nearest(curve, (spot.t, end), at), ..spot };
            let on = (curve.eval(passing.t) - at).hypot() <= ON;
            if on && cross(strands, joint, passing) {
                return Some(at);
            }
        }
    }
    None
}

/// Distance of a point from a line, mm.
fn away(line: Line, point: Point) -> f64 {
    let along = line.p1 - line.p0;
    let share =
        ((point - line.p0).dot(along) / along.hypot2().max(1e-300)).clamp(0.0, 1.0);
    (line.p0 + along * share - point).hypot()
}

/// The parameter between two at which a curve is nearest to a point close by it.
fn nearest(curve: &Curve, (from, to): (f64, f64), point: Point) -> f64 {
    let (mut from, mut to) = (from, to);
    for _ in 0..80 {
        let third = (to - from) / 3.0;
        let off = |t: f64| (curve.eval(t) - point).hypot2();
        if off(from + third) <= off(to - third) { to -= third } else { from += third }
    }
    // The search does not quite reach its ends, which are joints.
    let off = |t: f64| (curve.eval(t) - point).hypot2();
    let middle = f64::midpoint(from, to);
    [middle.round(), middle]
        .into_iter()
        .min_by(|a, b| off(*a).total_cmp(&off(*b)))
        .unwrap_or(middle)
}

/// The strands through two spots at the same place cross there.
fn cross(strands: &[Strand], first: Spot, second: Spot) -> bool {
    let ways = |spot: Spot| {
        let strand = &strands[spot.strand];
        strand.way(spot, false).zip(strand.way(spot, true))
    };
    let Some(((a, b), (c, d))) = ways(first).zip(ways(second)) else { return false };
    let angle = |way: Vec2| {
        let from_a = a.cross(way).atan2(a.dot(way));
        if from_a < 0.0 { from_a + std::f64::consts::TAU } else { from_a }
    };
    let (b, c, d) = (angle(b), angle(c), angle(d));
    let near = |x: f64, y: f64| {
        let off = (x - y).abs();
        off.min(std::f64::consts::TAU - off) < ALONG
    };
    if [c, d].iter().any(|&way| near(way, 0.0) || near(way, b)) {
        return false;
    }
    (c < b) != (d < b)
}

/// The chord steps of a curve, cut at their middles instead of their ends.
fn shifted_steps(curve: &Curve) -> Vec<(f64, f64)> {
    let steps = chord_steps(curve);
    let mut cuts = vec![0.0];
    cuts.extend(steps.iter().map(|(t0, t1)| f64::midpoint(*t0, *t1)));
    cuts.push(1.0);
    cuts.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

fn crossing_of(lines: &[Line]) -> Option<Point> {
    let mut order: Vec<usize> = (0..lines.len()).collect();
    let low = |line: &Line| line.p0.x.min(line.p1.x);
    let high = |line: &Line| line.p0.x.max(line.p1.x);
    order.sort_by(|&a, &b| low(&lines[a]).total_cmp(&low(&lines[b])));
    for (place, &i) in order.iter().enumerate() {
        for &j in &order[place + 1..] {
            if low(&lines[j]) > high(&lines[i]) {
                break;
            }
            if let Some(point) = proper_crossing(&lines[i], &lines[j]) {
                return Some(point);
            }
        }
    }
    None
}

fn proper_crossing(a: &Line, b: &Line) -> Option<Point> {
    let (da, db) = (a.p1 - a.p0, b.p1 - b.p0);
    let side = |d: Vec2, from: Point, p: Point| d.cross(p - from);
    let (b0, b1) = (side(da, a.p0, b.p0), side(da, a.p0, b.p1));
    let (a0, a1) = (side(db, b.p0, a.p0), side(db, b.p0, a.p1));
    let eps = 1e-9 * da.hypot() * db.hypot();
    let apart = |s: f64, t: f64| (s > eps && t < -eps) || (s < -eps && t > eps);
    (apart(b0, b1) && apart(a0, a1)).then(|| a.p0 + da * (a0 / (a0 - a1)))
}
