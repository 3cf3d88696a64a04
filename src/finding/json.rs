//! One JSON object per finding, keys as promised to other programs.

use super::{Finding, Remedy, Source};
use serde_json::{Value, json};

/// The finding as a JSON object: `code, severity, message, at, source, have, need, expected,
/// remedies`. Numbers are rounded to 0.001.
pub fn to_json(finding: &Finding) -> Value {
    json!({
        "code": finding.code.word(),
        "severity": finding.severity.word(),
        "message": finding.message,
        "at": finding.at.map(|[x, y]| [rounded(x), rounded(y)]),
        "source": finding.source.as_ref().map(place),
        "have": finding.have.map(rounded),
        "need": finding.need.map(rounded),
        "expected": finding.expected,
        "remedies": finding.remedies.iter().map(remedy).collect::<Vec<_>>(),
    })
}

fn place(source: &Source) -> Value {
    json!({
        "file": source.file.label,
        "line": source.line,
        "column": source.column,
    })
}

fn remedy(remedy: &Remedy) -> Value {
    json!({
        "kind": remedy.kind.word(),
        "text": remedy.text,
        "value": remedy.value.map(rounded),
    })
}

/// A number as printed in JSON: to 0.001, `null` when not finite, never -0.
pub fn rounded(value: f64) -> Value {
    let near = (value * 1000.0).round() / 1000.0;
    json!(if near == 0.0 { 0.0 } else { near })
}
