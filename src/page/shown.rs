//! Folder and run in the JSON that the page asks for. All text is harmless to read; that it
//! stays text is the page's part.

use super::board::{Listed, Run, State};
use super::routes::Desk;
use crate::batch::{ShelvedCard, ShelvedFile, ShelvedOrder, Status};
use crate::finding::plain;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// An order of the list that is not made yet.
const WAITING: &str = "waiting";

/// Everything the page shows.
pub(super) fn shown(desk: &Desk) -> String {
    // The run first: what it says is done lies in the folder already.
    let run = desk.board.run();
    let shelved = desk.shelf.shelved();
    let mut words: Vec<&str> = Status::ALL.map(Status::word).to_vec();
    words.push(WAITING);
    json!({
        "folder": plain(&desk.shelf.path().display().to_string()),
        "complete": shelved.complete || run.state == State::Running,
        "statuses": words,
        "run": run,
        "of": run.list.len(),
        "said": shelved.said.iter().map(finding).collect::<Vec<_>>(),
        "why": run.why.iter().map(finding).collect::<Vec<_>>(),
        "orders": in_order(&shelved.orders, &run),
        "cards": shelved.cards.iter().map(card).collect::<Vec<_>>(),
    })
    .to_string()
}

/// Orders in the order of the list under way, with those that are still to come.
fn in_order(orders: &[ShelvedOrder], run: &Run) -> Vec<Value> {
    let mut there: BTreeMap<&str, &ShelvedOrder> =
        orders.iter().map(|order| (order.id.as_str(), order)).collect();
    let mut rows = Vec::new();
    for listed in &run.list {
        match there.remove(listed.id.as_str()) {
            Some(order) => rows.push(order_json(order)),
            None if run.state == State::Running => rows.push(waiting(listed)),
            None => {}
        }
    }
    let rest = orders.iter().filter(|order| there.contains_key(order.id.as_str()));
    rows.extend(rest.map(order_json));
    rows
}

fn waiting(listed: &Listed) -> Value {
    json!({
        "id": listed.id, "name": listed.name, "recipe": listed.recipe, "status": WAITING,
        "quantity": 1, "files": [], "findings": [],
    })
}

fn order_json(order: &ShelvedOrder) -> Value {
    let said = order.approval.get("said").and_then(Value::as_str).map(plain);
    json!({
        "id": plain(&order.id),
        "name": plain(&order.name),
        "recipe": plain(&order.recipe),
        "status": plain(&order.status),
        "quantity": order.quantity,
        "size_mm": order.size_mm,
        "minutes": order.minutes(),
        "wood": order.wood().map(plain),
        "version": order.proof_version.as_deref().map(plain),
        "said": said,
        "findings": order.findings.iter().map(finding).collect::<Vec<_>>(),
        "files": order.files.iter().map(file).collect::<Vec<_>>(),
    })
}

fn card(card: &ShelvedCard) -> Value {
    let files: Vec<Value> = card.files.iter().map(file).collect();
    json!({ "recipe": plain(&card.recipe), "files": files })
}

/// The name is kept as it is: the file is asked for by it.
fn file(file: &ShelvedFile) -> Value {
    json!({ "name": file.path, "sha256": file.sha256 })
}

/// What is said of it, where, and the ways out.
fn finding(finding: &Value) -> Value {
    let text = |key: &str| finding.get(key).and_then(Value::as_str).map(plain);
    let remedies = finding.get("remedies").and_then(Value::as_array);
    let remedy = |it: &Value| it.get("text").and_then(Value::as_str).map(plain);
    let remedies: Vec<String> =
        remedies.into_iter().flatten().filter_map(remedy).collect();
    json!({
        "severity": text("severity"),
        "code": text("code"),
        "message": text("message"),
        "expected": text("expected"),
        "place": finding.get("source").and_then(place),
        "remedies": remedies,
    })
}

fn place(source: &Value) -> Option<String> {
    let file = plain(source.get("file")?.as_str()?);
    let count = |key: &str| source.get(key).and_then(Value::as_u64).filter(|it| *it > 0);
    Some(match (count("line"), count("column")) {
        (Some(line), Some(column)) => format!("{file}:{line}:{column}"),
        _ => file,
    })
}
