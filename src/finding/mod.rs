//! What may be said about an input or a dish: data first, writers apart.

mod build;
mod code;
mod json;
mod source;
mod text;

pub use build::{Checked, nearest, worst};
pub use code::Code;
pub use json::{from_json, rounded, to_json};
pub use source::{Source, SourceFile};
pub use text::{long, plain, report, short};

/// How grave a finding is. The order is the order of gravity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Can be made; look first.
    Warn,
    /// Cannot be made as drawn.
    Stop,
}

impl Severity {
    /// As printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warn => "warn",
            Self::Stop => "stop",
        }
    }

    /// The severity of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Note, Self::Warn, Self::Stop].into_iter().find(|it| it.word() == word)
    }
}

/// What kind of change a remedy proposes. Stable words, printed in JSON.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RemedyKind {
    /// Use another cutter of the rack; the value is its diameter in mm.
    Cutter,
    /// Make the dish larger; the value is the smallest width in mm.
    Width,
    /// Round the inside corners; the value is the fillet radius in mm.
    Fillet,
    /// Change a recipe parameter or an order's value; the value is the new number.
    Parameter,
    /// Change the text of an input; no number.
    Edit,
    /// Sand or file by hand; the value is the depth of the leftover in mm.
    Sand,
    /// Change a thickness or depth; the value in mm.
    Depth,
    /// Take the nearest outline the cutter follows; the value is its greatest departure from
    /// the drawn one in mm.
    Soften,
}

impl RemedyKind {
    /// Every kind.
    pub const ALL: [Self; 8] = [
        Self::Cutter,
        Self::Width,
        Self::Fillet,
        Self::Parameter,
        Self::Edit,
        Self::Sand,
        Self::Depth,
        Self::Soften,
    ];

    /// The kind of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// As printed in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cutter => "cutter",
            Self::Width => "width",
            Self::Fillet => "fillet",
            Self::Parameter => "parameter",
            Self::Edit => "edit",
            Self::Sand => "sand",
            Self::Depth => "depth",
            Self::Soften => "soften",
        }
    }
}

/// One computed way out of a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// What would change.
    pub kind: RemedyKind,
    /// One sentence for people.
    pub text: String,
    /// The number the remedy turns on, in the unit its kind states.
    pub value: Option<f64>,
}

/// A second place that belongs to a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Related {
    /// Where.
    pub source: Source,
    /// What is there, a few words.
    pub text: String,
}

/// One thing said about a dish or an input file.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The stable word for what was found.
    pub code: Code,
    /// How grave it is.
    pub severity: Severity,
    /// One plain sentence, lower case, no full stop.
    pub message: String,
    /// The place in dish coordinates (mm, x right, y up).
    pub at: Option<[f64; 2]>,
    /// The place in the file that causes it.
    pub source: Option<Source>,
    /// What there is, in mm unless the message says otherwise.
    pub have: Option<f64>,
    /// What would be needed, in the same unit.
    pub need: Option<f64>,
    /// What would be right here, in a few words.
    pub expected: Option<String>,
    /// Other places that belong to it.
    pub related: Vec<Related>,
    /// Ways out, best first.
    pub remedies: Vec<Remedy>,
}
