//! The best way through all stages: least time, fewest tool changes.

use std::collections::BTreeMap;

/// Where two ways differ by less, they are told apart by the rule for ties, minutes.
const TIE: f64 = 0.1;

/// What a way costs, compared from top to bottom.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Cost {
    /// Tenths of a minute, tool changes counted.
    time: i64,
    changes: i64,
    /// Diameters in thousandths of a mm, with a minus: larger is better.
    size: i64,
    /// Places on the rack.
    rank: i64,
}

/// One cut of a way: the cutter's place on the rack, its diameter in mm, and minutes.
pub type Leg = (usize, f64, f64);

/// Chooses one way of each stage, so that the whole takes the least time: minutes of the cuts,
/// each rounded to a tenth, and so many minutes for every change of cutter. Of equals the one with fewer
/// tool changes is taken, then larger cutters, then those that stand earlier on the rack.
/// Gives the index of the way for each stage, `None` for a stage without ways.
///
/// Every part of the cost adds up along the work and a change depends on the cutter before
/// alone, so keeping the best way to each cutter in the spindle finds the best of all (R.
/// Bellman, "Dynamic Programming", 1957, from memory).
pub fn best(stages: &[Vec<Vec<Leg>>], change: f64) -> Vec<Option<usize>> {
    let mut reached: BTreeMap<Option<usize>, (Cost, Vec<Option<usize>>)> =
        BTreeMap::from([(None, (Cost::default(), Vec::new()))]);
    for ways in stages {
        if ways.is_empty() {
            for (_, path) in reached.values_mut() {
                path.push(None);
            }
            continue;
        }
        let mut next: BTreeMap<Option<usize>, (Cost, Vec<Option<usize>>)> =
            BTreeMap::new();
        for (before, (cost, path)) in &reached {
            for (index, way) in ways.iter().enumerate() {
                let (after, total) = along((*before, *cost), way, change);
                let better = next.get(&after).is_none_or(|(known, _)| total < *known);
                if better {
                    let path = path.iter().copied().chain([Some(index)]).collect();
                    next.insert(after, (total, path));
                }
            }
        }
        reached = next;
    }
    let least = reached.into_values().min_by_key(|(cost, _)| *cost);
    least.map(|(_, path)| path).unwrap_or_default()
}

/// The cutter in the spindle after a way, and what everything has cost by then.
fn along(
    (before, mut cost): (Option<usize>, Cost),
    way: &[Leg],
    change: f64,
) -> (Option<usize>, Cost) {
    let tenths = |minutes: f64| whole(minutes / TIE);
    let mut spindle = before;
    for (cutter, diameter, minutes) in way {
        if spindle != Some(*cutter) {
            cost.changes += 1;
            cost.time += tenths(change);
        }
        cost.time += tenths(*minutes);
        cost.size -= whole(diameter * 1000.0);
        cost.rank += i64::try_from(*cutter).unwrap_or(i64::MAX / 1_000_000);
        spindle = Some(*cutter);
    }
    (spindle, cost)
}

/// The nearest whole number within a range that sums of it cannot leave.
#[expect(clippy::cast_possible_truncation, reason = "clamped to what fits")]
fn whole(value: f64) -> i64 {
    value.round().clamp(-1e12, 1e12) as i64
}
