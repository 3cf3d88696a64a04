//! Ways out for a dish that one cutter cannot follow, each computed.

mod offer;
mod stops;
mod tune;

pub use offer::{Mend, Other, Work, mend};
pub use stops::offer_more;
pub use tune::{Tuned, tune};

use crate::dish::Dish;
use crate::model::{Cutter, Order, Recipe, Shop};
use crate::reach::Profile;
use crate::shape::Loader;
use crate::units::Tolerance;

/// A dish as it can be drawn again with other values.
#[derive(Clone, Copy)]
pub struct Case<'a> {
    /// What is drawn.
    pub recipe: &'a Recipe,
    /// With which values, of which wood.
    pub order: &'a Order,
    /// Where it is made.
    pub shop: &'a Shop,
    /// Gives the SVG files the recipe names.
    pub load: Loader<'a>,
}

impl std::fmt::Debug for Case<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Case")
            .field("recipe", &self.recipe.key)
            .field("order", &self.order.id)
            .finish_non_exhaustive()
    }
}

/// The boundaries a cutter works on, each with the radius that counts there, mm.
fn boundaries(dish: &Dish, cutter: &Cutter) -> Vec<(Work, f64)> {
    if cutter.kind().cuts_outlines() {
        return vec![(Work::Outline, cutter.radius())];
    }
    let radius = |depth: f64| cutter.surface_radius(depth);
    let recesses = dish.recesses.iter().enumerate();
    recesses.map(|(index, recess)| (Work::Recess(index), radius(recess.depth))).collect()
}

/// The lowest reach of a boundary as far as a cutter of radius c can tell; infinite where
/// nothing limits it.
fn reach(dish: &Dish, work: Work, c: f64) -> f64 {
    let cap = c + 1.0;
    let profile = match work {
        Work::Outline => Profile::outside(&dish.outline, cap),
        Work::Recess(index) => match dish.recesses.get(index) {
            Some(recess) => Profile::inside(&recess.region, cap),
            None => return f64::INFINITY,
        },
    };
    profile.lowest_reach().map_or(f64::INFINITY, |low| low.radius)
}

/// The cutter follows everything it works on, and there is something to work on.
fn follows(dish: &Dish, cutter: &Cutter) -> bool {
    let all = boundaries(dish, cutter);
    let one =
        |&(work, c): &(Work, f64)| reach(dish, work, c) >= c - Tolerance::REACH.get();
    !all.is_empty() && all.iter().all(one)
}
