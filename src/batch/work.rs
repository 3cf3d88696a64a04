//! One piece of work of a batch: taken over from an earlier run, or made.

use super::event::{Ending, Event, Listener};
use super::files::{Asked, present};
use super::job::Job;
use super::known::Known;
use super::outcome::{Outcome, Status, SwapCard};
use super::record::{Record, Row};
use super::row::{Made, files_of, taken, taken_card, used_of, written_status};
use super::run::{Bench, broken, card, internal, no_card, outcome};
use super::task::{Task, What};
use crate::finding::{Finding, Source, SourceFile};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

/// Something done.
#[derive(Debug)]
pub(super) enum Done {
    Order(Box<Outcome>),
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
    pub(super) done: Done,
    pub(super) row: Row<'a>,
}

/// What all pieces of work of a run share.
pub(super) struct Run<'a> {
    job: &'a Job<'a>,
    known: &'a Known<'a>,
    told: &'a Listener<'a>,
    /// Digests of what recipes are given from outside, each found once.
    seen: Mutex<BTreeMap<(Option<PathBuf>, Asked), String>>,
}

impl<'a> Run<'a> {
    pub(super) fn new(
        job: &'a Job<'a>,
        known: &'a Known<'a>,
        told: &'a Listener<'a>,
    ) -> Self {
        Self { job, known, told, seen: Mutex::default() }
    }

    /// The work of an earlier run, if it was made from the very same and is still as it was.
    pub(super) fn kept(&self, task: &Task<'_>) -> Option<Ended<'a>> {
        if self.job.earlier.fresh {
            return None;
        }
        let (row, text) = self.row(task)?;
        let folder = task.recipe()?.folder.clone();
        if !used_of(&row)?.into_iter().all(|it| self.as_it_was(folder.as_ref(), it)) {
            return None;
        }
        if !files_of(&row)?.iter().all(|file| self.job.out.holds(file)) {
            return None;
        }
        let made = match task.what {
            What::Order(order) => taken(row, order)?.map(Box::new).map(Done::Order),
            What::Card(_) => taken_card(&row)?.map(Done::Card),
        };
        (made.done.status() < Status::Error).then_some(())?;
        self.tell(task, Event::Kept(ending(&made)));
        let row = |row| if row == text { Row::There(text) } else { Row::Held(row) };
        Some(self.ended(made, row))
    }

    fn row(&self, task: &Task<'_>) -> Option<(Value, &'a str)> {
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
    pub(super) fn fails_again(&self, task: &Task<'_>) -> bool {
        let error = |row: Value| written_status(&row) == Some(Status::Error);
        task.recipe().is_none() || self.row(task).is_some_and(|(row, _)| error(row))
    }

    /// Does the work.
    pub(super) fn made(&self, task: &Task<'_>, record: &Record<'_>) -> Ended<'a> {
        self.tell(task, Event::Begun);
        let passed = |stage| self.tell(task, Event::Passed(stage));
        let bench = Bench { job: self.job, record, passed: &passed };
        let key = task.key.as_deref();
        let made = match task.what {
            What::Order(order) => {
                outcome(&bench, order, task.loaded, key).map(Box::new).map(Done::Order)
            }
            What::Card(name) => match task.recipe() {
                Some(recipe) => card(&bench, recipe, key).map(Done::Card),
                None => no_card(name, Vec::new()).map(Done::Card),
            },
        };
        self.closed(task, record, made)
    }

    /// What is said of work that ended in a panic.
    pub(super) fn panicked(
        &self,
        task: &Task<'_>,
        record: &Record<'_>,
        why: &str,
    ) -> Ended<'a> {
        let made = match task.what {
            What::Order(order) => {
                let broken = broken(order, None, internal(why, &order.source));
                broken.map(Box::new).map(Done::Order)
            }
            What::Card(name) => {
                let place = Source::whole(&SourceFile::new(name, ""));
                no_card(name, vec![internal(why, &place)]).map(Done::Card)
            }
        };
        self.closed(task, record, made)
    }

    fn closed(
        &self,
        task: &Task<'_>,
        record: &Record<'_>,
        made: Made<Done>,
    ) -> Ended<'a> {
        self.tell(task, Event::Ended(ending(&made)));
        self.ended(made, |row| record.add(row))
    }

    fn tell(&self, task: &Task<'_>, event: Event<'_>) {
        (self.told)(task.what.subject(), event);
    }

    fn ended(&self, made: Made<Done>, row: impl FnOnce(String) -> Row<'a>) -> Ended<'a> {
        made.files.iter().for_each(|file| self.known.name(&file.path));
        Ended { done: made.done, row: row(made.row) }
    }
}

fn ending(made: &Made<Done>) -> Ending<'_> {
    let (status, findings) = (made.done.status(), made.done.findings());
    Ending { status, files: &made.files, findings }
}
