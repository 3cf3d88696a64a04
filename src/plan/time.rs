//! How long a route takes on a machine whose acceleration is limited.
//!
//! Each move runs at most at its pace; on an arc no faster than √(a·r); past a corner no
//! faster than along the arc that rounds it within [`CORNER`] and begins and ends no farther
//! from the corner than the middle of the shorter move beside it. Where the shop states how
//! much the velocity may change at a corner, that takes the place of the rounding. Speeds rise and fall at the
//! machine's acceleration, looking ahead over all moves; each move then takes the time of a
//! trapezoid, or a triangle where it is too short for its speed (uniformly accelerated motion,
//! any textbook of mechanics).

use super::moves::{Pace, Passage, Route};
use super::speed::Rates;
use crate::model::Machine;

/// A corner may be rounded by so much, mm: ours, no source.
pub const CORNER: f64 = 0.01;

/// What limits the moves of one cut; mm and seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// In the wood, mm/s.
    pub cut: f64,
    /// Straight down, mm/s.
    pub plunge: f64,
    /// Above the wood, mm/s.
    pub traverse: f64,
    /// mm/s².
    pub acceleration: f64,
    /// Greatest change of velocity at a corner, mm/s, where corners are not rounded.
    pub corner: Option<f64>,
}

impl Limits {
    /// Of a cutter's rates in a machine.
    pub fn of(rates: &Rates, machine: &Machine) -> Self {
        let second = |per_minute: f64| per_minute / 60.0;
        Self {
            cut: second(rates.feed),
            plunge: second(rates.plunge),
            traverse: second(machine.traverse),
            acceleration: machine.acceleration,
            corner: machine.corner.map(second),
        }
    }

    /// The greatest speed of a move, mm/s.
    pub fn speed(&self, passage: &Passage) -> f64 {
        let pace = match passage.step.pace {
            Pace::Traverse => self.traverse,
            Pace::Plunge => self.plunge,
            Pace::Cut => self.cut,
        };
        pace.min((self.acceleration * passage.radius()).sqrt())
    }
}

/// Time over a length from one speed to another, never above a third; mm, s.
///
/// The speeds must be reachable: |v1² − v0²| ≤ 2·a·length.
pub fn trapezoid(length: f64, [v0, v1]: [f64; 2], top: f64, acceleration: f64) -> f64 {
    let a = acceleration;
    let peak = ((2.0 * a * length + v0 * v0 + v1 * v1) / 2.0).sqrt();
    if peak <= top {
        return (2.0 * peak - v0 - v1) / a;
    }
    let even = length - (2.0 * top * top - v0 * v0 - v1 * v1) / (2.0 * a);
    (2.0 * top - v0 - v1) / a + even / top
}

/// Radius of the arc that rounds a corner of a deflection (degrees) and passes it at a
/// distance, touching both legs: δ·c/(1 − c) with c = cos(θ/2); mm.
pub fn corner_radius(deflection: f64, distance: f64) -> f64 {
    let c = (deflection / 2.0).to_radians().cos().clamp(0.0, 1.0);
    if c >= 1.0 { f64::INFINITY } else { distance * c / (1.0 - c) }
}

/// The greatest speed past a corner, √(a·R) on its rounding arc, mm/s.
pub fn corner_speed(deflection: f64, distance: f64, acceleration: f64) -> f64 {
    (acceleration * corner_radius(deflection, distance)).sqrt()
}

/// Radius of the arc that rounds a corner of a deflection (degrees) and touches both legs at a
/// length from it: L/tan(θ/2); mm.
pub fn fitting_radius(deflection: f64, length: f64) -> f64 {
    let tangent = (deflection / 2.0).to_radians().tan();
    if tangent <= 0.0 { f64::INFINITY } else { length / tangent }
}

/// The greatest speed past a corner of a deflection (degrees) where the velocity may change by
/// so much at once: Δv/(2·sin(θ/2)); in the unit of the change.
pub fn step_speed(deflection: f64, change: f64) -> f64 {
    let share = 2.0 * (deflection / 2.0).to_radians().sin();
    if share <= 0.0 { f64::INFINITY } else { change / share }
}

/// The greatest speed past a corner between moves, the shorter of which is twice `half` long,
/// mm/s. However a machine takes single corners, a chain of short moves is a curve to it: it
/// goes no faster than on the arc that fits between their middles.
fn past(turned: f64, half: f64, limits: &Limits) -> f64 {
    let fitting = (limits.acceleration * fitting_radius(turned, half)).sqrt();
    let single = match limits.corner {
        Some(change) => step_speed(turned, change),
        None => corner_speed(turned, CORNER, limits.acceleration),
    };
    single.min(fitting)
}

/// How far one direction is turned from another, degrees.
fn deflection(before: [f64; 3], after: [f64; 3]) -> f64 {
    let dot: f64 = before.iter().zip(after).map(|(a, b)| a * b).sum();
    let cross = [
        before[1] * after[2] - before[2] * after[1],
        before[2] * after[0] - before[0] * after[2],
        before[0] * after[1] - before[1] * after[0],
    ];
    let size = cross.iter().map(|x| x * x).sum::<f64>().sqrt();
    size.atan2(dot).to_degrees()
}

/// The greatest speed where each move meets the next, mm/s: one more than there are moves,
/// still at both ends. Neighbours differ by no more than the acceleration allows.
pub fn joint_speeds(route: &Route, limits: &Limits) -> Vec<f64> {
    let passages: Vec<Passage> = route.passages().collect();
    let mut speeds = vec![0.0; passages.len() + 1];
    for (index, pair) in passages.windows(2).enumerate() {
        let [before, after] = pair else { continue };
        let turned = deflection(before.directions()[1], after.directions()[0]);
        let half = before.length().min(after.length()) / 2.0;
        let corner = past(turned, half, limits);
        speeds[index + 1] = corner.min(limits.speed(before)).min(limits.speed(after));
    }
    let reach = |speed: f64, length: f64| {
        (speed * speed + 2.0 * limits.acceleration * length).sqrt()
    };
    for (index, passage) in passages.iter().enumerate() {
        speeds[index + 1] = speeds[index + 1].min(reach(speeds[index], passage.length()));
    }
    for (index, passage) in passages.iter().enumerate().rev() {
        speeds[index] = speeds[index].min(reach(speeds[index + 1], passage.length()));
    }
    speeds
}

/// Time of all moves, s.
pub fn seconds(route: &Route, limits: &Limits) -> f64 {
    let speeds = joint_speeds(route, limits);
    route
        .passages()
        .zip(speeds.windows(2))
        .map(|(passage, ends)| {
            let [v0, v1] = [ends[0], ends[1]];
            let top = limits.speed(&passage);
            trapezoid(passage.length(), [v0, v1], top, limits.acceleration)
        })
        .sum()
}
