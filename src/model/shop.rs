//! A shop: one maker's cutters, machine, woods and house rules.

use super::cutter::Cutter;
use super::order::Order;
use super::order_form::OrderForm;
use super::proof::{Manner, ShopMark, Workshop};
use super::species::Species;
use super::work::Pins;
use crate::finding::Source;
use crate::units::{Deg, DisplayUnit, Mm};

/// Everything one maker has and insists on.
#[derive(Clone, Debug)]
pub struct Shop {
    /// The rack, in the order written. Ids are unique.
    pub cutters: Vec<Cutter>,
    /// The router.
    pub machine: Machine,
    /// Boards on hand. Never empty; names are unique.
    pub woods: Vec<Wood>,
    /// House rules.
    pub house: House,
    /// Cutters the maker insists on for every dish.
    pub pins: Pins,
    /// How its order lists are laid out.
    pub order_form: OrderForm,
    /// How its proofs speak to customers.
    pub manner: Manner,
    /// Who makes the dishes, as they say it.
    pub workshop: Workshop,
    /// Its mark on them.
    pub mark: Option<ShopMark>,
    /// The whole file.
    pub source: Source,
}

impl Shop {
    /// What the wood of an order is called: the first on hand where it names none.
    pub fn wood_for<'s>(&'s self, order: &'s Order) -> Option<&'s str> {
        let first = || self.woods.first().map(|wood| wood.name.as_str());
        order.wood.as_deref().or_else(first)
    }
}

/// The router.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// Outside diameter of the collet nut.
    pub collet_nut: Mm,
    /// Least and greatest spindle speed, 1/min.
    pub spindle: [f64; 2],
    /// Greatest feed, mm/min.
    pub feed: f64,
    /// Speed above the wood, mm/min.
    pub traverse: f64,
    /// Greatest feed straight down, mm/min.
    pub plunge: f64,
    /// Minutes to change a cutter.
    pub tool_change: f64,
    /// Acceleration, mm/s².
    pub acceleration: f64,
    /// The greatest change of velocity at a corner, mm/min, of a machine that passes corners
    /// without rounding them.
    pub corner: Option<f64>,
    /// Travel right, back and down.
    pub travel: [Mm; 3],
    /// The spindle's tilt from square.
    pub tram: Deg,
}

/// A board on hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Wood {
    /// What orders call it.
    pub name: String,
    /// Thickness of the board.
    pub thickness: Mm,
    /// The species, as stated or from the name, where the Wood Handbook's is known to us.
    pub species: Option<&'static Species>,
    /// Density, kg/m³; without it the species'.
    pub density: Option<f64>,
    /// Price per cubic metre in the shop's own currency.
    pub price: Option<f64>,
    /// Picture tone as `#rrggbb`.
    pub tone: [u8; 3],
    /// Where it is written.
    pub source: Source,
}

/// Holding tabs: where the cut-out leaves the dish joined to its board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TabRule {
    /// How many; without it as many as the outline is long for.
    pub count: Option<u32>,
    /// Length along the dish.
    pub length: Mm,
    /// Height above the underside.
    pub height: Mm,
}

/// House rules.
#[derive(Clone, Debug, PartialEq)]
pub struct House {
    /// Least width of a rim.
    pub rim: Mm,
    /// Least floor below a recess or a carved name.
    pub floor: Mm,
    /// Least width of a neck of wood.
    pub neck: Mm,
    /// Least height of a capital letter.
    pub letter: Mm,
    /// Kept free between collet nut and wood.
    pub collet_margin: Mm,
    /// Depth of a leftover that is sanded or filed away without a word.
    pub sanding: Mm,
    /// How far the cut-out goes into the spoilboard.
    pub overcut: Mm,
    /// Holding tabs.
    pub tabs: TabRule,
    /// Wood around a dish in its board, for clamps.
    pub margin: Mm,
    /// Change of width over a season that is not spoken of.
    pub movement: Mm,
    /// How lengths are shown.
    pub unit: DisplayUnit,
}
