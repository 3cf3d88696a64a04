//! The cutters chosen for one dish, and how deep each works.

mod choose;
mod groove;

pub use crate::model::Work;
pub use choose::choose;
pub use groove::groove_depth;

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

/// The cutters for one dish in working order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// First to last.
    pub operations: Vec<Operation>,
}
