//! `cargo bench --bench sheets -- png THREADS COUNT` prints how many proofs of the demo's dishes a
//! second so many threads lay out, paint anew at 150 pixels to the inch and write as PNG (or `pdf`, or
//! `svg`), by the clock, and the most memory held (Linux). `-- files FOLDER` writes each as SVG there, for other programs to draw
//! (`sheets.py`); `-- lossless FOLDER` does so with the picture in it as PNG, every pixel as painted.

#[path = "memory.rs"]
mod memory;

use base64::Engine;
use std::fs;
use std::path::Path;
use std::process::ExitCode;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;
use treen::batch::{Library, examine};
use treen::dish::Dish;
use treen::export::{Chapter, pdf, png as written, svg};
use treen::feasibility::{Pins, Report};
use treen::intake::{demo, orders_yaml, shop};
use treen::model::Shop;
use treen::plan::Plan;
use treen::sheet::{Mark, Sheet, proof};

/// Pixels to the inch.
const DPI: f64 = 150.0;

/// A dish looked at, its sheets not begun.
struct Order(Dish, Report, Plan);

fn main() -> ExitCode {
    let words: Vec<String> =
        std::env::args().skip(1).filter(|word| word != "--bench").collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let shop = shop("shop.yaml", demo::SHOP).value.expect("the demo's shop");
    let orders = orders(&shop);
    let done = match words[..] {
        [] => ["png", "pdf", "svg"]
            .iter()
            .try_for_each(|form| told(form, (1, 12), &orders, &shop)),
        ["files", folder] => files(Path::new(folder), &orders, &shop, |_, text| text),
        ["lossless", folder] => files(Path::new(folder), &orders, &shop, lossless),
        [form, threads, count] => match (threads.parse(), count.parse()) {
            (Ok(threads), Ok(count)) => told(form, (threads, count), &orders, &shop),
            (_, _) => Err(format!("not numbers: {threads} {count}")),
        },
        [..] => Err(format!("not understood: {}", words.join(" "))),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            println!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn orders(shop: &Shop) -> Vec<Order> {
    let library = Library::built_in();
    let list = orders_yaml("orders.yaml", demo::ORDERS).value.expect("its orders");
    let look = |order: &treen::model::Order| {
        let loaded = library.load(&order.recipe).expect("a recipe");
        let recipe = loaded.recipe.expect("a sound recipe");
        let examined = examine(&recipe, order, shop, &Pins::default());
        let (dish, report, plan) = examined.dish.expect("a dish");
        Order(dish, report, plan)
    };
    list.orders.iter().map(look).collect()
}

fn page(Order(dish, report, plan): &Order, shop: &Shop) -> Sheet {
    let mut sheet = proof(dish, report, plan, shop);
    sheet.print_at(DPI);
    sheet
}

fn files(
    folder: &Path,
    orders: &[Order],
    shop: &Shop,
    other: fn(&Sheet, String) -> String,
) -> Result<(), String> {
    fs::create_dir_all(folder).map_err(|why| why.to_string())?;
    for order in orders {
        let sheet = page(order, shop);
        let text = svg(&sheet).map_err(|why| why.to_string())?;
        let text = other(&sheet, text);
        fs::write(folder.join(format!("{}.svg", order.0.id)), text)
            .map_err(|why| why.to_string())?;
    }
    Ok(())
}

/// An SVG with the picture of its sheet as PNG.
fn lossless(sheet: &Sheet, mut text: String) -> String {
    const JPEG: &str = "data:image/jpeg;base64,";
    for mark in sheet.layers.iter().flat_map(|layer| &layer.marks) {
        let Mark::Picture(picture) = mark else { continue };
        let (painter, _) = picture.print();
        let size = painter.size().map(|side| u32::try_from(side).expect("a side"));
        let [width, height] = size;
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, width, height);
        encoder.set_color(png::ColorType::Rgb);
        let mut writer = encoder.write_header().expect("a head");
        writer.write_image_data(&painter.all()).expect("all pixels");
        writer.finish().expect("whole");
        let data = base64::engine::general_purpose::STANDARD.encode(&bytes);
        let (before, rest) = text.split_once(JPEG).expect("a picture");
        let (_, after) = rest.split_once('"').expect("its end");
        text = format!("{before}data:image/png;base64,{data}\"{after}");
    }
    text
}

fn told(
    form: &str,
    (threads, count): (usize, usize),
    orders: &[Order],
    shop: &Shop,
) -> Result<(), String> {
    let write = |order: &Order| -> Result<usize, String> {
        let sheet = page(order, shop);
        let bytes = match form {
            "png" => written(&sheet, DPI).map(|bytes| bytes.len()),
            "pdf" => {
                let title = &order.0.id;
                pdf(title, &[Chapter { title, pages: &[sheet] }]).map(|bytes| bytes.len())
            }
            "svg" => svg(&sheet).map(|text| text.len()),
            other => return Err(format!("no such form: {other}")),
        };
        bytes.map_err(|why| why.to_string())
    };
    // Fonts and tables are made by the first.
    write(&orders[0])?;
    let next = AtomicUsize::new(0);
    let work = || -> Result<usize, String> {
        let mut bytes = 0;
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            if at >= count {
                return Ok(bytes);
            }
            bytes += write(&orders[at % orders.len()])?;
        }
    };
    let start = Instant::now();
    let bytes = std::thread::scope(|scope| {
        let hands: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        let sums = hands.into_iter().map(|hand| {
            hand.join().unwrap_or_else(|_| Err("a thread broke off".to_owned()))
        });
        sums.sum::<Result<usize, String>>()
    })?;
    let rate = count as f64 / start.elapsed().as_secs_f64();
    println!(
        "{form}, {threads} threads: {rate:.2} a second, {} KB each, at most {:.1} MiB held",
        bytes / count / 1024,
        memory::most_held("self"),
    );
    Ok(())
}
