//! Order lists in CSV: separated by commas, semicolons or tabs, whichever the head uses.

use super::orders::{MOST, checked, guess, not_empty};
use super::reader::Reader;
use crate::finding::{Checked, Code, Finding, Source, nearest};
use crate::model::{Order, OrderList, Pin, Pins, Setting, Work};
use std::sync::Arc;

/// Columns with a meaning of their own; any other is a parameter of the recipe.
const COLUMNS: [&str; 7] = ["id", "name", "recipe", "wood", "quantity", "note", "date"];
const REQUIRED: [&str; 3] = ["id", "name", "recipe"];

/// Columns `use_recess`, `use_cut_out` and so on: the cutter for a work.
const USE: &str = "use_";

/// The work of a column's name.
fn work_of(column: &str) -> Option<Work> {
    let key = column.strip_prefix(USE)?;
    Work::ALL.into_iter().find(|work| work.key() == key)
}

/// Reads an order list in CSV.
pub fn orders_csv(label: &str, text: &str) -> Checked<OrderList> {
    let r = Reader::new(label, text);
    let read = whole(&r, text);
    Checked::unless_stopped(read, r.finish())
}

/// One cell and where it stands.
struct Cell {
    text: String,
    source: Source,
}

struct Row {
    cells: Vec<Cell>,
    source: Source,
}

fn whole(r: &Reader, text: &str) -> Option<OrderList> {
    let mut rows = rows(r, text)?.into_iter();
    let Some(head) = rows.next() else {
        let finding = Finding::stop(Code::CsvSyntax, "the file is empty")
            .from(Source::whole(&r.file))
            .expected("a first row of column names: `id,name,recipe`");
        r.say(finding);
        return None;
    };
    let fine = check_head(r, &head);
    not_empty(r, rows.len(), &head.source);
    let orders: Vec<(Order, Source)> =
        rows.filter_map(|row| order(r, &head, &row)).collect();
    fine.then(|| checked(r, orders))
}

/// The separator that the head has most of.
fn separator(text: &str) -> u8 {
    let head = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let count = |mark: u8| head.bytes().filter(|byte| *byte == mark).count();
    let most = [b',', b';', b'\t'].map(|mark| (count(mark), mark));
    // Of equals the later wins in `max_by_key`, so the comma is asked last.
    most.into_iter().rev().max_by_key(|(count, _)| *count).map_or(b',', |(_, mark)| mark)
}

fn rows(r: &Reader, text: &str) -> Option<Vec<Row>> {
    let separator = separator(text);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let message = format!("not valid CSV: {error}");
                r.say(
                    Finding::stop(Code::CsvSyntax, message).from(Source::whole(&r.file)),
                );
                return None;
            }
        };
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let start = record.position().map_or(0, csv::Position::byte);
        let start = usize::try_from(start).unwrap_or(0);
        let places = places(r, text, start, separator);
        let source = line_of(r, places.first());
        let cells = record
            .iter()
            .enumerate()
            .map(|(at, cell)| Cell {
                text: cell.trim().replace("\r\n", "\n"),
                source: places.get(at).cloned().unwrap_or_else(|| source.clone()),
            })
            .collect();
        rows.push(Row { cells, source });
    }
    Some(rows)
}

/// The row as a whole.
fn line_of(r: &Reader, first: Option<&Source>) -> Source {
    let line = first.map_or(0, |source| source.line);
    Source { file: Arc::clone(&r.file), line, column: 0, length: 0 }
}

/// Where each cell of the row that starts at a byte stands, quotes left out.
fn places(r: &Reader, text: &str, start: usize, separator: u8) -> Vec<Source> {
    let rest = text.get(start..).unwrap_or_default();
    // The position given may still stand before line ends and blank lines.
    let skipped = rest.len() - rest.trim_start_matches(['\r', '\n']).len();
    let before = text.get(..start + skipped).unwrap_or_default();
    let mut line = u32::try_from(before.matches('\n').count() + 1).unwrap_or(0);
    let mut column = 1;
    let mut open = Source { file: Arc::clone(&r.file), line, column, length: 0 };
    let mut places = Vec::new();
    let mut quoted = false;
    for c in rest.get(skipped..).unwrap_or_default().chars() {
        match c {
            '"' => quoted = !quoted,
            '\n' if !quoted => break,
            _ => {}
        }
        column += 1;
        if c == '\n' {
            (line, column) = (line + 1, 1);
        } else if c == char::from(separator) && !quoted {
            let next = Source { line, column, length: 0, file: Arc::clone(&r.file) };
            places.push(std::mem::replace(&mut open, next));
        } else if c != '\r' && open.line == line {
            open.length += 1;
        }
    }
    places.push(open);
    for place in &mut places {
        place.length = place.length.max(1);
    }
    places
}

/// Every required column is there, and none twice.
fn check_head(r: &Reader, head: &Row) -> bool {
    let names: Vec<&str> = head.cells.iter().map(|cell| cell.text.as_str()).collect();
    let mut fine = true;
    for wanted in REQUIRED {
        if names.contains(&wanted) {
            continue;
        }
        fine = false;
        let others = names.iter().copied().filter(|name| !COLUMNS.contains(name));
        let finding = Finding::stop(Code::MissingKey, format!("no column `{wanted}`"))
            .from(head.source.clone())
            .expected("the columns `id`, `name` and `recipe` in the first row");
        r.say(match nearest(wanted, others) {
            Some(near) => finding.help(format!("is the column `{near}` meant?")),
            None => finding.help(format!("add `{wanted}` to the first row")),
        });
    }
    for cell in head.cells.iter().filter(|cell| cell.text.starts_with(USE)) {
        if work_of(&cell.text).is_some() {
            continue;
        }
        fine = false;
        let known: Vec<String> =
            Work::ALL.iter().map(|work| format!("{USE}{}", work.key())).collect();
        let message = format!("no work is called `{}`", cell.text);
        let finding = Finding::stop(Code::UnknownWord, message)
            .from(cell.source.clone())
            .expected(format!("one of {}", known.join(", ")));
        r.say(match nearest(&cell.text, known.iter().map(String::as_str)) {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding,
        });
    }
    for (at, cell) in head.cells.iter().enumerate() {
        let first = head.cells.iter().take(at).find(|c| c.text == cell.text);
        if let Some(first) = first.filter(|first| !first.text.is_empty()) {
            fine = false;
            let message = format!("two columns are called `{}`", cell.text);
            let finding = Finding::stop(Code::DuplicateKey, message)
                .from(cell.source.clone())
                .related(first.source.clone(), "the first one")
                .help("keep one of the two");
            r.say(finding);
        }
    }
    fine
}

fn order(r: &Reader, head: &Row, row: &Row) -> Option<(Order, Source)> {
    let (have, need) = (row.cells.len(), head.cells.len());
    if have != need {
        let message = format!("this row has {have} cells, the first row has {need}");
        let finding = Finding::stop(Code::CsvSyntax, message)
            .from(row.source.clone())
            .help("a cell with a separator in it goes in quotes: \"Tom, the second\"");
        r.say(finding);
        return None;
    }
    let pairs: Vec<(&str, &Cell)> =
        head.cells.iter().map(|cell| cell.text.as_str()).zip(&row.cells).collect();
    let cell = |key: &str| pairs.iter().find(|(name, _)| *name == key).map(|(_, c)| *c);
    let filled = |key: &str| cell(key).filter(|cell| !cell.text.is_empty());
    let quantity = filled("quantity").map(|cell| quantity(r, cell));
    let (id, name, recipe) = (cell("id")?, cell("name")?, required(r, cell("recipe")?)?);
    let wood = filled("wood");
    let mut pins = Pins::default();
    for (name, cell) in pairs.iter().filter(|(_, cell)| !cell.text.is_empty()) {
        let Some(work) = work_of(name) else { continue };
        let (cutter, source) = (cell.text.clone(), cell.source.clone());
        pins.set(Pin { work, cutter, source });
    }
    let set = pairs
        .iter()
        .filter(|(name, cell)| {
            !COLUMNS.contains(name)
                && !name.starts_with(USE)
                && !name.is_empty()
                && !cell.text.is_empty()
        })
        .map(|(name, cell)| Setting {
            name: (*name).to_owned(),
            value: guess(&cell.text),
            source: cell.source.clone(),
        })
        .collect();
    let order = Order {
        id: id.text.clone(),
        name: name.text.clone(),
        recipe: recipe.text.clone(),
        recipe_source: recipe.source.clone(),
        wood: wood.map(|cell| cell.text.clone()),
        wood_source: wood.map_or_else(|| row.source.clone(), |cell| cell.source.clone()),
        quantity: quantity.flatten().unwrap_or(1),
        note: filled("note").map(|cell| cell.text.clone()),
        date: filled("date").map(|cell| cell.text.clone()),
        set,
        pins,
        source: row.source.clone(),
    };
    Some((order, id.source.clone()))
}

fn required<'a>(r: &Reader, cell: &'a Cell) -> Option<&'a Cell> {
    if cell.text.is_empty() {
        let finding = Finding::stop(Code::MissingKey, "the recipe is empty")
            .from(cell.source.clone())
            .help("name a recipe, e.g. `snail`");
        r.say(finding);
        return None;
    }
    Some(cell)
}

fn quantity(r: &Reader, cell: &Cell) -> Option<u32> {
    let number = cell.text.parse::<u32>().ok().filter(|n| (1..=MOST).contains(n));
    if number.is_none() {
        let finding =
            Finding::stop(Code::BadNumber, format!("`quantity` is `{}`", cell.text))
                .from(cell.source.clone())
                .expected(format!("a whole number from 1 to {MOST}"));
        r.say(finding);
    }
    number
}
