//! Regions worked on, kept: the next dish of the same recipe asks for the very same.

use super::morph::{Worked, Working};
use crate::curve::{Origin, Region};
use crate::kept::Kept;

/// Numbers that may be held, twice: 4 MiB each time.
const MOST: usize = 1 << 19;

/// All numbers of a question by their bits, so that only the very same is taken for it.
static KEPT: Kept<Vec<u64>, Option<Worked>> = Kept::new(MOST);

/// The answer to this very question, kept or made now.
pub(super) fn kept(
    region: &Region,
    (working, radius, origin): (Working, f64, Origin),
    make: impl FnOnce() -> Option<Worked>,
) -> Option<Worked> {
    let mut question = vec![radius.to_bits(), working as u64, u64::from(origin.0)];
    region.write_bits(&mut question);
    KEPT.get(question, make, |question, answer| {
        question.len() + answer.as_ref().map_or(0, |worked| worked.region.weight())
    })
}
