//! Order lists spoiled in every way: whatever is in a file, it is read or refused with a message
//! that can be read. Shared by the tests (a few) and by `cargo bench --bench lists` (100,000).
//!
//! A case starts from a sound list (CSV with commas, semicolons or tabs, YAML, XLSX, ODS) and has
//! one to four of these done to it, drawn by a seeded generator:
//! bytes flipped; the end cut off; a stretch left out, doubled or repeated up to 4,000 times; two
//! stretches changed for each other (cells, lines, tags); a stretch replaced by a word that means
//! something somewhere (a delimiter, a quote, an anchor, a tag, a number out of range, a path, a
//! formula, a byte order mark, a control character, text from right to left); a cell of up to
//! 200,000 characters; brackets or maps nested up to 3,000 deep. Of workbooks either the archive
//! itself is spoiled, or the text of one of its files, which is packed again with its sum.

use crate::random_shapes::Dice;
use rust_xlsxwriter::Workbook;
use std::io::{Cursor, Read as _, Write as _};
use std::panic::{AssertUnwindSafe, catch_unwind};
use treen::finding::{Checked, Severity, long, worst};
use treen::intake::{LARGEST_BOOK, demo, orders_book, orders_csv, orders_yaml, text};
use treen::model::{OrderForm, OrderList};
use zip::ZipArchive;
use zip::write::{SimpleFileOptions, ZipWriter};

/// Most characters of one message with its lines, and of one of these lines.
const LONGEST: (usize, usize) = (2500, 700);

const CSV: &str = "id,name,recipe,wood,quantity,note,length\ng-1,Zo\u{eb},snail,cherry,2,\"for, \"\"her\"\"\",220 mm\ng-2,Jean-Luc,cloud,,,,\ng-3,\u{160}\u{ed}ma,hedgehog,maple,1,,8 1/2 in\n\n=1+1,Bo,snail,,,,\n";

const WORDS: [&str; 44] = [
    ",",
    ";",
    "\t",
    "\"",
    "\"\"",
    "\n",
    "\r\n",
    "\r",
    "'",
    ":",
    ": ",
    "- ",
    "? ",
    "&a ",
    "*a",
    "!!binary ",
    "!!set ",
    "<<: ",
    "|\n",
    ">\n",
    "%YAML 9\n",
    "---\n",
    "...\n",
    "{",
    "}",
    "[",
    "]",
    "#",
    "\u{feff}",
    "\0",
    "\u{7}",
    "\u{202e}",
    "\u{1f9c1}",
    "NaN",
    "-1e308",
    "99999999999999999999",
    "../../up",
    "=cmd|' /C calc'!A0",
    "<script>",
    "]]>",
    "&amp;",
    "</c></row>",
    "<!DOCTYPE a [<!ENTITY b 'b'>]>",
    "orders:",
];

/// The kinds of list, and a sound one of each.
#[derive(Debug)]
pub(crate) struct Seeds {
    rows: Vec<Vec<u8>>,
    yaml: Vec<Vec<u8>>,
    books: Vec<Vec<u8>>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Rows,
    Yaml,
    Book,
}

/// What became of a case.
#[derive(Debug, Default)]
pub(crate) struct Answer {
    pub(crate) orders: usize,
    pub(crate) refused: bool,
    /// Characters of the longest message.
    pub(crate) longest: usize,
}

pub(crate) fn seeds() -> Seeds {
    let swapped = |to: &str| CSV.replace(',', to).into_bytes();
    let flow = "orders: [{id: a, name: Bo, recipe: snail, set: {length: 200}, use: {cut_out: end-3}}, {id: b, name: &n Di, recipe: cloud, note: \"a\\u0062\", date: 2026-11-27}]\n";
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (row, line) in (0..).zip(CSV.lines()) {
        for (column, cell) in (0..).zip(line.split(',')) {
            sheet.write(row, column, cell).expect("written");
        }
        sheet.write(row, 9, f64::from(row) * 1.5).expect("written");
    }
    let cells = |line: &str| -> String {
        let cell = |text| {
            format!(
                "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
            )
        };
        format!(
            "<table:table-row>{}</table:table-row>",
            line.split(',').map(cell).collect::<String>()
        )
    };
    let rows: String = CSV.lines().map(cells).collect();
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" office:version=\"1.3\"><office:body><office:spreadsheet><table:table table:name=\"Names\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    );
    let kind = "application/vnd.oasis.opendocument.spreadsheet";
    let list = format!(
        "<manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"><manifest:file-entry manifest:full-path=\"/\" manifest:media-type=\"{kind}\"/></manifest:manifest>"
    );
    let parts =
        [("mimetype", kind), ("content.xml", &content), ("META-INF/manifest.xml", &list)];
    let parts = parts.map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec()));
    Seeds {
        rows: vec![
            CSV.as_bytes().to_vec(),
            swapped(";"),
            swapped("\t"),
            demo::ORDERS_CSV.as_bytes().to_vec(),
        ],
        yaml: vec![demo::ORDERS.as_bytes().to_vec(), flow.as_bytes().to_vec()],
        books: vec![book.save_to_buffer().expect("a workbook"), packed(&parts)],
    }
}

/// The next case.
pub(crate) fn spoiled(dice: &mut Dice, seeds: &Seeds) -> (Kind, Vec<u8>) {
    let (kind, list) = match dice.below(10) {
        0..4 => (Kind::Rows, &seeds.rows),
        4..8 => (Kind::Yaml, &seeds.yaml),
        _ => (Kind::Book, &seeds.books),
    };
    let seed = &list[dice.below(list.len() as u64) as usize];
    if kind == Kind::Book && dice.below(3) > 0 {
        return (kind, inside(dice, seed));
    }
    (kind, several(dice, seed.clone()))
}

/// One file of an archive spoiled, and all packed again.
fn inside(dice: &mut Dice, seed: &[u8]) -> Vec<u8> {
    let mut parts = unpacked(seed);
    let at = dice.below(parts.len() as u64) as usize;
    match dice.below(12) {
        0 => drop(parts.remove(at)),
        1 => parts[at].0 = format!("../{}", parts[at].0),
        2 => parts[at].1.clear(),
        _ => parts[at].1 = several(dice, std::mem::take(&mut parts[at].1)),
    }
    packed(&parts)
}

/// The files of an archive.
pub(crate) fn unpacked(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut pack = ZipArchive::new(Cursor::new(bytes)).expect("a sound archive");
    let count = pack.len();
    let file = |at| {
        let mut file = pack.by_index(at).expect("a file");
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).expect("unpacked");
        (file.name().expect("a name").into_owned(), bytes)
    };
    (0..count).map(file).collect()
}

fn packed(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut pack = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        pack.start_file(name.as_str(), SimpleFileOptions::default()).expect("begun");
        pack.write_all(bytes).expect("written");
    }
    pack.finish().expect("packed").into_inner()
}

fn several(dice: &mut Dice, mut bytes: Vec<u8>) -> Vec<u8> {
    for _ in 0..=dice.below(4) {
        once(dice, &mut bytes);
    }
    bytes
}

fn once(dice: &mut Dice, bytes: &mut Vec<u8>) {
    let (from, to) = stretch(dice, bytes);
    let part = bytes[from..to].to_vec();
    match dice.below(12) {
        0 => {
            for _ in 0..=dice.below(8) {
                let at = dice.below(bytes.len().max(1) as u64) as usize;
                let flip = 1 << dice.below(8);
                if let Some(byte) = bytes.get_mut(at) {
                    *byte ^= flip;
                }
            }
        }
        1 => bytes.truncate(from),
        2 => drop(bytes.drain(from..to)),
        3 => drop(bytes.splice(to..to, part)),
        4 => {
            let most = if dice.below(8) == 0 { 4000 } else { 20 };
            let times = 2 + dice.below(most) as usize;
            drop(bytes.splice(to..to, part.repeat(times)));
        }
        5 | 6 => {
            let (a, b) = stretch(dice, bytes);
            let other = bytes[a..b].to_vec();
            if to <= a {
                drop(bytes.splice(a..b, part));
                drop(bytes.splice(from..to, other));
            }
        }
        7 if dice.below(6) == 0 => {
            let letter =
                ["x", "\u{e9}", " ", "\"", "9", "\u{202e}"][dice.below(6) as usize];
            let cell = letter.repeat(1 + dice.below(200_000) as usize / letter.len());
            drop(bytes.splice(from..to, cell.into_bytes()));
        }
        8 if dice.below(4) == 0 => {
            let (open, close) = [("[", "]"), ("{a: ", "}"), ("- ", ""), ("<a>", "</a>")]
                [dice.below(4) as usize];
            let deep = 1 + dice.below(3000) as usize;
            let nest = open.repeat(deep) + &close.repeat(deep);
            drop(bytes.splice(from..to, nest.into_bytes()));
        }
        _ => {
            let word = WORDS[dice.below(WORDS.len() as u64) as usize];
            let end = if dice.below(2) == 0 { from } else { to };
            drop(bytes.splice(from..end, word.bytes()));
        }
    }
}

/// A cell, a line or a tag where the dice find one, else some bytes.
fn stretch(dice: &mut Dice, bytes: &[u8]) -> (usize, usize) {
    let at = dice.below(bytes.len() as u64 + 1) as usize;
    let ends: &[u8] = [&b",;\t\n"[..], b"\n", b"<>", b" :"][dice.below(4) as usize];
    let is_end = |byte: &u8| ends.contains(byte);
    let from = bytes[..at].iter().rposition(is_end).map_or(0, |it| it + 1);
    let to = bytes[at..].iter().position(is_end).map_or(bytes.len(), |it| at + it);
    if to - from > 400 || dice.below(5) == 0 {
        return (at, (at + dice.below(12) as usize).min(bytes.len()));
    }
    (from, to)
}

/// Reads a case as the program does. A panic, silence where nothing is read, or a message that
/// cannot be read is an error.
pub(crate) fn ask(kind: Kind, bytes: &[u8]) -> Result<Answer, String> {
    let read = catch_unwind(AssertUnwindSafe(|| read(kind, bytes)));
    let read = read.map_err(|_| "a panic".to_owned())?;
    let mut answer = Answer {
        orders: read.value.as_ref().map_or(0, |list| list.orders.len()),
        refused: worst(&read.findings) == Some(Severity::Stop),
        longest: 0,
    };
    if read.value.is_none() && !answer.refused {
        return Err("nothing is read and nothing said".to_owned());
    }
    for finding in &read.findings {
        let said = long(finding);
        let control = |c: char| c.is_control() && c != '\n';
        let widest = said.lines().map(|line| line.chars().count()).max().unwrap_or(0);
        let length = said.chars().count();
        if length > LONGEST.0 || widest > LONGEST.1 || said.contains(control) {
            let head: String = said.chars().take(400).collect();
            return Err(format!(
                "a message of {length} characters, {widest} in a line: {head}"
            ));
        }
        if finding.source.is_none() {
            return Err(format!("no place: {said}"));
        }
        answer.longest = answer.longest.max(length);
    }
    Ok(answer)
}

fn read(kind: Kind, bytes: &[u8]) -> Checked<OrderList> {
    let form = OrderForm::default();
    let read = |label: &str, read: &dyn Fn(&str) -> Checked<OrderList>| {
        text(label, bytes)
            .map_or_else(|finding| Checked::failed(*finding), |text| read(&text))
    };
    match kind {
        Kind::Rows => read("list.csv", &|text| orders_csv("list.csv", text, &form)),
        Kind::Yaml => read("list.yaml", &|text| orders_yaml("list.yaml", text)),
        Kind::Book => {
            assert!(bytes.len() <= LARGEST_BOOK + 1, "larger than is ever read");
            orders_book("list.xlsx", bytes, &form)
        }
    }
}

/// So many cases from a seed; the first that is wrong, by its number.
pub(crate) fn many(
    count: usize,
    seed: u64,
    mut heard: impl FnMut(Kind, &Answer),
) -> Result<(), (usize, Kind, Vec<u8>, String)> {
    let (seeds, mut dice) = (seeds(), Dice(seed));
    for number in 0..count {
        let (kind, bytes) = spoiled(&mut dice, &seeds);
        match ask(kind, &bytes) {
            Ok(answer) => heard(kind, &answer),
            Err(why) => return Err((number, kind, bytes, why)),
        }
    }
    Ok(())
}

#[test]
fn spoiled_lists_are_read_or_refused() {
    let mut counts = [[0_usize; 2]; 3];
    let ended = many(500, 20_261_127, |kind, answer| {
        let row = &mut counts[kind as usize];
        row[usize::from(answer.refused)] += 1;
    });
    assert!(ended.is_ok(), "{:?}", ended.map_err(|(at, kind, _, why)| (at, kind, why)));
    assert!(
        counts.iter().flatten().all(|count| *count >= 5),
        "of every kind: {counts:?}"
    );
}

#[test]
fn sound_lists_are_read() {
    let Seeds { rows, yaml, books } = seeds();
    for (kind, lists) in [(Kind::Rows, rows), (Kind::Yaml, yaml), (Kind::Book, books)] {
        for list in lists {
            let answer = ask(kind, &list).expect("read");
            assert!(answer.orders >= 2, "{kind:?}: {answer:?}");
        }
    }
}
