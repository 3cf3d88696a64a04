//! Sheets to SVG text, PDF and PNG bytes.

mod jpeg;
mod pdf;
mod png;
mod svg;

pub use pdf::{Chapter, pdf};
pub use png::{ExportFault, per_metre, png};
pub use svg::svg;
