//! What stops a dish is offered the parameters that would let it go on.

use super::Case;
use super::offer::all_softened;
use super::tune::{Tuned, tune};
use crate::dish::Dish;
use crate::feasibility::{Job, Swap, SwapRow};
use crate::finding::{Code, Finding, RemedyKind, Severity};
use crate::model::Cutter;
use crate::units::{DisplayUnit, Mm, trimmed};

/// Adds to the stop that is nearest to being none, of the outline and of the recess, each
/// parameter that alone would let the cutter follow, with its value, and the softened recess.
/// Nothing is looked for where nothing stops the dish.
pub fn offer_more(case: &Case<'_>, dish: &Dish, swap: &Swap, findings: &mut [Finding]) {
    for (code, job) in [
        (Code::OutlineTooTight, Job::Outline),
        (Code::RecessCornerUnreached, Job::Recess),
    ] {
        let stops = findings.iter_mut().filter(|f| {
            f.code == code && f.severity == Severity::Stop && f.need.is_some()
        });
        let need = |finding: &&mut Finding| finding.need.unwrap_or(f64::INFINITY);
        let Some(finding) = stops.min_by(|a, b| need(a).total_cmp(&need(b))) else {
            continue;
        };
        let of = |row: &&SwapRow| {
            row.job == job && !row.follows && finding.need == Some(row.radius)
        };
        let Some(row) = swap.rows.iter().find(of) else { continue };
        let Some(cutter) = case.shop.cutters.iter().find(|c| c.id() == row.id) else {
            continue;
        };
        if job == Job::Recess {
            *finding = softened(finding.clone(), dish, cutter, case.shop.house.unit);
        }
        for tuned in tune(case, cutter) {
            let Some(value) = tuned.value else { continue };
            let text = said(&tuned, value, &row.id, case.shop.house.unit);
            *finding = finding.clone().remedy(RemedyKind::Parameter, text, Some(value));
        }
    }
}

/// Offers the nearest recess the cutter reaches all of, where there is one.
fn softened(
    finding: Finding,
    dish: &Dish,
    cutter: &Cutter,
    unit: DisplayUnit,
) -> Finding {
    let all = all_softened(dish, cutter);
    let departures = all.iter().map(|soft| soft.departure);
    let Some(departure) = departures.max_by(f64::total_cmp) else { return finding };
    let area: f64 = all.iter().map(|soft| soft.area).sum();
    let text = format!(
        "soften the recess: at most {} from the drawn one, {} mm² less hollow; `treen mend RECIPE --cutter {}` tells more",
        Mm::new(departure).unwrap_or(Mm::ZERO).show(unit),
        trimmed((area.abs() * 10.0).round() / 10.0),
        cutter.id(),
    );
    finding.remedy(RemedyKind::Soften, text, Some(departure))
}

fn said(tuned: &Tuned, value: f64, id: &str, unit: DisplayUnit) -> String {
    let show = |value: f64| match Mm::new(value) {
        Some(mm) if tuned.length => mm.show(unit),
        Some(_) | None => trimmed(value),
    };
    format!(
        "set `{}` to {} (now {}): {id} follows",
        tuned.name,
        show(value),
        show(tuned.present)
    )
}
