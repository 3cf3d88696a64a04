//! Where a cutter of one size stops and starts following the boundary.
//!
//! At each such place the disc touches the boundary twice, and both contacts are such places
//! of opposite kind with one common centre: they are found one by one and then paired.

use super::profile::{Profile, Sample};
use crate::curve::{Point, Vec2};

/// A place may fall short of the cutter's radius by this much, mm, and still count as
/// followed: an arc drawn with exactly that radius must not fall apart in rounding.
pub(super) const SLACK: f64 = 2e-6;

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

impl Profile {
    /// The runs for a cutter of radius c mm, c below the cap; `None` when the places cannot
    /// be paired even after looking again, which the caller must treat as "not known".
    pub(super) fn runs(&mut self, c: f64) -> Option<Runs> {
        for _ in 0..8 {
            let mut runs = self.find_turns(c);
            let lonely = pair(&mut runs.turns);
            if lonely.is_empty() {
                return Some(runs);
            }
            if !self.look_again(&runs, &lonely, c) {
                break;
            }
        }
        None
    }

    fn find_turns(&self, c: f64) -> Runs {
        let mut runs = Runs::default();
        for (lane, samples) in self.samples.iter().enumerate() {
            let before = runs.turns.len();
            for (i, from) in samples.iter().enumerate() {
                let to = &samples[(i + 1) % samples.len()];
                let ends = follows(from, c);
                if ends != follows(to, c) {
                    runs.turns.push(self.turn((lane, ends), from, to, c));
                }
            }
            let none = runs.turns.len() == before;
            runs.whole.push(none.then(|| samples.first().is_none_or(|s| follows(s, c))));
        }
        runs
    }

    /// The place between two samples where the radius passes c.
    fn turn(
        &self,
        (lane, ends): (usize, bool),
        from: &Sample,
        to: &Sample,
        c: f64,
    ) -> Turn {
        let (good, bad) = if ends { (from, to) } else { (to, from) };
        let goal = if good.radius >= c { c } else { c - SLACK };
        let (element, u) = if good.element == bad.element {
            let element = self.element(lane, good);
            let (mut high, mut low) = (good.u, bad.u);
            for _ in 0..60 {
                let middle = f64::midpoint(high, low);
                let reached = self.ball(element, middle, good.contact).radius >= goal;
                if reached {
                    high = middle;
                } else {
                    low = middle;
                }
                if (high - low).abs() < 1e-15 {
                    break;
                }
            }
            (good.element, high)
        } else {
            (good.element, good.u)
        };
        let place = self.walk.loops[lane].elements[element as usize];
        let (point, normal) = self.walk.place(place, u);
        let center = point + normal * c;
        Turn { lane, element, u, point, normal, center, ends, partner: usize::MAX }
    }

    /// Adds samples at the other contacts of the discs of lonely places; false when there
    /// was nothing to add.
    fn look_again(&mut self, runs: &Runs, lonely: &[usize], c: f64) -> bool {
        let mut added = false;
        for &index in lonely {
            let turn = runs.turns[index];
            let element = self.walk.loops[turn.lane].elements[turn.element as usize];
            let length = self.element_length(element);
            let mut around = vec![(turn.lane, turn.element, turn.u, length)];
            let ball = self.ball(element, turn.u, None);
            around.extend(ball.contact.and_then(|q| self.locate(q.bend, q.point)));
            for (lane, place, u, length) in around {
                for distance in [-0.2, -0.05, -0.01, 0.0, 0.01, 0.05, 0.2] {
                    let there = (u + distance * c.min(1.0) / length).clamp(0.0, 1.0);
                    let known = self.samples[lane]
                        .iter()
                        .any(|s| s.element == place && (s.u - there).abs() < 1e-9);
                    if !known {
                        let sample = self.sample(lane, place, there);
                        self.insert(lane, vec![sample]);
                        added = true;
                    }
                }
            }
        }
        added
    }

    fn element_length(&self, element: super::walk::Element) -> f64 {
        match element {
            super::walk::Element::Along(bend) => {
                self.walk.bends[bend as usize].bend.length
            }
            super::walk::Element::Fan { sweep, .. } => sweep.max(0.1),
            super::walk::Element::Corner { .. } => 1.0,
        }
    }

    /// The element and share of a contact: on the bend, or on the fan at its end.
    fn locate(&self, bend: u32, point: Point) -> Option<(usize, u32, f64, f64)> {
        use super::walk::Element;
        let lane = self
            .walk
            .loops
            .iter()
            .position(|l| (l.bends.0..l.bends.1).contains(&bend))?;
        let elements = &self.walk.loops[lane].elements;
        let b = self.walk.bends[bend as usize].bend;
        let near = |q: Point| (q - point).hypot() < 1e-9;
        let fan = elements.iter().position(|e| {
            matches!(e, Element::Fan { at, .. } if (near(b.a) || near(b.b)) && near(*at))
        });
        if let Some(place) = fan {
            let Element::Fan { sweep, .. } = elements[place] else { return None };
            return Some((lane, place as u32, 0.5, sweep.max(0.1)));
        }
        let place = elements
            .iter()
            .position(|e| matches!(e, Element::Along(index) if *index == bend))?;
        let mut u = (point - b.a).dot(b.b - b.a) / (b.b - b.a).hypot2();
        for _ in 0..4 {
            let off = (point - b.eval(u)).dot(b.tangent(u));
            u += off / b.length;
        }
        Some((lane, place as u32, u.clamp(0.0, 1.0), b.length))
    }
}

/// The sample counts as followed by a cutter of radius c.
pub(super) fn follows(sample: &Sample, c: f64) -> bool {
    sample.radius >= c - SLACK
}

/// Pairs each place where following ends with the one of the other kind on the same disc;
/// gives back those without.
fn pair(turns: &mut [Turn]) -> Vec<usize> {
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
    (0..turns.len()).filter(|&i| turns[i].partner == usize::MAX).collect()
}

/// The clockwise way round the disc from where following ends to where it goes on, radians
/// from 0 to 2π.
pub(super) fn sweep(end: &Turn, begin: &Turn) -> f64 {
    let (from, to) = (-end.normal, -begin.normal);
    let angle = to.cross(from).atan2(to.dot(from));
    if angle < -1e-9 { angle + std::f64::consts::TAU } else { angle.max(0.0) }
}
