//! The pieces of work of a batch, and the keys of all they depend on.

use super::digest::Digest;
use super::event::Subject;
use super::job::Job;
use super::key;
use super::library::Recipes;
use super::work::Ended;
use crate::model::Order;
use serde_json::Value;
use std::sync::OnceLock;

/// One piece of work and the key of all it depends on; no key where it cannot be done.
#[derive(Debug)]
pub(super) struct Task<'a> {
    pub(super) what: What<'a>,
    pub(super) key: Option<Digest>,
    /// What became of it, once it is done.
    pub(super) ended: OnceLock<Ended<'a>>,
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

    /// Whether a row is about it.
    pub(super) fn is(self, row: &Value) -> bool {
        let word = |key: &str| row.get(key).and_then(Value::as_str);
        match self {
            Self::Order(order) => word("id") == Some(&order.id),
            Self::Card(recipe) => word("id").is_none() && word("recipe") == Some(recipe),
        }
    }

    pub(super) fn subject(self) -> Subject<'a> {
        match self {
            Self::Order(order) => Subject::Order(&order.id),
            Self::Card(recipe) => Subject::Card(recipe),
        }
    }
}

impl<'a> Task<'a> {
    const fn new(what: What<'a>, key: Option<Digest>) -> Self {
        Self { what, key, ended: OnceLock::new() }
    }

    /// Notes what became of it; what came first counts.
    pub(super) fn end(&self, ended: Ended<'a>) {
        let _ = self.ended.set(ended);
    }
}

/// The work that falls to a job, and the digest of the whole list, whatever falls to it.
pub(super) fn tasks<'a>(job: &Job<'a>, recipes: &Recipes<'_>) -> (Vec<Task<'a>>, Digest) {
    let common = key::common(job);
    let orders = job.orders.orders.iter().map(|order| {
        let recipe = recipes.recipe(&order.recipe);
        let said = job.approvals.of(&order.id);
        let key = recipe.map(|recipe| key::of_order(common, recipe, (order, said)));
        Task::new(What::Order(order), key)
    });
    let cards = job.orders.recipes().into_iter().map(|name| {
        let key = recipes.recipe(name).map(|recipe| key::of_card(common, recipe));
        Task::new(What::Card(name), key)
    });
    let (orders, cards): (Vec<_>, Vec<_>) = (orders.collect(), cards.collect());
    let all = orders.iter().chain(&cards).map(|task| match task.key {
        Some(key) => key.to_string(),
        None => task.what.subject().named().1.to_owned(),
    });
    let list = Digest::of_parts(all);
    let share = |tasks| match job.part {
        Some(part) => part.share(tasks),
        None => tasks,
    };
    (share(orders).into_iter().chain(share(cards)).collect(), list)
}
