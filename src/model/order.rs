//! An order list: the names to make.

use super::proof::Manner;
use super::work::Pins;
use crate::finding::Source;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The names to make, in the order written.
#[derive(Clone, Debug, Default)]
pub struct OrderList {
    /// Ids are unique.
    pub orders: Vec<Order>,
    /// Headings of columns that were not read.
    pub aside: Vec<String>,
}

impl OrderList {
    /// The keys of the recipes ordered, each once, in the order of first use.
    pub fn recipes(&self) -> Vec<&str> {
        let mut seen = BTreeSet::new();
        let keys = self.orders.iter().map(|order| &*order.recipe);
        keys.filter(|key| seen.insert(*key)).collect()
    }
}

/// One dish to make, or several alike.
#[derive(Clone, Debug)]
pub struct Order {
    /// Names the output files; checked to be a plain file name.
    pub id: String,
    /// The name to carve, as written.
    pub name: String,
    /// The recipe's key.
    pub recipe: Arc<str>,
    /// Where the recipe's key is written.
    pub recipe_source: Source,
    /// The wood's name; the shop's first if absent.
    pub wood: Option<Arc<str>>,
    /// Where the wood is written (the order where it is not).
    pub wood_source: Source,
    /// How many alike; at least 1.
    pub quantity: u32,
    /// A remark, printed on both sheets.
    pub note: Option<String>,
    /// A date, printed as written.
    pub date: Option<String>,
    /// How its proof speaks, where not as the shop's do.
    pub manner: Manner,
    /// Parameter values that differ from the recipe's defaults.
    pub set: Vec<Setting>,
    /// Cutters the maker insists on for this order.
    pub pins: Pins,
    /// The whole order.
    pub source: Source,
}

/// A parameter value given from outside the recipe.
#[derive(Clone, Debug)]
pub struct Setting {
    /// The parameter's name.
    pub name: String,
    /// Its value.
    pub value: SettingValue,
    /// Where it is written.
    pub source: Source,
}

/// A number (mm where it is a length) or a text.
#[derive(Clone, Debug, PartialEq)]
pub enum SettingValue {
    /// A number.
    Number(f64),
    /// A text.
    Text(String),
}
