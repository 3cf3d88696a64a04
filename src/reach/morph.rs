//! Openings, closings and moved edges, all from one profile.

use super::cycles::Cycles;
use super::profile::Profile;
use super::runs::arcs_cross;
use crate::curve::{Contour, Origin, Region};

/// Radii below this change nothing, mm.
const LEAST_RADIUS: f64 = 1e-4;

/// Closes the region by a disc: inside corners get exactly this radius, narrow gaps fill.
/// New arcs carry `origin`. Radius in mm; zero or less changes nothing. `None` when the
/// answer could not be made sure of.
pub fn closing(region: &Region, radius: f64, origin: Origin) -> Option<Region> {
    morph(region, (radius, origin), Draw::Closed)
}

/// Opens the region by a disc: outside corners get exactly this radius, thin parts go.
pub fn opening(region: &Region, radius: f64, origin: Origin) -> Option<Region> {
    inside(region, |turned| morph(turned, (radius, origin), Draw::Closed))
}

/// Moves the edge outward by `by` mm, outside corners rounded.
pub fn grow(region: &Region, by: f64, origin: Origin) -> Option<Region> {
    morph(region, (by, origin), Draw::Grown)
}

/// Moves the edge inward by `by` mm; may vanish or fall apart.
pub fn shrink(region: &Region, by: f64, origin: Origin) -> Option<Region> {
    inside(region, |turned| morph(turned, (by, origin), Draw::Grown))
}

/// What is drawn from the runs.
#[derive(Clone, Copy)]
enum Draw {
    Closed,
    Grown,
}

/// Works on the air as if it were wood.
fn inside(region: &Region, work: impl Fn(&Region) -> Option<Region>) -> Option<Region> {
    work(&region.inverted()).map(|result| result.inverted())
}

fn morph(region: &Region, (radius, origin): (f64, Origin), draw: Draw) -> Option<Region> {
    if radius < LEAST_RADIUS || region.is_empty() {
        return Some(region.clone());
    }
    let profile = Profile::outside(region, radius);
    let runs = profile.runs(radius)?;
    let cycles = Cycles { profile: &profile, runs: &runs, radius, origin };
    let contours = match draw {
        Draw::Closed => cycles.closed(),
        Draw::Grown => cycles.grown(),
    };
    let ends: Vec<usize> =
        (0..runs.turns.len()).filter(|&i| runs.turns[i].ends).collect();
    Some(if arcs_cross(&runs.turns, &ends, radius) {
        tidied_like(region, contours)
    } else {
        Region::from_contours(contours)
    })
}

/// Tidies contours that run round wood or, for a region turned inside out, round air.
fn tidied_like(region: &Region, contours: Vec<Contour>) -> Region {
    if region.area() >= 0.0 {
        return Region::tidied(contours);
    }
    let air: Vec<Contour> = contours.iter().map(Contour::reversed).collect();
    // Air pockets overlap where the wood's discs do: what winds less than once is wood no more.
    Region::tidied(air).inverted()
}
