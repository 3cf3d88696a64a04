//! What earlier runs did, as their texts say: only believed as far as the files bear it out.

use super::digest::Digest;
use super::disk::{Folder, WrittenFile};
use super::earlier::{Earlier, FileRow, Place};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::io;

/// What the texts say; of rows only where they stand.
#[derive(Debug)]
pub(super) struct Known {
    earlier: Earlier,
    /// By the key of all they were made from.
    rows: BTreeMap<Digest, Place>,
    /// Whether any file was written.
    wrote: bool,
}

/// A row of an earlier run.
#[derive(Debug)]
pub(super) struct KnownRow {
    pub(super) row: Value,
    /// As it stands there.
    pub(super) text: String,
    pub(super) place: Place,
}

impl Known {
    pub(super) fn of(earlier: Earlier) -> Self {
        let (mut rows, mut wrote) = (BTreeMap::new(), false);
        earlier.heads(&mut |place, head| {
            wrote |= !head.files.is_empty() || !head.former.is_empty();
            if let Some(key) = head.key.and_then(|key| key.parse().ok()) {
                rows.entry(key).or_insert(place);
            }
        });
        Self { earlier, rows, wrote }
    }

    /// The row made with this key.
    pub(super) fn row(&self, key: Digest) -> Option<KnownRow> {
        let place = *self.rows.get(&key)?;
        let text = String::from_utf8(self.text(place).ok()?).ok()?;
        Some(KnownRow { row: serde_json::from_str(&text).ok()?, text, place })
    }

    /// The bytes of a row.
    pub(super) fn text(&self, place: Place) -> io::Result<Vec<u8>> {
        self.earlier.row(place)
    }

    /// Writes a row that names all files that were written, with every digest they may have.
    pub(super) fn write(&self, out: &mut dyn io::Write) -> io::Result<()> {
        out.write_all(b"{\"former\":[")?;
        let files = self.files(&|_| true);
        let files = files.iter().flat_map(|(path, digests)| {
            digests.iter().map(move |sha256| (path, sha256.to_string()))
        });
        for (at, (path, sha256)) in files.enumerate() {
            out.write_all(if at == 0 { b"" } else { b"," })?;
            serde_json::to_writer(
                &mut *out,
                &FileRow { path: path.into(), sha256: sha256.into() },
            )?;
        }
        out.write_all(b"]}")
    }

    /// The files that were written before and are not among those named now, by the digests
    /// of their names, as far as they are as they were.
    pub(super) fn former(
        &self,
        folder: &Folder,
        named: &BTreeSet<Digest>,
    ) -> Vec<WrittenFile> {
        let others = self.files(&|path| !named.contains(&Digest::of(path.as_bytes())));
        let held = others.into_iter().filter_map(|(path, digests)| {
            let sha256 = folder.digest_of(&path, digests.iter().copied())?;
            Some(WrittenFile { path, sha256 })
        });
        held.collect()
    }

    /// Whether any file was written.
    pub(super) const fn wrote(&self) -> bool {
        self.wrote
    }

    /// Such files that were written, with the digests they may have.
    fn files(&self, such: &dyn Fn(&str) -> bool) -> BTreeMap<String, Vec<Digest>> {
        let mut files: BTreeMap<String, Vec<Digest>> = BTreeMap::new();
        self.earlier.heads(&mut |_, head| {
            let all = head.files.into_iter().chain(head.former);
            for FileRow { path, sha256 } in all.filter(|file| such(&file.path)) {
                let Ok(sha256) = sha256.parse() else { continue };
                let digests = files.entry(path.into_owned()).or_default();
                if !digests.contains(&sha256) {
                    digests.push(sha256);
                }
            }
        });
        files
    }
}
