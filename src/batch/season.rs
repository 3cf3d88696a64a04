//! A whole order list: what is there already is taken over, the rest is made side by side,
//! and all of it is collected in the order of the list.

use super::disk::WrittenFile;
use super::event::Listener;
use super::forms::findings;
use super::job::{Batch, Job};
use super::known::{Earlier, Known, MANIFEST};
use super::outcome::{Outcome, Status, machine_time};
use super::record::{Contents, Record, Row};
use super::run::side_by_side;
use super::task::{Task, tasks};
use super::work::{Done, Ended, Run};
use crate::finding::Finding;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// Makes every order's sheets and every recipe's swap card, but for those that an earlier run
/// has made from the very same and that nobody touched, and writes the manifest. An order that
/// fails, even by a panic, says so in its outcome and the others go on. `told` hears of each.
pub fn proof(job: &Job<'_>, told: &Listener<'_>) -> Result<Batch, Box<Finding>> {
    job.out.clear();
    let earlier = Earlier::read(job.out);
    let known = earlier.known();
    let recipes = job.library.load_for(job.orders);
    let (tasks, list) = tasks(job, &recipes);
    let book = Book::of(job, &list);
    let run = Run::new(job, &known, told);
    let mut ended = side_by_side(&tasks, job.threads, |task| run.kept(task));
    let mut ended: Vec<Option<Ended>> =
        ended.drain(..).map(|result| result.ok().flatten()).collect();
    let kept =
        ended.iter().flatten().filter(|it| matches!(it.done, Done::Order(_))).count();
    let record = book.begun(job, &known, &ended)?;
    let mut todo: Vec<(usize, &Task<'_>)> = tasks
        .iter()
        .enumerate()
        .filter(|(at, _)| ended.get(*at).is_some_and(Option::is_none))
        .collect();
    // Dishes of one recipe one after the other: they ask much the same.
    todo.sort_by_key(|(_, task)| task.what.recipe_key());
    if todo.iter().any(|(_, task)| !run.fails_again(task)) {
        record.begin()?;
    }
    let made = side_by_side(&todo, job.threads, |(_, task)| run.made(task, &record));
    for ((at, task), result) in todo.iter().zip(made) {
        let done = result.unwrap_or_else(|why| run.panicked(task, &record, &why));
        if let Some(place) = ended.get_mut(*at) {
            *place = Some(done);
        }
    }
    let ended: Vec<Ended> = ended.into_iter().flatten().collect();
    book.concluded((job, &known), record, ended, (&earlier.manifest, kept))
}

/// What a manifest says beside its rows.
struct Book {
    said: Value,
    part: Option<Value>,
}

impl Book {
    fn of(job: &Job<'_>, list: &str) -> Self {
        let part = job.part.map(|part| {
            json!({
                "number": part.number(),
                "of": part.of(),
                "orders": job.orders.orders.len(),
                "swap_cards": job.orders.recipes().len(),
                "list": list,
            })
        });
        Self { said: json!(findings(job.said)), part }
    }

    fn contents<'a>(
        &'a self,
        complete: bool,
        former: &'a [WrittenFile],
        sorted: &'a Sorted<'_>,
    ) -> Contents<'a> {
        Contents {
            complete,
            said: &self.said,
            former,
            time: machine_time(sorted.outcomes.iter().filter_map(|it| it.time())),
            orders: &sorted.orders,
            part: self.part.as_ref(),
            cards: &sorted.cards,
        }
    }

    /// The record of a run that stays with what was kept.
    fn begun<'a>(
        &self,
        job: &Job<'a>,
        known: &Known<'_>,
        kept: &[Option<Ended>],
    ) -> Result<Record<'a>, Box<Finding>> {
        let sorted = Sorted::of(kept.iter().flatten());
        Record::new(job.out, &self.contents(false, &[], &sorted), known)
            .map_err(|error| job.out.unwritten(MANIFEST, &error))
    }

    /// Writes the manifest and puts the folder in order.
    fn concluded(
        &self,
        (job, known): (&Job<'_>, &Known<'_>),
        record: Record<'_>,
        ended: Vec<Ended>,
        (there, kept): (&[u8], usize),
    ) -> Result<Batch, Box<Finding>> {
        let named: BTreeSet<String> =
            ended.iter().flat_map(|ended| ended.again.iter().cloned()).collect();
        let former = known.former(&named, job.out);
        let sorted = Sorted::of(ended.iter());
        let (gone, left): (Vec<WrittenFile>, Vec<WrittenFile>) = former
            .into_iter()
            .partition(|file| job.earlier.tidy && !sorted.listed(&file.path));
        if !gone.is_empty() {
            // A manifest that does not name them must be there before they go.
            record.begin()?;
            for file in &gone {
                let removed = job.out.remove(&file.path);
                removed.map_err(|error| job.out.unwritten(&file.path, &error))?;
            }
        }
        record.finish(&self.contents(true, &left, &sorted), there)?;
        record.close()?;
        let paths =
            |files: Vec<WrittenFile>| files.into_iter().map(|it| it.path).collect();
        let (former, gone) = (paths(left), paths(gone));
        let mut batch =
            Batch { outcomes: Vec::new(), cards: Vec::new(), kept, former, gone };
        for Ended { done, .. } in ended {
            match done {
                Done::Order(outcome) => batch.outcomes.push(outcome),
                Done::Card(card) => batch.cards.push(card),
            }
        }
        Ok(batch)
    }
}

/// Outcomes and rows, those of orders and those of cards.
#[derive(Default)]
struct Sorted<'a> {
    outcomes: Vec<&'a Outcome>,
    orders: Vec<&'a Row>,
    cards: Vec<&'a Row>,
}

impl<'a> Sorted<'a> {
    fn of(ended: impl Iterator<Item = &'a Ended>) -> Self {
        let mut sorted = Self::default();
        for Ended { done, row, .. } in ended {
            match done {
                Done::Order(outcome) => {
                    sorted.outcomes.push(outcome);
                    sorted.orders.push(row);
                }
                Done::Card(_) => sorted.cards.push(row),
            }
        }
        sorted
    }

    /// Whether a sheet is of an order that is in the list, though it could not be made now.
    fn listed(&self, path: &str) -> bool {
        let failed = self.outcomes.iter().filter(|it| it.status == Status::Error);
        let rest = |outcome: &&Outcome| path.strip_prefix(outcome.id.as_str());
        let kinds = ["-proof", "-bench", "-cutting"];
        let sheet = |rest: &str| kinds.iter().any(|kind| rest.starts_with(kind));
        failed.filter_map(rest).any(sheet)
    }
}
