//! Order lists in workbooks: XLSX and ODS. Line and column of a place are row and column of the
//! sheet, which stands in the label.

use super::grid::{Cell, Row, orders};
use super::orders::list;
use super::reader::Reader;
use super::unpack::{COLUMNS, ROWS, Standard, large, looked_over, none, outside};
use crate::finding::{Checked, Code, Finding, Source, SourceFile, nearest, plain};
use crate::model::{OrderForm, OrderList};
use calamine::{CellErrorType, Data, ExcelDateTime, Ods, Reader as _, Xlsx};
use std::collections::BTreeMap;
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

/// Most bytes of text of all cells together.
const MOST: usize = 32 << 20;

/// What stands in a cell, or what kind of error does.
type Content = Result<String, CellErrorType>;
/// Cells by row and column, from 0.
type Cells = BTreeMap<(u32, u32), Content>;

/// Reads an order list in a workbook, laid out as the shop says.
pub fn orders_book(label: &str, bytes: &[u8], form: &OrderForm) -> Checked<OrderList> {
    // The file is another's work and so is what reads it: neither may end the program.
    let read = catch_unwind(AssertUnwindSafe(|| cells(label, bytes, form)));
    match read.unwrap_or_else(|_| Err(none(label))) {
        Err(finding) => Checked::failed(*finding),
        Ok((sheet, cells)) => {
            let r = Reader::new(&format!("{label} (sheet {})", plain(&sheet)), "");
            let rows = rows(&r, cells);
            let read = orders(&r, rows, form);
            list(read, r)
        }
    }
}

/// The sheet's name and its cells.
fn cells(
    label: &str,
    bytes: &[u8],
    form: &OrderForm,
) -> Result<(String, Cells), Box<Finding>> {
    let broken = |_| none(label);
    match looked_over(label, bytes)? {
        Standard::OpenDocument => {
            let mut book = Ods::new(Cursor::new(bytes)).map_err(|_| none(label))?;
            let sheet = sheet(label, &book.sheet_names(), form)?;
            let range = book.worksheet_range(&sheet).map_err(|_| none(label))?;
            let (top, left) = range.start().unwrap_or_default();
            let mut cells = Gathered::new(label);
            for (row, column, data) in range.used_cells() {
                let at = (row as u32 + top, column as u32 + left);
                cells.add(at, of_data(data))?;
            }
            Ok((sheet, cells.cells))
        }
        Standard::OfficeOpen => {
            let mut book: Xlsx<_> =
                Xlsx::new(Cursor::new(bytes)).map_err(|_| none(label))?;
            let sheet = sheet(label, &book.sheet_names(), form)?;
            let mut reader =
                book.worksheet_cells_reader(&sheet).map_err(|_| none(label))?;
            let mut cells = Gathered::new(label);
            while let Some(cell) = reader.next_cell().map_err(broken)? {
                cells.add(
                    cell.get_position(),
                    of_data(&cell.get_value().clone().into()),
                )?;
            }
            Ok((sheet, cells.cells))
        }
    }
}

/// The sheet the shop names, else the first.
fn sheet(
    label: &str,
    names: &[String],
    form: &OrderForm,
) -> Result<String, Box<Finding>> {
    let Some(wanted) = &form.sheet else {
        return names.first().cloned().ok_or_else(|| none(label));
    };
    if let Some(name) = names.iter().find(|name| wanted.is(name)) {
        return Ok(name.clone());
    }
    let shown: Vec<String> = names.iter().take(20).map(|name| plain(name)).collect();
    let message = format!("no sheet is called `{}`", plain(&wanted.text));
    let finding = Finding::stop(Code::UnknownWord, message)
        .from(Source::whole(&SourceFile::new(label, "")))
        .related(wanted.source.clone(), "the shop names it here")
        .expected(format!("one of {}", shown.join(", ")));
    let near = nearest(&wanted.text, names.iter().map(String::as_str));
    Err(Box::new(match near {
        Some(near) => finding.help(format!("did you mean `{}`?", plain(near))),
        None => finding.help("mend `sheet` in the shop, or leave it out for the first"),
    }))
}

/// Cells so far, and how much may still come.
struct Gathered<'a> {
    label: &'a str,
    cells: Cells,
    left: usize,
}

impl<'a> Gathered<'a> {
    fn new(label: &'a str) -> Self {
        Self { label, cells: Cells::new(), left: MOST }
    }

    fn add(
        &mut self,
        at: (u32, u32),
        content: Option<Content>,
    ) -> Result<(), Box<Finding>> {
        let Some(content) = content else { return Ok(()) };
        if at.0 >= ROWS || at.1 >= COLUMNS {
            return Err(outside(self.label));
        }
        let length = content.as_ref().map_or(0, String::len);
        self.left = self.left.checked_sub(length).ok_or_else(|| {
            large(self.label, &format!("its cells hold more than {} MiB", MOST >> 20))
        })?;
        self.cells.insert(at, content);
        Ok(())
    }
}

fn of_data(data: &Data) -> Option<Content> {
    match data {
        Data::String(text) | Data::DateTimeIso(text) | Data::DurationIso(text) => {
            filled(text)
        }
        Data::Int(whole) => Some(Ok(whole.to_string())),
        Data::Float(number) => Some(Ok(number.to_string())),
        Data::Bool(truth) => Some(Ok(truth.to_string())),
        Data::DateTime(time) => Some(Ok(date(time))),
        Data::Error(error) => Some(Err(error.clone())),
        Data::Empty => None,
    }
}

fn filled(text: &str) -> Option<Content> {
    let text = text.trim();
    (!text.is_empty()).then(|| Ok(text.replace("\r\n", "\n")))
}

/// Year, month and day (ISO 8601); the time of day only where there is one.
fn date(time: &ExcelDateTime) -> String {
    let (year, month, day, hour, minute, second, _) = time.to_ymd_hms_milli();
    let date = format!("{year:04}-{month:02}-{day:02}");
    match (hour, minute, second) {
        (0, 0, 0) => date,
        _ => format!("{date} {hour:02}:{minute:02}"),
    }
}

/// Rows of the same width; the first that is not blank is the head and says how wide.
fn rows(r: &Reader, cells: Cells) -> Vec<Row> {
    let place = |row: u32, column: u32| Source {
        file: Arc::clone(&r.file),
        line: row + 1,
        column,
        length: column.min(1),
    };
    let mut by_row: BTreeMap<u32, BTreeMap<u32, Content>> = BTreeMap::new();
    for ((row, column), content) in cells {
        by_row.entry(row).or_default().insert(column, content);
    }
    let head = by_row.values().next();
    let columns: Vec<u32> =
        head.into_iter().flat_map(|row| row.keys().copied()).collect();
    let mut rows = Vec::new();
    for (at, mut row) in by_row {
        let cell = |column: &u32| {
            let source = place(at, column + 1);
            let (text, fault) = match row.remove(column) {
                None => (String::new(), None),
                Some(Ok(text)) => (text, None),
                Some(Err(error)) => {
                    (String::new(), Some(Box::new(fault(&error, &source))))
                }
            };
            Cell { text, fault, source }
        };
        let cells: Vec<Cell> = columns.iter().map(cell).collect();
        if cells.iter().any(|cell| !cell.text.is_empty() || cell.fault.is_some()) {
            rows.push(Row { cells, source: place(at, 0) });
        }
    }
    rows
}

fn fault(error: &CellErrorType, place: &Source) -> Finding {
    Finding::stop(Code::WrongType, format!("the cell holds the error {error}"))
        .from(place.clone())
        .expected("a text or a number")
        .help("mend the formula, or write the value")
}
