//! Letters side by side with equal white between them.
//!
//! The white between two letters is averaged over the height they share; what is deeper than a
//! stated depth counts no further, so that the open side of an L or T does not pull the next letter in.

use super::CAPITAL;
use super::compose::{Glyph, compose, is_mark};
use super::profile::{Profile, points};
use crate::curve::BezPath;
use unicode_normalization::UnicodeNormalization as _;

/// Mean white between neighbours, letter units.
const WHITE: f64 = 25.0;
/// White deeper than this counts no further.
const DEEPEST: f64 = 44.0;
/// Share that what lies above the lower of two letters counts.
const UPPER: f64 = 0.3;
/// Height of a letter without ascender.
const X_HEIGHT: f64 = 62.0;
/// Least white anywhere between two letters, and the share of the pen added to it.
const LEAST: f64 = 11.0;
/// See [`LEAST`].
const LEAST_PEN: f64 = 0.25;
/// Letters may reach over each other by this much.
const OVERLAP: f64 = 24.0;
/// White of the first space between two letters, and of each further one.
const SPACE: f64 = 46.0;

/// A text as strokes.
#[derive(Debug, Default)]
pub(super) struct Line {
    /// In reading order.
    pub(super) letters: Vec<Placed>,
    /// Right end of the last one.
    pub(super) advance: f64,
    /// Characters the hand cannot write.
    pub(super) missing: Vec<char>,
}

/// A letter and where it stands.
#[derive(Debug)]
pub(super) struct Placed {
    /// What it writes.
    pub(super) text: String,
    /// Centre lines about its own origin.
    pub(super) strokes: Vec<BezPath>,
    /// Its origin.
    pub(super) x: f64,
    /// From its leftmost to its rightmost place, about its own origin.
    pub(super) span: [f64; 2],
}

/// Lays a text out for a pen of some width in letter units.
pub(super) fn lay(text: &str, pen: f64) -> Line {
    let mut line = Line::default();
    let mut before: Option<(Sides, f64)> = None;
    let mut spaces = 0.0;
    for cluster in clusters(text, &mut line.missing) {
        let Some((letter, marks)) = cluster.split_first() else { continue };
        if letter.is_whitespace() {
            spaces += SPACE;
            continue;
        }
        let Some(Glyph { strokes, .. }) = compose(*letter, marks, pen) else { continue };
        let own = Sides::new(&strokes, pen);
        let [left, right] = own.body.ends();
        let x = match &before {
            Some((sides, x)) if spaces > 0.0 => x + sides.body.ends()[1] - left + spaces,
            Some((sides, x)) => x + sides.apart(&own),
            None => -left,
        };
        line.advance = x + right;
        let text = cluster.iter().collect();
        line.letters.push(Placed { text, strokes, x, span: [left, right] });
        before = Some((own, x));
        spaces = 0.0;
    }
    line
}

/// Letters with their marks, composed; what cannot be written goes to `missing`.
fn clusters(text: &str, missing: &mut Vec<char>) -> Vec<Vec<char>> {
    let mut clusters: Vec<Vec<char>> = Vec::new();
    let mut open = false;
    for letter in text.nfc() {
        if crate::lettering::face::invisible(letter) {
            continue;
        }
        if is_mark(letter) {
            match clusters.last_mut().filter(|_| open) {
                Some(cluster) => cluster.push(letter),
                None => missing.push(letter),
            }
        } else if letter == ' ' || letter == '\u{A0}' {
            clusters.push(vec![letter]);
            open = false;
        } else if super::writes(letter) {
            clusters.push(vec![letter]);
            open = true;
        } else {
            missing.push(letter);
            open = false;
        }
    }
    clusters
}

/// What spacing looks at.
struct Sides {
    /// The letter as cut.
    body: Profile,
    /// The letter grown by half the least white.
    grown: Profile,
}

impl Sides {
    fn new(strokes: &[BezPath], pen: f64) -> Self {
        let points = points(strokes);
        let spare = 0.5 * (LEAST + LEAST_PEN * pen);
        Self {
            body: Profile::new(&points, pen / 2.0),
            grown: Profile::new(&points, pen / 2.0 + spare),
        }
    }

    /// From this letter's origin to the next one's.
    fn apart(&self, next: &Self) -> f64 {
        let clear = self.grown.whites(&next.grown).filter_map(|(_, white)| white);
        let least = clear.fold(f64::NEG_INFINITY, |most, white| most.max(-white));
        let overlap = self.body.ends()[1] - next.body.ends()[0] - OVERLAP;
        self.even(next).max(least).max(overlap)
    }

    /// The distance at which the mean white is what it should be, by bisection: the mean
    /// grows with the distance.
    fn even(&self, next: &Self) -> f64 {
        let shared = self.body.top().min(next.body.top()).clamp(X_HEIGHT, CAPITAL);
        let band: Vec<(f64, Option<f64>)> = self
            .body
            .whites(&next.body)
            .filter(|(y, _)| (0.0..=CAPITAL).contains(y))
            .map(|(y, white)| (if y <= shared { 1.0 } else { UPPER }, white))
            .collect();
        let weight: f64 = band.iter().map(|(share, _)| share).sum();
        let mean = |apart: f64| {
            let white = |white: &Option<f64>| {
                white.map_or(DEEPEST, |white| (white + apart).clamp(-DEEPEST, DEEPEST))
            };
            band.iter().map(|(share, own)| share * white(own)).sum::<f64>() / weight
        };
        let reach = self.body.ends()[1] - next.body.ends()[0];
        let (mut near, mut far) = (reach - 2.0 * DEEPEST, reach + 2.0 * DEEPEST);
        for _ in 0..24 {
            let middle = f64::midpoint(near, far);
            if mean(middle) < WHITE { near = middle } else { far = middle }
        }
        far
    }
}
