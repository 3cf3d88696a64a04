//! What may be said about an input or a dish: data first, writers apart.

mod code;
mod json;
mod source;
mod text;

pub use code::Code;
pub use source::{Source, SourceFile};

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
    /// Ways out, best first.
    pub remedies: Vec<Remedy>,
}
