//! Minutes, estimated from lengths and feed without acceleration: enough to compare cutters.

use super::Cut;
use super::finish::FINE;
use super::speed::rates;
use crate::model::{Cutter, Shop};
use crate::units::Mm;

/// Stepover of all passes above the last as a share of the diameter: common practice, no
/// source.
pub(super) const ROUGH: f64 = 0.4;

/// Number of passes of even depth that a cutter takes for a cut.
pub(super) fn passes(cutter: &Cutter, own: f64) -> u32 {
    let step = cutter.spec().stepdown.map_or(cutter.radius(), Mm::get).max(0.1);
    let count = (own / step - 1e-9).ceil().clamp(1.0, 10_000.0);
    (1..10_000).find(|n| f64::from(*n) >= count).unwrap_or(10_000)
}

/// The stepover of a cutter's last pass as a share of its diameter.
pub(super) fn share(cutter: &Cutter) -> f64 {
    cutter.spec().stepover.unwrap_or(FINE)
}

/// An area cleared to its bottom: coarse passes, a last fine one at a stepover (share of the
/// diameter), once round the edge in each.
pub(super) fn cleared(
    cutter: &Cutter,
    shop: &Shop,
    (area, edge): (f64, f64),
    cut: Cut,
    share: f64,
) -> f64 {
    let d = cutter.diameter();
    let above = f64::from(passes(cutter, cut.own) - 1);
    let length =
        above * (area / (ROUGH.max(share) * d) + edge) + area / (share * d) + edge;
    moved(cutter, shop, length, cut.own)
}

/// A line followed in each pass.
pub(super) fn followed(cutter: &Cutter, shop: &Shop, length: f64, cut: Cut) -> f64 {
    let passes = f64::from(passes(cutter, cut.own));
    moved(cutter, shop, length * passes, cut.own)
}

/// A length at the feed, once down at the plunge feed.
fn moved(cutter: &Cutter, shop: &Shop, length: f64, down: f64) -> f64 {
    let rates = rates(cutter, &shop.machine);
    length / rates.feed + down / rates.plunge
}
