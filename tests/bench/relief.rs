//! `cargo bench --bench relief` prints how long the processor takes to paint the demo's dishes,
//! and to write their proof sheets in each form; the page that turns it comes after the PDF, whose
//! picture it shares.

mod busy;

use busy::Busy;
use std::time::Duration;
use treen::batch::{Library, examine};
use treen::dish::Dish;
use treen::export::{Chapter, pdf, png, svg, turn};
use treen::feasibility::Pins;
use treen::intake::{demo, orders_yaml, shop};
use treen::model::Shop;

use treen::sheet::{Mark, Picture, Sheet, proof, turning};

/// Pixels on the longer side.
const SIDE: f64 = 900.0;

/// Rounds; the median is told.
const ROUNDS: usize = 5;

fn main() {
    println!("medians of processor time, ms, of {ROUNDS} rounds");
    println!(
        "dish           pixels       painted   PNG 150   PDF       SVG       turned"
    );
    let shop = shop("shop.yaml", demo::SHOP).value.expect("the demo's shop");
    let orders = orders_yaml("orders.yaml", demo::ORDERS).value.expect("its orders");
    let library = Library::built_in();
    for order in &orders.orders {
        let loaded = library.load(&order.recipe).expect("a recipe");
        let recipe = loaded.recipe.expect("a sound recipe");
        let examined = examine(&recipe, order, &shop, &Pins::default());
        let (dish, report, plan) = examined.dish.expect("a dish");
        let page = || proof(&dish, &report, &plan, &shop);
        tell((&dish, &shop), &page);
    }
}

fn tell((dish, shop): (&Dish, &Shop), page: &dyn Fn() -> Sheet) {
    let id = &dish.id;
    let sheet = page();
    let picture = picture(&sheet);
    let place = picture.place;
    let side = place.width().max(place.height()) / SIDE;
    let size = [place.width(), place.height()].map(|mm| (mm / side).round() as usize);
    let painted = median(|| {
        picture.painter(place.origin(), side, size).all();
    });
    // Pages made anew each time, as pixels for print are made once.
    let pages: Vec<Sheet> = (0..2 * ROUNDS).map(|_| page()).collect();
    let mut fresh = pages.chunks(1);
    let raster = median(|| drop(png(&sheet, 150.0)));
    let bound = median(|| {
        let pages = fresh.next().unwrap_or_default();
        drop(pdf(id, &[Chapter { title: id, pages }]));
    });
    let drawing = median(|| drop(fresh.next().and_then(|pages| pages.first()).map(svg)));
    drop(svg(&sheet));
    let shown = turning(dish, &sheet, shop).expect("a painted dish");
    let turned = median(|| drop(turn(&shown)));
    println!(
        "{id:<14} {:>4} x {:<4}  {painted:>6.1}    {raster:>6.1}    {bound:>6.1}    {drawing:>6.1}    {turned:>6.1}",
        size[0], size[1]
    );
}

fn picture(sheet: &Sheet) -> &Picture {
    let marks = sheet.layers.iter().flat_map(|layer| &layer.marks);
    let mut pictures = marks.filter_map(|mark| match mark {
        Mark::Picture(picture) => Some(picture),
        Mark::Path(_) | Mark::Text(_) => None,
    });
    pictures.next().expect("a painted dish")
}

fn median(mut work: impl FnMut()) -> f64 {
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|_| {
            let busy = Busy::start();
            work();
            busy.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[ROUNDS / 2].as_secs_f64() * 1e3
}
