//! A name laid along a baseline as large as it fits.

use super::baseline::Baseline;
use super::face::Face;
use super::form::Form;
use super::gauge::{Gap, narrowest};
use super::letters::Letters;
use super::written::Written;
use crate::curve::{Affine, BezPath};

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
    /// Where two letters come nearest; `None` for a single letter.
    pub gap: Option<Gap>,
    /// Each letter by itself, and where it goes.
    pub(super) forms: Vec<(Form, Affine)>,
}

impl Fitted {
    /// Each letter with what it writes.
    pub fn by_letter(&self) -> Vec<(String, BezPath)> {
        self.texts.iter().cloned().zip(self.letters.iter().cloned()).collect()
    }
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
    let onto = turns(&written, &line);
    let letters: Vec<BezPath> = written
        .glyphs
        .iter()
        .zip(&onto)
        .map(|(path, onto)| *onto * path.clone())
        .collect();
    let centers: Vec<Vec<BezPath>> = written
        .centers
        .iter()
        .zip(&onto)
        .map(|(strokes, onto)| strokes.iter().map(|s| *onto * s.clone()).collect())
        .collect();
    let gap = match written.pen {
        None => narrowest(letters.iter().map(std::slice::from_ref), 0.0),
        Some(pen) => narrowest(centers.iter().map(Vec::as_slice), pen),
    };
    let Written { texts, missing, borrowed, pen, forms, .. } = written;
    let forms =
        forms.into_iter().zip(&onto).map(|((form, own), onto)| (form, *onto * own));
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
        forms: forms.collect(),
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

/// How every letter of a text is moved and turned onto the line, its ink centred there.
fn turns(written: &Written, line: &Baseline) -> Vec<Affine> {
    let middle = written.ink().map_or(0.0, |[left, right]| f64::midpoint(left, right));
    let onto = written.spans.iter().map(|[from, advance]| {
        let own = from + advance / 2.0;
        let (at, along) = line.at(line.length() / 2.0 + own - middle);
        Affine::translate(at.to_vec2())
            * Affine::rotate(along.atan2())
            * Affine::translate((-own, 0.0))
    });
    onto.collect()
}
