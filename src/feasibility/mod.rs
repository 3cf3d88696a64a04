//! A dish against the rack: findings, the swap table, remedies, which cutters can do what.

use crate::finding::Finding;
use crate::model::CutterKind;
use crate::reach::Leftover;

/// The boundary a row of the swap table is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Job {
    /// Cutting the dish out along its outline.
    Outline,
    /// Carving the recess.
    Recess,
}

/// The same dish against every cutter of the rack.
#[derive(Clone, Debug)]
pub struct Swap {
    /// The recipe's key.
    pub recipe: String,
    /// Width of the dish, mm.
    pub width: f64,
    /// Reach of the outline from outside, mm; `None` when nothing limits it.
    pub outside_reach: Option<f64>,
    /// Reach of the narrowest recess from inside, mm.
    pub inside_reach: Option<f64>,
    /// Outline cutters, then recess cutters, each from large to small.
    pub rows: Vec<SwapRow>,
}

/// One cutter against one boundary.
#[derive(Clone, Debug)]
pub struct SwapRow {
    /// The cutter's id.
    pub id: String,
    /// Its kind.
    pub kind: CutterKind,
    /// DC, mm.
    pub diameter: f64,
    /// What it would do.
    pub job: Job,
    /// It follows everything.
    pub follows: bool,
    /// It follows, but by less than the tolerance.
    pub tie: bool,
    /// What it leaves.
    pub leftovers: Vec<Leftover>,
    /// The width of the dish at which it would follow everything, mm; `None` where no size
    /// helps (a sharp corner).
    pub smallest_width: Option<f64>,
    /// The deepest leftover is within the sanding allowance (also true when it follows).
    pub sandable: bool,
}

/// Everything said about one dish.
#[derive(Clone, Debug)]
pub struct Report {
    /// Gravest first, then in the order of the checks.
    pub findings: Vec<Finding>,
    /// The rack against the dish.
    pub swap: Swap,
}
