//! Every built-in recipe with 400 sets of values over its ranges: the share that becomes
//! dishes, and the time. Fails when a share is below 98 %, or a set is neither a sound dish
//! nor refused by a finding that names a parameter.
//!
//! `cargo bench --bench library [KEY…]`

mod sets;

use rayon::prelude::*;
use sets::{Became, drawn, name, recipe, sets};
use std::process::ExitCode;
use std::time::Instant;
use treen::intake::{demo, shop};

const SETS: usize = 400;
const LEAST: f64 = 0.98;

fn main() -> ExitCode {
    let shop = shop("shop.yaml", demo::SHOP).value.expect("the demo's shop");
    let asked: Vec<String> =
        std::env::args().skip(1).filter(|arg| !arg.starts_with('-')).collect();
    let mut sound = true;
    println!("{:<14} {:>6} {:>8} {:>8}", "shape", "dishes", "share", "seconds");
    for (key, _) in demo::RECIPES {
        if !asked.is_empty() && !asked.iter().any(|one| one == key) {
            continue;
        }
        let (recipe, started) = (recipe(key), Instant::now());
        let all = sets(&recipe, SETS, 0x11b2_a51e);
        let ended: Vec<Result<Became, String>> = all
            .par_iter()
            .enumerate()
            .map(|(i, set)| drawn(&recipe, set, name(&recipe, set, i), &shop))
            .collect();
        let dishes = ended.iter().filter(|e| **e == Ok(Became::Dish)).count();
        let share = dishes as f64 / SETS as f64;
        let seconds = started.elapsed().as_secs_f64();
        println!("{key:<14} {dishes:>6} {:>6.1} % {seconds:>8.2}", share * 100.0);
        let first = ended.iter().find_map(|end| match end {
            Err(why) => Some(why),
            Ok(Became::Told(told)) if share < LEAST => Some(told),
            Ok(_) => None,
        });
        if let Some(why) = first {
            println!("  {why}");
            sound = false;
        }
    }
    if sound { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
