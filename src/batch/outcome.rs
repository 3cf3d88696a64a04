//! What became of one order.

use super::disk::WrittenFile;
use crate::finding::{Finding, Severity, worst};
use crate::plan::Plan;

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
}

/// What became of one order.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The order's id.
    pub id: String,
    /// The name carved.
    pub name: String,
    /// The recipe's key.
    pub recipe: String,
    /// How it ended.
    pub status: Status,
    /// What was written for it.
    pub files: Vec<WrittenFile>,
    /// Everything said about it.
    pub findings: Vec<Finding>,
    /// The work and the cutter chosen for it, in working order.
    pub cutters: Vec<(&'static str, String)>,
    /// The plan, where the dish could be drawn.
    pub plan: Option<Box<Plan>>,
    /// Width and height in mm, where it could be drawn.
    pub size: Option<(f64, f64)>,
    /// How many dishes are ordered.
    pub quantity: u32,
}

impl Outcome {
    /// Minutes for one dish, tool changes counted (estimated); `None` where it cannot be made.
    pub fn minutes(&self) -> Option<f64> {
        let plan = self.plan.as_ref().filter(|_| self.status < Status::Stop)?;
        Some(plan.minutes())
    }
}

/// A swap card written for a recipe of the batch.
#[derive(Clone, Debug)]
pub struct SwapCard {
    /// The recipe's key.
    pub recipe: String,
    /// What was written; empty when the recipe cannot be drawn as it is.
    pub files: Vec<WrittenFile>,
    /// Why it could not be written, if so.
    pub findings: Vec<Finding>,
}
