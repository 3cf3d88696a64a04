//! Cutters the maker insists on: whether they can, and what they cost.

use super::{Asked, Choice, Plan, Work};
use crate::finding::{Code, Finding};
use crate::model::{Pins, Shop};
use crate::units::trimmed;

/// Minutes and changes of a plan against the free one, and where they differ.
pub(super) fn cost(plan: &Plan, free: &Plan) -> Asked {
    let count = |plan: &Plan| i64::try_from(plan.tool_changes()).unwrap_or(i64::MAX / 2);
    let used = |plan: &Plan, work| -> Vec<String> {
        let ops = plan.operations.iter().filter(|op| op.work == work);
        ops.map(|op| op.cutter.clone()).collect()
    };
    let differs = |work: &Work| used(plan, *work) != used(free, *work);
    let works = Work::ALL.into_iter().filter(differs);
    Asked {
        minutes: plan.minutes() - free.minutes(),
        changes: count(plan) - count(free),
        free: works.map(|work| (work, used(free, work).join(", "))).collect(),
    }
}

/// A note with the cost, at the place of the first pin; with them the outer edge may be left to
/// the hand.
pub(super) fn told(asked: &Asked, pins: &Pins, by_hand: bool) -> Option<Finding> {
    let first = pins.all().first()?;
    let minutes = (asked.minutes * 10.0).round() / 10.0;
    if asked.free.is_empty() || (minutes.abs() < 0.05 && asked.changes == 0) {
        return None;
    }
    let more = |below: bool| if below { "less" } else { "more" };
    let changes = asked.changes.unsigned_abs();
    let changed = match changes {
        0 => String::new(),
        1 => format!(" and 1 tool change {}", more(asked.changes < 0)),
        _ => format!(" and {changes} tool changes {}", more(asked.changes < 0)),
    };
    let without = if by_hand { ", without the outer edge" } else { "" };
    let message = format!(
        "the cutters asked for by name take {} min {}{changed} than the free choice{without} (estimated)",
        trimmed(minutes.abs()),
        more(minutes < 0.0),
    );
    let mut finding = Finding::note(Code::CutterAskedFor, message)
        .from(first.source.clone())
        .have_need(minutes, 0.0);
    for (work, id) in &asked.free {
        let text = if id.is_empty() {
            format!("the free choice needs no cutter of its own for the {}", work.word())
        } else {
            format!("the free choice for the {} is {id}", work.word())
        };
        finding = finding.help(text);
    }
    Some(finding)
}

/// Every pin for work that this dish has but the cutter cannot do. The outline is told about
/// by the swap table's findings.
pub(super) fn refused(pins: &Pins, choices: &[Choice], shop: &Shop) -> Vec<Finding> {
    let served = pins.all().iter().filter(|pin| pin.fault(&shop.cutters).is_none());
    served
        .filter(|pin| pin.work != Work::CutOut)
        .filter_map(|pin| {
            let choice = choices.iter().find(|choice| choice.work == pin.work)?;
            let refused = choice.refused.iter().find(|r| r.cutter == pin.cutter)?;
            let message = format!(
                "{} is asked for by name for the {}, but {}",
                pin.cutter,
                pin.work.word(),
                refused.reason
            );
            let finding =
                Finding::stop(Code::CutterRefused, message).from(pin.source.clone());
            let able: Vec<&str> =
                choice.able.iter().map(|able| able.cutter.as_str()).collect();
            Some(if able.is_empty() {
                finding.help(
                    "leave the work to the free choice, and see what stands in its way",
                )
            } else {
                finding.help(format!("ask for {}, or for none", able.join(" or ")))
            })
        })
        .collect()
}
