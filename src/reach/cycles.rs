//! The cycles that runs and discs form: what a cutter of one size makes of a region, and what
//! it leaves.

use super::profile::Profile;
use super::runs::{Runs, Turn};
use super::walk::Element;
use crate::curve::{Arc, Contour, Curve, Line, Origin, Piece, Point, Vec2};

/// Builds contours from one profile's runs.
pub(super) struct Cycles<'p> {
    pub profile: &'p Profile,
    pub runs: &'p Runs,
    pub radius: f64,
    pub origin: Origin,
}

/// A stretch of boundary from one place to another, or a whole loop.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    pub lane: usize,
    pub from: (u32, f64),
    pub to: (u32, f64),
}

impl Cycles<'_> {
    /// The boundary the cutter leaves: followed runs joined by arcs of its discs. The
    /// contours may overlap where two discs do.
    pub(super) fn closed(&self) -> Vec<Contour> {
        self.followed(Self::copy, true)
    }

    /// The boundary moved outward by the radius: the path of the disc's centre.
    pub(super) fn grown(&self) -> Vec<Contour> {
        self.followed(Self::offset, false)
    }

    fn followed(
        &self,
        draw: fn(&Self, Stretch, &mut Vec<Piece>),
        arcs: bool,
    ) -> Vec<Contour> {
        let mut contours = Vec::new();
        for lane in self.whole_loops(true) {
            let mut pieces = Vec::new();
            draw(self, self.whole(lane), &mut pieces);
            close(&mut pieces);
            contours.push(Contour::from_pieces(pieces));
        }
        for cycle in self.cycles(false) {
            let mut pieces = Vec::new();
            for (begin, end) in cycle {
                draw(self, self.between(begin, end), &mut pieces);
                if arcs {
                    pieces.extend(self.arcs(end));
                }
            }
            close(&mut pieces);
            contours.push(Contour::from_pieces(pieces));
        }
        contours
    }

    /// Loops without turns that are followed throughout, or not at all.
    pub(super) fn whole_loops(&self, followed: bool) -> impl Iterator<Item = usize> + '_ {
        let whole = self.runs.whole.iter().enumerate();
        whole.filter(move |(_, state)| **state == Some(followed)).map(|(lane, _)| lane)
    }

    /// Cycles of runs, as pairs of places from which to which: unfollowed ones when `ends`
    /// (they start where following ends), else followed ones.
    pub(super) fn cycles(&self, ends: bool) -> Vec<Vec<(usize, usize)>> {
        let mut done = vec![false; self.turns().len()];
        let mut cycles = Vec::new();
        for start in 0..done.len() {
            if done[start] || self.turns()[start].ends != ends {
                continue;
            }
            let mut cycle = Vec::new();
            let mut begin = start;
            while !done[begin] {
                done[begin] = true;
                let end = self.next(begin);
                cycle.push((begin, end));
                begin = self.turns()[end].partner;
            }
            cycles.push(cycle);
        }
        cycles
    }

    pub(super) fn turns(&self) -> &[Turn] {
        &self.runs.turns
    }

    /// The next place in walking direction on the same loop.
    fn next(&self, index: usize) -> usize {
        let lane = self.turns()[index].lane;
        let first = self.turns().partition_point(|t| t.lane < lane);
        let end = self.turns().partition_point(|t| t.lane <= lane);
        if index + 1 < end { index + 1 } else { first }
    }

    pub(super) fn between(&self, from: usize, to: usize) -> Stretch {
        let (a, b) = (&self.turns()[from], &self.turns()[to]);
        Stretch { lane: a.lane, from: (a.element, a.u), to: (b.element, b.u) }
    }

    pub(super) fn whole(&self, lane: usize) -> Stretch {
        let last = self.profile.walk.loops[lane].elements.len() as u32 - 1;
        Stretch { lane, from: (0, 0.0), to: (last, 1.0) }
    }

    /// Elements of a stretch with the shares covered, in walking order.
    pub(super) fn covered(&self, stretch: Stretch) -> Vec<(Element, f64, f64)> {
        let elements = &self.profile.walk.loops[stretch.lane].elements;
        let (from, to) = (stretch.from, stretch.to);
        let mut out = Vec::new();
        let mut place = from.0;
        let wraps = to.0 < from.0 || (to.0 == from.0 && to.1 < from.1);
        let mut left =
            if wraps { elements.len() as u32 - from.0 + to.0 } else { to.0 - from.0 };
        let mut start = from.1;
        loop {
            let end = if left == 0 { to.1 } else { 1.0 };
            if end > start {
                out.push((elements[place as usize], start, end));
            }
            if left == 0 {
                return out;
            }
            left -= 1;
            place = (place + 1) % elements.len() as u32;
            start = 0.0;
        }
    }

    /// Copies the boundary; pieces of the region that are covered whole stay as they are.
    pub(super) fn copy(&self, stretch: Stretch, out: &mut Vec<Piece>) {
        let covered = self.covered(stretch);
        let pieces = self.profile.region.contours()
            [self.profile.walk.loops[stretch.lane].contour]
            .pieces();
        let mut at = 0;
        while at < covered.len() {
            let Element::Along(first) = covered[at].0 else {
                at += 1;
                continue;
            };
            let number = self.profile.walk.bends[first as usize].bend.piece;
            let whole = self.whole_piece(&covered[at..], number);
            if whole > 0 {
                out.push(pieces[number as usize]);
                at += whole;
            } else {
                let (_, u0, u1) = covered[at];
                self.push_bend(first, (u0, u1), 0.0, pieces[number as usize].origin, out);
                at += 1;
            }
        }
    }

    /// How many of the leading elements make up all of a piece, 0 if they do not.
    fn whole_piece(&self, covered: &[(Element, f64, f64)], number: u32) -> usize {
        let bends = &self.profile.walk.bends;
        let Some(&(Element::Along(first), _, _)) = covered.first() else { return 0 };
        let before = bends[bends[first as usize].previous as usize].bend.piece;
        if before == number
            && bends[first as usize].previous != first
            && self.starts_inside(first)
        {
            return 0;
        }
        let mut count = 0;
        for &(element, u0, u1) in covered {
            let Element::Along(index) = element else { break };
            if bends[index as usize].bend.piece != number {
                break;
            }
            if u0 > 0.0 || u1 < 1.0 {
                return 0;
            }
            count += 1;
            if !self.starts_inside(bends[index as usize].next) {
                return count;
            }
        }
        0
    }

    /// The bend is not the first of its piece.
    fn starts_inside(&self, bend: u32) -> bool {
        let bends = &self.profile.walk.bends;
        let lane = self.profile.walk.loops.partition_point(|l| l.bends.1 <= bend);
        let first = self.profile.walk.loops[lane].bends.0;
        bend > first
            && bends[bend as usize - 1].bend.piece == bends[bend as usize].bend.piece
    }

    /// Moves the boundary outward; corners turned away become arcs.
    fn offset(&self, stretch: Stretch, out: &mut Vec<Piece>) {
        for (element, u0, u1) in self.covered(stretch) {
            match element {
                Element::Along(bend) => {
                    self.push_bend(bend, (u0, u1), self.radius, self.origin, out);
                }
                Element::Fan { at, .. } => {
                    let (_, n0) = self.profile.walk.place(element, u0);
                    let (_, n1) = self.profile.walk.place(element, u1);
                    let arc = Arc {
                        a: at + n0 * self.radius,
                        b: at + n1 * self.radius,
                        center: at,
                        radius: self.radius,
                        ccw: true,
                    };
                    push_curve(Curve::Arc(arc), self.origin, out);
                }
                Element::Corner { .. } => {}
            }
        }
    }

    /// Part of a bend, moved to its right by `by` mm.
    fn push_bend(
        &self,
        index: u32,
        (u0, u1): (f64, f64),
        by: f64,
        origin: Origin,
        out: &mut Vec<Piece>,
    ) {
        let element = Element::Along(index);
        let bend = &self.profile.walk.bends[index as usize].bend;
        let (p0, n0) = self.profile.walk.place(element, u0);
        let (p1, n1) = self.profile.walk.place(element, u1);
        let (a, b) = (p0 + n0 * by, p1 + n1 * by);
        let curve = if bend.curvature == 0.0 {
            Curve::Line(Line::new(a, b))
        } else {
            // n points right; the centre of a left bend lies to the left
            let own = 1.0 / bend.curvature.abs();
            let ccw = bend.curvature > 0.0;
            let center = p0 - n0 * (1.0 / bend.curvature);
            let radius = if ccw { own + by } else { own - by };
            if radius < 1e-6 {
                return;
            }
            Curve::Arc(Arc { a, b, center, radius, ccw })
        };
        push_curve(curve, origin, out);
    }

    /// The disc's arcs from where following ends to where it goes on, clockwise.
    pub(super) fn arcs(&self, end: usize) -> Vec<Piece> {
        let p = &self.turns()[end];
        let q = &self.turns()[p.partner];
        let sweep = super::runs::sweep(p, q);
        let mut pieces = Vec::new();
        for curve in
            clockwise((p.point, q.point), p.center.midpoint(q.center), self.radius, sweep)
        {
            push_curve(curve, self.origin, &mut pieces);
        }
        pieces
    }
}

/// Clockwise arcs from p to q of at most a third of a turn each.
fn clockwise(
    (p, q): (Point, Point),
    center: Point,
    radius: f64,
    sweep: f64,
) -> Vec<Curve> {
    let count = (sweep / 2.0).ceil().max(1.0) as usize;
    let from: Vec2 = p - center;
    let at = |i: usize| {
        if i == 0 {
            return p;
        }
        if i == count {
            return q;
        }
        let (sin, cos) = (-sweep * i as f64 / count as f64).sin_cos();
        center + Vec2::new(from.x * cos - from.y * sin, from.x * sin + from.y * cos)
    };
    (0..count).map(|i| Arc::between(at(i), at(i + 1), radius, false)).collect()
}

fn push_curve(curve: Curve, origin: Origin, out: &mut Vec<Piece>) {
    if (curve.end() - curve.start()).hypot() > 1e-7 {
        out.push(Piece { curve, origin });
    }
}

/// Makes each piece end where the next one starts; the gaps are rounding.
pub(super) fn close(pieces: &mut [Piece]) {
    let count = pieces.len();
    for i in 0..count {
        let j = (i + 1) % count;
        let (end, start) = (pieces[i].curve.end(), pieces[j].curve.start());
        if end != start {
            let joint = end.midpoint(start);
            pieces[i].curve = pieces[i].curve.welded(pieces[i].curve.start(), joint);
            pieces[j].curve = pieces[j].curve.welded(joint, pieces[j].curve.end());
        }
    }
}
