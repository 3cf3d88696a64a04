//! Order lists at length: `cargo bench --bench season -- kill 200` kills 200 runs at random
//! moments, each followed by one left to end, and compares with an undisturbed one;
//! `-- rate 100 1000` makes so many orders of quick dishes and prints the rate, the most memory
//! the run took (Linux) and what a second run takes; `-- start 50` starts the program so often
//! and prints the median. Exits with 1 where a promise is broken.

#[path = "../it/kills.rs"]
mod kills;

use kills::{Desk, kill};
use std::fs;
use std::path::Path;
use std::process::{Command, ExitCode, Stdio};
use std::time::Instant;

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
        Some((word, rest)) if word == "rate" => rates(&counts(rest)),
        Some((word, rest)) if word == "start" => {
            started(counts(rest).first().copied().unwrap_or(50))
        }
        Some(_) | None => rates(&[100, 200]) && killed(&[20]),
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

fn rates(counts: &[usize]) -> bool {
    println!("orders     s  orders/s  memory MiB  second run s  faster");
    counts.iter().all(|count| {
        let dir = tempfile::tempdir().expect("a folder");
        fs::write(dir.path().join("coin.yaml"), kills::COIN).expect("written");
        let row = |at: usize| format!("r-{at},Name {},coin\n", at % 300);
        let rows: String = (0..*count).map(row).collect();
        fs::write(dir.path().join("list.csv"), format!("id,name,recipe\n{rows}"))
            .expect("written");
        let (first, memory) = run(dir.path());
        let (second, _) = run(dir.path());
        let (rate, faster) = (*count as f64 / first, first / second);
        println!(
            "{count:6} {first:6.1} {rate:8.2} {memory:11.1} {second:13.3} {faster:7.0}"
        );
        faster >= FASTER
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

/// Seconds, and the most memory held, MiB.
fn run(folder: &Path) -> (f64, f64) {
    let start = Instant::now();
    let mut child = Command::new(TREEN)
        .args(["proof", "list.csv", "--dpi", "20", "--quiet"])
        .current_dir(folder)
        .stdout(Stdio::null())
        .spawn()
        .expect("the binary runs");
    let status = format!("/proc/{}/status", child.id());
    let mut most = 0.0_f64;
    while child.try_wait().expect("asked").is_none() {
        let text = fs::read_to_string(&status).unwrap_or_default();
        let peak = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kib = peak.and_then(|peak| peak.trim().trim_end_matches(" kB").parse().ok());
        most = most.max(kib.unwrap_or(0.0) / 1024.0);
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    (start.elapsed().as_secs_f64(), most)
}
