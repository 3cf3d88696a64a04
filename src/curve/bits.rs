//! A region by its numbers, to tell whether two are the very same.

use super::piece::Curve;
use super::region::Region;
use kurbo::Point;

/// Numbers of a piece, at most.
const NUMBERS: usize = 11;

impl Region {
    /// Puts the bits of all its numbers after what is there; regions that differ in anything
    /// differ here.
    pub fn write_bits(&self, to: &mut Vec<u64>) {
        to.reserve_exact(self.weight() + 1);
        to.push(self.contours().len() as u64);
        for contour in self.contours() {
            to.push(contour.pieces().len() as u64);
            for piece in contour.pieces() {
                to.push(u64::from(piece.origin.0));
                let (kind, rest, points): (u64, u64, &[Point]) = match &piece.curve {
                    Curve::Line(line) => (0, 0, &[line.p0, line.p1]),
                    Curve::Arc(arc) => {
                        let kind = if arc.ccw { 1 } else { 2 };
                        (kind, arc.radius.to_bits(), &[arc.a, arc.b, arc.center])
                    }
                    Curve::Cubic(c) => (3, 0, &[c.p0, c.p1, c.p2, c.p3]),
                };
                to.extend([kind, rest]);
                to.extend(points.iter().flat_map(|p| [p.x.to_bits(), p.y.to_bits()]));
            }
        }
    }

    /// About so many numbers of 8 bytes make it up.
    pub fn weight(&self) -> usize {
        let pieces = self.contours().iter().map(|contour| contour.pieces().len());
        pieces.map(|pieces| 1 + NUMBERS * pieces).sum()
    }
}
