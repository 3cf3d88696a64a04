//! What a stepover leaves on a floor: cusps of the cutter's profile, and the ridge of a
//! spindle out of square.

use crate::finding::{Code, Finding, RemedyKind, Severity};
use crate::model::{Cutter, Shop};
use crate::units::{Mm, trimmed};

/// The last pass is usually no coarser than this share of the diameter: common practice, no
/// source.
pub const FINE: f64 = 0.10;
/// From this share of the diameter lines are seen and felt: common practice, no source.
pub const COARSE: f64 = 0.40;
/// The stepovers of the table, as shares of the diameter.
const SHARES: [f64; 4] = [0.08, 0.10, 0.20, 0.45];
/// Two shares nearer than this are one.
const SAME: f64 = 1e-6;

/// Height of the cusps between two passes on a flat floor, mm.
///
/// With f = D − 2 RE the flat and e = max(0, (s − f)/2): h = RE − √(RE² − e²). A ball nose has
/// RE = D/2; an end mill has RE = 0 and leaves none. Where the passes do not meet any more
/// (s ≥ D) the cusp is as high as the corner.
pub fn cusp(cutter: &Cutter, step: f64) -> f64 {
    let corner = cutter.corner_radius();
    let flat = cutter.diameter() - 2.0 * corner;
    let e = ((step - flat) / 2.0).clamp(0.0, corner);
    corner - (corner * corner - e * e).sqrt()
}

/// The stepover that leaves cusps of a height, mm: (D − 2 RE) + 2 √(2 RE h − h²).
pub fn step_for(cutter: &Cutter, cusp: f64) -> f64 {
    let corner = cutter.corner_radius();
    let h = cusp.clamp(0.0, corner);
    cutter.diameter() - 2.0 * corner + 2.0 * (2.0 * corner * h - h * h).sqrt()
}

/// Height of the step that a spindle tilted by so many degrees leaves between two passes of a
/// flat bottom: s·tan, mm.
pub fn ridge(step: f64, tilt: f64) -> f64 {
    step * tilt.abs().to_radians().tan()
}

/// One stepover of the last pass over a recess floor, and what it leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finish {
    /// Stepover as a share of the diameter.
    pub share: f64,
    /// The same, mm.
    pub step: f64,
    /// Height of the cusps, mm.
    pub cusp: f64,
    /// Height of the ridges of the spindle's tilt, mm; none under a round end.
    pub ridge: f64,
    /// Minutes the whole recess takes with it.
    pub minutes: f64,
    /// It is the one the shop states.
    pub present: bool,
}

impl Finish {
    /// Cusp and ridge together, mm.
    pub fn height(&self) -> f64 {
        self.cusp + self.ridge
    }
}

/// The table of stepovers for one cutter, fine to coarse, with the present one in its place;
/// `minutes` tells how long the recess takes at a stepover (share of the diameter).
pub fn table(
    cutter: &Cutter,
    present: f64,
    shop: &Shop,
    minutes: impl Fn(f64) -> f64,
) -> Vec<Finish> {
    let mut shares = SHARES.to_vec();
    if !shares.iter().any(|share| (share - present).abs() < SAME) {
        shares.push(present);
    }
    shares.sort_by(f64::total_cmp);
    let row = |share: f64| {
        let step = share * cutter.diameter();
        let flat = cutter.diameter() - 2.0 * cutter.corner_radius();
        let tilted = ridge(step.min(flat.max(0.0)), shop.machine.tram.get());
        Finish {
            share,
            step,
            cusp: cusp(cutter, step),
            ridge: tilted,
            minutes: minutes(share),
            present: (share - present).abs() < SAME,
        }
    };
    shares.into_iter().map(row).collect()
}

/// What is said about a last pass coarser than usual.
pub(super) fn coarse(cutter: &Cutter, rows: &[Finish]) -> Option<Finding> {
    let present = rows.iter().find(|row| row.present)?;
    if present.share <= FINE + SAME {
        return None;
    }
    let severity =
        if present.share >= COARSE - SAME { Severity::Warn } else { Severity::Note };
    let micron = |mm: f64| trimmed((mm * 1e3).round() / 1e3);
    let message = format!(
        "{} steps over by {} % of its diameter ({} mm): cusps of {} mm and ridges of {} mm stay on the floor; 8 to 10 % is usual for the last pass, 40 to 50 % leaves lines",
        cutter.id(),
        trimmed(present.share * 100.0),
        micron(present.step),
        micron(present.cusp),
        micron(present.ridge),
    );
    let mut finding = Finding::new(severity, Code::StepoverTooCoarse, message)
        .from(cutter.spec().source.clone())
        .have_need(present.step, FINE * cutter.diameter());
    for row in rows.iter().filter(|row| row.share <= FINE + SAME).rev() {
        let minutes = row.minutes - present.minutes;
        let text = format!(
            "`stepover: {}` ({}) leaves {} mm and {} mm, for {} min more",
            trimmed(row.share),
            Mm::new(row.step).unwrap_or(Mm::ZERO),
            micron(row.cusp),
            micron(row.ridge),
            trimmed((minutes * 10.0).round() / 10.0),
        );
        finding = finding.remedy(RemedyKind::Parameter, text, Some(row.share));
    }
    Some(finding)
}
