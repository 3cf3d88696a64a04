//! One piece of work of a batch: taken over from an earlier run, or made.

use super::digest::Digest;
use super::earlier::Place;
use super::event::{Ending, Event, Listener};
use super::files::{Asked, present};
use super::job::Job;
use super::known::{Known, KnownRow};
use super::library::Recipes;
use super::outcome::{Outcome, Status, SwapCard};
use super::record::{Record, Row};
use super::row::{Made, files_of, taken, taken_card, used_of, written_status};
use super::run::{Bench, broken, card, internal, no_card, outcome};
use super::task::{Task, What};
use crate::finding::{Finding, Source, SourceFile};
use crate::model::Words;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

/// Something done.
#[derive(Debug)]
pub(super) enum Done<'a> {
    Order(Outcome<'a>),
    Card(SwapCard<'a>),
}

impl Done<'_> {
    fn status(&self) -> Status {
        match self {
            Self::Order(outcome) => outcome.status,
            Self::Card(card) if card.findings.is_empty() => Status::Ok,
            Self::Card(_) => Status::Error,
        }
    }

    fn findings(&self) -> &[Finding] {
        match self {
            Self::Order(outcome) => &outcome.findings,
            Self::Card(card) => &card.findings,
        }
    }
}

/// One piece of work with its row.
#[derive(Debug)]
pub(super) struct Ended<'a> {
    pub(super) done: Done<'a>,
    pub(super) row: Row,
}

/// What all pieces of work of a run share.
pub(super) struct Run<'r, 'a> {
    pub(super) job: &'r Job<'a>,
    pub(super) recipes: &'r Recipes<'a>,
    pub(super) known: &'r Known,
    pub(super) told: &'r Listener<'r>,
    /// Digests of what recipes are given from outside, each found once.
    pub(super) seen: Mutex<BTreeMap<(Option<PathBuf>, Asked), Digest>>,
    /// The cutters that outcomes name.
    pub(super) cutters: Mutex<Words>,
}

impl<'a> Run<'_, 'a> {
    /// Takes over the work of an earlier run, if it was made from the very same and is still as
    /// it was.
    pub(super) fn keep(&self, task: &Task<'a>) {
        if self.job.earlier.fresh {
            return;
        }
        if let Some((made, place)) = self.kept(task) {
            self.tell(task, Event::Kept(ending(&made)));
            self.end(task, made.done, place.map_or(Row::Held(made.row), Row::Stored));
        }
    }

    /// Such work, and where its row stands if that is as it should be.
    fn kept(&self, task: &Task<'a>) -> Option<(Made<Done<'a>>, Option<Place>)> {
        let KnownRow { row, text, place } = self.row(task)?;
        let folder = self.recipes.recipe(task.what.recipe_key())?.folder.clone();
        if !used_of(&row)?.into_iter().all(|it| self.as_it_was(folder.as_ref(), it)) {
            return None;
        }
        if !files_of(&row)?.iter().all(|file| self.job.out.holds(file)) {
            return None;
        }
        let made = match task.what {
            What::Order(order) => taken(row, order)?.map(Done::Order),
            What::Card(recipe) => taken_card(&row, recipe)?.map(Done::Card),
        };
        (made.done.status() < Status::Error).then_some(())?;
        let place = (made.row == text).then_some(place);
        Some((made, place))
    }

    /// The row of an earlier run that was made with the same key.
    fn row(&self, task: &Task<'_>) -> Option<KnownRow> {
        self.known.row(task.key?).filter(|known| task.what.is(&known.row))
    }

    fn as_it_was(
        &self,
        folder: Option<&PathBuf>,
        (asked, then): (Asked, Digest),
    ) -> bool {
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        let now = seen
            .entry((folder.cloned(), asked.clone()))
            .or_insert_with(|| present(folder.map(PathBuf::as_path), &asked));
        *now == then
    }

    /// Whether this could not be drawn before, from the very same: then nothing will be
    /// written for it.
    pub(super) fn fails_again(&self, task: &Task<'_>) -> bool {
        let error = |known: KnownRow| written_status(&known.row) == Some(Status::Error);
        task.key.is_none() || self.row(task).is_some_and(error)
    }

    /// Does the work.
    pub(super) fn make(&self, task: &Task<'a>, record: &Record<'_>) {
        self.tell(task, Event::Begun);
        let passed = |stage| self.tell(task, Event::Passed(stage));
        let bench = Bench { job: self.job, record, passed: &passed };
        let loaded = self.recipes.loaded(task.what.recipe_key());
        let made = match task.what {
            What::Order(order) => {
                outcome(&bench, order, loaded, task.key).map(Done::Order)
            }
            What::Card(name) => match loaded.and_then(|it| it.recipe.as_ref()) {
                Some(recipe) => card(&bench, name, recipe, task.key).map(Done::Card),
                None => no_card(name, Vec::new()).map(Done::Card),
            },
        };
        self.close(task, record, made);
    }

    /// Says of work that it ended in a panic.
    pub(super) fn panicked(&self, task: &Task<'a>, record: &Record<'_>, why: &str) {
        let made = match task.what {
            What::Order(order) => {
                broken(order, None, internal(why, &order.source)).map(Done::Order)
            }
            What::Card(name) => {
                let place = Source::whole(&SourceFile::new(name, ""));
                no_card(name, vec![internal(why, &place)]).map(Done::Card)
            }
        };
        self.close(task, record, made);
    }

    fn close(&self, task: &Task<'a>, record: &Record<'_>, made: Made<Done<'a>>) {
        self.tell(task, Event::Ended(ending(&made)));
        self.end(task, made.done, record.add(made.row));
    }

    /// Notes what became of a task. That is held to the end of the run, so that what it has in
    /// common with others is held once.
    fn end(&self, task: &Task<'a>, mut done: Done<'a>, row: Row) {
        if let Done::Order(Outcome { cut_out: Some(cutters), .. }) = &mut done {
            let mut held = self.cutters.lock().unwrap_or_else(PoisonError::into_inner);
            *cutters = held.held(cutters);
        }
        task.end(Ended { done, row });
    }

    fn tell(&self, task: &Task<'_>, event: Event<'_>) {
        (self.told)(task.what.subject(), event);
    }
}

fn ending<'a>(made: &'a Made<Done<'_>>) -> Ending<'a> {
    let (status, findings) = (made.done.status(), made.done.findings());
    Ending { status, files: &made.files, findings }
}
