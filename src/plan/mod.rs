//! The cutters chosen for one dish, how deep, how fast and how long each works.

mod asked;
mod best;
mod carved;
mod choose;
mod clear;
mod cutout;
mod edging;
mod estimate;
mod finish;
mod groove;
mod ground;
mod hollow;
mod letters;
mod moves;
mod pairing;
mod passes;
mod pocket;
mod ring;
mod rounding;
mod route;
mod speed;
mod standing;
mod tabs;
mod time;
mod timed;
mod wood;
mod written;

use crate::feasibility::Pair;
pub use crate::model::Work;
pub use best::{Leg, best};
pub use choose::choose;
pub use finish::{COARSE, FINE, Finish, cusp, ridge, step_for, table};
pub use groove::groove_depth;
pub use ground::pocketed;
pub use moves::{CLEAR, Move, Pace, Passage, Place, Route, Way};
pub use passes::{BEYOND_UPCUT, first_pass, levels, stepdown};
pub use speed::{
    Guess, Light, Limit, Rates, engagement, feed, mean_chip, peripheral, rates,
    thickest_chip,
};
pub use standing::{closest, standing};
pub use tabs::Tab;
pub use time::{
    CORNER, Limits, corner_radius, corner_speed, fitting_radius, joint_speeds, seconds,
    step_speed, trapezoid,
};
pub use wood::{Movement, SEASON, WoodBill, hollow, movement, rounded_off};

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
    /// Depth of the deepest of them, mm, where the moves are known.
    pub each: Option<f64>,
    /// Where an area is cleared: from one ring to the next in the layers above and in the last
    /// one, mm.
    pub steps: Option<[f64; 2]>,
    /// Speed and feeds: starting points.
    pub rates: Rates,
    /// Minutes, estimated from lengths and feed.
    pub minutes: f64,
    /// Details: which grooves of the dish it carves, by index.
    pub grooves: Vec<usize>,
    /// Its moves; `None` where they could not be made sure of.
    pub route: Option<Route>,
}

/// The cutters of the rack for one work: which can, which cannot and why, which is chosen.
/// Only cutters of kinds that do the work are looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The work.
    pub work: Work,
    /// Those that can, in the order of the rack.
    pub able: Vec<Able>,
    /// Those that cannot, in the order of the rack.
    pub refused: Vec<Refused>,
    /// Ids of those chosen, in working order; several where details differ.
    pub chosen: Vec<String>,
    /// The maker insisted.
    pub pinned: bool,
}

/// A cutter that can do a work.
#[derive(Clone, Debug, PartialEq)]
pub struct Able {
    /// Its id.
    pub cutter: String,
    /// Minutes it would take for this work at least: of its moves where they were laid, else
    /// an estimate that leaves out acceleration and the ways between places. What comes after
    /// another cutter is counted after the one that is chosen.
    pub minutes: f64,
}

/// A cutter that cannot do a work.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    /// Its id.
    pub cutter: String,
    /// Why not, in words.
    pub reason: String,
}

/// What the cutters the maker insists on cost against the free choice.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Minutes more (or less, if below zero), tool changes counted.
    pub minutes: f64,
    /// Tool changes more (or less).
    pub changes: i64,
    /// What the free choice would use where it differs: work and id.
    pub free: Vec<(Work, String)>,
}

/// The cutters for one dish in working order.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// First to last.
    pub operations: Vec<Operation>,
    /// How the cutters were chosen, by work.
    pub choices: Vec<Choice>,
    /// What the cutters chosen for the recesses reach; `None` where none is chosen, or where
    /// the parts could not be made sure of.
    pub pair: Option<Pair>,
    /// The recess's floor at several stepovers of the cutter that clears it.
    pub finish: Vec<Finish>,
    /// What the maker's own choice costs; `None` without one.
    pub asked: Option<Asked>,
    /// Where the cut-out leaves the dish joined to the board.
    pub tabs: Vec<Tab>,
    /// Minutes to change a cutter.
    pub tool_change: f64,
    /// Mass, blank, price and movement of the wood.
    pub wood: Option<WoodBill>,
}

impl Plan {
    /// How often a cutter is put in, the first time counted.
    pub fn tool_changes(&self) -> usize {
        let ids: Vec<&str> =
            self.operations.iter().map(|op| op.cutter.as_str()).collect();
        ids.chunk_by(|a, b| a == b).count()
    }

    /// Minutes for one dish, tool changes counted; estimated.
    pub fn minutes(&self) -> f64 {
        let changes = f64::from(u32::try_from(self.tool_changes()).unwrap_or(u32::MAX));
        self.operations.iter().map(|op| op.minutes).sum::<f64>()
            + self.tool_change * changes
    }
}

/// How deep a cut goes, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Cut {
    /// Below the top of the board.
    depth: f64,
    /// Below the surface it starts from.
    own: f64,
}

impl Cut {
    const fn from_top(depth: f64) -> Self {
        Self { depth, own: depth }
    }

    fn deeper(self, other: Self) -> Self {
        Self { depth: self.depth.max(other.depth), own: self.own.max(other.own) }
    }
}

/// A cut that might be made.
#[derive(Clone, Debug, PartialEq)]
struct Step {
    work: Work,
    /// Index on the rack.
    cutter: usize,
    cut: Cut,
    minutes: f64,
    grooves: Vec<usize>,
}

/// One stage of the work: what was looked at, and every way to do it.
#[derive(Debug, Default)]
struct Stage {
    choices: Vec<Choice>,
    /// Each is a list of cuts in working order.
    ways: Vec<Vec<Step>>,
}
