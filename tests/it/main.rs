//! The one integration binary; each module is one kind of test.
mod cli;
mod errors;
mod floors;
mod formulas;
mod golden;
mod icons;
mod intake;
mod lettering;
mod planted;
mod primitives;
mod reach;
mod regions;
mod sample;
mod sheets;
mod splines;
mod svg_outlines;
mod units;
