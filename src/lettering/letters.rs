//! What a name may be written in: a face, or the hand.

use super::face::Face;
use super::hand::{self, Pen};
use super::written::{Written, write_in};

/// Letters to write in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Letters {
    /// Those of a built-in face.
    Face(Face),
    /// Our own, drawn with a round pen.
    Hand(Pen),
}

impl Letters {
    /// The word for the hand in recipes.
    pub const HAND: &'static str = "hand";

    /// The letters of that name, the hand with its usual pen; `None` when there are none.
    pub fn named(name: &str) -> Option<Self> {
        if name == Self::HAND {
            return Some(Self::Hand(Pen::Share(Pen::USUAL)));
        }
        Face::named(name).map(Self::Face)
    }

    /// Every name there is, in the order people see them.
    pub fn names() -> impl Iterator<Item = &'static str> {
        Face::ALL.iter().map(|face| face.name()).chain([Self::HAND])
    }

    /// Its name in recipes.
    pub fn name(self) -> &'static str {
        match self {
            Self::Face(face) => face.name(),
            Self::Hand(_) => Self::HAND,
        }
    }

    /// They have this character, whole or as a letter and its marks.
    pub fn writes(self, letter: char) -> bool {
        match self {
            Self::Face(face) => face.writes(letter),
            Self::Hand(_) => hand::writes(letter),
        }
    }

    /// Twice as tall is twice as long.
    pub(super) fn keeps_proportions(self) -> bool {
        !matches!(self, Self::Hand(Pen::Width(_)))
    }

    /// Writes a text, capitals `height` mm tall.
    pub fn write(self, text: &str, height: f64) -> Written {
        self.lay(text, height).drawn()
    }

    /// The same without the bodies of letters drawn with a pen.
    pub(super) fn lay(self, text: &str, height: f64) -> Written {
        match self {
            Self::Face(face) => write_in(text, face, height),
            Self::Hand(pen) => hand::write(text, pen, height),
        }
    }
}

impl From<Face> for Letters {
    fn from(face: Face) -> Self {
        Self::Face(face)
    }
}
