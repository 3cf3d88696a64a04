//! What customers said of proofs, held against what is made now.

use super::disk::Folder;
use super::earlier::MANIFEST;
use super::examine::Examined;
use super::given::read;
use crate::finding::{Checked, Code, Finding, Source, SourceFile, nearest, plain};
use crate::intake::{approvals, is_mark, with_approval};
use crate::model::{Approval, Approvals, Order, Said, Shop};
use crate::sheet;
use serde::Deserialize;
use serde_json::{Value, json};
use std::path::Path;

/// The file that lies beside the orders.
pub const APPROVALS: &str = "approvals.yaml";

/// What customers said, as it is written in a folder; nothing where there is no such file.
pub fn approvals_in(folder: &Path) -> Checked<Approvals> {
    let path = folder.join(APPROVALS);
    if path.symlink_metadata().is_err() {
        return Checked { value: Some(Approvals::default()), findings: Vec::new() };
    }
    match read(&path) {
        Ok(text) => approvals(&path.display().to_string(), &text),
        Err(finding) => Checked::failed(*finding),
    }
}

/// Adds to a dish that was drawn what its customer's word means for it.
pub fn held(
    examined: &mut Examined,
    order: &Order,
    said: Option<&Approval>,
    shop: &Shop,
) {
    let Some(said) = said else { return };
    let Some((dish, report, plan)) = &mut examined.dish else { return };
    let now = sheet::version(dish, report, plan, shop);
    let Some(finding) = standing(said, &now, order) else { return };
    examined.findings.push(finding.clone());
    report.findings.push(finding);
    report.findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
}

/// What is to be said of a dish whose proof has this mark now.
fn standing(said: &Approval, now: &str, order: &Order) -> Option<Finding> {
    let (was, date) = (&said.proof, plain(&said.date));
    let id = &order.id;
    match (said.said, said.proof == now) {
        (Said::Approved, true) | (Said::Change, false) => None,
        (Said::Approved, false) => {
            let what = format!(
                "the dish changed since its proof was approved on {date}: that was {was}, this is {now}"
            );
            let help = format!(
                "show the new proof; `treen approve {id}` records that it is approved"
            );
            Some(
                Finding::warn(Code::ChangedSinceApproval, what)
                    .from(order.source.clone())
                    .help(help),
            )
        }
        (Said::Change, true) => {
            let note = said.note.as_deref().map(|note| format!(": {}", plain(note)));
            let what = format!(
                "a change of proof {was} was asked for on {date}{}",
                note.unwrap_or_default()
            );
            Some(
                Finding::warn(Code::ChangeAsked, what)
                    .from(order.source.clone())
                    .help("change the order or the recipe, and show the new proof"),
            )
        }
    }
}

/// What a row says of it.
pub(super) fn approval_json(said: Option<&Approval>) -> Value {
    said.map_or(Value::Null, |said| {
        json!({
            "said": said.said.word(), "proof": said.proof, "date": said.date, "note": said.note,
        })
    })
}

/// What is to be recorded.
#[derive(Clone, Debug)]
pub struct Word<'a> {
    /// The order's id.
    pub order: &'a str,
    /// What the customer said.
    pub said: Said,
    /// The mark on the proof it was said of; that of the latest proof if none is given.
    pub proof: Option<&'a str>,
    /// When.
    pub date: &'a str,
    /// A remark.
    pub note: Option<&'a str>,
}

/// What was recorded.
#[derive(Clone, Debug)]
pub struct Recorded {
    /// The mark it was said of.
    pub proof: String,
    /// The mark of the latest proof.
    pub latest: String,
}

#[derive(Deserialize)]
struct Manifest {
    orders: Vec<OrderRow>,
}

#[derive(Deserialize)]
struct OrderRow {
    id: String,
    status: String,
    proof_version: Option<String>,
}

/// Adds a customer's words to the file in a folder, all of them or none; `out` is where the
/// proofs are.
pub fn recorded(
    folder: &Path,
    out: &Path,
    words: &[Word<'_>],
) -> Result<Vec<Recorded>, Vec<Finding>> {
    let rows = rows(out).map_err(|finding| vec![*finding])?;
    let marks: Vec<_> = words.iter().map(|word| marks(&rows, out, word)).collect();
    let mut findings = Vec::new();
    let mut recorded = Vec::new();
    for mark in marks {
        match mark {
            Ok(mark) => recorded.push(mark),
            Err(finding) => findings.push(*finding),
        }
    }
    if !findings.is_empty() {
        return Err(findings);
    }
    // The folder is held until all is written, so that two records at once lose nothing.
    let lost = |finding: Box<Finding>| vec![*finding];
    let own = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    let held = Folder::create(own, &|| ()).map_err(lost)?;
    let path = folder.join(APPROVALS);
    let label = path.display().to_string();
    let mut text = match path.symlink_metadata() {
        Ok(_) => read(&path).map_err(lost)?,
        Err(_) => String::new(),
    };
    for (word, mark) in words.iter().zip(&recorded) {
        let entry = Approval {
            order: word.order.to_owned(),
            proof: mark.proof.clone(),
            said: word.said,
            date: word.date.to_owned(),
            note: word.note.map(str::to_owned),
            source: Source::whole(&SourceFile::new(label.as_str(), "")),
        };
        text = with_approval(&text, &entry);
    }
    // What would not be read again is not written.
    let again = approvals(&label, &text);
    if again.value.is_none() {
        return Err(again.findings);
    }
    held.write(APPROVALS, text.as_bytes()).map_err(lost)?;
    Ok(recorded)
}

fn rows(out: &Path) -> Result<Vec<OrderRow>, Box<Finding>> {
    let path = out.join(MANIFEST);
    let text = read(&path)?;
    let manifest: Result<Manifest, _> = serde_json::from_str(&text);
    manifest.map(|manifest| manifest.orders).map_err(|error| {
        let place = Source::whole(&SourceFile::new(path.display().to_string(), ""));
        let finding =
            Finding::stop(Code::UnreadableFile, format!("this is no manifest: {error}"));
        Box::new(finding.from(place).help("run `treen proof` again"))
    })
}

/// The mark that a word is about, and that of the latest proof.
fn marks(
    rows: &[OrderRow],
    out: &Path,
    word: &Word<'_>,
) -> Result<Recorded, Box<Finding>> {
    let place =
        Source::whole(&SourceFile::new(out.join(MANIFEST).display().to_string(), ""));
    let shown = plain(word.order);
    let Some(row) = rows.iter().find(|row| row.id == word.order) else {
        let near = nearest(word.order, rows.iter().map(|row| row.id.as_str()));
        let help = near.map_or_else(
            || "`--out` names the folder of the proofs".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        let finding = Finding::stop(
            Code::UnknownOrder,
            format!("no proof of an order `{shown}` is here"),
        );
        return Err(Box::new(finding.from(place).help(help)));
    };
    let Some(latest) = &row.proof_version else {
        let finding = Finding::stop(
            Code::UnknownOrder,
            format!("the order `{shown}` has no proof"),
        );
        return Err(Box::new(finding.from(place).help("`treen check` says why")));
    };
    if let Some(mark) = word.proof.filter(|mark| !is_mark(mark)) {
        let finding = Finding::stop(
            Code::WrongType,
            format!("`{}` is no mark of a proof", plain(mark)),
        );
        let finding = finding.from(Source::whole(&SourceFile::new("--proof", "")));
        return Err(Box::new(
            finding.expected("the version printed on the proof, e.g. `3fa9-c02e`"),
        ));
    }
    if word.said == Said::Approved && row.status == "stop" {
        let what = format!(
            "the order `{shown}` cannot be made as drawn: there is nothing to approve"
        );
        return Err(Box::new(
            Finding::stop(Code::NothingToApprove, what)
                .from(place)
                .help("`treen check` says how to mend it"),
        ));
    }
    let proof = word.proof.unwrap_or(latest).to_owned();
    Ok(Recorded { proof, latest: latest.clone() })
}
