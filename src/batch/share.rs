//! What one part of a batch left in its folder.

use super::disk::{Folder, WrittenFile};
use super::earlier::{Earlier, MANIFEST};
use super::outcome::Status;
use super::part::Part;
use super::row::{files_of, written_status};
use crate::finding::{Code, Finding, Source, SourceFile};
use serde::Deserialize;
use serde_json::Value;
use serde_json::value::RawValue;
use std::path::{Path, PathBuf};

/// One part, its folder locked against runs that write.
#[derive(Debug)]
pub(super) struct Share {
    pub(super) folder: Folder,
    /// Its manifest, as shown to people.
    pub(super) label: String,
    pub(super) part: Part,
    /// How many orders and swap cards the whole list has.
    pub(super) all: [usize; 2],
    /// The digest of all that the whole list is made from.
    list: String,
    /// What was found in the list and the shop.
    pub(super) said: Value,
    complete: bool,
    pub(super) orders: Vec<Piece>,
    pub(super) cards: Vec<Piece>,
}

/// An order or a swap card of a part.
#[derive(Debug)]
pub(super) struct Piece {
    /// As it stands in the manifest.
    pub(super) row: String,
    pub(super) files: Vec<WrittenFile>,
    /// Only orders have one.
    pub(super) status: Option<Status>,
    /// How many dishes can be made, and the minutes for each.
    pub(super) time: Option<(u32, f64)>,
    /// Whether it failed by a disk or a bug, not by an input.
    pub(super) broke: bool,
}

#[derive(Deserialize)]
struct Manifest<'a> {
    complete: bool,
    findings: Value,
    #[serde(borrow)]
    orders: Vec<&'a RawValue>,
    #[serde(borrow)]
    swap_cards: Vec<&'a RawValue>,
    part: PartRow,
}

#[derive(Deserialize)]
struct PartRow {
    number: usize,
    of: usize,
    orders: usize,
    swap_cards: usize,
    list: String,
}

/// What the manifest of a part says of it, and no other does.
#[derive(Deserialize)]
pub(super) struct PartHead {
    #[serde(rename = "part")]
    _part: PartRow,
}

/// Every part in these folders, or in the folders that parts have made in them.
pub(super) fn shares(folders: &[PathBuf]) -> Result<Vec<Share>, Vec<Finding>> {
    let (mut shares, mut findings) = (Vec::new(), Vec::new());
    for folder in folders {
        let within = within(folder);
        if within.is_empty() {
            let label = folder.join(MANIFEST).display().to_string();
            let finding = said(&label, "there is no part of a batch here");
            findings.push(finding.expected(
                "a folder that `treen proof --part K/N --out FOLDER` wrote to",
            ));
        }
        for path in within {
            match Share::read(&path) {
                Ok(share) => shares.push(share),
                Err(finding) => findings.push(*finding),
            }
        }
    }
    if findings.is_empty() { Ok(shares) } else { Err(findings) }
}

/// The folder itself where it holds a part, and those below it that bear the name of one, in
/// the order of their numbers.
fn within(folder: &Path) -> Vec<PathBuf> {
    let manifest = std::fs::File::open(folder.join(MANIFEST)).is_ok();
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let numbered = entries.filter_map(|entry| {
        let name = entry.file_name().into_string().ok()?;
        let (number, of) = name.strip_prefix("part-")?.split_once("-of-")?;
        let part = Part::new(number.parse().ok()?, of.parse().ok()?)?;
        let path = entry.path();
        (part.folder() == name && path.is_dir()).then_some((
            part.of(),
            part.number(),
            path,
        ))
    });
    let mut numbered: Vec<_> = numbered.collect();
    numbered.sort();
    let below = numbered.into_iter().map(|(.., path)| path);
    let own = || Earlier::of(&Folder::existing(folder).ok()?).manifest::<PartHead>();
    let own = manifest && own().is_some();
    own.then(|| folder.to_path_buf()).into_iter().chain(below).collect()
}

impl Share {
    fn read(path: &Path) -> Result<Self, Box<Finding>> {
        let label = path.join(MANIFEST).display().to_string();
        let folder = Folder::existing(path)?;
        let text = folder.text(MANIFEST)?;
        let read = |error: &serde_json::Error| {
            let what = format!("this is no manifest of a part: {error}");
            Box::new(said(&label, &what).help("run that part again"))
        };
        let manifest: Manifest<'_> =
            serde_json::from_slice(&text).map_err(|error| read(&error))?;
        let row = &manifest.part;
        let part = Part::new(row.number, row.of).ok_or_else(|| {
            let what = format!("there is no part {} of {}", row.number, row.of);
            Box::new(said(&label, &what).help("run that part again"))
        })?;
        let pieces = |rows: &[&RawValue]| {
            let pieces = rows.iter().map(|row| Piece::of(row.get()));
            pieces.collect::<Option<Vec<Piece>>>().ok_or_else(|| {
                let what = "a row of the manifest is not as it is written";
                Box::new(said(&label, what).help("run that part again"))
            })
        };
        Ok(Self {
            part,
            all: [row.orders, row.swap_cards],
            orders: pieces(&manifest.orders)?,
            cards: pieces(&manifest.swap_cards)?,
            list: manifest.part.list,
            said: manifest.findings,
            complete: manifest.complete,
            folder,
            label,
        })
    }

    /// What keeps this part from being joined with the first.
    pub(super) fn faults(&self, first: &Self) -> Vec<Finding> {
        let again = |what: &str| said(&self.label, what).help("run that part again");
        if self.part.of() != first.part.of() || self.all != first.all {
            let what = format!("this is part {} of another list", self.part);
            return vec![said(&self.label, &what).expected(format!(
                "a part of {} of the list of {} orders that {} is of",
                first.part.of(),
                first.all[0],
                first.label
            ))];
        }
        if self.list != first.list {
            let what = format!(
                "part {} was made from something else than part {}: list, shop, recipes, \
                 resolution and program must be the same",
                self.part, first.part
            );
            return vec![again(&what)];
        }
        let have = [&self.orders, &self.cards].map(Vec::len);
        if !self.complete || have != self.all.map(|all| self.part.count(all)) {
            return vec![again(&format!("part {} did not come to its end", self.part))];
        }
        let files = self.orders.iter().chain(&self.cards).flat_map(|it| &it.files);
        let changed = files.filter(|file| !self.folder.holds(file));
        changed
            .map(|file| again(&format!("`{}` is not as the manifest says", file.path)))
            .collect()
    }
}

impl Piece {
    fn of(row: &str) -> Option<Self> {
        let value: Value = serde_json::from_str(row).ok()?;
        let status = match value.get("status") {
            Some(_) => Some(written_status(&value)?),
            None => None,
        };
        let minutes = value.pointer("/plan/minutes").and_then(Value::as_f64);
        let quantity = value.get("quantity").and_then(Value::as_u64);
        let quantity = quantity.and_then(|it| u32::try_from(it).ok());
        let made = status.is_some_and(|status| status < Status::Stop);
        let code = |finding: &Value| {
            Code::from_word(finding.get("code").and_then(Value::as_str)?)
        };
        let findings = value.get("findings").and_then(Value::as_array);
        let mut codes = findings.into_iter().flatten().filter_map(code);
        Some(Self {
            files: files_of(&value)?,
            status,
            time: quantity.zip(minutes).filter(|_| made),
            broke: status == Some(Status::Error) && codes.any(Code::broke),
            row: row.to_owned(),
        })
    }
}

/// Something said of a part.
pub(super) fn said(label: &str, what: &str) -> Finding {
    let place = Source::whole(&SourceFile::new(label, ""));
    Finding::stop(Code::PartUnfit, what).from(place)
}
