//! Names as outlines: faces, shaping, fitting.
//!
//! Everything here is x right, y up, mm. A size is always the height of a capital letter (the
//! nominal size h of ISO 3098), never the em of a type designer.

mod baseline;
mod face;
mod fit;
mod written;

pub use face::Face;
pub use fit::{Fit, FitFault, Fitted, Gap, fit};
pub use written::{Written, width, write, write_in};
