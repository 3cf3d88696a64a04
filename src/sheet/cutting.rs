//! What the cutters do and what they leave, in tables.

use super::block::{Block, head, paragraph, rectangle};
use super::color::{Color, INK, QUIET};
use super::drawing::{FLAT, Left, SECOND, tab_tone};
use super::figures::{amount, area, bare, length, thousands};
use super::frame::WIDTH;
use super::labels::Shape;
use super::setup::quartered;
use super::style::{FIGURE, LABEL, Pen, SMALL, Style};
use super::table::{Column, Table};
use crate::curve::{Point, Vec2};
use crate::dish::Dish;
use crate::feasibility::Pair;
use crate::lettering::Face;
use crate::plan::{Operation, Plan, Tab, Work};
use crate::reach::Leftover;
use crate::units::{DisplayUnit, MM_PER_INCH, trimmed};

/// Beside speeds and feeds of a cutter whose chip load or speed is not in the shop file.
const GUESSED: &str = "* Not all of it is in the shop file: a usual figure to start from. \
    Confirm it against the cutter maker's chart.";

/// What the cutters leave, in words and in as many rows as fit into a height.
pub(super) fn leftovers(
    left: &Left<'_>,
    (width, height): (f64, f64),
    unit: DisplayUnit,
) -> Block {
    let mut parts = vec![head("Leftovers")];
    for (shape, attempt) in [("square", left.outline), ("circle", left.recess)] {
        if let Some(attempt) = attempt {
            parts.push(paragraph(&attempt.words(shape), SMALL.quiet(), width, 4));
        }
    }
    let title = Block::stack(parts, 1.4);
    let all: Vec<_> = left.lettered().collect();
    if all.is_empty() {
        return title;
    }
    let (drawn, shown) =
        leftover_table(&all, unit).draw(width, height - title.height - 6.0);
    let mut parts = vec![title];
    if shown > 0 {
        parts.push(drawn);
    }
    if shown < all.len() {
        let more = if shown > 0 { " more" } else { "" };
        let more = format!("{}{more}, marked in the plan", all.len() - shown);
        parts.push(paragraph(&more, SMALL.quiet(), width, 2));
    }
    Block::stack(parts, 1.6)
}

/// What the signs of the plan mean.
pub(super) fn signs(
    dish: &Dish,
    tabs: &[Tab],
    pair: Option<&Pair>,
    (width, unit): (f64, DisplayUnit),
) -> Block {
    const SWATCH: [f64; 2] = [4.0, 2.2];
    let [w, h] = SWATCH;
    let row = |sign: Block, words: &str| {
        let words = paragraph(words, SMALL.quiet(), width - w - 1.6, 3);
        let mut block = Block::space(words.height.max(h));
        block.put(sign, Vec2::ZERO);
        block.put(words, Vec2::new(w + 1.6, 0.0));
        block
    };
    let swatch = |tone: Color, pen: Pen| {
        let mut sign = Block::default();
        sign.shape(rectangle(0.0, 0.0, w, h), tone, pen);
        sign
    };
    let mut rows = Vec::new();
    let mut sign = Block::default();
    quartered(&mut sign, Point::new(w / 2.0, h / 2.0));
    rows.push(row(sign, "zero of x and y; of z on the board’s upper face"));
    if let Some(tab) = tabs.first() {
        let sign = swatch(tab_tone(dish), Pen::new(INK, 0.18));
        let (long, high) = (length(tab.length, unit), length(tab.height, unit));
        let words = format!("holding tabs, {}: {long} long, {high} high", tabs.len());
        rows.push(row(sign, &words));
    }
    if let Some(pair) = pair.filter(|pair| pair.second.is_some()) {
        let sign = swatch(SECOND.at(0.4), Pen::new(QUIET, 0.13));
        let spots = pair.spots();
        let words = format!(
            "only the second cutter reaches: {} in {spots} place{}",
            area(pair.area_left(), unit),
            if spots == 1 { "" } else { "s" }
        );
        rows.push(row(sign, &words));
    }
    if pair.is_some() {
        let mut sign = Block::default();
        sign.line((0.0, h / 2.0), (w, h / 2.0), Pen::new(QUIET, 0.18).dashed(&FLAT));
        rows.push(row(sign, "edge of the flat floor"));
    }
    Block::stack(rows, 0.8)
}

fn leftover_table(all: &[(String, Shape, &Leftover)], unit: DisplayUnit) -> Table {
    let size = |mm: f64| match unit {
        DisplayUnit::Mm => amount(mm, 2),
        DisplayUnit::Inch => amount(mm / MM_PER_INCH, 3),
    };
    let area = |mm2: f64| match unit {
        DisplayUnit::Mm => amount(mm2, 1),
        DisplayUnit::Inch => amount(mm2 / (MM_PER_INCH * MM_PER_INCH), 3),
    };
    let place = |mm: f64| match unit {
        DisplayUnit::Mm => bare(mm, 1),
        DisplayUnit::Inch => bare(mm / MM_PER_INCH, 2),
    };
    let row = |(letter, _, l): &(String, Shape, &Leftover)| {
        let [x, y] = [l.at.x, l.at.y].map(place);
        vec![letter.clone(), x, y, size(l.depth), size(l.mouth), area(l.area)]
    };
    Table {
        columns: ["", "x", "y", "deep", "mouth", "area"].map(Column::figures).to_vec(),
        rows: all.iter().map(row).collect(),
        head: LABEL,
        body: FIGURE,
    }
}

/// The cutters in working order, and the work none can do.
pub(super) fn operations(dish: &Dish, plan: &Plan, unit: DisplayUnit) -> Block {
    let rows = plan.operations.iter().enumerate().map(|(i, op)| operation(i, op, unit));
    let table = Table {
        columns: vec![
            Column::figures(""),
            Column::words("work"),
            Column::words("cutter"),
            Column::wrapping("kind and size"),
            Column::figures("out"),
            Column::figures("depth"),
            Column::figures("passes"),
            Column::figures("each"),
            Column::figures("step, last"),
            Column::figures("speed"),
            Column::figures("feed"),
            Column::figures("plunge"),
            Column::figures("chip"),
            Column::figures("min"),
        ],
        rows: rows.collect(),
        head: LABEL,
        body: FIGURE,
    };
    let mut parts = vec![head("Cutters in working order")];
    if !plan.operations.is_empty() {
        parts.push(table.draw(WIDTH, 60.0).0);
        parts.push(paragraph(&legend(dish, plan, unit), SMALL.quiet(), WIDTH, 4));
    }
    if plan.operations.iter().any(|op| !op.rates.guessed.is_empty()) {
        parts.push(paragraph(GUESSED, SMALL.quiet(), WIDTH, 2));
    }
    let undone = undone(dish, plan);
    if !undone.is_empty() {
        let text = format!(
            "No cutter on the rack for: {}. See the findings.",
            undone.join(", ")
        );
        let style = Style::new(Face::SerifSemibold, SMALL.height);
        parts.push(paragraph(&text, style, WIDTH, 2));
    }
    Block::stack(parts, 1.4)
}

/// Work the dish needs that is not in the plan.
fn undone(dish: &Dish, plan: &Plan) -> Vec<&'static str> {
    let needed = [
        (Work::Recess, !dish.recesses.is_empty()),
        (Work::Details, !dish.grooves.is_empty()),
        (Work::Name, dish.name.is_some()),
        (Work::RecessEdge, dish.recess_round.is_some()),
        (Work::OuterEdge, dish.outer_round.is_some()),
        (Work::CutOut, true),
    ];
    let there = |work| plan.operations.iter().any(|operation| operation.work == work);
    let lacking = needed.into_iter().filter(|(work, needed)| *needed && !there(*work));
    lacking.map(|(work, _)| work.word()).collect()
}

/// Millimetres in the unit of feeds.
const fn per_unit(unit: DisplayUnit) -> f64 {
    match unit {
        DisplayUnit::Mm => 1.0,
        DisplayUnit::Inch => MM_PER_INCH,
    }
}

fn operation(index: usize, op: &Operation, unit: DisplayUnit) -> Vec<String> {
    let none = || "–".to_owned();
    let star = if op.rates.guessed.is_empty() { "" } else { "*" };
    let step = op.steps.map(|[coarse, last]| {
        if coarse - last > 0.05 {
            format!("{}, {}", size(coarse, unit), size(last, unit))
        } else {
            size(last, unit)
        }
    });
    let per = |feed: f64| thousands(feed / per_unit(unit));
    vec![
        (index + 1).to_string(),
        op.work.word().to_owned(),
        op.cutter.clone(),
        op.cutter_text.clone(),
        op.stick_out.map_or_else(|| "not known".to_owned(), |mm| size(mm, unit)),
        size(op.depth, unit),
        op.passes.to_string(),
        op.each.map_or_else(none, |mm| size(mm, unit)),
        step.unwrap_or_else(none),
        format!("{}{star}", thousands(op.rates.speed)),
        format!("{}{star}", per(op.rates.feed)),
        format!("{}{star}", per(op.rates.plunge)),
        chip(op.rates.chip, unit),
        format!("{:.1}", op.minutes),
    ]
}

/// A length without its unit, to 0.1 mm.
fn size(mm: f64, unit: DisplayUnit) -> String {
    match unit {
        DisplayUnit::Mm => bare(mm, 1),
        DisplayUnit::Inch => bare(mm / MM_PER_INCH, 3),
    }
}

fn chip(mm: f64, unit: DisplayUnit) -> String {
    match unit {
        DisplayUnit::Mm => bare(mm, 3),
        DisplayUnit::Inch => bare(mm / MM_PER_INCH, 4),
    }
}

/// What the columns mean, and the time of it all.
fn legend(dish: &Dish, plan: &Plan, unit: DisplayUnit) -> String {
    let unit = match unit {
        DisplayUnit::Mm => "mm",
        DisplayUnit::Inch => "in",
    };
    let changes = plan.tool_changes();
    let plural = if changes == 1 { "" } else { "s" };
    let one = plan.minutes();
    let mut text = format!(
        "Lengths in {unit}; out: of the collet; depth: below the top of the board; each: the deepest pass; step, last: from one ring to the next, and in the last pass; speed in 1/min, feed and plunge in {unit}/min, chip in {unit} for each edge. About {one:.0} min with {changes} tool change{plural} of {} min",
        trimmed(plan.tool_change)
    );
    if dish.quantity > 1 {
        let cutting = one - plan.tool_change * changes as f64;
        let most = one * f64::from(dish.quantity);
        let least = most - (one - cutting) * f64::from(dish.quantity - 1);
        text = format!(
            "{text}; {} dishes about {most:.0} min one after the other, {least:.0} min if each cutter does all of them in turn",
            dish.quantity
        );
    }
    format!("{text}.")
}
