//! The one integration binary; each module is one kind of test.
mod regions;
mod units;
