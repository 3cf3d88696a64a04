//! The page the customer sees and approves.

use super::approval::{Answer, approval, not_yet, stopped};
use super::block::{Block, paragraph};
use super::color::{INK, PAPER, QUIET};
use super::dimension::{across, upward};
use super::facts::{facts, remark};
use super::frame::{HEIGHT, TITLE_BLOCK, WIDTH, page, title_block};
use super::mark::{Anchor, Mark, Sheet};
use super::painting::Picture;
use super::picture::Made;
use super::scale::{Scale, bar};
use super::section::{Tools, depths};
use super::solid::scene;
use super::style::{BODY, LABEL, Pen, RULE, SMALL, Style};
use super::tongue::{Tongue, Words, filled};
use super::version::marked;
use super::view::View;
use super::wrap::wrapped;
use crate::curve::svg::path_data;
use crate::curve::{Affine, Drawn as _, Vec2};
use crate::dish::Dish;
use crate::feasibility::Report;
use crate::lettering::{Face, width};
use crate::model::{Shop, Workshop};
use crate::plan::Plan;
use crate::relief::Scene;

/// Room for a dimension line and its value, mm.
const DIMENSION: f64 = 8.0;
/// Least and greatest share of the page for the picture, mm.
const PICTURE: (f64, f64) = (60.0, 150.0);
/// Least air between two parts of the page, mm.
const AIR: f64 = 2.6;
/// Width of the facts at the left of the box where customers answer, and the air between, mm.
const FACTS: (f64, f64) = (63.0, 7.0);

/// The page the customer sees and approves.
pub fn proof(dish: &Dish, report: &Report, plan: &Plan, shop: &Shop) -> Sheet {
    let tongue = Tongue::of(dish.manner, shop);
    let words = tongue.words;
    let made = Made::of(dish, plan, shop);
    let painted = scene(dish, plan, (shop, &made), PAPER.rgb);
    let version = marked(dish, report, &painted.solid);
    let mut above = vec![("heading", heading(dish, (tongue, shop), !stopped(report)))];
    above.extend(not_yet(report, words).map(|block| ("not-yet", block)));
    let answer = Answer { words, version: &version, report, workshop: &shop.workshop };
    let below = below(dish, tongue, answer);
    let fixed: f64 = above.iter().chain(&below).map(|(_, block)| block.height).sum();
    #[expect(clippy::cast_precision_loss, reason = "a handful of blocks")]
    let air = AIR * (above.len() + 1 + below.len()) as f64;
    let mut free = HEIGHT - TITLE_BLOCK - fixed - air;
    let (drawn, view, scale) = drawing(dish, (painted, tongue), free);
    free -= drawn.height;
    let mut blocks = above;
    blocks.push(("dish", drawn));
    let tools = Tools::of(plan, shop);
    let cut = from_the_side(dish, (scale, view.frame.x0, free), tools, tongue);
    free -= cut.as_ref().map_or(0.0, |cut| cut.height + AIR);
    blocks.extend(cut.map(|block| ("cut", block)));
    blocks.extend(
        true_size(dish, &made, (scale, free - AIR), words)
            .map(|block| ("name-at-full-size", block)),
    );
    blocks.extend(below);
    let foot = foot(dish, words, (scale, &version));
    let page = page(window(dish, words), blocks, title_block(&foot));
    Sheet { version: Some(version), language: tongue.locale.code(), ..page }
}

/// What stands under the picture, whatever its size.
fn below(dish: &Dish, tongue: Tongue, answer: Answer<'_>) -> Vec<(&'static str, Block)> {
    let words = tongue.words;
    let (column, apart) = FACTS;
    let wide = WIDTH - column - apart;
    let note = dish.note.as_deref().map(|note| remark(note, words, wide));
    let right = note.into_iter().chain([approval(answer, wide)]);
    let right = Block::stack(right, AIR);
    let band =
        Block::beside([(0.0, facts(dish, tongue, column)), (column + apart, right)]);
    let notice = paragraph(&words.notice, SMALL.quiet(), WIDTH, 6);
    let notice = Block::stack([notice, bar(&words.ruler)], 2.4);
    vec![("facts-and-approval", band), ("notice", notice)]
}

/// The dish cut through, at the picture's scale or a smaller where that has no room;
/// nothing where it could not be read.
fn from_the_side(
    dish: &Dish,
    (scale, left, room): (Scale, f64, f64),
    tools: Tools<'_>,
    tongue: Tongue,
) -> Option<Block> {
    const APART: f64 = 4.0;
    /// A thinner board has its size beside arrows that reach out of the picture, mm on paper.
    const LEAST: f64 = 5.05;
    /// A narrower margin has no room for the caption.
    const BESIDE: f64 = 20.0;
    let thick = dish.wood.thickness.get();
    let wide = dish.outline.bounds().width();
    let scale = Scale::largest([wide, thick], [wide * scale.factor(), room - AIR - 1.0]);
    if thick * scale.factor() < LEAST {
        return None;
    }
    let left = left.max((WIDTH - wide * scale.factor()) / 2.0);
    let mut block = depths(dish, (scale, left), tools, tongue);
    let said = format!("{} {}", tongue.words.cut, scale.ratio());
    if left < BESIDE {
        block = Block::stack([paragraph(&said, LABEL, WIDTH, 1), block], 1.4);
    } else {
        let said = paragraph(&said, LABEL, left - APART, 3);
        block.height = block.height.max(said.height);
        block.put(said, Vec2::ZERO);
    }
    (block.height + AIR <= room).then_some(block)
}

/// What a reader's window shows.
fn window(dish: &Dish, words: &Words) -> String {
    let text = if dish.person.is_empty() { &words.window } else { &words.window_named };
    let title = words.title(&dish.title);
    filled(text, &[("id", &dish.id), ("dish", title), ("name", &dish.person)])
}

/// The scale as a drawing designates it.
fn scaled(scale: Scale, words: &Words) -> String {
    filled(&words.scale, &[("ratio", &scale.ratio())])
}

/// The fields of the title block.
fn foot<'a>(
    dish: &Dish,
    words: &'a Words,
    (scale, version): (Scale, &str),
) -> Vec<(&'a str, String)> {
    let said = &words.foot;
    let mut fields = vec![(said.order.as_str(), dish.id.clone())];
    if !dish.person.is_empty() {
        fields.push((&said.name, dish.person.clone()));
    }
    fields.push((&said.dish, words.title(&dish.title).to_owned()));
    fields.push((&said.wood, words.wood(&dish.wood.name).to_owned()));
    fields.push((&said.quantity, dish.quantity.to_string()));
    if let Some(date) = &dish.date {
        fields.push((&said.date, date.clone()));
    }
    fields.push((&said.scale, scaled(scale, words)));
    fields.push((&said.version, version.to_owned()));
    fields.push((&said.sheet, said.page.clone()));
    fields
}

/// Who makes the dish, at the upper right under the order's number: the shop's mark, its name
/// and where it is. What they take of the width.
fn letterhead(block: &mut Block, shop: &Shop) -> f64 {
    const APART: f64 = 6.0;
    /// From line to line, and the baseline of the middle one; ISO 3098 asks for 1.3 heights.
    const PITCH: f64 = 2.75;
    const MIDDLE: f64 = 11.4;
    let mark = shop_mark(block, shop);
    let Workshop { name, address, reply, .. } = &shop.workshop;
    let strong = Style::new(Face::SansBold, LABEL.height).quiet();
    let said = [(strong, name), (LABEL, address), (LABEL, reply)];
    let lines: Vec<(Style, String)> = said
        .into_iter()
        .filter_map(|(style, text)| Some((style, text.as_deref()?)))
        .flat_map(|(style, text)| {
            wrapped(text, style, LETTERHEAD, 2).into_iter().map(move |line| (style, line))
        })
        .collect();
    let Some(last) = lines.len().checked_sub(1) else { return mark };
    #[expect(clippy::cast_precision_loss, reason = "six lines at most")]
    let mut y = MIDDLE - last as f64 * PITCH / 2.0;
    let mut longest: f64 = 0.0;
    for (style, line) in &lines {
        block.text((WIDTH - mark, y), Anchor::End, *style, line);
        longest = longest.max(width(line, style.face, style.height));
        y += PITCH;
    }
    mark + longest + APART
}

/// Most that the maker's address takes of the width, mm.
const LETTERHEAD: f64 = 72.0;

/// The shop's mark at the upper right; what it takes of the width.
fn shop_mark(block: &mut Block, shop: &Shop) -> f64 {
    const TOP: f64 = 4.2;
    const MOST: [f64; 2] = [30.0, 12.8];
    const APART: f64 = 4.0;
    let drawn = shop.mark.as_ref().and_then(|mark| mark.drawn.as_deref());
    let Some(path) = drawn.and_then(|data| path_data(data).ok()) else { return 0.0 };
    let bounds = path.bounding_box();
    let scale = (MOST[0] / bounds.width()).min(MOST[1] / bounds.height());
    let place = Vec2::new(WIDTH - bounds.x1 * scale, TOP + bounds.y1 * scale);
    let turned = Affine::scale_non_uniform(scale, -scale);
    block.fill(Affine::translate(place) * turned * path, INK);
    bounds.width() * scale + APART
}

/// Whose it is and what, with what the customer gets in a sentence where it can be made.
fn heading(dish: &Dish, (tongue, shop): (Tongue, &Shop), promised: bool) -> Block {
    const TOP: f64 = 18.2;
    let words = tongue.words;
    let mut block = Block::space(TOP);
    let told = tongue.told(dish);
    block.text((0.0, 1.8), Anchor::Start, LABEL, &words.check);
    block.text_in((WIDTH, 1.8), Anchor::End, 60.0, (LABEL, &dish.id));
    let large = Style::new(Face::SerifSemibold, 7.0);
    let room = WIDTH - letterhead(&mut block, shop);
    block.text_in((0.0, 11.6), Anchor::Start, room, (large, told.heading));
    let style = Style::new(Face::SerifItalic, 3.5).quiet();
    block.text_in((0.0, 17.3), Anchor::Start, room, (style, &told.what()));
    if promised {
        let text = paragraph(&told.filled(promise(dish, words)), BODY, WIDTH, 3);
        block.height = TOP + 2.2 + text.height;
        block.put(text, (0.0, TOP + 2.2).into());
    }
    block.height += 2.2;
    block.line((0.0, block.height), (WIDTH, block.height), RULE);
    block
}

/// The sentence that says what the customer gets.
fn promise<'a>(dish: &Dish, words: &'a Words) -> &'a str {
    let said = &words.promise;
    // A name that runs the other way, or in another face, stands by itself above.
    let named = !dish.person.is_empty()
        && dish.person.chars().all(|letter| BODY.face.writes(letter));
    match (dish.quantity, named) {
        (1, false) => &said.one,
        (1, true) => &said.one_named,
        (_, false) => &said.more,
        (_, true) => &said.more_named,
    }
}

/// The dish with its overall sizes.
fn drawing(
    dish: &Dish,
    (painted, tongue): (Scene, Tongue),
    free: f64,
) -> (Block, View, Scale) {
    /// Between a label at the left and the picture, mm.
    const APART: f64 = 3.0;
    let bounds = dish.outline.bounds();
    let room =
        [WIDTH - 2.0 * DIMENSION, free.clamp(PICTURE.0, PICTURE.1) - DIMENSION - 3.0];
    let scale = Scale::largest([bounds.width(), bounds.height()], room);
    let wide = bounds.width() * scale.factor();
    let view = View::new(bounds, scale, ((WIDTH - wide) / 2.0, 1.0));
    let mut block = Block::default();
    let picture = Mark::Picture(Box::new(Picture::of(painted, &view)));
    block.part("picture", |block| block.marks.push(picture));
    let frame = view.frame;
    let y = frame.y1 + DIMENSION;
    let width_text = tongue.length(bounds.width());
    let height_text = tongue.length(bounds.height());
    let x = frame.x1 + DIMENSION;
    let place = (frame.x1, x, frame.center().y);
    block.part("sizes", |block| {
        across(block, (frame.x0, frame.x1), (frame.y1, y), (BODY.quiet(), &width_text));
        upward(block, (frame.y0, frame.y1), place, (BODY.quiet(), &height_text));
    });
    let label = scaled(scale, tongue.words);
    if width(&label, LABEL.face, LABEL.height) + APART < frame.x0 {
        block.text((0.0, y), Anchor::Start, LABEL, &label);
    }
    block.height = y + 2.0;
    (block, view, scale)
}

/// The name at full size, where there is room and the picture is smaller.
fn true_size(
    dish: &Dish,
    made: &Made<'_>,
    (scale, left): (Scale, f64),
    words: &Words,
) -> Option<Block> {
    const HEAD: f64 = 6.5;
    let name = dish.name.as_ref().filter(|_| scale != Scale::FULL)?;
    let bounds = name.outline().bounds();
    let height = bounds.height() + HEAD + 4.0;
    if name.region.is_empty() || bounds.width() > WIDTH || height > left {
        return None;
    }
    let mut block = Block::space(height);
    let label = filled(&words.true_size, &[("scale", &scaled(Scale::FULL, words))]);
    block.text((WIDTH / 2.0, 1.8), Anchor::Middle, LABEL, &label);
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
