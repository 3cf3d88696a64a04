//! What each cutter of a rack may do, and how deep, without any dish.

use super::clearance::clearance;
use crate::model::{Cutter, Shop, Work};

/// One cutter and the boards on hand.
#[derive(Clone, Debug, PartialEq)]
pub struct RackRow {
    /// Index on the rack.
    pub cutter: usize,
    /// The works its kind does.
    pub works: Vec<Work>,
    /// The deepest recess it may carve in each wood of the shop, in their order; empty for a
    /// cutter that carves none.
    pub recess: Vec<Deepest>,
    /// It is long enough to cut each wood of the shop through, overcut and all; empty for a
    /// cutter that does not cut out.
    pub through: Vec<Through>,
}

/// The deepest recess one cutter may carve in one wood. Depths in mm below the top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deepest {
    /// How deep.
    pub depth: f64,
    /// What ends it.
    pub limit: Limit,
}

/// Whether one cutter goes through one board. Lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Through {
    /// It does, as far as known.
    pub clears: bool,
    /// The board and the overcut.
    pub need: f64,
    /// How deep it may go at most, where the shop says enough to know.
    pub have: Option<f64>,
}

/// What ends a depth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// The floor the house keeps: the cutter could go deeper.
    Floor,
    /// The floor the house keeps; the stick-out is not known, so nothing says it can.
    Unknown,
    /// The stick-out less the collet margin.
    StickOut,
    /// The flutes: the shank would rub above them.
    Flutes,
}

impl Limit {
    /// As printed beside a depth.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Floor => "to the floor",
            Self::Unknown => "stick-out unknown",
            Self::StickOut => "stick-out",
            Self::Flutes => "flutes",
        }
    }
}

/// Every cutter of a shop, in the order of its rack.
pub fn rack(shop: &Shop) -> Vec<RackRow> {
    let row = |(index, cutter): (usize, &Cutter)| {
        let kind = cutter.kind();
        let works = Work::ALL.into_iter().filter(|work| work.kinds().contains(&kind));
        let thicknesses = || shop.woods.iter().map(|wood| wood.thickness.get());
        RackRow {
            cutter: index,
            works: works.collect(),
            recess: thicknesses()
                .filter(|_| kind.carves_recesses())
                .map(|thickness| deepest(cutter, thickness, shop))
                .collect(),
            through: thicknesses()
                .filter(|_| kind.cuts_outlines())
                .map(|thickness| through(cutter, thickness, shop))
                .collect(),
        }
    };
    shop.cutters.iter().enumerate().map(row).collect()
}

fn deepest(cutter: &Cutter, thickness: f64, shop: &Shop) -> Deepest {
    let floor = (thickness - shop.house.floor.get()).max(0.0);
    let room = clearance(cutter, floor, shop);
    let limits = [(room.allowed, Limit::StickOut), (cutter.rubs_below(), Limit::Flutes)];
    let open = if room.allowed.is_some() { Limit::Floor } else { Limit::Unknown };
    let mut least = Deepest { depth: floor, limit: open };
    for (depth, limit) in limits {
        if let Some(depth) = depth.filter(|depth| *depth < least.depth - 1e-9) {
            least = Deepest { depth: depth.max(0.0), limit };
        }
    }
    least
}

fn through(cutter: &Cutter, thickness: f64, shop: &Shop) -> Through {
    let need = thickness + shop.house.overcut.get();
    let room = clearance(cutter, need, shop);
    let have = [room.allowed, cutter.rubs_below()].into_iter().flatten();
    Through { clears: room.clears(), need, have: have.min_by(f64::total_cmp) }
}
