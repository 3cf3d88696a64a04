//! Where a cutter of one size stops and starts following the boundary.
//!
//! At each such place the disc touches the boundary twice, and both contacts are such places
//! of opposite kind with one common centre: they are found one by one and then paired.

use super::block::{Stretch, blocked};
use super::profile::Profile;
use super::walk::Element;
use crate::curve::{Point, Vec2};

/// Centres farther apart than this are not one disc, mm.
const SAME_CENTER: f64 = 2e-4;

/// Where following ends or begins.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turn {
    pub lane: usize,
    pub element: u32,
    pub u: f64,
    pub point: Point,
    pub normal: Vec2,
    pub center: Point,
    /// Following ends here, in walking direction.
    pub ends: bool,
    /// The other contact of the same disc, an index of the list.
    pub partner: usize,
}

/// Following along all loops for one radius.
#[derive(Clone, Debug, Default)]
pub(super) struct Runs {
    /// By loop, then in walking order; kinds alternate within a loop.
    pub turns: Vec<Turn>,
    /// Per loop without turns: whether it is followed throughout. `None` with turns.
    pub whole: Vec<Option<bool>>,
}

/// Blocked stretches by loop and element.
pub(super) type Blocked = Vec<Vec<Vec<Stretch>>>;

impl Profile {
    /// The stretches of every element, by loop, that a cutter of radius c cannot follow. What
    /// a larger cutter follows, a smaller one does: `larger` spares looking there again.
    pub(super) fn blocked(&self, c: f64, larger: Option<&Blocked>) -> Blocked {
        let both = (&self.walk, &self.tree);
        let mut all = Vec::with_capacity(self.walk.loops.len());
        for (lane, ring) in self.walk.loops.iter().enumerate() {
            let free = |place: usize| larger.is_some_and(|l| l[lane][place].is_empty());
            let look = |(place, &element): (usize, &Element)| {
                if free(place) { Vec::new() } else { blocked(both, element, c) }
            };
            all.push(ring.elements.iter().enumerate().map(look).collect());
        }
        all
    }

    /// The runs between blocked stretches; `None` when the places cannot be paired, which the
    /// caller must treat as "not known".
    pub(super) fn paired(&self, c: f64, blocked: &Blocked) -> Option<Runs> {
        let mut runs = Runs::default();
        for (lane, stretches) in blocked.iter().enumerate() {
            let before = runs.turns.len();
            let followed = self.turns_of((lane, stretches), c, &mut runs.turns);
            let none = runs.turns.len() == before;
            runs.whole.push(none.then_some(followed));
        }
        pair(&mut runs.turns).then_some(runs)
    }

    /// Adds the places of one loop; says whether its very start is followed.
    fn turns_of(
        &self,
        (lane, blocked): (usize, &[Vec<Stretch>]),
        c: f64,
        turns: &mut Vec<Turn>,
    ) -> bool {
        let ends_blocked =
            |stretches: &Vec<Stretch>| stretches.last().is_some_and(|last| last.1 >= 1.0);
        let mut following = !blocked.last().is_some_and(ends_blocked);
        let at_start = following;
        for (place, stretches) in blocked.iter().enumerate() {
            let element = place as u32;
            for &(from, to) in stretches {
                if following {
                    turns.push(self.turn((lane, true), element, from, c));
                } else if from > 0.0 {
                    // what blocked the element before ends at its end
                    turns.push(self.turn((lane, false), element, 0.0, c));
                    turns.push(self.turn((lane, true), element, from, c));
                }
                following = to < 1.0;
                if following {
                    turns.push(self.turn((lane, false), element, to, c));
                }
            }
            if stretches.is_empty() && !following {
                turns.push(self.turn((lane, false), element, 0.0, c));
                following = true;
            }
        }
        at_start
    }

    fn turn(&self, (lane, ends): (usize, bool), element: u32, u: f64, c: f64) -> Turn {
        let place = self.walk.loops[lane].elements[element as usize];
        let (point, normal) = self.walk.place(place, u);
        let center = point + normal * c;
        Turn { lane, element, u, point, normal, center, ends, partner: usize::MAX }
    }
}

/// Pairs each place where following ends with the one of the other kind on the same disc;
/// true when every one has its partner.
fn pair(turns: &mut [Turn]) -> bool {
    let mut order: Vec<usize> = (0..turns.len()).collect();
    order.sort_by(|&a, &b| turns[a].center.x.total_cmp(&turns[b].center.x));
    let mut candidates: Vec<(f64, usize, usize)> = Vec::new();
    for (place, &i) in order.iter().enumerate() {
        for &j in &order[place + 1..] {
            if turns[j].center.x - turns[i].center.x > SAME_CENTER {
                break;
            }
            let distance = (turns[j].center - turns[i].center).hypot();
            if turns[i].ends != turns[j].ends && distance < SAME_CENTER {
                let (end, begin) = if turns[i].ends { (i, j) } else { (j, i) };
                candidates.push((distance, end, begin));
            }
        }
    }
    // Shares of rounding apart, the shorter way round the disc belongs together.
    candidates.sort_by(|a, b| {
        let key = |c: &(f64, usize, usize)| {
            ((c.0 / 1e-6).floor(), sweep(&turns[c.1], &turns[c.2]))
        };
        let (ka, kb) = (key(a), key(b));
        ka.0.total_cmp(&kb.0)
            .then(ka.1.total_cmp(&kb.1))
            .then((a.1, a.2).cmp(&(b.1, b.2)))
    });
    for (_, end, begin) in candidates {
        if turns[end].partner == usize::MAX && turns[begin].partner == usize::MAX {
            turns[end].partner = begin;
            turns[begin].partner = end;
        }
    }
    turns.iter().all(|turn| turn.partner != usize::MAX)
}

/// The clockwise way round the disc from where following ends to where it goes on, radians
/// from 0 to 2π.
pub(super) fn sweep(end: &Turn, begin: &Turn) -> f64 {
    let (from, to) = (-end.normal, -begin.normal);
    let angle = to.cross(from).atan2(to.dot(from));
    if angle < -1e-9 { angle + std::f64::consts::TAU } else { angle.max(0.0) }
}

/// Two of the discs at these places overlap so that the arcs drawn along them cross.
pub(super) fn arcs_cross(turns: &[Turn], ends: &[usize], radius: f64) -> bool {
    let mut order: Vec<usize> = ends.to_vec();
    order.sort_by(|&a, &b| turns[a].center.x.total_cmp(&turns[b].center.x));
    order.iter().enumerate().any(|(place, &i)| {
        order[place + 1..]
            .iter()
            .take_while(|&&j| turns[j].center.x - turns[i].center.x < 2.0 * radius)
            .any(|&j| pair_crosses(turns, (i, j), radius))
    })
}

fn pair_crosses(turns: &[Turn], (i, j): (usize, usize), radius: f64) -> bool {
    let (a, b) = (&turns[i], &turns[j]);
    let between = b.center - a.center;
    let distance = between.hypot();
    if distance >= 2.0 * radius {
        return false;
    }
    if distance < SAME_CENTER {
        return true;
    }
    let rise = (radius * radius - distance * distance / 4.0).sqrt();
    let side = crate::curve::left(between / distance) * rise;
    let middle = a.center.midpoint(b.center);
    [middle + side, middle - side]
        .into_iter()
        .any(|point| on_arc(turns, a, point) && on_arc(turns, b, point))
}

/// A point of the disc lies on the arc from where following ends to where it goes on.
fn on_arc(turns: &[Turn], end: &Turn, point: Point) -> bool {
    const SLACK: f64 = 1e-6; // radians: a crossing at an arc's very end counts
    let (from, to) = (-end.normal, point - end.center);
    let mut angle = to.cross(from).atan2(to.dot(from));
    if angle < -SLACK {
        angle += std::f64::consts::TAU;
    }
    angle <= sweep(end, &turns[end.partner]) + SLACK
}
