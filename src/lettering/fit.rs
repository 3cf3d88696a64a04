//! A name laid along a baseline as large as it fits.

use super::baseline::Baseline;
use super::face::Face;
use super::letters::Letters;
use super::written::Written;
use crate::curve::{Affine, BezPath, Curve, Origin, PathEl, Point, Region, RegionFault};

/// How a name may be laid out.
#[derive(Clone, Copy, Debug)]
pub struct Fit {
    /// What it is written in.
    pub letters: Letters,
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
    /// What each of these writes.
    pub texts: Vec<String>,
    /// Centre lines of each letter drawn with a pen, one point for a dot; empty for a face.
    pub centers: Vec<Vec<BezPath>>,
    /// Width of that pen, mm.
    pub pen: Option<f64>,
    /// Height of a capital letter, mm: the greatest that fits.
    pub height: f64,
    /// From the left edge of the first letter to the right edge of the last, along the
    /// baseline, mm.
    pub length: f64,
    /// Length of the baseline, mm.
    pub room: f64,
    /// Characters that no face can write; they were left out.
    pub missing: Vec<char>,
    /// What is written in another face, as the one asked for lacks it.
    pub borrowed: Vec<(Face, String)>,
    /// Where two neighbouring letters come nearest; `None` for a single letter.
    pub gap: Option<Gap>,
}

impl Fitted {
    /// Each letter with what it writes.
    pub fn by_letter(&self) -> Vec<(String, BezPath)> {
        self.texts.iter().cloned().zip(self.letters.iter().cloned()).collect()
    }
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
    let room = line.length();
    let most = how.letters.lay(text, how.most);
    if most.ink().is_none() {
        return Err(FitFault::NothingDrawn(most.missing));
    }
    let height = tallest(how.letters, text, how.most, room);
    if height < how.least {
        let need = length(&how.letters.lay(text, how.least));
        return Err(FitFault::TooLong {
            have: room,
            need,
            height,
            missing: most.missing,
        });
    }
    let written = how.letters.write(text, height);
    let length = length(&written);
    let (letters, centers) = place(&written, &line);
    let gap = match written.pen {
        None => narrowest(&letters.iter().map(chords).collect::<Vec<_>>(), 0.0),
        Some(pen) => {
            let threads: Vec<_> =
                centers.iter().map(|strokes| threads(strokes)).collect();
            narrowest(&threads, pen)
        }
    };
    let Written { texts, missing, borrowed, pen, .. } = written;
    Ok(Fitted {
        letters,
        texts,
        centers,
        pen,
        height,
        length,
        room,
        missing,
        borrowed,
        gap,
    })
}

/// From the first letter's left edge to the last one's right edge, mm.
fn length(written: &Written) -> f64 {
    written.ink().map_or(0.0, |[left, right]| right - left)
}

/// The greatest height at which a text is no longer than its room, at most `most`. A face
/// and a pen that grows with it keep their proportions; for a pen of one width the height is
/// bracketed until the line is filled within 0.001 mm.
fn tallest(letters: Letters, text: &str, most: f64, room: f64) -> f64 {
    const NEAR: f64 = 1e-3;
    let long = |height: f64| length(&letters.lay(text, height));
    let full = long(most);
    if full <= room {
        return most;
    }
    if letters.keeps_proportions() {
        return most * room / full;
    }
    let (mut low, mut high) = ((0.0, 0.0), (most, full));
    for _ in 0..60 {
        let share = (room - NEAR / 2.0 - low.1) / (high.1 - low.1);
        let height = low.0 + (high.0 - low.0) * share.clamp(0.02, 0.98);
        let got = long(height);
        if got > room {
            high = (height, got);
        } else {
            low = (height, got);
        }
        if room - low.1 < NEAR {
            break;
        }
    }
    low.0
}

/// Moves and turns every letter of a text onto the line, its ink centred there.
fn place(written: &Written, line: &Baseline) -> (Vec<BezPath>, Vec<Vec<BezPath>>) {
    let middle = written.ink().map_or(0.0, |[left, right]| f64::midpoint(left, right));
    let onto = written.spans.iter().map(|[from, advance]| {
        let own = from + advance / 2.0;
        let (at, along) = line.at(line.length() / 2.0 + own - middle);
        Affine::translate(at.to_vec2())
            * Affine::rotate(along.atan2())
            * Affine::translate((-own, 0.0))
    });
    let onto: Vec<Affine> = onto.collect();
    let letters =
        written.glyphs.iter().zip(&onto).map(|(path, onto)| *onto * path.clone());
    let centers = written.centers.iter().zip(&onto).map(|(strokes, onto)| {
        strokes.iter().map(|stroke| *onto * stroke.clone()).collect()
    });
    (letters.collect(), centers.collect())
}

/// The narrowest place between neighbours, each of whose chords is as wide as a pen.
fn narrowest(chords: &[Vec<[Point; 2]>], pen: f64) -> Option<Gap> {
    let pairs = chords.iter().zip(chords.iter().skip(1)).enumerate();
    pairs
        .filter_map(|(after, (a, b))| {
            nearest(a, b).map(|(apart, at)| Gap {
                width: (apart - pen).max(0.0),
                at,
                after,
            })
        })
        .min_by(|a, b| a.width.total_cmp(&b.width))
}

/// Chords along centre lines; a dot is a chord without length.
fn threads(strokes: &[BezPath]) -> Vec<[Point; 2]> {
    let dots = strokes.iter().filter_map(|stroke| match stroke.elements() {
        [PathEl::MoveTo(at)] => Some([*at, *at]),
        _ => None,
    });
    dots.chain(strokes.iter().flat_map(chords)).collect()
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
