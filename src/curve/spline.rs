//! Smooth curves through points.
//!
//! J. D. Hobby, "Smooth, easy to compute interpolating splines", Discrete & Computational
//! Geometry 1, 1986: the direction at each point is chosen so that the mock curvature is
//! continuous there, then each span is one cubic with velocities from Hobby's formula.

use super::primitive::{DrawFault, placed};
use crate::units::brief;
use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::{PI, TAU};

/// Most points of one curve.
const MOST: usize = 2_000;
/// Points nearer to each other than this are one point, mm.
const APART: f64 = 1e-6;

/// A curve through points and how it runs.
#[derive(Clone, Debug)]
pub struct Spline<'a> {
    /// Two or more, three if closed; neighbours differ.
    pub through: &'a [Point],
    /// The last point is joined to the first.
    pub closed: bool,
    /// Points at which the curve may turn sharply; others are smooth.
    pub corners: &'a [usize],
    /// 0.75 (slack) to 10 (taut); 1 is usual.
    pub tension: f64,
}

/// The curve as one cubic per span. Passes exactly through every point.
pub fn through(spline: &Spline<'_>) -> Result<BezPath, DrawFault> {
    check(spline)?;
    let points = spline.through;
    let mut corners: Vec<usize> = spline.corners.to_vec();
    corners.sort_unstable();
    corners.dedup();
    let mut path = BezPath::new();
    if let Some(first) = corners.first().copied().filter(|_| spline.closed) {
        let turned: Vec<Point> =
            points.iter().cycle().skip(first).take(points.len() + 1).copied().collect();
        let cuts: Vec<usize> = corners.iter().map(|corner| corner - first).collect();
        strands(&mut path, &turned, &cuts, spline.tension);
    } else if spline.closed {
        let angles = ring_angles(points, spline.tension);
        let last = points.first().copied();
        let ring: Vec<Point> = points.iter().copied().chain(last).collect();
        spans(&mut path, &ring, &angles, spline.tension);
    } else {
        strands(&mut path, points, &corners, spline.tension);
    }
    if spline.closed {
        path.close_path();
    }
    Ok(path)
}

fn check(spline: &Spline<'_>) -> Result<(), DrawFault> {
    let points = spline.through;
    let least = if spline.closed { 3 } else { 2 };
    if points.len() < least || points.len() > MOST {
        return Err(DrawFault::new(
            format!("a spline through {} points", points.len()),
            format!("{least} to {MOST} points"),
        ));
    }
    points.iter().try_for_each(|point| placed(*point))?;
    if !(0.75..=10.0).contains(&spline.tension) {
        return Err(DrawFault::new(
            format!("the tension is {}", brief(spline.tension)),
            "0.75 (slack) to 10 (taut)",
        ));
    }
    if let Some(corner) = spline.corners.iter().find(|corner| **corner >= points.len()) {
        return Err(DrawFault::new(
            format!("corner {corner} of a spline through {} points", points.len()),
            format!("0 to {}, counted from 0", points.len() - 1),
        ));
    }
    let back = points.first().filter(|_| spline.closed);
    let next = points.iter().skip(1).chain(back);
    match points.iter().zip(next).position(|(p, q)| p.distance(*q) < APART) {
        None => Ok(()),
        Some(at) => Err(DrawFault::new(
            format!("points {at} and {} of a spline coincide", (at + 1) % points.len()),
            "neighbouring points that differ",
        )),
    }
}

/// Adds open curves from corner to corner.
fn strands(path: &mut BezPath, points: &[Point], corners: &[usize], tension: f64) {
    let last = points.len() - 1;
    let inner = corners.iter().copied().filter(|at| (1..last).contains(at));
    let mut from = 0;
    for to in inner.chain([last]) {
        let strand = points.get(from..=to).unwrap_or_default();
        spans(path, strand, &strand_angles(strand, tension), tension);
        from = to;
    }
}

/// Adds one cubic per span. `angles` holds, for each span, the angle from its chord to the
/// curve where it leaves (theta) and from the curve to its chord where it arrives (phi).
fn spans(path: &mut BezPath, points: &[Point], angles: &[(f64, f64)], tension: f64) {
    if let (true, Some(first)) = (path.elements().is_empty(), points.first()) {
        path.move_to(*first);
    }
    for ((p, q), (theta, phi)) in points.iter().zip(points.iter().skip(1)).zip(angles) {
        let chord = *q - *p;
        let out = turned(chord, *theta) * velocity(*theta, *phi, tension);
        let into = turned(chord, -*phi) * velocity(*phi, *theta, tension);
        path.curve_to(*p + out, *q - into, *q);
    }
}

/// The handles of one cubic between two points whose directions there (radians from the x axis)
/// are given; where one is not, the curve is as even as an arc, and straight where neither is.
pub fn between(
    from: Point,
    to: Point,
    ways: (Option<f64>, Option<f64>),
    tension: f64,
) -> (Point, Point) {
    let chord = to - from;
    let toward = chord.atan2();
    let leaving = ways.0.map(|way| within(way - toward));
    let arriving = ways.1.map(|way| within(toward - way));
    let theta = leaving.or(arriving).unwrap_or(0.0);
    let phi = arriving.unwrap_or(theta);
    let out = turned(chord, theta) * velocity(theta, phi, tension);
    let into = turned(chord, -phi) * velocity(phi, theta, tension);
    (from + out, to - into)
}

fn turned(v: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}

/// Length of a handle as a share of the chord: Hobby's rho / (3 tension), with his constants
/// and METAFONT's bound of 4 / tension.
fn velocity(theta: f64, phi: f64, tension: f64) -> f64 {
    let (st, ct) = theta.sin_cos();
    let (sf, cf) = phi.sin_cos();
    let above = 2.0 + 2.0_f64.sqrt() * (st - sf / 16.0) * (sf - st / 16.0) * (ct - cf);
    let root = 5.0_f64.sqrt();
    let below = 1.0 + (root - 1.0) / 2.0 * ct + (3.0 - root) / 2.0 * cf;
    (above / (3.0 * below * tension)).min(4.0 / tension)
}

/// Lengths of the chords, and the turns from each chord to the next.
fn chords(points: &[Point]) -> (Vec<f64>, Vec<f64>) {
    let all: Vec<Vec2> =
        points.iter().zip(points.iter().skip(1)).map(|(p, q)| *q - *p).collect();
    let turn = |(v, w): (&Vec2, &Vec2)| v.cross(*w).atan2(v.dot(*w));
    let turns = all.iter().zip(all.iter().skip(1)).map(turn).collect();
    (all.iter().map(|chord| chord.hypot()).collect(), turns)
}

/// One row of the equations for the leaving angles: `a x[i-1] + b x[i] + c x[i+1] = d`.
#[derive(Clone, Copy, Debug, Default)]
struct Row {
    a: f64,
    b: f64,
    c: f64,
    d: f64,
}

/// Continuity of the mock curvature at a point between two chords. With alpha = 1/tension
/// equal everywhere and theta + phi + turn = 0 at each point, Hobby's equation reads
/// `A θ[i-1] + (B + C) θ[i] + D θ[i+1] = -B ψ[i] - D ψ[i+1]`.
fn inner_row(before: f64, after: f64, turn: f64, next_turn: f64, tension: f64) -> Row {
    let alpha = 1.0 / tension;
    let a = alpha / before;
    let b = (3.0 - alpha) / before;
    let c = (3.0 - alpha) / after;
    let d = alpha / after;
    Row { a, b: b + c, c: d, d: -b * turn - d * next_turn }
}

/// Angles of an open curve whose ends have curl 1.
fn strand_angles(points: &[Point], tension: f64) -> Vec<(f64, f64)> {
    let (lengths, turns) = chords(points);
    if turns.is_empty() {
        return vec![(0.0, 0.0); lengths.len()];
    }
    let turn = |i: usize| turns.get(i).copied().unwrap_or(0.0);
    // Curl 1 with equal tensions says that the first span leaves its chord by the angle it
    // arrives with: theta[0] = phi[1] = -turn[1] - theta[1].
    let mut rows = vec![Row { a: 0.0, b: 1.0, c: 1.0, d: -turn(0) }];
    for (i, pair) in lengths.windows(2).enumerate() {
        if let [before, after] = *pair {
            rows.push(inner_row(before, after, turn(i), turn(i + 1), tension));
        }
    }
    // The same at the end, where the arriving angle is minus the unknown.
    rows.push(Row { a: 1.0, b: 1.0, c: 0.0, d: 0.0 });
    let thetas = tridiagonal(&rows);
    pair_up(&thetas, &turns.iter().copied().chain([0.0]).collect::<Vec<_>>())
}

/// Angles of a closed smooth curve.
fn ring_angles(points: &[Point], tension: f64) -> Vec<(f64, f64)> {
    let n = points.len();
    let around: Vec<Point> = points.iter().cycle().take(n + 2).copied().collect();
    let (lengths, turns) = chords(&around);
    // turns[i] is the turn at point i + 1; turn_at(i) that at point i.
    let turn_at = |i: usize| turns.get((i + n - 1) % n).copied().unwrap_or(0.0);
    let length = |i: usize| lengths.get(i % n).copied().unwrap_or(1.0);
    let rows: Vec<Row> = (0..n)
        .map(|i| {
            inner_row(length(i + n - 1), length(i), turn_at(i), turn_at(i + 1), tension)
        })
        .collect();
    let mut thetas = cyclic(&rows);
    thetas.extend(thetas.first().copied());
    let ends: Vec<f64> = (1..=n).map(|i| turn_at(i % n)).collect();
    pair_up(&thetas, &ends)
}

/// Leaving angles at points and turns at the spans' ends to (theta, phi) of each span.
fn pair_up(thetas: &[f64], end_turns: &[f64]) -> Vec<(f64, f64)> {
    let next = thetas.iter().skip(1);
    thetas
        .iter()
        .zip(next.zip(end_turns))
        .map(|(theta, (next, turn))| (within(*theta), within(-turn - next)))
        .collect()
}

/// The same direction as an angle in -180°..180°.
fn within(angle: f64) -> f64 {
    let angle = angle.rem_euclid(TAU);
    if angle > PI { angle - TAU } else { angle }
}

/// Solves a tridiagonal system by Thomas elimination; diagonally dominant here.
fn tridiagonal(rows: &[Row]) -> Vec<f64> {
    let mut swept: Vec<(f64, f64)> = Vec::with_capacity(rows.len());
    let (mut c, mut d) = (0.0, 0.0);
    for row in rows {
        let pivot = row.b - row.a * c;
        (c, d) = (row.c / pivot, (row.d - row.a * d) / pivot);
        swept.push((c, d));
    }
    let mut next = 0.0;
    let mut solved: Vec<f64> = swept
        .iter()
        .rev()
        .map(|(c, d)| {
            next = d - c * next;
            next
        })
        .collect();
    solved.reverse();
    solved
}

/// Solves a system whose first and last rows also reach round the end (Sherman–Morrison).
fn cyclic(rows: &[Row]) -> Vec<f64> {
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
        return Vec::new();
    };
    let (corner, shift) = (first.a, -first.b);
    let mut bent: Vec<Row> = rows.to_vec();
    if let Some(row) = bent.first_mut() {
        row.b -= shift;
    }
    if let Some(row) = bent.last_mut() {
        row.b -= last.c * corner / shift;
    }
    let mut side: Vec<Row> = bent.iter().map(|row| Row { d: 0.0, ..*row }).collect();
    if let Some(row) = side.first_mut() {
        row.d = shift;
    }
    if let Some(row) = side.last_mut() {
        row.d = last.c;
    }
    let (x, z) = (tridiagonal(&bent), tridiagonal(&side));
    let ends = |v: &[f64]| {
        let (first, last) = (v.first().copied(), v.last().copied());
        first.unwrap_or(0.0) + corner * last.unwrap_or(0.0) / shift
    };
    let factor = ends(&x) / (1.0 + ends(&z));
    x.iter().zip(&z).map(|(x, z)| x - factor * z).collect()
}
