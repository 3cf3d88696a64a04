//! The page the customer sees and approves.

use super::block::{Block, head, paragraph, polygon, rectangle};
use super::color::{HAIR, INK, PAPER, QUIET, TINT, okabe_ito};
use super::dimension::{across, upward};
use super::figures::{length, sentence};
use super::frame::{HEIGHT, TITLE_BLOCK, WIDTH, fields, page, title_block};
use super::mark::{Anchor, Mark, Sheet};
use super::painting::Picture;
use super::picture::Made;
use super::scale::Scale;
use super::solid::scene;
use super::style::{BODY, LABEL, Pen, RULE, SMALL, Style};
use super::table::{Column, Table};
use super::version::version;
use super::view::View;
use super::words::{CARE, GEOMETRY_ONLY, reason};
use crate::curve::Vec2;
use crate::dish::Dish;
use crate::feasibility::Report;
use crate::finding::Severity;
use crate::lettering::Face;
use crate::model::Shop;
use crate::plan::Plan;
use crate::relief::Scene;
use crate::units::{DisplayUnit, Mm};

/// Room for a dimension line and its value, mm.
const DIMENSION: f64 = 8.0;
/// Least and greatest share of the page for the picture, mm.
const PICTURE: (f64, f64) = (60.0, 150.0);

/// The page the customer sees and approves.
pub fn proof(dish: &Dish, report: &Report, plan: &Plan, shop: &Shop) -> Sheet {
    let unit = shop.house.unit;
    let mut above = vec![("heading", heading(dish))];
    above.extend(not_yet(report).map(|block| ("not-yet", block)));
    let mut below = Vec::new();
    below.extend(dish.note.as_deref().map(|note| ("note", remark(note))));
    below.push(("facts", facts(dish, unit)));
    below.push(("approval", approval(stopped(report))));
    below.push(("notice", paragraph(GEOMETRY_ONLY, SMALL.quiet(), WIDTH, 6)));
    let fixed: f64 = above.iter().chain(&below).map(|(_, block)| block.height).sum();
    let free = HEIGHT - TITLE_BLOCK - fixed - 30.0;
    let made = Made::of(dish, plan, shop);
    let painted = scene(dish, plan, (shop, &made), PAPER.rgb);
    let version = version(dish, report, &painted.solid);
    let (drawn, scale) = drawing(dish, (painted, unit), free);
    // The name's strip may make the gaps a little narrower, the picture may not.
    let left = free - drawn.height + 9.0;
    let mut blocks = above;
    blocks.push(("dish", drawn));
    blocks.extend(
        true_size(dish, &made, scale, left).map(|block| ("name-at-full-size", block)),
    );
    blocks.extend(below);
    let mut fields = fields(dish, "Proof, 1 of 1", &scale.designation());
    fields.insert(fields.len() - 1, ("Version", version.clone()));
    let page = page(title(dish, "proof"), blocks, title_block(&fields));
    Sheet { version: Some(version), ..page }
}

/// What a reader's window shows.
pub(super) fn title(dish: &Dish, kind: &str) -> String {
    if dish.person.is_empty() {
        format!("{} {kind}: {}", dish.id, dish.title)
    } else {
        format!("{} {kind}: {} for {}", dish.id, dish.title, dish.person)
    }
}

fn heading(dish: &Dish) -> Block {
    let mut block = Block::space(24.0);
    let name = if dish.person.is_empty() { &dish.title } else { &dish.person };
    block.text(
        (0.0, 1.8),
        Anchor::Start,
        LABEL,
        "A drawing for you to check before we cut",
    );
    block.text_in((WIDTH, 1.8), Anchor::End, 60.0, (LABEL, &dish.id));
    let large = Style::new(Face::SerifSemibold, 7.0);
    block.text_in((0.0, 14.0), Anchor::Start, WIDTH, (large, name));
    let what = if dish.person.is_empty() {
        format!("in {}", dish.wood.name)
    } else {
        format!("{}, in {}", dish.title, dish.wood.name)
    };
    let style = Style::new(Face::SerifItalic, 3.5).quiet();
    block.text_in((0.0, 20.5), Anchor::Start, WIDTH, (style, &sentence(&what)));
    block.line((0.0, 24.0), (WIDTH, 24.0), RULE);
    block
}

/// Says in plain words that the dish cannot be made as drawn; nothing if it can.
fn not_yet(report: &Report) -> Option<Block> {
    const BAR: f64 = 2.0;
    const PAD: f64 = 4.0;
    let mut reasons: Vec<&str> = Vec::new();
    for finding in report.findings.iter().filter(|f| f.severity == Severity::Stop) {
        let reason = reason(finding.code);
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    if reasons.is_empty() {
        return None;
    }
    let x = BAR + PAD + 9.0;
    let head = Style::new(Face::SerifSemibold, 3.5);
    let mut text = vec![paragraph(
        "Not yet: this dish cannot be made as drawn",
        head,
        WIDTH - x - PAD,
        1,
    )];
    text.extend(reasons.iter().take(4).map(|r| paragraph(r, BODY, WIDTH - x - PAD, 2)));
    let after =
        "Nothing will be cut until this is settled; we will come back to you with a way.";
    text.push(paragraph(after, BODY.quiet(), WIDTH - x - PAD, 2));
    let text = Block::stack(text, 2.2);
    let height = text.height + 2.0 * PAD;
    let mut block = Block::space(height);
    block.fill(rectangle(0.0, 0.0, WIDTH, height), TINT);
    block.fill(rectangle(0.0, 0.0, BAR, height), okabe_ito::VERMILION);
    stop_sign(&mut block, (BAR + PAD + 2.5, PAD + 2.2), 2.8);
    block.put(text, Vec2::new(x, PAD));
    Some(block)
}

/// An octagon with a bar across.
fn stop_sign(block: &mut Block, (x, y): (f64, f64), radius: f64) {
    let corners: Vec<(f64, f64)> = (0..8)
        .map(|i| {
            let angle = std::f64::consts::PI * (f64::from(i) + 0.5) / 4.0;
            (x + radius * angle.cos(), y + radius * angle.sin())
        })
        .collect();
    block.fill(polygon(&corners), okabe_ito::VERMILION);
    block.line((x - radius * 0.5, y), (x + radius * 0.5, y), Pen::new(PAPER, 0.7));
}

/// The dish with its overall sizes.
fn drawing(
    dish: &Dish,
    (painted, unit): (Scene, DisplayUnit),
    free: f64,
) -> (Block, Scale) {
    let bounds = dish.outline.bounds();
    let room =
        [WIDTH - 2.0 * DIMENSION, free.clamp(PICTURE.0, PICTURE.1) - DIMENSION - 4.0];
    let scale = Scale::largest([bounds.width(), bounds.height()], room);
    let wide = bounds.width() * scale.factor();
    let view = View::new(bounds, scale, ((WIDTH - wide) / 2.0, 1.0));
    let mut block = Block::default();
    block.marks.push(Mark::Picture(Box::new(Picture::of(painted, &view))));
    let frame = view.frame;
    let y = frame.y1 + DIMENSION;
    let width_text = length(bounds.width(), unit);
    across(&mut block, (frame.x0, frame.x1), (frame.y1, y), (BODY.quiet(), &width_text));
    let height_text = length(bounds.height(), unit);
    let x = frame.x1 + DIMENSION;
    let place = (frame.x1, x, frame.center().y);
    upward(&mut block, (frame.y0, frame.y1), place, (BODY.quiet(), &height_text));
    block.height = y + 2.0;
    (block, scale)
}

/// The name at full size, where there is room and the picture is smaller.
fn true_size(dish: &Dish, made: &Made, scale: Scale, left: f64) -> Option<Block> {
    const HEAD: f64 = 6.5;
    let name = dish.name.as_ref().filter(|_| scale != Scale::FULL)?;
    let bounds = name.outline().bounds();
    let height = bounds.height() + HEAD + 4.0;
    if name.region.is_empty() || bounds.width() > WIDTH || height > left {
        return None;
    }
    let mut block = Block::space(height);
    let label = "The name at its true size (SCALE 1:1)";
    block.text((WIDTH / 2.0, 1.8), Anchor::Middle, LABEL, label);
    let view = View::new(bounds, Scale::FULL, ((WIDTH - bounds.width()) / 2.0, HEAD));
    let letters = match (&made.name, &name.panel) {
        (Some(cut), Some(panel)) => {
            let stands = panel.outline.cut(cut);
            block.fill(view.region(&stands), INK);
            block.stroke(view.region(&panel.outline), Pen::new(QUIET, 0.25));
            return Some(block);
        }
        (cut, _) => cut.as_ref().unwrap_or(&name.region),
    };
    block.fill(view.region(letters), INK);
    Some(block)
}

fn remark(note: &str) -> Block {
    let style = Style::new(Face::SerifItalic, 2.5);
    let mut block = Block::default();
    block.text((0.0, 2.5), Anchor::Start, LABEL, "Your note");
    let text = paragraph(&format!("“{}”", note.trim()), style, WIDTH - 24.0, 4);
    block.height = text.height;
    block.put(text, Vec2::new(24.0, 0.0));
    block
}

/// Sizes, choices and care, side by side.
fn facts(dish: &Dish, unit: DisplayUnit) -> Block {
    const GAP: f64 = 8.0;
    let column = (WIDTH - 2.0 * GAP) * 0.29;
    let care = WIDTH - 2.0 * (column + GAP);
    let care_text = CARE.iter().map(|text| paragraph(text, SMALL, care, 9));
    let care_block =
        Block::stack([head("Looking after it"), Block::stack(care_text, 2.4)], 2.0);
    Block::beside([
        (0.0, Block::stack([head("The dish"), pairs(&sizes(dish, unit), column)], 1.0)),
        (
            column + GAP,
            Block::stack([head("As ordered"), pairs(&choices(dish), column)], 1.0),
        ),
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

fn sizes(dish: &Dish, unit: DisplayUnit) -> Vec<(String, String)> {
    let (width, height) = dish.size();
    let mut rows = vec![
        ("Width".to_owned(), length(width, unit)),
        ("Height".to_owned(), length(height, unit)),
        ("Thickness".to_owned(), length(dish.wood.thickness.get(), unit)),
    ];
    if let Some(recess) = dish.recesses.first() {
        rows.push(("Hollow, depth".to_owned(), length(recess.depth, unit)));
    }
    rows.push(("Wood".to_owned(), dish.wood.name.clone()));
    let round = |mm: Mm| format!("rounded {}", length(mm.get(), unit));
    if let Some(edge) = dish.outer_round {
        rows.push(("Outer edge".to_owned(), round(edge)));
    }
    rows
}

fn choices(dish: &Dish) -> Vec<(String, String)> {
    const MOST: usize = 7;
    let mut rows = Vec::new();
    if !dish.person.is_empty() {
        rows.push(("Name".to_owned(), dish.person.clone()));
    }
    rows.push(("Recipe".to_owned(), dish.title.clone()));
    rows.push(("Quantity".to_owned(), dish.quantity.to_string()));
    let all = dish.parameters.len();
    let shown = if all > MOST { MOST - 1 } else { all };
    for (name, value) in dish.parameters.iter().take(shown) {
        rows.push((sentence(&name.replace('_', " ")), value.clone()));
    }
    let more = all - shown;
    if more > 0 {
        rows.push(("Further values".to_owned(), format!("{more}, as in the recipe")));
    }
    rows
}

fn stopped(report: &Report) -> bool {
    report.findings.iter().any(|finding| finding.severity == Severity::Stop)
}

/// Where to say yes or ask for a change; nothing can be approved that cannot be made.
fn approval(stopped: bool) -> Block {
    const PAD: f64 = 5.0;
    let mut block = Block::space(31.0);
    let pen = Pen::new(HAIR, 0.25);
    block.shape(rectangle(0.0, 0.0, WIDTH, 31.0), TINT, pen);
    if stopped {
        let wait = "There is nothing to approve yet. You may already tell us a wish:";
        block.text((PAD, 8.0), Anchor::Start, BODY, wait);
        tick(&mut block, (PAD, 12.5), "Please change this:");
    } else {
        tick(&mut block, (PAD, 5.0), "Yes, please make it just like this.");
        tick(&mut block, (PAD, 12.5), "Please change this first:");
    }
    let after = PAD + 50.0;
    block.line((after, 15.0), (WIDTH - PAD, 15.0), RULE);
    let third = (WIDTH - 4.0 * PAD) / 3.0;
    for (i, label) in ["Name", "Signature", "Date"].into_iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "three fields")]
        let x = PAD + i as f64 * (third + PAD);
        block.line((x, 25.0), (x + third, 25.0), Pen::new(QUIET, 0.18));
        block.text((x, 28.4), Anchor::Start, LABEL, label);
    }
    block
}

fn tick(block: &mut Block, (x, y): (f64, f64), text: &str) {
    block.shape(rectangle(x, y, 3.5, 3.5), PAPER, Pen::new(QUIET, 0.25));
    block.text((x + 6.0, y + 3.0), Anchor::Start, BODY, text);
}
