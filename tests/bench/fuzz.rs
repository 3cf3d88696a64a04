//! Anything may be drawn: `cargo bench --bench fuzz` mutates SVG path data and the demo recipes
//! for `MINUTES` of work (10), fills or builds what comes out, and asks for every answer. A panic, a
//! number that is none, or a case of over five seconds of work ends it with 1 and
//! prints the case; `ONE=file` fills the path data of a file.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;
use std::time::Duration;
use treen::curve::svg::path_data;
use treen::curve::{Origin, Region};
use treen::reach::{Profile, closing, opening, thinnest};

#[path = "busy.rs"]
mod busy;
#[path = "../it/random_shapes.rs"]
#[expect(dead_code, reason = "only the dice are used here")]
mod random_shapes;
use busy::Busy;
use random_shapes::Dice;

const SEEDS: [&str; 8] = [
    "M0 0L50 0L50 30L20 30L20 60L0 60Z",
    "M0 0C30 40 60 -40 90 0L90 50C60 10 30 90 0 50Z",
    "M10 0A10 10 0 1 1 -10 0A10 10 0 1 1 10 0Z M5 0A5 5 0 1 0 -5 0A5 5 0 1 0 5 0Z",
    "M0 0L40 40L40 0L0 40Z",
    "M0 0Q20 50 40 0T80 0L80 -30L0 -30Z",
    "M0 0h60v6.35h-20v6.349h20v20h-60z",
    "M0 0L100 0L100 1e-7L0 1e-7ZM20 -20h20v40h-20z",
    "m0 0 30 0 0 30 -30 0z m10 10 0 10 10 0 0 -10z m-10-10 30 0 0 30 -30 0z",
];

const WORDS: [&str; 26] = [
    "0", "1", "-1", "1e-9", "1e9", "NaN", "inf", "0.0001", "6.35", "-40", "99999",
    "100000", "M", "L", "C", "Q", "A", "Z", "h", "v", "S", "T", " ", ".", "-", "e",
];

fn main() -> ExitCode {
    if let Some(text) =
        std::env::var("ONE").ok().and_then(|f| std::fs::read_to_string(f).ok())
    {
        let start = Busy::start();
        println!("answered: {}, {:?}", fill(&text), start.elapsed());
        return ExitCode::SUCCESS;
    }
    let minutes: f64 =
        std::env::var("MINUTES").ok().and_then(|m| m.parse().ok()).unwrap_or(10.0);
    let (whole, end) = (Busy::start(), Duration::from_secs_f64(minutes * 60.0));
    let seed = std::env::var("SEED").ok().and_then(|s| s.parse().ok()).unwrap_or(1);
    let (mut dice, mut counts, mut slowest) = (Dice(seed), [0_u64; 4], Duration::ZERO);
    while whole.elapsed() < end {
        let recipe = dice.below(8) == 0;
        let text = if recipe { some_recipe(&mut dice) } else { some_path(&mut dice) };
        let start = Busy::start();
        let work = || if recipe { build(&text) } else { fill(&text) };
        let Ok(answered) = catch_unwind(AssertUnwindSafe(work)) else {
            println!("panic on:\n{text}");
            return ExitCode::FAILURE;
        };
        let took = start.elapsed();
        slowest = slowest.max(took);
        if took > Duration::from_secs(5) {
            println!("{took:?} on:\n{text}");
            return ExitCode::FAILURE;
        }
        counts[usize::from(recipe) * 2 + usize::from(answered)] += 1;
    }
    println!(
        "paths: {} refused, {} answered; recipes: {} refused, {} answered; slowest {slowest:?} of {:.0} s of work; clean",
        counts[0],
        counts[1],
        counts[2],
        counts[3],
        whole.elapsed().as_secs_f64()
    );
    ExitCode::SUCCESS
}

fn mutate(dice: &mut Dice, text: &str, words: &[&str], most: u64) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    for _ in 0..=dice.below(most) {
        let at = dice.below(chars.len() as u64 + 1) as usize;
        let end = (at + dice.below(6) as usize).min(chars.len());
        match dice.below(4) {
            0 => drop(chars.drain(at..end)),
            1 => {
                let word = words[dice.below(words.len() as u64) as usize];
                drop(chars.splice(at..end, word.chars()));
            }
            2 => {
                let number = format!("{:.3}", dice.between(-60.0, 60.0));
                drop(chars.splice(at..end, number.chars()));
            }
            _ => {
                let part: Vec<char> = chars[at..(at + 20).min(chars.len())].to_vec();
                drop(chars.splice(end..end, part));
            }
        }
    }
    chars.into_iter().collect()
}

fn some_path(dice: &mut Dice) -> String {
    if dice.below(3) == 0 {
        // random turtle drawing: always parses, crosses itself
        let mut text = String::from("M0 0");
        for _ in 0..2 + dice.below(30) {
            let n: Vec<String> =
                (0..6).map(|_| format!("{:.2}", dice.between(-50.0, 50.0))).collect();
            let (letter, count) = [("L", 2), ("C", 6), ("Q", 4)][dice.below(3) as usize];
            text.push_str(letter);
            text.push_str(&n[..count].join(" "));
        }
        return text + "Z";
    }
    let seed = SEEDS[dice.below(SEEDS.len() as u64) as usize];
    mutate(dice, seed, &WORDS, 6)
}

fn some_recipe(dice: &mut Dice) -> String {
    let all = treen::intake::demo::RECIPES;
    let (_, text) = all[dice.below(all.len() as u64) as usize];
    let words =
        ["0", "-1", "1e9", "[", "]", "{", "}", ": ", "mm", "nan", "- cut:", "circle"];
    mutate(dice, text, &words, 3)
}

fn fill(text: &str) -> bool {
    let Ok(path) = path_data(text) else { return false };
    let Ok(region) = Region::filled(&path, Origin(0)) else { return false };
    ask(&region);
    true
}

fn build(text: &str) -> bool {
    let read = treen::intake::recipe("fuzz.yaml", text, "fuzz", None);
    let Some(recipe) = read.value else { return false };
    let built = treen::shape::build(&recipe, &[], "Ida", &treen::shape::NoFiles);
    let Some(form) = built.value else { return false };
    ask(&form.outline);
    true
}

fn ask(region: &Region) {
    let area = region.area();
    assert!(area.is_finite() && area >= 0.0, "area {area}");
    for profile in [Profile::outside(region, 8.0), Profile::inside(region, 8.0)] {
        let reach = profile.lowest_reach().map_or(8.0, |low| low.radius);
        assert!(reach >= 0.0, "reach {reach}");
        for left in profile.leftovers_of_each(&[1.0, 3.175]).into_iter().flatten() {
            assert!(left.iter().all(|l| l.area.is_finite()), "a leftover without a size");
        }
    }
    for after in [closing(region, 2.0, Origin(0)), opening(region, 2.0, Origin(0))] {
        let area = after.map_or(0.0, |region| region.area());
        assert!(area.is_finite(), "area {area} afterwards");
    }
    let width = thinnest(region, 8.0).map_or(0.0, |low| low.radius);
    assert!(width >= 0.0, "width {width}");
}
