//! One JSON object per finding, keys as promised to other programs.

use super::{Code, Finding, Remedy, RemedyKind, Severity, Source, SourceFile};
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

/// The finding of such an object; `None` where it is none. Places that belong to it and the
/// lines of its files are not in the object.
pub fn from_json(value: &Value) -> Option<Finding> {
    let text = |key: &str| value.get(key).and_then(Value::as_str);
    let number = |key: &str| value.get(key).and_then(Value::as_f64);
    let at = value.get("at").and_then(Value::as_array);
    let at = at.and_then(|at| Some([at.first()?.as_f64()?, at.get(1)?.as_f64()?]));
    let source = match value.get("source") {
        None | Some(Value::Null) => None,
        Some(source) => Some(source_of(source)?),
    };
    let remedies = value.get("remedies")?.as_array()?.iter().map(remedy_of);
    Some(Finding {
        code: Code::from_word(text("code")?)?,
        severity: Severity::from_word(text("severity")?)?,
        message: text("message")?.to_owned(),
        at,
        source,
        have: number("have"),
        need: number("need"),
        expected: text("expected").map(str::to_owned),
        related: Vec::new(),
        remedies: remedies.collect::<Option<_>>()?,
    })
}

fn source_of(value: &Value) -> Option<Source> {
    let count = |key: &str| u32::try_from(value.get(key)?.as_u64()?).ok();
    let column = count("column")?;
    let file = SourceFile::new(value.get("file")?.as_str()?, "");
    Some(Source { file, line: count("line")?, column, length: column.min(1) })
}

fn remedy_of(value: &Value) -> Option<Remedy> {
    Some(Remedy {
        kind: RemedyKind::from_word(value.get("kind")?.as_str()?)?,
        text: value.get("text")?.as_str()?.to_owned(),
        value: value.get("value").and_then(Value::as_f64),
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
