//! The README and the guide to drawing, carried out: its files are written, its commands run, its outputs compared.
//!
//! A block's head is its language and, where it is a file, the path; `line` after the path
//! replaces the one line of that file that starts with the same key. A line `…` in an output
//! stands for any number of lines.

use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use treen::finding::{Finding, report};
use treen::intake::{FileKind, kind_of, orders_yaml, recipe, schema, shop};

const README: &str = include_str!("../../README.md");
const DEVELOPERS: &str = include_str!("../../DEVELOPERS.md");

struct Block {
    head: Vec<&'static str>,
    text: String,
}

/// Fenced blocks, first to last.
fn blocks(page: &'static str) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut open: Option<Block> = None;
    for line in page.lines() {
        match (line.strip_prefix("```"), open.take()) {
            (Some(head), None) => {
                let head = head.split_whitespace().collect();
                open = Some(Block { head, text: String::new() });
            }
            (Some(_), Some(block)) => blocks.push(block),
            (None, Some(mut block)) => {
                block.text.push_str(line);
                block.text.push('\n');
                open = Some(block);
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a block is not closed");
    blocks
}

/// The words of a command; quotes keep blanks together.
fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (index, part) in command.split('"').enumerate() {
        if index % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

/// Both outputs of the binary in the order in which they came.
fn ran(folder: &Path, args: &[String]) -> String {
    let (mut reader, writer) = std::io::pipe().expect("a pipe");
    let mut child = Command::new(env!("CARGO_BIN_EXE_treen"))
        .current_dir(folder)
        .args(args)
        .stdin(Stdio::null())
        .stdout(writer.try_clone().expect("a second writer"))
        .stderr(writer)
        .spawn()
        .expect("the binary runs");
    let mut said = String::new();
    reader.read_to_string(&mut said).expect("UTF-8");
    let code = child.wait().expect("it ends").code();
    assert!(matches!(code, Some(0 | 1)), "{args:?} ends with {code:?}:\n{said}");
    said
}

/// Whether an output is as shown; `…` stands for any number of lines.
fn as_shown(shown: &str, said: &str) -> bool {
    let mut parts = shown.split("…\n");
    let first = parts.next().unwrap_or_default();
    let Some(mut rest) = said.strip_prefix(first) else { return false };
    let mut last = None;
    for part in parts {
        if let Some(part) = last.replace(part) {
            let Some((_, after)) = rest.split_once(part) else { return false };
            rest = after;
        }
    }
    last.map_or(rest.is_empty(), |last| rest.ends_with(last))
}

/// A folder that commands run in, changed by `cd`.
struct Desk {
    folder: PathBuf,
    cargo: Vec<String>,
    run: usize,
}

impl Desk {
    fn carry_out(&mut self, command: &str, shown: &str) {
        let words = words(command);
        let (program, args) = words.split_first().expect("a command");
        match program.as_str() {
            "cd" => self.folder.push(args.concat()),
            "cargo" => {
                self.cargo.push(args.join(" "));
                if let Some(at) = args.iter().position(|arg| arg == "--") {
                    self.compare(command, &args[at + 1..], shown);
                }
            }
            "treen" => self.compare(command, args, shown),
            _ => panic!("`{command}` cannot be tested"),
        }
    }

    fn compare(&mut self, command: &str, args: &[String], shown: &str) {
        let said = ran(&self.folder, args);
        assert!(
            as_shown(shown, &said),
            "`{command}` is shown as\n{shown}but says\n{said}"
        );
        self.run += 1;
    }

    /// Commands start with `$ `, what follows is what they print.
    fn console(&mut self, text: &str) {
        for part in format!("\n{text}").split("\n$ ").skip(1) {
            let (command, shown) = part.split_once('\n').unwrap_or((part, ""));
            let shown = match shown {
                "" => String::new(),
                shown => format!("{}\n", shown.trim_end_matches('\n')),
            };
            self.carry_out(command, &shown);
        }
    }

    fn file(&self, head: &[&str], text: &str) {
        let Some(path) = head.get(1).map(|path| self.folder.join(path)) else { return };
        if head.get(2) != Some(&"line") {
            fs::write(path, text).expect("written");
            return;
        }
        let key = text.split_once(':').expect("a key").0;
        let old = fs::read_to_string(&path).expect("there");
        let new: Vec<&str> = old
            .lines()
            .map(|line| if line.starts_with(key) { text.trim_end() } else { line })
            .collect();
        assert_eq!(
            old.matches(key).count(),
            1,
            "`{key}` stands once in {}",
            path.display()
        );
        fs::write(path, new.join("\n") + "\n").expect("written");
    }
}

/// Every block of a page, in a folder of its own.
fn carried_out(page: &'static str) -> Desk {
    let dir = tempfile::tempdir().expect("a folder");
    let mut desk = Desk { folder: dir.path().to_owned(), cargo: Vec::new(), run: 0 };
    for block in blocks(page) {
        match block.head.first().copied() {
            Some("console") => desk.console(&block.text),
            Some("yaml" | "csv") => desk.file(&block.head, &block.text),
            other => panic!("a block of {other:?} is not tested"),
        }
    }
    desk
}

/// The guide's ten steps, its dish one that the library does not have.
#[test]
fn the_guide_to_drawing_leads_to_a_proof() {
    let (_, guide) =
        DEVELOPERS.split_once("## Draw your own dish in ten steps\n").expect("the guide");
    let (guide, _) = guide.split_once("\n## Tests\n").expect("its end");
    let desk = carried_out(guide);
    assert_eq!(desk.run, 5, "commands");
    for step in 1..=10 {
        assert!(guide.contains(&format!("\n**{step}. ")), "step {step}");
    }
    let drawn: Vec<Block> = blocks(guide)
        .into_iter()
        .filter(|b| b.head.get(1) == Some(&"duck.yaml"))
        .collect();
    for block in &drawn {
        let read = recipe("duck.yaml", &block.text, "duck", None);
        assert!(read.findings.is_empty(), "{}", report(&read.findings));
    }
    let lines = drawn.last().map_or(0, |block| block.text.lines().count());
    assert!((10..=90).contains(&lines), "{lines} lines");
    assert!(
        treen::intake::demo::RECIPES.iter().all(|(key, _)| *key != "duck"),
        "not built in"
    );
}

#[test]
fn every_command_and_every_file_of_the_readme_works() {
    let desk = carried_out(README);
    assert_eq!(desk.cargo, ["run --release -- proof", "test"], "two commands");
    assert!(desk.run >= 10, "only {} commands ran", desk.run);
}

#[test]
fn every_whole_yaml_block_is_read_without_a_finding() {
    let mut read = 0;
    for block in blocks(README) {
        if block.head.first() != Some(&"yaml") || block.head.get(2).is_some() {
            continue;
        }
        let text = &block.text;
        let found: Vec<Finding> = match kind_of(text) {
            FileKind::Recipe => recipe("README", text, "readme", None).findings,
            FileKind::Shop => shop("README", text).findings,
            FileKind::Orders => orders_yaml("README", text).findings,
        };
        assert!(found.is_empty(), "{}", report(&found));
        read += 1;
    }
    assert_eq!(read, 5, "two recipes, two shops, an order list");
}

/// The recipe shown for reference alone is drawn and can be made.
#[test]
fn the_reference_blocks_can_be_made() {
    let dir = tempfile::tempdir().expect("a folder");
    for (index, block) in blocks(README).iter().enumerate() {
        if block.head != ["yaml"] {
            continue;
        }
        let name = format!("block-{index}.yaml");
        fs::write(dir.path().join(&name), &block.text).expect("written");
        let said = ran(dir.path(), &["check".to_owned(), name]);
        assert!(!said.contains("stop["), "{said}");
        assert!(!said.contains("in the way, "), "{said}");
    }
}

/// Names of properties anywhere in a schema.
fn properties(value: &serde_json::Value, found: &mut Vec<String>) {
    if let Some(map) = value.get("properties").and_then(serde_json::Value::as_object) {
        found.extend(map.keys().cloned());
    }
    for inner in value.as_object().into_iter().flat_map(|map| map.values()) {
        properties(inner, found);
    }
    for inner in value.as_array().into_iter().flatten() {
        properties(inner, found);
    }
}

#[test]
fn every_key_people_write_is_in_the_readme() {
    for kind in FileKind::ALL {
        let schema = serde_json::from_str(schema(kind)).expect("JSON");
        let mut keys = Vec::new();
        properties(&schema, &mut keys);
        assert!(keys.len() >= 8, "{}: only {keys:?}", kind.word());
        for key in keys {
            let told = [format!("`{key}`"), format!("`{key}:"), format!("{{{key},")]
                .iter()
                .any(|form| README.contains(form.as_str()))
                || README.contains(&format!(", {key}}}"));
            assert!(told, "`{key}` of {} is not in the README", kind.word());
        }
    }
}

/// Every word in quotation marks that the JSON section shows is a key of the real answers.
#[test]
fn json_forms_are_as_the_readme_says() {
    let dir = tempfile::tempdir().expect("a folder");
    let run = |line: &str| ran(dir.path(), &words(line));
    let check = run("check snail --json --cutter nowhere");
    let swap = run("swap tugboat --json --set length=200");
    let mend = run("mend tugboat --json --cutter bowl-25");
    let shop = run("shop --json");
    let proof = run("proof --json --dpi 20 --part 1/1");
    let manifest = dir.path().join("out/part-1-of-1/manifest.json");
    let manifest = fs::read_to_string(manifest).expect("a manifest");
    let merge = run("merge --json");
    let approve = run("approve ps-01-zoe --json");
    let orders = run("orders --json");
    let book = run("book --json --only proof");
    let shapes = run("shapes --json");
    let section =
        README.split("## JSON forms").nth(1).and_then(|s| s.split("## ").next());
    let quoted = section.expect("a section").split('"').skip(1).step_by(2);
    let all =
        [check, swap, mend, shop, proof, manifest, merge, approve, orders, book, shapes]
            .concat();
    let mut count = 0;
    for key in quoted {
        assert!(all.contains(&format!("\"{key}\":")), "no answer has `{key}`");
        count += 1;
    }
    assert!(count > 30, "only {count} keys");
}

#[test]
fn shown_outputs_are_compared_as_said() {
    assert!(as_shown("a\nb\n", "a\nb\n"), "the same");
    assert!(!as_shown("a\n", "a\nb\n"), "more was said");
    assert!(!as_shown("", "a\n"), "nothing is shown");
    assert!(as_shown("a\n…\nc\n", "a\nb\nb\nc\n"), "shortened");
    assert!(as_shown("a\n…\n", "a\nb\n"), "shortened at the end");
    assert!(!as_shown("a\n…\nd\n", "a\nb\nc\n"), "another end");
    assert!(!as_shown("a\n…\nx\n…\nc\n", "a\nb\nc\n"), "a middle that was not said");
}
