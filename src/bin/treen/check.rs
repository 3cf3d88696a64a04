//! `treen check`: what stands in the way of every dish, and how to mend it.

use crate::Outcome;
use crate::args::CheckArgs;
use crate::inputs::{Input, Orders, input, neighbour, pins, settings, the_shop};
use crate::output::{Output, answer};
use crate::plan::text;
use std::io;
use treen::batch::{Examined, Loaded, check_json, examine, held, side_by_side, specimen};
use treen::feasibility::Pins;
use treen::finding::{Code, Finding, Severity, plain, worst};
use treen::model::{Order, Shop};

pub(crate) fn run(args: &CheckArgs, out: Output) -> io::Result<Outcome> {
    let set = match settings(&args.set) {
        Ok(set) => set,
        Err(finding) => return ended(&[], &[*finding], out),
    };
    let path = args.input.as_deref();
    let shop = the_shop(args.shop.as_deref(), path.and_then(neighbour).as_deref());
    let input = input(path, shop.value.as_ref());
    let pins = match pins(&args.pins, args.cutter.as_deref()) {
        Ok(pins) => pins,
        Err(finding) => return ended(&[], &[*finding], out),
    };
    match (input, shop.value) {
        (Input::Shop(given), _) => shop_alone(given.value.as_ref(), &given.findings, out),
        (Input::Recipe(loaded), Some(shop)) => {
            let wish = Wish { shop: &shop, pins: &pins, plan: args.plan };
            recipe_alone(&loaded, set, wish, out)
        }
        (Input::Orders(orders), Some(shop)) => {
            if let Some(setting) = set.first() {
                let finding =
                    Finding::stop(Code::UnknownParameter, "`--set` with an order list")
                        .from(setting.source.clone())
                        .expected("`--set` with a recipe")
                        .help("write the value under `set:` of the order");
                return ended(&[], &[finding], out);
            }
            let wish = Wish { shop: &shop, pins: &pins, plan: args.plan };
            order_list(orders, wish, out)
        }
        (Input::Recipe(loaded), None) => {
            ended(&[], &[loaded.findings, shop.findings].concat(), out)
        }
        (Input::Orders(orders), None) => {
            ended(&[], &[orders.list.findings, shop.findings].concat(), out)
        }
    }
}

/// What a dish is held against, and what is wanted beside the findings.
#[derive(Clone, Copy)]
struct Wish<'a> {
    shop: &'a Shop,
    pins: &'a Pins,
    plan: bool,
}

impl Wish<'_> {
    /// The plan of a dish, where it is wanted and there is one.
    fn planned(self, dish: &Examined, out: Output) -> io::Result<()> {
        match &dish.dish {
            Some((.., plan)) if self.plan => {
                out.tell(&format!("\n{}\n", text(plan, self.shop)))
            }
            Some(_) | None => Ok(()),
        }
    }
}

/// Prints what was found and gives the outcome.
fn ended(dishes: &[Examined], others: &[Finding], out: Output) -> io::Result<Outcome> {
    if out.json {
        answer(&check_json(dishes, others))?;
    }
    out.findings(others)?;
    if worst(others) == Some(Severity::Stop) {
        return Ok(Outcome::BadInput);
    }
    Ok(dishes.iter().map(outcome).max().unwrap_or(Outcome::AllWell))
}

fn outcome(dish: &Examined) -> Outcome {
    let broke = dish.findings.iter().any(|finding| finding.code == Code::Internal);
    match (&dish.dish, worst(&dish.findings)) {
        _ if broke => Outcome::Broken,
        (None, _) => Outcome::BadInput,
        (Some(_), Some(Severity::Stop)) => Outcome::SomeStopped,
        (Some(_), _) => Outcome::AllWell,
    }
}

fn shop_alone(
    shop: Option<&Shop>,
    findings: &[Finding],
    out: Output,
) -> io::Result<Outcome> {
    if let Some(shop) = shop {
        let (cutters, woods) = (shop.cutters.len(), shop.woods.len());
        out.tell(&format!("a shop with {cutters} cutters and {woods} woods\n"))?;
    }
    ended(&[], findings, out)
}

fn recipe_alone(
    loaded: &Loaded,
    set: Vec<treen::model::Setting>,
    wish: Wish<'_>,
    out: Output,
) -> io::Result<Outcome> {
    let Wish { shop, pins, .. } = wish;
    let Some(recipe) = &loaded.recipe else { return ended(&[], &loaded.findings, out) };
    let order = specimen(recipe, set);
    let dish =
        guarded(std::slice::from_ref(&order), |order| examine(recipe, order, shop, pins));
    for dish in &dish {
        out.findings(&dish.findings)?;
        verdict(dish, None, out)?;
        wish.planned(dish, out)?;
    }
    ended(&dish, &loaded.findings, out)
}

fn order_list(orders: Orders, wish: Wish<'_>, out: Output) -> io::Result<Outcome> {
    let Wish { shop, pins, .. } = wish;
    let Orders { list, said, library } = orders;
    let findings = [list.findings, said.findings].concat();
    let (Some(given), Some(said)) = (list.value, said.value) else {
        return ended(&[], &findings, out);
    };
    let recipes = library.load_for(&given);
    let dishes = guarded(&given.orders, |order| {
        let loaded = recipes.loaded(&order.recipe);
        match loaded.map(|loaded| (&loaded.recipe, &loaded.findings)) {
            None => Examined::failed(order, vec![library.unknown(order)]),
            Some((None, findings)) => Examined::failed(order, findings.clone()),
            Some((Some(recipe), _)) => {
                let mut examined = examine(recipe, order, shop, pins);
                held(&mut examined, order, said.of(&order.id), shop);
                examined
            }
        }
    });
    for (dish, order) in dishes.iter().zip(&given.orders) {
        if !dish.findings.is_empty() {
            let (id, name) = (&order.id, plain(&order.name));
            out.say(&format!("== {id} ({name}, {})\n", plain(&order.recipe)))?;
            out.findings(&dish.findings)?;
            out.say("\n")?;
        }
        verdict(dish, Some(order), out)?;
        wish.planned(dish, out)?;
    }
    ended(&dishes, &findings, out)
}

/// Orders side by side; a panic becomes a finding of its dish.
fn guarded(orders: &[Order], work: impl Fn(&Order) -> Examined + Sync) -> Vec<Examined> {
    let results = side_by_side(orders, 0, work);
    let pairs = orders.iter().zip(results);
    pairs
        .map(|(order, result)| {
            result.unwrap_or_else(|why| {
                let finding =
                    Finding::stop(Code::Internal, why).from(order.source.clone());
                Examined::failed(order, vec![finding])
            })
        })
        .collect()
}

/// One line per dish.
fn verdict(dish: &Examined, order: Option<&Order>, out: Output) -> io::Result<()> {
    let count =
        |severity| dish.findings.iter().filter(|f| f.severity == severity).count();
    let (stops, warns) = (count(Severity::Stop), count(Severity::Warn));
    let size = dish.dish.as_ref().map(|(dish, ..)| dish.size());
    let size = size.map_or_else(
        || "not drawn".to_owned(),
        |(width, height)| format!("{width:.1} x {height:.1} mm"),
    );
    let name = order.map(|order| format!(" {}", plain(&order.name))).unwrap_or_default();
    let said = match (stops, warns) {
        (0, 0) if dish.findings.is_empty() => "nothing found".to_owned(),
        (0, 0) => "nothing in the way".to_owned(),
        (0, warns) => format!("{warns} to look at"),
        (stops, 0) => format!("{stops} in the way"),
        (stops, warns) => format!("{stops} in the way, {warns} to look at"),
    };
    out.tell(&format!("{}{name}: {}, {size}: {said}\n", dish.id, plain(&dish.recipe)))
}
