//! The ways to carve the recess or a panel, timed by their moves: what is chosen is the least
//! of times that hold, not of estimates.

use super::estimate::share;
use super::route::{corner_minutes, floor_minutes, ground_minutes};
use super::{Choice, Step};
use crate::dish::Dish;
use crate::feasibility::Report;
use crate::model::{Shop, Work};
use std::collections::BTreeMap;

/// A cut: its work, its cutter and the cutter before it.
type Cutting = (Work, usize, Option<usize>);

/// Puts the minutes of their moves into the ways that may be the best. An estimate, which
/// leaves out acceleration and the ways between places, is no more than the moves take; so
/// the least way is timed until every way that could come before the best timed one, one
/// change of cutter allowed, is timed itself.
pub(super) fn time(ways: &mut [Vec<Step>], dish: &Dish, report: &Report, shop: &Shop) {
    if ways.len() < 2 {
        return;
    }
    let change = shop.machine.tool_change;
    let total =
        |way: &[Step]| -> f64 { way.iter().map(|step| cost(step, shop) + change).sum() };
    let mut known: BTreeMap<Cutting, Option<f64>> = BTreeMap::new();
    let mut timed = vec![false; ways.len()];
    loop {
        let best = least(ways, &timed, true, total).map_or(f64::INFINITY, |(_, sum)| sum);
        let Some((next, sum)) = least(ways, &timed, false, total) else { return };
        if sum > best + change {
            return;
        }
        timed[next] = true;
        let mut before = None;
        for step in &mut ways[next] {
            let cut = (step.work, step.cutter, before);
            let minutes =
                known.entry(cut).or_insert_with(|| minutes(cut, dish, report, shop));
            step.minutes = minutes.unwrap_or(step.minutes);
            before = Some(step.cutter);
        }
    }
}

/// What a cut is taken to cost, minutes. A round end leaves cusps on a flat floor, so it is
/// taken for the recess only where it saves more than a change of cutter.
pub(super) fn cost(step: &Step, shop: &Shop) -> f64 {
    let cutter = &shop.cutters[step.cutter];
    let hollows = matches!(step.work, Work::Recess | Work::RecessCorners);
    let round = hollows && cutter.corner_radius() >= cutter.radius();
    step.minutes + if round { shop.machine.tool_change } else { 0.0 }
}

/// The minutes of each cutter for the recess or a panel as the ways tell them, some of them timed: first
/// of all, or after the cutter chosen to come first.
pub(super) fn retold(
    choice: &mut Choice,
    ways: &[Vec<Step>],
    chosen: &[Step],
    shop: &Shop,
) {
    let Some(first) = chosen.first() else { return };
    let at = match choice.work {
        Work::Recess | Work::Name => 0,
        Work::RecessCorners | Work::NameCorners if chosen.len() > 1 => 1,
        Work::RecessCorners
        | Work::Details
        | Work::NameCorners
        | Work::RecessEdge
        | Work::OuterEdge
        | Work::CutOut => return,
    };
    for able in &mut choice.able {
        let is = |step: &&Step| shop.cutters[step.cutter].id() == able.cutter;
        let minutes = ways
            .iter()
            .filter(|way| {
                at == 0 || way.first().is_some_and(|f| f.cutter == first.cutter)
            })
            .filter_map(|way| way.get(at).filter(is).map(|step| step.minutes));
        // Timed minutes are no less than estimated ones.
        able.minutes = minutes.reduce(f64::max).unwrap_or(able.minutes);
    }
}

/// The least way of those that are, or are not, timed.
fn least(
    ways: &[Vec<Step>],
    timed: &[bool],
    wanted: bool,
    total: impl Fn(&[Step]) -> f64,
) -> Option<(usize, f64)> {
    let those = timed.iter().enumerate().filter(|(_, timed)| **timed == wanted);
    those
        .map(|(index, _)| (index, total(&ways[index])))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

/// Minutes of one cut's moves; `None` where they could not be laid.
fn minutes(
    (work, cutter, before): Cutting,
    dish: &Dish,
    report: &Report,
    shop: &Shop,
) -> Option<f64> {
    let cutter = shop.cutters.get(cutter)?;
    match work {
        Work::Recess => floor_minutes(dish, cutter, shop, share(cutter)),
        Work::RecessCorners => {
            let first = shop.cutters.get(before?)?;
            corner_minutes(dish, (report, shop), first, cutter)
        }
        Work::Name => ground_minutes(dish, shop, None, cutter),
        Work::NameCorners => {
            ground_minutes(dish, shop, Some(shop.cutters.get(before?)?), cutter)
        }
        Work::Details | Work::RecessEdge | Work::OuterEdge | Work::CutOut => None,
    }
}
