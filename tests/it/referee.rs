//! Real outlines against two libraries that share no code: GEOS and Clipper.
//!
//! `tests/reference/openings.tsv` holds what each says closing adds to the 400 outlines and
//! opening takes from them, for six cutters. Cases in which anyone contradicts anyone are
//! listed here, and decided by Clipper on 25 times finer chords, `tests/reference/finer.tsv`.
//! `tests/reference/openings.py` wrote both; the continuous check reruns it.
//!
//! GEOS is off by up to 0.02 mm² on curved outlines however fine its chords are (measured
//! against closed forms), hence the fixed part of the allowance.

use crate::outlines::{RADII, outlines, twelve};
use Why::{Chords, Simplified};
use std::collections::BTreeMap;

/// What a referee may be off on a curved outline, mm², and as a share of the area.
const REFEREE_ERROR: f64 = 0.05;
const REFEREE_SHARE: f64 = 0.001;

/// What is left of a referee's error on the finer chords, mm²: five times less.
const FINER_ERROR: f64 = 0.01;

/// Outline, place of the radius in `RADII`, opening and not closing.
type Case = (usize, usize, bool);

/// Why a referee is wrong in a disputed case.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Why {
    /// GEOS leaves out hollow vertices within 1 % of the distance before it offsets
    /// (`BufferParameters`, `DEFAULT_SIMPLIFY_FACTOR` 0.01), which moves long gentle bends;
    /// some of its changes come out negative, which cannot be. Clipper and we agree.
    Simplified,
    /// A bend barely wider than the cutter: on chords the cutter misses a sliver at every
    /// vertex, on the curve it misses nothing. It shrinks with the chords.
    Chords,
}

/// Every case in which the referees contradict each other or us, or say what cannot be.
const DISPUTED: &[(Case, Why)] = &[
    ((201, 5, true), Simplified),
    ((202, 5, false), Simplified),
    ((205, 4, false), Simplified),
    ((205, 5, false), Simplified),
    ((209, 4, true), Chords),
    ((209, 5, true), Chords),
    ((210, 4, true), Simplified),
    ((210, 5, true), Chords),
    ((211, 4, true), Simplified),
    ((211, 5, true), Simplified),
    ((220, 5, false), Simplified),
    ((222, 5, false), Simplified),
    ((222, 5, true), Chords),
    ((227, 4, false), Chords),
    ((228, 5, false), Simplified),
    ((241, 5, false), Simplified),
    ((254, 4, true), Simplified),
    ((254, 5, true), Simplified),
    ((256, 4, true), Simplified),
    ((256, 5, true), Simplified),
    ((264, 4, false), Simplified),
    ((264, 5, false), Simplified),
    ((271, 4, false), Simplified),
    ((271, 5, false), Simplified),
    ((277, 3, true), Simplified),
    ((277, 4, true), Simplified),
    ((285, 5, false), Simplified),
    ((290, 4, false), Simplified),
    ((290, 5, false), Simplified),
    ((294, 4, false), Simplified),
    ((314, 5, false), Simplified),
    ((315, 4, false), Simplified),
    ((326, 4, false), Simplified),
    ((328, 4, false), Simplified),
    ((336, 3, true), Simplified),
    ((336, 4, true), Simplified),
    ((336, 5, true), Simplified),
    ((337, 4, false), Simplified),
    ((337, 5, false), Simplified),
    ((359, 4, true), Chords),
    ((359, 5, true), Chords),
    ((365, 5, true), Simplified),
    ((369, 5, true), Simplified),
    ((373, 4, false), Simplified),
    ((374, 2, false), Simplified),
    ((379, 3, true), Simplified),
    ((379, 4, true), Simplified),
    ((379, 5, true), Simplified),
    ((387, 5, false), Simplified),
    ((389, 4, true), Simplified),
    ((389, 5, true), Simplified),
];

struct Referees {
    geos: f64,
    clipper: f64,
}

/// The rows of a table by case, their numbers after the first three columns.
fn table(text: &str) -> BTreeMap<Case, Vec<f64>> {
    let rows = text.lines().filter(|line| !line.starts_with(['#', 'o']));
    rows.map(|line| {
        let cells: Vec<&str> = line.split('\t').collect();
        let number = |cell: &&str| cell.parse::<f64>().expect("a number");
        let radius = RADII.iter().position(|r| (r - number(&cells[1])).abs() < 1e-9);
        let outline = cells[0].parse().expect("an outline");
        let case = (outline, radius.expect("one of the radii"), cells[2] == "opening");
        (case, cells[3..].iter().map(number).collect())
    })
    .collect()
}

fn referees() -> BTreeMap<Case, Referees> {
    let rows = table(include_str!("../reference/openings.tsv"));
    rows.into_iter()
        .map(|(case, said)| (case, Referees { geos: said[0], clipper: said[1] }))
        .collect()
}

/// Two areas are further apart than a referee's error explains.
fn apart(a: f64, b: f64) -> bool {
    (a - b).abs() > REFEREE_ERROR + REFEREE_SHARE * a.abs().min(b.abs())
}

/// Someone contradicts someone, or says that closing takes or opening adds.
fn contested(area: f64, said: &Referees) -> bool {
    apart(said.geos, said.clipper)
        || apart(area, said.geos)
        || apart(area, said.clipper)
        || [area, said.geos, said.clipper].iter().any(|change| *change < -REFEREE_ERROR)
}

/// Our answers by case; `None` is unsure.
fn ours() -> BTreeMap<Case, Option<f64>> {
    let mut answers = BTreeMap::new();
    for (outline, region) in outlines() {
        for (place, area) in twelve(&region).into_iter().enumerate() {
            let case = (outline, place % RADII.len(), place >= RADII.len());
            answers.insert(case, area);
        }
    }
    answers
}

#[test]
fn real_outlines_agree_with_two_libraries() {
    let (referees, ours) = (referees(), ours());
    assert_eq!(referees.len(), 12 * 400, "stored cases");
    assert!(ours.keys().eq(referees.keys()), "other outlines than the stored ones");
    let unsure: Vec<Case> =
        ours.iter().filter(|(_, area)| area.is_none()).map(|(case, _)| *case).collect();
    assert!(unsure.len() * 500 <= ours.len(), "not told apart: {unsure:?}");
    let disputed: Vec<Case> = referees
        .iter()
        .filter(|(case, said)| ours[case].is_some_and(|area| contested(area, said)))
        .map(|(case, _)| *case)
        .collect();
    let listed: Vec<Case> = DISPUTED.iter().map(|(case, _)| *case).collect();
    assert_eq!(disputed, listed, "disputed cases and the list of them");
}

/// In every disputed case the finer chords side with us, and the reason stated holds.
#[test]
fn finer_chords_decide_disputed_outlines() {
    let (referees, ours) = (referees(), ours());
    let finer = table(include_str!("../reference/finer.tsv"));
    assert!(finer.keys().eq(DISPUTED.iter().map(|(case, _)| case)), "one row a dispute");
    for (case, why) in DISPUTED {
        let area = ours[case].expect("a disputed case has an answer");
        let (said, decided) = (&referees[case], finer[case][0]);
        assert!(
            (area - decided).abs() < FINER_ERROR,
            "{case:?}: {area}, on finer chords {decided}"
        );
        let off = |other: f64| (other - area).abs();
        let holds = match why {
            Simplified => {
                !apart(area, said.clipper) && off(said.geos) > off(said.clipper)
            }
            Chords => off(decided) * 10.0 < off(said.clipper),
        };
        assert!(holds, "{case:?}: not because {why:?}");
    }
}
