//! How tall, how close and how narrow letters are set to fit their line.
//!
//! First they become smaller, down to a [`COMFORTABLE`] share of the greatest height. Then they
//! are set closer, by at most [`CLOSER`] of their height, then narrowed to the limit that is
//! asked for; only then do they become smaller still. Set closer or narrowed, no two letters
//! leave less between them than the stated least, or than they left as drawn if that was less.

use super::fit::Fit;
use super::form::Form;
use super::gauge::{Gap, narrowest};
use super::written::Written;
use crate::curve::{Affine, BezPath};
use std::cell::OnceCell;

/// Letters are this share of their greatest height before they are set closer.
const COMFORTABLE: f64 = 0.7;

/// Letters are set closer by at most this share of their height.
const CLOSER: f64 = 0.04;

/// From the feet of one line to those of the one above, as a share of the height, at least.
const APART: f64 = 1.5;

/// Between the lowest tail of a line and the highest mark of the one below, as a share of the
/// height, at least.
const BETWEEN: f64 = 0.15;

/// Narrowed letters are narrowed by whole steps of this share, so that few forms are measured.
const STEP: f64 = 0.01;

/// A line is filled within this, mm: letters that keep their proportions, and others.
const NEAR: [f64; 2] = [1e-7, 1e-3];

/// How letters are set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Setting {
    /// Height of a capital letter, mm.
    pub(super) height: f64,
    /// Added between two letters, mm.
    pub(super) tracking: f64,
    /// Width as a share of that drawn.
    pub(super) wide: f64,
}

/// What the lines of a name measure at any height.
pub(super) struct Lines<'a> {
    how: &'a Fit,
    texts: Vec<&'a str>,
    /// As laid at the greatest height.
    most: Vec<Line>,
    gaps: OnceCell<[f64; 2]>,
    apart: OnceCell<f64>,
}

/// A line of a name as drawn.
#[derive(Clone, Copy, Debug)]
struct Line {
    /// From the first letter's left edge to the last one's right edge, mm.
    length: f64,
    /// Places between two letters.
    joints: f64,
    /// Width of the pen, which is not narrowed, mm.
    pen: f64,
}

impl Line {
    fn of(written: &Written) -> Self {
        let joints = written.spans.len().saturating_sub(1);
        Self {
            length: written.length(),
            joints: f64::from(u32::try_from(joints).unwrap_or(u32::MAX)),
            pen: written.pen.unwrap_or(0.0),
        }
    }

    fn narrowed(self, wide: f64) -> f64 {
        (self.length - self.pen) * wide + self.pen
    }
}

impl<'a> Lines<'a> {
    pub(super) fn new(how: &'a Fit, texts: Vec<&'a str>) -> Self {
        let most =
            texts.iter().map(|text| Line::of(&how.letters.lay(text, how.most))).collect();
        Self { how, texts, most, gaps: OnceCell::new(), apart: OnceCell::new() }
    }

    /// The lines' texts.
    pub(super) fn texts(&self) -> &[&'a str] {
        &self.texts
    }

    /// Every line draws something.
    pub(super) fn all_drawn(&self) -> bool {
        self.most.iter().all(|line| line.length > 0.0)
    }

    /// From the feet of one line to those of the one above, as a share of the height: marks
    /// above and tails below stay apart.
    pub(super) fn apart(&self) -> f64 {
        *self.apart.get_or_init(|| {
            let reaches =
                |text: &&str| self.how.letters.lay(text, self.how.most).reaches();
            let reaches: Vec<[f64; 2]> = self.texts.iter().map(reaches).collect();
            let pairs = reaches.iter().zip(reaches.iter().skip(1));
            let need = pairs.map(|(upper, lower)| (lower[1] - upper[0]) / self.how.most);
            need.map(|need| need + BETWEEN).fold(APART, f64::max)
        })
    }

    /// The longest line as drawn at the greatest height, mm.
    pub(super) fn longest(&self) -> f64 {
        self.most.iter().map(|line| line.length).fold(0.0, f64::max)
    }

    /// The height below which letters are set closer, mm.
    pub(super) fn comfortable(&self) -> f64 {
        (COMFORTABLE * self.how.most).max(self.how.least)
    }

    /// Their length as tight as they may be set at a height, mm.
    pub(super) fn least_length(&self, height: f64, spread: f64) -> f64 {
        self.over(self.tight(height, self.how.condense, spread), &|_| {
            vec![0.0; self.texts.len()]
        })
    }

    /// The setting, at most `most` high, in which every line fits its room at that height;
    /// `spread` is added between letters, a share of their height. It may be lower than the
    /// least height.
    pub(super) fn fitting(
        &self,
        most: f64,
        spread: f64,
        rooms: &dyn Fn(f64) -> Vec<f64>,
    ) -> Setting {
        let plain =
            |height: f64| Setting { height, tracking: spread * height, wide: 1.0 };
        let comfortable = self.comfortable().min(most);
        if self.over(plain(most), rooms) <= 0.0 {
            return plain(most);
        }
        if self.over(plain(comfortable), rooms) <= 0.0 {
            let over = |height| self.over(plain(height), rooms);
            return plain(self.greatest(comfortable, most, over));
        }
        if self.over(self.tight(comfortable, 1.0, spread), rooms) <= 0.0 {
            return self.filled(comfortable, 1.0, spread, rooms);
        }
        let limit = self.how.condense;
        if self.over(self.tight(comfortable, limit, spread), rooms) <= 0.0 {
            let over = |wide| self.over(self.tight(comfortable, wide, spread), rooms);
            let wide = self.greatest(limit, 1.0, over);
            let wide = ((wide / STEP).floor() * STEP).max(limit);
            return self.filled(comfortable, wide, spread, rooms);
        }
        let over = |height| self.over(self.tight(height, limit, spread), rooms);
        self.tight(self.greatest(0.0, comfortable, over), limit, spread)
    }

    /// As close as letters may be at a height and a width.
    fn tight(&self, height: f64, wide: f64, spread: f64) -> Setting {
        let [drawn, beyond] = self.gaps(height);
        let least = self.how.gap.min(drawn);
        let pen = self.pen(height);
        let lacking = |gap: f64| least - ((gap + pen) * wide - pen);
        let closer = if drawn.is_finite() {
            lacking(drawn).max(lacking(beyond) / 2.0).max(-CLOSER * height)
        } else {
            0.0
        };
        Setting { height, tracking: spread * height + closer, wide }
    }

    /// No closer than the line that has least room asks for.
    fn filled(
        &self,
        height: f64,
        wide: f64,
        spread: f64,
        rooms: &dyn Fn(f64) -> Vec<f64>,
    ) -> Setting {
        let tight = self.tight(height, wide, spread);
        let lines = self.lines(height);
        let loose = lines
            .iter()
            .zip(rooms(height))
            .filter(|(line, _)| line.joints > 0.0)
            .map(|(line, room)| (room - line.narrowed(wide)) / line.joints)
            .fold(spread * height, f64::min);
        Setting { tracking: loose.max(tight.tracking), ..tight }
    }

    /// How much the longest line exceeds its room, mm.
    fn over(&self, set: Setting, rooms: &dyn Fn(f64) -> Vec<f64>) -> f64 {
        self.lines(set.height)
            .iter()
            .zip(rooms(set.height))
            .map(|(line, room)| {
                line.narrowed(set.wide) + line.joints * set.tracking - room
            })
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// The lines as drawn at a height.
    fn lines(&self, height: f64) -> Vec<Line> {
        if self.how.letters.keeps_proportions() {
            let grown = height / self.how.most;
            let scaled = |line: &Line| Line {
                length: line.length * grown,
                joints: line.joints,
                pen: line.pen * grown,
            };
            return self.most.iter().map(scaled).collect();
        }
        let laid = |text: &&str| Line::of(&self.how.letters.lay(text, height));
        self.texts.iter().map(laid).collect()
    }

    fn pen(&self, height: f64) -> f64 {
        self.lines(height).first().map_or(0.0, |line| line.pen)
    }

    /// The least between any two letters as drawn at a height, and between any that are not
    /// neighbours, mm; infinite where there are none.
    fn gaps(&self, height: f64) -> [f64; 2] {
        if self.how.letters.keeps_proportions() {
            let most = self.gaps.get_or_init(|| self.measured(self.how.most));
            return most.map(|gap| gap * height / self.how.most);
        }
        self.measured(height)
    }

    fn measured(&self, height: f64) -> [f64; 2] {
        let mut least = [f64::INFINITY; 2];
        for text in &self.texts {
            let written = self.how.letters.lay(text, height);
            let beyond = [0, 1].map(|from| every_second(&written, from));
            for (gap, kind) in [(nearest(&written), 0), (beyond[0], 1), (beyond[1], 1)] {
                let width = gap.map_or(f64::INFINITY, |gap| gap.width);
                least[kind] = width.min(least[kind]);
            }
        }
        least
    }

    /// The greatest value at which something that grows is not above zero, it being so at
    /// `low` and not at `high`.
    fn greatest(&self, low: f64, high: f64, over: impl Fn(f64) -> f64) -> f64 {
        let near = NEAR[usize::from(!self.how.letters.keeps_proportions())];
        let (mut low, mut high) = ((low, over(low)), (high, over(high)));
        for _ in 0..60 {
            if low.1 > -near {
                break;
            }
            let share = (-near / 2.0 - low.1) / (high.1 - low.1);
            let middle = low.0 + (high.0 - low.0) * share.clamp(0.02, 0.98);
            let got = over(middle);
            if got > 0.0 {
                high = (middle, got);
            } else {
                low = (middle, got);
            }
        }
        low.0
    }
}

/// Where two letters as written come nearest.
pub(super) fn nearest(written: &Written) -> Option<Gap> {
    between(&written.glyphs, &written.centers, written.pen)
}

/// Where two of every second letter come nearest.
fn every_second(written: &Written, from: usize) -> Option<Gap> {
    let glyphs: Vec<BezPath> =
        written.glyphs.iter().skip(from).step_by(2).cloned().collect();
    let centers: Vec<Vec<BezPath>> =
        written.centers.iter().skip(from).step_by(2).cloned().collect();
    between(&glyphs, &centers, written.pen)
}

/// Where two letters come nearest, by their outlines or by the centre lines of a pen.
pub(super) fn between(
    outlines: &[BezPath],
    centers: &[Vec<BezPath>],
    pen: Option<f64>,
) -> Option<Gap> {
    match pen {
        None => narrowest(outlines.iter().map(std::slice::from_ref), 0.0),
        Some(pen) => narrowest(centers.iter().map(Vec::as_slice), pen),
    }
}

impl Setting {
    /// A text as written, its letters narrowed and moved along. A pen keeps its width: only
    /// its centre lines are narrowed.
    pub(super) fn of(self, written: Written) -> Written {
        let Self { tracking, wide, .. } = self;
        let mut set = written;
        let pen = set.pen.unwrap_or(0.0);
        let mut moved = 0.0;
        for (number, span) in set.spans.iter_mut().enumerate() {
            let onto = Affine::new([wide, 0.0, 0.0, 1.0, moved, 0.0]);
            if let Some(path) = set.glyphs.get_mut(number) {
                path.apply_affine(onto);
            }
            for center in set.centers.get_mut(number).into_iter().flatten() {
                center.apply_affine(onto);
            }
            if let Some((form, own)) = set.forms.get_mut(number) {
                *own = narrowed(form, *own, wide, onto);
            }
            let [from, across] = *span;
            *span = [
                (from + pen / 2.0) * wide - pen / 2.0 + moved,
                (across - pen) * wide + pen,
            ];
            moved += tracking;
        }
        set.advance = set.advance * wide + moved;
        set
    }
}

/// Narrows a form and says where it then goes.
fn narrowed(form: &mut Form, own: Affine, wide: f64, onto: Affine) -> Affine {
    match form {
        Form::Outline(_) => onto * own,
        Form::Strokes(strokes, _) => {
            let narrow = Affine::scale_non_uniform(wide, 1.0);
            for stroke in strokes {
                stroke.apply_affine(narrow);
            }
            // It is narrow already: only its place is.
            onto * own * narrow.inverse()
        }
    }
}
