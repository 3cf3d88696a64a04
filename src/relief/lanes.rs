//! Arithmetic on rows of numbers, in forms that are done on several at once.

/// From here on every number is whole, and its lowest bits say which.
const WHOLE: f32 = 8_388_608.0;

/// The nearest whole number of one from 0 to four million.
#[inline(always)]
pub(super) fn nearest(number: f32) -> u32 {
    (number + WHOLE).to_bits() & 0x007F_FFFF
}

/// The number, or the least there may be.
#[inline(always)]
pub(super) fn at_least(number: f32, least: f32) -> f32 {
    if number > least { number } else { least }
}

/// From one number to another by a share of the way.
#[inline(always)]
pub(super) fn mix(from: f32, to: f32, share: f32) -> f32 {
    from + (to - from) * share
}
