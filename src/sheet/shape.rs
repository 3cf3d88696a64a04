//! One shape on a page: the dish, its parameters, what was found.

use super::block::{Block, head, paragraph};
use super::figures::length;
use super::found::findings;
use super::frame::{HEIGHT, TITLE_BLOCK, WIDTH, page, title_block};
use super::mark::{Anchor, Sheet};
use super::picture::{Made, picture};
use super::scale::Scale;
use super::style::{FIGURE, LABEL, RULE, Style};
use super::table::{Column, Table};
use super::view::View;
use crate::dish::Dish;
use crate::feasibility::Report;
use crate::lettering::Face;
use crate::model::{Recipe, Shop};
use crate::plan::Plan;

/// Greatest height of the picture, mm.
const PICTURE: f64 = 110.0;
/// Greatest height of the parameters, mm.
const PARAMETERS: f64 = 60.0;

/// A shape with the values it was drawn with, and what was found.
pub fn shape_card(
    recipe: &Recipe,
    dish: &Dish,
    (report, plan): (&Report, &Plan),
    shop: &Shop,
) -> Sheet {
    let bounds = dish.outline.bounds();
    let scale = Scale::largest([bounds.width(), bounds.height()], [WIDTH, PICTURE]);
    let wide = bounds.width() * scale.factor();
    let view = View::new(bounds, scale, ((WIDTH - wide) / 2.0, 1.0));
    let mut drawing = Block::default();
    picture(&mut drawing, dish, &view, &Made::of(dish, plan, shop));
    drawing.height = view.frame.height() + 3.0;
    let mut blocks = vec![("heading", heading(recipe)), ("dish", drawing)];
    blocks.extend(parameters(recipe, dish).map(|block| ("parameters", block)));
    let used: f64 = blocks.iter().map(|(_, block)| block.height + 4.0).sum();
    let room = HEIGHT - TITLE_BLOCK - used - 4.0;
    blocks.push(("findings", findings(&report.findings, room)));
    let unit = shop.house.unit;
    let (width, height) = dish.size();
    let fields = [
        ("Recipe", recipe.key.clone()),
        ("Width", length(width, unit)),
        ("Height", length(height, unit)),
        ("Wood", dish.wood.name.clone()),
        ("Scale", scale.designation()),
        ("Sheet", "Shape, 1 of 1".to_owned()),
    ];
    page(format!("{} shape", recipe.title), blocks, title_block(&fields))
}

fn heading(recipe: &Recipe) -> Block {
    let large = Style::new(Face::SerifSemibold, 5.0);
    let mut title = Block::space(8.0);
    title.text_in((0.0, 5.5), Anchor::Start, WIDTH, (large, &recipe.title));
    let italic = Style::new(Face::SerifItalic, 2.5).quiet();
    let mut block =
        Block::stack([title, paragraph(&recipe.about, italic, WIDTH, 2)], 1.0);
    block.height += 2.0;
    block.line((0.0, block.height), (WIDTH, block.height), RULE);
    block
}

/// Every parameter with its value; nothing for a recipe that has none.
fn parameters(recipe: &Recipe, dish: &Dish) -> Option<Block> {
    let value = |name: &str| {
        let shown = dish.parameters.iter().find(|(known, _)| known == name);
        shown.map(|(_, value)| value.clone()).unwrap_or_default()
    };
    let rows: Vec<Vec<String>> = recipe
        .parameters
        .iter()
        .map(|p| vec![p.name.clone(), value(&p.name), p.range(), p.about.clone()])
        .collect();
    if rows.is_empty() {
        return None;
    }
    let table = Table {
        columns: vec![
            Column::words("parameter"),
            Column::figures("value"),
            Column::words("range"),
            Column::wrapping("about"),
        ],
        rows,
        head: LABEL,
        body: FIGURE,
    };
    Some(Block::stack([head("Parameters"), table.draw(WIDTH, PARAMETERS).0], 1.6))
}
