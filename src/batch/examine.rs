//! One order, from recipe to plan, in memory.

use super::files::{Beside, Used};
use crate::dish::{Dish, assemble};
use crate::feasibility::{Pins, Report, check};
use crate::finding::{Checked, Finding};
use crate::mend::{Case, Mend, mend, offer_more};
use crate::model::{Manner, Order, Recipe, Setting, Shop};
use crate::plan::{Plan, choose};
use crate::shape::build;

/// What is known about one dish.
#[derive(Clone, Debug)]
pub struct Examined {
    /// The order's id, or the recipe's key.
    pub id: String,
    /// The recipe's key.
    pub recipe: String,
    /// Everything said, from recipe to plan.
    pub findings: Vec<Finding>,
    /// The dish with its report and plan; `None` when it cannot be drawn.
    pub dish: Option<(Dish, Report, Plan)>,
    /// What the recipe was given from outside.
    pub used: Used,
}

/// One dish laid against the rack, its work not planned.
#[derive(Clone, Debug)]
pub struct Compared {
    /// The recipe's key.
    pub recipe: String,
    /// Everything said, from recipe to rack.
    pub findings: Vec<Finding>,
    /// The dish with its report; `None` when it cannot be drawn.
    pub dish: Option<(Dish, Report)>,
    /// What the recipe was given from outside.
    pub used: Used,
}

impl Examined {
    /// A dish that could not be drawn.
    pub fn failed(order: &Order, findings: Vec<Finding>) -> Self {
        let (id, recipe) = (order.id.clone(), order.recipe.to_string());
        Self { id, recipe, findings, dish: None, used: Used::new() }
    }
}

/// Draws a recipe with an order's values, puts it together with its wood and checks it
/// against the rack. The pins given here overrule the order's, which overrule the shop's.
pub fn compare(recipe: &Recipe, order: &Order, shop: &Shop, pins: &Pins) -> Compared {
    let load = Beside::new(recipe.folder.as_deref());
    let mut findings = Vec::new();
    let form = kept(build(recipe, &order.set, &order.name, &load), &mut findings);
    let dish = form.and_then(|form| kept(assemble(&form, order, shop), &mut findings));
    let dish = dish.map(|dish| {
        let pins = shop.pins.overruled(&order.pins).overruled(pins);
        let mut report = check(&dish, shop, &pins);
        findings.append(&mut report.findings);
        (dish, report)
    });
    Compared { recipe: recipe.key.clone(), findings, dish, used: load.used() }
}

/// What [`compare`] does, then what would mend what stops it, and the plan of the work.
pub fn examine(recipe: &Recipe, order: &Order, shop: &Shop, pins: &Pins) -> Examined {
    let load = Beside::new(recipe.folder.as_deref());
    let Compared { recipe: key, mut findings, dish, mut used } =
        compare(recipe, order, shop, pins);
    let dish = dish.map(|(dish, mut report)| {
        let case = Case { recipe, order, shop, load: &load };
        offer_more(&case, &dish, &report.swap, &mut findings);
        let plan = kept(choose(&dish, &report, shop), &mut findings).unwrap_or_default();
        // The sheets say everything that was found, not only what the rack has to do with.
        report.findings.clone_from(&findings);
        report.findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
        (dish, report, plan)
    });
    used.append(&mut load.used());
    Examined { id: order.id.clone(), recipe: key, findings, dish, used }
}

/// The ways out for one cutter of the rack; `compared` is the same order, compared.
pub fn mended(
    recipe: &Recipe,
    order: &Order,
    shop: &Shop,
    compared: &Compared,
    id: &str,
) -> Option<Result<Mend, Box<Finding>>> {
    let (dish, report) = compared.dish.as_ref()?;
    let load = Beside::new(recipe.folder.as_deref());
    let case = Case { recipe, order, shop, load: &load };
    Some(mend(&case, dish, &report.swap, id))
}

fn kept<T>(checked: Checked<T>, findings: &mut Vec<Finding>) -> Option<T> {
    findings.extend(checked.findings);
    checked.value
}

/// An order without a name, for a recipe looked at on its own.
pub fn specimen(recipe: &Recipe, set: Vec<Setting>) -> Order {
    Order {
        id: recipe.key.clone(),
        name: String::new(),
        recipe: recipe.key.as_str().into(),
        recipe_source: recipe.source.clone(),
        wood: None,
        wood_source: recipe.source.clone(),
        quantity: 1,
        note: None,
        date: None,
        manner: Manner::default(),
        set,
        pins: Pins::default(),
        source: recipe.source.clone(),
    }
}
