//! Rows of the manifest: made from what was done, or taken over from an earlier run.

use super::digest::Digest;
use super::disk::WrittenFile;
use super::files::{Asked, Used};
use super::outcome::{Outcome, Status, SwapCard};
use crate::finding::{Finding, Severity, Source, from_json, rounded, to_json};
use crate::model::{Order, Work};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Something done, and its row as the manifest has it.
#[derive(Debug)]
pub(super) struct Made<T> {
    pub(super) done: T,
    pub(super) row: String,
    pub(super) files: Vec<WrittenFile>,
}

impl<T> Made<T> {
    /// The same as something wider.
    pub(super) fn map<U>(self, wider: impl FnOnce(T) -> U) -> Made<U> {
        Made { done: wider(self.done), row: self.row, files: self.files }
    }
}

/// What a row is made of beside the outcome.
#[derive(Debug)]
pub(super) struct Facts<'a> {
    pub(super) key: Option<Digest>,
    pub(super) files: Vec<WrittenFile>,
    pub(super) used: &'a Used,
    pub(super) plan: Option<Value>,
    /// The cutters chosen, by the work they do.
    pub(super) cutters: &'a BTreeMap<&'static str, String>,
    /// The mark of what its proof promises, where there is one.
    pub(super) version: Option<&'a str>,
    pub(super) approval: Value,
}

/// The row of an order. Notes stand in the row alone.
pub(super) fn of_order<'a>(
    mut outcome: Outcome<'a>,
    findings: Vec<Finding>,
    facts: Facts<'_>,
) -> Made<Outcome<'a>> {
    let Facts { mut key, files, used, plan, cutters, version, approval } = facts;
    let order = outcome.order;
    let fields = fields(order);
    let mut said = Vec::new();
    for finding in &findings {
        let mut value = to_json(finding);
        if let Some(source) = finding.source.as_ref().filter(|at| of_list(at, order)) {
            match fields.iter().find(|(_, place)| *place == source) {
                Some((field, _)) => value["source"]["field"] = json!(field),
                // Where it would stand in another list is not known.
                None => key = None,
            }
        }
        said.push(value);
    }
    let row = json!({
        "id": order.id,
        "approval": approval,
        "name": order.name,
        "recipe": *order.recipe,
        "status": outcome.status.word(),
        "files": paths(&files),
        "findings": said,
        "cutters": cutters,
        "plan": plan,
        "proof_version": version,
        "quantity": order.quantity,
        "size_mm": outcome.size.map(|(width, height)| [rounded(width), rounded(height)]),
        "used": used.iter().map(used_json).collect::<Vec<_>>(),
        "key": key,
    });
    let all = outcome.status == Status::Error;
    let rest = findings.into_iter().filter(|it| all || it.severity > Severity::Note);
    outcome.findings = rest.collect();
    Made { done: outcome, row: indented(&row), files }
}

/// The row of a swap card.
pub(super) fn of_card<'a>(
    card: SwapCard<'a>,
    key: Option<Digest>,
    files: Vec<WrittenFile>,
    used: &Used,
) -> Made<SwapCard<'a>> {
    let row = json!({
        "recipe": card.recipe,
        "files": paths(&files),
        "used": used.iter().map(used_json).collect::<Vec<_>>(),
        "key": key.filter(|_| card.findings.is_empty()),
    });
    Made { done: card, row: indented(&row), files }
}

/// An order taken over from its row, told of where the order stands now.
pub(super) fn taken(mut row: Value, order: &Order) -> Option<Made<Outcome<'_>>> {
    let status = written_status(&row)?;
    let fields = fields(order);
    let mut findings = Vec::new();
    for value in row.get_mut("findings")?.as_array_mut()? {
        let field = value.pointer("/source/field").and_then(Value::as_str);
        let place = match field {
            Some(field) => Some(fields.iter().find(|(name, _)| name == field)?.1.clone()),
            None => None,
        };
        if let Some(place) = &place {
            value["source"]["file"] = json!(place.file.label);
            value["source"]["line"] = json!(place.line);
            value["source"]["column"] = json!(place.column);
        }
        let finding = from_json(value)?;
        findings.push(Finding { source: place.or(finding.source), ..finding });
    }
    findings.retain(|finding| finding.severity > Severity::Note);
    let cut_out = row.get("cutters")?.get(Work::CutOut.word()).and_then(Value::as_str);
    let size = row.get("size_mm")?.as_array()?;
    let outcome = Outcome {
        order,
        status,
        files: row.get("files")?.as_array()?.len(),
        findings: findings.into(),
        cut_out: cut_out.map(Into::into),
        minutes: row.pointer("/plan/minutes").and_then(Value::as_f64),
        size: Some((size.first()?.as_f64()?, size.get(1)?.as_f64()?)),
    };
    Some(Made { done: outcome, row: indented(&row), files: files_of(&row)? })
}

/// A swap card taken over from its row.
pub(super) fn taken_card<'a>(row: &Value, recipe: &'a str) -> Option<Made<SwapCard<'a>>> {
    let files = files_of(row)?;
    let card = SwapCard { recipe, files: files.len(), findings: Vec::new() };
    Some(Made { done: card, row: indented(row), files })
}

/// How a row says that its order ended.
pub(super) fn written_status(row: &Value) -> Option<Status> {
    Status::from_word(row.get("status")?.as_str()?)
}

/// The files a row names.
pub(super) fn files_of(row: &Value) -> Option<Vec<WrittenFile>> {
    let file = |file: &Value| {
        let path = file.get("path")?.as_str()?.to_owned();
        Some(WrittenFile { path, sha256: digest_of(file)? })
    };
    row.get("files")?.as_array()?.iter().map(file).collect()
}

/// What a row says was given from outside.
pub(super) fn used_of(row: &Value) -> Option<Used> {
    row.get("used")?.as_array()?.iter().map(used_from).collect()
}

/// Files as a manifest names them.
pub(super) fn paths(files: &[WrittenFile]) -> Vec<Value> {
    files.iter().map(|file| json!({ "path": file.path, "sha256": file.sha256 })).collect()
}

/// As it stands in a list of the manifest.
fn indented(row: &Value) -> String {
    format!("{row:#}").replace('\n', "\n    ")
}

fn of_list(source: &Source, order: &Order) -> bool {
    Arc::ptr_eq(&source.file, &order.source.file)
}

/// The places of an order by what stands there.
fn fields(order: &Order) -> Vec<(String, &Source)> {
    let mut fields = vec![
        ("order".to_owned(), &order.source),
        ("recipe".to_owned(), &order.recipe_source),
        ("wood".to_owned(), &order.wood_source),
    ];
    let set = order.set.iter().map(|it| (format!("set.{}", it.name), &it.source));
    let pins = order.pins.all().iter();
    fields.extend(set);
    fields.extend(pins.map(|pin| (format!("use.{}", pin.work.key()), &pin.source)));
    fields
}

/// The digest that an object says.
fn digest_of(value: &Value) -> Option<Digest> {
    value.get("sha256")?.as_str()?.parse().ok()
}

fn used_json((asked, sha256): (&Asked, &Digest)) -> Value {
    match asked {
        Asked::Svg(file) => json!({ "svg": file, "sha256": sha256 }),
        Asked::Font(file, index) => {
            json!({ "font": file, "index": index, "sha256": sha256 })
        }
        Asked::Family(family, weight, italic) => {
            json!({ "family": family, "weight": weight, "italic": italic, "sha256": sha256 })
        }
    }
}

fn used_from(value: &Value) -> Option<(Asked, Digest)> {
    let word = |key: &str| value.get(key).and_then(Value::as_str).map(str::to_owned);
    let number = |key: &str| value.get(key).and_then(Value::as_u64);
    let asked = match (word("svg"), word("font"), word("family")) {
        (Some(file), None, None) => Asked::Svg(file),
        (None, Some(file), None) => {
            Asked::Font(file, u32::try_from(number("index")?).ok()?)
        }
        (None, None, Some(family)) => {
            let weight = u16::try_from(number("weight")?).ok()?;
            Asked::Family(family, weight, value.get("italic")?.as_bool()?)
        }
        _ => return None,
    };
    Some((asked, digest_of(value)?))
}
