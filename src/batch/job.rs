//! A batch to run, and what becomes of it.

use super::disk::Folder;
use super::library::Library;
use super::outcome::{Outcome, SwapCard, machine_time};
use super::part::Part;
use crate::feasibility::Pins;
use crate::finding::Finding;
use crate::model::{Approvals, Order, OrderList, Shop};

/// A batch to run.
#[derive(Clone, Copy, Debug)]
pub struct Job<'a> {
    /// The names to make.
    pub orders: &'a OrderList,
    /// The shop they are made in.
    pub shop: &'a Shop,
    /// Cutters the maker insists on; they overrule the orders' and the shop's.
    pub pins: &'a Pins,
    /// Where recipes are found.
    pub library: &'a Library,
    /// Where files go.
    pub out: &'a Folder,
    /// Resolution of all pictures, dots per inch; `None` for what is usual.
    pub dpi: Option<f64>,
    /// Number of workers; 0 for as many as the machine has.
    pub threads: usize,
    /// What is done with the work of earlier runs.
    pub earlier: Before,
    /// What customers said of their proofs.
    pub approvals: &'a Approvals,
    /// Which share of the list is made; all of it if none is named.
    pub part: Option<Part>,
    /// What was found in the list and the shop; the manifest says it too.
    pub said: &'a [Finding],
}

/// What is done with the work of earlier runs.
#[derive(Clone, Copy, Debug, Default)]
pub struct Before {
    /// Everything is made again.
    pub fresh: bool,
    /// Files of orders that are not in the list any more are removed, if nobody changed them.
    pub tidy: bool,
}

/// What became of a batch.
#[derive(Clone, Debug, Default)]
pub struct Batch<'a> {
    /// One per order of the share, in the order of the list.
    pub outcomes: Vec<Outcome<'a>>,
    /// One per recipe, in the order of first use.
    pub cards: Vec<SwapCard<'a>>,
    /// How many orders were found done by an earlier run.
    pub kept: usize,
    /// Files of earlier runs that no order has now.
    pub former: Vec<String>,
    /// Such files that were removed, as was asked.
    pub gone: Vec<String>,
}

impl Batch<'_> {
    /// The dishes that can be made, and the minutes they take one after the other, tool changes
    /// counted (estimated).
    pub fn machine_time(&self) -> (u32, f64) {
        machine_time(self.outcomes.iter().filter_map(Outcome::time))
    }
}

impl<'a> Job<'a> {
    /// The orders that fall to it.
    pub fn share(&self) -> Vec<&'a Order> {
        self.mine(self.orders.orders.iter().collect())
    }

    /// The keys of the recipes whose swap cards fall to it.
    pub fn cards(&self) -> Vec<&'a str> {
        self.mine(self.orders.recipes())
    }

    fn mine<T>(&self, list: Vec<T>) -> Vec<T> {
        match self.part {
            Some(part) => part.share(list),
            None => list,
        }
    }

    /// How many pieces of work are kept or ended: one per order and one per recipe.
    pub fn steps(&self) -> usize {
        self.share().len() + self.cards().len()
    }
}
