//! How the proof speaks to the customer.

use crate::finding::Source;
use crate::units::DisplayUnit;

/// A language of the proof.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Locale {
    /// English.
    #[default]
    English,
    /// German.
    German,
    /// Spanish.
    Spanish,
}

impl Locale {
    /// All there are, by the words people write.
    pub const ALL: [(&str, Self); 3] =
        [("en", Self::English), ("de", Self::German), ("es", Self::Spanish)];

    /// Its code (BCP 47).
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
            Self::Spanish => "es",
        }
    }
}

/// What a customer measures in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizeUnit {
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Inches.
    Inch,
}

impl SizeUnit {
    /// All there are, by the words people write.
    pub const ALL: [(&str, Self); 4] =
        [("mm", Self::Mm), ("cm", Self::Cm), ("inch", Self::Inch), ("in", Self::Inch)];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::Inch => "inch",
        }
    }
}

impl From<DisplayUnit> for SizeUnit {
    fn from(unit: DisplayUnit) -> Self {
        match unit {
            DisplayUnit::Mm => Self::Mm,
            DisplayUnit::Inch => Self::Inch,
        }
    }
}

/// What a shop, or an order that differs, says of its proofs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Manner {
    /// The language.
    pub locale: Option<Locale>,
    /// What sizes are told in.
    pub unit: Option<SizeUnit>,
}

impl Manner {
    /// This one, and another's where this one says nothing.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self { locale: self.locale.or(other.locale), unit: self.unit.or(other.unit) }
    }
}

/// Who makes the dishes, as proofs say it: each in the maker's own words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Workshop {
    /// What it is called.
    pub name: Option<String>,
    /// Where it is.
    pub address: Option<String>,
    /// How it is answered.
    pub reply: Option<String>,
    /// Until when customers are asked to answer.
    pub answer_by: Option<String>,
}

/// A maker's own mark, printed on proofs in the ink of the page.
#[derive(Clone, Debug)]
pub struct ShopMark {
    /// The SVG file, beside the shop's or below.
    pub file: String,
    /// Where it is named.
    pub source: Source,
    /// What it fills, as SVG path data with y up; `None` until it is read.
    pub drawn: Option<String>,
}
