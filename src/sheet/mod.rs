//! Marks on paper in mm: proof sheet, bench sheet, swap card; no file format.
//!
//! Pages are ISO 216 A4, scales ISO 5455, line widths and text heights members of the series
//! of ISO 128 and ISO 3098 (widths and heights from memory).

mod bench;
mod block;
pub mod color;
mod dimension;
mod drawing;
mod figures;
mod frame;
mod labels;
mod mark;
mod picture;
mod proof;
mod scale;
mod section;
mod style;
mod table;
mod view;
mod words;
mod wrap;

pub use crate::lettering::Face;
pub use bench::bench;
pub use color::Color;
pub use frame::A4;
pub use mark::{Anchor, Drawn, Layer, Mark, Sheet, Stroke, Text, Way};
pub use proof::proof;
pub use scale::Scale;
pub use style::{HEIGHTS, WIDTHS};

use crate::dish::Dish;
use crate::feasibility::{Report, Swap};
use crate::model::Shop;
use crate::plan::Plan;

/// The same dish against every cutter of the rack.
pub fn swap_card(swap: &Swap, dish: &Dish, shop: &Shop) -> Sheet {
    let _ = (swap, shop);
    blank(&dish.title)
}

fn blank(title: &str) -> Sheet {
    Sheet {
        title: title.to_owned(),
        language: "en",
        size: [210.0, 297.0],
        margin: 15.0,
        paper: color::PAPER,
        layers: Vec::new(),
    }
}
