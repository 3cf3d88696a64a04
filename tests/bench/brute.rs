//! No cutter is ever said to follow where it cannot: `cargo bench --bench brute` asks about
//! 100,000 random cases (or `CASES` of them) and checks each verdict by brute force. Exits with
//! 1 on a false "follows" or on more than 0.1 % needless refusals.

#[path = "../it/brute.rs"]
mod brute;
#[path = "../it/random_shapes.rs"]
mod random_shapes;
#[path = "../it/verdicts.rs"]
mod verdicts;

use std::process::ExitCode;
use std::time::Instant;
use verdicts::Tally;

fn main() -> ExitCode {
    let number = |name: &str, usual: u64| {
        std::env::var(name).ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
    };
    let (count, from) = (number("CASES", 100_000), number("FROM", 0));
    let start = Instant::now();
    let mut tally = Tally::default();
    let (mut asked, mut next) = (0, from);
    while asked < count {
        tally.ask(next);
        next += 1;
        asked = tally.cases;
    }
    // wrong verdicts first
    tally
        .complaints
        .sort_by_key(|said| !(said.ends_with("FOLLOW") || said.ends_with("REFUSAL")));
    for complaint in tally.complaints.iter().take(40) {
        println!("{complaint}");
    }
    let seconds = start.elapsed().as_secs_f64();
    println!(
        "{} cases in {seconds:.1} s, {} follow; {} false follows, {} needless refusals; reach apart by over 0.0002 mm in {}, at most {:+.6} and {:+.6} mm",
        tally.cases,
        tally.follows,
        tally.false_follows,
        tally.needless,
        tally.apart,
        tally.above,
        tally.below
    );
    let bad = tally.false_follows > 0 || tally.needless * 1000 > tally.cases;
    if bad { ExitCode::FAILURE } else { ExitCode::SUCCESS }
}
