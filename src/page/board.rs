//! How far the run under way has come, and a bell for those who wait for news.

use crate::finding::{Finding, plain, to_json};
use crate::model::Order;
use serde::Serialize;
use serde_json::Value;
use std::sync::{Mutex, MutexGuard, PoisonError};
use tokio::sync::watch;

/// What is told of runs; shared by the run and by those who look.
#[derive(Debug)]
pub(super) struct Board {
    run: Mutex<Run>,
    bell: watch::Sender<u64>,
}

/// The run under way, or the last one.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Run {
    pub(super) state: State,
    /// Orders that are done, kept ones counted.
    pub(super) made: usize,
    /// Why it could not be carried out.
    pub(super) why: Vec<Value>,
    /// The orders it is about, in the order of the list.
    #[serde(skip)]
    pub(super) list: Vec<Listed>,
}

/// Where a run stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum State {
    /// None was begun.
    #[default]
    Idle,
    /// Under way.
    Running,
    /// It came to its end.
    Done,
    /// It did not.
    Refused,
}

/// An order of the list.
#[derive(Clone, Debug)]
pub(super) struct Listed {
    pub(super) id: String,
    pub(super) name: String,
    pub(super) recipe: String,
}

impl Default for Board {
    fn default() -> Self {
        Self { run: Mutex::default(), bell: watch::Sender::new(0) }
    }
}

impl Board {
    /// Rings: something is new.
    pub(super) fn stir(&self) {
        self.bell.send_modify(|count| *count += 1);
    }

    /// Hears the bell from now on.
    pub(super) fn listen(&self) -> watch::Receiver<u64> {
        self.bell.subscribe()
    }

    /// What is told now.
    pub(super) fn run(&self) -> Run {
        self.held().clone()
    }

    pub(super) fn started(&self, share: &[&Order]) {
        let listed = |order: &&Order| Listed {
            id: order.id.clone(),
            name: plain(&order.name),
            recipe: plain(&order.recipe),
        };
        let list = share.iter().map(listed).collect();
        *self.held() = Run { state: State::Running, list, ..Run::default() };
        self.stir();
    }

    pub(super) fn one_more(&self) {
        self.held().made += 1;
        self.stir();
    }

    pub(super) fn finished(&self) {
        self.held().state = State::Done;
        self.stir();
    }

    pub(super) fn refused(&self, why: &[Finding]) {
        let mut run = self.held();
        (run.state, run.why) = (State::Refused, why.iter().map(to_json).collect());
        drop(run);
        self.stir();
    }

    fn held(&self) -> MutexGuard<'_, Run> {
        self.run.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
