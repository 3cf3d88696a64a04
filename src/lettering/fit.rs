//! A name laid along a baseline as large as it fits.

use super::baseline::Baseline;
use super::font::Font;
use super::form::Form;
use super::gauge::{Gap, TOUCHING};
use super::letters::Letters;
use super::setting::{Lines, Setting, between, nearest};
use super::written::Written;
use crate::curve::{Affine, BezPath};
use std::cell::OnceCell;

/// How a name may be laid out.
#[derive(Clone, Debug)]
pub struct Fit {
    /// What it is written in.
    pub letters: Letters,
    /// Greatest height of a capital letter, mm.
    pub most: f64,
    /// Least height of a capital letter, mm.
    pub least: f64,
    /// Letters may be narrowed to this share of their width; 1 keeps them as drawn.
    pub condense: f64,
    /// Letters set closer or narrowed leave this much between any two, mm, or what they left as
    /// drawn if that was less.
    pub gap: f64,
    /// Letters that leave less than this between any two are spread until they leave it, mm,
    /// where there is room; 0 leaves them as drawn.
    pub apart: f64,
    /// The name may be split into so many lines: one or two.
    pub lines: u32,
}

/// A name in place.
#[derive(Clone, Debug)]
pub struct Fitted {
    /// One closed path per letter, marks with their letter, in reading order along the
    /// baseline, the upper line first.
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
    /// baseline, mm; of two lines the longer one.
    pub length: f64,
    /// Length of the baseline, mm.
    pub room: f64,
    /// Added between two letters, mm; below zero they were set closer.
    pub tracking: f64,
    /// Width of the letters as a share of that drawn.
    pub condensed: f64,
    /// Lines the name is written in.
    pub lines: usize,
    /// Characters that no face can write; they were left out.
    pub missing: Vec<char>,
    /// What is written in another font, as the one asked for lacks it.
    pub borrowed: Vec<(Font, String)>,
    /// Where two letters come nearest; `None` for a single letter.
    pub gap: Option<Gap>,
    /// What two letters leave between them at the nearest on a straight line, mm; only for a
    /// baseline that bends.
    flat: Option<f64>,
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

/// Lays a text along a baseline that runs left to right, each letter turned to the
/// baseline's direction at its own middle.
///
/// The name is as tall as fits, down to a comfortable share of `most`; then its letters are
/// set closer, then narrowed down to `condense`; then, where `lines` allows, it is split at a
/// space or after a hyphen if that makes it taller; then it shrinks on to `least`. Letters in
/// a hollow are spread until they are as far apart as on a straight line, all letters until
/// they are as far apart as `apart` says.
pub fn fit(text: &str, how: &Fit, baseline: &BezPath) -> Result<Fitted, FitFault> {
    if !(how.least > 0.0 && how.least <= how.most && how.most.is_finite()) {
        return Err(FitFault::BadHeight);
    }
    let line = Baseline::new(baseline).ok_or(FitFault::NoBaseline)?;
    let one = Lines::new(how, vec![text]);
    if one.longest() <= 0.0 {
        return Err(FitFault::NothingDrawn(how.letters.lay(text, how.most).missing));
    }
    let place = Place { how, line: &line, one: &one, two: OnceCell::new() };
    Ok(place.spread(place.fitted(0.0)?))
}

/// A name and where it is to go.
struct Place<'a> {
    how: &'a Fit,
    line: &'a Baseline,
    one: &'a Lines<'a>,
    two: OnceCell<Option<Lines<'a>>>,
}

impl Place<'_> {
    /// The name in place, so much added between its letters, a share of their height.
    fn fitted(&self, spread: f64) -> Result<Fitted, FitFault> {
        let (lines, set) = self.setting(spread);
        if set.height >= self.how.least {
            return Ok(self.laid(lines, set, spread));
        }
        Err(FitFault::TooLong {
            have: self.line.length(),
            need: lines.least_length(self.how.least, spread),
            height: set.height,
            missing: missing(lines, self.how),
        })
    }

    /// The name spread as far as it takes and no farther, where there is room.
    fn spread(&self, drawn: Fitted) -> Fitted {
        const STILL: f64 = 0.005; // mm
        const SLACK: f64 = 0.02; // mm
        const TRIES: u32 = 24;
        const LEAST_GAIN: f64 = 0.25;
        let apart = if joined(&drawn, &self.how.letters) { 0.0 } else { self.how.apart };
        let lacking = |one: &Fitted| {
            let gap = one.gap.map_or(f64::INFINITY, |gap| gap.width);
            one.flat.map_or(apart, |flat| apart.max(flat - STILL)) - gap
        };
        let (mut near, mut lack, mut gain) = (0.0, lacking(&drawn), 1.0);
        if lack <= 0.0 {
            return drawn;
        }
        let (mut fitted, mut far) = (drawn, None);
        for _ in 0..TRIES {
            let added = (lack + STILL) / gain;
            let next = match &far {
                None => near + added / fitted.height,
                Some((far, _)) => f64::midpoint(near, *far),
            };
            // Where there is no room to spread them, they stand as close as they do.
            let Ok(one) = self.fitted(next) else { break };
            let left = lacking(&one);
            if left <= 0.0 {
                far = Some((next, one));
                if left > -SLACK {
                    break;
                }
            } else {
                // Heads in a hollow part by less than feet do, letters that overlap not at all.
                gain = ((lack - left) / added).clamp(LEAST_GAIN, 1.0);
                (near, lack, fitted) = (next, left, one);
            }
        }
        far.map_or(fitted, |(_, one)| one)
    }

    /// In how many lines and how the name is set.
    fn setting(&self, spread: f64) -> (&Lines<'_>, Setting) {
        let room = |_| vec![self.line.length()];
        let one = self.one.fitting(self.how.most, spread, &room);
        let comfortable = self.one.comfortable();
        if one.height >= comfortable || self.how.lines < 2 {
            return (self.one, one);
        }
        let Some(two) = self.two() else { return (self.one, one) };
        let rooms = |height: f64| {
            let feet = self.feet(two, height).into_iter();
            feet.map(|foot| self.line.beside(foot).length()).collect()
        };
        let set = two.fitting(comfortable, spread, &rooms);
        if set.height > one.height { (two, set) } else { (self.one, one) }
    }

    /// The name in two lines, split where the longer one is shortest.
    fn two(&self) -> Option<&Lines<'_>> {
        let split = || {
            let text = self.one.texts().first()?;
            let at = text.char_indices().filter_map(|(at, letter)| {
                let after = at + letter.len_utf8();
                match letter {
                    ' ' => Some(at),
                    '-' | '\u{2010}' => Some(after),
                    _ => None,
                }
            });
            let halves = at.filter_map(|at| {
                let (upper, lower) = text.split_at_checked(at)?;
                let lines = Lines::new(self.how, vec![upper.trim(), lower.trim()]);
                lines.all_drawn().then_some(lines)
            });
            halves.min_by(|a, b| a.longest().total_cmp(&b.longest()))
        };
        self.two.get_or_init(split).as_ref()
    }

    /// How far the feet of each line are above the baseline, mm: two lines stand around the
    /// middle of the height that one might have.
    fn feet(&self, lines: &Lines<'_>, height: f64) -> Vec<f64> {
        if lines.texts().len() < 2 {
            return vec![0.0];
        }
        let apart = lines.apart() * height;
        let lower = (self.how.most - height - apart) / 2.0;
        vec![lower + apart, lower]
    }

    /// The lines as set, each centred on its own.
    fn laid(&self, lines: &Lines<'_>, set: Setting, spread: f64) -> Fitted {
        let straight = self.line.straight();
        let mut fitted = Fitted {
            letters: Vec::new(),
            texts: Vec::new(),
            centers: Vec::new(),
            pen: None,
            height: set.height,
            length: 0.0,
            room: self.line.length(),
            tracking: set.tracking,
            condensed: set.wide,
            lines: lines.texts().len(),
            missing: Vec::new(),
            borrowed: Vec::new(),
            gap: None,
            flat: None,
            forms: Vec::new(),
        };
        let less = Setting { tracking: set.tracking - spread * set.height, ..set };
        for (text, foot) in lines.texts().iter().zip(self.feet(lines, set.height)) {
            let laid = self.how.letters.lay(text, set.height);
            if !straight {
                let flat = nearest(&less.of(laid.clone())).map(|gap| gap.width);
                fitted.flat = fitted.flat.into_iter().chain(flat).reduce(f64::min);
            }
            fitted.add(set.of(laid).drawn(), &self.line.beside(foot));
        }
        fitted.gap = between(&fitted.letters, &fitted.centers, fitted.pen);
        fitted
    }
}

/// Letters of a font of the maker's own that mostly touch: they are joined by design.
fn joined(fitted: &Fitted, letters: &Letters) -> bool {
    let Letters::Fonts(fonts) = letters else { return false };
    if matches!(fonts.first, Font::Built(_)) || !fitted.touch() {
        return false;
    }
    let pairs = fitted.letters.windows(2);
    let touch = |pair: &&[BezPath]| {
        between(pair, &[], None).is_some_and(|gap| gap.width < TOUCHING)
    };
    pairs.clone().filter(touch).count() * 2 > pairs.len()
}

/// What cannot be written.
fn missing(lines: &Lines<'_>, how: &Fit) -> Vec<char> {
    lines
        .texts()
        .iter()
        .flat_map(|text| how.letters.lay(text, how.most).missing)
        .collect()
}

impl Fitted {
    /// Puts a line of letters in its place.
    fn add(&mut self, written: Written, line: &Baseline) {
        self.length = self.length.max(written.length());
        let onto = turns(&written, self.height, line);
        let Written { glyphs, centers, forms, .. } = written;
        self.letters
            .extend(glyphs.into_iter().zip(&onto).map(|(path, onto)| *onto * path));
        self.centers.extend(centers.into_iter().zip(&onto).map(|(strokes, onto)| {
            strokes.into_iter().map(|stroke| *onto * stroke).collect::<Vec<_>>()
        }));
        let placed = forms.into_iter().zip(&onto);
        self.forms.extend(placed.map(|((form, own), onto)| (form, *onto * own)));
        self.texts.extend(written.texts);
        self.missing.extend(written.missing);
        self.borrowed.extend(written.borrowed);
        self.pen = written.pen;
    }
}

/// How every letter of a text is moved and turned onto the line, centred there to the eye as
/// far as the line has room for it.
fn turns(written: &Written, height: f64, line: &Baseline) -> Vec<Affine> {
    let spare = ((line.length() - written.length()) / 2.0).max(0.0);
    let middle = written.optical_middle(height, spare);
    let onto = written.spans.iter().map(|[from, advance]| {
        let own = from + advance / 2.0;
        let (at, along) = line.at(line.length() / 2.0 + own - middle);
        Affine::translate(at.to_vec2())
            * Affine::rotate(along.atan2())
            * Affine::translate((-own, 0.0))
    });
    onto.collect()
}
