//! `cargo bench --bench stages` prints how long the processor takes over each stage of an order
//! of the demo, from recipe to files in memory.

mod busy;

use busy::Busy;
use treen::batch::Library;
use treen::dish::{Dish, assemble};
use treen::export::{Chapter, pdf, png, svg};
use treen::feasibility::{Report, check};
use treen::intake::{demo, orders_yaml, shop};
use treen::mend::{Case, offer_more};
use treen::model::{Order, Recipe, Shop};
use treen::plan::{Plan, choose};
use treen::shape::{NoFiles, build};
use treen::sheet::{Sheet, bench, proof};

/// Rounds; the median of each stage is told.
const ROUNDS: usize = 3;

const STAGES: [&str; 11] = [
    "drawn", "joined", "checked", "mended", "planned", "proof", "bench", "PNG", "PDF",
    "SVG", "all",
];

fn main() {
    let shop = shop("shop.yaml", demo::SHOP).value.expect("the demo's shop");
    let orders = orders_yaml("orders.yaml", demo::ORDERS).value.expect("its orders");
    let library = Library::built_in();
    println!(
        "medians of processor time, ms, of {ROUNDS} rounds; proof and bench sheet, 150 dpi"
    );
    print!("{:<16}", "order");
    println!("{}", STAGES.map(|stage| format!("{stage:>9}")).concat());
    let mut total = [0.0; STAGES.len()];
    for order in &orders.orders {
        let loaded = library.load(&order.recipe).expect("a recipe");
        let recipe = loaded.recipe.expect("a sound recipe");
        let rounds: Vec<[f64; STAGES.len()]> =
            (0..ROUNDS).map(|_| staged(&recipe, order, &shop)).collect();
        let median = |stage: usize| {
            let mut times: Vec<f64> = rounds.iter().map(|round| round[stage]).collect();
            times.sort_unstable_by(f64::total_cmp);
            times[ROUNDS / 2]
        };
        let times: [f64; STAGES.len()] = std::array::from_fn(median);
        tell(&order.id, &times);
        total.iter_mut().zip(times).for_each(|(sum, time)| *sum += time);
    }
    tell("together", &total);
}

fn tell(id: &str, times: &[f64]) {
    let times: Vec<String> = times.iter().map(|time| format!("{time:>9.1}")).collect();
    println!("{id:<16}{}", times.concat());
}

fn staged(recipe: &Recipe, order: &Order, shop: &Shop) -> [f64; STAGES.len()] {
    let mut times = Vec::new();
    let whole = Busy::start();
    let load = NoFiles;
    let form = timed(&mut times, || build(recipe, &order.set, &order.name, &load));
    let form = form.value.expect("a form");
    let dish = timed(&mut times, || assemble(&form, order, shop)).value.expect("a dish");
    let pins = shop.pins.overruled(&order.pins);
    let mut report: Report = timed(&mut times, || check(&dish, shop, &pins));
    timed(&mut times, || {
        let case = Case { recipe, order, shop, load: &load };
        offer_more(&case, &dish, &report.swap, &mut report.findings);
    });
    let plan = timed(&mut times, || choose(&dish, &report, shop)).value;
    written(&mut times, (&dish, &report, &plan.unwrap_or_default()), shop);
    times.push(whole.elapsed().as_secs_f64() * 1e3);
    times.try_into().expect("a time for each stage")
}

fn written(
    times: &mut Vec<f64>,
    (dish, report, plan): (&Dish, &Report, &Plan),
    shop: &Shop,
) {
    let first = timed(times, || vec![proof(dish, report, plan, shop)]);
    let second = timed(times, || bench(dish, report, plan, shop));
    let sheets: [&[Sheet]; 2] = [&first, &second];
    let pages = || sheets.iter().copied().flatten();
    timed(times, || pages().for_each(|page| drop(png(page, 150.0))));
    timed(times, || {
        for pages in sheets {
            drop(pdf("a sheet", &[Chapter { title: "a sheet", pages }]));
        }
    });
    timed(times, || pages().for_each(|page| drop(svg(page))));
}

fn timed<T>(times: &mut Vec<f64>, work: impl FnOnce() -> T) -> T {
    let busy = Busy::start();
    let made = work();
    times.push(busy.elapsed().as_secs_f64() * 1e3);
    made
}
