//! How each cutter of a plan stands over the wood at the bottom of its cut.

use super::clear::{groove, letters};
use super::{Operation, Plan, Work, groove_depth};
use crate::dish::Dish;
use crate::feasibility::{Carving, Standing};
use crate::model::{Shop, Surface};

/// The operation whose cutter comes nearest to the wood with its nut, and how it stands there;
/// `None` where no stick-out is known.
pub fn closest(dish: &Dish, plan: &Plan, shop: &Shop) -> Option<(Work, Standing)> {
    plan.operations
        .iter()
        .filter(|operation| operation.stick_out.is_some())
        .filter_map(|operation| Some((operation.work, standing(dish, operation, shop)?)))
        .min_by(|a, b| near(&a.1).total_cmp(&near(&b.1)))
}

/// The cutter of an operation where it comes nearest to the wood; `None` if the cutter is not
/// on the rack or there is nothing for it to do.
pub fn standing(dish: &Dish, operation: &Operation, shop: &Shop) -> Option<Standing> {
    let cutter = shop.cutters.iter().find(|c| c.id() == operation.cutter)?;
    let carving = |carving: Carving<'_>| Standing::carving(dish, shop, cutter, &carving);
    let at_wall =
        |open: f64| Standing::at_wall(dish, shop, cutter, (operation.depth, open));
    match operation.work {
        Work::Details => operation
            .grooves
            .iter()
            .filter_map(|index| {
                let cut = dish.grooves.get(*index)?;
                Some(carving(groove(cut, groove_depth(cutter, cut).ok()?)))
            })
            .min_by(|a, b| near(a).total_cmp(&near(b))),
        Work::Name | Work::NameCorners => {
            let name = dish.name.as_ref()?;
            let own = operation.depth - dish.surface_depth(name.on);
            Some(carving(letters(name, own)))
        }
        Work::Recess | Work::RecessCorners => Some(at_wall(operation.depth)),
        Work::RecessEdge => Some(at_wall(dish.surface_depth(Surface::Floor))),
        Work::OuterEdge | Work::CutOut => Some(at_wall(0.0)),
    }
}

/// Free height over the board or free width beside the wall, whichever counts, mm.
fn near(standing: &Standing) -> f64 {
    let above = standing.above_board().unwrap_or(f64::INFINITY);
    standing.beside().map_or(above, |beside| beside.max(above))
}
