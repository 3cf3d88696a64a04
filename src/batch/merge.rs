//! The parts of a batch, made on several machines, joined as if one had made it.

use super::disk::{Folder, WrittenFile};
use super::earlier::{Earlier, MANIFEST};
use super::known::Known;
use super::outcome::{Status, machine_time};
use super::part::Part;
use super::record::{Contents, Record, Row};
use super::share::{PartHead, Piece, Share, said, shares};
use crate::finding::{Finding, rounded};
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// What became of a merge.
#[derive(Clone, Debug, Default)]
pub struct Merged {
    /// How many parts there were.
    pub parts: usize,
    /// How many orders ended so.
    pub orders: BTreeMap<Status, usize>,
    /// How many sheet files there are.
    pub sheet_files: usize,
    /// How many files of swap cards.
    pub card_files: usize,
    /// The dishes that can be made, and the minutes they take one after the other.
    pub time: (u32, f64),
    /// Files of earlier runs that no order has now.
    pub former: Vec<String>,
    /// Whether something broke in a part.
    pub broke: bool,
}

/// Joins parts of one list into a folder: their files and one manifest, as a run of the whole
/// list leaves them. What is missing, there twice or of another list is told, and then nothing
/// is written. The parts stay as they are. `waiting` is called where another run has the folder.
pub fn merge(
    folders: &[PathBuf],
    out: &Path,
    waiting: &dyn Fn(),
) -> Result<Merged, Vec<Finding>> {
    let shares = shares(folders)?;
    let same = |share: &Share| {
        let pair = [share.folder.path(), out].map(|path| path.canonicalize().ok());
        pair[0].is_some() && pair[0] == pair[1]
    };
    let manifest = out.join(MANIFEST).display().to_string();
    let apart = || {
        let what = "this folder holds a part and cannot hold the whole as well";
        vec![said(&manifest, what).help("name another folder after `--out`")]
    };
    if shares.iter().any(same) {
        return Err(apart());
    }
    let whole = Whole::of(shares)?;
    let out = Folder::create(out, waiting).map_err(|finding| vec![*finding])?;
    out.clear();
    let earlier = Earlier::of(&out);
    if earlier.manifest::<PartHead>().is_some() {
        return Err(apart());
    }
    whole.written(&out, &Known::of(earlier)).map_err(|finding| vec![*finding])
}

/// What `treen merge --json` prints.
pub fn merge_json(merged: &Merged) -> String {
    let counts = Status::ALL.map(|status| {
        let count = merged.orders.get(&status).copied().unwrap_or(0);
        (status.word().to_owned(), json!(count))
    });
    super::forms::text(&json!({
        "parts": merged.parts,
        "orders": counts.into_iter().collect::<Map<_, _>>(),
        "sheet_files": merged.sheet_files,
        "swap_card_files": merged.card_files,
        "former": merged.former,
        "machine_time": { "dishes": merged.time.0, "minutes": rounded(merged.time.1) },
        "findings": [],
    }))
}

/// All pieces in the order of the list, each with the number of its part's folder.
struct Whole {
    folders: Vec<Folder>,
    said: Value,
    orders: Vec<(usize, Piece)>,
    cards: Vec<(usize, Piece)>,
}

impl Whole {
    fn of(shares: Vec<Share>) -> Result<Self, Vec<Finding>> {
        let findings = faults(&shares);
        if !findings.is_empty() {
            return Err(findings);
        }
        let mut shares = shares;
        shares.sort_by_key(|share| share.part.number());
        let label = shares.first().map(|share| share.label.clone()).unwrap_or_default();
        let mut whole = Self {
            folders: Vec::new(),
            said: Value::Null,
            orders: Vec::new(),
            cards: Vec::new(),
        };
        let (mut orders, mut cards) = (Vec::new(), Vec::new());
        for share in shares {
            whole.folders.push(share.folder);
            whole.said = share.said;
            orders.push(share.orders);
            cards.push(share.cards);
        }
        (whole.orders, whole.cards) = (dealt(orders), dealt(cards));
        let twice = whole.twice(&label);
        if twice.is_empty() { Ok(whole) } else { Err(twice) }
    }

    fn pieces(&self) -> impl Iterator<Item = &Piece> {
        self.orders.iter().chain(&self.cards).map(|(_, piece)| piece)
    }

    fn files(&self) -> impl Iterator<Item = &WrittenFile> {
        self.pieces().flat_map(|piece| &piece.files)
    }

    /// Names that two pieces have: never of a list that was read.
    fn twice(&self, label: &str) -> Vec<Finding> {
        let mut seen = BTreeSet::new();
        let twice = self.files().filter(|file| !seen.insert(file.path.as_str()));
        let what = |path: &str| format!("two parts have a file `{path}`");
        twice.map(|file| said(label, &what(&file.path))).collect()
    }

    fn written(mut self, out: &Folder, known: &Known) -> Result<Merged, Box<Finding>> {
        let time = machine_time(self.orders.iter().filter_map(|(_, piece)| piece.time));
        let mut merged = Merged {
            parts: self.folders.len(),
            time,
            broke: self.pieces().any(|piece| piece.broke),
            sheet_files: self.orders.iter().map(|(_, piece)| piece.files.len()).sum(),
            card_files: self.cards.iter().map(|(_, piece)| piece.files.len()).sum(),
            ..Merged::default()
        };
        for status in self.orders.iter().filter_map(|(_, piece)| piece.status) {
            *merged.orders.entry(status).or_default() += 1;
        }
        let contents = Contents {
            complete: false,
            said: &self.said,
            former: &[],
            time: (0, 0.0),
            orders: &[],
            part: None,
            cards: &[],
        };
        let record = Record::new(out, contents, known);
        let take = |pieces| taken(pieces, &self.folders, out, &record);
        let orders = take(std::mem::take(&mut self.orders))?;
        let cards = take(std::mem::take(&mut self.cards))?;
        let orders: Vec<&Row> = orders.iter().collect();
        let cards: Vec<&Row> = cards.iter().collect();
        let former = record.former(&[&orders, &cards])?;
        let contents = Contents {
            complete: true,
            former: &former,
            time,
            orders: &orders,
            cards: &cards,
            ..contents
        };
        record.finish(&contents)?;
        record.close()?;
        merged.former = former.into_iter().map(|file| file.path).collect();
        Ok(merged)
    }
}

/// The rows of pieces whose files are in the folder now.
fn taken(
    pieces: Vec<(usize, Piece)>,
    folders: &[Folder],
    out: &Folder,
    record: &Record<'_>,
) -> Result<Vec<Row>, Box<Finding>> {
    let mut rows = Vec::new();
    for (at, piece) in pieces {
        for file in piece.files.iter().filter(|file| !out.holds(file)) {
            record.begin()?;
            if let Some(folder) = folders.get(at) {
                out.take(folder, &file.path)?;
            }
        }
        rows.push(record.add(piece.row));
    }
    Ok(rows)
}

/// Lists of several parts to one, an item of each in turn.
fn dealt(lists: Vec<Vec<Piece>>) -> Vec<(usize, Piece)> {
    let mut lists: Vec<_> = lists.into_iter().map(Vec::into_iter).collect();
    let mut all = Vec::new();
    loop {
        let before = all.len();
        for (at, list) in lists.iter_mut().enumerate() {
            all.extend(list.next().map(|piece| (at, piece)));
        }
        if all.len() == before {
            return all;
        }
    }
}

/// What keeps parts from being joined, gaps and doubles among it.
fn faults(shares: &[Share]) -> Vec<Finding> {
    let Some(first) = shares.first() else { return Vec::new() };
    let mut findings = Vec::new();
    let mut found: BTreeMap<usize, &Share> = BTreeMap::new();
    for share in shares {
        findings.extend(share.faults(first));
        if share.part.of() != first.part.of() {
            continue;
        }
        if let Some(other) = found.insert(share.part.number(), share) {
            let what = format!("part {} is there twice", share.part);
            let help = format!("leave one of the two out; the other is {}", other.label);
            findings.push(said(&share.label, &what).help(help));
        }
    }
    let numbers = 1..=first.part.of();
    let gaps = numbers.filter(|number| !found.contains_key(number));
    let gaps = gaps.filter_map(|number| Part::new(number, first.part.of()));
    findings.extend(gaps.map(|part| {
        let what = format!("part {part} is missing");
        said(&first.label, &what).help(format!("run `treen proof` with `--part {part}`"))
    }));
    findings
}
