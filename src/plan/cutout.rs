//! Cutting the dish out: round its outline in passes, the last ones over holding tabs.

use super::moves::{Course, Pace, Route};
use super::passes::{first_pass, levels, stepdown};
use super::ring::Ring;
use super::tabs::{Off, Placed, Tab, place};
use crate::curve::{Origin, Point};
use crate::dish::Dish;
use crate::model::{Cutter, Shop};
use crate::reach::grow;

/// Ramp down, as in [`super::passes`]: mm down for each mm along.
const SLOPE: f64 = 0.052_407_779_283_041_2; // tan 3°

/// The moves and the tabs; `None` where the way could not be made sure of.
pub(super) fn cut_out(
    dish: &Dish,
    cutter: &Cutter,
    shop: &Shop,
    off: &[Off],
) -> Option<(Route, Vec<Tab>)> {
    let thickness = dish.wood.thickness.get();
    let depth = thickness + shop.house.overcut.get();
    let depths = levels(depth, stepdown(cutter), first_pass(cutter));
    let way = grow(&dish.outline, cutter.radius(), Origin::default())?;
    let bounds = dish.outline.bounds();
    let mut course = Course::above(Point::new(bounds.x0, bounds.y0));
    let mut tabs = Vec::new();
    // Holes first, while the dish is held all round.
    let mut contours: Vec<_> = way.contours().iter().collect();
    contours.sort_by_key(|contour| contour.signed_area() > 0.0);
    for contour in contours {
        // Climb: the dish lies on the right of the way.
        let ring = Ring::of(contour).reversed();
        let outer = contour.signed_area() > 0.0;
        let placed = if outer {
            place(&ring, cutter.diameter(), thickness, off)
        } else {
            Vec::new()
        };
        let (ring, placed) = begun_between(ring, placed);
        tabs.extend(placed.iter().map(|placed| placed.tab));
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
                course.plunge(z);
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
