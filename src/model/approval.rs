//! What customers said of their proofs.

use crate::finding::Source;

/// What was said, first to last; of an order the last counts.
#[derive(Clone, Debug, Default)]
pub struct Approvals {
    /// In the order written.
    pub entries: Vec<Approval>,
}

impl Approvals {
    /// What was said last of an order.
    pub fn of(&self, order: &str) -> Option<&Approval> {
        self.entries.iter().rfind(|entry| entry.order == order)
    }
}

/// What a customer said of one proof.
#[derive(Clone, Debug)]
pub struct Approval {
    /// The order's id.
    pub order: String,
    /// The mark on the proof it was said of.
    pub proof: String,
    /// What was said.
    pub said: Said,
    /// When, as written.
    pub date: String,
    /// A remark.
    pub note: Option<String>,
    /// Where it is written.
    pub source: Source,
}

/// What may be said of a proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Said {
    /// It is to be made like this.
    Approved,
    /// Something is to be changed first.
    Change,
}

impl Said {
    /// Words and meanings.
    pub const WORDS: [(&'static str, Self); 2] =
        [("approved", Self::Approved), ("change", Self::Change)];

    /// As written.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Approved => "approved",
            Self::Change => "change",
        }
    }
}
