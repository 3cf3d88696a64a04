//! Sheets: what is on them stays in its place, in true millimetres.

use crate::sample::{Case, boat, notched};
use std::path::Path;
use treen::export::{png, svg};
use treen::sheet::{Sheet, bench, proof, swap_card};

/// Writes a sheet where a person can look at it.
fn look(name: &str, sheet: &Sheet) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let text = svg(sheet);
    std::fs::write(folder.join(format!("{name}.svg")), &text).expect("written");
    let picture = png(&text, 150.0).expect("drawn");
    std::fs::write(folder.join(format!("{name}.png")), picture).expect("written");
}

#[test]
fn look_at_them() {
    let case = Case::of(boat("Zoë"));
    look("proof-boat", &proof(&case.dish, &case.report, &case.plan, &case.shop));
    look("bench-boat", &bench(&case.dish, &case.report, &case.plan, &case.shop));
    look("swap-boat", &swap_card(&case.report.swap, &case.dish, &case.shop));
    let case = Case::of(notched("Maximiliane Rosa", 5));
    look("proof-notched", &proof(&case.dish, &case.report, &case.plan, &case.shop));
    look("bench-notched", &bench(&case.dish, &case.report, &case.plan, &case.shop));
}
