//! How the order lists of a shop are laid out, where they are not in our words.

use crate::finding::Source;

/// What the columns and values of the shop's order lists are called.
#[derive(Clone, Debug, Default)]
pub struct OrderForm {
    /// The sheet of a workbook that holds the orders; the first if none is named.
    pub sheet: Option<Called>,
    /// Our word (`id`, `name`, a parameter …) and the column's heading.
    pub columns: Vec<(String, Called)>,
    /// A recipe's key and what stands for it in the list.
    pub recipes: Vec<(String, Called)>,
    /// A wood's name and what stands for it in the list.
    pub woods: Vec<(String, Called)>,
}

/// What something is called in an order list, and where the shop says so.
#[derive(Clone, Debug)]
pub struct Called {
    /// The text.
    pub text: String,
    /// Where it is written.
    pub source: Source,
}

impl Called {
    /// Whether this is it; capital letters and blanks around do not count.
    pub fn is(&self, text: &str) -> bool {
        self.text.trim().to_lowercase() == text.trim().to_lowercase()
    }
}
