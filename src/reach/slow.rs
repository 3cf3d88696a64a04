//! The slow route to openings, closings and moved edges: independent of runs and cycles.
//!
//! A region moved outward is itself, a strip in front of every bend and a sector at every
//! corner turned away, all united by the polygon overlay: a point within the distance has a
//! nearest point on the edge, and lies on the normal there, short of the middle of a bend
//! toward it. Closing moves out and then moves the air left over back.
//!
//! It errs on the side of more wood (openings: of less room) by [`OVER`].

use super::morph::Working;
use super::path::turn;
use super::walk::{Element, Joint, Walk, right};
use crate::curve::arcs::Bend;
use crate::curve::{
    Arc, BezPath, Contour, Curve, Line, Origin, Piece, Point, Region, Vec2, unit,
};
use crate::units::Tolerance;

/// The first move goes farther by this, mm, so that no chord of an overlay and no fitted arc
/// takes away, in either move.
pub(super) const OVER: f64 = 2.0 * (Tolerance::CHORD.get() + Tolerance::ARC_FIT.get());

/// How near its edges lie to the true ones, mm.
pub(super) const OFF: f64 = 2.0 * OVER;

/// A bend toward the cutter whose middle is nearer than this to the moved edge ends in it, mm.
const AT_MIDDLE: f64 = 1e-4;

/// The region worked on by the slow route. `region` has its wood as it is, not inverted.
pub(super) fn slowly(
    region: &Region,
    working: Working,
    (by, origin): (f64, Origin),
) -> Region {
    let frame = frame(region, by, origin);
    let air = frame.cut(region);
    let over = by + OVER;
    match working {
        Working::Growing => moved(region, over, origin),
        Working::Shrinking => frame.cut(&moved(&air, over, origin)),
        Working::Closing => {
            let room = frame.cut(&moved(region, over, origin));
            frame.cut(&moved(&room, by, origin))
        }
        Working::Opening => {
            let room = frame.cut(&moved(&air, over, origin));
            moved(&room, by, origin).keep(&frame)
        }
    }
}

/// A rectangle well round the region.
fn frame(region: &Region, by: f64, origin: Origin) -> Region {
    let far = 4.0 * by + 10.0;
    let r = region.bounds().inflate(far, far);
    let mut path = BezPath::new();
    path.move_to((r.x0, r.y0));
    path.line_to((r.x1, r.y0));
    path.line_to((r.x1, r.y1));
    path.line_to((r.x0, r.y1));
    path.close_path();
    Region::filled(&path, origin).unwrap_or_default()
}

/// Everything within `by` mm of a region.
fn moved(region: &Region, by: f64, origin: Origin) -> Region {
    let walk = Walk::new(region);
    let mut contours = Vec::new();
    for ring in &walk.loops {
        let pieces = region.contours()[ring.contour].pieces();
        let of =
            |index: u32| pieces[walk.bends[index as usize].bend.piece as usize].origin;
        let bends = ring.bends.0..ring.bends.1;
        let edge = bends.clone().map(|index| {
            let curve = drawn(&walk.bends[index as usize].bend);
            Piece { curve, origin: of(index) }
        });
        contours.push(Contour::from_pieces(edge.collect()));
        contours.extend(bends.map(|index| strip(&walk, index, by, of(index))));
        for element in &ring.elements {
            if let &Element::Fan { at, from, sweep, before } = element {
                let next = walk.bends[before as usize].next;
                let to = right(walk.bends[next as usize].bend.ta);
                contours.extend(sectors(at, (from, to, sweep), by, origin));
            }
        }
    }
    Region::tidied(contours)
}

/// The normals at the ends of a bend; where two join smoothly both have the same, so that
/// their strips share a side and leave no crack.
fn normals(walk: &Walk, index: u32) -> (Vec2, Vec2) {
    let joined = &walk.bends[index as usize];
    let (before, after) =
        (&walk.bends[joined.previous as usize], &walk.bends[joined.next as usize]);
    let shared = |joint: Joint, first: Vec2, second: Vec2, own: Vec2| {
        right(if joint == Joint::Smooth { unit(first + second) } else { own })
    };
    let (ta, tb) = (joined.bend.ta, joined.bend.tb);
    (
        shared(joined.joint_before, before.bend.tb, ta, ta),
        shared(joined.joint_after, tb, after.bend.ta, tb),
    )
}

fn drawn(bend: &Bend) -> Curve {
    between(bend.a, bend.b, bend.curvature)
}

fn between(a: Point, b: Point, curvature: f64) -> Curve {
    if curvature == 0.0 {
        return Curve::Line(Line::new(a, b));
    }
    Arc::between(a, b, 1.0 / curvature.abs(), curvature > 0.0)
}

/// All that lies up to `by` mm in front of a bend.
fn strip(walk: &Walk, index: u32, by: f64, origin: Origin) -> Contour {
    let bend = &walk.bends[index as usize].bend;
    let (from, to) = normals(walk, index);
    let radius = 1.0 / bend.curvature.abs();
    let toward = bend.curvature < 0.0;
    let collapses = toward && radius < by + AT_MIDDLE;
    let out = if collapses { radius } else { by };
    let (a, b) = (bend.a + from * out, bend.b + to * out);
    let curvature = if bend.curvature == 0.0 || collapses {
        0.0
    } else {
        (1.0 / if toward { radius - by } else { radius + by }).copysign(bend.curvature)
    };
    let curves = vec![
        Curve::Line(Line::new(bend.a, a)),
        between(a, b, curvature),
        Curve::Line(Line::new(b, bend.b)),
        drawn(bend).reversed(),
    ];
    contour(curves, origin)
}

/// The sectors of a disc about a corner, of at most a quarter turn each.
fn sectors(
    at: Point,
    (from, to, sweep): (Vec2, Vec2, f64),
    by: f64,
    origin: Origin,
) -> impl Iterator<Item = Contour> {
    let count = (sweep / 1.5).ceil().max(1.0) as usize;
    let tip = move |i: usize| {
        let way = match i {
            0 => from,
            i if i == count => to,
            i => turn(from, sweep * i as f64 / count as f64),
        };
        at + way * by
    };
    (0..count).map(move |i| {
        let (a, b) = (tip(i), tip(i + 1));
        let curves = vec![
            Curve::Line(Line::new(at, a)),
            Arc::between(a, b, by, true),
            Curve::Line(Line::new(b, at)),
        ];
        contour(curves, origin)
    })
}

fn contour(curves: Vec<Curve>, origin: Origin) -> Contour {
    Contour::from_pieces(
        curves.into_iter().map(|curve| Piece { curve, origin }).collect(),
    )
}
