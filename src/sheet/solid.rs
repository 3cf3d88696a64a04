//! A dish as the cutters of its plan make it, for its relief.

use super::picture::Made;
use crate::curve::Region;
use crate::dish::{Dish, GrooveCut, NameCut};
use crate::feasibility::Pair;
use crate::model::{Cutter, Grain, NameStyle, Shop, Work};
use crate::plan::{Operation, Plan, groove_depth};
use crate::relief::{Cut, Edge, Scene, Solid, Timber, Tip};
use crate::units::Mm;

/// A dish as the cutters of its plan make it; as drawn where none is chosen.
pub fn solid(dish: &Dish, plan: &Plan, shop: &Shop) -> Solid {
    Chosen { dish, plan, shop }.solid(&Made::of(dish, plan, shop))
}

/// A dish to be painted on paper of a colour.
pub(super) fn scene(
    dish: &Dish,
    plan: &Plan,
    (shop, made): (&Shop, &Made<'_>),
    paper: [u8; 3],
) -> Scene {
    let bounds = dish.outline.bounds();
    let longer = if bounds.width() >= bounds.height() { Grain::X } else { Grain::Y };
    let grain = dish.grain.unwrap_or(longer);
    Scene {
        solid: Chosen { dish, plan, shop }.solid(made),
        timber: Timber::new(&dish.wood, grain, &dish.id),
        paper,
    }
}

/// A dish and the cutters chosen for it.
struct Chosen<'a> {
    dish: &'a Dish,
    plan: &'a Plan,
    shop: &'a Shop,
}

impl<'a> Chosen<'a> {
    fn solid(&self, made: &Made<'_>) -> Solid {
        let dish = self.dish;
        let mut cuts = Vec::new();
        let mut edges = Vec::new();
        for (index, recess) in dish.recesses.iter().enumerate() {
            let hollow = self.hollow(index, made.pair, &mut cuts);
            let round = dish.recess_round.map(Mm::get);
            // One deeper than the hollow is left out.
            edges.extend(
                round
                    .filter(|radius| *radius <= recess.depth + 1e-9)
                    .map(|radius| Edge { hollow, radius }),
            );
        }
        let grooves = dish.grooves.iter().enumerate();
        cuts.extend(grooves.map(|(index, groove)| self.groove(index, groove)));
        if let Some(name) = &dish.name {
            self.name(name, made.name.as_ref(), &mut cuts);
        }
        Solid {
            outline: dish.outline.clone(),
            thickness: dish.wood.thickness.get(),
            outer_round: dish.outer_round.map(Mm::get),
            edges,
            cuts,
        }
    }

    fn cutter(&self, id: &str) -> Option<&'a Cutter> {
        self.shop.cutters.iter().find(|cutter| cutter.id() == id)
    }

    /// The last cutter of some works.
    fn last(&self, works: &[Work]) -> Option<&'a Cutter> {
        let does = |op: &&Operation| works.contains(&op.work);
        self.cutter(&self.plan.operations.iter().rev().find(does)?.cutter)
    }

    /// The cuts of one recess, and its hollow at the surface.
    fn hollow(&self, index: usize, pair: Option<&Pair>, cuts: &mut Vec<Cut>) -> Region {
        let recess = &self.dish.recesses[index];
        let depth = recess.depth;
        let known = pair.and_then(|pair| {
            let first = self.shop.cutters.get(pair.first)?;
            Some((first, pair.second, pair.reached.get(index)?))
        });
        let Some((first, second, reached)) = known else {
            let area = recess.region.clone();
            cuts.push(Cut::Cleared { area: area.clone(), by: Tip::Square(0.0), depth });
            return area;
        };
        let area = reached.by_first.clone();
        cuts.push(Cut::Cleared { area, by: Tip::of(first), depth });
        let Some(second) = second.and_then(|second| self.shop.cutters.get(second)) else {
            return reached.by_first.clone();
        };
        let middle = reached.paths.clone();
        cuts.push(Cut::Led { middle, by: Tip::of(second), depth });
        reached.by_first.unite(&reached.by_second)
    }

    fn groove(&self, index: usize, groove: &GrooveCut) -> Cut {
        let carves =
            |op: &&Operation| op.work == Work::Details && op.grooves.contains(&index);
        let used = self.plan.operations.iter().find(carves);
        let made = used.and_then(|op| {
            let cutter = self.cutter(&op.cutter)?;
            Some((Tip::of(cutter), groove_depth(cutter, groove).ok()?))
        });
        let (by, depth) = made.unwrap_or((Tip::Square(groove.width / 2.0), groove.depth));
        let depth = self.dish.surface_depth(groove.on) + depth;
        Cut::Along { lines: groove.line.clone(), by, depth }
    }

    fn name(&self, name: &NameCut, made: Option<&Region>, cuts: &mut Vec<Cut>) {
        let surface = self.dish.surface_depth(name.on);
        let depth = surface + name.depth;
        let used = self.last(&[Work::Name, Work::NameCorners]);
        match (name.style, used) {
            (NameStyle::Vee, Some(bit)) => cuts.push(Cut::Pointed {
                area: name.region.clone(),
                by: Box::new(bit.clone()),
                surface,
                limit: name.depth,
            }),
            (NameStyle::Line, Some(cutter)) => {
                cuts.extend(name.centers.iter().map(|line| Cut::Along {
                    lines: line.clone(),
                    by: Tip::of(cutter),
                    depth,
                }));
            }
            (NameStyle::Sunk | NameStyle::Raised, Some(mill)) => {
                let area = made.unwrap_or_else(|| name.ground()).clone();
                cuts.push(Cut::Cleared { area, by: Tip::of(mill), depth });
            }
            (_, None) => {
                let area = name.ground().clone();
                cuts.push(Cut::Cleared { area, by: Tip::Square(0.0), depth });
            }
        }
    }
}
