//! The verdict on random cases against brute force.
//!
//! Of the first 100,000 cases the two reaches lie apart in three, the engine below each time and
//! right: brute force leaves out pairs nearer than 0.05 mm, so that across a gap it never reads
//! less than about 0.025 mm. In 1486 and 47561 the edges come within 0.041 and 0.009 mm of each
//! other. In 48428 two discs of a union lap over by 0.00003 mm, a waist that no cutter passes; it
//! is thinner than chords can tell, so they stay two contours, and brute force sees each alone.

use crate::brute;
use crate::random_shapes::{Case, Dice, KINDS, case};
use treen::reach::Profile;

/// The verdict's tolerance, mm: at most this much below the cutter's radius still follows.
const TIE: f64 = 0.002;
/// No reach above this is looked for, mm.
const CAP: f64 = 9.0;
/// Reaches farther apart than this are reported, whatever the verdicts, mm.
const APART: f64 = 2e-4;
/// Two routes to one number round differently, mm.
const ROUNDING: f64 = 1e-6;

/// Counts over many cases.
#[derive(Default)]
pub(crate) struct Tally {
    pub cases: u64,
    pub follows: u64,
    pub false_follows: u64,
    pub needless: u64,
    /// Where the two reaches are far apart, whatever the verdict.
    pub apart: u64,
    /// Largest difference with the engine above, and below, mm.
    pub above: f64,
    pub below: f64,
    pub complaints: Vec<String>,
}

impl Tally {
    /// Asks about the case of a number.
    pub(crate) fn ask(&mut self, number: u64) {
        let Some(case) = case(number) else { return };
        let mut dice = Dice(number ^ 0xc0de);
        let truth = brute::reach(&case.region, case.side, CAP);
        let have = engine(&case);
        // half the time the cutter planted for, half the time one at the very edge
        let edge = truth + if dice.below(2) == 0 { TIE } else { -TIE } + dice.hair();
        let at_edge = dice.below(2) == 0 && (0.3..CAP - 0.1).contains(&truth);
        let c = if at_edge { edge } else { case.radius };
        self.cases += 1;
        let follows = have >= c - TIE;
        self.follows += u64::from(follows);
        let off = have.min(CAP) - truth;
        self.above = self.above.max(off);
        self.below = self.below.min(off);
        let wrong = follows && truth < c - TIE - ROUNDING;
        let needless = !follows && truth > c + TIE;
        self.false_follows += u64::from(wrong);
        self.needless += u64::from(needless);
        self.apart += u64::from(off.abs() > APART);
        if wrong || needless || off.abs() > APART {
            let name = KINDS[case.kind].0;
            self.complaints.push(format!(
                "case {number} ({name}, side {}): cutter {c:.6}, reach {have:.6}, brute {truth:.6}{}{}",
                case.side,
                if wrong { " FALSE FOLLOW" } else { "" },
                if needless { " NEEDLESS REFUSAL" } else { "" },
            ));
        }
    }
}

fn engine(case: &Case) -> f64 {
    let profile = if case.side > 0.0 {
        Profile::outside(&case.region, CAP + 1.0)
    } else {
        Profile::inside(&case.region, CAP + 1.0)
    };
    profile.lowest_reach().map_or(CAP + 1.0, |low| low.radius)
}
