//! Regions worked on, kept: the next dish of the same recipe asks for the very same.

use super::morph::{Worked, Working};
use crate::curve::{Curve, Origin, Point, Region};
use crate::kept::Kept;

/// Numbers that may be held, twice: 16 MiB each time.
const MOST: usize = 2 << 20;

/// All numbers of a question by their bits, so that only the very same is taken for it.
type Question = Vec<u64>;

static KEPT: Kept<Question, Option<Worked>> = Kept::new(MOST);

/// The answer to this very question, kept or made now.
pub(super) fn kept(
    region: &Region,
    (working, radius, origin): (Working, f64, Origin),
    make: impl FnOnce() -> Option<Worked>,
) -> Option<Worked> {
    let mut question = vec![radius.to_bits(), working as u64, u64::from(origin.0)];
    write(region, &mut question);
    KEPT.get(question, make, |question, answer| {
        let region = answer.as_ref().map(|worked| &worked.region);
        question.len() + region.map_or(0, |region| NUMBERS * pieces(region))
    })
}

/// Numbers in a piece, at most.
const NUMBERS: usize = 10;

fn pieces(region: &Region) -> usize {
    region.contours().iter().map(|contour| contour.pieces().len()).sum()
}

/// A region by its numbers; two that differ in anything differ here.
fn write(region: &Region, to: &mut Question) {
    to.reserve(NUMBERS * pieces(region));
    for contour in region.contours() {
        to.push(contour.pieces().len() as u64);
        for piece in contour.pieces() {
            to.push(u64::from(piece.origin.0));
            let (kind, ends, rest): (u64, &[Point], u64) = match &piece.curve {
                Curve::Line(line) => (0, &[line.p0, line.p1], 0),
                Curve::Arc(arc) => {
                    let kind = if arc.ccw { 1 } else { 2 };
                    (kind, &[arc.a, arc.b, arc.center], arc.radius.to_bits())
                }
                Curve::Cubic(c) => (3, &[c.p0, c.p1, c.p2, c.p3], 0),
            };
            to.push(kind);
            to.push(rest);
            to.extend(ends.iter().flat_map(|p| [p.x.to_bits(), p.y.to_bits()]));
        }
    }
}
