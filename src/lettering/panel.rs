//! The panel around raised letters: their line with their ink above and below it, and a
//! margin all round.

use super::baseline::Baseline;
use crate::curve::spline::{Spline, through};
use crate::curve::{
    Affine, BezPath, Contour, Curve, Origin, PathSeg, Point, Rect, Region, Vec2, left,
    primitive,
};
use crate::reach::opening;

/// Distance between places of a line that points are held against, mm.
const NEAR: f64 = 0.5;

/// Distance between the points that a bent edge of a panel goes through, mm.
const APART: f64 = 6.0;

/// Points looked at along each piece of a letter's edge.
const STEPS: u32 = 12;

/// A line with so much taken off at each end, mm; `None` where nothing would be left of it.
pub fn shortened(line: &BezPath, by: f64) -> Option<BezPath> {
    let curves: Vec<Curve> = line.segments().map(Curve::from_segment).collect();
    let lengths: Vec<f64> = curves.iter().map(Curve::length).collect();
    let whole: f64 = lengths.iter().sum();
    if whole <= 2.0 * by {
        return None;
    }
    let mut path = BezPath::new();
    let mut gone = 0.0;
    for (curve, length) in curves.iter().zip(lengths) {
        let (from, to) = ((by - gone).max(0.0), (whole - by - gone).min(length));
        gone += length;
        if to <= from {
            continue;
        }
        let part = curve.part(share(curve, from), share(curve, to));
        if path.is_empty() {
            path.move_to(part.start());
        }
        part.append_to(&mut path);
    }
    Some(path)
}

/// The share of a curve at a length along it.
fn share(curve: &Curve, length: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if curve.part(0.0, middle).length() < length {
            low = middle;
        } else {
            high = middle;
        }
    }
    if length <= 0.0 { 0.0 } else { high }
}

/// The panel of letters along a line, its corners rounded as far as it is wide enough: on a
/// straight line a rectangle, else a band that bends with it. `None` where the line bends so
/// tightly that there is none.
pub fn panel(
    letters: &Region,
    line: &BezPath,
    margin: f64,
    corner: f64,
) -> Option<Region> {
    let mut segments = line.segments();
    let first = segments.next()?;
    if let (PathSeg::Line(only), None) = (first, segments.next()) {
        return plate(letters, only.p0, only.p1 - only.p0, (margin, corner));
    }
    band(letters, &Baseline::new(line)?, margin, corner)
}

/// A rectangle along a direction.
fn plate(
    letters: &Region,
    from: Point,
    along: Vec2,
    (margin, corner): (f64, f64),
) -> Option<Region> {
    let level = Affine::rotate(-along.atan2()) * Affine::translate(-from.to_vec2());
    let ink: Rect = letters.transformed(level).bounds().inflate(margin, margin);
    let corner = corner.min(ink.width() / 2.0).min(ink.height() / 2.0);
    let path =
        primitive::rectangle(ink.center(), ink.width(), ink.height(), corner).ok()?;
    Region::filled(&(level.inverse() * path), Origin::default()).ok()
}

fn band(letters: &Region, line: &Baseline, margin: f64, corner: f64) -> Option<Region> {
    let [left_end, right_end, low, high] = ink(letters, line)?;
    let from = end(letters, line, left_end - margin, (margin, -1.0));
    let to = end(letters, line, right_end + margin, (margin, 1.0));
    let (low, high) = (low - margin, high + margin);
    let count = ((to - from) / APART).ceil().clamp(2.0, 400.0);
    let edge = |off: f64| -> Vec<Point> {
        (0..=count as u32)
            .map(|i| {
                let (at, along) = line.at(from + (to - from) * f64::from(i) / count);
                at + left(along) * off
            })
            .collect()
    };
    let (under, over) = (edge(low), edge(high));
    let corners = [0, under.len() - 1, under.len(), under.len() + over.len() - 1];
    let points: Vec<Point> = under.into_iter().chain(over.into_iter().rev()).collect();
    let spline =
        Spline { through: &points, closed: true, corners: &corners, tension: 1.0 };
    let sharp = Region::filled(&through(&spline).ok()?, Origin::default()).ok()?;
    let corner = corner.min((high - low) * 0.49).min((to - from) * 0.49);
    let rounded = opening(&sharp, corner, Origin::default())?;
    (rounded.parts() == 1).then_some(rounded)
}

/// Where along a line the straight end of a band keeps a margin from letters: the end lies
/// across the line, so on the inner side of a bend it comes nearer than along the line.
fn end(letters: &Region, line: &Baseline, first: f64, (margin, side): (f64, f64)) -> f64 {
    const ROUNDS: u32 = 12;
    let mut s = first;
    for _ in 0..ROUNDS {
        let (at, along) = line.at(s);
        let apart = points(letters).map(|p| (at - p).dot(along) * side);
        s += (margin - apart.fold(f64::INFINITY, f64::min)) * side;
    }
    s
}

/// Points along the edges of letters.
fn points(letters: &Region) -> impl Iterator<Item = Point> + '_ {
    letters.contours().iter().flat_map(Contour::pieces).flat_map(|piece| {
        (0..STEPS).map(|step| piece.curve.eval(f64::from(step) / f64::from(STEPS)))
    })
}

/// What the ink of letters takes up along a line and to its left: the least and the greatest
/// length, the least and the greatest distance, mm.
fn ink(letters: &Region, line: &Baseline) -> Option<[f64; 4]> {
    let reach = letters.bounds().width().hypot(letters.bounds().height());
    let count = ((line.length() + 2.0 * reach) / NEAR).ceil().min(20_000.0);
    let places: Vec<(f64, Point, Vec2)> = (0..=count as u32)
        .map(|i| {
            let s = -reach + (line.length() + 2.0 * reach) * f64::from(i) / count;
            let (at, along) = line.at(s);
            (s, at, along)
        })
        .collect();
    let mut all: Option<[f64; 4]> = None;
    for point in points(letters) {
        let far = |place: &&(f64, Point, Vec2)| place.1.distance_squared(point);
        let near = places.iter().min_by(|a, b| far(a).total_cmp(&far(b)))?;
        let away = point - near.1;
        let (s, off) = (near.0 + away.dot(near.2), near.2.cross(away));
        let [a, b, c, d] = all.unwrap_or([s, s, off, off]);
        all = Some([a.min(s), b.max(s), c.min(off), d.max(off)]);
    }
    all
}
