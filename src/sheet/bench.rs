//! The page the maker works from.

use super::block::{Block, paragraph, rectangle};
use super::color::{PAPER, QUIET, okabe_ito};
use super::drawing::{ACROSS, Attempt, DOWN, Left, Notes, plan_view};
use super::figures::{amount, bare, fine, length, sentence, thousands};
use super::frame::{HEIGHT, TITLE_BLOCK, WIDTH, fields, page, title_block};
use super::labels::{HALF, Shape, marker};
use super::mark::{Anchor, Sheet};
use super::proof::{pairs, title};
use super::scale::Scale;
use super::section::{SECTION, Tools, cut_height, section};
use super::style::{BODY, FIGURE, HEADING, LABEL, Pen, RULE, SMALL, Style};
use super::table::{Column, Table};
use super::words::{CAUTIONS, CHECKLIST, FIRST};
use crate::curve::{Point, Vec2};
use crate::dish::Dish;
use crate::feasibility::{Job, Report};
use crate::finding::{Finding, Severity};
use crate::lettering::Face;
use crate::model::{Cutter, Shop};
use crate::plan::{Operation, Plan, Work};
use crate::reach::Leftover;
use crate::units::{DisplayUnit, MM_PER_INCH, Mm};

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

/// The page the maker works from.
pub fn bench(dish: &Dish, report: &Report, plan: &Plan, shop: &Shop) -> Sheet {
    let unit = shop.house.unit;
    let job = Task { dish, report, plan, shop };
    let heading = heading(dish, report);
    let cutters = operations(dish, plan, unit);
    let closing = Block::stack([checklist(), first()], 2.4);
    let free =
        HEIGHT - TITLE_BLOCK - GAPS - heading.height - cutters.height - closing.height;
    let all = findings(&report.findings, f64::INFINITY).height;
    let room = Room { page: free - all.min(FINDINGS), aside: free - all };
    let (drawings, scale) = drawings(&job, room);
    let findings = findings(&report.findings, free - drawings.height);
    let blocks = vec![
        ("heading", heading),
        ("drawings", drawings),
        ("cutters", cutters),
        ("findings", findings),
        ("checklist", closing),
    ];
    let foot = title_block(&fields(dish, "Bench", &scale.designation()));
    page(title(dish, "bench sheet"), blocks, foot)
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
}

/// The largest scale, and where the figures then go.
fn layout(dish: &Dish, height: f64) -> (Scale, Place) {
    let (width, tall) = dish.size();
    // The section under the plan has its scale, so the board's thickness counts with it.
    let size = [width, tall + dish.wood.thickness.get()];
    let height = height - DOWN - SECTION - 2.0;
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
fn drawings(task: &Task<'_>, room: Room) -> (Block, Scale) {
    let (dish, unit) = (task.dish, task.shop.house.unit);
    let (scale, place) = layout(dish, room.page);
    let tools = tools(task.plan, task.shop);
    let left = Left {
        outline: attempt(task, &[Work::CutOut], Job::Outline),
        recess: attempt(task, &[Work::RecessCorners, Work::Recess], Job::Recess),
    };
    let cut = cut_height(dish);
    let findings = &task.report.findings;
    let notes = Notes { left, findings, cut, foot: tools.foot, unit };
    let (plan, view) = plan_view(dish, scale, &notes);
    let column = match place {
        Place::Beside | Place::Narrow => {
            (WIDTH - view.frame.width() - ACROSS - GUTTER).min(64.0)
        }
        Place::Under => -GUTTER,
    };
    let reach = WIDTH - column - GUTTER;
    let cut = section(dish, cut, (scale, view.frame.x0, reach), (tools, unit));
    let drawn = Block::stack([plan, cut], 2.0);
    let figures = figures(dish, task.report, unit);
    let block = match place {
        Place::Beside => {
            let table = Block::stack([head("Figures"), pairs(&figures, column)], 1.0);
            let aside = Block::stack([table, remarks(dish, column)], 3.0);
            let room = room.aside.min(room.page).max(drawn.height) - aside.height - 4.0;
            let left = leftovers(&left, (column, room.max(16.0)), unit);
            let aside = Block::stack([aside, left], 3.5);
            Block::beside([(0.0, drawn), (WIDTH - column, aside)])
        }
        Place::Narrow => {
            let table = Block::stack([head("Figures"), pairs(&figures, column)], 1.0);
            let over = Block::beside([(0.0, drawn), (WIDTH - column, table)]);
            let room = room.aside.min(room.page) - over.height - 3.0;
            Block::stack([over, below(dish, &left, (room.max(BELOW), unit))], 3.0)
        }
        Place::Under => Block::stack([drawn, under(dish, &figures, &left, unit)], 3.0),
    };
    (block, scale)
}

/// Remarks and leftovers side by side.
fn below(dish: &Dish, left: &Left<'_>, (room, unit): (f64, DisplayUnit)) -> Block {
    let half = (WIDTH - GUTTER) / 2.0;
    let remarks = remarks(dish, half);
    if remarks.height <= 0.0 {
        return leftovers(left, (WIDTH, room), unit);
    }
    let remarks = Block::stack([head("Remarks"), remarks], 1.4);
    Block::beside([(0.0, remarks), (half + GUTTER, leftovers(left, (half, room), unit))])
}

/// Three columns under a wide plan.
fn under(
    dish: &Dish,
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
    second.push(remarks(dish, column));
    Block::beside([
        (0.0, first),
        (column + GUTTER, Block::stack(second, 1.0)),
        (2.0 * (column + GUTTER), leftovers(left, (column, UNDER), unit)),
    ])
}

fn tools(plan: &Plan, shop: &Shop) -> Tools {
    let cutter = |works: &[Work]| -> Option<&Cutter> {
        let op = plan.operations.iter().rfind(|o| works.contains(&o.work))?;
        shop.cutters.iter().find(|c| c.id() == op.cutter)
    };
    let foot =
        cutter(&[Work::Recess, Work::RecessCorners]).map_or(0.0, Cutter::corner_radius);
    let angle = cutter(&[Work::Name]).and_then(|c| c.spec().angle);
    Tools { foot, angle: angle.map(crate::units::Deg::get) }
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

fn head(text: &str) -> Block {
    let mut block = Block::space(HEADING.height * 1.25);
    block.text((0.0, HEADING.height), Anchor::Start, HEADING, text);
    block
}

fn figures(dish: &Dish, report: &Report, unit: DisplayUnit) -> Vec<(String, String)> {
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
        row("Thinnest neck", length(neck, unit));
    }
    if let Some(name) = &dish.name {
        row("Capitals", length(name.height, unit));
        if let Some((width, _)) = name.thinnest {
            row("Thinnest stroke", fine(width, unit));
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

/// What the cutters leave, in words and in as many rows as fit into a height.
fn leftovers(left: &Left<'_>, (width, height): (f64, f64), unit: DisplayUnit) -> Block {
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
fn operations(dish: &Dish, plan: &Plan, unit: DisplayUnit) -> Block {
    let rows = plan.operations.iter().enumerate().map(|(i, op)| operation(i, op, unit));
    let table = Table {
        columns: vec![
            Column::figures(""),
            Column::words("work"),
            Column::words("cutter"),
            Column::wrapping("kind and size"),
            Column::figures("out of collet"),
            Column::figures("depth"),
            Column::figures("passes"),
            Column::figures("speed, 1/min"),
            Column::figures(match unit {
                DisplayUnit::Mm => "feed, mm/min",
                DisplayUnit::Inch => "feed, in/min",
            }),
        ],
        rows: rows.collect(),
        head: LABEL,
        body: FIGURE,
    };
    let mut parts = vec![head("Cutters in working order")];
    if !plan.operations.is_empty() {
        parts.push(table.draw(WIDTH, 60.0).0);
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
    let unknown = || "not known".to_owned();
    vec![
        (index + 1).to_string(),
        op.work.word().to_owned(),
        op.cutter.clone(),
        op.cutter_text.clone(),
        op.stick_out.map_or_else(unknown, |mm| length(mm, unit)),
        length(op.depth, unit),
        op.passes.to_string(),
        op.speed.map_or_else(unknown, thousands),
        op.feed.map_or_else(unknown, |feed| thousands(feed / per_unit(unit))),
    ]
}

/// As many findings as fit, gravest first; says how many do not.
fn findings(findings: &[Finding], room: f64) -> Block {
    const LAST: f64 = 4.0;
    let mut block = head("Findings");
    if findings.is_empty() {
        let text = "None. What was checked is geometry; your eye comes first.";
        return Block::stack([block, paragraph(text, SMALL, WIDTH, 1)], 1.6);
    }
    block.height += 1.6;
    for (i, finding) in findings.iter().enumerate() {
        let row = row(i, finding);
        let rest = if i + 1 < findings.len() { LAST } else { 0.0 };
        if block.height + row.height + rest > room {
            let more =
                format!("and {} more: “treen check” lists them all", findings.len() - i);
            block.text(
                (8.0, block.height + SMALL.height),
                Anchor::Start,
                SMALL.quiet(),
                &more,
            );
            block.height += SMALL.height * 1.25;
            return block;
        }
        let (y, height) = (block.height, row.height);
        block.put(row, Vec2::new(0.0, y));
        block.height += height + 1.4;
    }
    block
}

/// A sentence as printed: `code` becomes “code”.
fn said(text: &str) -> String {
    let mut open = false;
    let quoted = text.chars().map(|letter| match letter {
        '`' => {
            open = !open;
            if open { '“' } else { '”' }
        }
        other => other,
    });
    sentence(&quoted.collect::<String>())
}

fn row(index: usize, finding: &Finding) -> Block {
    const INDENT: f64 = 8.0;
    const CODE: f64 = 40.0;
    let width = WIDTH - INDENT - CODE;
    let mut parts = vec![paragraph(&said(&finding.message), SMALL, width, 3)];
    if let Some(remedy) = finding.remedies.first() {
        let style = Style::new(Face::SerifItalic, SMALL.height).quiet();
        parts.push(paragraph(&said(&remedy.text), style, width, 2));
    }
    let text = Block::stack(parts, 1.0);
    let mut block = Block::space(text.height.max(2.0 * HALF + 0.4));
    let number = (index + 1).to_string();
    let at = Point::new(HALF + 0.6, HALF + 0.2);
    marker(&mut block, at, Shape::Finding(finding.severity), &number);
    block.put(text, Vec2::new(INDENT, 0.4));
    let held = (WIDTH, SMALL.height + 0.4);
    block.text_in(held, Anchor::End, CODE - 2.0, (LABEL, finding.code.word()));
    block
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
