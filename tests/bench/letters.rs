//! `cargo bench --bench letters` prints how long the processor takes for a name laid out, shaped
//! and checked, over the list of names of the tests.
//!
//! `cargo bench --bench letters -- FOLDER` writes every built-in face as a file there, named
//! as recipes name it, for other libraries (`../reference/shaping.py`).
//!
//! `cargo bench --bench letters -- sheets FOLDER [FACE]` writes contact sheets of that list
//! there, in the hand or another face.

mod busy;
mod contact;

use busy::Busy;
use std::fs;
use std::path::Path;
use std::process::ExitCode;
use std::time::Duration;
use treen::batch::{compare, specimen};
use treen::curve::BezPath;
use treen::feasibility::Pins;
use treen::intake::{demo, recipe, shop};
use treen::lettering::{Fit, Gauge, Letters, fit};
use treen::model::Recipe;
use treen::sheet::Face;

fn main() -> ExitCode {
    let words: Vec<String> =
        std::env::args().skip(1).filter(|word| word != "--bench").collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let written = match words[..] {
        [] => {
            time();
            Ok(())
        }
        ["sheets", folder] => sheets(folder, Letters::HAND),
        ["sheets", folder, face] => sheets(folder, face),
        [folder] => faces(Path::new(folder)),
        [..] => Err(format!("not understood: {}", words.join(" "))),
    };
    match written {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => {
            println!("{fault}");
            ExitCode::FAILURE
        }
    }
}

fn faces(folder: &Path) -> Result<(), String> {
    let written = fs::create_dir_all(folder).and_then(|()| {
        Face::every()
            .try_for_each(|face| fs::write(folder.join(face.name()), face.bytes()))
    });
    written.map_err(|fault| format!("{}: {fault}", folder.display()))
}

fn sheets(folder: &str, face: &str) -> Result<(), String> {
    let letters = Letters::named(face).ok_or_else(|| format!("no face `{face}`"))?;
    let pages = contact::sheets(&names(), &letters, Path::new(folder))?;
    println!("{} names on {pages} pages in {folder}", names().len());
    Ok(())
}

/// Every name of the list with its language.
fn names() -> Vec<(&'static str, &'static str)> {
    let list = include_str!("../golden/names.txt");
    let lines = list.lines().filter(|line| !line.starts_with('#'));
    lines
        .filter_map(|line| line.split_once(':'))
        .flat_map(|(language, names)| {
            names.split_whitespace().map(move |name| (language, name))
        })
        .collect()
}

/// Names laid out, shaped and measured by themselves; then whole dishes against the rack, with
/// their names and without. The first round fills what is kept of letters and is not told.
fn time() {
    let mut line = BezPath::new();
    line.move_to((-70.0, 0.0));
    line.line_to((70.0, 0.0));
    println!("{} names, medians of processor time", names().len());
    for face in ["serif bold", "sans bold", "hand"] {
        let letters = Letters::named(face).expect("a face");
        let how = Fit {
            letters,
            most: 24.0,
            least: 6.0,
            condense: 0.85,
            gap: 0.5,
            apart: 0.0,
            lines: 1,
        };
        let round = || {
            times(|name| {
                busy(|| {
                    std::hint::black_box(laid(name, &how, &line));
                })
            })
        };
        round();
        println!("     {face:<12} laid out, shaped, measured    {:>9.1?}", round());
    }
    let shop = shop("shop.yaml", demo::SHOP).value.expect("the demo's shop");
    for (style, face) in [("vee", "serif bold"), ("vee", "hand"), ("line", "hand")] {
        let oval = oval(style, face);
        let dish = |name: &str| {
            let mut order = specimen(&oval, Vec::new());
            name.clone_into(&mut order.name);
            compare(&oval, &order, &shop, &Pins::default())
        };
        // Both side by side for each name: the machine may be slower a second later.
        let more = || {
            times(|name| {
                let with = busy(|| drop(dish(name)));
                with.saturating_sub(busy(|| drop(dish(""))))
            })
        };
        more();
        println!("{style:<4} {face:<12} more for a dish with its name {:>9.1?}", more());
    }
}

fn laid(name: &str, how: &Fit, line: &BezPath) -> Option<Gauge> {
    let fitted = fit(name, how, line).ok()?;
    Some(fitted.gauge(&fitted.region().ok()?))
}

/// The built-in oval with its name in a style and a face.
fn oval(style: &str, face: &str) -> Recipe {
    let text = demo::RECIPES.iter().find(|(key, _)| *key == "oval").expect("built in").1;
    let text = text.replace("style: vee", &format!("style: {style}, face: {face}"));
    assert!(text.contains(face), "the recipe states its style");
    recipe("oval.yaml", &text, "oval", None).value.expect("readable")
}

/// The median over all names.
fn times(each: impl Fn(&str) -> Duration) -> Duration {
    let mut all: Vec<Duration> = names().iter().map(|(_, name)| each(name)).collect();
    all.sort();
    all[all.len() / 2]
}

fn busy(work: impl FnOnce()) -> Duration {
    let clock = Busy::start();
    work();
    clock.elapsed()
}
