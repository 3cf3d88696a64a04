//! Spindle speed, feed and chip: arithmetic on the shop's figures within the machine's limits.
//!
//! Feed is n·z·fz (SME, "Useful Formulas for Machining", S118); the rest is geometry of a round
//! cutter. Where the shop gives no figure a common one stands in and is marked as guessed:
//! a starting point, to be confirmed against the cutter maker's chart.

use crate::model::{Cutter, CutterKind, Machine};

/// Greatest diameter in mm and usual spindle speed in 1/min for it: common practice, no source.
const USUAL_SPEEDS: [(f64, f64); 3] =
    [(20.0, 18_000.0), (32.0, 16_000.0), (50.0, 12_000.0)];
/// Usual speed of anything larger, 1/min: common practice, no source.
const SLOWEST: f64 = 10_000.0;
/// Usual chip load as a share of the diameter, and its bounds in mm: common practice in
/// hardwood, no source.
const USUAL_LOAD: (f64, [f64; 2]) = (0.015, [0.02, 0.25]);
/// Usual chip load of a cutter that works with a small part of its diameter, mm: common
/// practice, no source.
const FINE_LOAD: f64 = 0.05;
/// Plunge feed as a share of the feed: common practice, no source.
const PLUNGE: f64 = 1.0 / 3.0;
/// Spindle speeds are set in steps of this, 1/min.
const SPEED_STEP: f64 = 100.0;

/// How fast a cutter turns and moves.
#[derive(Clone, Debug, PartialEq)]
pub struct Rates {
    /// Spindle speed n, 1/min.
    pub speed: f64,
    /// Feed n·z·fz within the machine's limit, mm/min.
    pub feed: f64,
    /// Feed straight down, mm/min.
    pub plunge: f64,
    /// The chip load asked for, fz, mm.
    pub chip_load: f64,
    /// What is left of it at this speed and feed, mm.
    pub chip: f64,
    /// Speed of the cutting edge at DC, m/min.
    pub peripheral: f64,
    /// What the shop does not state: each is a starting point of ours.
    pub guessed: Vec<Guess>,
    /// What held the feed or the speed back.
    pub limit: Option<Limit>,
    /// At the cutter's stepover, where that is less than half its diameter.
    pub light: Option<Light>,
}

/// A figure that the shop does not state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Guess {
    /// The chip load.
    ChipLoad,
    /// The spindle speed.
    Speed,
}

/// A limit of the machine that was met.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// The greatest feed: the spindle turns slower so that chips keep their thickness.
    SlowerSpindle,
    /// The greatest feed, at the speed asked for: chips are thinner than asked for.
    Feed,
    /// The least spindle speed is above the one asked for.
    LeastSpeed,
    /// The greatest spindle speed is below the one asked for.
    GreatestSpeed,
}

impl Limit {
    /// In words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::SlowerSpindle => "slower, to keep the chip load at the greatest feed",
            Self::Feed => "greatest feed: chips are thinner than the chip load",
            Self::LeastSpeed => "least spindle speed",
            Self::GreatestSpeed => "greatest spindle speed",
        }
    }
}

/// Chips at a stepover of less than half the diameter are thinner than the chip load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// Radial engagement ae, mm.
    pub width: f64,
    /// Engagement angle φ, degrees.
    pub angle: f64,
    /// Thickest chip hmax, mm.
    pub thickest: f64,
    /// Mean chip, mm.
    pub mean: f64,
    /// The feed at which the thickest chip is the chip load again, within the machine's
    /// limit, mm/min: the feed may be raised up to it.
    pub feed: f64,
}

/// Feed n·z·fz, mm/min.
pub fn feed(speed: f64, flutes: u32, chip_load: f64) -> f64 {
    speed * f64::from(flutes) * chip_load
}

/// Speed of the cutting edge, π·D·n/1000, m/min.
pub fn peripheral(diameter: f64, speed: f64) -> f64 {
    std::f64::consts::PI * diameter * speed / 1000.0
}

/// Engagement angle φ = acos(1 − 2 ae/D) of a radial engagement, degrees.
pub fn engagement(diameter: f64, width: f64) -> f64 {
    let share = (width / diameter).clamp(0.0, 1.0);
    (1.0 - 2.0 * share).acos().to_degrees()
}

/// Thickest chip, mm: fz·sin φ = 2 fz √(ae (D − ae)) / D up to half the diameter, fz beyond.
pub fn thickest_chip(diameter: f64, width: f64, chip_load: f64) -> f64 {
    let width = width.clamp(0.0, diameter / 2.0);
    2.0 * chip_load * (width * (diameter - width)).sqrt() / diameter
}

/// Mean chip 2·ae·fz / (D·φ), mm.
pub fn mean_chip(diameter: f64, width: f64, chip_load: f64) -> f64 {
    let angle = engagement(diameter, width).to_radians();
    if angle > 0.0 { 2.0 * width * chip_load / (diameter * angle) } else { 0.0 }
}

/// How fast a cutter may turn and move in a machine; nothing here knows the wood.
pub fn rates(cutter: &Cutter, machine: &Machine) -> Rates {
    let spec = cutter.spec();
    let (load, flutes) = (chip_load(cutter), f64::from(spec.flutes));
    let (wanted, mut limit) = within(speed(cutter), machine);
    let mut n = wanted;
    if feed(n, spec.flutes, load) > machine.feed {
        let slower = (machine.feed / (flutes * load) / SPEED_STEP).floor() * SPEED_STEP;
        let slower = slower.max(machine.spindle[0]);
        let held = spec.speed.is_some() || slower >= n;
        (n, limit) = if held {
            (n, Some(Limit::Feed))
        } else {
            (slower, Some(Limit::SlowerSpindle))
        };
    }
    let f = feed(n, spec.flutes, load).min(machine.feed);
    let missing = [
        (Guess::ChipLoad, spec.chip_load.is_none()),
        (Guess::Speed, spec.speed.is_none()),
    ];
    Rates {
        speed: n,
        feed: f,
        plunge: (f * PLUNGE).min(machine.plunge),
        chip_load: load,
        chip: f / (n * flutes),
        peripheral: peripheral(cutter.diameter(), n),
        guessed: missing.iter().filter(|(_, out)| *out).map(|(what, _)| *what).collect(),
        limit,
        light: light(cutter, load, f, machine),
    }
}

fn light(cutter: &Cutter, load: f64, feed: f64, machine: &Machine) -> Option<Light> {
    let (d, share) = (cutter.diameter(), cutter.spec().stepover?);
    let width = share * d;
    if share >= 0.5 {
        return None;
    }
    let thickest = thickest_chip(d, width, load);
    Some(Light {
        width,
        angle: engagement(d, width),
        thickest,
        mean: mean_chip(d, width, load),
        feed: (feed * load / thickest).min(machine.feed),
    })
}

/// The shop's spindle speed, else a usual one; 1/min.
fn speed(cutter: &Cutter) -> f64 {
    let usual = || {
        let fits = |(largest, _): &&(f64, f64)| cutter.diameter() <= *largest;
        USUAL_SPEEDS.iter().find(fits).map_or(SLOWEST, |(_, speed)| *speed)
    };
    cutter.spec().speed.unwrap_or_else(usual)
}

/// The shop's chip load, else a usual one; mm.
fn chip_load(cutter: &Cutter) -> f64 {
    let fine = matches!(cutter.kind(), CutterKind::VBit | CutterKind::RoundOverBit);
    let (share, [least, most]) = USUAL_LOAD;
    let usual = (share * cutter.diameter()).clamp(least, most);
    cutter.spec().chip_load.unwrap_or(if fine { FINE_LOAD } else { usual })
}

/// A speed within the spindle's range.
fn within(speed: f64, machine: &Machine) -> (f64, Option<Limit>) {
    let [least, most] = machine.spindle;
    if speed < least {
        (least, Some(Limit::LeastSpeed))
    } else if speed > most {
        (most, Some(Limit::GreatestSpeed))
    } else {
        (speed, None)
    }
}
