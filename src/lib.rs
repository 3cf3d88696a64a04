//! treen: from a list of names to wooden dishes that are known to be cuttable.
//!
//! The rooms, lowest floor first; each imports only from rooms below it (a test holds this):
//!
//! | floor | room | job |
//! |---|---|---|
//! | 0 | [`units`] | lengths, angles, tolerances |
//! | 0 | [`kept`] | answers kept while a program runs |
//! | 1 | [`finding`] | what may be said, and its writers |
//! | 2 | [`model`] | recipe, shop and order list in plain words |
//! | 3 | [`intake`] | text to model, every mistake in one run |
//! | 3 | [`curve`] | regions bounded by curves |
//! | 4 | [`reach`] | which cutter can follow which boundary, and what it leaves |
//! | 5 | [`lettering`] | names as outlines |
//! | 6 | [`shape`] | a recipe with values to curves |
//! | 7 | [`dish`] | curves, name and wood to one dish |
//! | 8 | [`feasibility`] | dish and cutters to findings |
//! | 8 | [`relief`] | the finished dish as heights, and its picture |
//! | 9 | [`mend`] | ways out for a cutter that cannot follow |
//! | 9 | [`plan`] | the cutters chosen, depths and passes |
//! | 10 | [`sheet`] | marks on paper in mm |
//! | 11 | [`export`] | sheets to SVG, PDF and PNG, a dish to be turned to HTML |
//! | 12 | [`batch`] | order list to files: the only room with disk and threads |
//! | 13 | [`page`] | an output folder shown to a browser on this machine |
#![warn(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    clippy::exit,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout,
    clippy::unwrap_used
)]

pub mod batch;
pub mod curve;
pub mod dish;
pub mod export;
pub mod feasibility;
pub mod finding;
pub mod intake;
pub mod kept;
pub mod lettering;
pub mod mend;
pub mod model;
pub mod page;
pub mod plan;
pub mod reach;
pub mod relief;
pub mod shape;
pub mod sheet;
pub mod units;
