//! A dish against the rack: findings, the swap table, remedies, which cutters can do what.

mod carving;
mod clearance;
mod ground;
mod letters;
mod nut;
mod outline;
mod pair;
mod rack;
mod recess;
mod standing;
mod swap;
mod thickness;

pub use clearance::{Clearance, clearance, shallower_recess};
pub use ground::{Ground, GroundRow};
pub use letters::{cuts_lines, letter_at, line_cutter};
pub use nut::{Carving, Obstacle, Part, Tips, obstacles};
pub use pair::{Pair, Reached, pair_of, recess_pair};
pub use rack::{Deepest, Limit, RackRow, Through, rack};
pub use standing::Standing;
pub use swap::{Job, Swap, SwapRow};

use crate::dish::Dish;
use crate::finding::{Finding, Severity};
pub use crate::model::Pins;
use crate::model::Shop;
use crate::reach::{Low, Profile};
use crate::units::Tolerance;

/// Discs larger than this are not asked for, mm: nothing on a rack comes near.
const LARGEST_DISC: f64 = 200.0;

/// Everything said about one dish.
#[derive(Clone, Debug)]
pub struct Report {
    /// Gravest first, then in the order of the checks.
    pub findings: Vec<Finding>,
    /// The rack against the dish.
    pub swap: Swap,
    /// The thinnest neck of the outline, as a disc half as wide, where there is one below
    /// 200 mm.
    pub neck: Option<Low>,
    /// What the end mills leave of the ground of the name, where it has one.
    pub ground: Option<Ground>,
    /// The cutters the maker insists on.
    pub pins: Pins,
}

/// Checks one dish against one shop.
pub fn check(dish: &Dish, shop: &Shop, pins: &Pins) -> Report {
    let mut table = swap::fill(dish, shop);
    // A pin of the shop was checked when the shop was read.
    let mut findings: Vec<Finding> =
        pins.all().iter().filter_map(|pin| pin.fault(&shop.cutters)).collect();
    outline::check(dish, shop, pins, &mut table, &mut findings);
    recess::check(dish, shop, pins, &mut table, &mut findings);
    let neck = thickness::check(dish, shop, &mut findings);
    let ground = dish.name.as_ref().and_then(|name| Ground::of(name, shop));
    carving::check(dish, (ground.as_ref(), shop), &mut findings);
    thickness::stock(dish, shop, &mut findings);
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    Report { findings, swap: table, neck, ground, pins: pins.clone() }
}

impl Report {
    /// The gravest thing said.
    pub fn worst(&self) -> Option<Severity> {
        crate::finding::worst(&self.findings)
    }
}

/// A cutter of radius c follows where the reach is r, and whether only just.
fn follows(r: f64, c: f64) -> (bool, bool) {
    let tolerance = Tolerance::REACH.get();
    (r >= c - tolerance, (r - c).abs() <= tolerance)
}

fn outside(dish: &Dish) -> Profile {
    Profile::outside(&dish.outline, LARGEST_DISC)
}
