//! `let` entries in an order in which each uses only earlier names.

use super::formula::Formula;
use crate::finding::{Code, Finding};
use std::collections::BTreeMap;

/// Sorts named formulas so that each uses only earlier ones; entries that do not depend on
/// each other keep the order written. A circle is one finding that names it.
pub fn sorted_lets(
    lets: Vec<(String, Formula)>,
) -> Result<Vec<(String, Formula)>, Box<Finding>> {
    let places: BTreeMap<String, usize> =
        lets.iter().enumerate().map(|(at, (name, _))| (name.clone(), at)).collect();
    let uses: Vec<Vec<usize>> = lets
        .iter()
        .map(|(_, formula)| {
            formula.names().iter().filter_map(|name| places.get(name).copied()).collect()
        })
        .collect();
    let mut waiting: Vec<usize> = (0..lets.len()).collect();
    let mut done = vec![false; lets.len()];
    let mut order = Vec::new();
    let is_done = |done: &[bool], at: usize| done.get(at).copied().unwrap_or(true);
    while !waiting.is_empty() {
        let ready = waiting.iter().position(|at| {
            uses.get(*at).is_none_or(|uses| uses.iter().all(|u| is_done(&done, *u)))
        });
        let Some(ready) = ready else {
            return Err(Box::new(circle(&lets, &uses, &waiting)));
        };
        let at = waiting.remove(ready);
        if let Some(flag) = done.get_mut(at) {
            *flag = true;
        }
        order.push(at);
    }
    let mut lets: Vec<Option<(String, Formula)>> = lets.into_iter().map(Some).collect();
    Ok(order.into_iter().filter_map(|at| lets.get_mut(at)?.take()).collect())
}

/// Follows the first waiting use from the first waiting entry until one comes again.
fn circle(lets: &[(String, Formula)], uses: &[Vec<usize>], waiting: &[usize]) -> Finding {
    let mut path: Vec<usize> = Vec::new();
    let mut at = waiting.first().copied();
    while let Some(here) = at {
        if let Some(start) = path.iter().position(|seen| *seen == here) {
            path.drain(..start);
            break;
        }
        path.push(here);
        at = uses
            .get(here)
            .and_then(|uses| uses.iter().copied().find(|next| waiting.contains(next)));
    }
    let first = path.first().and_then(|at| lets.get(*at));
    let names: Vec<&str> = path
        .iter()
        .chain(path.first())
        .filter_map(|at| lets.get(*at).map(|(name, _)| name.as_str()))
        .collect();
    let message = format!("`let` goes in a circle: {}", names.join(" → "));
    let finding = Finding::stop(Code::FormulaCycle, message)
        .expected(
            "formulas that use only parameters and other `let` names outside a circle",
        )
        .help("give one of them a value that does not depend on the others");
    match first {
        Some((_, formula)) => finding.from(formula.source().clone()),
        None => finding,
    }
}
