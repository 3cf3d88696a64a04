//! The page itself: A4, margins, title block.

use super::block::{Block, rectangle};
use super::color::{HAIR, PAPER, TINT};
use super::mark::{Anchor, Mark, Sheet, Text, Way};
use super::style::{BODY, LABEL, Pen, RULE, SMALL};
use crate::curve::Vec2;
use crate::dish::Dish;
use crate::lettering::width;
use crate::units::MM_PER_INCH;

/// ISO 216 A4, upright, in mm.
pub const A4: [f64; 2] = [210.0, 297.0];
/// Nothing is written nearer to the edge, mm.
pub(super) const MARGIN: f64 = 15.0;
/// Width between the margins, mm; also the width ISO 7200 gives a title block (from memory).
pub(super) const WIDTH: f64 = A4[0] - 2.0 * MARGIN;
/// Height between the margins, mm.
pub(super) const HEIGHT: f64 = A4[1] - 2.0 * MARGIN;
/// Height of the title block, mm.
pub(super) const TITLE_BLOCK: f64 = 10.0;
/// From one line that text may stand on to the next, mm: 150 to the inch. Many programs put
/// letters on whole pixels; on these lines they are put where they were set, at the
/// resolutions that sheets are looked at in, and their feet are crisp.
const BASELINES: f64 = MM_PER_INCH / 150.0;
/// Text stands so far below its line, mm, that rounding puts it on no other.
const BELOW: f64 = 0.004;

/// Lays blocks down a page, the room left over shared between them, with the title block at
/// the foot. A block taller than the room left is drawn all the same; makers of blocks see to
/// it that none is.
pub(super) fn page(
    title: String,
    blocks: Vec<(&'static str, Block)>,
    foot: Block,
) -> Sheet {
    let used: f64 = blocks.iter().map(|(_, block)| block.height).sum();
    let room = HEIGHT - TITLE_BLOCK - used;
    #[expect(clippy::cast_precision_loss, reason = "a handful of blocks")]
    let gap = (room / blocks.len().max(1) as f64).clamp(0.0, 14.0);
    let mut y = MARGIN;
    let mut layers = Vec::new();
    for (name, block) in blocks {
        let height = block.height;
        layers.push(placed(block, y).layer(name));
        y += height + gap;
    }
    layers.push(placed(foot, A4[1] - MARGIN - TITLE_BLOCK).layer("title-block"));
    Sheet {
        title,
        language: "en",
        version: None,
        size: A4,
        margin: MARGIN,
        paper: PAPER,
        layers,
    }
}

/// A block at its place on the page.
fn placed(block: Block, y: f64) -> Block {
    let mut placed = Block::default();
    placed.put(block, Vec2::new(MARGIN, y));
    for mark in &mut placed.marks {
        if let Mark::Text(text @ Text { way: Way::Right, .. }) = mark {
            text.at.y = (text.at.y / BASELINES).ceil() * BASELINES + BELOW;
        }
    }
    placed
}

/// A row of labelled fields, each as wide as it needs as far as there is room.
pub(super) fn title_block(fields: &[(&str, String)]) -> Block {
    const PAD: f64 = 2.0;
    let mut block = Block::space(TITLE_BLOCK);
    block.shape(rectangle(0.0, 0.0, WIDTH, TITLE_BLOCK), TINT, Pen::new(HAIR, 0.18));
    let natural = |(label, value): &(&str, String)| {
        let value = width(value, BODY.face, BODY.height);
        let label = width(label, LABEL.face, LABEL.height);
        value.clamp(14.0, 52.0).max(label) + 2.0 * PAD
    };
    let total: f64 = fields.iter().map(natural).sum();
    let room = |field: &(&str, String)| natural(field) / total * WIDTH - 2.0 * PAD;
    let fits = |field: &(&str, String)| {
        width(&field.1, BODY.face, BODY.height) <= room(field) + 1e-9
    };
    let style = if fields.iter().all(fits) { BODY } else { SMALL };
    let mut x = 0.0;
    for field in fields {
        if x > 0.0 {
            block.line((x, 0.0), (x, TITLE_BLOCK), RULE);
        }
        let (label, value) = field;
        let room = room(field);
        block.text_in((x + PAD, 3.4), Anchor::Start, room, (LABEL, label));
        block.text_in((x + PAD, 8.0), Anchor::Start, room, (style, value));
        x += room + 2.0 * PAD;
    }
    block
}

/// The fields of every page that the maker works from.
pub(super) fn fields(
    dish: &Dish,
    sheet: &str,
    scale: &str,
) -> Vec<(&'static str, String)> {
    let mut fields = vec![("Order", dish.id.clone())];
    if !dish.person.is_empty() {
        fields.push(("Name", dish.person.clone()));
    }
    fields.push(("Dish", dish.title.clone()));
    fields.push(("Wood", dish.wood.name.clone()));
    fields.push(("Quantity", dish.quantity.to_string()));
    if let Some(date) = &dish.date {
        fields.push(("Date", date.clone()));
    }
    if !scale.is_empty() {
        fields.push(("Scale", scale.to_owned()));
    }
    fields.push(("Sheet", sheet.to_owned()));
    fields
}

/// What a reader's window shows of a page that the maker works from.
pub(super) fn title(dish: &Dish, kind: &str) -> String {
    if dish.person.is_empty() {
        format!("{} {kind}: {}", dish.id, dish.title)
    } else {
        format!("{} {kind}: {} for {}", dish.id, dish.title, dish.person)
    }
}
