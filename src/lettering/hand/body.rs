//! The body of a letter: everything within half the pen of its centre lines.
//!
//! A centre line becomes arcs that join without turning, within 0.0005 mm
//! ([`crate::units::Tolerance::ARC_FIT`]); what is parallel to an arc is an arc.

use crate::curve::arcs::{Bend, SMOOTH_TURN, bends};
use crate::curve::{
    Arc, BezPath, Contour, Curve, Line, Origin, PathEl, Piece, Point, Region, left,
};

/// Ends nearer than this are one point, mm.
const SAME: f64 = 1e-9;

/// The body of strokes made with a round pen this wide, mm.
pub fn body(strokes: &[BezPath], pen: f64) -> Region {
    let radius = pen / 2.0;
    let mut contours = Vec::new();
    for stroke in strokes {
        if let [PathEl::MoveTo(at)] = stroke.elements() {
            contours.push(disc(*at, radius));
            continue;
        }
        let bends = along(stroke);
        let closed = bends
            .first()
            .zip(bends.last())
            .is_some_and(|(first, last)| smooth(last, first));
        let wide = bends.iter().all(|bend| bend.curvature.abs() * radius < 1.0);
        if closed && wide && bends.windows(2).all(|pair| smooth(&pair[0], &pair[1])) {
            contours.extend(ring(&bends, radius));
            continue;
        }
        for run in runs(&bends, radius) {
            match run {
                [bend] if bend.curvature.abs() * radius >= 1.0 => {
                    contours.push(disc(bend.a, radius));
                    contours.push(disc(bend.b, radius));
                    contours.push(slice(bend, radius));
                }
                _ => contours.extend(capsule(run, radius)),
            }
        }
    }
    Region::tidied(contours)
}

/// The stroke as bends. They are fitted to closed contours, so an open stroke is closed by a
/// line that is dropped again.
fn along(stroke: &BezPath) -> Vec<Bend> {
    let piece = |curve| Piece { curve, origin: Origin::default() };
    let mut pieces: Vec<Piece> =
        stroke.segments().map(|segment| piece(Curve::from_segment(segment))).collect();
    let (Some(first), Some(last)) = (pieces.first(), pieces.last()) else {
        return Vec::new();
    };
    let (from, to) = (last.curve.end(), first.curve.start());
    let count = pieces.len() as u32;
    if from.distance(to) > SAME {
        pieces.push(piece(Curve::Line(Line::new(from, to))));
    }
    let mut bends = bends(&Contour::from_pieces(pieces));
    bends.retain(|bend| bend.piece < count);
    bends
}

/// They meet, without turning.
fn smooth(before: &Bend, after: &Bend) -> bool {
    before.b.distance(after.a) <= SAME
        && before.tb.dot(after.ta) > 0.0
        && before.tb.cross(after.ta).abs() <= SMOOTH_TURN
}

/// Stretches without corners; a bend sharper than the pen stands alone.
fn runs(bends: &[Bend], radius: f64) -> impl Iterator<Item = &[Bend]> {
    let sharp = move |bend: &Bend| bend.curvature.abs() * radius >= 1.0;
    bends.chunk_by(move |before, after| {
        smooth(before, after) && !sharp(before) && !sharp(after)
    })
}

/// The parallel of a bend, to its left for a positive distance.
fn beside(bend: &Bend, by: f64) -> Curve {
    let (a, b) = (bend.a + left(bend.ta) * by, bend.b + left(bend.tb) * by);
    if bend.curvature == 0.0 {
        return Curve::Line(Line::new(a, b));
    }
    Arc::between(a, b, (1.0 / bend.curvature - by).abs(), bend.curvature > 0.0)
}

/// A chain of curves as a contour, each starting where the one before ends.
fn contour(curves: Vec<Curve>) -> Contour {
    let mut pieces: Vec<Piece> = Vec::with_capacity(curves.len());
    let first = curves.first().map(Curve::start);
    let last = curves.len().saturating_sub(1);
    for (at, curve) in curves.into_iter().enumerate() {
        let start = pieces.last().map_or(curve.start(), |before| before.curve.end());
        let end = first.filter(|_| at == last).unwrap_or(curve.end());
        if start.distance(end) > SAME {
            let curve = curve.welded(start, end);
            pieces.push(Piece { curve, origin: Origin::default() });
        }
    }
    Contour::from_pieces(pieces)
}

/// Half a circle about the end of a stroke, from one of its sides to the other.
fn cap(from: Point, to: Point, radius: f64) -> Curve {
    Arc::between(from, to, radius, true)
}

/// A stretch with round ends, counter-clockwise.
fn capsule(run: &[Bend], radius: f64) -> Option<Contour> {
    let (first, last) = (run.first()?, run.last()?);
    let mut curves: Vec<Curve> = run.iter().map(|bend| beside(bend, -radius)).collect();
    let side = left(last.tb) * radius;
    curves.extend(half_turn(
        last.b - side,
        last.b + side,
        last.b + last.tb * radius,
        radius,
    ));
    curves.extend(run.iter().rev().map(|bend| beside(bend, radius).reversed()));
    let side = left(first.ta) * radius;
    curves.extend(half_turn(
        first.a + side,
        first.a - side,
        first.a - first.ta * radius,
        radius,
    ));
    Some(contour(curves))
}

/// Two quarters, so that neither is in doubt about its side.
fn half_turn(from: Point, to: Point, over: Point, radius: f64) -> [Curve; 2] {
    [cap(from, over, radius), cap(over, to, radius)]
}

/// Both sides of a stroke that closes on itself without corners.
fn ring(bends: &[Bend], radius: f64) -> Vec<Contour> {
    let turned: f64 = bends.iter().map(|bend| bend.curvature * bend.length).sum();
    let right = contour(bends.iter().map(|bend| beside(bend, -radius)).collect());
    let left = contour(bends.iter().map(|bend| beside(bend, radius)).collect());
    if turned > 0.0 { vec![right, left.reversed()] } else { vec![left.reversed(), right] }
}

/// The pie that a bend sharper than the pen sweeps, besides the discs at its ends.
fn slice(bend: &Bend, radius: f64) -> Contour {
    let out = -radius * bend.curvature.signum();
    let outer = beside(bend, out);
    let center = bend.a + left(bend.ta) / bend.curvature;
    let (from, to) = (outer.start(), outer.end());
    let mut curves = vec![
        outer,
        Curve::Line(Line::new(to, center)),
        Curve::Line(Line::new(center, from)),
    ];
    if bend.curvature < 0.0 {
        curves.reverse();
        curves = curves.iter().map(Curve::reversed).collect();
    }
    contour(curves)
}

fn disc(center: Point, radius: f64) -> Contour {
    let at = |x: f64, y: f64| center + crate::curve::Vec2::new(x, y) * radius;
    let corners =
        [at(1.0, 0.0), at(0.0, 1.0), at(-1.0, 0.0), at(0.0, -1.0), at(1.0, 0.0)];
    contour(corners.windows(2).map(|pair| cap(pair[0], pair[1], radius)).collect())
}
