//! The same dish against every cutter of the rack, side by side.

use super::block::{Block, disc, head, paragraph};
use super::color::{Color, INK, QUIET, TINT, WHITE, okabe_ito};
use super::drawing::leftover;
use super::figures::{area, fine, length};
use super::frame::{HEIGHT, TITLE_BLOCK, WIDTH, page, title_block};
use super::hollowed;
use super::labels::{HALF, Shape, octagon};
use super::mark::{Anchor, Sheet};
use super::scale::Scale;
use super::style::{FIGURE, LABEL, Pen, RULE, SMALL, Style};
use super::table::{Column, Table};
use super::tint;
use super::view::View;
use crate::curve::{Point, Vec2};
use crate::dish::Dish;
use crate::feasibility::{Job, Swap, SwapRow};
use crate::lettering::Face;
use crate::model::Shop;
use crate::units::{DisplayUnit, Mm};

/// Between small drawings side by side, mm.
const GAP: f64 = 4.0;
/// Between lines of small drawings, mm.
const LINE: f64 = 2.5;
/// Words over and under a small drawing, mm.
const WORDS: f64 = 8.2;
/// Least distance between the parts of the page, mm.
const PARTS: f64 = 3.0;

/// The tinted outline is at most so high, mm.
const TINTED: f64 = 90.0;

/// What the signs mean.
const KEY: &str = "Green disc: follows everywhere. Orange triangle: leaves no more than the \
     shop sands away. Vermilion octagon: leaves wood. A ring marks each place, a number in a ring \
     the size in the key that has to follow there (the ten largest places of a size). The least width \
     is that of the whole dish, enlarged evenly, at which the cutter would follow; none helps \
     where a corner is sharp.";

/// The same dish against every cutter of the rack.
pub fn swap_card(swap: &Swap, dish: &Dish, shop: &Shop) -> Sheet {
    let unit = shop.house.unit;
    let (width, height) = dish.size();
    let scale = Scale::largest([width, height], [(WIDTH - 2.0 * GAP) / 3.0, 52.0]);
    let mut blocks = vec![("heading", heading(swap, dish, unit))];
    let key = paragraph(KEY, SMALL.quiet(), WIDTH, 3);
    let jobs = [
        (Job::Outline, "cutting-out", "Cutting it out"),
        (Job::Recess, "hollowing", "Hollowing it"),
    ];
    let tables = jobs.map(|(job, ..)| table(swap, job, unit));
    let mut followed = hollowed::followed(swap, dish, shop, unit);
    let words = |table: &Block| head("").height + PARTS + table.height;
    let used: f64 = tables.iter().flatten().map(words).sum();
    let used = used + followed.as_ref().map_or(0.0, |words| words.height + PARTS);
    let mut room = HEIGHT - TITLE_BLOCK - 14.0 - key.height - 4.0 * PARTS - used;
    let least = tint::least(swap) + PARTS;
    room -= least;
    for ((job, layer, title), table) in jobs.into_iter().zip(tables) {
        let Some(table) = table else { continue };
        let mut parts = vec![head(title)];
        let rows: Vec<&SwapRow> = swap.rows.iter().filter(|row| row.job == job).collect();
        let leaving = rows.iter().copied().filter(|row| !row.follows).collect();
        // Where there is no room for all, those that leave something come first.
        for rows in [rows, leaving] {
            let small = multiples(&rows, (dish, scale));
            if small.height > 0.0 && small.height + PARTS <= room {
                room -= small.height + PARTS;
                parts.push(small);
                break;
            }
        }
        if job == Job::Recess {
            parts.extend(followed.take());
        }
        parts.push(table);
        blocks.push((layer, Block::stack(parts, PARTS)));
    }
    let space = (WIDTH, (room + least - PARTS).min(TINTED));
    if let Some(tinted) = tint::tinted(swap, (dish, shop), space, unit) {
        blocks.insert(1, ("tinted", tinted));
    }
    blocks.push(("key", key));
    let fields = [
        ("Dish", dish.title.clone()),
        ("Recipe", swap.recipe.clone()),
        ("Width", length(swap.width, unit)),
        ("Scale", scale.designation()),
        ("Sheet", "Swap card, 1 of 1".to_owned()),
    ];
    page(format!("{} swap card", dish.title), blocks, title_block(&fields))
}

fn heading(swap: &Swap, dish: &Dish, unit: DisplayUnit) -> Block {
    let mut block = Block::space(14.0);
    let style = Style::new(Face::SerifSemibold, 5.0);
    block.text_in((0.0, 5.5), Anchor::Start, WIDTH, (style, &dish.title));
    let reach = |low: Option<f64>| {
        low.map_or_else(|| "not limited".to_owned(), |radius| fine(radius, unit))
    };
    let words = format!(
        "{} wide; a cutter follows the outline up to a radius of {}, the recess up to {}",
        length(swap.width, unit),
        reach(swap.outside.as_ref().map(|low| low.radius)),
        reach(swap.inside.as_ref().map(|low| low.radius)),
    );
    let style = Style::new(Face::SerifItalic, 2.5).quiet();
    block.text_in((0.0, 10.8), Anchor::Start, WIDTH, (style, &words));
    block.line((0.0, 14.0), (WIDTH, 14.0), RULE);
    block
}

/// The dish once per cutter.
fn multiples(rows: &[&SwapRow], (dish, scale): (&Dish, Scale)) -> Block {
    let (width, height) = dish.size();
    let [w, h] = [width, height].map(|side| side * scale.factor());
    let across = (1..=6_usize)
        .rev()
        .find(|n| f64::from(u32::try_from(*n).unwrap_or(1)) * (w + GAP) - GAP <= WIDTH)
        .unwrap_or(1);
    let lines = rows.len().div_ceil(across.max(1));
    let across = rows.len().div_ceil(lines.max(1)).max(1);
    let pitch = (WIDTH + GAP) / f64::from(u32::try_from(across).unwrap_or(1));
    let mut block = Block::default();
    for (line, chunk) in rows.chunks(across).enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "a handful of lines")]
        let y = line as f64 * (h + WORDS + LINE);
        for (row, place) in chunk.iter().zip(0_u32..) {
            let small = small(row, dish, (scale, pitch - GAP));
            block.put(small, Vec2::new(f64::from(place) * pitch, y));
        }
        block.height = y + h + WORDS;
    }
    block
}

/// One dish and what one cutter leaves of it.
fn small(row: &SwapRow, dish: &Dish, (scale, room): (Scale, f64)) -> Block {
    let bounds = dish.outline.bounds();
    let mut block = Block::default();
    let style = Style::new(Face::SansBold, FIGURE.height);
    block.text_in((0.0, 1.8), Anchor::Start, room, (style, &row.id));
    let left = (room - bounds.width() * scale.factor()) / 2.0;
    let view = View::new(bounds, scale, (left, 4.0));
    block.shape(view.region(&dish.outline), TINT, Pen::new(INK, 0.25));
    for recess in &dish.recesses {
        block.shape(view.region(&recess.region), WHITE, Pen::new(QUIET, 0.18));
    }
    let shape = if row.job == Job::Outline { Shape::Outline } else { Shape::Recess };
    for left in &row.leftovers {
        leftover(&mut block, &view, shape.color(), left);
    }
    for left in &row.leftovers {
        let at = view.point(left.at);
        block.stroke(disc(at, 1.4), Pen::new(Verdict::of(row).color(), 0.35));
    }
    let y = view.frame.y1 + 4.0;
    Verdict::of(row).draw(&mut block, Point::new(1.2, y - 0.9));
    block.text_in((4.0, y), Anchor::Start, room - 4.0, (SMALL, &said(row)));
    block
}

/// What one row of the table comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Verdict {
    Follows,
    Sandable,
    Leaves,
}

impl Verdict {
    fn of(row: &SwapRow) -> Self {
        if row.follows {
            Self::Follows
        } else if row.sandable {
            Self::Sandable
        } else {
            Self::Leaves
        }
    }

    const fn color(self) -> Color {
        match self {
            Self::Follows => okabe_ito::GREEN,
            Self::Sandable => okabe_ito::ORANGE,
            Self::Leaves => okabe_ito::VERMILION,
        }
    }

    fn draw(self, block: &mut Block, at: Point) {
        let r = HALF * 0.6;
        let path = match self {
            Self::Follows => disc(at, r),
            Self::Sandable => {
                let corners = [
                    (at.x, at.y - r * 1.2),
                    (at.x + r * 1.2, at.y + r),
                    (at.x - r * 1.2, at.y + r),
                ];
                super::block::polygon(&corners)
            }
            Self::Leaves => octagon(at, r * 1.05),
        };
        block.fill(path, self.color());
    }
}

/// The verdict in a few words.
fn said(row: &SwapRow) -> String {
    let long = if row.clearance.clears() { "" } else { "; too short for the depth" };
    let what = match (Verdict::of(row), row.leftovers.len()) {
        (Verdict::Follows, _) if row.tie => "just follows".to_owned(),
        (Verdict::Follows, _) => "follows".to_owned(),
        (Verdict::Sandable, n) => format!("{}, sanded away", places(n)),
        (Verdict::Leaves, _) if row.unsure => "does not follow".to_owned(),
        (Verdict::Leaves, n) => format!("leaves wood in {}", places(n)),
    };
    format!("{what}{long}")
}

fn places(count: usize) -> String {
    if count == 1 { "1 place".to_owned() } else { format!("{count} places") }
}

/// All cutters of a job; nothing where the dish has no such boundary.
fn table(swap: &Swap, job: Job, unit: DisplayUnit) -> Option<Block> {
    let rows: Vec<_> = swap
        .rows
        .iter()
        .filter(|row| row.job == job)
        .map(|row| cells(row, unit))
        .collect();
    if rows.is_empty() {
        return None;
    }
    let table = Table {
        columns: vec![
            Column::words("cutter"),
            Column::words("kind"),
            Column::figures("diameter"),
            Column::wrapping("verdict"),
            Column::figures("deepest"),
            Column::figures("area left"),
            Column::figures("least width"),
        ],
        rows,
        head: LABEL,
        body: FIGURE,
    };
    Some(table.draw(WIDTH, 90.0).0)
}

fn cells(row: &SwapRow, unit: DisplayUnit) -> Vec<String> {
    let none = || "–".to_owned();
    let measured = !row.follows && !row.unsure;
    vec![
        row.id.clone(),
        row.kind.word().to_owned(),
        Mm::new(row.diameter).map_or_else(String::new, |mm| mm.show(unit)),
        said(row),
        if measured { fine(row.deepest(), unit) } else { none() },
        if measured { area(row.area_left(), unit) } else { none() },
        row.smallest_width
            .map_or_else(|| "none".to_owned(), |width| least_width(width, unit)),
    ]
}

/// Rounded up, so that the dish drawn that wide does follow.
fn least_width(width: f64, unit: DisplayUnit) -> String {
    match unit {
        DisplayUnit::Mm => length((width * 10.0 - 1e-6).ceil() / 10.0, unit),
        DisplayUnit::Inch => length(width, unit),
    }
}
