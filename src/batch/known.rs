//! What earlier runs left in the output folder: the manifest, and the rows of a run that did
//! not come to its end. All of it is only believed as far as the files bear it out.

use super::disk::{Folder, WrittenFile};
use super::row::files_of;
use serde::Deserialize;
use serde_json::Value;
use serde_json::value::RawValue;
use std::collections::{BTreeMap, BTreeSet};

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
    /// Every file that was written, and the digests it may have.
    pub(super) files: BTreeMap<String, BTreeSet<String>>,
}

#[derive(Deserialize)]
struct Manifest<'a> {
    #[serde(borrow, default)]
    orders: Vec<&'a RawValue>,
    #[serde(borrow, default)]
    swap_cards: Vec<&'a RawValue>,
    #[serde(default)]
    former: Vec<FileRow>,
}

#[derive(Deserialize)]
struct FileRow {
    path: String,
    sha256: String,
}

/// What tells rows apart.
#[derive(Deserialize)]
struct Head {
    id: Option<String>,
    recipe: Option<String>,
    #[serde(default)]
    files: Vec<FileRow>,
    #[serde(default)]
    former: Vec<FileRow>,
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
        let Ok(head) = serde_json::from_str::<Head>(row.get()) else { return };
        head.files.into_iter().chain(head.former).for_each(|file| self.file(file));
        let (rows, name) = match (head.id, head.recipe) {
            (Some(id), _) => (&mut self.orders, id),
            (None, Some(recipe)) => (&mut self.cards, recipe),
            (None, None) => return,
        };
        rows.entry(name).or_default().push(row);
    }

    fn file(&mut self, file: FileRow) {
        self.files.entry(file.path).or_default().insert(file.sha256);
    }

    /// All files that were written, with every digest they may have.
    pub(super) fn written(&self) -> Vec<WrittenFile> {
        let files = self.files.iter().flat_map(|(path, hashes)| {
            let file = |sha256: &String| WrittenFile {
                path: path.clone(),
                sha256: sha256.clone(),
            };
            hashes.iter().map(file)
        });
        files.collect()
    }

    /// The row of an order made with this key.
    pub(super) fn order(&self, id: &str, key: &str) -> Option<Value> {
        with_key(self.orders.get(id)?, key)
    }

    /// The row of a card made with this key.
    pub(super) fn card(&self, recipe: &str, key: &str) -> Option<Value> {
        with_key(self.cards.get(recipe)?, key)
    }

    /// The files that were written before and are not named any more, as far as they are as
    /// they were.
    pub(super) fn former(
        &self,
        named: &BTreeSet<String>,
        folder: &Folder,
    ) -> Vec<WrittenFile> {
        let others = self.files.iter().filter(|(path, _)| !named.contains(*path));
        others
            .filter_map(|(path, known)| {
                let sha256 = folder.hash_of(path).filter(|hash| known.contains(hash))?;
                Some(WrittenFile { path: path.clone(), sha256 })
            })
            .collect()
    }
}

fn with_key(rows: &[&RawValue], key: &str) -> Option<Value> {
    let rows = rows.iter().filter_map(|row| serde_json::from_str(row.get()).ok());
    let mut rows = rows.filter(|row: &Value| {
        row.get("key").and_then(Value::as_str) == Some(key) && files_of(row).is_some()
    });
    rows.next()
}
