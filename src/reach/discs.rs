//! The largest discs along a boundary, for a tip that follows their centres.

use super::ball::Ball;
use super::profile::{Profile, Sample};
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

/// Halvings between two sampled places at most.
const HALVINGS: u32 = 10;

impl Profile {
    /// The largest disc at places about `spacing` mm apart, loop by loop in walking order, and
    /// so near together that the disc halfway between two of them is not farther than `off` mm
    /// from halfway between theirs, in place and radius together.
    /// Along a loop the centres run through the medial axis (H. Blum, "A transformation for
    /// extracting new descriptors of shape", 1967, title from memory), each branch there and
    /// back, and stay at the cap's distance from the edge where the region is wider.
    pub fn discs(&self, spacing: f64, off: f64) -> Vec<Vec<Disc>> {
        (0..self.walk.loops.len()).map(|lane| self.lane(lane, spacing, off)).collect()
    }

    fn lane(&self, lane: usize, spacing: f64, off: f64) -> Vec<Disc> {
        let mut discs = Vec::new();
        let mut before: Option<Sample> = None;
        for sample in self.sample_loop(lane, spacing) {
            if let Some(before) = before.filter(|b| b.element == sample.element) {
                self.between(lane, [&before, &sample], (off, HALVINGS), &mut discs);
            }
            discs.push(self.disc(lane, &sample));
            before = Some(sample);
        }
        discs
    }

    fn disc(&self, lane: usize, sample: &Sample) -> Disc {
        let element = self.walk.loops[lane].elements[sample.element as usize];
        let (at, normal) = self.walk.place(element, sample.u);
        Disc { at, center: at + normal * sample.radius, radius: sample.radius }
    }

    /// The discs needed between two.
    fn between(
        &self,
        lane: usize,
        ends: [&Sample; 2],
        (off, halvings): (f64, u32),
        discs: &mut Vec<Disc>,
    ) {
        let [from, to] = ends;
        let element = self.walk.loops[lane].elements[from.element as usize];
        let u = f64::midpoint(from.u, to.u);
        let Ball { radius, contact } = self.ball(element, u, from.contact);
        let middle = Sample { element: from.element, u, radius, contact };
        let [a, m, b] = [from, &middle, to].map(|sample| self.disc(lane, sample));
        let far = m.center.distance(a.center.midpoint(b.center))
            + (m.radius - f64::midpoint(a.radius, b.radius)).abs();
        if far <= off || halvings == 0 {
            return;
        }
        self.between(lane, [from, &middle], (off, halvings - 1), discs);
        discs.push(m);
        self.between(lane, [&middle, to], (off, halvings - 1), discs);
    }
}
