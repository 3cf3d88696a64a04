//! `treen shop`: what each cutter on the rack may do, and how deep in each wood.

use crate::Outcome;
use crate::args::ShopArgs;
use crate::inputs::the_shop;
use crate::output::{Output, answer};
use crate::table::table;
use std::io;
use std::path::Path;
use treen::batch::shop_json;
use treen::feasibility::{Deepest, Limit, RackRow, Through, rack};
use treen::model::{Cutter, Shop, Work};
use treen::units::{DisplayUnit, Mm, hundredths_down};

pub(crate) fn run(args: &ShopArgs, out: Output) -> io::Result<Outcome> {
    // As if it were asked beside a file of this folder.
    let read = the_shop(args.file.as_deref(), Some(Path::new("shop.yaml")));
    let Some(shop) = read.value else {
        out.refuse(&read.findings)?;
        return Ok(Outcome::BadInput);
    };
    let rows = rack(&shop);
    if out.json {
        answer(&shop_json(&shop, &rows))?;
    } else {
        out.findings(&read.findings)?;
        answer(&text(&shop, &rows))?;
    }
    Ok(Outcome::AllWell)
}

fn text(shop: &Shop, rows: &[RackRow]) -> String {
    let unit = shop.house.unit;
    let titles = ["cutter", "kind", "diameter", "stick-out", "flutes", "works"];
    let mut cells = vec![titles.map(str::to_owned).to_vec()];
    cells.extend(rows.iter().map(|row| tool(&shop.cutters[row.cutter], row, unit)));
    let tools = table(&cells);
    let mut head = vec!["deepest recess, or cut through".to_owned()];
    head.extend(
        shop.woods
            .iter()
            .map(|wood| format!("{}, {}", wood.name, show(wood.thickness.get(), unit))),
    );
    let mut cells = vec![head];
    cells.extend(rows.iter().filter_map(|row| depths(shop, row, unit)));
    let floor = show(shop.house.floor.get(), unit);
    let margin = show(shop.house.collet_margin.get(), unit);
    format!(
        "{tools}\n{}\nTo the floor: down to {floor} of floor, the house's least. The collet nut keeps {margin} from the wood.\n",
        table(&cells)
    )
}

fn tool(cutter: &Cutter, row: &RackRow, unit: DisplayUnit) -> Vec<String> {
    let known = |mm: Option<f64>| mm.map_or_else(|| "-".to_owned(), |mm| show(mm, unit));
    let works: Vec<&str> = row.works.iter().map(|work| Work::word(*work)).collect();
    let works = if works.is_empty() { "-".to_owned() } else { works.join(", ") };
    vec![
        cutter.id().to_owned(),
        cutter.kind().word().to_owned(),
        show(cutter.diameter(), unit),
        known(cutter.stick_out()),
        known(cutter.flutes()),
        works,
    ]
}

/// The row of a cutter that carves recesses or cuts out.
fn depths(shop: &Shop, row: &RackRow, unit: DisplayUnit) -> Option<Vec<String>> {
    if row.recess.is_empty() && row.through.is_empty() {
        return None;
    }
    let mut cells = vec![shop.cutters[row.cutter].id().to_owned()];
    cells.extend(row.recess.iter().map(|deepest| recess(*deepest, unit)));
    cells.extend(row.through.iter().map(|through| cut_out(*through, unit)));
    Some(cells)
}

fn recess(deepest: Deepest, unit: DisplayUnit) -> String {
    let depth = show(hundredths_down(deepest.depth), unit);
    match deepest.limit {
        Limit::Floor => format!("{depth}, to the floor"),
        Limit::Unknown => format!("{depth}? (stick-out unknown)"),
        Limit::StickOut | Limit::Flutes => format!("{depth} ({})", deepest.limit.word()),
    }
}

fn cut_out(through: Through, unit: DisplayUnit) -> String {
    match (through.clears, through.have) {
        (true, Some(_)) => "through".to_owned(),
        (true, None) => "through? (lengths unknown)".to_owned(),
        (false, have) => {
            let have = show(hundredths_down(have.unwrap_or(0.0)), unit);
            format!("no: {have} of {}", show(through.need, unit))
        }
    }
}

fn show(mm: f64, unit: DisplayUnit) -> String {
    Mm::new(mm).map_or_else(|| "-".to_owned(), |mm| mm.show(unit))
}
