//! Closed-form values, `tests/golden/closed_forms.tsv`: id, formula, inputs, value.
//!
//! The formulas are elementary; the values were computed with mpmath 1.3.0 at 40 digits or
//! more. Where a textbook or page prints a formula the tests name it.

/// The value of a row; fails when there is no such row.
pub(crate) fn value(id: &str) -> f64 {
    row(id).1
}

/// The inputs, as written, and the value of a row.
pub(crate) fn row(id: &str) -> (&'static str, f64) {
    let text = include_str!("../golden/closed_forms.tsv");
    let line = text
        .lines()
        .find(|line| line.split('\t').next() == Some(id))
        .unwrap_or_else(|| panic!("no golden row {id}"));
    let mut cells = line.split('\t').skip(2);
    let inputs = cells.next().unwrap_or_default();
    let value = cells.next().and_then(|cell| cell.parse().ok());
    (inputs, value.unwrap_or_else(|| panic!("golden row {id} has no value")))
}
