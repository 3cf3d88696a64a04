//! The floor table: which room may import which, and where foreign crates live.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Room, rooms it may import, foreign crates that live there.
const FLOORS: &[(&str, &[&str], &[&str])] = &[
    ("units", &[], &[]),
    ("kept", &[], &[]),
    ("finding", &["units"], &["serde_json", "strsim"]),
    ("model", &["units", "finding"], &["exmex"]),
    (
        "intake",
        &["units", "finding", "model"],
        &[
            "calamine",
            "csv",
            "quick_xml",
            "serde",
            "serde_json",
            "serde_yaml",
            "unicode_normalization",
            "zip",
        ],
    ),
    ("curve", &["units", "kept"], &["i_overlay", "kurbo", "lyon", "usvg"]),
    ("reach", &["units", "kept", "curve"], &[]),
    (
        "lettering",
        &["units", "kept", "finding", "curve", "reach"],
        &[
            "dejavu",
            "harfrust",
            "notosans",
            "serde_yaml",
            "skrifa",
            "typst_assets",
            "unicode_bidi",
            "unicode_normalization",
            "unicode_script",
            "uzor_fonts",
        ],
    ),
    ("shape", &["units", "finding", "model", "curve", "reach", "lettering"], &[]),
    ("dish", &["units", "finding", "model", "curve", "reach", "lettering", "shape"], &[]),
    (
        "feasibility",
        &["units", "finding", "model", "curve", "reach", "lettering", "shape", "dish"],
        &[],
    ),
    ("relief", &["model", "curve"], &[]),
    (
        "mend",
        &["units", "finding", "model", "curve", "reach", "shape", "dish", "feasibility"],
        &[],
    ),
    (
        "plan",
        &[
            "units",
            "finding",
            "model",
            "curve",
            "reach",
            "lettering",
            "dish",
            "feasibility",
        ],
        &[],
    ),
    (
        "sheet",
        &[
            "units",
            "finding",
            "model",
            "curve",
            "reach",
            "lettering",
            "shape",
            "dish",
            "feasibility",
            "relief",
            "plan",
        ],
        &["serde", "serde_yaml", "sha2"],
    ),
    (
        "export",
        &["units", "kept", "sheet"],
        &[
            "base64",
            "flate2",
            "fontdb",
            "jpeg_encoder",
            "krilla",
            "png",
            "resvg",
            "sha2",
            "tiny_skia",
            "usvg",
        ],
    ),
    (
        "batch",
        &[
            "units",
            "finding",
            "model",
            "intake",
            "curve",
            "reach",
            "lettering",
            "shape",
            "dish",
            "feasibility",
            "mend",
            "plan",
            "sheet",
            "export",
        ],
        &["fontdb", "notify", "rayon", "serde", "serde_json", "sha2"],
    ),
    (
        "page",
        &["finding", "model", "batch"],
        &["axum", "futures_util", "hyper", "hyper_util", "serde", "serde_json", "tokio"],
    ),
];

fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// Every Rust file of every room.
fn rooms() -> BTreeMap<String, Vec<PathBuf>> {
    let mut rooms = BTreeMap::new();
    for entry in fs::read_dir(source()).expect("the source folder").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name == "lib.rs" || name == "bin" {
            continue;
        }
        let room = name.trim_end_matches(".rs").to_owned();
        let mut files = Vec::new();
        collect(&entry.path(), &mut files);
        rooms.insert(room, files);
    }
    rooms
}

fn collect(path: &Path, files: &mut Vec<PathBuf>) {
    if path.is_dir() {
        for entry in fs::read_dir(path).expect("a folder").flatten() {
            collect(&entry.path(), files);
        }
    } else if path.extension().is_some_and(|e| e == "rs") {
        files.push(path.to_owned());
    }
}

/// Code lines, comments left out.
fn code(path: &Path) -> Vec<(usize, String)> {
    let text = fs::read_to_string(path).expect("a readable file");
    text.lines()
        .enumerate()
        .map(|(n, line)| (n + 1, line.split("//").next().unwrap_or_default().to_owned()))
        .collect()
}

/// The word after each `before`, e.g. every `x` of `crate::x::y`.
fn words_after<'a>(line: &'a str, before: &str) -> Vec<&'a str> {
    line.split(before)
        .skip(1)
        .map(|rest| {
            rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or("")
        })
        .collect()
}

#[test]
fn every_room_has_a_floor_and_imports_only_from_below() {
    let mut wrong = Vec::new();
    for (room, files) in rooms() {
        let Some((_, below, _)) = FLOORS.iter().find(|floor| floor.0 == room) else {
            wrong.push(format!("room {room} has no floor"));
            continue;
        };
        for file in files {
            for (number, line) in code(&file) {
                let place = format!("{}:{number}", file.display());
                if line.contains("crate::{") || line.contains("super::super") {
                    wrong.push(format!(
                        "{place}: a grouped or doubled import hides an arrow"
                    ));
                }
                for name in words_after(&line, "crate::") {
                    if name != room && !name.is_empty() && !below.contains(&name) {
                        wrong.push(format!("{place}: {room} may not import {name}"));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn foreign_crates_live_in_their_rooms() {
    let mut foreign: Vec<&str> =
        FLOORS.iter().flat_map(|floor| floor.2.iter().copied()).collect();
    foreign.sort_unstable();
    foreign.dedup();
    let mut wrong = Vec::new();
    for (room, files) in rooms() {
        let own = FLOORS.iter().find(|floor| floor.0 == room).map_or(&[][..], |f| f.2);
        for file in files {
            for (number, line) in code(&file) {
                for name in foreign.iter().filter(|name| !own.contains(name)) {
                    let used = line.contains(&format!("{name}::"))
                        && !line.contains(&format!("::{name}::"))
                        && words_after(&line, &format!("_{name}")).is_empty();
                    if used {
                        wrong.push(format!(
                            "{}:{number}: {name} in {room}",
                            file.display()
                        ));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_floors_are_in_order() {
    for (index, (room, below, _)) in FLOORS.iter().enumerate() {
        for name in *below {
            let at = FLOORS.iter().position(|floor| floor.0 == *name);
            assert!(at.is_some_and(|at| at < index), "{room} imports {name} from above");
        }
    }
}

/// The row of a table in DEVELOPERS.md that has a word in its second cell.
fn told(room: &str) -> Option<&'static str> {
    let text = include_str!("../../DEVELOPERS.md");
    let cell = format!("`{room}`");
    text.lines().find(|line| line.split('|').nth(2).is_some_and(|c| c.trim() == cell))
}

#[test]
fn the_table_in_the_developers_page_is_this_one() {
    for (room, _, crates) in FLOORS {
        let row = told(room).unwrap_or_else(|| panic!("{room} is not in the table"));
        let cell = row.split('|').nth(4).unwrap_or_default().trim();
        assert_eq!(cell, crates.join(", "), "foreign crates of {room}");
        let rule = format!("- `{room}`. Invariant: ");
        let page = include_str!("../../DEVELOPERS.md");
        assert!(page.contains(&rule), "no invariant of {room} is told");
    }
}

#[test]
fn every_dependency_has_its_reason() {
    let page = include_str!("../../DEVELOPERS.md");
    let reasons = page.split("## Dependencies").nth(1).unwrap_or_default();
    let manifest = include_str!("../../Cargo.toml");
    let mut count = 0;
    for head in ["[dependencies]", "[dev-dependencies]"] {
        let part = manifest.split(head).nth(1).unwrap_or_default();
        for line in part.lines().skip(1).take_while(|line| !line.starts_with('[')) {
            let Some((name, _)) = line.split_once(" = ") else { continue };
            assert!(reasons.contains(name), "{name} has no reason in DEVELOPERS.md");
            count += 1;
        }
    }
    assert!(count > 20, "only {count} dependencies found");
}
