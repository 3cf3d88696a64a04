//! Text to model, with every mistake found in one run.
//!
//! Labels are what the user typed, e.g. `orders.yaml`; findings name them.

mod approvals;
mod book;
mod csv;
pub mod demo;
mod drawing;
mod faces;
mod grid;
mod ids;
mod manner;
mod order_form;
mod orders;
mod parameters;
mod pins;
mod primitive;
mod proofs;
mod reader;
mod recipe;
mod schema;
mod shop;
mod text;
mod tree;
mod unpack;
mod values;
mod wanted;

pub use approvals::{APPROVALS_SCHEMA, approvals, is_mark, with_approval};
pub use book::orders_book;
pub use csv::orders_csv;
pub use orders::{guess, orders_yaml};
pub use pins::pin;
pub use recipe::recipe;
pub use schema::{FileKind, kind_of, schema};
pub use shop::shop;
pub use text::{LARGEST, text};
pub use unpack::LARGEST_BOOK;
