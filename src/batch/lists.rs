//! Order lists on the disk: what a file is, its name says.

use super::given::{read, read_bytes};
use crate::finding::Checked;
use crate::intake::{LARGEST_BOOK, orders_book, orders_csv, orders_yaml};
use crate::model::{OrderForm, OrderList};
use std::path::Path;

/// The kinds of order lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ListKind {
    /// YAML with `orders:`.
    Yaml,
    /// Rows of text.
    Csv,
    /// A workbook, XLSX or ODS.
    Book,
}

impl ListKind {
    /// The kind that a file's name tells; YAML where it tells nothing.
    pub fn of(path: &Path) -> Self {
        let ends = |known: &[&str]| {
            let end = path.extension().map(|end| end.to_string_lossy().to_lowercase());
            end.is_some_and(|end| known.contains(&end.as_str()))
        };
        if ends(&["csv", "tsv", "txt"]) {
            Self::Csv
        } else if ends(&["xlsx", "ods", "xlsm", "xls"]) {
            Self::Book
        } else {
            Self::Yaml
        }
    }
}

/// Reads an order list, laid out as the shop says.
pub fn order_list(path: &Path, form: &OrderForm) -> Checked<OrderList> {
    let label = path.display().to_string();
    let read = match ListKind::of(path) {
        ListKind::Yaml => read(path).map(|text| orders_yaml(&label, &text)),
        ListKind::Csv => read(path).map(|text| orders_csv(&label, &text, form)),
        ListKind::Book => {
            read_bytes(path, LARGEST_BOOK).map(|bytes| orders_book(&label, &bytes, form))
        }
    };
    read.unwrap_or_else(|finding| Checked::failed(*finding))
}
