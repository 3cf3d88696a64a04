//! What is told while a batch runs, and the lines of JSON made of it.

use super::disk::WrittenFile;
use super::forms::findings;
use super::job::{Batch, Job};
use super::outcome::Status;
use crate::finding::{Finding, rounded};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// The JSON Schema of a line of events (draft 2020-12).
pub const EVENTS_SCHEMA: &str = include_str!("../../shapes/schema/events.json");

/// What is worked on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject<'a> {
    /// The sheets of an order, by its id.
    Order(&'a str),
    /// The swap card of a recipe, by its key.
    Card(&'a str),
}

impl<'a> Subject<'a> {
    /// What it is, as printed, and its id or key.
    pub const fn named(self) -> (&'static str, &'a str) {
        match self {
            Self::Order(id) => ("order", id),
            Self::Card(recipe) => ("swap_card", recipe),
        }
    }
}

/// What happened to it.
#[derive(Clone, Copy, Debug)]
pub enum Event<'a> {
    /// Work on it begins.
    Begun,
    /// A stage of the work is done; some come more than once.
    Passed(Stage),
    /// It was there already, made from the same.
    Kept(Ending<'a>),
    /// Work on it has ended so.
    Ended(Ending<'a>),
}

/// A stage of the work on one order or card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// From the recipe to what was found, and to the plan where there is one.
    Examined,
    /// Marks on paper.
    Laid,
    /// Marks to SVG.
    Svg,
    /// Marks to PNG.
    Png,
    /// Marks to PDF.
    Pdf,
    /// The page that turns the dish, and its file.
    Turned,
    /// Files written, flushed and renamed.
    Stored,
}

impl Stage {
    /// As printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Examined => "examined",
            Self::Laid => "laid",
            Self::Svg => "svg",
            Self::Png => "png",
            Self::Pdf => "pdf",
            Self::Turned => "turned",
            Self::Stored => "stored",
        }
    }
}

/// Seconds by stage.
pub type Timings = BTreeMap<Stage, f64>;

/// How work on something ended.
#[derive(Clone, Copy, Debug)]
pub struct Ending<'a> {
    /// Its status.
    pub status: Status,
    /// The files it has now.
    pub files: &'a [WrittenFile],
    /// What must be looked at, everything where it could not be drawn; the manifest has all.
    pub findings: &'a [Finding],
}

/// Who is told of every event, from whatever thread it comes.
pub type Listener<'a> = dyn Fn(Subject<'_>, Event<'_>) + Sync + 'a;

/// The line before all others where a page is open: its address.
pub fn page_json(url: &str) -> String {
    line(0.0, "page", json!({ "url": url }))
}

/// The first line: what there is to do.
pub fn started_json(job: &Job<'_>) -> String {
    line(
        0.0,
        "started",
        json!({
            "treen": env!("CARGO_PKG_VERSION"),
            "orders": job.share().len(),
            "swap_cards": job.cards().len(),
            "part": job.part.map(|part| json!({ "number": part.number(), "of": part.of() })),
            "findings": findings(job.said),
        }),
    )
}

/// The line of an event, so many seconds after the run began, with the time its stages took;
/// stages have no lines of their own.
pub fn event_json(
    seconds: f64,
    subject: Subject<'_>,
    event: Event<'_>,
    timings: &Timings,
) -> Option<String> {
    let (word, ending) = match event {
        Event::Begun => ("begun", None),
        Event::Passed(_) => return None,
        Event::Kept(ending) => ("kept", Some(ending)),
        Event::Ended(ending) => ("ended", Some(ending)),
    };
    let (kind, id) = subject.named();
    let mut value = json!({ (kind): id, "status": ending.map(|it| it.status.word()) });
    if let Some(ending) = ending {
        let files = ending.files.iter().map(|file| file.path.as_str());
        value["files"] = json!(files.collect::<Vec<_>>());
        value["findings"] = json!(findings(ending.findings));
        value["stages_s"] = stages(timings);
    }
    Some(line(seconds, word, value))
}

/// The last line: what it came to, and the time of all stages on all threads.
pub fn finished_json(seconds: f64, batch: &Batch<'_>, timings: &Timings) -> String {
    let mut counts = Map::new();
    for status in Status::ALL {
        let count = batch.outcomes.iter().filter(|outcome| outcome.status == status);
        counts.insert(status.word().to_owned(), json!(count.count()));
    }
    let (dishes, minutes) = batch.machine_time();
    line(
        seconds,
        "finished",
        json!({
            "orders": counts,
            "kept": batch.kept,
            "sheet_files": batch.outcomes.iter().map(|it| it.files).sum::<usize>(),
            "swap_card_files": batch.cards.iter().map(|it| it.files).sum::<usize>(),
            "former": batch.former,
            "removed": batch.gone,
            "machine_time": { "dishes": dishes, "minutes": rounded(minutes) },
            "stages_s": stages(timings),
        }),
    )
}

/// The only or last line of a run that could not be carried out.
pub fn refused_json(seconds: f64, why: &[Finding]) -> String {
    line(seconds, "refused", json!({ "findings": findings(why) }))
}

fn stages(timings: &Timings) -> Value {
    let times = timings.iter();
    times.map(|(stage, time)| (stage.word().to_owned(), rounded(*time))).collect()
}

fn line(seconds: f64, event: &str, mut value: Value) -> String {
    value["at_s"] = rounded(seconds);
    value["event"] = json!(event);
    format!("{value}\n")
}
