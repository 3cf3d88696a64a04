//! Checks of a worked region against the input, by other means than made it.

use super::ball::NEAR_JOINT;
use super::morph::Working;
use super::neck::edge_distance;
use super::profile::Profile;
use super::runs::Blocked;
use super::walk::{Element, Joined, Joint, right};
use crate::curve::{Piece, Region};
use crate::units::Tolerance;

/// Pieces shorter than this have no certain normal, mm.
const SHORT: f64 = 1e-3;

/// The stretches found to be blocked agree with the largest disc at the middle of every bend,
/// which is looked for in another way. The profile's cap must exceed c. An open bend so short
/// that its middle lies by a smooth joint is not judged by that disc: there the disc counts
/// the neighbour's bend as well, and may be too small.
pub(super) fn agrees(profile: &Profile, blocked: &Blocked, c: f64) -> bool {
    let tolerance = Tolerance::REACH.get();
    let rings = profile.walk.loops.iter().zip(blocked);
    rings.flat_map(|(ring, stretches)| ring.elements.iter().zip(stretches)).all(
        |(&element, stretches)| {
            let Element::Along(index) = element else { return true };
            let shut = stretches.iter().any(|&(from, to)| from <= 0.5 && 0.5 <= to);
            let radius = profile.ball(element, 0.5, None).radius;
            if shut {
                radius < c + tolerance
            } else {
                radius >= c - tolerance || by_a_joint(&profile.walk.bends[index as usize])
            }
        },
    )
}

/// The middle of a bend is so near a smooth joint that the disc there counts the neighbour.
fn by_a_joint(joined: &Joined) -> bool {
    let smooth = [joined.joint_before, joined.joint_after].contains(&Joint::Smooth);
    smooth && joined.bend.length / 2.0 < NEAR_JOINT
}

/// A region worked on as if seen from outside (air and wood exchanged where it is seen from
/// inside): it holds the input, and every middle of its pieces keeps its clearance from it.
/// `off` is how far its edges may lie from the true ones, mm.
pub(super) fn holds(
    profile: &Profile,
    result: &Region,
    (working, c): (Working, f64),
    off: f64,
) -> bool {
    let before = &profile.region;
    let slack = 1e-6 + off * before.perimeter();
    if result.area() < before.area() - slack {
        return false;
    }
    let (walk, tree) = (&profile.walk, &profile.tree);
    let clear = |piece: &Piece| {
        let curve = &piece.curve;
        if (curve.end() - curve.start()).hypot() < SHORT {
            return true;
        }
        let point = curve.eval(0.5);
        if working.moves() {
            return (edge_distance(walk, tree, point) - c).abs() <= off;
        }
        let center = point + right(curve.tangent(0.5)) * c;
        edge_distance(walk, tree, center) >= c - off
    };
    let inside_out = before.area() < 0.0;
    result.contours().iter().all(|contour| {
        let pieces = contour.pieces();
        let longest = pieces.iter().max_by(|a, b| {
            let chord = |p: &Piece| (p.curve.end() - p.curve.start()).hypot2();
            chord(a).total_cmp(&chord(b))
        });
        let beside = longest.is_none_or(|piece| {
            let out = if working.moves() { 0.0 } else { c };
            let point = piece.curve.eval(0.5) + right(piece.curve.tangent(0.5)) * out;
            before.contains(point) == inside_out
        });
        beside && pieces.iter().all(clear)
    })
}
