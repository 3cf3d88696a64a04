//! The manifest, written so that it never names a file that is not as it says.
//!
//! Before the first file is touched a manifest is written that names only what stays; then
//! every row follows in a file of its own as soon as its files are whole; at the end all rows
//! become the manifest. Whenever a run ends in between, both together are true.

use super::digest::Digest;
use super::disk::{Folder, WrittenFile};
use super::earlier::{Head, MANIFEST, MARK, Place, ROWS, Within};
use super::known::Known;
use super::row::paths;
use super::text::Text;
use crate::finding::{Finding, rounded};
use serde_json::{Value, json};
use std::borrow::Cow;
use std::io::{self, BufReader, Read, Write};
use std::sync::{Mutex, OnceLock, PoisonError};

/// A row in memory, or where it stands on the disk.
#[derive(Debug)]
pub(super) enum Row {
    Held(String),
    Stored(Place),
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
    pub(super) orders: &'a [&'a Row],
    /// Which part of a list this is.
    pub(super) part: Option<&'a Value>,
    pub(super) cards: &'a [&'a Row],
}

/// The manifest of a run under way.
#[derive(Debug)]
pub(super) struct Record<'a> {
    folder: &'a Folder,
    /// What to write before the first file is touched, and what may be left behind.
    first: Contents<'a>,
    known: &'a Known,
    rows: OnceLock<Text>,
    beginning: Mutex<()>,
}

impl<'a> Record<'a> {
    /// A record of a run that so far stays with `kept`, of which no row is in the file of rows;
    /// `known` is what earlier runs left.
    pub(super) const fn new(
        folder: &'a Folder,
        kept: Contents<'a>,
        known: &'a Known,
    ) -> Self {
        let rows = OnceLock::new();
        Self { folder, first: kept, known, rows, beginning: Mutex::new(()) }
    }

    /// To be called before a file is touched; does its work once.
    pub(super) fn begin(&self) -> Result<(), Box<Finding>> {
        let _one = self.beginning.lock().unwrap_or_else(PoisonError::into_inner);
        if self.rows.get().is_some() {
            return Ok(());
        }
        let file = self.folder.write_with(ROWS, &mut |out| {
            out.write_all(&[MARK])?;
            self.known.write(out)?;
            out.write_all(b"\n")
        })?;
        // Were the manifest kept and this file not, nothing would tell of files that stay.
        self.folder.settle(ROWS)?;
        self.folder.write_with(MANIFEST, &mut |out| self.manifest(out, &self.first))?;
        self.folder.settle(MANIFEST)?;
        // No other is set meanwhile.
        let _ = self.rows.set(Text::of(file));
        Ok(())
    }

    /// Keeps the row of something done; its files must be whole.
    pub(super) fn add(&self, row: String) -> Row {
        let Some(rows) = self.rows.get() else { return Row::Held(row) };
        let text = [&[MARK], row.as_bytes(), b"\n"].concat();
        // A full disk costs the next run some work, nothing else.
        rows.append(&text).map_or(Row::Held(row), |start| {
            let length = (text.len() - 2) as u32;
            Row::Stored(Place { within: Within::Now, at: start + 1, length })
        })
    }

    /// Writes the manifest, unless the one there says the same already.
    pub(super) fn finish(&self, contents: &Contents<'_>) -> Result<(), Box<Finding>> {
        if self.rows.get().is_none() && self.same(contents) {
            return Ok(());
        }
        self.folder.settle(MANIFEST)?;
        self.folder.write_with(MANIFEST, &mut |out| self.manifest(out, contents))?;
        self.folder.settle(MANIFEST)
    }

    /// Whether the manifest that is there says this.
    fn same(&self, contents: &Contents<'_>) -> bool {
        let Ok(file) = self.folder.open(MANIFEST) else { return false };
        let mut same = Same(BufReader::new(file));
        self.manifest(&mut same, contents).is_ok()
            && same.0.read(&mut [0]).is_ok_and(|it| it == 0)
    }

    /// Does away with the file of rows: the manifest has them all.
    pub(super) fn close(self) -> Result<(), Box<Finding>> {
        self.folder.remove(ROWS).map_err(|error| self.folder.unwritten(ROWS, &error))
    }

    /// The files of earlier runs that are as they were and that none of these rows names.
    pub(super) fn former(
        &self,
        rows: &[&[&Row]],
    ) -> Result<Vec<WrittenFile>, Box<Finding>> {
        if !self.known.wrote() {
            return Ok(Vec::new());
        }
        let named = rows.iter().copied().flatten().map(|row| self.names(row));
        let named = named.collect::<io::Result<Vec<_>>>();
        let named = named.map_err(|error| self.folder.unwritten(MANIFEST, &error))?;
        Ok(self.known.former(self.folder, &named.into_iter().flatten().collect()))
    }

    /// The digests of the names of a row's files.
    fn names(&self, row: &Row) -> io::Result<Vec<Digest>> {
        let text = self.text(row)?;
        let head: Head<'_> = serde_json::from_slice(&text)?;
        Ok(head.files.iter().map(|file| Digest::of(file.path.as_bytes())).collect())
    }

    fn text<'r>(&self, row: &'r Row) -> io::Result<Cow<'r, [u8]>> {
        match row {
            Row::Held(text) => Ok(Cow::Borrowed(text.as_bytes())),
            Row::Stored(place) => {
                let text = match place.within {
                    Within::Now => self
                        .rows
                        .get()
                        .ok_or(io::ErrorKind::NotFound)?
                        .part(place.at, place.length as usize),
                    Within::Manifest | Within::Rows => self.known.text(*place),
                };
                text.map(Cow::Owned)
            }
        }
    }

    /// The manifest's text, its keys in the order of the alphabet.
    fn manifest(&self, out: &mut dyn Write, contents: &Contents<'_>) -> io::Result<()> {
        let (dishes, minutes) = contents.time;
        let value = |value: &Value| format!("{value:#}").replace('\n', "\n  ");
        let former = value(&json!(paths(contents.former)));
        let time = value(&json!({ "dishes": dishes, "minutes": rounded(minutes) }));
        let complete = contents.complete;
        let findings = value(contents.said);
        write!(out, "{{\n  \"complete\": {complete},\n  \"findings\": {findings},\n")?;
        writeln!(out, "  \"former\": {former},")?;
        write!(out, "  \"machine_time\": {time},\n  \"orders\": ")?;
        self.list(out, contents.orders)?;
        if let Some(part) = contents.part {
            write!(out, ",\n  \"part\": {}", value(part))?;
        }
        write!(out, ",\n  \"swap_cards\": ")?;
        self.list(out, contents.cards)?;
        write!(out, "\n}}\n")
    }

    fn list(&self, out: &mut dyn Write, list: &[&Row]) -> io::Result<()> {
        for (at, row) in list.iter().enumerate() {
            out.write_all(if at == 0 { b"[\n    " } else { b",\n    " })?;
            out.write_all(&self.text(row)?)?;
        }
        out.write_all(if list.is_empty() { b"[]" } else { b"\n  ]" })
    }
}

/// Takes what is written only as long as it is what is there.
struct Same<R>(R);

impl<R: Read> Write for Same<R> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut there = vec![0; bytes.len()];
        self.0.read_exact(&mut there)?;
        if there == bytes {
            Ok(bytes.len())
        } else {
            Err(io::ErrorKind::InvalidData.into())
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
