//! What became of one order.

use crate::finding::{Finding, Severity, worst};
use crate::model::Order;
use std::sync::Arc;

/// How an order ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// Nothing to look at.
    Ok,
    /// Can be made; look first.
    Warn,
    /// Drawn, but it cannot be made as drawn.
    Stop,
    /// Not drawn: an input is wrong, or something broke.
    Error,
}

impl Status {
    /// All, in the order of gravity.
    pub const ALL: [Self; 4] = [Self::Ok, Self::Warn, Self::Stop, Self::Error];

    /// The status of a dish that was drawn.
    pub fn of(findings: &[Finding]) -> Self {
        match worst(findings) {
            None | Some(Severity::Note) => Self::Ok,
            Some(Severity::Warn) => Self::Warn,
            Some(Severity::Stop) => Self::Stop,
        }
    }

    /// As printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::Warn => "warn",
            Self::Stop => "stop",
            Self::Error => "error",
        }
    }

    /// The status of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|status| status.word() == word)
    }
}

/// What became of one order. A long list of these is held at once: what only the manifest tells
/// is not in it.
#[derive(Clone, Debug)]
pub struct Outcome<'a> {
    /// The order.
    pub order: &'a Order,
    /// How it ended.
    pub status: Status,
    /// How many files it has.
    pub files: usize,
    /// What must be looked at, everything where it could not be drawn; the manifest has all.
    pub findings: Box<[Finding]>,
    /// The cutters chosen for cutting it out; several are separated by commas.
    pub cut_out: Option<Arc<str>>,
    /// Minutes planned for one dish, to 0.001.
    pub minutes: Option<f64>,
    /// Width and height in mm, where it could be drawn.
    pub size: Option<(f64, f64)>,
}

impl Outcome<'_> {
    /// Minutes for one dish, tool changes counted (estimated); `None` where it cannot be made.
    pub fn minutes(&self) -> Option<f64> {
        self.minutes.filter(|_| self.status < Status::Stop)
    }

    /// How many dishes can be made, and the minutes for one.
    pub(super) fn time(&self) -> Option<(u32, f64)> {
        Some((self.order.quantity, self.minutes()?))
    }
}

/// The dishes that can be made, and the minutes they take one after the other, tool changes
/// counted (estimated), from the number of dishes of each order and the minutes for one.
pub(super) fn machine_time(orders: impl Iterator<Item = (u32, f64)>) -> (u32, f64) {
    orders.fold((0, 0.0), |(dishes, total), (quantity, minutes)| {
        (dishes + quantity, total + f64::from(quantity) * minutes)
    })
}

/// A swap card written for a recipe of the batch.
#[derive(Clone, Debug)]
pub struct SwapCard<'a> {
    /// The recipe's key.
    pub recipe: &'a str,
    /// How many files it has; none when the recipe cannot be drawn as it is.
    pub files: usize,
    /// Why it could not be written, if so.
    pub findings: Vec<Finding>,
}
