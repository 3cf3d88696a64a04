//! What a name may be written in: fonts, or the hand.

use super::face::{Face, invisible};
use super::font::Fonts;
use super::hand::{self, Pen};
use super::written::{Written, write_in};
use unicode_normalization::UnicodeNormalization as _;

/// Letters to write in.
#[derive(Clone, Debug, PartialEq)]
pub enum Letters {
    /// Those of a font, and of what lends to it.
    Fonts(Fonts),
    /// Our own, drawn with a round pen.
    Hand(Pen),
}

/// What a recipe wants a text written in.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// What it asks for first.
    pub letters: Letters,
    /// What writes a text that those lack letters for: the hand lends and borrows none.
    pub otherwise: Option<Letters>,
}

impl Choice {
    /// What a text is written in.
    pub fn of(&self, text: &str) -> &Letters {
        let whole = || {
            text.nfc()
                .all(|c| c.is_whitespace() || invisible(c) || self.letters.writes(c))
        };
        match &self.otherwise {
            Some(otherwise) if !whole() => otherwise,
            Some(_) | None => &self.letters,
        }
    }
}

impl Letters {
    /// The word for the hand in recipes.
    pub const HAND: &'static str = "hand";

    /// The hand with its usual pen.
    pub const USUAL_HAND: Self = Self::Hand(Pen::Share(Pen::USUAL));

    /// The letters of that name, the hand with its usual pen; `None` when there are none.
    pub fn named(name: &str) -> Option<Self> {
        if name == Self::HAND {
            return Some(Self::USUAL_HAND);
        }
        Face::named(name).map(Self::from)
    }

    /// Every name there is, in the order people see them.
    pub fn names() -> impl Iterator<Item = &'static str> {
        Face::every().map(Face::name).chain([Self::HAND])
    }

    /// Its name in recipes.
    pub fn name(&self) -> &str {
        match self {
            Self::Fonts(fonts) => fonts.first.name(),
            Self::Hand(_) => Self::HAND,
        }
    }

    /// They have this character without being lent it, whole or as a letter and its marks.
    pub fn writes(&self, letter: char) -> bool {
        match self {
            Self::Fonts(fonts) => fonts.first.writes(letter),
            Self::Hand(_) => hand::writes(letter),
        }
    }

    /// Twice as tall is twice as long.
    pub(super) fn keeps_proportions(&self) -> bool {
        !matches!(self, Self::Hand(Pen::Width(_)))
    }

    /// Writes a text, capitals `height` mm tall.
    pub fn write(&self, text: &str, height: f64) -> Written {
        self.lay(text, height).drawn()
    }

    /// The same without the bodies of letters drawn with a pen.
    pub(super) fn lay(&self, text: &str, height: f64) -> Written {
        match self {
            Self::Fonts(fonts) => write_in(text, fonts, height),
            Self::Hand(pen) => hand::write(text, *pen, height),
        }
    }
}

impl From<Face> for Letters {
    fn from(face: Face) -> Self {
        Self::Fonts(Fonts::of(face))
    }
}
