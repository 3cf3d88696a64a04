//! Ids of orders: they become file names, so they must be plain ones everywhere.

use crate::finding::{Code, Finding, Source};
use unicode_normalization::UnicodeNormalization as _;

/// Most characters of an id.
const LONGEST: usize = 100;

/// Names some systems keep for devices, with or without an ending.
const DEVICES: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7",
    "com8", "com9", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8",
    "lpt9",
];

/// The finding for an id that cannot serve as a file name.
pub(super) fn fault(id: &str, source: Source) -> Option<Finding> {
    let what = reason(id)?;
    let shown: String = id.chars().take(40).collect();
    let dots = if shown.len() < id.len() { "…" } else { "" };
    Some(
        Finding::stop(Code::BadId, format!("the id `{shown}{dots}` {what}"))
            .from(source)
            .expected("a plain file name, e.g. `ps-01-mia`")
            .help("ids name the output files: use letters, digits, `-` and `_`"),
    )
}

/// What two ids share that some file systems take for one name: capitals and the way an accent
/// is written do not count (Unicode Standard Annex 15, form C).
pub(super) fn alike(id: &str) -> String {
    id.nfc().collect::<String>().to_lowercase().nfc().collect()
}

fn reason(id: &str) -> Option<&'static str> {
    let stem = id.split('.').next().unwrap_or_default().trim().to_lowercase();
    let separators = ['/', '\\'];
    let others = ['<', '>', ':', '"', '|', '?', '*'];
    let checks = [
        (id.trim().is_empty(), "is empty"),
        (id.chars().count() > LONGEST, "has more than 100 characters"),
        (id.contains(separators), "has a `/` or `\\` in it"),
        (id.contains(".."), "has `..` in it"),
        (id.chars().any(char::is_control), "has a control character in it"),
        (id.contains(others), "has a character some systems forbid in file names"),
        (id.starts_with(['.', ' ', '-']), "starts with a dot, a blank or a hyphen"),
        (id.ends_with(['.', ' ']), "ends with a dot or a blank"),
        (DEVICES.contains(&stem.as_str()), "is a name some systems keep for a device"),
        (is_manifest(&stem), "is the name of a file of the batch"),
        (is_card(id), "starts as the names of swap cards and shape cards do"),
    ];
    checks.into_iter().find(|(holds, _)| *holds).map(|(_, what)| what)
}

/// The batch writes these beside the orders' files.
fn is_manifest(stem: &str) -> bool {
    stem == "manifest"
}

/// A recipe may be called `x-proof`: its cards must not meet the sheets of an order.
fn is_card(id: &str) -> bool {
    let id = alike(id);
    id.starts_with("swap-") || id.starts_with("shape-")
}
