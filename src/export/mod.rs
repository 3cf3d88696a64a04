//! Marks to SVG text and PNG bytes.

mod png;
mod svg;

pub use png::{ExportFault, per_metre, png};
pub use svg::svg;
