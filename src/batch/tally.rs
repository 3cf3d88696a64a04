//! What an order list comes to: dishes, wood, cutters, minutes.

use super::examine::examine;
use super::forms::{findings, text};
use super::library::{Library, Loaded};
use super::run::side_by_side;
use crate::feasibility::Pins;
use crate::finding::{Finding, Severity, rounded, worst};
use crate::model::{Order, OrderList, Shop};
use crate::plan::Plan;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// What an order list comes to. Wood, cutters and minutes are those of the dishes that can be
/// made.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// How many orders there are.
    pub orders: usize,
    /// How many dishes they are for.
    pub dishes: u32,
    /// Orders and dishes of each recipe.
    pub recipes: BTreeMap<String, (usize, u32)>,
    /// What is needed of each wood.
    pub woods: BTreeMap<String, WoodNeed>,
    /// What is needed of each cutter.
    pub cutters: BTreeMap<String, CutterNeed>,
    /// Minutes at the machine, tool changes counted (estimated).
    pub minutes: f64,
    /// Ids of orders that cannot be made as they are.
    pub stopped: Vec<String>,
    /// Headings of columns that were not read.
    pub aside: Vec<String>,
}

/// What is needed of one wood.
#[derive(Clone, Copy, Debug, Default)]
pub struct WoodNeed {
    /// For how many dishes.
    pub dishes: u32,
    /// Board for their blanks one beside the other, nothing between them, mm².
    pub area: f64,
    /// Its price, where the shop says what the wood costs.
    pub price: Option<f64>,
}

/// What is needed of one cutter.
#[derive(Clone, Copy, Debug, Default)]
pub struct CutterNeed {
    /// For how many dishes.
    pub dishes: u32,
    /// Minutes in the wood (estimated).
    pub minutes: f64,
}

/// Plans every dish, draws none.
pub fn tally(list: &OrderList, library: &Library, shop: &Shop) -> Tally {
    let recipes = library.load_for(list);
    let plans = side_by_side(&list.orders, 0, |order| {
        let loaded = recipes.loaded(&order.recipe);
        planned(order, loaded, shop)
    });
    let mut tally = Tally { aside: list.aside.clone(), ..Tally::default() };
    for (order, plan) in list.orders.iter().zip(plans) {
        tally.orders += 1;
        tally.dishes += order.quantity;
        let (orders, dishes) = tally.recipes.entry(order.recipe.to_string()).or_default();
        *orders += 1;
        *dishes += order.quantity;
        match plan.ok().flatten() {
            Some(plan) => tally.add(order, &plan, shop),
            None => tally.stopped.push(order.id.clone()),
        }
    }
    tally
}

/// The plan of a dish that can be made.
fn planned(order: &Order, loaded: Option<&Loaded>, shop: &Shop) -> Option<Plan> {
    let examined = examine(loaded?.recipe.as_ref()?, order, shop, &Pins::default());
    let stopped = worst(&examined.findings) == Some(Severity::Stop);
    let (.., plan) = examined.dish.filter(|_| !stopped)?;
    Some(plan)
}

impl Tally {
    fn add(&mut self, order: &Order, plan: &Plan, shop: &Shop) {
        let count = f64::from(order.quantity);
        self.minutes += count * plan.minutes();
        let wood = shop.wood_for(order).unwrap_or_default();
        let need = self.woods.entry(wood.to_owned()).or_default();
        need.dishes += order.quantity;
        if let Some(bill) = &plan.wood {
            let [along, across, _] = bill.blank;
            need.area += count * along * across;
            let price = bill.price.map(|price| need.price.unwrap_or(0.0) + count * price);
            need.price = price.or(need.price);
        }
        let mut once: BTreeMap<&str, f64> = BTreeMap::new();
        for cut in &plan.operations {
            *once.entry(cut.cutter.as_str()).or_default() += cut.minutes;
        }
        for (cutter, minutes) in once {
            let need = self.cutters.entry(cutter.to_owned()).or_default();
            need.dishes += order.quantity;
            need.minutes += count * minutes;
        }
    }
}

/// The answer of `treen orders`; `said` is what was found in the list and the shop.
pub fn tally_json(tally: &Tally, said: &[Finding]) -> String {
    let recipe = |(recipe, (orders, dishes)): (&String, &(usize, u32))| json!({ "recipe": recipe, "orders": orders, "dishes": dishes });
    let wood = |(wood, need): (&String, &WoodNeed)| {
        json!({
            "wood": wood, "dishes": need.dishes, "area_mm2": rounded(need.area),
            "price": need.price.map(|price| (price * 100.0).round() / 100.0),
        })
    };
    let cutter = |(id, need): (&String, &CutterNeed)| json!({ "id": id, "dishes": need.dishes, "minutes": rounded(need.minutes) });
    let list = |values: Vec<Value>| Value::Array(values);
    text(&json!({
        "orders": tally.orders,
        "dishes": tally.dishes,
        "recipes": list(tally.recipes.iter().map(recipe).collect()),
        "woods": list(tally.woods.iter().map(wood).collect()),
        "cutters": list(tally.cutters.iter().map(cutter).collect()),
        "minutes": rounded(tally.minutes),
        "stopped": tally.stopped,
        "aside": tally.aside,
        "findings": findings(said),
    }))
}
