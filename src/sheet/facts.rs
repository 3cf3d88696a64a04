//! Sizes, choices and care on the proof.

use super::block::{Block, head, paragraph};
use super::figures::sentence;
use super::frame::WIDTH;
use super::mark::Anchor;
use super::style::{LABEL, SMALL, Style};
use super::table::{Column, Table};
use super::tongue::{Tongue, Words, filled};
use crate::curve::Vec2;
use crate::dish::Dish;
use crate::lettering::{Face, width};

/// The customer's or maker's remark.
pub(super) fn remark(note: &str, words: &Words) -> Block {
    let style = Style::new(Face::SerifItalic, 2.5);
    let mut block = Block::default();
    block.text((0.0, 2.5), Anchor::Start, LABEL, &words.note);
    let left = (width(&words.note, LABEL.face, LABEL.height) + 4.0).max(24.0);
    let text = filled(&words.quoted, &[("text", note.trim())]);
    let text = paragraph(&text, style, WIDTH - left, 4);
    block.height = text.height;
    block.put(text, Vec2::new(left, 0.0));
    block
}

/// Sizes, choices and care, side by side.
pub(super) fn facts(dish: &Dish, tongue: Tongue) -> Block {
    const GAP: f64 = 8.0;
    let words = tongue.words;
    let column = (WIDTH - 2.0 * GAP) * 0.26;
    let care = WIDTH - 2.0 * (column + GAP);
    let care_text = words.care.texts.iter().map(|text| paragraph(text, SMALL, care, 9));
    let care_block =
        Block::stack([head(&words.care.head), Block::stack(care_text, 2.4)], 2.0);
    let table = |title: &str, rows: &[(String, String)]| {
        Block::stack([head(title), pairs(rows, column)], 1.0)
    };
    Block::beside([
        (0.0, table(&words.sizes.head, &sizes(dish, tongue))),
        (column + GAP, table(&words.order.head, &choices(dish, tongue))),
        (2.0 * (column + GAP), care_block),
    ])
}

/// A label and a value on each line.
pub(super) fn pairs(rows: &[(String, String)], width: f64) -> Block {
    let rows = rows.iter().map(|(label, value)| vec![label.clone(), value.clone()]);
    let table = Table {
        columns: vec![Column::words(""), Column { wraps: true, ..Column::figures("") }],
        rows: rows.collect(),
        head: LABEL,
        body: SMALL,
    };
    table.draw(width, f64::INFINITY).0
}

fn sizes(dish: &Dish, tongue: Tongue) -> Vec<(String, String)> {
    let said = &tongue.words.sizes;
    let (width, height) = dish.size();
    let mut rows = vec![
        (said.width.clone(), tongue.length(width)),
        (said.height.clone(), tongue.length(height)),
        (said.thickness.clone(), tongue.length(dish.wood.thickness.get())),
    ];
    if let Some(recess) = dish.recesses.first() {
        rows.push((said.hollow.clone(), tongue.length(recess.depth)));
    }
    let wood = tongue.words.wood(&dish.wood.name);
    rows.push((said.wood.clone(), sentence(wood)));
    if let Some(edge) = dish.outer_round {
        let round = filled(&said.round, &[("length", &tongue.length(edge.get()))]);
        rows.push((said.edge.clone(), round));
    }
    rows
}

/// What the order says, and of the recipe's values those that it sets.
fn choices(dish: &Dish, tongue: Tongue) -> Vec<(String, String)> {
    const MOST: usize = 7;
    let words = tongue.words;
    let said = &words.order;
    let mut rows = Vec::new();
    if !dish.person.is_empty() {
        rows.push((said.name.clone(), dish.person.clone()));
    }
    rows.push((said.shape.clone(), words.title(&dish.title).to_owned()));
    rows.push((said.quantity.clone(), dish.quantity.to_string()));
    let asked = |(name, _): &&(String, String)| dish.asked.contains(name);
    let asked: Vec<&(String, String)> = dish.parameters.iter().filter(asked).collect();
    let shown = if asked.len() > MOST { MOST - 1 } else { asked.len() };
    for (name, value) in asked.iter().take(shown) {
        rows.push((sentence(&words.parameter(name)), tongue.value(value)));
    }
    let more = asked.len() - shown;
    if more > 0 {
        rows.push((said.further.clone(), more.to_string()));
    }
    rows
}
