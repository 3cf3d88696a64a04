//! A whole boundary seen from one side, ready to be asked about any cutter.

use super::ball::{Ball, Contact, ball};
use super::facing::narrowest;
use super::tree::Tree;
use super::walk::{Element, Joint, Walk};
use crate::curve::{Point, Region};

/// Distance between samples along a bend, mm.
const SPACING: f64 = 0.75;

/// Angle between samples round a corner turned away, radians.
const SWING: f64 = 0.25;

/// The largest disc at one sampled place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample {
    /// Index of the element in its loop.
    pub element: u32,
    /// Share of the element.
    pub u: f64,
    /// Radius, mm.
    pub radius: f64,
    /// What stopped the disc.
    pub contact: Option<Contact>,
}

/// A boundary seen from its right.
#[derive(Clone, Debug)]
pub struct Profile {
    /// The region, its wood on the left of the walk.
    pub(super) region: Region,
    pub(super) walk: Walk,
    pub(super) tree: Tree,
    pub(super) cap: f64,
}

/// The smallest reach and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Low {
    /// Radius of the largest disc that follows everything, mm.
    pub radius: f64,
    /// Where it is that small.
    pub at: Point,
    /// The other point of contact, where a gap and not a corner is the limit.
    pub across: Option<Point>,
}

impl Profile {
    /// Seen from outside; discs larger than `cap` mm are not asked for.
    pub fn outside(region: &Region, cap: f64) -> Self {
        let walk = Walk::new(region);
        let tree = Tree::new(&walk);
        Self { region: region.clone(), walk, tree, cap }
    }

    /// Seen from inside.
    pub fn inside(region: &Region, cap: f64) -> Self {
        Self::outside(&region.inverted(), cap)
    }

    /// The smallest reach anywhere; `None` when nothing stops a disc of the cap's radius.
    ///
    /// It is the lesser of the sharpest bend toward the cutter, taken from the true curves,
    /// and half the narrowest gap (Federer 1959, section 4). No sampling.
    pub fn lowest_reach(&self) -> Option<Low> {
        let mut low: Option<Low> = None;
        let mut limit = self.cap;
        for joined in &self.walk.bends {
            let bend = &joined.bend;
            if joined.joint_after == Joint::Inside {
                return Some(Low { radius: 0.0, at: bend.b, across: None });
            }
            if bend.right_radius < limit {
                limit = bend.right_radius;
                low = Some(Low { radius: limit, at: bend.eval(0.5), across: None });
            }
        }
        narrowest(&self.region, &self.walk, &self.tree, limit).or(low)
    }

    /// The narrowest place where two edges face each other, on the side looked from.
    pub fn thinnest(&self) -> Option<Low> {
        narrowest(&self.region, &self.walk, &self.tree, self.cap)
    }

    /// The largest disc that touches anywhere on this side: from inside the largest circle
    /// that fits, and half the greatest width. Sampled, its highs refined.
    pub fn highest_reach(&self) -> f64 {
        let mut high = 0.0_f64;
        for lane in 0..self.walk.loops.len() {
            let samples = self.sample_loop(lane, SPACING);
            for (i, here) in samples.iter().enumerate() {
                let same = |other: &&Sample| other.element == here.element;
                let before = i.checked_sub(1).and_then(|i| samples.get(i)).filter(same);
                let after = samples.get(i + 1).filter(same);
                let mut beside = [before, after].into_iter().flatten();
                high = high.max(here.radius);
                let top = beside.all(|other| here.radius >= other.radius);
                if top && here.radius > high * 0.9 && here.radius < self.cap {
                    let [from, to] = [before, after].map(|end| end.unwrap_or(here));
                    high = high.max(self.highest(lane, from, to));
                }
            }
        }
        high
    }

    /// The smallest sampled disc whose two contacts face each other within a cosine.
    pub(super) fn narrowest_taper(&self, facing: f64) -> Option<Low> {
        let mut low: Option<Low> = None;
        for lane in 0..self.walk.loops.len() {
            for sample in self.sample_loop(lane, SPACING) {
                if sample.radius >= low.map_or(self.cap, |l| l.radius) {
                    continue;
                }
                let Some(contact) = sample.contact else { continue };
                let element = self.walk.loops[lane].elements[sample.element as usize];
                let (at, normal) = self.walk.place(element, sample.u);
                let across = contact.point - at;
                if across.hypot() > 1e-9 && across.dot(normal) > facing * across.hypot() {
                    let across = Some(contact.point);
                    low = Some(Low { radius: sample.radius, at, across });
                }
            }
        }
        low
    }

    /// Golden-section search for the high between two samples of one element, mm.
    fn highest(&self, lane: usize, from: &Sample, to: &Sample) -> f64 {
        let element = self.walk.loops[lane].elements[from.element as usize];
        let share = (5.0_f64.sqrt() - 1.0) / 2.0;
        let (mut lo, mut hi) = (from.u, to.u);
        let value = |u: f64| self.ball(element, u, from.contact).radius;
        let (mut a, mut b) = (hi - share * (hi - lo), lo + share * (hi - lo));
        let (mut fa, mut fb) = (value(a), value(b));
        for _ in 0..36 {
            if fa >= fb {
                (hi, b, fb) = (b, a, fa);
                a = hi - share * (hi - lo);
                fa = value(a);
            } else {
                (lo, a, fa) = (a, b, fb);
                b = lo + share * (hi - lo);
                fb = value(b);
            }
        }
        fa.max(fb)
    }

    /// The largest disc at places of a loop, in walking order, about `spacing` mm apart.
    pub(super) fn sample_loop(&self, lane: usize, spacing: f64) -> Vec<Sample> {
        let elements = &self.walk.loops[lane].elements;
        let mut samples = Vec::with_capacity(elements.len() * 4);
        let mut hint = None;
        for (place, &element) in elements.iter().enumerate() {
            let count = self.steps(element, spacing);
            for i in 0..=count {
                let u = if count == 0 { 0.0 } else { i as f64 / count as f64 };
                let Ball { radius, contact } = self.ball(element, u, hint);
                hint = contact;
                samples.push(Sample { element: place as u32, u, radius, contact });
            }
        }
        samples
    }

    fn steps(&self, element: Element, spacing: f64) -> usize {
        match element {
            Element::Along(index) => {
                let length = self.walk.bends[index as usize].bend.length;
                ((length / spacing).ceil() as usize).clamp(2, 100_000)
            }
            Element::Fan { sweep, .. } => ((sweep / SWING).ceil() as usize).max(1),
            Element::Corner { .. } => 0,
        }
    }

    pub(super) fn ball(&self, element: Element, u: f64, hint: Option<Contact>) -> Ball {
        ball((&self.walk, &self.tree), (element, u), self.cap, hint)
    }

    pub(super) fn place(&self, lane: usize, sample: &Sample) -> Point {
        let element = self.walk.loops[lane].elements[sample.element as usize];
        self.walk.place(element, sample.u).0
    }
}
