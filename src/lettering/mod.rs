//! Names as outlines: faces and a hand of our own, shaping, spacing, fitting.
//!
//! Everything here is x right, y up, mm. A size is always the height of a capital letter (the
//! nominal size h of ISO 3098), never the em of a type designer.

mod baseline;
mod face;
mod fit;
mod font;
mod form;
mod gauge;
mod hand;
mod letters;
mod panel;
mod runs;
mod setting;
mod sides;
mod written;

pub use face::{Face, picture};
pub use fit::{Fit, FitFault, Fitted, fit};
pub use font::{Font, Fonts, OwnFont};
pub use gauge::{Gap, Gauge, strokes};
pub use hand::{Pen, body, unread};
pub use letters::{Choice, Letters};
pub use panel::{panel, shortened};
pub use written::{Glyph, Shaped, Written, glyphs, shaped, width, write, write_in};

/// Wood between two strokes that is thinner may break out, mm: common practice, no source.
pub const LEAST_WOOD: f64 = 0.5;
