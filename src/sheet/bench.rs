//! The page the maker works from.

use super::block::{Block, head, paragraph, rectangle};
use super::color::{PAPER, QUIET, okabe_ito};
use super::cutting::{leftovers, operations, signs};
use super::drawing::{ACROSS, Attempt, DOWN, Left, Notes, plan_view};
use super::facts::pairs;
use super::figures::{area, fine, length, set};
use super::found::findings;
use super::frame::{HEIGHT, TITLE_BLOCK, WIDTH, fields, page, title, title_block};
use super::labels::{HALF, Shape, marker};
use super::mark::{Anchor, Sheet};
use super::picture::Made;
use super::scale::Scale;
use super::section::{SECTION, Tools, cut_height, section};
use super::setting::setting;
use super::style::{BODY, Pen, RULE, SMALL, Style};
use super::words::{CAUTIONS, CHECKLIST, FIRST};
use crate::curve::{Point, Vec2};
use crate::dish::Dish;
use crate::feasibility::{Job, Report};
use crate::finding::Severity;
use crate::lettering::Face;
use crate::model::Shop;
use crate::plan::{Plan, Work};
use crate::units::{DisplayUnit, Mm};

/// Between the plan and the figures beside it, mm.
const GUTTER: f64 = 4.0;
/// The figures beside the plan want this much, mm.
const ASIDE: f64 = 39.2;
/// The figures under a wide plan want this much, mm.
const UNDER: f64 = 36.0;
/// The figures alone beside a plan want this much, mm.
const NARROW: f64 = 29.5;
/// Remarks and leftovers under a plan want this much, mm.
const BELOW: f64 = 18.0;
/// Least room for the findings, mm, if there are so many.
const FINDINGS: f64 = 26.0;
/// Between the parts of the page, mm.
const GAPS: f64 = 5.0 * 3.0;

/// What goes onto the second page so that the drawing is as large as can be.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Later {
    /// Nothing of the first page's.
    Nothing,
    /// The checklist.
    Checklist,
    /// The checklist and the figures.
    Figures,
}

/// The pages the maker works from: one, or two where one is not enough.
pub fn bench(dish: &Dish, report: &Report, plan: &Plan, shop: &Shop) -> Vec<Sheet> {
    let job = Task { dish, report, plan, shop };
    let head = heading(dish, report);
    let cutters = operations(dish, plan, shop.house.unit);
    let closing = Block::stack([checklist(), first()], 2.4);
    let all = findings(&report.findings, f64::INFINITY).height;
    let free = |later: Later| {
        let here = if later == Later::Nothing { closing.height } else { 0.0 };
        HEIGHT - TITLE_BLOCK - GAPS - head.height - cutters.height - here
    };
    let room = |later: Later| {
        let free = free(later);
        Room { page: free - all.min(FINDINGS), aside: free - all }
    };
    let scale = |later: Later| layout(dish, room(later).page, later).0.factor();
    let later = [Later::Checklist, Later::Figures].into_iter().fold(
        Later::Nothing,
        |best, next| if scale(next) > scale(best) { next } else { best },
    );
    let Drawings { block: drawings, scale, apart } = drawings(&job, room(later), later);
    let findings = findings(&report.findings, free(later) - drawings.height);
    let left = free(later) - drawings.height - findings.height;
    let mut blocks = vec![
        ("heading", head),
        ("drawings", drawings),
        ("cutters", cutters),
        ("findings", findings),
    ];
    let second = heading(dish, report);
    let moved = if later == Later::Nothing { 0.0 } else { closing.height + 3.0 };
    let apart = apart.map(|block| ("figures", block));
    let own = moved + apart.as_ref().map_or(0.0, |(_, block)| block.height + 3.0);
    let room = HEIGHT - TITLE_BLOCK - GAPS - second.height - own;
    let mut more = setting(dish, plan, shop, room);
    let tall: f64 = more.iter().map(|(_, block)| block.height + 3.0).sum();
    if later == Later::Nothing && tall <= left {
        blocks.append(&mut more);
    }
    if later == Later::Nothing {
        blocks.push(("checklist", closing));
    } else {
        more.splice(0..0, apart);
        more.push(("checklist", closing));
    }
    let pages = if more.is_empty() { 1 } else { 2 };
    let foot = |number: u32, scale: &str| {
        let sheet = format!("Bench, {number} of {pages}");
        title_block(&fields(dish, &sheet, scale))
    };
    let mut sheets =
        vec![page(title(dish, "bench sheet"), blocks, foot(1, &scale.designation()))];
    if !more.is_empty() {
        more.insert(0, ("heading", second));
        let words = title(dish, "bench sheet, second page");
        sheets.push(page(words, more, foot(2, "")));
    }
    sheets
}

fn heading(dish: &Dish, report: &Report) -> Block {
    let mut block = Block::space(8.0);
    let name = if dish.person.is_empty() { &dish.title } else { &dish.person };
    let style = Style::new(Face::SerifSemibold, 5.0);
    block.text_in((0.0, 5.5), Anchor::Start, 92.0, (style, name));
    let (shape, words) = match report.findings.iter().map(|f| f.severity).max() {
        Some(Severity::Stop) => (Some(Severity::Stop), "Stop: cannot be made as drawn"),
        Some(Severity::Warn) => (Some(Severity::Warn), "Can be made: look first"),
        Some(Severity::Note) => (Some(Severity::Note), "Can be made: see the notes"),
        None => (None, "Nothing found against it"),
    };
    let style = BODY;
    let width = crate::lettering::width(words, style.face, style.height);
    block.text((WIDTH, 5.0), Anchor::End, style, words);
    let at = Point::new(WIDTH - width - 4.5, 3.75);
    match shape {
        Some(severity) => marker(&mut block, at, Shape::Finding(severity), "!"),
        None => block.fill(super::block::disc(at, HALF), okabe_ito::GREEN),
    }
    block.line((0.0, 8.0), (WIDTH, 8.0), RULE);
    block
}

/// Everything the drawings are made from.
struct Task<'a> {
    dish: &'a Dish,
    report: &'a Report,
    plan: &'a Plan,
    shop: &'a Shop,
}

/// Heights the drawings may take, mm.
#[derive(Clone, Copy)]
struct Room {
    /// Plan and section, so that the gravest findings still have room.
    page: f64,
    /// The figures beside them, so that all findings have room.
    aside: f64,
}

/// Where the figures go.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    /// Figures, remarks and leftovers right of the plan.
    Beside,
    /// Figures right of the plan, remarks and leftovers under it.
    Narrow,
    /// All under plan and section.
    Under,
    /// On the second page.
    Apart,
}

/// Plan and section, and what stands beside them.
struct Drawings {
    block: Block,
    scale: Scale,
    /// The figures, where they go to the second page.
    apart: Option<Block>,
}

/// The largest scale, and where the figures then go.
fn layout(dish: &Dish, height: f64, later: Later) -> (Scale, Place) {
    let (width, tall) = dish.size();
    // The section under the plan has its scale, so the board's thickness counts with it.
    let size = [width, tall + dish.wood.thickness.get()];
    let height = height - DOWN - SECTION - 2.0;
    if later == Later::Figures {
        let scale = Scale::largest(size, [WIDTH - ACROSS, height]);
        return (scale, Place::Apart);
    }
    let places = [
        (Place::Under, WIDTH - ACROSS, height - UNDER - 3.0),
        (Place::Narrow, WIDTH - NARROW - GUTTER - ACROSS, height - BELOW - 3.0),
        (Place::Beside, WIDTH - ASIDE - GUTTER - ACROSS, height),
    ];
    let scaled =
        places.map(|(place, wide, tall)| (Scale::largest(size, [wide, tall]), place));
    let [first, ..] = scaled;
    scaled.into_iter().fold(first, |best, next| {
        if next.0.factor() >= best.0.factor() { next } else { best }
    })
}

/// Plan and section with the figures beside or under them.
fn drawings(task: &Task<'_>, room: Room, later: Later) -> Drawings {
    let (dish, unit) = (task.dish, task.shop.house.unit);
    let (scale, place) = layout(dish, room.page, later);
    let Made { pair, name } = Made::of(task.dish, task.plan, task.shop);
    let tools = Tools { name: name.as_ref(), ..Tools::of(task.plan, task.shop) };
    let left = Left {
        outline: attempt(task, &[Work::CutOut], Job::Outline),
        recess: attempt(task, &[Work::RecessCorners, Work::Recess], Job::Recess),
        pair,
    };
    let cut = cut_height(dish);
    let findings = &task.report.findings;
    let tabs = &task.plan.tabs;
    let name = name.as_ref();
    let notes = Notes { left, findings, tabs, name, cut, unit };
    let (plan, view) = plan_view(dish, scale, &notes);
    let column = match place {
        Place::Beside | Place::Narrow => {
            (WIDTH - view.frame.width() - ACROSS - GUTTER).min(64.0)
        }
        Place::Under | Place::Apart => -GUTTER,
    };
    let reach = WIDTH - column - GUTTER;
    let cut = section(dish, cut, (scale, view.frame.x0, reach), (tools, unit));
    let drawn = Block::stack([plan, cut], 2.0);
    let figures = figures(task);
    let block = match place {
        Place::Beside => {
            let table = Block::stack([head("Figures"), pairs(&figures, column)], 1.0);
            let aside = Block::stack([table, remarks(dish, column)], 3.0);
            let signs = signs(dish, tabs, left.pair, (column, unit));
            let aside = Block::stack([signs, aside], 3.0);
            let room = room.aside.min(room.page).max(drawn.height) - aside.height - 4.0;
            let left = leftovers(&left, (column, room.max(16.0)), unit);
            let aside = Block::stack([aside, left], 3.5);
            Block::beside([(0.0, drawn), (WIDTH - column, aside)])
        }
        Place::Narrow => {
            let table = Block::stack([head("Figures"), pairs(&figures, column)], 1.0);
            let over = Block::beside([(0.0, drawn), (WIDTH - column, table)]);
            let room = room.aside.min(room.page) - over.height - 3.0;
            Block::stack([over, below(task, &left, (room.max(BELOW), unit))], 3.0)
        }
        Place::Under => Block::stack([drawn, under(task, &figures, &left, unit)], 3.0),
        Place::Apart => {
            let apart = Some(under(task, &figures, &left, unit));
            return Drawings { block: drawn, scale, apart };
        }
    };
    Drawings { block, scale, apart: None }
}

/// Remarks and leftovers side by side.
fn below(task: &Task<'_>, left: &Left<'_>, (room, unit): (f64, DisplayUnit)) -> Block {
    let half = (WIDTH - GUTTER) / 2.0;
    let mut own = vec![signs(task.dish, &task.plan.tabs, left.pair, (half, unit))];
    let remarks = remarks(task.dish, half);
    if remarks.height > 0.0 {
        own.push(Block::stack([head("Remarks"), remarks], 1.4));
    }
    let own = Block::stack(own, 2.0);
    Block::beside([(0.0, own), (half + GUTTER, leftovers(left, (half, room), unit))])
}

/// Three columns under a wide plan.
fn under(
    task: &Task<'_>,
    figures: &[(String, String)],
    left: &Left<'_>,
    unit: DisplayUnit,
) -> Block {
    let column = (WIDTH - 2.0 * GUTTER) / 3.0;
    let (first, rest) = figures.split_at(figures.len().min(7));
    let first = Block::stack([head("Figures"), pairs(first, column)], 1.0);
    let mut second = vec![Block::space(head("").height)];
    if !rest.is_empty() {
        second.push(pairs(rest, column));
    }
    second.push(remarks(task.dish, column));
    let signs = signs(task.dish, &task.plan.tabs, left.pair, (column, unit));
    let room = UNDER - signs.height - 2.0;
    let third = Block::stack([signs, leftovers(left, (column, room), unit)], 2.0);
    Block::beside([
        (0.0, first),
        (column + GUTTER, Block::stack(second, 1.0)),
        (2.0 * (column + GUTTER), third),
    ])
}

/// The cutter chosen for a work against its boundary; where none could be chosen, the one
/// that leaves least.
fn attempt<'a>(task: &Task<'a>, works: &[Work], job: Job) -> Option<Attempt<'a>> {
    let operations = &task.plan.operations;
    let rows = || task.report.swap.rows.iter().filter(|row| row.job == job);
    let chosen =
        works.iter().find_map(|work| operations.iter().find(|o| o.work == *work));
    if let Some(operation) = chosen {
        let row = rows().find(|row| row.id == operation.cutter)?;
        return Some(Attempt { row, chosen: true });
    }
    let row = rows().min_by(|a, b| a.deepest().total_cmp(&b.deepest()))?;
    Some(Attempt { row, chosen: false })
}

fn figures(task: &Task<'_>) -> Vec<(String, String)> {
    let (dish, report, unit) = (task.dish, task.report, task.shop.house.unit);
    let mut rows = Vec::new();
    let mut row = |label: &str, value: String| rows.push((label.to_owned(), value));
    row("Wood", dish.wood.name.clone());
    row("Board", length(dish.wood.thickness.get(), unit));
    if let Some(rim) = dish.rim {
        row("Rim", length(rim.get(), unit));
    }
    for (i, recess) in dish.recesses.iter().enumerate() {
        let number =
            if dish.recesses.len() > 1 { format!(" {}", i + 1) } else { String::new() };
        row(&format!("Recess{number} depth"), length(recess.depth, unit));
        row(&format!("Floor{number} kept"), length(recess.floor, unit));
    }
    if let Some(neck) = report.neck {
        row("Thinnest neck", length(2.0 * neck.radius, unit));
    }
    if let Some(name) = &dish.name {
        row("Capitals", length(name.height, unit));
        for (label, value) in set(name, unit).into_iter().flatten() {
            row(label, value);
        }
        if let Some((width, _)) = name.thinnest {
            row("Thinnest stroke", fine(width, unit));
        }
        if let Some(panel) = &name.panel {
            let area = area(panel.ground.area(), unit);
            row("Panel", format!("{} deep, {area}", length(name.depth, unit)));
        }
    }
    let round = |mm: Mm| format!("R {}", length(mm.get(), unit));
    if let Some(edge) = dish.outer_round {
        row("Outer edge", round(edge));
    }
    if let Some(edge) = dish.recess_round {
        row("Recess edge", round(edge));
    }
    if let Some(reach) = &report.swap.outside {
        row("Outside reach", fine(reach.radius, unit));
    }
    if let Some(reach) = &report.swap.inside {
        row("Inside reach", fine(reach.radius, unit));
    }
    rows
}

/// The recipe's notes and the order's.
fn remarks(dish: &Dish, width: f64) -> Block {
    let style = Style::new(Face::SerifItalic, SMALL.height);
    let own = dish.notes.iter().map(String::as_str).take(3);
    let note = dish.note.as_ref().map(|note| format!("“{}”", note.trim()));
    let texts: Vec<Block> =
        own.chain(note.as_deref()).map(|text| paragraph(text, style, width, 6)).collect();
    Block::stack(texts, 1.4)
}

fn checklist() -> Block {
    let column = (WIDTH - GUTTER) / 2.0;
    let list = |title: &str, items: &[&str]| {
        let items = items.iter().map(|item| tick(item, column));
        Block::stack([head(title), Block::stack(items, 1.1)], 1.6)
    };
    Block::beside([
        (0.0, list("Before the first cut", &CHECKLIST)),
        (column + GUTTER, list("While it runs", &CAUTIONS)),
    ])
}

fn tick(text: &str, width: f64) -> Block {
    let mut block = Block::default();
    let side = 2.0;
    block.shape(rectangle(0.0, 0.1, side, side), PAPER, Pen::new(QUIET, 0.18));
    let words = paragraph(text, SMALL, width - 4.0, 3);
    block.height = words.height;
    block.put(words, Vec2::new(4.0, 0.1));
    block
}

fn first() -> Block {
    paragraph(FIRST, Style::new(Face::SerifSemibold, SMALL.height), WIDTH, 2)
}
