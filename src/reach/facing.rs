//! The narrowest gap of a boundary, exactly: two places that face each other along their
//! normals (a double normal). With the sharpest bend it makes up the reach (Federer 1959).
//!
//! A pair of bends faces along the line through their circles' middles, or along the
//! perpendicular from a middle to a segment; a joint faces within the fan of its normals. Every
//! such pair bounds the reach from above, and the narrowest is it, so nothing between them
//! need be looked at.

use super::ball::within;
use super::profile::Low;
use super::tree::{Tree, bend_box, overlaps};
use super::walk::{Joint, Walk, right};
use crate::curve::arcs::Bend;
use crate::curve::{Contour, Point, Rect, Region, Vec2, left};
use crate::units::Tolerance;

/// A direction may lie outside a joint's fan by this much (sine) and still count.
const CONE: f64 = 1e-6;

/// Nearer than this to the joint of two bends their gap is rounding, mm.
const SAME_PLACE: f64 = 1e-7;

struct Search<'w> {
    walk: &'w Walk,
    own: u32,
    reach: Rect,
    limit: f64,
    best: Option<Low>,
    /// Gaps that may be the narrowest once measured on the curves their arcs stand for.
    fitted: Vec<Gap>,
}

/// A gap between two bends.
#[derive(Clone, Copy)]
struct Gap {
    low: Low,
    bends: (u32, u32),
}

/// Arcs lie this near to their curves, so a gap's half width is off by no more, mm.
const OFF: f64 = Tolerance::ARC_FIT.get();

/// The narrowest gap with a half width below `limit` mm.
pub(super) fn narrowest(
    region: &Region,
    walk: &Walk,
    tree: &Tree,
    limit: f64,
) -> Option<Low> {
    let (reach, fitted) = (Rect::ZERO, Vec::new());
    let mut search = Search { walk, own: 0, reach, limit, best: None, fitted };
    for own in 0..walk.bends.len() as u32 {
        search.own = own;
        let size = 2.0 * (search.limit + OFF);
        search.reach = front(walk, own, size);
        tree.visit(&mut search, |s, rect| overlaps(rect, &s.reach), Search::against);
    }
    search.measured(region, limit)
}

/// A box around all that lies up to `size` mm in front of a bend and of the joint after it.
fn front(walk: &Walk, own: u32, size: f64) -> Rect {
    let joined = &walk.bends[own as usize];
    let bend = &joined.bend;
    let last = match joined.joint_after {
        Joint::TurnedAway => right(walk.bends[joined.next as usize].bend.ta),
        Joint::Smooth | Joint::Inside => right(bend.tb),
    };
    let bounds = bend_box(bend);
    // The directions between two less than two radians apart lie within the triangle of both
    // ends and the point where the tangents of the circle there meet.
    let mut ahead = Rect::ZERO;
    for (from, to) in [(right(bend.ta), right(bend.tb)), (right(bend.tb), last)] {
        if from.dot(to) < -0.4 {
            return bounds.inflate(size, size);
        }
        let apex = (from + to) / (1.0 + from.dot(to));
        for way in [from, to, apex] {
            ahead = ahead.union_pt((way * size).to_point());
        }
    }
    let sector = Rect::new(
        bounds.x0 + ahead.x0,
        bounds.y0 + ahead.y0,
        bounds.x1 + ahead.x1,
        bounds.y1 + ahead.y1,
    );
    // Directions count a little beside a joint's fan.
    let slack = size * (2.0 * CONE) + SAME_PLACE;
    sector.inflate(slack, slack)
}

impl Search<'_> {
    fn against(&mut self, other: u32) {
        if other < self.own {
            return;
        }
        self.joints(self.own, other);
        self.joint_and_bend(self.own, other);
        if other != self.own {
            self.joint_and_bend(other, self.own);
            self.bends(other);
        }
    }

    fn consider(&mut self, (at, across): (Point, Point), bends: (u32, u32)) {
        let radius = (across - at).hypot() / 2.0;
        let low = Low { radius, at, across: Some(across) };
        let fitted = |bend: u32| self.walk.bends[bend as usize].bend.fitted;
        if (fitted(bends.0) || fitted(bends.1)) && radius < self.limit + OFF {
            self.fitted.push(Gap { low, bends });
            self.limit = self.limit.min(radius + OFF);
        } else if radius < self.limit {
            self.limit = radius;
            self.best = Some(low);
        }
    }

    /// The narrowest below `limit`, those between fitted arcs measured on their curves.
    fn measured(&self, region: &Region, limit: f64) -> Option<Low> {
        let mut best = self.best;
        for gap in &self.fitted {
            let least = best.map_or(limit, |low| low.radius);
            if gap.low.radius >= least + OFF || gap.low.radius > self.limit + OFF {
                continue;
            }
            let at = self.on_curve(region, gap.bends.0, gap.low.at);
            let across = gap.low.across.map(|q| self.on_curve(region, gap.bends.1, q));
            let radius = across.map_or(gap.low.radius, |q| (q - at).hypot() / 2.0);
            if radius < least {
                best = Some(Low { radius, at, across });
            }
        }
        best
    }

    /// The point of the curve a bend stands for that is nearest to one of the bend.
    fn on_curve(&self, region: &Region, index: u32, p: Point) -> Point {
        let ring = self.walk.loops.partition_point(|ring| ring.bends.1 <= index);
        let bend = &self.walk.bends[index as usize].bend;
        let contour = self.walk.loops.get(ring).map(|ring| ring.contour);
        let pieces = contour.and_then(|c| region.contours().get(c)).map(Contour::pieces);
        let piece = pieces.and_then(|pieces| pieces.get(bend.piece as usize));
        let near = piece.filter(|_| bend.fitted).map(|piece| piece.curve.nearest(p));
        near.filter(|q| (*q - p).hypot() < 2.0 * OFF).unwrap_or(p)
    }

    /// The joint after one bend and the joint after another.
    fn joints(&mut self, first: u32, second: u32) {
        if first == second {
            return;
        }
        let (p, q) = (
            self.walk.bends[first as usize].bend.b,
            self.walk.bends[second as usize].bend.b,
        );
        if self.opens(first, q - p) && self.opens(second, p - q) {
            self.consider((p, q), (first, second));
        }
    }

    /// The joint after one bend and the inside of another (or the same) bend.
    fn joint_and_bend(&mut self, joint: u32, index: u32) {
        let p = self.walk.bends[joint as usize].bend.b;
        let bend = &self.walk.bends[index as usize].bend;
        let ends = if bend.curvature == 0.0 {
            let normal = left(bend.ta);
            [Some(p - normal * normal.dot(p - bend.a)), None]
        } else {
            let (center, radius) = circle(bend);
            let way = p - center;
            let length = way.hypot();
            if length <= 1e-9 {
                return;
            }
            let out = way * (radius / length);
            [Some(center + out), Some(center - out)]
        };
        for q in ends.into_iter().flatten() {
            let faces = within(bend, q)
                && normal_at(bend, q).dot(p - q) > 0.0
                && !self.same_place(joint, index, q);
            if faces && self.opens(joint, q - p) {
                self.consider((p, q), (joint, index));
            }
        }
    }

    /// The insides of the own bend and another.
    fn bends(&mut self, other: u32) {
        let (a, b) = (
            self.walk.bends[self.own as usize].bend,
            self.walk.bends[other as usize].bend,
        );
        for (p, q) in common_normals(&a, &b) {
            let faces = within(&a, p)
                && within(&b, q)
                && normal_at(&a, p).dot(q - p) > 0.0
                && normal_at(&b, q).dot(p - q) > 0.0
                && !self.same_place(self.own, other, q)
                && !self.same_place(other, self.own, p);
            if faces {
                self.consider((p, q), (self.own, other));
            }
        }
    }

    /// A point of a bend is, but for rounding, the joint after another where it is joined.
    fn same_place(&self, joint: u32, index: u32, point: Point) -> bool {
        let joined = &self.walk.bends[joint as usize];
        (index == joint || index == joined.next)
            && (point - joined.bend.b).hypot() < SAME_PLACE
    }

    /// A direction lies in the fan of normals of the joint after a bend.
    fn opens(&self, index: u32, way: Vec2) -> bool {
        let joined = &self.walk.bends[index as usize];
        if joined.joint_after == Joint::Inside {
            return false;
        }
        let length = way.hypot();
        if length <= 0.0 {
            return true;
        }
        let way = way / length;
        let (from, to) =
            (right(joined.bend.tb), right(self.walk.bends[joined.next as usize].bend.ta));
        let wide = from.dot(to) < -0.999_999;
        let between = from.cross(way) > -CONE && way.cross(to) > -CONE;
        (between || wide && from.dot(left(way)) < CONE) && way.dot(from + to) > -CONE
    }
}

/// Where the full circles (or lines) of two bends have a normal in common: a point of each,
/// NaN where there are fewer than four such pairs. Segments and concentric circles have none
/// of their own; the ends of what they share are joints.
pub(super) fn common_normals(a: &Bend, b: &Bend) -> [(Point, Point); 4] {
    const CONCENTRIC: f64 = 1e-9;
    const NOWHERE: (Point, Point) = (Point::new(f64::NAN, 0.0), Point::ZERO);
    let foot = |center: Point, line: &Bend| {
        let normal = left(line.ta);
        (center - normal * normal.dot(center - line.a), 0.0)
    };
    let (from, to) = match (a.curvature == 0.0, b.curvature == 0.0) {
        (true, true) => return [NOWHERE; 4],
        (false, false) => (circle(a), circle(b)),
        (true, false) => (foot(circle(b).0, a), circle(b)),
        (false, true) => (circle(a), foot(circle(a).0, b)),
    };
    let length = (to.0 - from.0).hypot();
    if length <= CONCENTRIC {
        return [NOWHERE; 4];
    }
    let way = (to.0 - from.0) / length;
    let sides =
        |radius: f64| if radius > 0.0 { [radius, -radius] } else { [0.0, f64::NAN] };
    let ([s0, s1], [t0, t1]) = (sides(from.1), sides(to.1));
    [(s0, t0), (s0, t1), (s1, t0), (s1, t1)]
        .map(|(s, t)| (from.0 + way * s, to.0 + way * t))
}

fn circle(bend: &Bend) -> (Point, f64) {
    let center = bend.a + left(bend.ta) / bend.curvature;
    (center, 1.0 / bend.curvature.abs())
}

/// The normal to the right of a bend at a point on it.
fn normal_at(bend: &Bend, p: Point) -> Vec2 {
    // the gradient of the power; its direction is left
    -(left(bend.ta) - (p - bend.a) * bend.curvature)
}
