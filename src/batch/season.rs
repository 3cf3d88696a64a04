//! A whole order list: what is there already is taken over, the rest is made side by side,
//! and all of it is collected in the order of the list.

use super::disk::WrittenFile;
use super::event::Listener;
use super::forms::findings;
use super::job::{Batch, Job};
use super::known::{Earlier, Known};
use super::outcome::{Outcome, Status, machine_time};
use super::record::{Contents, Record, Row};
use super::run::side_by_side;
use super::task::{Task, tasks};
use super::work::{Done, Ended, Run};
use crate::finding::Finding;
use serde_json::{Value, json};

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
    let kept = side_by_side(&tasks, job.threads, |task| run.kept(task));
    let kept: Vec<Option<Ended<'_>>> =
        kept.into_iter().map(|result| result.ok().flatten()).collect();
    let first = Sorted::of(kept.iter().flatten());
    let record = Record::new(job.out, book.contents(false, &[], &first), &known);
    let mut places: Vec<Option<Ended<'_>>> = Vec::new();
    places.resize_with(tasks.len(), || None);
    let mut todo: Vec<(&Task<'_>, &mut Option<Ended<'_>>)> = tasks
        .iter()
        .zip(&mut places)
        .zip(&kept)
        .filter_map(|(pair, kept)| kept.is_none().then_some(pair))
        .collect();
    // Dishes of one recipe one after the other: they ask much the same.
    todo.sort_by_key(|(task, _)| task.what.recipe_key());
    if todo.iter().any(|(task, _)| !run.fails_again(task)) {
        record.begin()?;
    }
    let made = side_by_side(&todo, job.threads, |(task, _)| run.made(task, &record));
    for ((task, place), result) in todo.into_iter().zip(made) {
        let panicked = |why: String| run.panicked(task, &record, &why);
        *place = Some(result.unwrap_or_else(panicked));
    }
    let all = kept.iter().zip(&places);
    let all = all.filter_map(|(kept, made)| kept.as_ref().or(made.as_ref()));
    let (former, gone) =
        book.concluded((job, &known), record, &Sorted::of(all), &earlier.manifest)?;
    let known_orders = first.orders.len();
    let mut batch = Batch { kept: known_orders, former, gone, ..Batch::default() };
    for (kept, made) in kept.into_iter().zip(places) {
        match kept.or(made).map(|ended| ended.done) {
            Some(Done::Order(outcome)) => batch.outcomes.push(*outcome),
            Some(Done::Card(card)) => batch.cards.push(card),
            None => {}
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

    /// Writes the manifest and puts the folder in order: files of earlier runs that are left, and
    /// those that were removed.
    fn concluded(
        &self,
        (job, known): (&Job<'_>, &Known<'_>),
        record: Record<'_>,
        sorted: &Sorted<'_>,
        there: &[u8],
    ) -> Result<(Vec<String>, Vec<String>), Box<Finding>> {
        let former = known.former(job.out);
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
        record.finish(&self.contents(true, &left, sorted), there)?;
        record.close()?;
        let paths =
            |files: Vec<WrittenFile>| files.into_iter().map(|it| it.path).collect();
        Ok((paths(left), paths(gone)))
    }
}

/// Outcomes and rows, those of orders and those of cards.
#[derive(Default)]
struct Sorted<'a> {
    outcomes: Vec<&'a Outcome>,
    orders: Vec<&'a Row<'a>>,
    cards: Vec<&'a Row<'a>>,
}

impl<'a> Sorted<'a> {
    fn of(ended: impl Iterator<Item = &'a Ended<'a>>) -> Self {
        let mut sorted = Self::default();
        for Ended { done, row } in ended {
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
