//! Cutting the dish out: round its outline in passes, the last ones over holding tabs.

use super::moves::{Course, Pace, Route};
use super::passes::{first_pass, levels, stepdown};
use super::ring::{Ring, Stretch};
use super::tabs::{Off, Placed, Tabs, place};
use crate::curve::{Origin, Point};
use crate::dish::Dish;
use crate::model::{Cutter, Shop};
use crate::reach::grow;

/// Ramp down, as in [`super::passes`]: mm down for each mm along.
const SLOPE: f64 = 0.052_407_779_283_041_2; // tan 3°

/// Behind a tab the tip goes down to and fro along so much of the way at most, mm: ours.
const SWING: f64 = 25.0;

/// The moves and the tabs; `None` where the way could not be made sure of.
pub(super) fn cut_out(
    dish: &Dish,
    cutter: &Cutter,
    shop: &Shop,
    off: &[Off],
) -> Option<(Route, Tabs)> {
    let thickness = dish.wood.thickness.get();
    let depth = thickness + shop.house.overcut.get();
    let depths = levels(depth, stepdown(cutter), first_pass(cutter));
    let way = grow(&dish.outline, cutter.radius(), Origin::default())?;
    let bounds = dish.outline.bounds();
    let mut course = Course::above(Point::new(bounds.x0, bounds.y0));
    let mut tabs = Tabs::default();
    // Holes first, while the dish is held all round.
    let mut contours: Vec<_> = way.contours().iter().collect();
    contours.sort_by_key(|contour| contour.signed_area() > 0.0);
    for contour in contours {
        // Climb: the dish lies on the right of the way.
        let ring = Ring::of(contour).reversed();
        let outer = contour.signed_area() > 0.0;
        let (placed, wanted) = if outer {
            place(&ring, (cutter.diameter(), thickness), &shop.house.tabs, off)
        } else {
            (Vec::new(), 0)
        };
        tabs.wanted += wanted;
        let (ring, placed) = begun_between(ring, placed);
        tabs.all.extend(placed.iter().map(|placed| placed.tab));
        let held = Held { placed: &placed, cutter, thickness };
        let mut above = 0.0;
        for depth in &depths {
            round(&mut course, &ring, &held, [above, -depth]);
            above = -depth;
        }
    }
    Some((course.done(depths), tabs))
}

/// The ring begun halfway between two tabs, so that none lies across its beginning.
fn begun_between(ring: Ring, mut placed: Vec<Placed>) -> (Ring, Vec<Placed>) {
    placed.sort_by(|a, b| a.along.total_cmp(&b.along));
    let (Some(first), Some(second)) = (placed.first(), placed.get(1)) else {
        return (ring, placed);
    };
    let from = f64::midpoint(first.along, second.along);
    let whole = ring.length();
    for tab in &mut placed {
        tab.along = (tab.along - from).rem_euclid(whole);
    }
    placed.sort_by(|a, b| a.along.total_cmp(&b.along));
    (ring.begun_after(from), placed)
}

/// The tabs of a way and what they are cut from.
struct Held<'a> {
    placed: &'a [Placed],
    cutter: &'a Cutter,
    thickness: f64,
}

impl Held<'_> {
    /// Where the tip goes over each tab: from, to (mm along the way).
    fn spans(&self) -> impl Iterator<Item = (f64, f64, f64)> + '_ {
        self.placed.iter().map(|placed| {
            let half = f64::midpoint(placed.tab.length, self.cutter.diameter());
            let top = placed.tab.height - self.thickness;
            (placed.along - half, placed.along + half, top)
        })
    }

    /// Length from a place to the next tab or the end of a way, mm.
    fn free_after(&self, along: f64, whole: f64) -> f64 {
        let next = self.spans().map(|(from, ..)| from).filter(|from| *from > along);
        next.fold(whole, f64::min) - along
    }
}

/// Down to a height from where a ring begins, to and fro along it, back to where it begins;
/// the way is free for a length, mm.
fn swing_down(course: &mut Course, ring: &Ring, (z, free): (f64, f64)) {
    let from = course.here().z;
    let run = (from - z) / SLOPE;
    let swings = (run / (2.0 * free.min(SWING))).ceil().clamp(1.0, 1000.0);
    let reach = run / (2.0 * swings);
    let forth: Vec<(Stretch, f64)> = ring
        .cut_at(&[reach])
        .into_iter()
        .take_while(|(_, at)| *at <= reach + 1e-6)
        .collect();
    let mut gone = 0.0;
    for _ in 0..swings as u32 {
        for (stretch, at) in &forth {
            course.follow(stretch, from - (gone + at) * SLOPE);
        }
        gone += reach;
        for (stretch, at) in forth.iter().rev() {
            let left = at - stretch.length;
            course.follow(&stretch.reversed(), from - (gone + reach - left) * SLOPE);
        }
        gone += reach;
    }
    course.line(course.here().plan(), z, Pace::Cut);
}

/// Down from one height to the next along the way, then once round, over the tabs.
fn round(course: &mut Course, ring: &Ring, held: &Held<'_>, [from, to]: [f64; 2]) {
    let Some(start) = ring.start() else { return };
    let whole = ring.length();
    let run = (from - to) / SLOPE;
    let end = run + whole;
    if course.here().plan().distance(start) > 1e-6 || course.here().z > from + 1e-6 {
        course.over(start, from);
        course.plunge(from);
    }
    let mut gone = 0.0;
    while gone < end - 1e-6 {
        let mut marks: Vec<f64> = held.spans().flat_map(|(a, b, _)| [a, b]).collect();
        marks.extend([run - gone, end - gone]);
        marks.retain(|mark| *mark > 0.0 && *mark < whole);
        marks.sort_by(f64::total_cmp);
        let mut before = 0.0;
        for (stretch, at) in ring.cut_at(&marks) {
            if gone + before > end - 1e-6 {
                break;
            }
            let middle = f64::midpoint(before, at);
            let tab = held.spans().find(|(a, b, _)| *a < middle && middle < *b);
            let least = tab.map_or(f64::NEG_INFINITY, |(_, _, top)| top);
            let ramp = |s: f64| (from - (gone + s) * SLOPE).max(to).max(least);
            let z = ramp(before);
            if z > course.here().z + 1e-9 {
                course.line(course.here().plan(), z, Pace::Cut);
            } else if z < course.here().z - 1e-9 {
                let free = held.free_after(before, whole);
                swing_down(course, &ring.begun_after(before), (z, free));
            }
            course.follow(&stretch, ramp(at));
            before = at;
        }
        gone += whole;
    }
    // Back to where the next pass begins, at this depth, past any tab.
    if course.here().plan().distance(start) > 1e-6 {
        course.over(start, to);
    }
}
