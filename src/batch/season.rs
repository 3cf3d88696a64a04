//! A whole order list: what is there already is taken over, the rest is made side by side,
//! and all of it is collected in the order of the list.

use super::disk::WrittenFile;
use super::files::{Asked, present};
use super::job::{Batch, Event, Job, Listener, Subject};
use super::key;
use super::known::{Earlier, Known};
use super::library::Loaded;
use super::outcome::{Outcome, Status, SwapCard};
use super::record::{Contents, Record, Row};
use super::row::{Made, files_of, taken, taken_card, used_of};
use super::run::{broken, card, internal, no_card, outcome, side_by_side};
use crate::finding::{Finding, Source, SourceFile};
use crate::model::{Order, Recipe};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

/// One piece of work and the key of all it depends on; no key where it cannot be done.
struct Task<'a> {
    what: What<'a>,
    loaded: Option<&'a Loaded>,
    key: Option<String>,
}

#[derive(Clone, Copy)]
enum What<'a> {
    Order(&'a Order),
    Card(&'a str),
}

impl<'a> What<'a> {
    fn recipe(self) -> &'a str {
        match self {
            Self::Order(order) => &order.recipe,
            Self::Card(recipe) => recipe,
        }
    }

    fn subject(self) -> Subject<'a> {
        match self {
            Self::Order(order) => Subject::Order(&order.id),
            Self::Card(recipe) => Subject::Card(recipe),
        }
    }
}

enum Done {
    Order(Outcome),
    Card(SwapCard),
}

impl Done {
    fn status(&self) -> Status {
        match self {
            Self::Order(outcome) => outcome.status,
            Self::Card(card) if card.findings.is_empty() => Status::Ok,
            Self::Card(_) => Status::Error,
        }
    }
}

/// One piece of work with its row and those of its files that earlier runs wrote too.
struct Ended {
    done: Done,
    row: Row,
    again: Vec<String>,
}

/// Makes every order's sheets and every recipe's swap card, but for those that an earlier run
/// has made from the very same and that nobody touched, and writes the manifest. An order that
/// fails, even by a panic, says so in its outcome and the others go on. `told` hears of each.
pub fn proof(job: &Job<'_>, told: &Listener<'_>) -> Result<Batch, Box<Finding>> {
    job.out.clear();
    let earlier = Earlier::read(job.out);
    let known = earlier.known();
    let recipes = job.library.load_for(job.orders);
    let tasks = tasks(job, &recipes);
    let run = Run { job, known: &known, seen: Mutex::default() };
    let mut ended = side_by_side(&tasks, job.threads, |task| {
        let kept = run.kept(task);
        kept.is_some().then(|| told(task.what.subject(), Event::Kept));
        kept
    });
    let mut ended: Vec<Option<Ended>> =
        ended.drain(..).map(|result| result.ok().flatten()).collect();
    let kept =
        ended.iter().flatten().filter(|it| matches!(it.done, Done::Order(_))).count();
    let record = record(job, &known, &ended)?;
    let mut todo: Vec<(usize, &Task<'_>)> = tasks
        .iter()
        .enumerate()
        .filter(|(at, _)| ended.get(*at).is_some_and(Option::is_none))
        .collect();
    // Dishes of one recipe one after the other: they ask much the same.
    todo.sort_by_key(|(_, task)| task.what.recipe());
    if todo.iter().any(|(_, task)| !run.fails_again(task)) {
        record.begin()?;
    }
    let made = side_by_side(&todo, job.threads, |(_, task)| {
        told(task.what.subject(), Event::Begun);
        let ended = run.made(task, &record);
        told(task.what.subject(), Event::Ended(ended.done.status()));
        ended
    });
    for ((at, task), result) in todo.iter().zip(made) {
        let done = result.unwrap_or_else(|why| {
            told(task.what.subject(), Event::Ended(Status::Error));
            run.panicked(task, &record, &why)
        });
        if let Some(place) = ended.get_mut(*at) {
            *place = Some(done);
        }
    }
    let ended: Vec<Ended> = ended.into_iter().flatten().collect();
    concluded(job, &known, record, ended, (&earlier.manifest, kept))
}

fn tasks<'a>(
    job: &Job<'a>,
    recipes: &'a BTreeMap<&'a str, Option<Loaded>>,
) -> Vec<Task<'a>> {
    let common = key::common(job);
    let loaded = |key: &str| recipes.get(key).and_then(Option::as_ref);
    let orders = job.orders.orders.iter().map(|order| {
        let loaded = loaded(&order.recipe);
        let recipe = loaded.and_then(|loaded| loaded.recipe.as_ref());
        let key = recipe.map(|recipe| key::of_order(&common, recipe, order));
        Task { what: What::Order(order), loaded, key }
    });
    let cards = job.orders.recipes().into_iter().map(|name| {
        let loaded = loaded(name);
        let recipe = loaded.and_then(|loaded| loaded.recipe.as_ref());
        let key = recipe.map(|recipe| key::of_card(&common, recipe));
        Task { what: What::Card(name), loaded, key }
    });
    orders.chain(cards).collect()
}

/// The record of a run that stays with what was kept.
fn record<'a>(
    job: &Job<'a>,
    known: &Known<'_>,
    kept: &[Option<Ended>],
) -> Result<Record<'a>, Box<Finding>> {
    let (outcomes, orders, cards) = sorted(kept.iter().flatten());
    let contents = Contents {
        complete: false,
        said: job.said,
        former: &[],
        outcomes: &outcomes,
        orders: &orders,
        cards: &cards,
    };
    let files = known.files.iter().flat_map(|(path, hashes)| {
        let file =
            |sha256: &String| WrittenFile { path: path.clone(), sha256: sha256.clone() };
        hashes.iter().map(file)
    });
    let files: Vec<WrittenFile> = files.collect();
    Record::new(job.out, &contents, &files)
        .map_err(|error| job.out.unwritten(super::known::MANIFEST, &error))
}

/// Outcomes and rows, those of orders and those of cards.
fn sorted<'a>(
    ended: impl Iterator<Item = &'a Ended>,
) -> (Vec<&'a Outcome>, Vec<&'a Row>, Vec<&'a Row>) {
    let (mut outcomes, mut orders, mut cards) = (Vec::new(), Vec::new(), Vec::new());
    for Ended { done, row, .. } in ended {
        match done {
            Done::Order(outcome) => {
                outcomes.push(outcome);
                orders.push(row);
            }
            Done::Card(_) => cards.push(row),
        }
    }
    (outcomes, orders, cards)
}

/// Writes the manifest and puts the folder in order.
fn concluded(
    job: &Job<'_>,
    known: &Known<'_>,
    record: Record<'_>,
    ended: Vec<Ended>,
    (there, kept): (&[u8], usize),
) -> Result<Batch, Box<Finding>> {
    let named: BTreeSet<String> =
        ended.iter().flat_map(|ended| ended.again.iter().cloned()).collect();
    let former = known.former(&named, job.out);
    let (outcomes, orders, cards) = sorted(ended.iter());
    let (gone, left): (Vec<WrittenFile>, Vec<WrittenFile>) = former
        .into_iter()
        .partition(|file| job.earlier.tidy && !listed(&outcomes, &file.path));
    if !gone.is_empty() {
        // A manifest that does not name them must be there before they go.
        record.begin()?;
        for file in &gone {
            let removed = job.out.remove(&file.path);
            removed.map_err(|error| job.out.unwritten(&file.path, &error))?;
        }
    }
    let contents = Contents {
        complete: true,
        said: job.said,
        former: &left,
        outcomes: &outcomes,
        orders: &orders,
        cards: &cards,
    };
    record.finish(&contents, there)?;
    record.close()?;
    let paths = |files: Vec<WrittenFile>| files.into_iter().map(|it| it.path).collect();
    let (former, gone) = (paths(left), paths(gone));
    let mut batch = Batch { outcomes: Vec::new(), cards: Vec::new(), kept, former, gone };
    for Ended { done, .. } in ended {
        match done {
            Done::Order(outcome) => batch.outcomes.push(outcome),
            Done::Card(card) => batch.cards.push(card),
        }
    }
    Ok(batch)
}

/// Whether a sheet is of an order that is in the list, though it could not be made now.
fn listed(outcomes: &[&Outcome], path: &str) -> bool {
    let failed = outcomes.iter().filter(|outcome| outcome.status == Status::Error);
    let rest = |outcome: &&Outcome| path.strip_prefix(outcome.id.as_str());
    let sheet = |rest: &str| rest.starts_with("-proof") || rest.starts_with("-bench");
    failed.filter_map(rest).any(sheet)
}

/// What all pieces of work of a run share.
struct Run<'a> {
    job: &'a Job<'a>,
    known: &'a Known<'a>,
    /// Digests of what recipes are given from outside, each found once.
    seen: Mutex<BTreeMap<(Option<PathBuf>, Asked), String>>,
}

impl Run<'_> {
    /// The work of an earlier run, if it was made from the very same and is still as it was.
    fn kept(&self, task: &Task<'_>) -> Option<Ended> {
        if self.job.earlier.fresh {
            return None;
        }
        let row = self.row(task)?;
        let folder = task.loaded?.recipe.as_ref()?.folder.clone();
        if !used_of(&row)?.into_iter().all(|it| self.as_it_was(folder.as_ref(), it)) {
            return None;
        }
        let mut files = files_of(&row)?.into_iter();
        let whole =
            |file: WrittenFile| self.job.out.hash_of(&file.path) == Some(file.sha256);
        if !files.all(whole) {
            return None;
        }
        match task.what {
            What::Order(order) => {
                let made = taken(row, order)?;
                (made.done.status < Status::Error).then_some(())?;
                Some(self.ended(made, Done::Order, Row::Held))
            }
            What::Card(_) => Some(self.ended(taken_card(&row)?, Done::Card, Row::Held)),
        }
    }

    fn row(&self, task: &Task<'_>) -> Option<Value> {
        let key = task.key.as_deref()?;
        match task.what {
            What::Order(order) => self.known.order(&order.id, key),
            What::Card(recipe) => self.known.card(recipe, key),
        }
    }

    fn as_it_was(
        &self,
        folder: Option<&PathBuf>,
        (asked, then): (Asked, String),
    ) -> bool {
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        let now = seen
            .entry((folder.cloned(), asked.clone()))
            .or_insert_with(|| present(folder.map(PathBuf::as_path), &asked));
        *now == then
    }

    /// Whether this could not be drawn before, from the very same: then nothing will be
    /// written for it.
    fn fails_again(&self, task: &Task<'_>) -> bool {
        let drawable = task.loaded.is_some_and(|loaded| loaded.recipe.is_some());
        let error = |row: Value| {
            row.get("status").and_then(Value::as_str) == Some(Status::Error.word())
        };
        !drawable || self.row(task).is_some_and(error)
    }

    fn made(&self, task: &Task<'_>, record: &Record<'_>) -> Ended {
        let add = |row| record.add(row);
        let key = task.key.as_deref();
        match task.what {
            What::Order(order) => {
                let made = outcome(self.job, record, order, task.loaded, key);
                self.ended(made, Done::Order, add)
            }
            What::Card(name) => {
                let recipe: Option<&Recipe> =
                    task.loaded.and_then(|loaded| loaded.recipe.as_ref());
                let made = recipe.map_or_else(
                    || no_card(name, Vec::new()),
                    |recipe| card(self.job, record, recipe, key),
                );
                self.ended(made, Done::Card, add)
            }
        }
    }

    fn panicked(&self, task: &Task<'_>, record: &Record<'_>, why: &str) -> Ended {
        let add = |row| record.add(row);
        match task.what {
            What::Order(order) => {
                let made = broken(order, None, internal(why, &order.source));
                self.ended(made, Done::Order, add)
            }
            What::Card(name) => {
                let place = Source::whole(&SourceFile::new(name, ""));
                let made = no_card(name, vec![internal(why, &place)]);
                self.ended(made, Done::Card, add)
            }
        }
    }

    fn ended<T>(
        &self,
        made: Made<T>,
        done: impl Fn(T) -> Done,
        row: impl Fn(String) -> Row,
    ) -> Ended {
        let paths = made.files.into_iter().map(|file| file.path);
        let again = paths.filter(|path| self.known.files.contains_key(path)).collect();
        Ended { done: done(made.done), row: row(made.row), again }
    }
}
