//! Malformed inputs: file pairs under `tests/golden/errors`, the input and what is said
//! about it; `shops` beside them holds the shop of an input that needs another than the
//! built-in one, under the input's name. `UPDATE_GOLDEN=1` writes what is said now and then fails, so that the change is
//! looked at.

use std::path::{Path, PathBuf};
use treen::finding::{Finding, report};
use treen::intake::{FileKind, kind_of, orders_csv, orders_yaml, recipe, shop, text};
use treen::model::OrderForm;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/errors")
}

/// The inputs, by name.
pub(crate) fn inputs() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder()).expect("the folder is there");
    let paths = entries.map(|entry| entry.expect("readable").path());
    let mut inputs: Vec<PathBuf> = paths
        .filter(|path| path.extension().is_some_and(|end| end != "stderr"))
        .collect();
    inputs.sort();
    inputs
}

/// Where what is said about an input is stored.
pub(crate) fn golden(input: &Path) -> PathBuf {
    let mut name = input.as_os_str().to_owned();
    name.push(".stderr");
    PathBuf::from(name)
}

/// The inputs that a door refuses; `dish-` and `list-` ones are well formed and go further.
fn refused() -> Vec<PathBuf> {
    let name =
        |path: &Path| path.file_name().map(|name| name.to_string_lossy().into_owned());
    let further = |path: &Path| {
        name(path).is_some_and(|n| n.starts_with("dish-") || n.starts_with("list-"))
    };
    inputs().into_iter().filter(|path| !further(path)).collect()
}

/// What is said about an input, through the door of its kind.
fn findings(path: &Path) -> Vec<Finding> {
    let label = path.file_name().and_then(|name| name.to_str()).expect("UTF-8");
    let bytes = std::fs::read(path).expect("readable");
    let text = match text(label, &bytes) {
        Ok(text) => text,
        Err(finding) => return vec![*finding],
    };
    if path.extension().is_some_and(|end| end == "csv") {
        return orders_csv(label, &text, &OrderForm::default()).findings;
    }
    let kind = kind_of(&text);
    assert!(label.starts_with(kind.word()), "{label} is taken for a {}", kind.word());
    match kind {
        FileKind::Recipe => recipe(label, &text, "test", None).findings,
        FileKind::Shop => shop(label, &text).findings,
        FileKind::Orders => orders_yaml(label, &text).findings,
    }
}

#[test]
fn malformed_inputs_say_what_is_wrong() {
    let inputs = refused();
    assert!(inputs.len() >= 30, "only {} malformed inputs", inputs.len());
    let update = std::env::var_os("UPDATE_GOLDEN").is_some();
    let mut different = Vec::new();
    for input in &inputs {
        let golden = golden(input);
        let said = report(&findings(input));
        assert!(!said.is_empty(), "nothing is said about {}", input.display());
        if update {
            std::fs::write(&golden, &said).expect("writable");
        }
        if std::fs::read_to_string(&golden).unwrap_or_default() != said {
            different.push(format!("{}:\n{said}", input.display()));
        }
    }
    assert!(different.is_empty(), "not as stored:\n{}", different.join("\n"));
    assert!(!update, "the stored texts were written anew: look at them, then run again");
}

#[test]
fn no_malformed_input_gives_a_value() {
    for input in refused() {
        let said = findings(&input);
        let stopped =
            treen::finding::worst(&said) == Some(treen::finding::Severity::Stop);
        assert!(stopped, "{} is let through", input.display());
    }
}
