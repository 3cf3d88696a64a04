//! The texts that earlier runs left in the output folder: the manifest, and the rows of a run
//! that did not come to its end. Of a long list they are long, so they stay on the disk.

use super::disk::Folder;
use super::text::Text;
use serde::de::{
    DeserializeOwned, DeserializeSeed, IgnoredAny, MapAccess, SeqAccess, Visitor,
};
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::value::RawValue;
use std::borrow::Cow;
use std::cell::Cell;
use std::fmt;
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
        self.manifest.as_ref()?.through(|text| serde_json::from_reader(text).ok())
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
        let count = Cell::new(0);
        text.through(|text| {
            let text = Counted { text, count: &count };
            let mut json = serde_json::Deserializer::from_reader(text);
            // What follows a mistake is not read.
            let _ = json.deserialize_map(Manifest { count: &count, told });
        });
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

/// Counts the bytes that are read, so that it is known where what was read stands.
struct Counted<'a, R> {
    text: R,
    count: &'a Cell<u64>,
}

impl<R: Read> Read for Counted<'_, R> {
    fn read(&mut self, bytes: &mut [u8]) -> io::Result<usize> {
        let read = self.text.read(bytes)?;
        self.count.set(self.count.get() + read as u64);
        Ok(read)
    }
}

/// Goes through a manifest, row by row.
struct Manifest<'a, 'b> {
    count: &'a Cell<u64>,
    told: &'a mut Hearer<'b>,
}

impl<'de> Visitor<'de> for Manifest<'_, '_> {
    type Value = ();

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("a manifest")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        let Self { count, told } = self;
        while let Some(key) = map.next_key::<String>()? {
            match key.as_str() {
                "orders" | "swap_cards" => map.next_value_seed(Items(&mut |text| {
                    let (at, length) =
                        (count.get() - text.len() as u64, text.len() as u32);
                    if let Ok(head) = serde_json::from_str(text) {
                        told(Place { within: Within::Manifest, at, length }, head);
                    }
                }))?,
                "former" => map.next_value_seed(Items(&mut |text| {
                    let former = serde_json::from_str(text).into_iter().collect();
                    let place = Place { within: Within::Manifest, at: 0, length: 0 };
                    told(place, Head { former, ..Head::default() });
                }))?,
                _ => {
                    map.next_value::<IgnoredAny>()?;
                }
            }
        }
        Ok(())
    }
}

/// Who is told of the texts of a list's items.
struct Items<'a>(&'a mut dyn FnMut(&str));

impl<'de> DeserializeSeed<'de> for Items<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<(), D::Error> {
        from.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Items<'_> {
    type Value = ();

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        while let Some(item) = list.next_element::<Box<RawValue>>()? {
            (self.0)(item.get());
        }
        Ok(())
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
        let row = |name: &str| format!(r#"{{"id": "é", "files": [{}]}}"#, file(name));
        let (a, b, c, d) = (row("a"), row("b"), row("\\u0063"), row("d"));
        let e = file("e");
        let manifest = format!(
            r#"{{"complete": [{{}}], "orders":[{a} ,
               {b}],"former": [ {e}], "swap_cards": [{c}]}}"#
        );
        let rows = format!("\u{1e}{d}\n\u{1e}{{\"id\": \"cut o");
        let said = told(&manifest, &rows);
        let want = [(&*d, "d"), (&a, "a"), (&b, "b"), ("", "e"), (&c, "c")];
        let want = want.map(|(text, file)| (text.to_owned(), vec![file.to_owned()]));
        assert_eq!(said, want);
        assert_eq!(told("", ""), [], "nothing is there");
        let cut = manifest.get(..manifest.len() - 2).expect("text");
        assert_eq!(told(cut, "{}").len(), 5, "as far as it goes");
    }
}
