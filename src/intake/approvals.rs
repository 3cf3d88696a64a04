//! `approvals.yaml`: what customers said of their proofs.

use super::ids;
use super::orders::written;
use super::reader::{Map, Reader};
use super::tree::{self, Node};
use crate::finding::{Checked, Code, Finding, plain};
use crate::model::{Approval, Approvals, Said};
use std::fmt::Write as _;

const KEYS: [&str; 5] = ["order", "proof", "said", "date", "note"];

/// The JSON Schema of the file (draft 2020-12).
pub const APPROVALS_SCHEMA: &str = include_str!("../../shapes/schema/approvals.json");

/// Reads what customers said. One entry that cannot be read spoils all: what was approved is
/// not to be guessed at.
pub fn approvals(label: &str, text: &str) -> Checked<Approvals> {
    let r = Reader::new(label, text);
    let root = r.keep(tree::read(&r.file));
    let read = root.and_then(|root| r.sound(|| whole(&r, &root)));
    Checked { value: read, findings: r.finish() }
}

fn whole(r: &Reader, root: &Node) -> Option<Approvals> {
    let map = r.map(root, "a list of approvals", &["approvals"])?;
    let node = map.required("approvals")?;
    let entries = r.list(node, "`approvals`")?;
    let entries = entries.iter().filter_map(|node| entry(r, node)).collect();
    Some(Approvals { entries })
}

fn entry(r: &Reader, node: &Node) -> Option<Approval> {
    let map = r.map(node, "an approval", &KEYS)?;
    let (order, proof, said) = (map.text("order"), mark(&map), said(&map));
    let (date, note) = (map.text("date"), map.maybe_text("note"));
    let source = map.optional("order").map_or_else(|| map.source(), |it| r.inside(it));
    let (order, date) = (order?, date?);
    if let Some(finding) = ids::fault(&order, source.clone()) {
        r.say(finding);
    }
    for (what, text) in [("date", Some(&date)), ("note", note.as_ref())] {
        written(r, what, text.map_or("", String::as_str), &source);
    }
    Some(Approval { order, proof: proof?, said: said?, date, note, source })
}

/// The mark of a proof, as printed on it.
fn mark(map: &Map<'_>) -> Option<String> {
    let text = map.text("proof")?;
    if is_mark(&text) {
        return Some(text);
    }
    let place =
        map.optional("proof").map_or_else(|| map.source(), |it| map.reader.inside(it));
    let short: String = text.chars().take(40).collect();
    let finding = Finding::stop(
        Code::WrongType,
        format!("`{}` is no mark of a proof", plain(&short)),
    )
    .from(place)
    .expected("the version printed on the proof, e.g. `3fa9-c02e`")
    .help("copy it from the proof, or from `proof_version` in the manifest");
    map.reader.say(finding);
    None
}

/// Whether a text looks like the mark of a proof: two groups of four hexadecimal digits.
pub fn is_mark(text: &str) -> bool {
    let group = |it: &str| {
        it.len() == 4 && it.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
    };
    text.split_once('-').is_some_and(|(first, second)| group(first) && group(second))
}

fn said(map: &Map<'_>) -> Option<Said> {
    let text = map.text("said")?;
    let known = Said::WORDS.iter().find(|(word, _)| *word == text);
    if known.is_none() {
        let node = map.optional("said")?;
        map.reader.unknown_word(
            node,
            "`said`",
            &text,
            &Said::WORDS.map(|(word, _)| word),
        );
    }
    known.map(|(_, said)| *said)
}

/// The text of a file with one entry more. What stands there is left as it is.
pub fn with_approval(text: &str, entry: &Approval) -> String {
    const HEAD: &str = "# What customers said of their proofs; of an order the last entry counts.\n\
         # `treen approve` writes here, and so may you.\napprovals:\n";
    let mut all = if text.trim().is_empty() { HEAD.to_owned() } else { text.to_owned() };
    if !all.ends_with('\n') {
        all.push('\n');
    }
    // A JSON string is one of YAML as well (YAML 1.2, chapter 1.2 and 7.3.1).
    let quoted = |text: &str| serde_json::Value::from(text).to_string();
    let mut rows = vec![
        ("order", quoted(&entry.order)),
        ("proof", quoted(&entry.proof)),
        ("said", entry.said.word().to_owned()),
        ("date", quoted(&entry.date)),
    ];
    rows.extend(entry.note.as_deref().map(|note| ("note", quoted(note))));
    for (at, (key, value)) in rows.into_iter().enumerate() {
        let lead = if at == 0 { "  - " } else { "    " };
        // Writing to a String cannot fail.
        let _ = writeln!(all, "{lead}{key}: {value}");
    }
    all
}
