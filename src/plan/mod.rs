//! The cutters chosen for one dish, and how deep each works.

mod choose;

pub use choose::choose;

/// One cut in working order.
#[derive(Clone, Debug, PartialEq)]
pub struct Operation {
    /// What is done.
    pub work: Work,
    /// The cutter's id.
    pub cutter: String,
    /// The cutter's kind and size in words.
    pub cutter_text: String,
    /// DC, mm.
    pub diameter: f64,
    /// Length out of the collet, mm, where the shop knows it.
    pub stick_out: Option<f64>,
    /// Depth below the top of the board, mm.
    pub depth: f64,
    /// Number of depth passes.
    pub passes: u32,
    /// Spindle speed, 1/min, a starting point.
    pub speed: Option<f64>,
    /// Feed, mm/min, a starting point; unknown without flutes' chip load.
    pub feed: Option<f64>,
}

/// The kinds of work on a dish, in working order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Work {
    /// Carving the recess with the largest cutter.
    Recess,
    /// Following where it could not reach.
    RecessCorners,
    /// Carved details.
    Details,
    /// The name.
    Name,
    /// Rounding the recess's edge.
    RecessEdge,
    /// Rounding the outer edge.
    OuterEdge,
    /// Cutting the dish out of the board.
    CutOut,
}

impl Work {
    /// In words for the bench.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Recess => "recess",
            Self::RecessCorners => "recess corners",
            Self::Details => "details",
            Self::Name => "name",
            Self::RecessEdge => "recess edge",
            Self::OuterEdge => "outer edge",
            Self::CutOut => "cut-out",
        }
    }
}

/// The cutters for one dish in working order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// First to last.
    pub operations: Vec<Operation>,
}
