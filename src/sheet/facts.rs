//! Sizes, choices and care on the proof.

use super::block::{Block, head, paragraph};
use super::figures::sentence;
use super::mark::Anchor;
use super::style::{LABEL, SMALL, Style};
use super::table::{Column, Table};
use super::tongue::{Tongue, Words, filled};
use crate::curve::Vec2;
use crate::dish::Dish;
use crate::lettering::{Face, width};

/// What somebody said.
const REMARK: Style = Style::new(Face::SerifItalic, SMALL.height);

/// The customer's or maker's remark.
pub(super) fn remark(note: &str, words: &Words, wide: f64) -> Block {
    const APART: f64 = 3.0;
    let mut block = Block::default();
    block.text((0.0, SMALL.height), Anchor::Start, LABEL, &words.note);
    let left = width(&words.note, LABEL.face, LABEL.height) + APART;
    let text = filled(&words.quoted, &[("text", note.trim())]);
    let text = paragraph(&text, REMARK, wide - left, 4);
    block.height = text.height;
    block.put(text, Vec2::new(left, 0.0));
    block
}

/// What is not in the drawing's own figures, and how to look after it, in a column.
pub(super) fn facts(dish: &Dish, tongue: Tongue, column: f64) -> Block {
    let words = tongue.words;
    let rows = [sizes(dish, tongue), choices(dish, tongue)].concat();
    let table = Block::stack([head(&words.sizes.head), pairs(&rows, column)], 1.0);
    let care = words.care.texts.iter().map(|text| paragraph(text, SMALL, column, 12));
    let care = Block::stack([head(&words.care.head), Block::stack(care, 2.0)], 1.8);
    Block::stack([table, care], 4.0)
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

/// Width and height stand at the drawing, and above it in words, where the wood is too.
fn sizes(dish: &Dish, tongue: Tongue) -> Vec<(String, String)> {
    let said = &tongue.words.sizes;
    let thickness = tongue.length(dish.wood.thickness.get());
    let mut rows = vec![(said.thickness.clone(), thickness)];
    if let Some(recess) = dish.recesses.first() {
        rows.push((said.hollow.clone(), tongue.length(recess.depth)));
    }
    if let Some(edge) = dish.outer_round {
        let round = filled(&said.round, &[("length", &tongue.length(edge.get()))]);
        rows.push((said.edge.clone(), round));
    }
    rows
}

/// How many, and of the recipe's values those that the order sets.
fn choices(dish: &Dish, tongue: Tongue) -> Vec<(String, String)> {
    const MOST: usize = 4;
    let words = tongue.words;
    let said = &words.order;
    let mut rows = vec![(said.quantity.clone(), dish.quantity.to_string())];
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
