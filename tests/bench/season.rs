//! Order lists at length: `cargo bench --bench season -- kill 200` kills 200 runs at random
//! moments, each followed by one left to end, and compares with an undisturbed one;
//! `-- rate 100 1000` makes so many orders of quick dishes and prints the rate, the most memory
//! the run took (Linux) and what a second run takes; `-- crowd 100 1000` does the same with
//! orders of 40 recipes for 300 names as customers give them, at the usual resolution, and has `sha256sum`
//! hold every file to the manifest; `-- start 50` starts the program so often and prints the
//! median. Exits with 1 where a promise is broken.

#[path = "../it/kills.rs"]
mod kills;
#[path = "memory.rs"]
mod memory;

use kills::{Desk, kill};
use std::fs;
use std::path::Path;
use std::process::{Command, ExitCode, Stdio};
use std::time::Instant;
use treen::intake::demo;

const TREEN: &str = env!("CARGO_BIN_EXE_treen");
/// A second run with nothing changed must be so much faster.
const FASTER: f64 = 50.0;
/// The program must be there so soon, milliseconds.
const SOON: f64 = 20.0;

fn main() -> ExitCode {
    let words: Vec<String> =
        std::env::args().skip(1).filter(|it| it != "--bench").collect();
    let counts = |rest: &[String]| -> Vec<usize> {
        rest.iter().filter_map(|it| it.parse().ok()).collect()
    };
    let sound = match words.split_first() {
        Some((word, rest)) if word == "kill" => killed(&counts(rest)),
        Some((word, rest)) if word == "rate" => rates(&counts(rest), quick, &COARSE),
        Some((word, rest)) if word == "crowd" => rates(&counts(rest), crowd, &[]),
        Some((word, rest)) if word == "start" => {
            started(counts(rest).first().copied().unwrap_or(50))
        }
        Some(_) | None => rates(&[100, 200], quick, &COARSE) && killed(&[20]),
    };
    if sound { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn killed(counts: &[usize]) -> bool {
    let dir = tempfile::tempdir().expect("a folder");
    let desk = Desk { treen: TREEN, folder: dir.path(), orders: 4 };
    counts.iter().all(|count| match kill(&desk, *count, 20_261_126) {
        Ok(tally) => {
            println!(
                "{count} runs to be killed: {tally:?}; each completed to the same bytes"
            );
            true
        }
        Err(why) => {
            println!("{why}");
            false
        }
    })
}

/// Small pictures.
const COARSE: [&str; 2] = ["--dpi", "20"];

fn rates(counts: &[usize], list: fn(&Path, usize), more: &[&str]) -> bool {
    println!(
        "orders       s  orders/s  processor s  per order ms  memory MiB  second s  faster  files"
    );
    counts.iter().all(|count| {
        let dir = tempfile::tempdir().expect("a folder");
        list(dir.path(), *count);
        let first = run(dir.path(), more);
        let second = run(dir.path(), more);
        let (rate, faster) = (*count as f64 / first.seconds, first.seconds / second.seconds);
        let each = first.busy * 1e3 / *count as f64;
        let files = held(&dir.path().join("out"));
        println!(
            "{count:6} {:7.1} {rate:9.2} {:12.1} {each:13.1} {:11.1} {:9.3} {faster:7.0} {files:>6}",
            first.seconds,
            first.busy,
            first.memory,
            second.seconds,
            files = files.map_or_else(|| "untrue".to_owned(), |files| files.to_string()),
        );
        faster >= FASTER && files.is_some()
    })
}

/// Commands that draw nothing, from their start to their end.
fn started(count: usize) -> bool {
    let dir = tempfile::tempdir().expect("a folder");
    let runs: [&[&str]; 4] =
        [&["--version"], &["schema", "recipe"], &["explain"], &["shop"]];
    runs.iter().all(|args| {
        let once = |_| {
            let start = Instant::now();
            let mut command = Command::new(TREEN);
            let command = command.args(*args).current_dir(dir.path());
            let ended = command.stdout(Stdio::null()).status().expect("it runs");
            assert!(ended.success(), "{args:?}");
            start.elapsed().as_secs_f64() * 1000.0
        };
        let mut times: Vec<f64> = (0..count.max(1)).map(once).collect();
        times.sort_by(f64::total_cmp);
        let median = times[times.len() / 2];
        println!("treen {}: median {median:.1} ms of {count}", args.join(" "));
        median < SOON
    })
}

/// Orders of a dish that is quick to draw.
fn quick(folder: &Path, count: usize) {
    fs::write(folder.join("coin.yaml"), kills::COIN).expect("written");
    let row = |at: usize| format!("r-{at},Name {},coin\n", at % 300);
    let rows: String = (0..count).map(row).collect();
    fs::write(folder.join("list.csv"), format!("id,name,recipe\n{rows}"))
        .expect("written");
}

/// Orders of many recipes, names and woods, as they come.
fn crowd(folder: &Path, count: usize) {
    const NAMES: &str = include_str!("../golden/names.txt");
    let recipes: Vec<&str> = demo::RECIPES.iter().map(|(key, _)| *key).take(40).collect();
    let names: Vec<&str> = NAMES
        .lines()
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| line.split_once(':'))
        .flat_map(|(_, names)| names.split_whitespace())
        .take(300)
        .collect();
    assert!(recipes.len() == 40 && names.len() == 300, "as many as are told of");
    let woods = ["maple", "cherry", "ash", "walnut"];
    let row = |at: usize| {
        // Steps without a common factor: neighbours differ in everything.
        let recipe = recipes[at * 7 % 40];
        let name = names[at * 11 % 300];
        format!("c-{at:05},\"{name}\",{recipe},{}\n", woods[at * 3 % 4])
    };
    let rows: String = (0..count).map(row).collect();
    let list = format!("id,name,recipe,wood\n{rows}");
    fs::write(folder.join("list.csv"), list).expect("written");
}

/// How many files the manifest names, where `sha256sum` finds each as it is said to be.
fn held(out: &Path) -> Option<usize> {
    let text = fs::read(out.join("manifest.json")).expect("a manifest");
    let manifest: serde_json::Value = serde_json::from_slice(&text).expect("JSON");
    let rows = ["orders", "swap_cards"].map(|key| manifest[key].as_array().cloned());
    let rows = rows.into_iter().flatten().flatten();
    let files = rows.flat_map(|row| row["files"].as_array().cloned().unwrap_or_default());
    let line = |file: serde_json::Value| {
        Some(format!("{}  {}\n", file["sha256"].as_str()?, file["path"].as_str()?))
    };
    let lines: Vec<String> = files.filter_map(line).collect();
    fs::write(out.with_file_name("sums"), lines.concat()).expect("written");
    let mut sums = Command::new("sha256sum");
    let sums = sums.args(["--check", "--quiet", "--strict", "../sums"]).current_dir(out);
    sums.status().expect("sha256sum is there").success().then_some(lines.len())
}

/// What a run took.
#[derive(Default)]
struct Taken {
    seconds: f64,
    /// Seconds of all processors.
    busy: f64,
    /// The most held, MiB.
    memory: f64,
}

fn run(folder: &Path, more: &[&str]) -> Taken {
    let start = Instant::now();
    let mut child = Command::new(TREEN)
        .args(["proof", "list.csv", "--quiet"])
        .args(more)
        .current_dir(folder)
        .stdout(Stdio::null())
        .spawn()
        .expect("the binary runs");
    let process = child.id().to_string();
    let mut taken = Taken::default();
    let mut sample = || {
        taken.memory = taken.memory.max(memory::most_held(&process));
        // In user and in system mode, hundredths of a second: fields 14 and 15 (proc(5)).
        let stat = fs::read_to_string(format!("/proc/{process}/stat"));
        let stat = stat.unwrap_or_default();
        let after = stat.rsplit_once(')').map_or("", |(_, after)| after);
        let spent = after.split_whitespace().skip(11).take(2);
        let ticks: f64 = spent.filter_map(|field| field.parse::<f64>().ok()).sum();
        taken.busy = taken.busy.max(ticks / 100.0);
    };
    while child.try_wait().expect("asked").is_none() {
        sample();
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    taken.seconds = start.elapsed().as_secs_f64();
    taken
}
