//! What earlier runs left in the output folder: the manifest, and the rows of a run that did
//! not come to its end. All of it is only believed as far as the files bear it out.

use super::disk::{Folder, WrittenFile};
use super::row::files_of;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use serde_json::value::RawValue;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};

/// The manifest.
pub(super) const MANIFEST: &str = "manifest.json";
/// Rows of orders done since the manifest was written, each as soon as its files are whole:
/// a sequence of JSON texts (RFC 7464).
pub(super) const ROWS: &str = ".manifest.json-seq";
/// Stands before every text of such a sequence.
pub(super) const MARK: u8 = 0x1e;

/// The texts found.
#[derive(Debug)]
pub(super) struct Earlier {
    pub(super) manifest: Vec<u8>,
    rows: Vec<u8>,
}

/// What the texts say.
#[derive(Debug, Default)]
pub(super) struct Known<'a> {
    orders: BTreeMap<String, Vec<&'a RawValue>>,
    cards: BTreeMap<String, Vec<&'a RawValue>>,
    /// Every file that was written.
    files: BTreeMap<Cow<'a, str>, Seen<'a>>,
}

/// A file that was written.
#[derive(Debug, Default)]
struct Seen<'a> {
    /// The digests it may have.
    digests: Vec<Cow<'a, str>>,
    /// Whether this run has it too.
    named: AtomicBool,
}

#[derive(Deserialize)]
struct Manifest<'a> {
    #[serde(borrow, default)]
    orders: Vec<&'a RawValue>,
    #[serde(borrow, default)]
    swap_cards: Vec<&'a RawValue>,
    #[serde(borrow, default)]
    former: Vec<FileRow<'a>>,
}

#[derive(Deserialize, Serialize)]
struct FileRow<'a> {
    #[serde(borrow)]
    path: Cow<'a, str>,
    #[serde(borrow)]
    sha256: Cow<'a, str>,
}

/// What tells rows apart.
#[derive(Deserialize)]
struct Head<'a> {
    id: Option<String>,
    recipe: Option<String>,
    #[serde(borrow, default)]
    files: Vec<FileRow<'a>>,
    #[serde(borrow, default)]
    former: Vec<FileRow<'a>>,
}

impl Earlier {
    pub(super) fn read(folder: &Folder) -> Self {
        // What cannot be read was not left by a run that could write.
        let read = |name| folder.read(name).unwrap_or_default();
        Self { manifest: read(MANIFEST), rows: read(ROWS) }
    }

    /// The texts of the sequence of rows.
    pub(super) fn texts(&self) -> impl Iterator<Item = &[u8]> {
        self.rows.split(|byte| *byte == MARK)
    }

    pub(super) fn known(&self) -> Known<'_> {
        let mut known = Known::default();
        // A row cut off in the middle is no JSON and is passed over.
        for row in self.texts().filter_map(|text| serde_json::from_slice(text).ok()) {
            known.add(row);
        }
        if let Ok(manifest) = serde_json::from_slice::<Manifest<'_>>(&self.manifest) {
            manifest.orders.into_iter().for_each(|row| known.add(row));
            manifest.swap_cards.into_iter().for_each(|row| known.add(row));
            manifest.former.into_iter().for_each(|file| known.file(file));
        }
        known
    }
}

impl<'a> Known<'a> {
    fn add(&mut self, row: &'a RawValue) {
        let Ok(head) = serde_json::from_str::<Head<'a>>(row.get()) else { return };
        head.files.into_iter().chain(head.former).for_each(|file| self.file(file));
        let (rows, name) = match (head.id, head.recipe) {
            (Some(id), _) => (&mut self.orders, id),
            (None, Some(recipe)) => (&mut self.cards, recipe),
            (None, None) => return,
        };
        rows.entry(name).or_default().push(row);
    }

    fn file(&mut self, file: FileRow<'a>) {
        let digests = &mut self.files.entry(file.path).or_default().digests;
        if !digests.contains(&file.sha256) {
            digests.push(file.sha256);
        }
    }

    /// Writes a row that names all files that were written, with every digest they may have.
    pub(super) fn write(&self, out: &mut dyn io::Write) -> io::Result<()> {
        out.write_all(b"{\"former\":[")?;
        let files = self.files.iter().flat_map(|(path, seen)| {
            seen.digests.iter().map(|sha256| (path.as_ref(), sha256.as_ref()))
        });
        for (at, (path, sha256)) in files.enumerate() {
            let file = FileRow { path: path.into(), sha256: sha256.into() };
            out.write_all(if at == 0 { b"" } else { b"," })?;
            serde_json::to_writer(&mut *out, &file)?;
        }
        out.write_all(b"]}")
    }

    /// The row of an order made with this key, and its text.
    pub(super) fn order(&self, id: &str, key: &str) -> Option<(Value, &'a str)> {
        with_key(self.orders.get(id)?, key)
    }

    /// The row of a card made with this key, and its text.
    pub(super) fn card(&self, recipe: &str, key: &str) -> Option<(Value, &'a str)> {
        with_key(self.cards.get(recipe)?, key)
    }

    /// Tells that this run has a file too.
    pub(super) fn name(&self, path: &str) {
        if let Some(seen) = self.files.get(path) {
            seen.named.store(true, Ordering::Relaxed);
        }
    }

    /// The files that were written before and that this run has not named, as far as they are
    /// as they were.
    pub(super) fn former(&self, folder: &Folder) -> Vec<WrittenFile> {
        let others =
            self.files.iter().filter(|(_, seen)| !seen.named.load(Ordering::Relaxed));
        let held = others.filter_map(|(path, seen)| {
            let digests = seen.digests.iter().map(Cow::as_ref);
            let sha256 = folder.digest_of(path, digests)?.to_owned();
            Some(WrittenFile { path: path.clone().into_owned(), sha256 })
        });
        held.collect()
    }
}

fn with_key<'a>(rows: &[&'a RawValue], key: &str) -> Option<(Value, &'a str)> {
    let rows = rows
        .iter()
        .filter_map(|row| Some((serde_json::from_str(row.get()).ok()?, row.get())));
    let mut rows = rows.filter(|(row, _): &(Value, &str)| {
        row.get("key").and_then(Value::as_str) == Some(key) && files_of(row).is_some()
    });
    rows.next()
}
