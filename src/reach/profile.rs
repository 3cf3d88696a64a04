//! Reach along a whole boundary: sampled, with its lows refined.

use super::ball::{Ball, Contact, ball};
use super::facing::narrowest;
use super::tree::Tree;
use super::walk::{Element, Joint, Walk};
use crate::curve::{Point, Region, Vec2};

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

/// Reach along every loop of a boundary, seen from its right.
#[derive(Clone, Debug)]
pub struct Profile {
    /// The region, its wood on the left of the walk.
    pub(super) region: Region,
    pub(super) walk: Walk,
    pub(super) tree: Tree,
    pub(super) cap: f64,
    /// Per loop, in walking order.
    pub(super) samples: Vec<Vec<Sample>>,
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
    /// Seen from outside, up to discs of radius `cap` mm.
    pub fn outside(region: &Region, cap: f64) -> Self {
        Self::with_spacing(region, cap, SPACING)
    }

    /// Seen from inside.
    pub fn inside(region: &Region, cap: f64) -> Self {
        Self::with_spacing(&region.inverted(), cap, SPACING)
    }

    pub(super) fn with_spacing(region: &Region, cap: f64, spacing: f64) -> Self {
        let walk = Walk::new(region);
        let tree = Tree::new(&walk);
        let region = region.clone();
        let mut profile = Self { region, walk, tree, cap, samples: Vec::new() };
        for index in 0..profile.walk.loops.len() {
            let samples = profile.sample_loop(index, spacing);
            profile.samples.push(samples);
        }
        profile.refine_lows();
        profile
    }

    fn sample_loop(&self, index: usize, spacing: f64) -> Vec<Sample> {
        let elements = &self.walk.loops[index].elements;
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

    pub(super) fn element(&self, index: usize, sample: &Sample) -> Element {
        self.walk.loops[index].elements[sample.element as usize]
    }

    pub(super) fn place(&self, index: usize, sample: &Sample) -> (Point, Vec2) {
        self.walk.place(self.element(index, sample), sample.u)
    }

    /// Adds a sample at every local low that lies between samples.
    fn refine_lows(&mut self) {
        for index in 0..self.samples.len() {
            let mut extra = Vec::new();
            let samples = &self.samples[index];
            for triple in samples.windows(3) {
                let [before, here, after] = triple else { continue };
                let low = here.radius <= before.radius && here.radius <= after.radius;
                let flat = before.radius - here.radius < 1e-9
                    && after.radius - here.radius < 1e-9;
                if !low || flat || here.radius >= self.cap || here.radius <= 0.0 {
                    continue;
                }
                let same = |a: &Sample, b: &Sample| a.element == b.element;
                match (same(before, here), same(here, after)) {
                    (true, true) => extra.push(self.lowest(index, before, after)),
                    (true, false) => extra.push(self.lowest(index, before, here)),
                    (false, true) => extra.push(self.lowest(index, here, after)),
                    (false, false) => {}
                }
            }
            self.insert(index, extra);
        }
    }

    pub(super) fn insert(&mut self, index: usize, extra: Vec<Sample>) {
        let samples = &mut self.samples[index];
        samples.extend(extra);
        samples.sort_by(|a, b| a.element.cmp(&b.element).then(a.u.total_cmp(&b.u)));
    }

    fn lowest(&self, index: usize, from: &Sample, to: &Sample) -> Sample {
        self.extreme(index, from, to, false)
    }

    /// Golden-section search for the low or high between two samples of one element.
    fn extreme(&self, index: usize, from: &Sample, to: &Sample, high: bool) -> Sample {
        let sign = if high { -1.0 } else { 1.0 };
        let element = self.element(index, from);
        let share = (5.0_f64.sqrt() - 1.0) / 2.0;
        let (mut lo, mut hi) = (from.u, to.u);
        let value = |u: f64| sign * self.ball(element, u, from.contact).radius;
        let (mut a, mut b) = (hi - share * (hi - lo), lo + share * (hi - lo));
        let (mut fa, mut fb) = (value(a), value(b));
        for _ in 0..36 {
            if fa <= fb {
                (hi, b, fb) = (b, a, fa);
                a = hi - share * (hi - lo);
                fa = value(a);
            } else {
                (lo, a, fa) = (a, b, fb);
                b = lo + share * (hi - lo);
                fb = value(b);
            }
        }
        self.sample(index, from.element, f64::midpoint(lo, hi))
    }

    pub(super) fn sample(&self, index: usize, element: u32, u: f64) -> Sample {
        let place = self.walk.loops[index].elements[element as usize];
        let Ball { radius, contact } = self.ball(place, u, None);
        Sample { element, u, radius, contact }
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
        let gap = narrowest(&self.walk, &self.tree, limit);
        gap.map(|g| Low { radius: g.radius, at: g.at, across: Some(g.across) }).or(low)
    }

    /// How squarely a disc's two contacts face each other: the sine of half the turn between
    /// them, 1 when they are opposite; 0 where a bend alone stops the disc.
    pub(super) fn across(&self, index: usize, sample: &Sample) -> f64 {
        let Some(contact) = sample.contact else { return 0.0 };
        let (point, normal) = self.place(index, sample);
        let chord = contact.point - point;
        let length = chord.hypot();
        if length > 1e-9 { chord.dot(normal) / length } else { 0.0 }
    }

    /// The largest disc that touches anywhere on this side: from inside the largest circle
    /// that fits, and half the greatest width.
    pub fn highest_reach(&self) -> f64 {
        let mut high = 0.0_f64;
        for (index, samples) in self.samples.iter().enumerate() {
            for triple in samples.windows(3) {
                let [before, here, after] = triple else { continue };
                high = high.max(here.radius);
                let same =
                    before.element == here.element && here.element == after.element;
                let top = here.radius >= before.radius && here.radius >= after.radius;
                if same && top && here.radius > high * 0.9 && here.radius < self.cap {
                    high = high.max(self.extreme(index, before, after, true).radius);
                }
            }
        }
        high
    }

    pub(super) fn low(&self, index: usize, sample: &Sample) -> Low {
        let (at, _) = self.place(index, sample);
        let across = sample.contact.map(|c| c.point).filter(|q| (*q - at).hypot() > 1e-9);
        Low { radius: sample.radius, at, across }
    }
}
