//! Order lists spoiled in every way: `cargo bench --bench lists -- 100000 [SEED]` reads so many
//! (2,000 if no number is given) and prints what became of them, the longest message and the
//! slowest case. A panic, silence or a message that cannot be read ends it with 1, and the case
//! is written to the folder of temporary files.

use std::process::ExitCode;
use std::time::{Duration, Instant};

#[path = "../it/garbled.rs"]
mod garbled;
#[path = "../it/random_shapes.rs"]
#[expect(dead_code, reason = "only the dice are used here")]
mod random_shapes;

use garbled::many;

/// No list may take longer.
const SLOWEST: Duration = Duration::from_secs(5);
/// Slower ones than this are told as they come.
const WORTH_A_LINE: Duration = Duration::from_millis(50);

fn main() -> ExitCode {
    let numbers = std::env::args().skip(1).filter_map(|word| word.parse().ok());
    let numbers: Vec<u64> = numbers.collect();
    let count = numbers.first().copied().unwrap_or(2000);
    let seed = numbers.get(1).copied().unwrap_or(1);
    let (start, mut last) = (Instant::now(), Instant::now());
    let (mut counts, mut orders) = ([[0_usize; 2]; 3], 0);
    let (mut longest, mut slowest, mut number) = (0, Duration::ZERO, 0_usize);
    let ended = many(count as usize, seed, |kind, answer| {
        counts[kind as usize][usize::from(answer.refused)] += 1;
        orders += answer.orders;
        longest = longest.max(answer.longest);
        number += 1;
        if last.elapsed() > slowest && slowest > WORTH_A_LINE {
            println!("case {number}, {kind:?}: {:?}", last.elapsed());
        }
        slowest = slowest.max(last.elapsed());
        last = Instant::now();
    });
    println!(
        "seed {seed}, sound and refused: rows {:?}, yaml {:?}, workbooks {:?}",
        counts[0], counts[1], counts[2]
    );
    println!(
        "{orders} orders read, longest message {longest} characters, slowest case {slowest:?}, {:.1} s in all",
        start.elapsed().as_secs_f64()
    );
    if let Err((number, kind, bytes, why)) = ended {
        let path = std::env::temp_dir().join(format!("spoiled-{seed}-{number}"));
        // The case can be made again from its seed and number.
        let kept = std::fs::write(&path, bytes).is_ok();
        println!("case {number}, {kind:?}: {why}; kept in {} ({kept})", path.display());
        return ExitCode::FAILURE;
    }
    if slowest > SLOWEST {
        println!("too slow");
        return ExitCode::FAILURE;
    }
    ExitCode::SUCCESS
}
