//! Runs after runs into one folder: only what changed is made, and nothing is lost.

use crate::cli::{code, stderr, stdout, treen};
use crate::kills::{COIN, Desk, everything, kill, truth};
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, SystemTime};

const LIST: &str = "\
id,name,recipe,size,use_cut_out
s-1,Ada,coin,,
s-2,Bo,coin,100,end-3
s-3,Cleo,coin,,
";

struct Shop(tempfile::TempDir);

impl Shop {
    fn open() -> Self {
        let dir = tempfile::tempdir().expect("a folder");
        fs::write(dir.path().join("coin.yaml"), COIN).expect("written");
        let shop = Self(dir);
        shop.list(LIST);
        shop
    }

    fn list(&self, text: &str) {
        fs::write(self.path("list.csv"), text).expect("written");
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn run(&self, out: &str, more: &[&str]) -> Output {
        let args = ["proof", "list.csv", "--dpi", "20", "--out", out];
        treen(self.0.path(), &[&args[..], more].concat())
    }

    fn well(&self, out: &str, more: &[&str]) -> String {
        let ran = self.run(out, more);
        assert_eq!(code(&ran), 0, "{}", stderr(&ran));
        truth(&everything(&self.path(out))).expect("the manifest tells the truth");
        stdout(&ran)
    }

    /// Sets the time of every file far back, so that one written again is seen.
    fn long_ago(&self, out: &str) {
        for entry in fs::read_dir(self.path(out)).expect("a folder") {
            let path = entry.expect("readable").path();
            let file = File::options().append(true).open(path).expect("a file");
            file.set_modified(SystemTime::UNIX_EPOCH).expect("a time");
        }
    }

    /// The files written since, without what follows the id in their names.
    fn touched(&self, out: &str) -> BTreeSet<String> {
        let entries = fs::read_dir(self.path(out)).expect("a folder").map(|entry| {
            let entry = entry.expect("readable");
            let time = entry.metadata().and_then(|data| data.modified());
            (entry.file_name().to_string_lossy().into_owned(), time.expect("a time"))
        });
        let new = entries.filter(|(_, time)| *time != SystemTime::UNIX_EPOCH);
        new.map(|(name, _)| {
            let kinds = ["-proof", "-bench", "-cutting"];
            let end = kinds.iter().find_map(|kind| name.find(kind));
            name.get(..end.unwrap_or(name.len())).unwrap_or_default().to_owned()
        })
        .collect()
    }
}

fn set(names: &[&str]) -> BTreeSet<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

#[test]
fn what_is_there_is_not_made_again() {
    let shop = Shop::open();
    shop.well("out", &[]);
    let first = everything(&shop.path("out"));
    shop.long_ago("out");
    let said = shop.well("out", &[]);
    assert!(said.contains("3 of the orders were there already"), "{said}");
    assert_eq!(shop.touched("out"), set(&[]), "no file is touched");
    // One name changed, and a row put before the others.
    shop.list(&LIST.replace("Cleo", "Clio").replace("s-1,", "s-0,Zoe,coin,,\ns-1,"));
    shop.well("out", &[]);
    assert_eq!(
        shop.touched("out"),
        set(&["s-0", "s-3", "manifest.json"]),
        "two are made"
    );
    shop.well("other", &[]);
    let again = everything(&shop.path("out"));
    assert!(again == everything(&shop.path("other")), "as if made at once");
    let text = String::from_utf8_lossy(&again["manifest.json"]).into_owned();
    assert!(text.contains("\"field\": \"use.cut_out\""), "a place in the list: {text}");
    shop.list(LIST);
    shop.well("out", &["--tidy"]);
    assert!(everything(&shop.path("out")) == first, "back where it began");
    shop.long_ago("out");
    shop.well("out", &["--fresh"]);
    assert_eq!(
        shop.touched("out"),
        set(&["s-1", "s-2", "s-3", "swap-coin.svg", "swap-coin.png", "manifest.json"]),
        "all are made"
    );
    assert!(everything(&shop.path("out")) == first, "the same bytes");
}

#[test]
fn what_an_order_is_made_of_counts() {
    let shop = Shop::open();
    let drawn = COIN.replace(
        "outline: [",
        "outline: [{svg: {file: in.svg, width: 70}}, {add: {circle: {radius: size / 2}}}, ",
    );
    let svg = |side: u32| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"><rect width=\"{side}\" height=\"9\"/></svg>"
        );
        fs::write(shop.path("in.svg"), text).expect("written");
    };
    svg(9);
    fs::write(shop.path("svg.yaml"), drawn.replace("[{add: {circle", "[{circle"))
        .expect("written");
    let list = "id,name,recipe\np-1,Ada,coin\np-2,Bo,svg\n";
    shop.list(list);
    shop.well("out", &[]);
    let both = &set(&[
        "p-1",
        "p-2",
        "swap-coin.svg",
        "swap-coin.png",
        "swap-svg.svg",
        "swap-svg.png",
        "manifest.json",
    ]);
    let one = &set(&["p-2", "swap-svg.svg", "swap-svg.png", "manifest.json"]);
    let expect = |what: &str, want: &BTreeSet<String>| {
        shop.long_ago("out");
        shop.well("out", &[]);
        assert_eq!(shop.touched("out"), *want, "{what}");
    };
    svg(8);
    expect("a file beside the recipe", one);
    let text = fs::read_to_string(shop.path("svg.yaml")).expect("there");
    fs::write(
        shop.path("svg.yaml"),
        text.replace("radius: size / 2 - 12", "radius: size / 2 - 14"),
    )
    .expect("written");
    expect("the recipe", one);
    let rack = "cutters:\n  - {id: e, kind: end mill, diameter: 3, cutting_length: 30, stick_out: 40}\n  - {id: b, kind: bowl bit, diameter: 19.05, corner_radius: 6, cutting_length: 26, stick_out: 35}\n  - {id: v, kind: v-bit, diameter: 12, angle: 60, cutting_length: 11, stick_out: 30}\n";
    fs::write(shop.path("shop.yaml"), rack).expect("written");
    expect("the shop", both);
    fs::write(shop.path("out/p-2-proof.svg"), "scribbled").expect("written");
    expect("a sheet that was changed", &set(&["p-2", "manifest.json"]));
    fs::remove_file(shop.path("out/p-1-bench.pdf")).expect("removed");
    expect("a sheet that is gone", &set(&["p-1", "manifest.json"]));
    fs::write(shop.path("out/manifest.json"), "{\"orders\": [{}]}").expect("written");
    expect("the manifest", both);
    let finer = ["proof", "list.csv", "--dpi", "30", "--out", "out"];
    let said = stdout(&treen(shop.0.path(), &finer));
    assert!(!said.contains("there already"), "the resolution: {said}");
}

#[test]
fn sheets_of_orders_taken_off_the_list_are_kept_until_asked() {
    let shop = Shop::open();
    shop.well("out", &[]);
    fs::write(shop.path("beside.txt"), "mine").expect("written");
    shop.list("id,name,recipe\ns-1,Ada,coin\n");
    let said = shop.well("out", &[]);
    let count = everything(&shop.path("out"))
        .keys()
        .filter(|name| name.starts_with("s-2"))
        .count();
    assert!(count >= 6, "kept");
    assert!(said.contains("are of no order any more"), "{said}");
    assert!(said.contains("  s-2-proof.svg\n"), "{said}");
    let again = shop.well("out", &[]);
    assert!(again.contains("  s-3-bench.png\n"), "not forgotten: {again}");
    // What somebody worked on is theirs, and a name that leads elsewhere is none.
    fs::write(shop.path("out/s-3-proof.svg"), "worked on").expect("written");
    let manifest = fs::read_to_string(shop.path("out/manifest.json")).expect("there");
    let hash = crate::kills::sha256(b"mine");
    let planted = manifest.replace(
        "\"former\": [",
        &format!("\"former\": [{{\"path\": \"../beside.txt\", \"sha256\": \"{hash}\"}},"),
    );
    assert_ne!(planted, manifest, "planted");
    fs::write(shop.path("out/manifest.json"), planted).expect("written");
    let said = shop.well("out", &["--tidy"]);
    assert!(said.contains("were removed"), "{said}");
    let names = everything(&shop.path("out"));
    let left: Vec<&String> =
        names.keys().filter(|name| !name.starts_with("s-1")).collect();
    assert_eq!(
        left,
        ["manifest.json", "s-3-proof.svg", "swap-coin.png", "swap-coin.svg"],
        "left"
    );
    assert_eq!(fs::read(shop.path("beside.txt")).expect("there"), b"mine", "not reached");
    assert!(
        !shop.well("out", &[]).contains("of no order any more"),
        "nothing left to tell"
    );
}

#[test]
fn an_order_that_cannot_be_made_touches_nothing_the_second_time() {
    let shop = Shop::open();
    shop.list("id,name,recipe,size\ne-1,Ada,coin,9000\ne-2,Bo,coin,\ne-3,Di,nowhere,\n");
    let first = shop.run("out", &[]);
    assert_eq!(code(&first), 2, "{}", stderr(&first));
    shop.long_ago("out");
    let again = shop.run("out", &[]);
    assert_eq!(code(&again), 2, "{}", stderr(&again));
    assert_eq!(stderr(&again), stderr(&first), "told in full again");
    assert_eq!(shop.touched("out"), set(&[]), "no file is touched");
}

#[test]
fn a_log_tells_of_every_piece_of_work() {
    let shop = Shop::open();
    shop.list(&format!("{LIST}s-4,Di,nowhere,,\n"));
    let lines = || -> Vec<serde_json::Value> {
        let text = fs::read_to_string(shop.path("log.jsonl")).expect("a log");
        text.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect()
    };
    let count = |lines: &[serde_json::Value], event: &str, key: &str| {
        lines.iter().filter(|it| it["event"] == event && it[key].is_string()).count()
    };
    shop.run("out", &["--log", "log.jsonl"]);
    let first = lines();
    assert_eq!(
        ["begun", "ended"].map(|it| count(&first, it, "order")),
        [4, 4],
        "{first:?}"
    );
    let failed = first.iter().filter(|it| it["status"] == "error");
    let failed: Vec<_> = failed.map(|it| it["order"].as_str()).collect();
    assert_eq!(failed, [Some("s-4")], "the order without a recipe");
    assert!(
        first.iter().all(|it| it["at_s"].as_f64().is_some_and(|at| at >= 0.0)),
        "times"
    );
    shop.run("out", &["--log", "log.jsonl"]);
    let both = lines();
    let second = both.get(first.len()..).expect("it goes on at the end");
    assert_eq!(
        ["kept", "begun"].map(|it| count(second, it, "order")),
        [3, 1],
        "{second:?}"
    );
    let nowhere = shop.run("out", &["--log", "no/such/log"]);
    assert_eq!(code(&nowhere), 3, "{}", stderr(&nowhere));
    assert!(
        stderr(&nowhere).contains("the log cannot be written"),
        "{}",
        stderr(&nowhere)
    );
}

#[test]
fn two_runs_at_once_take_turns() {
    let shop = Shop::open();
    let start = |out: &str| {
        Command::new(env!("CARGO_BIN_EXE_treen"))
            .args(["proof", "list.csv", "--dpi", "20", "--out", out])
            .current_dir(shop.0.path())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the binary runs")
    };
    let pair = [start("out"), start("out")];
    let ended = pair.map(|child| child.wait_with_output().expect("it ends"));
    assert_eq!(ended.each_ref().map(code), [0, 0], "{}", stderr(&ended[0]));
    let kept =
        ended.iter().filter(|ran| stdout(ran).contains("3 of the orders were there"));
    assert_eq!(kept.count(), 1, "the work is done once");
    shop.well("alone", &[]);
    assert!(
        everything(&shop.path("out")) == everything(&shop.path("alone")),
        "same bytes"
    );
    // As long as somebody has the folder nothing is written to it.
    let folder = File::open(shop.path("out")).expect("a folder");
    folder.lock().expect("locked");
    fs::remove_file(shop.path("out/s-1-proof.svg")).expect("removed");
    let mut waits = start("out");
    std::thread::sleep(Duration::from_millis(400));
    assert!(waits.try_wait().expect("asked").is_none(), "it waits");
    assert!(!shop.path("out/s-1-proof.svg").exists(), "and writes nothing");
    folder.unlock().expect("unlocked");
    let ended = waits.wait_with_output().expect("it ends");
    assert_eq!(code(&ended), 0, "{}", stderr(&ended));
    assert!(stderr(&ended).contains("another run writes to out"), "{}", stderr(&ended));
    assert!(shop.path("out/s-1-proof.svg").exists(), "then it goes on");
}

#[test]
fn a_run_that_is_killed_is_completed_by_the_next() {
    let dir = tempfile::tempdir().expect("a folder");
    let desk = Desk { treen: env!("CARGO_BIN_EXE_treen"), folder: dir.path(), orders: 3 };
    let tally = kill(&desk, 20, 7).expect("nothing lost");
    assert!(tally.killed >= 10, "most were killed in time: {tally:?}");
    assert!(tally.mid >= 3, "some in the midst of writing: {tally:?}");
}

/// Carries out a script of the shell, in a space of mounts of its own where `mounts` is asked.
#[cfg(unix)]
fn script(shop: &Shop, mounts: bool, text: &str) -> Output {
    let space = ["unshare", "--user", "--map-root-user", "--mount"];
    let words = if mounts { &space[..] } else { &[] };
    let treen =
        [env!("CARGO_BIN_EXE_treen"), "proof", "list.csv", "--dpi", "20", "--out"];
    let words: Vec<&str> =
        words.iter().copied().chain(["sh", "-c", text, "sh"]).chain(treen).collect();
    let mut command = Command::new(words[0]);
    command.args(&words[1..]).current_dir(shop.0.path()).stdin(Stdio::null());
    command.output().expect("the shell runs")
}

/// A file can only become so long: a write fails in the middle, as on a full disk.
#[cfg(unix)]
#[test]
fn writes_that_fail_midway_leave_only_whole_files() {
    let shop = Shop::open();
    shop.well("alone", &[]);
    // In blocks of 512 bytes or 1024, as the shell has it.
    let ran = script(&shop, false, "trap '' XFSZ; ulimit -f 60; \"$@\" out");
    assert_eq!(code(&ran), 3, "something broke: {}", stderr(&ran));
    assert!(stderr(&ran).contains("unwritable-file"), "{}", stderr(&ran));
    half_done(&shop, "out");
    shop.well("out", &[]);
    assert!(
        everything(&shop.path("out")) == everything(&shop.path("alone")),
        "completed"
    );
}

/// What is there is whole, and the manifest does not say that all is done.
#[cfg(unix)]
fn half_done(shop: &Shop, out: &str) {
    let (there, whole) = (everything(&shop.path(out)), everything(&shop.path("alone")));
    assert!(there.len() < whole.len(), "some files are missing");
    // Rows of what was done may wait for a manifest that could not be written.
    let books = ["manifest.json", ".manifest.json-seq"];
    for (name, bytes) in there.iter().filter(|(name, _)| !books.contains(&name.as_str()))
    {
        assert!(whole.get(name) == Some(bytes), "{name} is not whole");
    }
    truth(&there).expect("the manifest tells the truth");
}

/// Real mounts, where the system lets its users have them in a space of their own.
#[cfg(unix)]
#[test]
fn a_full_disk_and_a_folder_for_reading_only_lose_nothing() {
    let shop = Shop::open();
    shop.well("alone", &[]);
    fs::create_dir(shop.path("disk")).expect("a folder");
    if !script(&shop, true, "mount -t tmpfs tmpfs disk").status.success() {
        eprintln!(
            "this system lets no user mount: the full disk is tried by file sizes only"
        );
        return;
    }
    let ran = script(
        &shop,
        true,
        "mount -t tmpfs -o size=400k tmpfs disk
        \"$@\" disk; first=$?
        cp -R disk full
        mount -o remount,ro disk; \"$@\" disk; second=$?
        cp -R disk still
        mount -o remount,rw,size=64m disk; \"$@\" disk; third=$?
        mount -o remount,ro disk; \"$@\" disk; fourth=$?
        cp -R disk done
        echo ended $first $second $third $fourth",
    );
    let said = stdout(&ran);
    assert!(said.contains("ended 3 3 0 0"), "{said}\n{}", stderr(&ran));
    assert!(stderr(&ran).contains("the disk is full"), "{}", stderr(&ran));
    assert!(stderr(&ran).contains("the file system is read-only"), "{}", stderr(&ran));
    half_done(&shop, "full");
    let full = everything(&shop.path("full"));
    assert!(
        full == everything(&shop.path("still")),
        "nothing is written where it may not"
    );
    assert!(
        everything(&shop.path("done")) == everything(&shop.path("alone")),
        "completed as soon as there is room, and nothing to do means nothing to write"
    );
}

/// Whatever a name holds, it is text in what is written, and no file lies elsewhere.
#[test]
fn names_that_look_like_something_else_are_text() {
    let shop = Shop::open();
    let odd = [
        "=cmd|' /C calc'!A0",
        "+1+1",
        "@SUM(1)",
        "<script>alert(1)</script>",
        "a & b",
        "]]>",
        "<!-- x",
        "../../up",
        "${HOME}",
        "\u{202e}gnp",
        "%s%n",
        "&lt;&#0;",
    ];
    let rows = odd.iter().enumerate().map(|(at, name)| {
        let cell = name.replace('"', "\"\"");
        format!("n-{at},\"{cell}\",coin,\"{cell}\"\n")
    });
    let rows: Vec<String> = rows.collect();
    let rows = rows.concat();
    shop.list(&format!("id,name,recipe,note\n{rows}"));
    let before = names(shop.0.path());
    let ran = shop.run("out", &[]);
    assert!(code(&ran) <= 1, "{}", stderr(&ran));
    let mut after = names(shop.0.path());
    assert!(after.remove("out"), "one folder more");
    assert_eq!(before, after, "and nothing else");
    let files = everything(&shop.path("out"));
    truth(&files).expect("the manifest tells the truth");
    let mut drawn = 0;
    let is_drawing = |name: &str| name.rsplit('.').next() == Some("svg");
    for (name, bytes) in files.iter().filter(|(name, _)| is_drawing(name)) {
        let text = String::from_utf8_lossy(bytes);
        let page = usvg::roxmltree::Document::parse(&text).expect("well-formed");
        for node in page.descendants().filter(usvg::roxmltree::Node::is_element) {
            assert_ne!(node.tag_name().name(), "script", "{name}");
            let deeds = node.attributes().any(|it| it.name().starts_with("on"));
            assert!(!deeds, "{name}: {node:?}");
        }
        drawn += usize::from(name.ends_with("-proof.svg"));
    }
    assert_eq!(drawn, odd.len(), "all are drawn");
    let manifest: serde_json::Value =
        serde_json::from_slice(&files["manifest.json"]).expect("JSON");
    for (at, name) in odd.iter().enumerate() {
        assert_eq!(manifest["orders"][at]["name"], **name, "as written");
    }
    assert!(
        !stdout(&ran).contains('\u{202e}'),
        "the terminal's direction is not changed"
    );
    let ids = [
        "../up", "/etc/x", "a/b", "a\\b", "..", "con", "a\tb", "manifest", ".hidden",
        "-rf",
    ];
    for id in ids {
        shop.list(&format!("id,name,recipe\n\"{id}\",Bo,coin\n"));
        let ran = shop.run("never", &[]);
        assert_eq!(code(&ran), 2, "{id}: {}", stderr(&ran));
        assert!(!shop.path("never").exists(), "{id}: nothing was begun");
    }
}

fn names(folder: &Path) -> BTreeSet<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    entries
        .map(|it| it.expect("readable").file_name().to_string_lossy().into_owned())
        .collect()
}
