//! The command line: exact words on malformed inputs, files, exit codes, JSON forms.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use treen::batch::side_by_side;

pub(crate) fn treen(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_treen"))
        .current_dir(folder)
        .args(args)
        .stdin(Stdio::null())
        .output()
        .expect("the binary runs")
}

pub(crate) fn code(output: &Output) -> i32 {
    output.status.code().expect("not killed")
}

pub(crate) fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}

pub(crate) fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("UTF-8")
}

pub(crate) fn json(output: &Output) -> serde_json::Value {
    serde_json::from_str(&stdout(output)).expect("JSON")
}

/// A sound recipe of a disc with two ears; the notches between them are rounded to 2 mm.
const EARS: &str = "\
title: Ears
parameters: {size: {default: 160 mm, min: 80 mm, max: 300 mm}}
outline:
  - circle: {radius: size / 2}
  - add: {circle: {radius: size / 6, center: [-size * 0.35, size * 0.45]}}
  - add: {circle: {radius: size / 6, center: [size * 0.35, size * 0.45]}}
  - fillet: {inside: 9 mm}
rim: 9 mm
recess: {follow: outline, corners: 8 mm}
name: {along: [[-50, -10], [50, -10]], height: 22 mm}
";

const LIST: &str = "\
id,name,recipe,wood,size
a-1,Zo\u{eb},ears,maple,
a-2,Mar\u{ed}a Jos\u{e9},ears,walnut,200 mm
bad-1,Bo,nowhere,,
bad-2,Bo,ears,,9000
a-3,Bo,ears,,
";

pub(crate) fn workspace() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(dir.path().join("shapes")).expect("a folder");
    std::fs::write(dir.path().join("shapes/ears.yaml"), EARS).expect("written");
    std::fs::write(dir.path().join("orders.csv"), LIST).expect("written");
    dir
}

/// Every file of a folder with its bytes.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = std::fs::read_dir(folder).expect("a folder");
    entries
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.is_file())
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            (name, std::fs::read(&path).expect("readable"))
        })
        .collect()
}

#[test]
fn malformed_inputs_end_with_these_very_words() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/errors");
    let update = std::env::var_os("UPDATE_GOLDEN").is_some();
    let mut different = Vec::new();
    for input in crate::errors::inputs() {
        let name = input.file_name().and_then(|name| name.to_str()).expect("UTF-8");
        let shop = format!("shops/{name}");
        let mut args = vec!["check", name];
        if folder.join(&shop).exists() {
            args.extend(["--shop", &shop]);
        }
        let output = treen(&folder, &args);
        let said = stderr(&output);
        let golden = crate::errors::golden(&input);
        let alone = !name.starts_with("dish-") && !name.starts_with("list-");
        if update && !alone {
            std::fs::write(&golden, &said).expect("writable");
        }
        if std::fs::read_to_string(&golden).unwrap_or_default() != said {
            different.push(format!("{name}:\n{said}"));
        }
        let ended = code(&output);
        let right = match (alone, said.contains("stop[")) {
            (true, _) => ended == 2,
            (false, true) => ended == 1 || ended == 2,
            (false, false) => ended == 0 && !said.is_empty(),
        };
        assert!(right, "{name} ends with {ended}:\n{said}");
    }
    assert!(different.is_empty(), "not as stored:\n{}", different.join("\n"));
    assert!(!update, "the stored texts were written anew: look at them, then run again");
}

#[test]
fn same_bytes_whatever_the_threads_and_again() {
    let dir = workspace();
    let mut first: Option<BTreeMap<String, Vec<u8>>> = None;
    for (run, threads) in ["1", "2", "4", "4"].iter().enumerate() {
        let out = format!("out{run}");
        let args =
            ["proof", "orders.csv", "--out", &out, "--threads", threads, "--dpi", "40"];
        let output = treen(dir.path(), &args);
        assert_eq!(code(&output), 2, "{}", stderr(&output));
        let files = contents(&dir.path().join(&out));
        let first = first.get_or_insert_with(|| files.clone());
        assert!(*first == files, "{threads} threads give other bytes");
    }
    let files = first.expect("four runs");
    let names: Vec<&str> = files.keys().map(String::as_str).collect();
    let want = [
        "a-1-bench-2.png",
        "a-1-bench-2.svg",
        "a-1-bench.pdf",
        "a-1-bench.png",
        "a-1-bench.svg",
        "a-1-cutting.svg",
        "a-1-proof.html",
        "a-1-proof.pdf",
        "a-1-proof.png",
        "a-1-proof.svg",
        "a-2-bench-2.png",
        "a-2-bench-2.svg",
        "a-2-bench.pdf",
        "a-2-bench.png",
        "a-2-bench.svg",
        "a-2-cutting.svg",
        "a-2-proof.html",
        "a-2-proof.pdf",
        "a-2-proof.png",
        "a-2-proof.svg",
        "a-3-bench-2.png",
        "a-3-bench-2.svg",
        "a-3-bench.pdf",
        "a-3-bench.png",
        "a-3-bench.svg",
        "a-3-cutting.svg",
        "a-3-proof.html",
        "a-3-proof.pdf",
        "a-3-proof.png",
        "a-3-proof.svg",
        "manifest.json",
        "swap-ears.png",
        "swap-ears.svg",
    ];
    assert_eq!(names, want, "the good orders have their sheets");
}

/// What a run left, which has been told as it came.
pub(crate) fn manifest(output: &Output, out: &Path) -> serde_json::Value {
    let last = stdout(output).lines().last().map(str::to_owned).unwrap_or_default();
    assert!(last.contains("\"event\":\"finished\""), "{last}: {}", stderr(output));
    let text = std::fs::read_to_string(out.join("manifest.json")).expect("written");
    serde_json::from_str(&text).expect("JSON")
}

#[test]
fn the_manifest_tells_what_became_of_every_order() {
    let dir = workspace();
    let output = treen(dir.path(), &["proof", "orders.csv", "--dpi", "40", "--json"]);
    let manifest = manifest(&output, &dir.path().join("out"));
    let orders = manifest["orders"].as_array().expect("a list");
    // Every order here is for one dish.
    let made = orders.iter().filter(|order| {
        ["ok", "warn"].contains(&order["status"].as_str().unwrap_or_default())
    });
    let minutes: Vec<f64> =
        made.filter_map(|order| order["plan"]["minutes"].as_f64()).collect();
    let time = &manifest["machine_time"];
    assert_eq!(time["dishes"].as_u64(), u64::try_from(minutes.len()).ok(), "{time}");
    let total = time["minutes"].as_f64().expect("a number");
    let sum: f64 = minutes.iter().sum();
    assert!(sum > 1.0 && (total - sum).abs() < 0.01, "{total}, not {sum}");
    let ended: Vec<(&str, &str)> = orders
        .iter()
        .map(|o| (o["id"].as_str().expect("id"), o["status"].as_str().expect("status")))
        .collect();
    let ids: Vec<&str> = ended.iter().map(|(id, _)| *id).collect();
    assert_eq!(ids, ["a-1", "a-2", "bad-1", "bad-2", "a-3"], "in the order of the list");
    for (id, status) in &ended {
        assert_eq!(*status == "error", id.starts_with("bad"), "{id} is {status}");
    }
    let codes = |at: usize| orders[at]["findings"][0]["code"].as_str();
    assert_eq!(codes(2), Some("unknown-recipe"), "bad-1");
    assert_eq!(codes(3), Some("out-of-range"), "bad-2");
    assert_eq!(orders[3]["findings"][0]["source"]["line"], 5, "the place in the list");
    assert!(orders[0]["cutters"]["cut-out"].is_string(), "a cutter for the cut-out");
    for file in orders[0]["files"].as_array().expect("a list") {
        let path = dir.path().join("out").join(file["path"].as_str().expect("a path"));
        let bytes = std::fs::read(&path).expect("there");
        let hash = file["sha256"].as_str().expect("a hash");
        assert_eq!(hash, sha256(&bytes), "{}", path.display());
    }
}

fn sha256(bytes: &[u8]) -> String {
    use sha2::Digest;
    let hash = sha2::Sha256::digest(bytes);
    hash.iter().fold(String::new(), |text, byte| format!("{text}{byte:02x}"))
}

#[test]
fn nothing_is_left_half_written() {
    let dir = workspace();
    let out = dir.path().join("out");
    // A folder where a sheet should go: that order fails, the others do not.
    std::fs::create_dir_all(out.join("a-2-bench.svg")).expect("a folder");
    // A part left by a run that was cut off is no hindrance.
    std::fs::write(out.join(".a-1-proof.svg.part"), "cut off").expect("written");
    let output = treen(dir.path(), &["proof", "orders.csv", "--dpi", "40"]);
    assert_eq!(code(&output), 3, "something broke: {}", stderr(&output));
    assert!(stderr(&output).contains("unwritable-file"), "{}", stderr(&output));
    let names: Vec<String> = contents(&out).into_keys().collect();
    assert!(names.iter().all(|name| !name.contains(".part")), "{names:?}");
    assert!(names.contains(&"a-3-bench.png".to_owned()), "{names:?}");
    let file = dir.path().join("file");
    std::fs::write(&file, "in the way").expect("written");
    let output = treen(dir.path(), &["proof", "orders.csv", "--out", "file"]);
    assert_eq!(code(&output), 3, "no folder: {}", stderr(&output));
    assert_eq!(std::fs::read_to_string(&file).expect("there"), "in the way", "untouched");
}

#[test]
fn files_stay_in_the_output_folder() {
    let dir = workspace();
    let list = "id,name,recipe\n../up,Bo,ears\n";
    std::fs::write(dir.path().join("orders.csv"), list).expect("written");
    let before = contents(dir.path());
    let output = treen(dir.path(), &["proof", "orders.csv", "--dpi", "40"]);
    assert_eq!(code(&output), 2, "{}", stderr(&output));
    assert!(contents(dir.path()) == before, "something was written beside the folder");
    assert!(!dir.path().join("out").exists(), "nothing was begun");
}

#[test]
fn exit_codes_are_words() {
    let dir = workspace();
    let ears = dir.path().join("shapes/ears.yaml");
    let sound = treen(dir.path(), &["check", "shapes/ears.yaml"]);
    assert_eq!(code(&sound), 0, "all well: {}", stderr(&sound));
    // A notch of 2 mm against a cutter of 3.175 mm radius.
    let tight = EARS.replace("inside: 9 mm", "inside: 2 mm");
    std::fs::write(&ears, tight).expect("written");
    let stopped = treen(dir.path(), &["check", "shapes/ears.yaml", "--cutter", "end-6"]);
    assert_eq!(code(&stopped), 1, "some dish is stopped: {}", stderr(&stopped));
    assert!(stderr(&stopped).contains("outline-too-tight"), "{}", stderr(&stopped));
    assert_eq!(code(&treen(dir.path(), &["check", "nowhere.yaml"])), 2, "no such file");
    assert_eq!(code(&treen(dir.path(), &["check", "."])), 2, "a folder");
    assert_eq!(code(&treen(dir.path(), &["frobnicate"])), 2, "no such command");
}

#[test]
fn values_can_be_set_from_the_command_line() {
    let dir = workspace();
    let swap = |set: &str| {
        let args = ["swap", "shapes/ears.yaml", "--set", set, "--json"];
        json(&treen(dir.path(), &args))
    };
    let (small, large) = (swap("size=100 mm"), swap("size=10 in"));
    let width = |swap: &serde_json::Value| swap["width_mm"].as_f64().expect("a number");
    assert!((width(&small) - 103.333).abs() < 0.01, "{}", width(&small));
    assert!((width(&large) / width(&small) - 2.54).abs() < 1e-3, "{}", width(&large));
    let wrong = treen(dir.path(), &["swap", "shapes/ears.yaml", "--set", "size"]);
    assert_eq!(code(&wrong), 2, "no value");
    let wrong = treen(dir.path(), &["check", "shapes/ears.yaml", "--set", "sise=90"]);
    assert_eq!(code(&wrong), 2, "no such parameter: {}", stderr(&wrong));
    assert!(stderr(&wrong).contains("write `size` instead"), "{}", stderr(&wrong));
}

#[test]
fn json_forms_have_their_keys() {
    let dir = workspace();
    let check = json(&treen(dir.path(), &["check", "orders.csv", "--json"]));
    let bad = &check["dishes"][3]["findings"][0];
    for key in ["code", "severity", "message", "at", "source", "have", "need", "remedies"]
    {
        assert!(bad.get(key).is_some(), "a finding has no `{key}`: {bad}");
    }
    for key in ["file", "line", "column"] {
        assert!(bad["source"].get(key).is_some(), "a source has no `{key}`");
    }
    for key in ["kind", "text", "value"] {
        assert!(bad["remedies"][0].get(key).is_some(), "a remedy has no `{key}`: {bad}");
    }
    let swap = treen(dir.path(), &["swap", "shapes/ears.yaml", "--json", "--out", "o"]);
    assert!(dir.path().join("o/swap-ears.png").is_file(), "the card is written");
    let swap = json(&swap);
    for key in ["recipe", "width_mm", "outside_reach_mm", "inside_reach_mm", "cutters"] {
        assert!(swap.get(key).is_some(), "no `{key}`");
    }
    let row = &swap["cutters"][0];
    let keys =
        ["id", "kind", "diameter_mm", "job", "follows", "leftovers", "smallest_width_mm"];
    for key in keys {
        assert!(row.get(key).is_some(), "a cutter has no `{key}`");
    }
    let unread = json(&treen(dir.path(), &["check", "nowhere.csv", "--json"]));
    assert_eq!(unread["findings"][0]["code"], "unreadable-file", "said in JSON too");
}

#[test]
fn a_new_workspace_is_complete_and_nothing_is_overwritten() {
    let dir = tempfile::tempdir().expect("a folder");
    let made = treen(dir.path(), &["new", "gifts"]);
    assert_eq!(code(&made), 0, "{}", stderr(&made));
    let files = ["shop.yaml", "orders.yaml", "orders.csv", "shapes/schema/recipe.json"];
    for file in files {
        assert!(dir.path().join("gifts").join(file).is_file(), "{file}");
    }
    let orders = std::fs::read_to_string(dir.path().join("gifts/orders.yaml"));
    let first = orders.expect("there").lines().next().map(str::to_owned);
    let schema = first.as_deref().and_then(|line| line.split("$schema=").nth(1));
    assert!(dir.path().join("gifts").join(schema.expect("named")).is_file(), "{first:?}");
    let shop = dir.path().join("gifts/shop.yaml");
    std::fs::write(&shop, "mine").expect("written");
    let again = treen(dir.path(), &["new", "gifts"]);
    assert_eq!(code(&again), 2, "{}", stderr(&again));
    assert_eq!(std::fs::read_to_string(&shop).expect("there"), "mine", "kept");
}

#[test]
fn a_shop_beside_the_orders_is_used() {
    let dir = workspace();
    let shop = "cutters: [{id: only, kind: end mill, diameter: 3}]\n";
    std::fs::write(dir.path().join("shop.yaml"), shop).expect("written");
    let beside = json(&treen(dir.path(), &["check", "orders.csv", "--json"]));
    assert!(!beside["dishes"].as_array().expect("a list").is_empty(), "dishes");
    std::fs::write(dir.path().join("shop.yaml"), "cutters: {}").expect("written");
    let broken = treen(dir.path(), &["proof", "orders.csv"]);
    assert_eq!(code(&broken), 2, "{}", stderr(&broken));
    assert!(stderr(&broken).contains("shop.yaml:1:10"), "{}", stderr(&broken));
}

#[test]
fn the_demo_runs_without_a_word_beside_the_table() {
    let dir = tempfile::tempdir().expect("a folder");
    let ran = treen(dir.path(), &["proof", "--dpi", "30"]);
    assert_eq!(code(&ran), 0, "{}", stderr(&ran));
    assert_eq!(stderr(&ran), "", "no progress where no one watches");
    let files = contents(&dir.path().join("out"));
    let count = |end: &str| files.keys().filter(|name| name.ends_with(end)).count();
    for end in [
        "-proof.html",
        "-proof.svg",
        "-proof.png",
        "-proof.pdf",
        "-bench.svg",
        "-bench.png",
        "-bench.pdf",
    ] {
        assert_eq!(count(end), 12, "{end}");
    }
    assert_eq!(
        files.keys().filter(|name| name.starts_with("swap-")).count(),
        12,
        "cards"
    );
    assert_eq!(
        stdout(&ran).lines().filter(|line| line.starts_with("ps-")).count(),
        12,
        "rows"
    );
}

#[test]
fn a_new_workspace_works() {
    let dir = tempfile::tempdir().expect("a folder");
    let made = treen(dir.path(), &["new", "gifts"]);
    assert_eq!(code(&made), 0, "{}", stderr(&made));
    let given = treen(dir.path(), &["proof", "gifts/shapes/snail.yaml"]);
    assert_eq!(code(&given), 2, "a recipe is not an order list");
    assert!(stderr(&given).contains("this is a recipe"), "{}", stderr(&given));
    let csv = treen(dir.path(), &["check", "gifts/orders.csv", "--json"]);
    let yaml = treen(dir.path(), &["check", "gifts/orders.yaml", "--json"]);
    let dishes = |output: &Output| json(output)["dishes"].as_array().map(Vec::len);
    assert_eq!((dishes(&csv), dishes(&yaml)), (Some(12), Some(12)), "both lists work");
    assert_eq!((code(&csv), code(&yaml)), (0, 0), "and well");
}

#[test]
fn whoever_stops_reading_is_served() {
    let (reader, writer) = std::io::pipe().expect("a pipe");
    drop(reader);
    let status = Command::new(env!("CARGO_BIN_EXE_treen"))
        .args(["schema", "recipe"])
        .stdout(writer)
        .status()
        .expect("the binary runs");
    assert_eq!(status.code(), Some(0), "a closed pipe is success");
}

#[test]
fn what_is_built_in_can_be_asked_for() {
    let dir = tempfile::tempdir().expect("a folder");
    for code_word in treen::finding::Code::ALL {
        let said = treen(dir.path(), &["explain", code_word.word()]);
        assert!(stdout(&said).contains(code_word.explanation()), "{}", code_word.word());
    }
    assert_eq!(code(&treen(dir.path(), &["explain", "nonsense"])), 2, "no such code");
    for kind in ["recipe", "shop", "orders", "shapes"] {
        let schema = json(&treen(dir.path(), &["schema", kind]));
        assert!(schema.get("$schema").is_some(), "{kind}");
    }
    for shell in ["bash", "fish", "zsh"] {
        let said = treen(dir.path(), &["completions", shell]);
        assert!(stdout(&said).contains("treen"), "{shell}");
    }
    assert!(stdout(&treen(dir.path(), &["man"])).contains(".TH treen"), "a manual page");
}

#[test]
fn a_panic_in_one_leaves_the_others_alone() {
    let items: Vec<u32> = (0..40).collect();
    for threads in [1, 3] {
        let results = side_by_side(&items, threads, |item| {
            assert!(item % 10 != 7, "item {item} fails");
            item * 2
        });
        for (item, result) in items.iter().zip(&results) {
            match result {
                Ok(value) => assert_eq!(*value, item * 2, "in order"),
                Err(why) => assert_eq!(*why, format!("item {item} fails"), "told why"),
            }
        }
        assert_eq!(results.iter().filter(|r| r.is_err()).count(), 4, "four fail");
    }
}

#[test]
fn a_recipe_in_the_folder_shapes_uses_the_shop_of_the_workspace() {
    let dir = workspace();
    let shop = "cutters: [{id: only, kind: end mill, diameter: 3}]\n";
    std::fs::write(dir.path().join("shop.yaml"), shop).expect("written");
    let swap = json(&treen(dir.path(), &["swap", "shapes/ears.yaml", "--json"]));
    assert_eq!(swap["cutters"][0]["id"], "only", "{swap}");
    let inside = dir.path().join("shapes");
    let swap = json(&treen(&inside, &["swap", "../shapes/ears.yaml", "--json"]));
    assert_eq!(swap["cutters"][0]["id"], "only", "{swap}");
}

#[test]
fn odd_numbers_on_the_command_line_are_refused() {
    let dir = workspace();
    let refused = [
        ["proof", "--threads", "99999999999"],
        ["proof", "--threads", "257"],
        ["proof", "--dpi", "0"],
        ["proof", "--dpi", "99999"],
        ["proof", "--dpi", "NaN"],
        ["proof", "--out", ""],
    ];
    for args in refused {
        assert_eq!(code(&treen(dir.path(), &args)), 2, "{args:?}");
    }
    assert!(!dir.path().join("out").exists(), "nothing was begun");
    let many = ["proof", "orders.csv", "--threads", "256", "--dpi", "20"];
    assert_eq!(code(&treen(dir.path(), &many)), 2, "many threads, five orders");
    let twice = ["check", "snail", "--set", "length=200", "--set", "length=300"];
    let said = treen(dir.path(), &twice);
    assert_eq!(code(&said), 2, "{}", stderr(&said));
    assert!(stderr(&said).contains("set twice"), "{}", stderr(&said));
    let nowhere = treen(dir.path(), &["new", "orders.csv/x"]);
    assert!(code(&nowhere) >= 2, "{}", stderr(&nowhere));
    assert!(!stderr(&nowhere).contains("--out"), "`new` has no `--out`");
}

#[test]
fn a_dish_thin_all_over_is_not_passed_over() {
    let dir = tempfile::tempdir().expect("a folder");
    for radius in ["0.001", "2", "2.9"] {
        let text = format!("title: Dot\noutline: [{{circle: {{radius: {radius}}}}}]\n");
        std::fs::write(dir.path().join("dot.yaml"), text).expect("written");
        let said = treen(dir.path(), &["check", "dot.yaml"]);
        assert!(stderr(&said).contains("neck-too-thin"), "{radius}: {}", stdout(&said));
    }
    let text = "title: Dot\noutline: [{circle: {radius: 3.1}}]\n";
    std::fs::write(dir.path().join("dot.yaml"), text).expect("written");
    let said = treen(dir.path(), &["check", "dot.yaml"]);
    assert!(!stderr(&said).contains("neck-too-thin"), "wide enough: {}", stderr(&said));
}

#[test]
fn names_with_markup_stay_words() {
    let dir = workspace();
    let list = "id,name,recipe,note\nm-1,<b>&amp;]]></b>,ears,<svg onload='x'> & ]]>\n\
                m-2,\u{202e}live\u{200b},ears,\nm-3,\u{1f980},ears,\n";
    std::fs::write(dir.path().join("orders.csv"), list).expect("written");
    let ran = treen(dir.path(), &["proof", "orders.csv", "--dpi", "20"]);
    assert!(code(&ran) <= 1, "{}", stderr(&ran));
    assert!(!stderr(&ran).contains('\u{202e}'), "no turned text on the terminal");
    for (name, bytes) in contents(&dir.path().join("out")) {
        if name.rsplit('.').next() == Some("svg") {
            let text = String::from_utf8(bytes).expect("UTF-8");
            assert!(usvg::roxmltree::Document::parse(&text).is_ok(), "{name}");
            assert!(!text.contains("<b>") && !text.contains("onload='x'>"), "{name}");
        }
    }
}

#[cfg(unix)]
#[test]
fn paths_need_not_be_unicode() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt as _;
    let dir = workspace();
    let odd = OsStr::from_bytes(b"odd-\xff.csv");
    std::fs::write(dir.path().join(odd), "id,name,recipe\na,Bo,ears\n").expect("written");
    let out = OsStr::from_bytes(b"out-\xfe");
    let ran = Command::new(env!("CARGO_BIN_EXE_treen"))
        .current_dir(dir.path())
        .args([OsStr::new("proof"), odd, OsStr::new("--out"), out])
        .args(["--dpi", "20"])
        .output()
        .expect("the binary runs");
    assert_eq!(code(&ran), 0, "{}", stderr(&ran));
    assert!(dir.path().join(out).join("a-proof.svg").is_file(), "written there");
}

#[test]
fn no_refusal_is_silent() {
    let dir = workspace();
    let runs: [&[&str]; 8] = [
        &["shapes", "nowhere"],
        &["shapes", "--from", "nowhere"],
        &["shapes", "snail", "--set", "turns=99"],
        &["explain", "nowhere"],
        &["new", "."],
        &["new", "orders.csv/x"],
        &["swap", "snail", "--out", "orders.csv"],
        &["proof", "--out", "orders.csv"],
    ];
    for args in runs {
        for option in ["--json", "--quiet"] {
            let ended = treen(dir.path(), &[args, &[option]].concat());
            assert!(code(&ended) >= 2, "{args:?} {option}");
            let (answer, said) = (stdout(&ended), stderr(&ended));
            let json = option == "--json" && args[0] != "explain";
            if json {
                let value: serde_json::Value =
                    serde_json::from_str(&answer).expect("JSON");
                assert!(value["findings"][0]["code"].is_string(), "{args:?}: {answer}");
            } else {
                assert!(!said.is_empty() && answer.is_empty(), "{args:?}: {answer}");
            }
        }
    }
}

#[test]
fn the_shop_says_how_deep_each_cutter_may_go() {
    let dir = tempfile::tempdir().expect("a folder");
    let shop = "cutters:
  - {id: end-6, kind: end mill, diameter: 6, cutting_length: 20, shank: 6, stick_out: 40}
  - {id: short, kind: bowl bit, diameter: 20, corner_radius: 5, stick_out: 22}
  - {id: stub, kind: ball nose, diameter: 8, cutting_length: 10, shank: 8, stick_out: 40}
  - {id: long, kind: bowl bit, diameter: 20, corner_radius: 5, stick_out: 40}
  - {id: bare, kind: bowl bit, diameter: 20, corner_radius: 5}
woods: [{name: maple, thickness: 25.4}, {name: thin, thickness: 18}]
house: {floor: 5, collet_margin: 2, overcut: 0.5}
";
    std::fs::write(dir.path().join("shop.yaml"), shop).expect("written");
    let output = treen(dir.path(), &["shop"]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let want = "\
cutter  kind       diameter  stick-out  flutes  works
end-6   end mill   6 mm      40 mm      20 mm   details, name, name corners, cut-out
short   bowl bit   20 mm     22 mm      -       recess, recess corners
stub    ball nose  8 mm      40 mm      10 mm   recess, recess corners, details, name
long    bowl bit   20 mm     40 mm      -       recess, recess corners
bare    bowl bit   20 mm     -          -       recess, recess corners

deepest recess, or cut through  maple, 25.4 mm                thin, 18 mm
end-6                           no: 20 mm of 25.9 mm          through
short                           20 mm (stick-out)             13 mm, to the floor
stub                            10 mm (flutes)                10 mm (flutes)
long                            20.4 mm, to the floor         13 mm, to the floor
bare                            20.4 mm? (stick-out unknown)  13 mm? (stick-out unknown)

To the floor: down to 5 mm of floor, the house's least. The collet nut keeps 2 mm from the wood.
";
    assert_eq!(stdout(&output), want);
    let said = json(&treen(dir.path(), &["shop", "shop.yaml", "--json"]));
    let short = &said["cutters"][1];
    assert_eq!(short["recess"][0]["depth_mm"], 20.0);
    assert_eq!(short["recess"][0]["limit"], "stick-out");
    assert_eq!(said["cutters"][0]["through"][0]["clears"], false);
    let missing = treen(dir.path(), &["shop", "nowhere.yaml"]);
    assert_eq!(code(&missing), 2, "{}", stdout(&missing));
}

#[test]
fn a_cutter_can_be_asked_for_from_the_command_line() {
    let dir = workspace();
    let check = |more: &[&str]| {
        let args = [&["check", "shapes/ears.yaml"], more].concat();
        treen(dir.path(), &args)
    };
    let cut_out = |more: &[&str]| {
        let answer = json(&check(&[more, &["--json"]].concat()));
        let operations = answer["dishes"][0]["plan"]["operations"].as_array();
        let last = operations.and_then(|all| all.last()).expect("a plan");
        assert_eq!(last["work"], "cut-out");
        last["cutter"].as_str().expect("an id").to_owned()
    };
    let free = cut_out(&[]);
    for other in ["end-3", "comp-5"] {
        assert_ne!(free, other, "the free choice is a larger cutter");
        assert_eq!(cut_out(&["--use", &format!("cut-out={other}")]), other);
        assert_eq!(cut_out(&["--cutter", other]), other);
    }
    let twice = check(&["--use", "cut_out=end-3", "--cutter", "end-5"]);
    assert_eq!(code(&twice), 2, "{}", stderr(&twice));
    assert!(stderr(&twice).contains("two cutters are asked for `cut_out`"));
    for (typed, told) in
        [("cutout=end-3", "did you mean `cut_out`?"), ("end-3", "`--use` without `=`")]
    {
        let wrong = check(&["--use", typed]);
        assert_eq!(code(&wrong), 2, "{}", stderr(&wrong));
        assert!(stderr(&wrong).contains(told), "{}", stderr(&wrong));
    }
    let unknown = check(&["--use", "cut_out=end-7"]);
    assert_eq!(code(&unknown), 1, "{}", stderr(&unknown));
    assert!(stderr(&unknown).contains("is not on the rack"), "{}", stderr(&unknown));
    assert!(stderr(&unknown).contains("--> --use:1:1"), "{}", stderr(&unknown));
}

#[test]
fn the_plan_is_shown_when_asked_for() {
    let dir = workspace();
    let plain = treen(dir.path(), &["check", "shapes/ears.yaml"]);
    let planned = treen(dir.path(), &["check", "shapes/ears.yaml", "--plan"]);
    let said = stdout(&planned);
    assert!(said.starts_with(&stdout(&plain)), "the verdict stays first: {said}");
    for word in ["work", "cut-out", "passes", "stepover", "cusp", "blank", "tool change"]
    {
        assert!(said.contains(word), "no `{word}` in {said}");
        assert!(word == "work" || !stdout(&plain).contains(word), "only where asked for");
    }
}
