//! What is made of a board: an outline, edges and cuts.

use crate::curve::{BezPath, Region};
use crate::model::Cutter;

/// A finished dish as its cutters leave it.
#[derive(Clone, Debug)]
pub struct Solid {
    /// The outside of the dish.
    pub outline: Region,
    /// Thickness of the board, mm.
    pub thickness: f64,
    /// Radius of the round along the outline, mm.
    pub outer_round: Option<f64>,
    /// Rounded edges of hollows.
    pub edges: Vec<Edge>,
    /// All that is cut in, in any order.
    pub cuts: Vec<Cut>,
}

/// The rounded edge of a hollow.
#[derive(Clone, Debug)]
pub struct Edge {
    /// The hollow at the top of the board.
    pub hollow: Region,
    /// Radius of the round, mm.
    pub radius: f64,
}

/// One cut. Depths are below the top of the board, mm.
#[derive(Clone, Debug)]
pub enum Cut {
    /// An area that a cutter clears wholly; it is wide enough for it everywhere.
    Cleared {
        /// What it shows at the surface.
        area: Region,
        /// The cutter's end.
        by: Tip,
        /// Of its tip.
        depth: f64,
    },
    /// The middle of a cutter is led over an area.
    Led {
        /// Where the middle comes.
        middle: Region,
        /// The cutter's end.
        by: Tip,
        /// Of its tip.
        depth: f64,
    },
    /// The middle of a cutter is led along lines, and put down at points alone.
    Along {
        /// The lines.
        lines: BezPath,
        /// The cutter's end.
        by: Tip,
        /// Of its tip.
        depth: f64,
    },
    /// A pointed cutter goes as deep everywhere as it is that wide.
    Pointed {
        /// What it may show at the surface it starts from.
        area: Region,
        /// The cutter, its sides straight.
        by: Box<Cutter>,
        /// Of the surface.
        surface: f64,
        /// No deeper below that surface, mm.
        limit: f64,
    },
}

/// The end that shapes a cut.
#[derive(Clone, Debug)]
pub enum Tip {
    /// Of a cutter.
    Of(Box<Cutter>),
    /// Flat and as wide as this radius, mm, whatever the depth: as drawn, where no cutter is
    /// chosen.
    Square(f64),
}

impl Tip {
    /// Of a cutter.
    pub fn of(cutter: &Cutter) -> Self {
        Self::Of(Box::new(cutter.clone()))
    }

    /// Half the width at the surface of a cut so deep.
    pub fn shown(&self, depth: f64) -> f64 {
        match self {
            Self::Of(cutter) => cutter.surface_radius(depth),
            Self::Square(radius) => *radius,
        }
    }

    /// Half the width of its flat.
    pub(super) fn flat(&self) -> f64 {
        match self {
            Self::Of(cutter) => cutter.radius_at(0.0),
            Self::Square(radius) => *radius,
        }
    }

    /// Height above the tip at a distance from its middle; `None` beyond it.
    pub fn height(&self, off: f64) -> Option<f64> {
        match self {
            _ if off <= 0.0 => Some(0.0),
            Self::Of(cutter) => cutter.height_at(off),
            Self::Square(radius) => (off <= *radius).then_some(0.0),
        }
    }
}
