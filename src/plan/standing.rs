//! How each cutter of a plan stands over the wood at the bottom of its cut.

use super::clear::{groove, letters};
use super::{Operation, Work};
use crate::dish::Dish;
use crate::feasibility::{Carving, Standing};
use crate::model::Shop;

/// The cutter of an operation where it comes nearest to the wood; `None` if the cutter is not
/// on the rack or there is nothing for it to do.
pub fn standing(dish: &Dish, operation: &Operation, shop: &Shop) -> Option<Standing> {
    let cutter = shop.cutters.iter().find(|c| c.id() == operation.cutter)?;
    let carving = |carving: Carving<'_>| Standing::carving(dish, shop, cutter, &carving);
    match operation.work {
        Work::Details => {
            let grooves = operation.grooves.iter().filter_map(|i| dish.grooves.get(*i));
            let own = |on| operation.depth - dish.surface_depth(on);
            grooves
                .filter(|cut| own(cut.on) > 0.0)
                .map(|cut| carving(groove(cut, own(cut.on))))
                .min_by(|a, b| near(a).total_cmp(&near(b)))
        }
        Work::Name => {
            let name = dish.name.as_ref()?;
            let own = operation.depth - dish.surface_depth(name.on);
            Some(carving(letters(name, own)))
        }
        Work::Recess
        | Work::RecessCorners
        | Work::RecessEdge
        | Work::OuterEdge
        | Work::CutOut => Some(Standing::at_wall(dish, shop, cutter, operation.depth)),
    }
}

/// Free height over the board or free width beside the wall, whichever counts, mm.
fn near(standing: &Standing) -> f64 {
    let above = standing.above_board().unwrap_or(f64::INFINITY);
    standing.beside().map_or(above, |beside| beside.max(above))
}
