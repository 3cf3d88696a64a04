//! Order lists in CSV: separated by commas, semicolons or tabs, whichever the head uses.

use super::grid::{Cell, Row, orders};
use super::orders::list;
use super::reader::Reader;
use crate::finding::{Checked, Code, Finding, Source};
use crate::model::{OrderForm, OrderList};
use csv::StringRecord;
use std::sync::Arc;

/// Reads an order list in CSV, laid out as the shop says.
pub fn orders_csv(label: &str, text: &str, form: &OrderForm) -> Checked<OrderList> {
    let r = Reader::new(label, text);
    let read = orders(&r, rows(&r, text), form);
    list(read, r)
}

/// The separator that the head has most of.
fn separator(text: &str) -> u8 {
    let head = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let count = |mark: u8| head.bytes().filter(|byte| *byte == mark).count();
    let most = [b',', b';', b'\t'].map(|mark| (count(mark), mark));
    // Of equals the later wins in `max_by_key`, so the comma is asked last.
    most.into_iter().rev().max_by_key(|(count, _)| *count).map_or(b',', |(_, mark)| mark)
}

/// The rows that are not blank.
fn rows<'a>(r: &'a Reader, text: &'a str) -> impl Iterator<Item = Row> + 'a {
    let separator = separator(text);
    let reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text.as_bytes());
    let mut lines = Lines { text, byte: 0, line: 1 };
    let sound = |record| {
        let failed = |error: csv::Error| {
            let message = format!("not valid CSV: {error}");
            r.say(Finding::stop(Code::CsvSyntax, message).from(Source::whole(&r.file)));
        };
        Result::map_err(record, failed).ok()
    };
    let records = reader.into_records().map_while(sound);
    let filled =
        records.filter(|it: &StringRecord| it.iter().any(|cell| !cell.trim().is_empty()));
    filled.map(move |record| {
        let start = record.position().map_or(0, csv::Position::byte);
        let (line, rest) = lines.from(usize::try_from(start).unwrap_or(0));
        let places = places(r, line, rest, separator);
        let source = line_of(r, places.first());
        let cells = record
            .iter()
            .enumerate()
            .map(|(at, cell)| Cell {
                text: cell.trim().replace("\r\n", "\n"),
                fault: None,
                source: places.get(at).cloned().unwrap_or_else(|| source.clone()),
            })
            .collect();
        Row { cells, source }
    })
}

/// The row as a whole.
fn line_of(r: &Reader, first: Option<&Source>) -> Source {
    let line = first.map_or(0, |source| source.line);
    Source { file: Arc::clone(&r.file), line, column: 0, length: 0 }
}

/// A text gone through once, from line to line.
struct Lines<'a> {
    text: &'a str,
    byte: usize,
    /// From 1.
    line: u32,
}

impl<'a> Lines<'a> {
    /// The text from the first row at or after a byte, and its line; line ends and blank lines
    /// before it are passed over. Bytes never go back.
    fn from(&mut self, byte: usize) -> (u32, &'a str) {
        let rest = self.text.get(byte..).unwrap_or_default();
        let start = byte + rest.len() - rest.trim_start_matches(['\r', '\n']).len();
        let passed = self.text.get(self.byte..start).unwrap_or_default();
        self.line += u32::try_from(passed.matches('\n').count()).unwrap_or(0);
        self.byte = start;
        (self.line, self.text.get(start..).unwrap_or_default())
    }
}

/// Where in a cell we are (RFC 4180, section 2; a quote inside a bare cell stands for itself).
#[derive(Clone, Copy, PartialEq, Eq)]
enum Within {
    Start,
    Bare,
    Quoted,
    /// After a quote in a quoted cell: its end, or the first of two that stand for one.
    Quote,
}

impl Within {
    fn after(self, c: char) -> Self {
        match (self, c) {
            (Self::Quoted, '"') => Self::Quote,
            (Self::Start | Self::Quote, '"') | (Self::Quoted, _) => Self::Quoted,
            (Self::Start | Self::Bare | Self::Quote, _) => Self::Bare,
        }
    }
}

/// Where each cell of the row stands that a text starts with.
fn places(r: &Reader, mut line: u32, text: &str, separator: u8) -> Vec<Source> {
    let mut column = 1;
    let mut open = Source { file: Arc::clone(&r.file), line, column, length: 0 };
    let mut places = Vec::new();
    let mut within = Within::Start;
    for c in text.chars() {
        let quoted = within == Within::Quoted;
        if matches!(c, '\r' | '\n') && !quoted {
            break;
        }
        column += 1;
        if c == char::from(separator) && !quoted {
            let next = Source { line, column, length: 0, file: Arc::clone(&r.file) };
            places.push(std::mem::replace(&mut open, next));
            within = Within::Start;
            continue;
        }
        within = within.after(c);
        if c == '\n' {
            (line, column) = (line + 1, 1);
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
