//! The texts that earlier runs left in the output folder: the manifest, and the rows of a run
//! that did not come to its end. Of a long list they are long, so they stay on the disk.

use super::disk::Folder;
use super::text::Text;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::io::{self, BufRead, Read};

/// The manifest.
pub(super) const MANIFEST: &str = "manifest.json";
/// Rows of orders done since the manifest was written, each as soon as its files are whole:
/// a sequence of JSON texts (RFC 7464).
pub(super) const ROWS: &str = ".manifest.json-seq";
/// Stands before every text of such a sequence.
pub(super) const MARK: u8 = 0x1e;

/// The texts found. What cannot be read was not left by a run that could write.
#[derive(Debug)]
pub(super) struct Earlier {
    manifest: Option<Text>,
    rows: Option<Text>,
}

/// Where a row stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) within: Within,
    pub(super) at: u64,
    pub(super) length: u32,
}

/// A text that has rows.
#[derive(Clone, Copy, Debug)]
pub(super) enum Within {
    /// The manifest that was there.
    Manifest,
    /// The rows that were there.
    Rows,
    /// The rows of this run.
    Now,
}

/// A file as texts name it.
#[derive(Deserialize, Serialize)]
pub(super) struct FileRow<'a> {
    #[serde(borrow)]
    pub(super) path: Cow<'a, str>,
    #[serde(borrow)]
    pub(super) sha256: Cow<'a, str>,
}

/// What tells rows apart, and the files they name.
#[derive(Default, Deserialize)]
pub(super) struct Head<'a> {
    #[serde(borrow)]
    pub(super) key: Option<Cow<'a, str>>,
    #[serde(borrow, default)]
    pub(super) files: Vec<FileRow<'a>>,
    #[serde(borrow, default)]
    pub(super) former: Vec<FileRow<'a>>,
}

/// Who is told of rows.
type Hearer<'a> = dyn FnMut(Place, Head<'_>) + 'a;

impl Earlier {
    pub(super) fn of(folder: &Folder) -> Self {
        let open = |name| folder.open(name).ok().map(Text::of);
        Self { manifest: open(MANIFEST), rows: open(ROWS) }
    }

    /// The manifest read as something; `None` where it is no such thing.
    pub(super) fn manifest<T: DeserializeOwned>(&self) -> Option<T> {
        let mut bytes = Vec::new();
        self.manifest.as_ref()?.through(|text| text.read_to_end(&mut bytes)).ok()?;
        serde_json::from_slice(&bytes).ok()
    }

    /// The rows since, read as something. A row cut off in the middle is no JSON and is passed
    /// over.
    pub(super) fn since<T: DeserializeOwned>(&self) -> Vec<T> {
        let mut all = Vec::new();
        self.sequence(&mut |_, text| all.extend(serde_json::from_slice(text).ok()));
        all
    }

    /// Tells of every row and of every file named beside rows; those since the manifest first.
    pub(super) fn heads(&self, told: &mut Hearer<'_>) {
        self.sequence(&mut |place, text| {
            if let Ok(head) = serde_json::from_slice(text) {
                told(place, head);
            }
        });
        let Some(text) = &self.manifest else { return };
        let mut item = |key: &[u8], at, text: &[u8]| {
            let place = Place { within: Within::Manifest, at, length: text.len() as u32 };
            let head = match key {
                b"orders" | b"swap_cards" => serde_json::from_slice(text).ok(),
                b"former" => serde_json::from_slice(text)
                    .map(|file| Head { former: vec![file], ..Head::default() })
                    .ok(),
                _ => None,
            };
            if let Some(head) = head {
                told(place, head);
            }
        };
        text.through(|text| items(text, &mut item));
    }

    /// The texts of the sequence of rows.
    fn sequence(&self, told: &mut dyn FnMut(Place, &[u8])) {
        let Some(rows) = &self.rows else { return };
        rows.through(|rows| {
            let (mut at, mut text) = (0, Vec::new());
            while let Ok(count @ 1..) = rows.read_until(MARK, &mut text) {
                let row = text.strip_suffix(&[MARK]).unwrap_or(&text).trim_ascii_end();
                told(Place { within: Within::Rows, at, length: row.len() as u32 }, row);
                at += count as u64;
                text.clear();
            }
        });
    }

    /// The bytes of a row.
    pub(super) fn row(&self, place: Place) -> io::Result<Vec<u8>> {
        let text = match place.within {
            Within::Manifest => &self.manifest,
            Within::Rows => &self.rows,
            Within::Now => &None,
        };
        let text = text.as_ref().ok_or(io::ErrorKind::NotFound)?;
        text.part(place.at, place.length as usize)
    }
}

/// Who is told of items.
type ItemHearer<'a> = dyn FnMut(&[u8], u64, &[u8]) + 'a;

/// Tells of every item of the lists and objects in a JSON object, as far as it is a list or an
/// object itself: under which key, from which byte on, and its text. That what is told is JSON
/// is for the hearer to see.
fn items(text: &mut dyn BufRead, told: &mut ItemHearer<'_>) {
    let (mut depth, mut quoted, mut escaped, mut at) = (0_u32, false, false, 0);
    let (mut word, mut key, mut item) = (Vec::new(), Vec::new(), Vec::new());
    while let Ok(bytes @ [_, ..]) = text.fill_buf() {
        for &byte in bytes {
            at += 1;
            if depth > 2 {
                item.push(byte);
            }
            match byte {
                _ if escaped => escaped = false,
                b'\\' if quoted => escaped = true,
                b'"' => {
                    quoted = !quoted;
                    if quoted && depth == 1 {
                        word.clear();
                    }
                }
                _ if quoted && depth == 1 => word.push(byte),
                _ if quoted => {}
                b':' if depth == 1 => key.clone_from(&word),
                b'{' | b'[' => {
                    depth += 1;
                    if depth == 3 {
                        item = vec![byte];
                    }
                }
                b'}' | b']' => {
                    depth = depth.saturating_sub(1);
                    if depth == 2 {
                        told(&key, at - item.len() as u64, &item);
                    }
                }
                _ => {}
            }
        }
        let count = bytes.len();
        text.consume(count);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows and what they are told to name, as they stand in their texts.
    fn told(manifest: &str, rows: &str) -> Vec<(String, Vec<String>)> {
        let dir = tempfile::tempdir().expect("a folder");
        let folder = Folder::create(dir.path(), &|| ()).expect("a folder");
        let write = |name, text: &str| {
            let written =
                folder.write_with(name, &mut |out| out.write_all(text.as_bytes()));
            written.expect("written");
        };
        write(MANIFEST, manifest);
        write(ROWS, rows);
        let earlier = Earlier::of(&folder);
        let mut told = Vec::new();
        earlier.heads(&mut |place, head| {
            let files = head.files.iter().chain(&head.former);
            told.push((place, files.map(|file| file.path.to_string()).collect()));
        });
        let text =
            |place| String::from_utf8(earlier.row(place).expect("there")).expect("text");
        told.into_iter().map(|(place, files)| (text(place), files)).collect()
    }

    #[test]
    fn rows_stand_where_it_is_told() {
        let file = |name: &str| format!(r#"{{"path": "{name}", "sha256": "00"}}"#);
        let row = |name: &str| {
            format!(r#"{{"id": "é}}] \\\" {{", "files": [{}]}}"#, file(name))
        };
        let (a, b, c, d) = (row("a"), row("b"), row("\\u0063"), row("d"));
        let e = file("e");
        let manifest = format!(
            r#"{{"complete": [{{}}], "a: [{{": "b: \" [{{\\", "orders":[{a} ,
               {b}],"former": [ {e}], "swap_cards": [{c}]}}"#
        );
        let rows = format!("\u{1e}{d}\n\u{1e}{{\"id\": \"cut o");
        let said = told(&manifest, &rows);
        let want = [(&d, "d"), (&a, "a"), (&b, "b"), (&e, "e"), (&c, "c")];
        let want = want.map(|(text, file)| (text.to_owned(), vec![file.to_owned()]));
        assert_eq!(said, want);
        assert_eq!(told("", ""), [], "nothing is there");
        let cut = manifest.get(..manifest.len() - 2).expect("text");
        assert_eq!(told(cut, "{}").len(), 5, "as far as it goes");
    }
}
