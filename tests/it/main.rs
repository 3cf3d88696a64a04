//! The one integration binary; each module is one kind of test.
mod golden;
mod reach;
mod regions;
mod units;
