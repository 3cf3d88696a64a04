//! Which stretches of an element a cutter of radius c cannot follow, exactly.
//!
//! The disc's centre runs along a line or circle; it is too near to another bend between the
//! places where it crosses the line or circles at distance c from that bend. No sampling: what
//! is not blocked is followed.

use super::ball::{foot, inner_radius, within};
use super::path::{Path, Roots};
use super::tree::{Tree, overlaps};
use super::walk::{Element, Joint, Walk};
use crate::curve::arcs::Bend;
use crate::curve::{Point, Rect, Vec2, left};

/// A disc may come this much too near, mm: rounding, so that an arc drawn with exactly the
/// cutter's radius, or a slot exactly as wide as it, does not fall apart.
pub(super) const SLACK: f64 = 1e-8;

/// A stretch that cannot be followed, as shares of the element.
pub(super) type Stretch = (f64, f64);

struct Search<'w> {
    walk: &'w Walk,
    element: Element,
    path: Path,
    reach: Rect,
    c: f64,
    /// The middle of the path and half its length, mm.
    middle: (Point, f64),
    found: Vec<Stretch>,
}

/// The stretches of one element that a cutter of radius c cannot follow, in order, apart.
pub(super) fn blocked(
    (walk, tree): (&Walk, &Tree),
    element: Element,
    c: f64,
) -> Vec<Stretch> {
    let sharper = match element {
        Element::Corner { .. } => true,
        Element::Along(index) => {
            inner_radius(&walk.bends[index as usize].bend) < c - SLACK
        }
        Element::Fan { .. } => false,
    };
    let path = Path::new(walk, element, c);
    let (false, Some(path)) = (sharper, path) else { return vec![(0.0, 1.0)] };
    let reach = path.bounds().inflate(c, c);
    let middle = (path.eval(0.5), path.length() / 2.0);
    let mut search = Search { walk, element, path, reach, c, middle, found: Vec::new() };
    tree.visit(&mut search, |s, rect| overlaps(rect, &s.reach), Search::against);
    merged(search.found)
}

impl Search<'_> {
    fn against(&mut self, index: u32) {
        let Some((first, last)) = self.forced(index) else { return };
        let bend = &self.walk.bends[index as usize].bend;
        let (middle, half) = self.middle;
        let away = distance(bend, middle);
        if away > self.c + half {
            return;
        }
        if away + half < self.c - SLACK {
            self.found.push((0.0, 1.0));
            return;
        }
        let mut roots = Roots::default();
        self.path.meet_circle(bend.a, self.c, &mut roots);
        self.path.meet_circle(bend.b, self.c, &mut roots);
        self.meet_sides(bend, &mut roots);
        let mut from = 0.0;
        let inside = roots.sorted();
        for (place, &to) in inside.iter().chain([&1.0]).enumerate() {
            let middle = self.path.eval(f64::midpoint(from, to));
            let forced = (place == 0 && first) || (place == inside.len() && last);
            if forced || distance(bend, middle) < self.c - SLACK {
                self.found.push((from, to));
            }
            from = to;
        }
    }

    /// Whether a bend blocks the element's start, and its end, for certain because they are
    /// joined there and it turns toward the cutter too sharply; `None` for the own bend.
    fn forced(&self, index: u32) -> Option<(bool, bool)> {
        let sharp =
            || inner_radius(&self.walk.bends[index as usize].bend) < self.c - SLACK;
        let blocks = |joint: Joint| match joint {
            Joint::Inside => true,
            Joint::Smooth => sharp(),
            Joint::TurnedAway => false,
        };
        match self.element {
            Element::Along(own) if own == index => None,
            Element::Along(own) => {
                let joined = &self.walk.bends[own as usize];
                let first = joined.previous == index && blocks(joined.joint_before);
                let last = joined.next == index && blocks(joined.joint_after);
                Some((first, last))
            }
            Element::Fan { before, .. } => {
                let after = self.walk.bends[before as usize].next;
                Some((index == before && sharp(), index == after && sharp()))
            }
            Element::Corner { .. } => None,
        }
    }

    /// Where the path crosses the lines or circles at distance c beside a bend.
    fn meet_sides(&self, bend: &Bend, roots: &mut Roots) {
        let normal: Vec2 = left(bend.ta);
        if bend.curvature == 0.0 {
            let k = normal.dot(bend.a.to_vec2());
            self.path.meet_line(normal, k + self.c, roots);
            self.path.meet_line(normal, k - self.c, roots);
            return;
        }
        let center = bend.a + normal / bend.curvature;
        let own = 1.0 / bend.curvature.abs();
        self.path.meet_circle(center, own + self.c, roots);
        self.path.meet_circle(center, (own - self.c).abs(), roots);
    }
}

/// Distance from a point to a bend, mm.
pub(super) fn distance(bend: &Bend, p: Point) -> f64 {
    let near = foot(bend, p);
    if within(bend, near) {
        return (near - p).hypot();
    }
    (bend.a - p).hypot2().min((bend.b - p).hypot2()).sqrt()
}

/// Joins stretches that touch or overlap.
fn merged(mut found: Vec<Stretch>) -> Vec<Stretch> {
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<Stretch> = Vec::with_capacity(found.len());
    for (from, to) in found {
        match out.last_mut() {
            Some(last) if from <= last.1 + 1e-12 => last.1 = last.1.max(to),
            _ => out.push((from, to)),
        }
    }
    out
}
