//! Holding tabs: where the dish stays joined to the board until it is sawn off by hand.

use super::ring::Ring;
use crate::curve::Point;
use crate::model::TabRule;

/// One tab for so much of the outline, mm, within these counts: ours, no source.
const ONE_FOR: (f64, [usize; 2]) = (150.0, [3, 8]);
/// Places are looked for this far apart, mm.
const SPACING: f64 = 2.0;
/// The way bends tighter than this many cutter diameters (as a radius): no place for a tab.
const TIGHT: f64 = 2.0;
/// Tabs keep off the thinnest neck by this, mm.
const OFF_NECK: f64 = 20.0;

/// A holding tab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tab {
    /// Its middle on the way of the cutter's centre.
    pub at: Point,
    /// Length along the dish, mm.
    pub length: f64,
    /// Height above the underside of the board, mm.
    pub height: f64,
}

/// Where no tab may be: a place and how far to keep off it, mm.
pub(super) type Off = (Point, f64);

/// Keep off the two ends of the thinnest neck.
pub(super) const fn off_neck(at: Point) -> Off {
    (at, OFF_NECK)
}

/// The tabs of a dish.
#[derive(Clone, Debug, Default)]
pub(super) struct Tabs {
    pub all: Vec<Tab>,
    /// How many there should be.
    pub wanted: usize,
}

/// A tab's middle as a length along the ring, mm.
pub(super) struct Placed {
    pub along: f64,
    pub tab: Tab,
}

/// Tabs along a closed way, as evenly as the places allow, and how many there should be; none
/// where there is no place for at least two. The way is that of a cutter of a diameter (mm) in
/// a board of a thickness, of which a tab is a quarter high at most.
pub(super) fn place(
    ring: &Ring,
    (diameter, thickness): (f64, f64),
    rule: &TabRule,
    off: &[Off],
) -> (Vec<Placed>, usize) {
    let length = rule.length.get();
    let height = rule.height.get().min(thickness / 4.0);
    let half = f64::midpoint(length, diameter);
    let places = Places::of(ring, diameter, half, off);
    let (each, [least, most]) = ONE_FOR;
    let usual = ((places.whole / each).round() as usize).clamp(least, most);
    let wanted = rule.count.map_or(usual, |count| count as usize);
    let best = (2..=wanted).rev().find_map(|count| places.spread(count, 3.0 * half));
    let placed = best.unwrap_or_default().into_iter().map(|index| {
        let (along, at, _) = places.all[index];
        Placed { along, tab: Tab { at, length, height } }
    });
    (placed.collect(), wanted)
}

/// Evenly spaced places along a way, each free or not.
struct Places {
    all: Vec<(f64, Point, bool)>,
    whole: f64,
}

impl Places {
    fn of(ring: &Ring, diameter: f64, half: f64, off: &[Off]) -> Self {
        let whole = ring.length();
        let count = (whole / SPACING).floor().clamp(1.0, 100_000.0);
        let marks: Vec<f64> =
            (1..=count as u32).map(|k| whole * f64::from(k) / count).collect();
        let mut sampled: Vec<(f64, Point, bool)> = Vec::with_capacity(marks.len());
        let mut next = marks.iter().peekable();
        // Every stretch between two marks counts for the mark at its end.
        let mut free = true;
        for (stretch, end) in ring.cut_at(&marks) {
            let near =
                |p: Point| off.iter().any(|(at, far)| at.distance(p) < *far + half);
            let tight = stretch.curvature.abs() * TIGHT * diameter > 1.0;
            free &= !tight && !near(stretch.b);
            if next.next_if(|mark| (**mark - end).abs() < 1e-5).is_some() {
                sampled.push((end, stretch.b, free));
                free = true;
            }
        }
        let span = (half / SPACING).ceil() as usize;
        let n = sampled.len();
        let clear = |i: usize| (0..=2 * span).all(|k| sampled[(i + k + n - span) % n].2);
        let all = (0..n)
            .map(|i| (sampled[i].0, sampled[i].1, n > 2 * span && clear(i)))
            .collect();
        Self { all, whole }
    }

    /// Free places for so many tabs, each as near as can be to an even share of the way.
    fn spread(&self, count: usize, least: f64) -> Option<Vec<usize>> {
        let free: Vec<usize> = (0..self.all.len()).filter(|i| self.all[*i].2).collect();
        let share = self.whole / count as f64;
        let around = |a: f64, b: f64| {
            let d = (a - b).rem_euclid(self.whole);
            d.min(self.whole - d)
        };
        let mut best: Option<(f64, Vec<usize>)> = None;
        for start in (0..self.all.len()).take_while(|i| self.all[*i].0 <= share) {
            let mut places = Vec::with_capacity(count);
            let mut shift = 0.0_f64;
            for k in 0..count {
                let wanted = self.all[start].0 + share * k as f64;
                let far = |i: &usize| around(self.all[*i].0, wanted);
                let near =
                    free.iter().copied().min_by(|a, b| far(a).total_cmp(&far(b)))?;
                shift = shift.max(far(&near));
                places.push(near);
            }
            let apart = (0..count).all(|a| {
                (0..a)
                    .all(|b| around(self.all[places[a]].0, self.all[places[b]].0) > least)
            });
            if apart && best.as_ref().is_none_or(|(known, _)| shift < *known - 1e-9) {
                best = Some((shift, places));
            }
        }
        best.map(|(_, places)| places)
    }
}
