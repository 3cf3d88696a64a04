//! The share of one machine in a batch that several make.

use std::fmt;
use std::str::FromStr;

/// Every so manieth order and swap card, as they stand in the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    number: usize,
    of: usize,
}

impl Part {
    /// Most parts of a batch.
    pub const MOST: usize = 10_000;

    /// The part of this number, counted from 1; `None` where there is none.
    pub fn new(number: usize, of: usize) -> Option<Self> {
        (1 <= number && number <= of && of <= Self::MOST).then_some(Self { number, of })
    }

    /// Its number, from 1.
    pub const fn number(self) -> usize {
        self.number
    }

    /// How many parts there are.
    pub const fn of(self) -> usize {
        self.of
    }

    /// The folder it has for itself in the output folder.
    pub fn folder(self) -> String {
        format!("part-{}-of-{}", self.number, self.of)
    }

    /// What of a list falls to it.
    pub(super) fn share<T>(self, list: Vec<T>) -> Vec<T> {
        let mine = |at: &usize| at % self.of == self.number - 1;
        let list = list.into_iter().enumerate();
        list.filter(|(at, _)| mine(at)).map(|(_, item)| item).collect()
    }

    /// How many of so many fall to it.
    pub(super) const fn count(self, all: usize) -> usize {
        (all + self.of - self.number) / self.of
    }
}

impl fmt::Display for Part {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}/{}", self.number, self.of)
    }
}

impl FromStr for Part {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let whole = |word: &str| word.trim().parse().ok();
        let pair = text.split_once('/').and_then(|(k, n)| Some((whole(k)?, whole(n)?)));
        pair.and_then(|(number, of)| Self::new(number, of)).ok_or_else(|| {
            format!("write K/N, a number from 1 to N and N, at most {}", Self::MOST)
        })
    }
}
