//! The bench sheet's second part: how the cutters stand over the wood, what a stepover leaves,
//! what the wood is like, why these cutters.

use super::block::{Block, head, paragraph};
use super::facts::pairs;
use super::figures::{fine, length, quoted, sentence};
use super::frame::WIDTH;
use super::setup::setup;
use super::side::side_view;
use super::style::{FIGURE, LABEL, SMALL};
use super::table::{Column, Table};
use crate::curve::Vec2;
use crate::dish::Dish;
use crate::feasibility::Standing;
use crate::model::Shop;
use crate::plan::{Choice, Plan, SEASON, WoodBill, Work, standing};
use crate::units::{DisplayUnit, trimmed};

/// Between the two columns, mm.
const GUTTER: f64 = 8.0;
/// A side view is so tall at least and at most, mm.
const VIEW: [f64; 2] = [42.0, 50.0];
/// The blank on the machine is so tall at most, mm.
const BLANK: f64 = 118.0;
/// A side view is so wide with its numbers, mm.
const ACROSS: f64 = 110.0;
/// Views and blank are left so much room before the reasons, mm.
const NEEDED: f64 = 90.0;
/// Side views under each other at most.
const VIEWS: f64 = 2.0;

/// The parts in their order, in a height of so many mm.
pub(super) fn setting(
    dish: &Dish,
    plan: &Plan,
    shop: &Shop,
    height: f64,
) -> Vec<(&'static str, Block)> {
    const GAP: f64 = 5.0;
    let figures = figures(plan, shop);
    let mut blocks = Vec::new();
    let mut left = height - figures.height - GAP;
    let whole = reasons(plan, shop, f64::INFINITY).height;
    let room = (left - whole - GAP).max(NEEDED.min(left));
    let views = views(dish, plan, shop, room);
    left -= views.height + GAP;
    for (name, block) in [("side-views", views), ("floor-and-wood", figures)] {
        if block.height > 0.0 {
            blocks.push((name, block));
        }
    }
    let why = reasons(plan, shop, left);
    if why.height > 0.0 {
        blocks.push(("choice", why));
    }
    blocks
}

/// The cutters that come nearest to the wood, each at the bottom of its cut, beside the blank
/// on the machine.
fn views(dish: &Dish, plan: &Plan, shop: &Shop, height: f64) -> Block {
    let mut seen: Vec<(usize, Standing)> = plan
        .operations
        .iter()
        .enumerate()
        .filter_map(|(index, op)| Some((index, standing(dish, op, shop)?)))
        .collect();
    let free = |standing: &Standing| standing.above_board().unwrap_or(f64::NEG_INFINITY);
    seen.sort_by(|a, b| free(&a.1).total_cmp(&free(&b.1)));
    seen.dedup_by(|a, b| a.1.cutter.id() == b.1.cutter.id());
    let [least, most] = VIEW;
    let title = head("Nut, cutter and wood at the bottom of the cut");
    let fits = ((height - title.height) / (least + 4.0)).clamp(1.0, VIEWS) as usize;
    seen.truncate(fits);
    seen.sort_by_key(|(index, _)| *index);
    if seen.is_empty() {
        return setup(dish, plan, shop, (WIDTH, height.min(BLANK)));
    }
    let count = u32::try_from(seen.len()).unwrap_or(u32::MAX);
    let share = (height - title.height) / f64::from(count) - 4.0;
    let each = share.clamp(least, most);
    let look = (dish.wood.tone, shop.house.unit);
    let drawn = seen.iter().map(|(index, standing)| {
        let work = plan.operations[*index].work;
        side_view((work, standing), (ACROSS, each), look)
    });
    let views = Block::stack([title, Block::stack(drawn, 4.0)], 2.0);
    let aside = ACROSS + 6.0;
    let setup = setup(dish, plan, shop, (WIDTH - aside, height.min(BLANK)));
    Block::beside([(0.0, views), (aside, setup)])
}

/// The table of stepovers beside the figures of the wood.
fn figures(plan: &Plan, shop: &Shop) -> Block {
    let column = (WIDTH - GUTTER) / 2.0;
    let unit = shop.house.unit;
    let mut parts = Vec::new();
    if !plan.finish.is_empty() {
        parts.push((0.0, floor(plan, shop, column)));
    }
    if let Some(bill) = &plan.wood {
        let x = if parts.is_empty() { 0.0 } else { column + GUTTER };
        parts.push((x, wood(bill, unit, column)));
    }
    Block::beside(parts)
}

/// What each stepover leaves on the floor and how long it takes.
fn floor(plan: &Plan, shop: &Shop, width: f64) -> Block {
    let unit = shop.house.unit;
    let rows = plan.finish.iter().map(|row| {
        vec![
            format!("{} %", trimmed((row.share * 1000.0).round() / 10.0)),
            fine(row.step, unit),
            micron(row.cusp, unit),
            micron(row.ridge, unit),
            format!("{:.1}", row.minutes),
            if row.present { "planned".to_owned() } else { String::new() },
        ]
    });
    let table = Table {
        columns: vec![
            Column::figures("last pass"),
            Column::figures("stepover"),
            Column::figures("cusps"),
            Column::figures("ridges"),
            Column::figures("minutes"),
            Column::words(""),
        ],
        rows: rows.collect(),
        head: LABEL,
        body: FIGURE,
    };
    let drawn = table.draw(width, f64::INFINITY).0;
    let tilt = paragraph(&tilt(shop), SMALL.quiet(), width, 4);
    Block::stack([head("Stepover, finish and time of the recess"), drawn, tilt], 1.4)
}

fn tilt(shop: &Shop) -> String {
    let tilt = shop.machine.tram.get();
    if tilt > 0.0 {
        format!(
            "Ridges come from a spindle {}° out of square; cusps from the cutter’s round corner.",
            trimmed(tilt)
        )
    } else {
        "The spindle’s tilt is not in the shop file (“tram”): ridges are counted as none until it is measured. Cusps come from the cutter’s round corner."
            .to_owned()
    }
}

/// A height to 0.001 mm.
fn micron(mm: f64, unit: DisplayUnit) -> String {
    match unit {
        DisplayUnit::Mm => format!("{mm:.3} mm"),
        DisplayUnit::Inch => format!("{:.4} in", mm / crate::units::MM_PER_INCH),
    }
}

fn wood(bill: &WoodBill, unit: DisplayUnit, width: f64) -> Block {
    let mut rows = Vec::new();
    let mut row = |label: &str, value: String| rows.push((label.to_owned(), value));
    let [x, y, thick] = bill.blank.map(|mm| length(mm, unit));
    row("Blank with room for clamps", format!("{x} × {y} × {thick}"));
    let known = |value: Option<String>| value.unwrap_or_else(|| "not known".to_owned());
    row("Mass of the dish", known(bill.mass.map(|kg| format!("{kg:.2} kg"))));
    row(
        "Price of the blank",
        bill.price.map_or_else(
            || "no price in the shop file".to_owned(),
            |p| format!("{p:.2}"),
        ),
    );
    row("Across the grain", length(bill.across, unit));
    if let Some(movement) = bill.movement {
        let season = trimmed(SEASON);
        row(
            &format!("Moves for {season} % moisture, flat-sawn"),
            length(movement.flat, unit),
        );
        row("the same, quarter-sawn", length(movement.quarter, unit));
    }
    if let Some(species) = bill.species {
        row("Figures of", species.to_owned());
    }
    Block::stack([head("Wood"), pairs(&rows, width)], 1.0)
}

/// For each work the cutters that can and why the others cannot, as many as fit.
fn reasons(plan: &Plan, shop: &Shop, height: f64) -> Block {
    const INDENT: f64 = 26.0;
    let mut block = head("Why these cutters");
    block.height += 1.6;
    let bare = block.height;
    let mut chosen = plan.choices.iter().filter(|choice| !choice.chosen.is_empty());
    let rest = |left: usize| {
        let words = format!("{left} more: “treen check --plan” tells them all");
        paragraph(&words, SMALL.quiet(), WIDTH - INDENT, 1)
    };
    while let Some(choice) = chosen.next() {
        let words = paragraph(&quoted(&reason(choice, shop)), SMALL, WIDTH - INDENT, 4);
        let left = chosen.clone().count();
        let more = if left > 0 { rest(left).height + 1.4 } else { 0.0 };
        if block.height + words.height + more > height {
            let words = rest(left + 1);
            if block.height > bare && block.height + words.height <= height {
                block.put(words, Vec2::new(INDENT, block.height));
                block.height += SMALL.height * 1.25;
            }
            break;
        }
        let (y, tall) = (block.height, words.height);
        let work = paragraph(&sentence(choice.work.word()), LABEL, INDENT - 2.0, 1);
        block.put(work, Vec2::new(0.0, y));
        block.put(words, Vec2::new(INDENT, y));
        block.height = y + tall + 1.4;
    }
    if block.height > bare { block } else { Block::default() }
}

fn reason(choice: &Choice, shop: &Shop) -> String {
    let mut text = choice.chosen.join(", ");
    if choice.pinned {
        text.push_str(" (asked for)");
    }
    let others: Vec<String> = choice
        .able
        .iter()
        .filter(|able| !choice.chosen.contains(&able.cutter))
        .map(|able| {
            // What is asked for was not held against the others; its cost stands elsewhere.
            let id = &able.cutter;
            if choice.pinned { id.clone() } else { format!("{id} {:.1}", able.minutes) }
        })
        .collect();
    if !others.is_empty() {
        let minutes = if choice.pinned { "" } else { ", with minutes at least:" };
        text = format!("{text}; also{minutes} {}", others.join(", "));
    }
    let mut told: Vec<(&str, Vec<&str>)> = Vec::new();
    for refused in &choice.refused {
        match told.iter_mut().find(|(reason, _)| *reason == refused.reason) {
            Some((_, ids)) => ids.push(&refused.cutter),
            None => told.push((&refused.reason, vec![&refused.cutter])),
        }
    }
    for (reason, ids) in told {
        text = format!("{text}; not {}: {reason}", ids.join(", "));
    }
    if passed_over(choice, shop) {
        text.push_str("; a round end is taken for a floor only where it saves more than a change of cutter");
    }
    format!("{text}.")
}

/// A round end could carve the recess and was not taken.
fn passed_over(choice: &Choice, shop: &Shop) -> bool {
    let round = |id: &String| {
        let cutter = shop.cutters.iter().find(|cutter| cutter.id() == id);
        cutter.is_some_and(|cutter| cutter.corner_radius() >= cutter.radius())
    };
    let recess = matches!(choice.work, Work::Recess | Work::RecessCorners);
    recess
        && !choice.pinned
        && !choice.chosen.iter().any(round)
        && choice.able.iter().any(|able| round(&able.cutter))
}
