//! The depths a cut is made in, and how the tip gets down to each.

use super::moves::{Course, Pace};
use super::ring::Ring;
use crate::model::{Cutter, CutterKind};
use crate::units::Mm;

/// Angle at which a cutter that does not plunge enters the wood along its way, degrees:
/// common practice, no source.
const RAMP: f64 = 3.0;
/// Beyond the up-cut part the first pass of a compression bit goes by this, mm: common
/// practice is "deeper than", the figure is ours.
pub const BEYOND_UPCUT: f64 = 0.5;
/// A last pass over a floor takes this much, mm: common practice, no source.
pub(super) const LAST: f64 = 0.5;

/// The depth of one pass: the shop's stepdown, else half the diameter (common practice, no
/// source); mm.
pub fn stepdown(cutter: &Cutter) -> f64 {
    cutter.spec().stepdown.map_or(cutter.radius(), Mm::get).max(0.1)
}

/// Depths below the surface, evenly split, none deeper than the step, the last exactly the
/// depth; mm. A first pass may be asked to be deeper than the even split.
pub fn levels(depth: f64, step: f64, first: Option<f64>) -> Vec<f64> {
    let even = |from: f64| -> Vec<f64> {
        let count = ((depth - from) / step - 1e-9).ceil().clamp(1.0, 10_000.0);
        (1..=count as u32)
            .map(|k| {
                let share = f64::from(k) / count;
                if k == count as u32 { depth } else { from + (depth - from) * share }
            })
            .collect()
    };
    let all = even(0.0);
    match first {
        Some(first) if all.first().is_some_and(|top| *top < first) => {
            if first >= depth {
                return vec![depth];
            }
            let mut levels = vec![first];
            levels.extend(even(first));
            levels
        }
        _ => all,
    }
}

/// The first pass a compression bit needs so that its down-cut part shears the top edge, mm
/// below the surface; `None` for other cutters.
pub fn first_pass(cutter: &Cutter) -> Option<f64> {
    cutter.spec().upcut.map(|upcut| upcut.get() + BEYOND_UPCUT)
}

/// Cutters that cut at their very tip are let straight down; the others enter along their
/// way, since a wide flat end does not cut in its middle and the tip of a round-over bit not
/// at all.
const fn plunges(kind: CutterKind) -> bool {
    matches!(kind, CutterKind::VBit | CutterKind::BallNose)
}

/// Where a cutter goes down.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    /// Top of the wood there, mm above the board's top (so 0 or less).
    pub top: f64,
    /// Where to, mm above the board's top.
    pub to: f64,
    pub straight: bool,
}

impl Entry {
    pub(super) const fn of(cutter: &Cutter, top: f64, to: f64) -> Self {
        Self { top, to, straight: plunges(cutter.kind()) }
    }
}

/// Over the start of a closed ring and down: straight, or along the ring as often as it takes.
/// Gives the ring as it is to be followed from where the tip then is.
pub(super) fn enter(course: &mut Course, ring: &Ring, entry: Entry) -> Ring {
    let Some(start) = ring.start() else { return ring.clone() };
    let here = course.here();
    let there = here.plan().distance(start) < 1e-6 && (here.z - entry.top).abs() < 1e-6;
    if !there {
        course.over(start, entry.top);
    }
    let length = ring.length();
    if entry.straight || length < 1e-3 {
        course.plunge(entry.to);
        return ring.clone();
    }
    if !there {
        course.plunge(entry.top);
    }
    let drop = entry.top - entry.to;
    let run = drop / RAMP.to_radians().tan();
    let mut gone = 0.0;
    while gone < run - 1e-9 {
        let part = (run - gone).min(length);
        for (stretch, at) in ring.cut_at(&[part]) {
            if at > part + 1e-6 {
                break;
            }
            course.follow(&stretch, entry.top - drop * (gone + at) / run);
        }
        gone += part;
    }
    course.line(course.here().plan(), entry.to, Pace::Cut);
    ring.begun_after(run)
}

/// Once along a ring at a height.
pub(super) fn along(course: &mut Course, ring: &Ring, z: f64) {
    for stretch in &ring.stretches {
        course.follow(stretch, z);
    }
}
