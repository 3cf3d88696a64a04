//! Order lists in rows and columns, whatever they were read from.

use super::orders::{MOST, checked, guess, not_empty};
use super::reader::Reader;
use crate::finding::{Code, Finding, Source, nearest, plain};
use crate::model::{
    Called, Locale, Manner, Order, OrderForm, OrderList, Pin, Pins, Setting, SizeUnit,
    Work,
};

/// Columns with a meaning of their own; any other is a parameter of the recipe.
const COLUMNS: [&str; 9] =
    ["id", "name", "recipe", "wood", "quantity", "note", "date", "locale", "unit"];
const REQUIRED: [&str; 3] = ["id", "name", "recipe"];

/// Columns `use_recess`, `use_cut_out` and so on: the cutter for a work.
const USE: &str = "use_";

/// The work of a column's name.
fn work_of(column: &str) -> Option<Work> {
    let key = column.strip_prefix(USE)?;
    Work::ALL.into_iter().find(|work| work.key() == key)
}

/// One cell and where it stands.
pub(super) struct Cell {
    pub(super) text: String,
    /// Why there is no text, where that is a mistake.
    pub(super) fault: Option<Box<Finding>>,
    pub(super) source: Source,
}

/// One row that is not blank.
pub(super) struct Row {
    pub(super) cells: Vec<Cell>,
    pub(super) source: Source,
}

/// A column that is read: its heading's cell, and what it is for us.
struct Column<'a> {
    at: usize,
    word: &'a str,
    head: &'a Cell,
}

/// The orders of rows, the first of which is the head. Each is let go of before the next.
pub(super) fn orders(
    r: &Reader,
    rows: impl IntoIterator<Item = Row>,
    form: &OrderForm,
) -> Option<OrderList> {
    let mut rows = rows.into_iter().peekable();
    let Some(head) = rows.next() else {
        let finding = Finding::stop(Code::CsvSyntax, "the file is empty")
            .from(Source::whole(&r.file))
            .expected("a first row of column names: `id,name,recipe`");
        r.say(finding);
        return None;
    };
    let (columns, aside) = columns(&head, form);
    let fine = r.sound(|| {
        given(r, &head, form);
        let wanted = REQUIRED.into_iter();
        let told = |word: &str| form.columns.iter().any(|(given, _)| given == word);
        required_columns(r, &head, &columns, wanted.filter(|word| !told(word)));
        check_head(r, &columns);
        Some(())
    });
    not_empty(r, rows.peek().is_some(), &head.source);
    let width = head.cells.len();
    let read = rows.filter_map(|row| r.sound(|| order(r, (width, &columns), &row, form)));
    let read = read.collect();
    fine?;
    Some(OrderList { orders: checked(r, read), aside })
}

/// The columns that are read, and the headings of those that are not. Without columns named by
/// the shop every column is read.
fn columns<'a>(head: &'a Row, form: &'a OrderForm) -> (Vec<Column<'a>>, Vec<String>) {
    let (mut columns, mut aside) = (Vec::new(), Vec::new());
    for (at, cell) in head.cells.iter().enumerate().filter(|(_, c)| !c.text.is_empty()) {
        let text = cell.text.as_str();
        let called = form.columns.iter().find(|(_, called)| called.is(text));
        let ours = COLUMNS.contains(&text) || text.starts_with(USE);
        // A word that the shop gives to another column is not taken from one of that name.
        let free = form.columns.iter().all(|(word, _)| word != text);
        match called {
            Some((word, _)) => columns.push(Column { at, word, head: cell }),
            None if form.columns.is_empty() || (ours && free) => {
                columns.push(Column { at, word: text, head: cell });
            }
            None => aside.push(text.to_owned()),
        }
    }
    (columns, aside)
}

/// Every column that the shop names is there.
fn given(r: &Reader, head: &Row, form: &OrderForm) {
    let headings = || head.cells.iter().map(|cell| cell.text.as_str());
    for (word, called) in &form.columns {
        if headings().any(|text| called.is(text)) {
            continue;
        }
        let shown = plain(&called.text);
        let message =
            format!("no column is called `{shown}`, which should hold `{word}`");
        let finding = Finding::stop(Code::MissingKey, message)
            .from(head.source.clone())
            .related(called.source.clone(), "the shop calls it so");
        let near = nearest(&called.text, headings().filter(|text| !text.is_empty()));
        r.say(match near {
            Some(near) => finding.help(format!("is the column `{}` meant?", plain(near))),
            None => finding.help("mend `columns` in the shop, or add the column"),
        });
    }
}

/// These columns are there.
fn required_columns<'a>(
    r: &Reader,
    head: &Row,
    columns: &[Column<'_>],
    wanted: impl Iterator<Item = &'a str>,
) {
    for wanted in wanted {
        if columns.iter().any(|column| column.word == wanted) {
            continue;
        }
        let others = head.cells.iter().map(|cell| cell.text.as_str());
        let others = others.filter(|name| !COLUMNS.contains(name));
        let finding = Finding::stop(Code::MissingKey, format!("no column `{wanted}`"))
            .from(head.source.clone())
            .expected("the columns `id`, `name` and `recipe` in the first row");
        r.say(match nearest(wanted, others) {
            Some(near) => finding.help(format!("is the column `{near}` meant?")),
            None => finding.help(format!("add `{wanted}` to the first row")),
        });
    }
}

/// Works are known, and no column stands twice.
fn check_head(r: &Reader, columns: &[Column<'_>]) {
    for column in columns.iter().filter(|column| column.word.starts_with(USE)) {
        if work_of(column.word).is_some() {
            continue;
        }
        let known: Vec<String> =
            Work::ALL.iter().map(|work| format!("{USE}{}", work.key())).collect();
        let message = format!("no work is called `{}`", column.word);
        let finding = Finding::stop(Code::UnknownWord, message)
            .from(column.head.source.clone())
            .expected(format!("one of {}", known.join(", ")));
        r.say(match nearest(column.word, known.iter().map(String::as_str)) {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding,
        });
    }
    for (at, column) in columns.iter().enumerate() {
        let first = columns.iter().take(at).find(|other| other.word == column.word);
        if let Some(first) = first {
            let message = format!("two columns are called `{}`", column.head.text);
            let finding = Finding::stop(Code::DuplicateKey, message)
                .from(column.head.source.clone())
                .related(first.head.source.clone(), "the first one")
                .help("keep one of the two");
            r.say(finding);
        }
    }
}

fn order(
    r: &Reader,
    (width, columns): (usize, &[Column<'_>]),
    row: &Row,
    form: &OrderForm,
) -> Option<(Order, Source)> {
    let have = row.cells.len();
    if have != width {
        let message = format!("this row has {have} cells, the first row has {width}");
        let finding = Finding::stop(Code::CsvSyntax, message)
            .from(row.source.clone())
            .help("a cell with a separator in it goes in quotes: \"Tom, the second\"");
        r.say(finding);
        return None;
    }
    let pairs = columns.iter().filter_map(|it| Some((it.word, row.cells.get(it.at)?)));
    let pairs: Vec<(&str, &Cell)> = pairs.collect();
    pairs.iter().filter_map(|(_, cell)| cell.fault.clone()).for_each(|it| r.say(*it));
    let cell = |key: &str| pairs.iter().find(|(name, _)| *name == key).map(|(_, c)| *c);
    let filled = |key: &str| cell(key).filter(|cell| !cell.text.is_empty());
    let quantity = filled("quantity").map(|cell| quantity(r, cell));
    let (id, name, recipe) = (cell("id")?, cell("name")?, required(r, cell("recipe")?)?);
    let wood = filled("wood");
    let order = Order {
        id: id.text.clone(),
        name: name.text.clone(),
        recipe: r.held(ours(&form.recipes, &recipe.text)),
        recipe_source: recipe.source.clone(),
        wood: wood.map(|cell| r.held(ours(&form.woods, &cell.text))),
        wood_source: wood.map_or_else(|| row.source.clone(), |cell| cell.source.clone()),
        quantity: quantity.flatten().unwrap_or(1),
        note: filled("note").map(|cell| cell.text.clone()),
        date: filled("date").map(|cell| cell.text.clone()),
        manner: Manner {
            locale: filled("locale").and_then(|it| word(r, "locale", it, &Locale::ALL)),
            unit: filled("unit").and_then(|it| word(r, "unit", it, &SizeUnit::ALL)),
        },
        set: settings(&pairs),
        pins: pins(&pairs),
        source: row.source.clone(),
    };
    Some((order, id.source.clone()))
}

/// Our word for what a list calls so.
fn ours<'a>(names: &'a [(String, Called)], text: &'a str) -> &'a str {
    let known = names.iter().find(|(_, called)| called.is(text));
    known.map_or(text, |(word, _)| word)
}

fn pins(pairs: &[(&str, &Cell)]) -> Pins {
    let mut pins = Pins::default();
    for (name, cell) in pairs.iter().filter(|(_, cell)| !cell.text.is_empty()) {
        let Some(work) = work_of(name) else { continue };
        let (cutter, source) = (cell.text.clone(), cell.source.clone());
        pins.set(Pin { work, cutter, source });
    }
    pins
}

fn settings(pairs: &[(&str, &Cell)]) -> Vec<Setting> {
    let own = |name: &str| COLUMNS.contains(&name) || name.starts_with(USE);
    let filled = pairs.iter().filter(|(name, cell)| !own(name) && !cell.text.is_empty());
    let setting = |(name, cell): &(&str, &Cell)| Setting {
        name: (*name).to_owned(),
        value: guess(&cell.text),
        source: cell.source.clone(),
    };
    filled.map(setting).collect()
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

/// What one of some words stands for.
fn word<T: Copy>(r: &Reader, key: &str, cell: &Cell, words: &[(&str, T)]) -> Option<T> {
    r.among(&cell.source, &format!("`{key}`"), &cell.text, words)
}
