//! The finished dish as heights over a grid, and its picture.
//!
//! Heights are mm above the top of the board, so what is cut lies below zero. A cutter whose
//! tip has been everywhere in a set leaves at each point the height of its own profile at the
//! distance of the point from that set: that is how every cut here is made, without stepping
//! along its moves.

mod band;
mod board;
mod carve;
mod cells;
mod fibres;
mod field;
mod figure;
mod flank;
mod grid;
mod ground;
mod lanes;
mod light;
mod map;
mod near;
mod noise;
mod scene;
mod solid;
mod spread;
mod timber;
mod turned;

pub use field::Field;
pub use grid::Grid;
pub use scene::{Painter, Scene};
pub use solid::{Cut, Edge, Solid, Tip};
pub use timber::{Timber, linear};
pub use turned::Turned;
