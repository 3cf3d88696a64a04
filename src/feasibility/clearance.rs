//! Whether a cutter is long enough for a depth.

use crate::dish::Dish;
use crate::finding::{Finding, RemedyKind};
use crate::model::{Cutter, Shop};
use crate::units::{hundredths_down, hundredths_up, trimmed};

/// What the shop's figures say about one cutter at one depth. Lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clearance {
    /// How deep it would work below the top of the board.
    pub depth: f64,
    /// How deep it may work: stick-out less the collet margin; `None` when the shop does not
    /// say how far the cutter stands out.
    pub allowed: Option<f64>,
    /// Length of the flutes, where known.
    pub flutes: Option<f64>,
    /// The shank is known to be narrower than the cut, so it does not rub above the flutes.
    pub narrow_shank: bool,
}

impl Clearance {
    /// Nothing known speaks against the depth.
    pub fn clears(&self) -> bool {
        self.within_stick_out() && self.within_flutes()
    }

    /// The collet nut stays off the wood, as far as known.
    pub fn within_stick_out(&self) -> bool {
        self.allowed.is_none_or(|allowed| self.depth <= allowed + 1e-9)
    }

    /// No shank rubs on the wall, as far as known.
    pub fn within_flutes(&self) -> bool {
        self.narrow_shank || self.flutes.is_none_or(|flutes| self.depth <= flutes + 1e-9)
    }
}

/// One cutter at one depth (mm below the top of the board).
pub fn clearance(cutter: &Cutter, depth: f64, shop: &Shop) -> Clearance {
    Clearance {
        depth,
        allowed: cutter.stick_out().map(|out| out - shop.house.collet_margin.get()),
        flutes: cutter.flutes(),
        narrow_shank: cutter.rubs_below().is_none(),
    }
}

/// Two ways to a deepest recess of so many mm: more floor, or a thinner board.
pub fn shallower_recess(finding: Finding, dish: &Dish, depth: f64) -> Finding {
    let thickness = dish.wood.thickness.get();
    if depth <= 0.0 || depth >= thickness {
        return finding;
    }
    let kept = dish.recesses.iter().map(|r| r.floor).fold(f64::INFINITY, f64::min);
    let (floor, board) =
        (hundredths_up(thickness - depth), hundredths_down(kept + depth));
    finding
        .remedy(
            RemedyKind::Depth,
            format!("keep a floor of {} mm", trimmed(floor)),
            Some(floor),
        )
        .remedy(
            RemedyKind::Depth,
            format!("use a board of at most {} mm", trimmed(board)),
            Some(board),
        )
}
