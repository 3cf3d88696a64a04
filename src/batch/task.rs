//! The pieces of work of a batch, and the keys of all they depend on.

use super::event::Subject;
use super::job::Job;
use super::key;
use super::library::Loaded;
use crate::model::{Order, Recipe};
use std::collections::BTreeMap;

/// One piece of work and the key of all it depends on; no key where it cannot be done.
#[derive(Debug)]
pub(super) struct Task<'a> {
    pub(super) what: What<'a>,
    pub(super) loaded: Option<&'a Loaded>,
    pub(super) key: Option<String>,
}

/// What is made.
#[derive(Clone, Copy, Debug)]
pub(super) enum What<'a> {
    Order(&'a Order),
    Card(&'a str),
}

impl<'a> What<'a> {
    /// The key of its recipe.
    pub(super) fn recipe_key(self) -> &'a str {
        match self {
            Self::Order(order) => &order.recipe,
            Self::Card(recipe) => recipe,
        }
    }

    pub(super) fn subject(self) -> Subject<'a> {
        match self {
            Self::Order(order) => Subject::Order(&order.id),
            Self::Card(recipe) => Subject::Card(recipe),
        }
    }
}

impl Task<'_> {
    pub(super) fn recipe(&self) -> Option<&Recipe> {
        self.loaded.and_then(|loaded| loaded.recipe.as_ref())
    }
}

/// The work that falls to a job, and the digest of the whole list, whatever falls to it.
pub(super) fn tasks<'a>(
    job: &Job<'a>,
    recipes: &'a BTreeMap<&'a str, Option<Loaded>>,
) -> (Vec<Task<'a>>, String) {
    let common = key::common(job);
    let loaded = |key: &str| recipes.get(key).and_then(Option::as_ref);
    let orders = job.orders.orders.iter().map(|order| {
        let mut task =
            Task { what: What::Order(order), loaded: loaded(&order.recipe), key: None };
        task.key = task.recipe().map(|recipe| {
            key::of_order(&common, recipe, (order, job.approvals.of(&order.id)))
        });
        task
    });
    let cards = job.orders.recipes().into_iter().map(|name| {
        let mut task = Task { what: What::Card(name), loaded: loaded(name), key: None };
        task.key = task.recipe().map(|recipe| key::of_card(&common, recipe));
        task
    });
    let (orders, cards): (Vec<_>, Vec<_>) = (orders.collect(), cards.collect());
    let all = orders
        .iter()
        .chain(&cards)
        .map(|task| task.key.as_deref().unwrap_or_else(|| task.what.subject().named().1));
    let list = key::digest(all);
    let share = |tasks| match job.part {
        Some(part) => part.share(tasks),
        None => tasks,
    };
    (share(orders).into_iter().chain(share(cards)).collect(), list)
}
