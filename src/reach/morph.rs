//! Openings, closings and moved edges, all from one profile.
//!
//! Each answer is checked by other means than made it; one that fails is made again on a slow
//! route of its own and checked again.

use super::audit;
use super::cycles::Cycles;
use super::kept::kept;
use super::profile::Profile;
use super::runs::arcs_cross;
use super::slow::{self, slowly};
use crate::curve::{Contour, Origin, Region};
use crate::units::Tolerance;

/// Radii below this change nothing, mm.
const LEAST_RADIUS: f64 = 1e-4;

/// Discs are looked for up to this much beyond the radius asked about, mm, so that one larger
/// than it can be told from one as large.
const BEYOND: f64 = 0.1;

/// What is done to a region by a disc.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Working {
    /// Inside corners rounded, narrow gaps filled.
    Closing,
    /// Outside corners rounded, thin parts gone.
    Opening,
    /// The edge moved outward, outside corners rounded.
    Growing,
    /// The edge moved inward; may vanish or fall apart.
    Shrinking,
}

impl Working {
    /// The edge is moved, not rounded.
    pub const fn moves(self) -> bool {
        matches!(self, Self::Growing | Self::Shrinking)
    }

    /// The disc lies in the wood.
    const fn within(self) -> bool {
        matches!(self, Self::Opening | Self::Shrinking)
    }
}

/// How an answer was come by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Route {
    /// From the profile's runs, exact.
    Quick,
    /// By uniting strips, within 0.003 mm and with too much wood rather than too little.
    Slow,
}

/// A region worked on and how.
#[derive(Clone, Debug)]
pub struct Worked {
    /// The result.
    pub region: Region,
    /// How it was come by.
    pub route: Route,
}

/// Closes the region by a disc: inside corners get exactly this radius, narrow gaps fill.
/// New arcs carry `origin`. Radius in mm; zero or less changes nothing. `None` when the
/// answer could not be made sure of.
pub fn closing(region: &Region, radius: f64, origin: Origin) -> Option<Region> {
    work(region, Working::Closing, radius, origin).map(|worked| worked.region)
}

/// Opens the region by a disc: outside corners get exactly this radius, thin parts go.
pub fn opening(region: &Region, radius: f64, origin: Origin) -> Option<Region> {
    work(region, Working::Opening, radius, origin).map(|worked| worked.region)
}

/// Moves the edge outward by `by` mm, outside corners rounded.
pub fn grow(region: &Region, by: f64, origin: Origin) -> Option<Region> {
    work(region, Working::Growing, by, origin).map(|worked| worked.region)
}

/// Moves the edge inward by `by` mm; may vanish or fall apart.
pub fn shrink(region: &Region, by: f64, origin: Origin) -> Option<Region> {
    work(region, Working::Shrinking, by, origin).map(|worked| worked.region)
}

/// Works on a region by a disc of this radius (mm) and says by which route. `None` when both
/// routes fail their checks. What was asked before is not worked out again.
pub fn work(
    region: &Region,
    working: Working,
    radius: f64,
    origin: Origin,
) -> Option<Worked> {
    if radius < LEAST_RADIUS || region.is_empty() {
        return Some(Worked { region: region.clone(), route: Route::Quick });
    }
    kept(region, (working, radius, origin), || anew(region, working, radius, origin))
}

fn anew(
    region: &Region,
    working: Working,
    radius: f64,
    origin: Origin,
) -> Option<Worked> {
    // Where the disc lies in the wood, air is worked on as if it were wood.
    let turned = |region: &Region| {
        if working.within() { region.inverted() } else { region.clone() }
    };
    let profile = Profile::outside(&turned(region), radius + BEYOND);
    let quick = quickly(&profile, working, radius, origin);
    let sure =
        |result: &Region, off| audit::holds(&profile, result, (working, radius), off);
    if let Some(result) = quick.filter(|result| sure(result, Tolerance::REACH.get())) {
        return Some(Worked { region: turned(&result), route: Route::Quick });
    }
    let result = slowly(region, working, (radius, origin));
    let off = Tolerance::REACH.get() + slow::OFF;
    sure(&turned(&result), off).then_some(Worked { region: result, route: Route::Slow })
}

/// The same by the slow route alone, unchecked: to hold the quick one against.
pub fn work_slowly(
    region: &Region,
    working: Working,
    radius: f64,
    origin: Origin,
) -> Region {
    if radius < LEAST_RADIUS || region.is_empty() {
        return region.clone();
    }
    slowly(region, working, (radius, origin))
}

/// From the runs of a profile; `None` when they do not pair or disagree with its discs.
fn quickly(
    profile: &Profile,
    working: Working,
    radius: f64,
    origin: Origin,
) -> Option<Region> {
    let blocked = profile.blocked(radius, None);
    let runs = profile.paired(radius, &blocked)?;
    if !audit::agrees(profile, &blocked, radius) {
        return None;
    }
    let cycles = Cycles { profile, runs: &runs, radius, origin };
    let contours = if working.moves() { cycles.grown() } else { cycles.closed() };
    let ends: Vec<usize> =
        (0..runs.turns.len()).filter(|&i| runs.turns[i].ends).collect();
    Some(if arcs_cross(&runs.turns, &ends, radius) {
        tidied_like(&profile.region, contours)
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
