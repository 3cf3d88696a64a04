//! Marks on paper in mm: proof sheet, bench sheet, swap card; no file format.
//!
//! Pages are ISO 216 A4, scales ISO 5455, line widths and text heights members of the series
//! of ISO 128 and ISO 3098 (widths and heights from memory).

mod block;
pub mod color;
mod dimension;
mod figures;
mod frame;
mod mark;
mod picture;
mod proof;
mod scale;
mod style;
mod table;
mod view;
mod words;
mod wrap;

pub use crate::lettering::Face;
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

/// The page the maker works from.
pub fn bench(dish: &Dish, report: &Report, plan: &Plan, shop: &Shop) -> Sheet {
    let _ = (report, plan, shop);
    blank(&dish.title)
}

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
