//! A whole order list: what is there already is taken over, the rest is made side by side,
//! and all of it is collected in the order of the list.

use super::digest::Digest;
use super::disk::WrittenFile;
use super::earlier::Earlier;
use super::event::Listener;
use super::forms::findings;
use super::job::{Batch, Job};
use super::known::Known;
use super::outcome::{Outcome, Status, machine_time};
use super::record::{Contents, Record, Row};
use super::run::side_by_side;
use super::task::{Task, tasks};
use super::work::{Done, Ended, Run};
use crate::finding::Finding;
use serde_json::{Value, json};
use std::sync::Mutex;

/// Makes every order's sheets and every recipe's swap card, but for those that an earlier run
/// has made from the very same and that nobody touched, and writes the manifest. An order that
/// fails, even by a panic, says so in its outcome and the others go on. `told` hears of each.
pub fn proof<'a>(job: &Job<'a>, told: &Listener<'_>) -> Result<Batch<'a>, Box<Finding>> {
    job.out.clear();
    let known = Known::of(Earlier::of(job.out));
    let recipes = job.library.load_for(job.orders);
    let (tasks, list) = tasks(job, &recipes);
    let book = Book::of(job, list);
    let (seen, cutters) = (Mutex::default(), Mutex::default());
    let run = Run { job, recipes: &recipes, known: &known, told, seen, cutters };
    // One whose taking over ends in a panic is made.
    side_by_side(&tasks, job.threads, |task| run.keep(task));
    let first = Sorted::of(&tasks);
    let record = Record::new(job.out, book.contents(false, &[], &first), &known);
    let mut todo: Vec<&Task<'_>> =
        tasks.iter().filter(|task| task.ended.get().is_none()).collect();
    // Dishes of one recipe one after the other: they ask much the same.
    todo.sort_by_key(|task| task.what.recipe_key());
    if todo.iter().any(|task| !run.fails_again(task)) {
        record.begin()?;
    }
    let made = side_by_side(&todo, job.threads, |task| run.make(task, &record));
    for (task, result) in todo.iter().zip(made) {
        if let Err(why) = result {
            run.panicked(task, &record, &why);
        }
    }
    let (former, gone) = book.concluded(job, record, &Sorted::of(&tasks))?;
    let kept = first.orders.len();
    let mut batch = Batch { kept, former, gone, ..Batch::default() };
    for ended in tasks.into_iter().filter_map(|task| task.ended.into_inner()) {
        match ended.done {
            Done::Order(outcome) => batch.outcomes.push(outcome),
            Done::Card(card) => batch.cards.push(card),
        }
    }
    Ok(batch)
}

/// What a manifest says beside its rows.
struct Book {
    said: Value,
    part: Option<Value>,
}

impl Book {
    fn of(job: &Job<'_>, list: Digest) -> Self {
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
        sorted: &'a Sorted<'_, '_>,
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

    /// Writes the manifest and puts the folder in order: files of earlier runs that are left, and
    /// those that were removed.
    fn concluded(
        &self,
        job: &Job<'_>,
        record: Record<'_>,
        sorted: &Sorted<'_, '_>,
    ) -> Result<(Vec<String>, Vec<String>), Box<Finding>> {
        let former = record.former(&[&sorted.orders, &sorted.cards])?;
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
        record.finish(&self.contents(true, &left, sorted))?;
        record.close()?;
        let paths =
            |files: Vec<WrittenFile>| files.into_iter().map(|it| it.path).collect();
        Ok((paths(left), paths(gone)))
    }
}

/// Outcomes and rows, those of orders and those of cards.
#[derive(Default)]
struct Sorted<'t, 'a> {
    outcomes: Vec<&'t Outcome<'a>>,
    orders: Vec<&'t Row>,
    cards: Vec<&'t Row>,
}

impl<'t, 'a> Sorted<'t, 'a> {
    /// Those there are.
    fn of(tasks: &'t [Task<'a>]) -> Self {
        let mut sorted = Self::default();
        for Ended { done, row } in tasks.iter().filter_map(|task| task.ended.get()) {
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
        let rest = |outcome: &&Outcome<'_>| path.strip_prefix(outcome.order.id.as_str());
        let kinds = ["-proof", "-bench", "-cutting"];
        let sheet = |rest: &str| kinds.iter().any(|kind| rest.starts_with(kind));
        failed.filter_map(rest).any(sheet)
    }
}
