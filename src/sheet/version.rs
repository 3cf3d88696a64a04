//! A short mark of what a proof promises: another dish, another mark.

use super::solid::solid;
use crate::curve::{BezPath, PathEl, Point, Region};
use crate::dish::Dish;
use crate::feasibility::Report;
use crate::finding::Severity;
use crate::model::Shop;
use crate::plan::Plan;
use crate::relief::{Cut, Solid};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// Profiles of cutters are looked at in steps of so many mm.
const STEP: f64 = 0.5;
/// So many of them.
const STEPS: u32 = 40;

/// The mark of a dish as its cutters leave it: who it is for, how many, its wood, its shape to
/// 0.01 mm, what stands in the way of it. Neither the language of the sheet nor its layout
/// counts, nor a cutter that leaves the same wood as another, nor the date.
pub fn version(dish: &Dish, report: &Report, plan: &Plan, shop: &Shop) -> String {
    marked(dish, report, &solid(dish, plan, shop))
}

/// That of a dish whose solid is known.
pub(super) fn marked(dish: &Dish, report: &Report, solid: &Solid) -> String {
    let mut facts = Facts::default();
    let order = [&dish.id, &dish.person, &dish.title, &dish.wood.name];
    facts.words(order.map(String::as_str));
    facts.words([
        dish.quantity.to_string().as_str(),
        dish.note.as_deref().unwrap_or_default(),
    ]);
    for finding in report.findings.iter().filter(|f| f.severity == Severity::Stop) {
        facts.words([finding.code.word()]);
    }
    facts.numbers("board", [solid.thickness, solid.outer_round.unwrap_or(0.0)]);
    facts.region("outline", &solid.outline);
    for edge in &solid.edges {
        facts.numbers("edge", [edge.radius]);
        facts.region("of", &edge.hollow);
    }
    solid.cuts.iter().for_each(|cut| facts.cut(cut));
    let hash = Sha256::digest(facts.0.as_bytes());
    let [a, b, c, d, ..] = <[u8; 32]>::from(hash);
    format!("{a:02x}{b:02x}-{c:02x}{d:02x}")
}

/// What is promised, a fact on each line.
#[derive(Default)]
struct Facts(String);

impl Facts {
    /// Each with its length before it, so that none can pass for another.
    fn words<'a>(&mut self, words: impl IntoIterator<Item = &'a str>) {
        for word in words {
            self.put(format_args!("{} {word}\n", word.len()));
        }
    }

    fn numbers(&mut self, what: &str, numbers: impl IntoIterator<Item = f64>) {
        self.0.push_str(what);
        for number in numbers {
            #[expect(clippy::cast_possible_truncation, reason = "coordinates are small")]
            let hundredths = (number * 100.0).round() as i64;
            self.put(format_args!(" {hundredths}"));
        }
        self.0.push('\n');
    }

    fn region(&mut self, what: &str, region: &Region) {
        self.path(what, &region.path());
    }

    fn path(&mut self, what: &str, path: &BezPath) {
        self.0.push_str(what);
        self.0.push('\n');
        let flat = |points: &[Point]| points.iter().flat_map(|p| [p.x, p.y]).collect();
        for element in path.elements() {
            let (letter, numbers): (&str, Vec<f64>) = match *element {
                PathEl::MoveTo(p) => ("M", flat(&[p])),
                PathEl::LineTo(p) => ("L", flat(&[p])),
                PathEl::QuadTo(a, p) => ("Q", flat(&[a, p])),
                PathEl::CurveTo(a, b, p) => ("C", flat(&[a, b, p])),
                PathEl::ClosePath => ("Z", Vec::new()),
            };
            self.numbers(letter, numbers);
        }
    }

    fn cut(&mut self, cut: &Cut) {
        match cut {
            Cut::Cleared { area, by, depth } => {
                self.numbers("cleared", [*depth]);
                self.region("area", area);
                // The wall from its upper edge inwards, whatever the cutter's width.
                let shown = by.shown(*depth);
                self.numbers("wall", at_steps(|off| by.height((shown - off).max(0.0))));
            }
            Cut::Led { middle, by, depth } => {
                self.numbers("led", [*depth]);
                self.region("middle", middle);
                self.numbers("end", at_steps(|off| by.height(off)));
            }
            Cut::Along { lines, by, depth } => {
                self.numbers("along", [*depth]);
                self.path("lines", lines);
                self.numbers("end", at_steps(|off| by.height(off)));
            }
            Cut::Pointed { area, by, surface, limit } => {
                self.numbers("pointed", [*surface, *limit]);
                self.region("area", area);
                self.numbers("end", at_steps(|off| by.height_at(off)));
            }
        }
    }

    /// Writing to a string cannot fail.
    fn put(&mut self, what: std::fmt::Arguments<'_>) {
        let _ = self.0.write_fmt(what);
    }
}

fn at_steps(height: impl Fn(f64) -> Option<f64>) -> impl Iterator<Item = f64> {
    (0..STEPS).map_while(move |step| height(f64::from(step) * STEP))
}
