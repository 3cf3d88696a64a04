//! A name laid along a baseline as large as it fits.

use super::baseline::Baseline;
use super::face::Face;
use super::written::{Written, write_in};
use crate::curve::{Affine, BezPath, Curve, Origin, Point, Region, RegionFault};

/// How a name may be laid out.
#[derive(Clone, Copy, Debug)]
pub struct Fit {
    /// The face.
    pub face: Face,
    /// Greatest height of a capital letter, mm.
    pub most: f64,
    /// Least height of a capital letter, mm.
    pub least: f64,
}

/// A name in place.
#[derive(Clone, Debug)]
pub struct Fitted {
    /// One closed path per letter, marks with their letter, in reading order along the
    /// baseline.
    pub letters: Vec<BezPath>,
    /// Height of a capital letter, mm: the greatest that fits.
    pub height: f64,
    /// From the left edge of the first letter to the right edge of the last, along the
    /// baseline, mm.
    pub length: f64,
    /// Length of the baseline, mm.
    pub room: f64,
    /// Characters that the face cannot write; they were left out.
    pub missing: Vec<char>,
    /// Where two neighbouring letters come nearest; `None` for a single letter.
    pub gap: Option<Gap>,
}

/// The narrowest place between two neighbouring letters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Wood between them, mm; 0 where they touch or overlap. Measured on chords that lie
    /// within 0.01 mm of letters 100 mm tall.
    pub width: f64,
    /// The middle of that place.
    pub at: Point,
    /// Which letters: this one and the next.
    pub after: usize,
}

/// Why a name has no place.
#[derive(Clone, Debug, PartialEq)]
pub enum FitFault {
    /// The baseline has no length.
    NoBaseline,
    /// Nothing of it draws anything; holds what the face cannot write.
    NothingDrawn(Vec<char>),
    /// Even at the least height it is longer than its baseline.
    TooLong {
        /// Length of the baseline, mm.
        have: f64,
        /// Length of the name at the least height, mm.
        need: f64,
        /// Height of a capital letter at which it would fit, mm.
        height: f64,
        /// Characters that the face cannot write.
        missing: Vec<char>,
    },
    /// The greatest or least height is not a number above zero, or they are swapped.
    BadHeight,
}

impl Fitted {
    /// The letters' area.
    pub fn region(&self, origin: Origin) -> Result<Region, RegionFault> {
        let mut all = BezPath::new();
        for letter in &self.letters {
            all.extend(letter.iter());
        }
        Region::filled(&all, origin)
    }
}

/// Lays a text along a baseline that runs left to right, its ink centred, at the greatest
/// height that fits. Each letter is turned to the baseline's direction at its own middle.
pub fn fit(text: &str, how: Fit, baseline: &BezPath) -> Result<Fitted, FitFault> {
    if !(how.least > 0.0 && how.least <= how.most && how.most.is_finite()) {
        return Err(FitFault::BadHeight);
    }
    let line = Baseline::new(baseline).ok_or(FitFault::NoBaseline)?;
    let unit = write_in(text, how.face, 1.0);
    let Some([left, right]) = unit.ink() else {
        return Err(FitFault::NothingDrawn(unit.missing));
    };
    let room = line.length();
    let height = how.most.min(room / (right - left));
    if height < how.least {
        let need = (right - left) * how.least;
        let missing = unit.missing;
        return Err(FitFault::TooLong { have: room, need, height, missing });
    }
    let letters = place(&unit, height, [left, right], &line);
    let gap = narrowest(&letters);
    let length = (right - left) * height;
    Ok(Fitted { letters, height, length, room, missing: unit.missing, gap })
}

/// Moves and turns every letter of a text one mm tall onto the line.
fn place(unit: &Written, height: f64, ink: [f64; 2], line: &Baseline) -> Vec<BezPath> {
    let middle = f64::midpoint(ink[0], ink[1]);
    let letters = unit.glyphs.iter().zip(&unit.spans).map(|(path, [from, advance])| {
        let own = from + advance / 2.0;
        let (at, along) = line.at(line.length() / 2.0 + (own - middle) * height);
        Affine::translate(at.to_vec2())
            * Affine::rotate(along.atan2())
            * Affine::scale(height)
            * Affine::translate((-own, 0.0))
            * path.clone()
    });
    letters.collect()
}

/// The narrowest place between neighbours.
fn narrowest(letters: &[BezPath]) -> Option<Gap> {
    let chords: Vec<Vec<[Point; 2]>> = letters.iter().map(chords).collect();
    let pairs = chords.iter().zip(chords.iter().skip(1)).enumerate();
    pairs
        .filter_map(|(after, (a, b))| {
            nearest(a, b).map(|(width, at)| Gap { width, at, after })
        })
        .min_by(|a, b| a.width.total_cmp(&b.width))
}

/// Chords of every curve.
fn chords(letter: &BezPath) -> Vec<[Point; 2]> {
    const STEPS: u32 = 12;
    let mut chords = Vec::new();
    for segment in letter.segments() {
        let curve = Curve::from_segment(segment);
        let steps = if matches!(curve, Curve::Line(_)) { 1 } else { STEPS };
        let mut from = curve.start();
        for step in 1..=steps {
            let to = curve.eval(f64::from(step) / f64::from(steps));
            chords.push([from, to]);
            from = to;
        }
    }
    chords
}

/// The least distance between two sets of chords, and the middle of that place.
fn nearest(a: &[[Point; 2]], b: &[[Point; 2]]) -> Option<(f64, Point)> {
    let mut best: Option<(f64, Point)> = None;
    for p in a {
        for q in b {
            let (distance, at) = between(*p, *q);
            if best.is_none_or(|(least, _)| distance < least) {
                best = Some((distance, at));
            }
        }
    }
    best
}

/// The least distance between two chords, 0 where they cross, and the middle of that place.
fn between(p: [Point; 2], q: [Point; 2]) -> (f64, Point) {
    if let Some(at) = crossing(p, q) {
        return (0.0, at);
    }
    [foot(p[0], q), foot(p[1], q), foot(q[0], p), foot(q[1], p)]
        .into_iter()
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or((f64::INFINITY, p[0]))
}

/// Distance of a point from a chord, and the middle between them.
fn foot(point: Point, [from, to]: [Point; 2]) -> (f64, Point) {
    let along = to - from;
    let square = along.hypot2();
    let t = if square > 0.0 {
        ((point - from).dot(along) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let near = from.lerp(to, t);
    (point.distance(near), point.midpoint(near))
}

/// Where two chords cross.
fn crossing(p: [Point; 2], q: [Point; 2]) -> Option<Point> {
    let (r, s) = (p[1] - p[0], q[1] - q[0]);
    let turn = r.cross(s);
    if turn == 0.0 {
        return None;
    }
    let t = (q[0] - p[0]).cross(s) / turn;
    let u = (q[0] - p[0]).cross(r) / turn;
    let inside = (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u);
    inside.then(|| p[0].lerp(p[1], t))
}
