//! Whatever names, ids and remarks say, in what is written they are words and nothing else, and
//! nothing is written but into the folder named. No spreadsheets are written, so there is none in
//! which `=…` would be carried out.

use crate::cli::{stderr, stdout};
use crate::kills::{COIN, everything};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use usvg::roxmltree::Document;

/// Text that means something to a shell, a browser, a spreadsheet, a terminal or a parser.
const TEXTS: [&str; 8] = [
    "=cmd|' /C calc'!A0",
    "<script>alert(1)</script>",
    "]]> & &amp; &#60;b&#62; <!ENTITY x 'y'>",
    "\"><svg onload=\"alert(1)\">",
    "${jndi:ldap://x} $(touch owned) `touch owned`",
    "\\x1b]0;owned\\x07 %s%n {{7*7}}",
    "javascript:alert(1) data:text/html,x",
    "/JavaScript (app.alert\\(1\\)) /S /Launch >> endobj",
];

/// Ids that are plain file names and look like something else.
const IDS: [&str; 8] =
    ["=1+1", "$(touch owned)", "a&b;c", "%s%n", "{{7}}", "a'b", "@SUM(A1)", "#+~"];

/// Ids that lead elsewhere, or are no file names.
const REFUSED: [&str; 9] = [
    "../owned",
    "/owned",
    "a/../../owned",
    "..\\owned",
    "C:owned",
    "<script>",
    "a\u{7}b",
    "-rf",
    "owned|x",
];

fn treen(home: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_treen"));
    for name in ["HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "TMPDIR"] {
        command.env(name, home.join("home"));
    }
    let work = home.join("work");
    command.args(args).current_dir(work).stdin(Stdio::null()).output().expect("it runs")
}

/// Every path below a folder.
fn below(folder: &Path) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("readable").path();
        all.insert(path.display().to_string());
        if path.is_dir() {
            all.append(&mut below(&path));
        }
    }
    all
}

fn desk() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    for name in ["home", "work"] {
        fs::create_dir(dir.path().join(name)).expect("a folder");
    }
    dir
}

#[test]
fn words_stay_words_in_everything_that_is_written() {
    let dir = desk();
    let quoted = |text: &str| Value::from(text).to_string();
    let title = COIN.replace("title: Coin", &format!("title: {}", quoted(TEXTS[1])));
    fs::write(dir.path().join("work/coin.yaml"), title).expect("written");
    let row = |(id, text): (&&str, &&str)| {
        let (id, text) = (quoted(id), quoted(text));
        format!(
            "  - {{id: {id}, name: {text}, note: {text}, date: {text}, recipe: coin}}\n"
        )
    };
    let rows: String = IDS.iter().zip(&TEXTS).map(row).collect();
    fs::write(dir.path().join("work/list.yaml"), format!("orders:\n{rows}"))
        .expect("written");
    let before = below(dir.path());
    let args = ["proof", "list.yaml", "--dpi", "20", "--json", "--log", "out.log"];
    let ran = treen(dir.path(), &args);
    let said = stdout(&ran);
    // Long names may not fit; all were drawn.
    assert!(ran.status.code().is_some_and(|code| code <= 1), "{said}{}", stderr(&ran));
    let new: BTreeSet<String> = below(dir.path()).difference(&before).cloned().collect();
    let (out, log) = (dir.path().join("work/out"), dir.path().join("work/out.log"));
    let elsewhere = new.iter().filter(|it| !Path::new(it).starts_with(&out));
    let elsewhere = elsewhere.filter(|it| Path::new(it) != log);
    // What may be lost: numbers, no word of an order.
    let lost = ["home/treen", "home/treen/seals"].map(|it| dir.path().join(it));
    let elsewhere = elsewhere.filter(|it| lost.iter().all(|lost| lost != Path::new(it)));
    let elsewhere: Vec<&String> = elsewhere.collect();
    assert!(elsewhere.is_empty(), "only into the folder and the log: {elsewhere:?}");
    assert!(new.iter().all(|it| !it.contains("owned") || it.contains("$(touch owned)-")));
    let files = everything(&out);
    for (name, bytes) in &files {
        match name.rsplit('.').next() {
            Some("svg") => drawing(name, bytes),
            Some("pdf") => pages(name, bytes),
            Some("html") => turned(name, bytes),
            _ => {}
        }
    }
    let manifest: Value = serde_json::from_slice(&files["manifest.json"]).expect("JSON");
    for (row, (id, text)) in
        manifest["orders"].as_array().expect("a list").iter().zip(IDS.iter().zip(TEXTS))
    {
        assert_eq!((&row["id"], &row["name"]), (&Value::from(*id), &Value::from(text)));
        assert!(row["files"].as_array().is_some_and(|files| files.len() >= 6), "{id}");
    }
    let told = fs::read_to_string(&log).expect("a log");
    assert_eq!(told, said, "the log says the same");
    for line in said.lines() {
        assert!(serde_json::from_str::<Value>(line).is_ok(), "one line each: {line}");
        assert!(!line.contains(char::is_control), "{line}");
    }
    // And on a terminal.
    let args = ["proof", "list.yaml", "--dpi", "20", "--fresh"];
    let again = treen(dir.path(), &args);
    let all = stdout(&again) + &stderr(&again);
    assert!(!all.contains(|c: char| c.is_control() && c != '\n'), "{all}");
    // What a customer says of it goes into a file that people open, too.
    let args = ["approve", IDS[0], "--change", "--note", TEXTS[2], "--date", TEXTS[0]];
    let recorded = treen(dir.path(), &args);
    assert!(recorded.status.success(), "{}", stderr(&recorded));
    let file = fs::read_to_string(dir.path().join("work/approvals.yaml")).expect("there");
    let value: Value = serde_yaml::from_str(&file).expect("YAML");
    assert_eq!(value["approvals"][0]["note"], TEXTS[2]);
    assert_eq!(value["approvals"][0]["date"], TEXTS[0]);
    let home: BTreeSet<String> = below(&dir.path().join("home"));
    assert!(home.iter().map(PathBuf::from).eq(lost), "home: {home:?}");
}

/// Well formed, nothing that runs, nothing from elsewhere.
fn drawing(name: &str, bytes: &[u8]) {
    let text = String::from_utf8(bytes.to_vec()).expect("UTF-8");
    let document =
        Document::parse(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
    for node in document.descendants().filter(usvg::roxmltree::Node::is_element) {
        let tag = node.tag_name().name().to_lowercase();
        let runs =
            ["script", "foreignobject", "iframe", "a", "set", "animate", "handler"];
        assert!(!runs.contains(&tag.as_str()), "{name}: <{tag}>");
        for attribute in node.attributes() {
            let (key, value) = (attribute.name().to_lowercase(), attribute.value());
            assert!(!key.starts_with("on"), "{name}: {key}");
            if key == "href" {
                let own = value.starts_with('#') || value.starts_with("data:image/");
                assert!(own, "{name}: {value}");
            }
        }
    }
    assert!(!text.contains("<!ENTITY") && !text.contains("<!DOCTYPE"), "{name}");
}

/// The page has a script of its own; no word of the order is one.
fn turned(name: &str, bytes: &[u8]) {
    let text = String::from_utf8(bytes.to_vec()).expect("UTF-8");
    for word in ["<script>alert", "<svg onload", "<!ENTITY"] {
        assert!(!text.contains(word), "{name}: {word}");
    }
}

/// Objects lie open in these files, so what they could do can be looked for.
fn pages(name: &str, bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    assert!(!text.contains("/ObjStm"), "{name}: objects lie open");
    for key in
        ["/OpenAction", "/AA ", "/AA<", "/URI", "/EmbeddedFile", "/AcroForm", "/GoToR"]
    {
        assert!(!text.contains(key), "{name}: {key}");
    }
    // Words of an order may say so, in the title; no object may.
    for key in ["/S /JavaScript", "/S/JavaScript", "/JS", "/S/Launch"] {
        assert!(!text.contains(key), "{name}: {key}");
    }
}

#[test]
fn ids_that_lead_elsewhere_are_refused() {
    let dir = desk();
    fs::write(dir.path().join("work/coin.yaml"), COIN).expect("written");
    for id in REFUSED {
        let quoted = Value::from(id).to_string();
        let list = format!("orders: [{{id: {quoted}, name: Bo, recipe: coin}}]\n");
        fs::write(dir.path().join("work/list.yaml"), list).expect("written");
        let before = below(dir.path());
        let ran = treen(dir.path(), &["proof", "list.yaml", "--dpi", "20"]);
        assert_eq!(ran.status.code(), Some(2), "{id}: {}", stderr(&ran));
        assert!(stderr(&ran).contains("stop[bad-id]"), "{id}: {}", stderr(&ran));
        assert!(below(dir.path()) == before, "{id}: nothing is written");
    }
    // A recipe is looked for by its key: a way to another folder is none.
    for key in ["../work/coin", "/etc/passwd", "..\\coin", "./coin"] {
        let list = format!("id,name,recipe\nx,Bo,{key}\n");
        fs::write(dir.path().join("work/list.csv"), list).expect("written");
        let ran = treen(dir.path(), &["check", "list.csv"]);
        assert_eq!(ran.status.code(), Some(2), "{key}: {}", stderr(&ran));
        assert!(stderr(&ran).contains("unknown-recipe"), "{key}: {}", stderr(&ran));
    }
}
