//! Where wood is thin: the necks of a region.

use super::block::distance;
use super::profile::{Low, Profile};
use super::tree::{Tree, distance2};
use super::walk::Walk;
use crate::curve::{Point, Region};

/// Two edges that face each other within this cosine (2.5 degrees) bound a neck: long thin
/// tapers count, rounded and pointed tips do not.
const FACING: f64 = 0.999;

/// The thinnest neck of a region up to `cap` mm wide: where two edges face each other with a
/// low of the distance between them (exactly), or run side by side in a slow taper (sampled
/// every 0.75 mm). The result's radius is half the width.
pub fn thinnest(region: &Region, cap: f64) -> Option<Low> {
    let profile = Profile::inside(region, cap / 2.0);
    let taper = profile.narrowest_taper(FACING);
    let neck = profile.thinnest();
    match (neck, taper) {
        (Some(neck), Some(taper)) if taper.radius < neck.radius => Some(taper),
        (None, taper) => taper,
        (neck, _) => neck,
    }
}

struct Nearest<'w> {
    walk: &'w Walk,
    p: Point,
    distance: f64,
}

/// Distance from a point to the nearest edge, mm.
pub(super) fn edge_distance(walk: &Walk, tree: &Tree, p: Point) -> f64 {
    let mut nearest = Nearest { walk, p, distance: f64::INFINITY };
    tree.visit(
        &mut nearest,
        |n, rect| distance2(rect, n.p) < n.distance * n.distance,
        |n, index| {
            let away = distance(&n.walk.bends[index as usize].bend, n.p);
            n.distance = n.distance.min(away);
        },
    );
    nearest.distance
}
