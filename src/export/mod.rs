//! Sheets to SVG text, PDF and PNG bytes; a dish to be turned to HTML.

mod ink;
mod jpeg;
mod lines;
mod pdf;
mod png;
mod svg;
mod template;
mod turn;

pub use jpeg::printed;
pub use pdf::{Binder, Chapter, pdf};
pub use png::{ExportFault, per_metre, png};
pub use svg::svg;
pub use template::template_svg;
pub use turn::turn;
