//! The best pair of cutters for the recesses: a large one that clears, a small one that
//! follows, and which part each reaches.

use super::swap::{Job, Swap, SwapRow};
use crate::curve::{Origin, Point, Region};
use crate::dish::{Dish, RecessCut};
use crate::model::{Cutter, Shop};
use crate::reach::{grow, opening, shrink};

/// The first cutter must reach more than this share of the recesses.
const MOST: f64 = 0.5;

/// Parts smaller than this are rounding, mm².
const LEAST_SPOT: f64 = 1e-3;

/// Edges cut from one another overlap by this much, mm, so that no film is left where they
/// run together.
const FILM: f64 = 0.002;

/// Two cutters for the recesses, one after the other.
#[derive(Clone, Debug)]
pub struct Pair {
    /// The one that clears: index on the rack.
    pub first: usize,
    /// The one that follows it; `None` where the first reaches everywhere.
    pub second: Option<usize>,
    /// What each reaches, in the order of the dish's recesses.
    pub reached: Vec<Reached>,
}

/// What two cutters reach of one recess, at its surface.
#[derive(Clone, Debug)]
pub struct Reached {
    /// What the first cutter clears: the recess opened by the radius it shows at the surface.
    pub by_first: Region,
    /// What is left to the second cutter and it does reach.
    pub by_second: Region,
    /// Where the middle of the second cutter passes to clear that, wherever it must.
    pub paths: Region,
    /// The floor that comes out flat: where the flats of the tips pass, short of the curve
    /// that each cutter leaves along its walls.
    pub flat: Region,
    /// Where the second cutter has to go, largest first: a point and the area around it, mm².
    pub spots: Vec<(Point, f64)>,
}

impl Pair {
    /// Area left to the second cutter, mm².
    pub fn area_left(&self) -> f64 {
        self.reached.iter().map(Reached::area_left).sum()
    }

    /// The number of places the second cutter goes to.
    pub fn spots(&self) -> usize {
        self.reached.iter().map(|reached| reached.spots.len()).sum()
    }
}

impl Reached {
    /// Area left to the second cutter, mm².
    pub fn area_left(&self) -> f64 {
        self.spots.iter().map(|spot| spot.1).sum()
    }
}

impl Swap {
    /// The rows of the best pair: the largest cutter that is long enough and reaches most of
    /// the recesses (`area` in mm²), and the largest that follows, if that is another.
    pub fn recess_pair(&self, area: f64) -> Option<(&SwapRow, Option<&SwapRow>)> {
        let rows = || self.rows.iter().filter(|row| row.job == Job::Recess);
        let best = rows().find(|row| row.usable())?;
        let enters =
            |row: &&SwapRow| row.clearance.clears() && row.area_left() < area * MOST;
        let first = rows().find(enters).unwrap_or(best);
        Some((first, (!first.sandable).then_some(best)))
    }
}

/// What the best pair reaches; `None` where no cutter can carve the recesses, or where the
/// parts could not be made sure of.
pub fn recess_pair(dish: &Dish, shop: &Shop, swap: &Swap) -> Option<Pair> {
    let area = dish.recesses.iter().map(|recess| recess.region.area()).sum();
    let (first, second) = swap.recess_pair(area)?;
    pair_of(dish, shop, first.cutter, second.map(|row| row.cutter))
}

/// What two cutters of the rack reach, one after the other; `None` where one is not on it, or
/// where the parts could not be made sure of.
pub fn pair_of(
    dish: &Dish,
    shop: &Shop,
    first: usize,
    second: Option<usize>,
) -> Option<Pair> {
    let cutters = (shop.cutters.get(first)?, second.and_then(|i| shop.cutters.get(i)));
    let reached = dish
        .recesses
        .iter()
        .map(|recess| reached(recess, cutters))
        .collect::<Option<_>>()?;
    Some(Pair { first, second, reached })
}

fn reached(
    recess: &RecessCut,
    (first, second): (&Cutter, Option<&Cutter>),
) -> Option<Reached> {
    let origin = Origin::default();
    let region = &recess.region;
    let shown = first.surface_radius(recess.depth);
    let by_first = opening(region, shown, origin)?;
    let mut flat = shrink(&by_first, shown - first.radius_at(0.0), origin)?;
    let Some(second) = second else {
        return Some(Reached {
            by_first,
            by_second: Region::default(),
            paths: Region::default(),
            flat,
            spots: vec![],
        });
    };
    let shown = second.surface_radius(recess.depth);
    let all = opening(region, shown, origin)?;
    let rest = grow(&all.cut(&grow(&by_first, FILM, origin)?), FILM, origin)?;
    let by_second = rest.keep(&all).cut(&by_first);
    // Its middle passes wherever it must to clear that, its flat tip around the middle.
    let paths = shrink(region, shown, origin)?.keep(&grow(&by_second, shown, origin)?);
    let tip = second.radius_at(0.0);
    if tip > 0.0 {
        flat = flat.unite(&grow(&paths, tip, origin)?);
    }
    let spots = spots(&by_second);
    Some(Reached { by_first, by_second, paths, flat, spots })
}

/// The parts of a region, largest first, each with the middle of its box.
fn spots(region: &Region) -> Vec<(Point, f64)> {
    let mut spots: Vec<(Point, f64)> = region
        .contours()
        .iter()
        .map(|contour| (contour.bounds().center(), contour.signed_area()))
        .filter(|spot| spot.1 > LEAST_SPOT)
        .collect();
    spots.sort_by(|a, b| b.1.total_cmp(&a.1));
    spots
}
