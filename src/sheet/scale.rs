//! Drawing scales of ISO 5455, and a bar that tells whether a page was printed in true size.

use super::block::Block;
use super::frame::WIDTH;
use super::mark::Anchor;
use super::style::{LABEL, THIN};

/// Reductions of ISO 5455 (from memory; 1:2.5 is none of them).
const REDUCTIONS: [f64; 7] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];

/// Full size or a reduction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale(f64);

impl Scale {
    /// Full size.
    pub const FULL: Self = Self(1.0);

    /// A scale outside the series, for pictures that are not measured: one to so many.
    pub(super) const fn exact(reduction: f64) -> Self {
        Self(reduction)
    }

    /// The largest at which a drawing of a size (mm) fits into a room (mm); 1:100 where none
    /// does.
    pub fn largest(size: [f64; 2], room: [f64; 2]) -> Self {
        let fits = |n: &f64| size[0] / n <= room[0] && size[1] / n <= room[1];
        Self(REDUCTIONS.into_iter().find(fits).unwrap_or(100.0))
    }

    /// Length on paper of one mm.
    pub fn factor(self) -> f64 {
        1.0 / self.0
    }

    /// As ISO 5455 designates it: `SCALE 1:2`.
    pub fn designation(self) -> String {
        format!("SCALE {}", self.ratio())
    }

    /// `1:2`.
    pub fn ratio(self) -> String {
        format!("1:{}", self.0)
    }
}

/// Length of the bar on paper, mm.
const BAR: f64 = 100.0;

/// A bar of 100 mm with its centimetres at the right, and what it is for on its left.
pub(super) fn bar(text: &str) -> Block {
    let mut block = Block::space(2.6);
    let (x, y) = (WIDTH - BAR, 0.9);
    block.line((x, y), (x + BAR, y), THIN);
    for centimetre in 0..=10 {
        let at = x + 10.0 * f64::from(centimetre);
        let down = if centimetre % 10 == 0 { 0.7 } else { 0.0 };
        block.line((at, y - 0.7), (at, y + down), THIN);
    }
    block.text_in((x - 1.8, y + 0.9), Anchor::End, x - 1.8, (LABEL, text));
    block
}
