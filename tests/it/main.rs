//! The one integration binary; each module is one kind of test.
mod cli;
mod drawing;
mod errors;
mod findings;
mod floors;
mod formulas;
mod golden;
mod icons;
mod intake;
mod lettering;
mod mend;
#[path = "../bench/outlines.rs"]
mod outlines;
mod paper;
mod planted;
mod primitives;
mod reach;
mod readme;
mod referee;
mod regions;
mod sample;
mod shapes;
mod sheets;
mod soften;
mod splines;
mod svg_outlines;
mod units;
