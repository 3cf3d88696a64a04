//! What customers said of their proofs: written down, kept, and held against what is made now.

use crate::cli::{code, json, stderr, stdout, treen};
use crate::kills::COIN;
use serde_json::{Value, json};
use std::fs;
use std::path::PathBuf;
use std::process::Output;
use treen::finding::report;
use treen::intake::{APPROVALS_SCHEMA, approvals};
use treen::model::Said;

const LIST: &str = "id,name,recipe\na-1,Ada,coin\na-2,Bo,coin\n";

struct Shop(tempfile::TempDir);

impl Shop {
    fn open() -> Self {
        let shop = Self(tempfile::tempdir().expect("a folder"));
        fs::create_dir(shop.path("gifts")).expect("a folder");
        shop.put("gifts/coin.yaml", COIN);
        shop.put("gifts/list.csv", LIST);
        shop
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn put(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).expect("written");
    }

    fn run(&self, args: &[&str]) -> Output {
        treen(self.0.path(), args)
    }

    fn proof(&self) -> (i32, String) {
        let ran = self.run(&["proof", "gifts/list.csv", "--dpi", "20"]);
        (code(&ran), stderr(&ran))
    }

    fn approve(&self, more: &[&str]) -> Output {
        let args = ["approve", "--orders", "gifts/list.csv", "--date", "27 November"];
        self.run(&[&args[..], more].concat())
    }

    /// The row of an order in the manifest.
    fn row(&self, order: usize) -> Value {
        let text = fs::read_to_string(self.path("out/manifest.json")).expect("there");
        let manifest: Value = serde_json::from_str(&text).expect("JSON");
        manifest["orders"][order].clone()
    }

    fn mark(&self, order: usize) -> String {
        self.row(order)["proof_version"].as_str().expect("a mark").to_owned()
    }

    fn codes(&self, order: usize) -> Vec<String> {
        let row = self.row(order);
        let findings = row["findings"].as_array().expect("a list").iter();
        findings.map(|it| it["code"].as_str().expect("a code").to_owned()).collect()
    }

    fn written(&self) -> String {
        fs::read_to_string(self.path("gifts/approvals.yaml")).expect("there")
    }
}

#[test]
fn a_dish_changed_after_its_approval_is_told_until_approved_again() {
    let shop = Shop::open();
    assert_eq!(shop.proof(), (0, String::new()));
    assert!(shop.row(0)["approval"].is_null(), "nobody said anything");
    let first = shop.mark(0);
    let said = shop.approve(&["a-1"]);
    assert_eq!(code(&said), 0, "{}", stderr(&said));
    let told = format!(
        "a-1: proof {first} approved, 27 November; recorded in gifts/approvals.yaml\n"
    );
    assert_eq!(stdout(&said), told);
    assert_eq!(shop.proof(), (0, String::new()), "as approved");
    assert_eq!(shop.row(0)["approval"]["proof"], first.as_str(), "in the manifest");
    assert_eq!(shop.row(0)["status"], "ok");
    let quiet = fs::read(shop.path("out/a-1-proof.svg")).expect("there");
    // Another name, another dish.
    shop.put("gifts/list.csv", &LIST.replace("Ada", "Ida"));
    let (ended, said) = shop.proof();
    let now = shop.mark(0);
    let want = format!(
        "warn[changed-since-approval]: the dish changed since its proof was approved on 27 November: that was {first}, this is {now}"
    );
    assert_eq!(ended, 0, "it can be made: {said}");
    assert!(said.contains(&want) && now != first, "{said}");
    assert_eq!(shop.row(0)["status"], "warn");
    assert_eq!(shop.codes(1), [""; 0], "the other order is not concerned");
    let sheet = fs::read_to_string(shop.path("out/a-1-proof.svg")).expect("there");
    assert!(sheet.contains("changed since"), "the customer is told");
    let check = shop.run(&["check", "gifts/list.csv"]);
    assert!(stderr(&check).contains(&want), "{}", stderr(&check));
    assert!(stderr(&check).contains("--> gifts/list.csv:2\n"), "{}", stderr(&check));
    assert!(stderr(&check).contains("`treen approve a-1`"), "{}", stderr(&check));
    // Back as it was, then changed and approved again.
    shop.put("gifts/list.csv", LIST);
    assert_eq!(shop.proof(), (0, String::new()));
    assert!(
        fs::read(shop.path("out/a-1-proof.svg")).expect("there") == quiet,
        "as before"
    );
    shop.put("gifts/list.csv", &LIST.replace("Ada", "Ida"));
    shop.proof();
    let args = ["a-1", "--proof", first.as_str()];
    let old = shop.approve(&args);
    assert!(stderr(&old).contains(&format!("the latest proof is another, {now}")));
    assert!(shop.proof().1.contains(&want), "the old proof was meant");
    shop.approve(&["a-1"]);
    assert_eq!(shop.proof(), (0, String::new()), "approved again");
    assert_eq!(shop.written().matches("- order").count(), 3, "nothing is taken away");
}

#[test]
fn a_change_asked_for_is_told_until_something_changed() {
    let shop = Shop::open();
    shop.proof();
    let mark = shop.mark(1);
    let asked = shop.approve(&["a-2", "--change", "--note", "wider: \"a bit\" # please"]);
    assert_eq!(code(&asked), 0, "{}", stderr(&asked));
    let want = format!(
        "a change of proof {mark} was asked for on 27 November: wider: \"a bit\" # please"
    );
    let (_, said) = shop.proof();
    assert!(said.contains(&want), "{said}");
    assert_eq!(shop.codes(1), ["change-asked"]);
    shop.put("gifts/list.csv", &LIST.replace("Bo", "Bob"));
    assert_eq!(shop.proof(), (0, String::new()), "it was changed");
    // Written by hand in between, and left as it stands.
    let by_hand = format!("{}\n# by telephone\n", shop.written());
    shop.put("gifts/approvals.yaml", &by_hand);
    let both = shop.approve(&["a-1", "a-2", "--json"]);
    assert_eq!(json(&both)["recorded"].as_array().map(Vec::len), Some(2));
    assert!(shop.written().starts_with(&by_hand), "{}", shop.written());
    let read = approvals("approvals.yaml", &shop.written());
    assert_eq!(report(&read.findings), "");
    let read = read.value.expect("a list");
    let last = read.of("a-2").expect("said");
    assert_eq!((last.said, last.date.as_str()), (Said::Approved, "27 November"));
    assert_eq!(read.entries[0].note.as_deref(), Some("wider: \"a bit\" # please"));
    // Today, where no day is named.
    shop.run(&["approve", "a-1", "--orders", "gifts/list.csv"]);
    let read = approvals("approvals.yaml", &shop.written()).value.expect("a list");
    let date = &read.of("a-1").expect("said").date;
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    assert!(date.len() == 10 && date.split('-').all(digits), "{date}");
}

#[test]
fn nothing_is_recorded_that_makes_no_sense() {
    let shop = Shop::open();
    let none = shop.approve(&["a-1"]);
    assert_eq!(code(&none), 2, "{}", stderr(&none));
    assert!(stderr(&none).contains("out/manifest.json"), "{}", stderr(&none));
    shop.put("gifts/list.csv", &format!("{LIST}a-3,Di,wide\n"));
    // Nothing on the built-in rack cuts a slot of 0.4 mm in an outline.
    let slot = COIN.replace(
        "radius: size / 2}}]",
        "radius: size / 2}}, {cut: {rectangle: {center: [0, 58], size: [0.4, 8]}}}]",
    );
    shop.put("gifts/wide.yaml", &slot);
    assert_eq!(shop.proof().0, 1, "one cannot be made");
    let refused = |args: &[&str], want: &str| {
        let ran = shop.approve(args);
        assert_eq!(code(&ran), 2, "{args:?}: {}", stderr(&ran));
        assert!(stderr(&ran).contains(want), "{args:?}: {}", stderr(&ran));
        assert!(
            !shop.path("gifts/approvals.yaml").exists(),
            "{args:?}: nothing recorded"
        );
    };
    refused(&["a-1", "a-11"], "stop[unknown-order]: no proof of an order `a-11` is here");
    refused(&["a-11"], "did you mean `a-1`?");
    refused(&["a-3"], "stop[nothing-to-approve]");
    refused(&["a-1", "--proof", "latest"], "`latest` is no mark of a proof");
    refused(&["a-1", "--note", "a\u{7}b"], "the note has a control character in it");
    refused(&["a-1", "--note", &"9".repeat(301)], "the note is too long");
    let wish = shop.approve(&["a-3", "--change", "--note", "without the slot"]);
    assert_eq!(code(&wish), 0, "a wish is no approval: {}", stderr(&wish));
}

/// What is approved is not guessed at: a file that cannot be read ends the run.
#[test]
fn approvals_that_cannot_be_read_are_told_with_their_place() {
    let shop = Shop::open();
    shop.put(
        "gifts/approvals.yaml",
        "approvals:\n  - {order: a-1, proof: 3fa9-c02e, said: aproved, date: 2026-11-27}\n  - {order: ../b, proof: 3FA9, said: change, date: 1 May, by: post}\n",
    );
    let want = "\
stop[unknown-word]: `aproved` is not a word `said` takes
 --> gifts/approvals.yaml:2:42
  |
2 |   - {order: a-1, proof: 3fa9-c02e, said: aproved, date: 2026-11-27}
  |                                          ^^^^^^^ here
  = expected: one of `approved`, `change`
help: did you mean `approved`?
";
    for command in ["proof", "check"] {
        let ran = shop.run(&[command, "gifts/list.csv"]);
        assert_eq!(code(&ran), 2, "{command}: {}", stderr(&ran));
        assert!(stderr(&ran).starts_with(want), "{command}: {}", stderr(&ran));
        for more in [
            "gifts/approvals.yaml:3:13",
            "has a `/` or `\\` in it",
            "`3FA9` is no mark of a proof",
            "gifts/approvals.yaml:3:26",
            "unknown key `by`",
        ] {
            assert!(stderr(&ran).contains(more), "{more}: {}", stderr(&ran));
        }
    }
    assert!(!shop.path("out").exists(), "nothing is made");
}

#[test]
fn the_file_is_as_its_schema_says() {
    let shop = Shop::open();
    shop.proof();
    shop.approve(&["a-1", "--note", "yes"]);
    let schema = serde_json::from_str(APPROVALS_SCHEMA).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let value: Value = serde_yaml::from_str(&shop.written()).expect("YAML");
    assert!(validator.is_valid(&value), "{value}");
    let wrong = json!({"approvals": [{"order": "a-1", "proof": "latest", "said": "approved", "date": "x"}]});
    assert!(!validator.is_valid(&wrong), "it refuses too");
}
