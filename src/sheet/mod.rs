//! Marks on paper in mm: proof sheet, bench sheet, swap card, gallery; no file format.
//!
//! Pages are ISO 216 A4, scales ISO 5455, line widths and text heights members of the series
//! of ISO 128 and ISO 3098 (widths and heights from memory).

mod approval;
mod bench;
mod block;
mod card;
pub mod color;
mod cutting;
mod dimension;
mod drawing;
mod facts;
mod figures;
mod found;
mod frame;
mod gallery;
mod hollowed;
mod labels;
mod mark;
mod painting;
mod picture;
mod proof;
mod scale;
mod section;
mod setting;
mod setup;
mod shape;
mod side;
mod solid;
mod style;
mod table;
mod template;
mod tint;
mod tongue;
mod turning;
mod version;
mod view;
mod words;
mod wrap;

pub use crate::curve::svg::{area_data, line_data, number};
pub use crate::curve::{BezPath, PathEl, Point, Rect};
pub use crate::lettering::{Face, Font, Fonts, Shaped, shaped};
pub use crate::relief::{Painter, Turned};
pub use bench::bench;
pub use card::swap_card;
pub use color::Color;
pub use frame::A4;
pub use gallery::{Plate, gallery};
pub use mark::{Anchor, Drawn, Layer, Mark, Part, Sheet, Stroke, Text, Way};
pub use painting::{Picture, Printed};
pub use proof::proof;
pub use scale::Scale;
pub use shape::shape_card;
pub use side::side_views;
pub use solid::solid;
pub use style::{HEIGHTS, WIDTHS};
pub use template::{Lines, Plane, Template, template};
pub use turning::{Turning, turning};
pub use version::version;
