//! The largest discs along a boundary, for a tip that follows their centres.

use super::profile::Profile;
use crate::curve::Point;

/// The largest disc that touches the boundary somewhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    /// Where it touches.
    pub at: Point,
    /// Its centre.
    pub center: Point,
    /// Its radius, mm, at most the profile's cap.
    pub radius: f64,
}

impl Profile {
    /// The largest disc at places about `spacing` mm apart, loop by loop in walking order.
    /// Along a loop the centres run through the medial axis (H. Blum, "A transformation for
    /// extracting new descriptors of shape", 1967, title from memory), each branch there and
    /// back, and stay at the cap's distance from the edge where the region is wider.
    pub fn discs(&self, spacing: f64) -> Vec<Vec<Disc>> {
        (0..self.walk.loops.len())
            .map(|lane| {
                let elements = &self.walk.loops[lane].elements;
                let disc = |sample: super::profile::Sample| {
                    let element = elements[sample.element as usize];
                    let (at, normal) = self.walk.place(element, sample.u);
                    let center = at + normal * sample.radius;
                    Disc { at, center, radius: sample.radius }
                };
                self.sample_loop(lane, spacing).into_iter().map(disc).collect()
            })
            .collect()
    }
}
