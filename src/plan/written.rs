//! The moves of a name.

use super::estimate::share;
use super::ground::along_middle;
use super::letters::carve;
use super::moves::Course;
use super::passes::{levels, stepdown};
use super::pocket::{Layer, clear};
use super::route::trace;
use crate::curve::{Origin, Region};
use crate::dish::{Dish, NameCut};
use crate::model::{Cutter, NameStyle};
use crate::reach::{Profile, grow, shrink};

/// Where a second cutter follows it goes this far into what is already cut, mm.
const OVERLAP: f64 = 0.3;
/// What the first cutter left is not worth a second one's way where it is no deeper, mm.
const NOTHING: f64 = 0.02;

/// A name with the cutter that carves it, or clears most of it.
pub(super) fn name(
    course: &mut Course,
    (dish, name): (&Dish, &NameCut),
    cutter: &Cutter,
) -> Option<Vec<f64>> {
    let top = -dish.surface_depth(name.on);
    let traced = |course: &mut Course| {
        let each = name.centers.iter();
        each.flat_map(|middle| trace(course, middle, cutter, (top, name.depth))).collect()
    };
    match name.style {
        NameStyle::Vee => {
            let step = stepdown(cutter);
            carve(course, (&name.region, cutter), (top, name.depth), step)
        }
        NameStyle::Sunk if along_middle(name, cutter) => Some(traced(course)),
        NameStyle::Sunk | NameStyle::Raised => {
            let room = shrink(name.ground(), cutter.radius(), Origin::default())?;
            pocket(course, &room, cutter, (top, name.depth))
        }
        NameStyle::Line => Some(traced(course)),
    }
}

/// What the first cutter left of a panel, with a finer one.
pub(super) fn corners(
    course: &mut Course,
    (dish, name): (&Dish, &NameCut),
    first: &Cutter,
    cutter: &Cutter,
) -> Option<Vec<f64>> {
    let (radius, ground) = (cutter.radius(), name.ground());
    let room = shrink(ground, radius, Origin::default())?;
    let left = Profile::inside(ground, first.radius() + 1.0).leftovers(first.radius())?;
    let about = left
        .iter()
        .filter(|place| place.depth > NOTHING)
        .map(|place| grow(&place.region, radius + OVERLAP, Origin::default()))
        .collect::<Option<Vec<Region>>>()?;
    let room = room.keep(&Region::united(&about));
    pocket(course, &room, cutter, (-dish.surface_depth(name.on), name.depth))
}

/// Clears an area from a surface at `top` (0 or less) down to `depth` below it, mm.
fn pocket(
    course: &mut Course,
    room: &Region,
    cutter: &Cutter,
    (top, depth): (f64, f64),
) -> Option<Vec<f64>> {
    let layers: Vec<Layer> = levels(depth, stepdown(cutter), None)
        .into_iter()
        .map(|depth| Layer { depth: depth - top, fine: true })
        .collect();
    let step = share(cutter).min(0.5) * cutter.diameter();
    clear(course, (room, cutter), [step, step], (top, &layers))?;
    Some(layers.into_iter().map(|layer| layer.depth).collect())
}
