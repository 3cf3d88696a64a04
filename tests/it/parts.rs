//! A list made in parts and joined, and what is told while it is made.

use crate::cli::{code, json, stderr, stdout, treen};
use crate::kills::{COIN, everything};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use treen::batch::EVENTS_SCHEMA;

/// Two recipes, one order that cannot be drawn, one row that cannot be read.
const LIST: &str = "\
id,name,recipe,size
p-1,Ada,coin,
p-2,Bo,disc,100
p-3,Cleo,coin,9000
p-4,Di,coin,
p-5,Eve,disc,
..,Flo,coin,
p-7,Gil,coin,130
";

struct Shop(tempfile::TempDir);

impl Shop {
    fn open() -> Self {
        let shop = Self(tempfile::tempdir().expect("a folder"));
        shop.put("coin.yaml", COIN);
        shop.put("disc.yaml", &COIN.replace("Coin", "Disc").replace("- 12", "- 14"));
        shop.put("list.csv", LIST);
        shop
    }

    fn put(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).expect("written");
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// A run that ends as this list does: some of its inputs are wrong.
    fn proof(&self, more: &[&str]) {
        let ran =
            treen(self.0.path(), &[&["proof", "list.csv", "--dpi", "20"], more].concat());
        assert!([0, 2].contains(&code(&ran)), "{}", stderr(&ran));
    }

    fn parts(&self, out: &str, of: usize) {
        for part in 1..=of {
            self.proof(&["--out", out, "--part", &format!("{part}/{of}")]);
        }
    }

    /// What a merge that is refused says; nothing may be written then.
    fn refused(&self, args: &[&str]) -> String {
        let ran =
            treen(self.0.path(), &[&["merge"], args, &["--out", "nowhere"]].concat());
        assert_eq!(code(&ran), 2, "{}", stderr(&ran));
        assert!(!self.path("nowhere").exists(), "nothing is written");
        stderr(&ran)
    }
}

/// The files of a folder, those below it left out.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("a folder").map(|it| it.expect("readable"));
    let entries = entries.filter(|entry| entry.path().is_file());
    entries
        .map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            (name, fs::read(entry.path()).expect("readable"))
        })
        .collect()
}

#[test]
fn parts_joined_are_what_one_run_makes() {
    let shop = Shop::open();
    shop.proof(&["--out", "whole"]);
    let whole = everything(&shop.path("whole"));
    assert!(whole.len() > 30, "sheets of five orders: {:?}", whole.keys());
    for of in [1, 2, 3, 9] {
        let out = format!("out-{of}");
        shop.parts(&out, of);
        let merged = treen(shop.0.path(), &["merge", "--out", &out]);
        assert_eq!(code(&merged), 2, "an order cannot be drawn: {}", stderr(&merged));
        assert!(stdout(&merged).starts_with(&format!("{of} parts, 6 orders (")));
        assert!(files(&shop.path(&out)) == whole, "{of} parts");
    }
    // From several folders into another; the order in which they are named does not count.
    fs::rename(shop.path("out-3/part-2-of-3"), shop.path("far")).expect("moved");
    let args = ["merge", "far", "out-3", "--out", "other", "--json"];
    let merged = treen(shop.0.path(), &args);
    assert_eq!(code(&merged), 2, "{}", stderr(&merged));
    assert_eq!(json(&merged)["parts"], 3);
    assert_eq!(json(&merged)["orders"]["error"], 1);
    assert!(files(&shop.path("other")) == whole, "from two folders");
    // A second merge, and a run of the whole list, find everything there.
    let times = |folder: &str| -> Vec<_> {
        let names = whole.keys().map(|name| shop.path(folder).join(name));
        let time = |path: PathBuf| fs::metadata(path).and_then(|it| it.modified());
        names.map(|path| time(path).expect("there")).collect()
    };
    let before = times("other");
    treen(shop.0.path(), &args);
    shop.proof(&["--out", "other"]);
    assert_eq!(times("other"), before, "no file is touched");
}

#[test]
fn what_does_not_belong_together_is_not_joined() {
    let shop = Shop::open();
    shop.parts("out", 3);
    let whole = shop.refused(&["list.csv"]);
    assert!(whole.contains("there is no part of a batch here"), "{whole}");
    fs::rename(shop.path("out/part-2-of-3"), shop.path("far")).expect("moved");
    let gap = shop.refused(&["out"]);
    assert!(gap.contains("stop[part-unfit]: part 2/3 is missing"), "{gap}");
    assert!(gap.contains("run `treen proof` with `--part 2/3`"), "{gap}");
    shop.proof(&["--out", "again", "--part", "3/3"]);
    let twice = shop.refused(&["out", "far", "again"]);
    assert!(twice.contains("part 3/3 is there twice"), "{twice}");
    shop.proof(&["--out", "more", "--part", "2/4"]);
    let mixed = shop.refused(&["out", "far", "more"]);
    assert!(mixed.contains("this is part 2/4 of another list"), "{mixed}");
    // A sheet that somebody changed, one that is gone, a part that was cut off.
    let sheet = shop.path("far/p-2-proof.svg");
    let bytes = fs::read(&sheet).expect("there");
    fs::write(&sheet, "scribbled").expect("written");
    let said = shop.refused(&["out", "far"]);
    assert!(said.contains("`p-2-proof.svg` is not as the manifest says"), "{said}");
    fs::write(&sheet, bytes).expect("written");
    let manifest = fs::read_to_string(shop.path("far/manifest.json")).expect("there");
    let cut = manifest.replace("\"complete\": true", "\"complete\": false");
    fs::write(shop.path("far/manifest.json"), cut).expect("written");
    let said = shop.refused(&["out", "far"]);
    assert!(said.contains("part 2/3 did not come to its end"), "{said}");
    // The list was changed between two parts: told, until the others are made again.
    shop.put("list.csv", &LIST.replace("Gil", "Gila"));
    shop.proof(&["--out", "out", "--part", "2/3"]);
    let said = shop.refused(&["out"]);
    assert!(said.contains("was made from something else than part 1/3"), "{said}");
    shop.parts("out", 3);
    let merged = treen(shop.0.path(), &["merge", "out"]);
    assert_eq!(code(&merged), 2, "{}", stderr(&merged));
    shop.proof(&["--out", "whole"]);
    assert!(files(&shop.path("out")) == everything(&shop.path("whole")), "as one run");
    let into = treen(shop.0.path(), &["merge", "out", "--out", "out/part-1-of-3"]);
    assert!(stderr(&into).contains("this folder holds a part"), "{}", stderr(&into));
}

#[test]
fn a_part_is_one_of_so_many() {
    let shop = Shop::open();
    for part in ["0/3", "4/3", "3", "a/b", "1/0", "1/99999", "-1/3", ""] {
        let ran = treen(shop.0.path(), &["proof", "list.csv", "--part", part]);
        assert_eq!(code(&ran), 2, "{part}: {}", stderr(&ran));
    }
    assert!(!shop.path("out").exists(), "nothing was begun");
}

fn lines(text: &str) -> Vec<Value> {
    text.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect()
}

#[test]
fn every_line_of_events_is_as_its_schema_says() {
    let shop = Shop::open();
    let schema = serde_json::from_str(EVENTS_SCHEMA).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let run = |more: &[&str]| {
        let args = ["proof", "list.csv", "--dpi", "20", "--json", "--log", "log.jsonl"];
        let ran = treen(shop.0.path(), &[&args[..], more].concat());
        assert_eq!(stderr(&ran), "", "all is in the lines");
        let said = lines(&stdout(&ran));
        for line in &said {
            let wrong = validator.iter_errors(line).map(|error| error.to_string());
            let wrong: Vec<String> = wrong.collect();
            assert!(wrong.is_empty(), "{line}: {wrong:?}");
        }
        (code(&ran), said)
    };
    let (ended, first) = run(&[]);
    assert_eq!(ended, 2, "a row cannot be read");
    let (start, last) = (&first[0], &first[first.len() - 1]);
    assert_eq!(start["orders"], 6);
    assert_eq!(start["findings"][0]["code"], "bad-id", "what the list says: {start}");
    assert_eq!(
        last["orders"],
        serde_json::json!({"ok": 5, "warn": 0, "stop": 0, "error": 1})
    );
    let failed: Vec<&Value> = first.iter().filter(|it| it["status"] == "error").collect();
    assert_eq!(failed.len(), 1, "{failed:?}");
    assert_eq!(failed[0]["findings"][0]["code"], "out-of-range", "{failed:?}");
    // The files told are those of the manifest, the stages of an order fit into its time.
    let text = fs::read_to_string(shop.path("out/manifest.json")).expect("there");
    let manifest: Value = serde_json::from_str(&text).expect("JSON");
    for row in manifest["orders"].as_array().expect("a list") {
        let of = |event: &str| {
            first.iter().find(|it| it["order"] == row["id"] && it["event"] == event)
        };
        let (begun, ended) = (of("begun").expect("begun"), of("ended").expect("ended"));
        let files = row["files"].as_array().expect("a list").iter();
        let paths: Vec<&Value> = files.map(|file| &file["path"]).collect();
        assert_eq!(ended["files"].as_array().expect("a list").len(), paths.len());
        assert!(
            paths.iter().all(|path| ended["files"]
                .as_array()
                .is_some_and(|all| all.contains(path)))
        );
        let stages = ended["stages_s"].as_object().expect("stages");
        assert_eq!(stages.len(), if paths.is_empty() { 1 } else { 7 }, "{ended}");
        let sum: f64 = stages.values().filter_map(Value::as_f64).sum();
        let at = |it: &Value| it["at_s"].as_f64().expect("a time");
        // Each number is rounded to 0.001.
        assert!((sum - (at(ended) - at(begun))).abs() < 0.02, "{sum}: {begun} {ended}");
    }
    let (_, again) = run(&["--part", "1/2", "--fresh"]);
    assert_eq!(again[0]["part"], serde_json::json!({"number": 1, "of": 2}));
    assert_eq!((&again[0]["orders"], &again[0]["swap_cards"]), (&3.into(), &1.into()));
    let log = fs::read_to_string(shop.path("log.jsonl")).expect("a log");
    assert_eq!(lines(&log), [first, again].concat(), "the log has the same lines");
    // What cannot be begun is told in one line too.
    let refused = treen(shop.0.path(), &["proof", "coin.yaml", "--json"]);
    assert_eq!(code(&refused), 2);
    let said = lines(&stdout(&refused));
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(validator.is_valid(&said[0]) && said[0]["event"] == "refused", "{said:?}");
    assert!(
        !validator.is_valid(&serde_json::json!({"event": "ended"})),
        "it refuses too"
    );
}
