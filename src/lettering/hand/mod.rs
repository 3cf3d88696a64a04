//! The hand: an alphabet of our own, each letter the path of a round pen.
//!
//! A letter's body is the union of discs as wide as the pen along its centre lines, so a cutter
//! of that diameter makes it in one pass along them.

mod alphabet;
mod body;
mod compose;
mod knots;
mod profile;
mod spacing;

pub use body::body;
pub(super) use compose::writes;

use super::form::Form;
use super::written::Written;
use crate::curve::{Affine, BezPath};
use spacing::{Line, lay};

/// Lines of the alphabet's drawings that could not be read: none, or the build is faulty.
pub fn unread() -> Vec<String> {
    alphabet::alphabet().unread.clone()
}

/// Height of a capital's centre line, in the units letters are drawn in.
pub(super) const CAPITAL: f64 = 100.0;

/// How wide the pen is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pen {
    /// A share of a capital's height, from its foot to its head as cut.
    Share(f64),
    /// The same width at every height, mm.
    Width(f64),
}

impl Pen {
    /// The pen that suits the letters best, as a share of a capital's height.
    pub const USUAL: f64 = 0.12;
    /// Finer pens look weak.
    pub const FINEST: f64 = 0.06;
    /// Broader ones close the mouth of the e.
    pub const BROADEST: f64 = 0.16;

    /// Its width for capitals of some height, mm; at most a third of it.
    pub fn width(self, height: f64) -> f64 {
        self.share(height) * height
    }

    /// Its width as a share of a height.
    fn share(self, height: f64) -> f64 {
        let share = match self {
            Self::Share(share) => share,
            Self::Width(width) => width / height,
        };
        share.clamp(1e-3, 1.0 / 3.0)
    }
}

/// Writes a text, capitals `height` mm tall as cut; its bodies are not drawn yet.
pub(super) fn write(text: &str, pen: Pen, height: f64) -> Written {
    // In the units letters are drawn in a share is the same pen at every height, bit by bit.
    let share = pen.share(height);
    let own = share / (1.0 - share) * CAPITAL;
    let (width, scale) = (share * height, (1.0 - share) * height / CAPITAL);
    let line: Line = lay(text, own);
    let place = Affine::translate((0.0, width / 2.0)) * Affine::scale(scale);
    let mut written = Written {
        missing: line.missing,
        advance: line.advance * scale,
        ..Written::default()
    };
    for letter in line.letters {
        let onto = place * Affine::translate((letter.x, 0.0));
        written.forms.push((Form::Strokes(letter.strokes.clone(), own), onto));
        let strokes: Vec<BezPath> =
            letter.strokes.into_iter().map(|stroke| onto * stroke).collect();
        let [left, right] = letter.span.map(|x| (x + letter.x) * scale);
        written.spans.push([left, right - left]);
        written.centers.push(strokes);
        written.texts.push(letter.text);
    }
    written.pen = Some(width);
    written
}
