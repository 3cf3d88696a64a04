//! Cutting out: the outline from outside against every profile cutter.

use super::clearance::Clearance;
use super::swap::{Job, Swap, SwapRow};
use super::{Pins, follows};
use crate::curve::{Origin, Point};
use crate::dish::Dish;
use crate::finding::{Code, Finding, RemedyKind, Severity};
use crate::model::{Shop, Work};
use crate::reach::{Low, soften};
use crate::units::{Mm, hundredths_down, trimmed};

pub(super) fn check(
    dish: &Dish,
    shop: &Shop,
    pins: &Pins,
    swap: &mut Swap,
    findings: &mut Vec<Finding>,
) {
    let rows: Vec<&SwapRow> =
        swap.rows.iter().filter(|r| r.job == Job::Outline).collect();
    if rows.is_empty() {
        findings.push(no_cutter(dish));
        return;
    }
    let pin = pins.of(Work::CutOut);
    let pinned = |row: &SwapRow| pin.is_some_and(|pin| pin.cutter == row.id);
    let any = rows.iter().any(|row| row.usable());
    let severity = |row: &SwapRow| {
        if pinned(row) || !any { Severity::Stop } else { Severity::Note }
    };
    let mut said: Vec<(f64, Severity)> = Vec::new();
    for row in &rows {
        if !row.follows {
            // Cutters of one size leave the same: said once.
            let key = (row.diameter, severity(row));
            if !said.contains(&key) {
                said.push(key);
                findings.push(too_tight(dish, shop, row, swap, severity(row)));
            }
        } else if row.tie {
            findings.push(tie(dish, row, swap));
        }
        // One that is no wider than another that does is not missed.
        let missed =
            pinned(row) || !rows.iter().any(|o| o.usable() && o.diameter >= row.diameter);
        if row.sandable && missed && !row.clearance.clears() {
            findings.push(too_deep(dish, row, &rows, severity(row)));
        }
    }
}

fn no_cutter(dish: &Dish) -> Finding {
    Finding::stop(Code::CutterNotOnRack, "no cutter on the rack can cut dishes out")
        .from(dish.source.clone())
        .expected("an end mill or compression bit in the shop file")
        .help("add one under `cutters:`, for example `{id: end-6, kind: end mill, diameter: 6 mm}`")
}

fn too_tight(
    dish: &Dish,
    shop: &Shop,
    row: &SwapRow,
    swap: &Swap,
    severity: Severity,
) -> Finding {
    let unit = shop.house.unit;
    let low =
        swap.outside.unwrap_or(Low { radius: row.radius, at: Point::ZERO, across: None });
    let what = if low.across.is_some() { "gap" } else { "inside corner" };
    let count = row.leftovers.len();
    let mut message = format!(
        "{} {} ({}) cannot follow the outline: the tightest {what} has a radius of {}",
        row.kind.word(),
        row.id,
        Mm::new(row.diameter).unwrap_or(Mm::ZERO).show(unit),
        Mm::new(low.radius).unwrap_or(Mm::ZERO).show(unit),
    );
    if count > 0 {
        let places = format!(
            "; it leaves wood in {count} place{}, at most {} deep",
            if count == 1 { "" } else { "s" },
            Mm::new(row.deepest()).unwrap_or(Mm::ZERO).show(unit),
        );
        message.push_str(&places);
    }
    // What can be sanded away is no obstacle.
    let severity = if row.sandable && severity == Severity::Stop && row.clearance.clears()
    {
        Severity::Note
    } else {
        severity
    };
    let finding = Finding::new(severity, Code::OutlineTooTight, message)
        .at(low.at.x, low.at.y)
        .from(dish.outline_source(low.at))
        .have_need(low.radius, row.radius);
    let finding = remedies(finding, shop, row, swap, low);
    softened(finding, dish, shop, row)
}

/// Offers the nearest outline the cutter follows, where there is one.
fn softened(finding: Finding, dish: &Dish, shop: &Shop, row: &SwapRow) -> Finding {
    let Some(soft) = soften(&dish.outline, row.radius, Origin::default()) else {
        return finding;
    };
    let text = format!(
        "soften the outline: at most {} from the drawn one, {} mm² more wood; `treen mend RECIPE --cutter {} --write FILE.svg` writes it",
        Mm::new(soft.departure).unwrap_or(Mm::ZERO).show(shop.house.unit),
        trimmed((soft.area * 10.0).round() / 10.0),
        row.id,
    );
    finding.remedy(RemedyKind::Soften, text, Some(soft.departure))
}

fn remedies(
    mut finding: Finding,
    shop: &Shop,
    row: &SwapRow,
    swap: &Swap,
    low: Low,
) -> Finding {
    let unit = shop.house.unit;
    let show = |value: f64| Mm::new(value).unwrap_or(Mm::ZERO).show(unit);
    let other = swap
        .rows
        .iter()
        .find(|r| r.job == Job::Outline && r.follows && r.clearance.clears());
    if let Some(other) = other {
        let text = format!(
            "use {} ({}), the largest on the rack that follows",
            other.id,
            show(other.diameter)
        );
        finding = finding.remedy(RemedyKind::Cutter, text, Some(other.diameter));
    }
    if row.sandable {
        let text = format!(
            "leave it: at most {} stays, which the house rule lets you sand away",
            show(row.deepest())
        );
        finding = finding.remedy(RemedyKind::Sand, text, Some(row.deepest()));
    }
    if let Some(width) = row.smallest_width {
        let text = format!(
            "make the dish {} wide: everything scaled, {} follows",
            show(width),
            row.id
        );
        finding = finding.remedy(RemedyKind::Width, text, Some(width));
    }
    if low.across.is_none() {
        let text = format!(
            "round the inside corners: `fillet: {{inside: {} mm}}` in the outline",
            trimmed(row.radius)
        );
        finding = finding.remedy(RemedyKind::Fillet, text, Some(row.radius));
    } else {
        let text = format!(
            "close the gap: `fillet: {{inside: {} mm}}` fills whatever the cutter cannot enter",
            trimmed(row.radius)
        );
        finding = finding.remedy(RemedyKind::Fillet, text, Some(row.radius));
    }
    finding
}

fn tie(dish: &Dish, row: &SwapRow, swap: &Swap) -> Finding {
    let low =
        swap.outside.unwrap_or(Low { radius: row.radius, at: Point::ZERO, across: None });
    debug_assert!(follows(low.radius, row.radius).0, "a tie follows");
    Finding::note(
        Code::OutlineTooTight,
        format!(
            "{} {} follows the outline with nothing to spare: its radius equals the tightest place within 0.002 mm",
            row.kind.word(),
            row.id
        ),
    )
    .at(low.at.x, low.at.y)
    .from(dish.outline_source(low.at))
    .have_need(low.radius, row.radius)
    .help("a smaller cutter, or a slightly larger fillet, leaves room for a worn or oversize bit")
}

fn too_deep(
    dish: &Dish,
    row: &SwapRow,
    rows: &[&SwapRow],
    severity: Severity,
) -> Finding {
    let Clearance { depth, allowed, flutes, .. } = row.clearance;
    let longer = rows.iter().find(|other| other.usable());
    let (code, have, what) = if row.clearance.within_stick_out() {
        (Code::CutDeeperThanFlute, flutes.unwrap_or(depth), "its flutes are")
    } else {
        (
            Code::CutDeeperThanStickout,
            allowed.unwrap_or(depth),
            "it stands out, less the collet margin,",
        )
    };
    let finding = Finding::new(
        severity,
        code,
        format!(
            "{} {} is too short to cut through: {} mm are needed, {what} {} mm",
            row.kind.word(),
            row.id,
            trimmed(depth),
            trimmed(have)
        ),
    )
    .from(dish.source.clone())
    .have_need(have, depth);
    let finding = match longer {
        Some(other) => finding.remedy(
            RemedyKind::Cutter,
            format!(
                "use {} ({} mm), which is long enough and follows",
                other.id,
                trimmed(other.diameter)
            ),
            Some(other.diameter),
        ),
        None => finding,
    };
    let board = hundredths_down(dish.wood.thickness.get() - (depth - have));
    finding.remedy(
        RemedyKind::Depth,
        format!("use a board of at most {} mm", trimmed(board)),
        Some(board),
    )
}
