//! The manifest, written so that it never names a file that is not as it says.
//!
//! Before the first file is touched a manifest is written that names only what stays; then
//! every row follows in a file of its own as soon as its files are whole; at the end all rows
//! become the manifest. Whenever a run ends in between, both together are true.

use super::disk::{Folder, WrittenFile};
use super::known::{Known, MANIFEST, MARK, ROWS};
use super::row::paths;
use crate::finding::{Finding, rounded};
use serde_json::{Value, json};
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// A row in memory, as an earlier manifest has it, or where it stands in the file of rows.
#[derive(Debug)]
pub(super) enum Row<'a> {
    Held(String),
    There(&'a str),
    Stored { at: u64, length: usize },
}

/// Everything a manifest is made of.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contents<'a> {
    pub(super) complete: bool,
    /// What was found in the list and the shop.
    pub(super) said: &'a Value,
    pub(super) former: &'a [WrittenFile],
    /// Dishes that can be made, and the minutes they take.
    pub(super) time: (u32, f64),
    pub(super) orders: &'a [&'a Row<'a>],
    /// Which part of a list this is.
    pub(super) part: Option<&'a Value>,
    pub(super) cards: &'a [&'a Row<'a>],
}

/// The manifest of a run under way.
#[derive(Debug)]
pub(super) struct Record<'a> {
    folder: &'a Folder,
    /// What to write before the first file is touched, and what may be left behind.
    first: Contents<'a>,
    known: &'a Known<'a>,
    rows: Mutex<Option<File>>,
}

impl<'a> Record<'a> {
    /// A record of a run that so far stays with `kept`, of which no row is in the file of rows;
    /// `known` is what earlier runs left.
    pub(super) const fn new(
        folder: &'a Folder,
        kept: Contents<'a>,
        known: &'a Known<'a>,
    ) -> Self {
        Self { folder, first: kept, known, rows: Mutex::new(None) }
    }

    /// To be called before a file is touched; does its work once.
    pub(super) fn begin(&self) -> Result<(), Box<Finding>> {
        let mut rows = self.rows();
        if rows.is_some() {
            return Ok(());
        }
        let file = self.folder.write_with(ROWS, &mut |out| {
            out.write_all(&[MARK])?;
            self.known.write(out)?;
            out.write_all(b"\n")
        })?;
        // Were the manifest kept and this file not, nothing would tell of files that stay.
        self.folder.settle(ROWS)?;
        self.folder
            .write_with(MANIFEST, &mut |out| written(out, &self.first, &mut None))?;
        self.folder.settle(MANIFEST)?;
        *rows = Some(file);
        Ok(())
    }

    /// Keeps the row of something done; its files must be whole.
    pub(super) fn add(&self, row: String) -> Row<'static> {
        let mut rows = self.rows();
        let Some(file) = rows.as_mut() else { return Row::Held(row) };
        // A full disk costs the next run some work, nothing else.
        appended(file, &row).unwrap_or(Row::Held(row))
    }

    /// Writes the manifest, unless the one there says the same already.
    pub(super) fn finish(
        &self,
        contents: &Contents<'_>,
        there: &[u8],
    ) -> Result<(), Box<Finding>> {
        let mut rows = self.rows();
        let failed = |error: &io::Error| self.folder.unwritten(MANIFEST, error);
        if rows.is_none() {
            let mut same = Same { rest: there, same: true };
            written(&mut same, contents, &mut None).map_err(|error| failed(&error))?;
            if same.same && same.rest.is_empty() {
                return Ok(());
            }
        }
        self.folder.settle(MANIFEST)?;
        self.folder.write_with(MANIFEST, &mut |out| written(out, contents, &mut rows))?;
        self.folder.settle(MANIFEST)
    }

    /// Does away with the file of rows: the manifest has them all.
    pub(super) fn close(self) -> Result<(), Box<Finding>> {
        self.folder.remove(ROWS).map_err(|error| self.folder.unwritten(ROWS, &error))
    }

    fn rows(&self) -> MutexGuard<'_, Option<File>> {
        self.rows.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn appended(file: &mut File, row: &str) -> io::Result<Row<'static>> {
    let start = file.seek(SeekFrom::End(0))?;
    let mut text = vec![MARK];
    text.extend(row.as_bytes());
    text.push(b'\n');
    file.write_all(&text)?;
    Ok(Row::Stored { at: start + 1, length: row.len() })
}

/// The manifest's text, its keys in the order of the alphabet.
fn written(
    out: &mut dyn Write,
    contents: &Contents<'_>,
    rows: &mut Option<File>,
) -> io::Result<()> {
    let (dishes, minutes) = contents.time;
    let value = |value: &Value| format!("{value:#}").replace('\n', "\n  ");
    let former = value(&json!(paths(contents.former)));
    let time = value(&json!({ "dishes": dishes, "minutes": rounded(minutes) }));
    let complete = contents.complete;
    let findings = value(contents.said);
    write!(out, "{{\n  \"complete\": {complete},\n  \"findings\": {findings},\n")?;
    writeln!(out, "  \"former\": {former},")?;
    write!(out, "  \"machine_time\": {time},\n  \"orders\": ")?;
    list(out, contents.orders, rows)?;
    if let Some(part) = contents.part {
        write!(out, ",\n  \"part\": {}", value(part))?;
    }
    write!(out, ",\n  \"swap_cards\": ")?;
    list(out, contents.cards, rows)?;
    write!(out, "\n}}\n")
}

fn list(
    out: &mut dyn Write,
    list: &[&Row<'_>],
    rows: &mut Option<File>,
) -> io::Result<()> {
    for (at, row) in list.iter().enumerate() {
        out.write_all(if at == 0 { b"[\n    " } else { b",\n    " })?;
        match (row, rows.as_mut()) {
            (Row::Held(text), _) => out.write_all(text.as_bytes())?,
            (Row::There(text), _) => out.write_all(text.as_bytes())?,
            (Row::Stored { at, length }, Some(file)) => {
                let mut text = vec![0; *length];
                file.seek(SeekFrom::Start(*at))?;
                file.read_exact(&mut text)?;
                out.write_all(&text)?;
            }
            (Row::Stored { .. }, None) => return Err(io::ErrorKind::NotFound.into()),
        }
    }
    out.write_all(if list.is_empty() { b"[]" } else { b"\n  ]" })
}

/// Takes what is written and only looks whether it is what is there.
struct Same<'a> {
    rest: &'a [u8],
    same: bool,
}

impl Write for Same<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self.rest.strip_prefix(bytes) {
            Some(rest) => self.rest = rest,
            None => self.same = false,
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
