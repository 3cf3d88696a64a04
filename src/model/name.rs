//! Where and how a name is carved.

use super::face::WantedFace;
use super::formula::Formula;
use super::recipe::{Line, Surface};
use crate::finding::Source;

/// Where a name goes.
#[derive(Clone, Debug)]
pub struct NameArea {
    /// Floor or rim.
    pub on: Surface,
    /// The baseline, left to right.
    pub along: Line,
    /// Greatest height of a capital letter, mm.
    pub height: Formula,
    /// How it is carved.
    pub style: NameStyle,
    /// The faces asked for: the first writes, the others lend in their order.
    pub face: Vec<WantedFace>,
    /// Width of the strokes of letters drawn with a pen, mm; from the rack if absent.
    pub stroke: Option<Formula>,
    /// Depth of `sunk` letters or of the panel of `raised` ones, depth limit of `vee` letters,
    /// mm.
    pub depth: Option<Formula>,
    /// The panel of `raised` letters.
    pub panel: Panel,
    /// How narrow letters may become to fit, as a share of their width.
    pub condense: Option<Formula>,
    /// Lines the name may be split into to fit, one or two.
    pub lines: Option<Formula>,
    /// Where it is written.
    pub source: Source,
}

/// The sunk panel that raised letters stand in.
#[derive(Clone, Debug, Default)]
pub struct Panel {
    /// From the letters to its edge, mm.
    pub margin: Option<Formula>,
    /// Radius of its corners, mm.
    pub corner: Option<Formula>,
}

/// How a name is carved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NameStyle {
    /// With a V-bit, depth following the width of the stroke.
    Vee,
    /// Pocketed flat with an end mill.
    Sunk,
    /// Left standing in a panel that is pocketed flat with an end mill.
    Raised,
    /// In one pass along the letters' centre lines, with a cutter as wide as they are.
    Line,
}

impl NameStyle {
    /// Something of it is pocketed flat with an end mill: the letters or what is around them.
    pub const fn pocketed(self) -> bool {
        matches!(self, Self::Sunk | Self::Raised)
    }
}
