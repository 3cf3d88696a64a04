//! Carving: each recess from inside against every recess cutter.

use super::clearance::shallower_recess;
use super::swap::{Job, Swap, SwapRow};
use crate::curve::Point;
use crate::dish::Dish;
use crate::finding::{Code, Finding, RemedyKind, Severity};
use crate::model::{Pins, Shop, Work};
use crate::reach::Low;
use crate::units::{Mm, hundredths_up, trimmed};

pub(super) fn check(
    dish: &Dish,
    shop: &Shop,
    pins: &Pins,
    swap: &mut Swap,
    findings: &mut Vec<Finding>,
) {
    if dish.recesses.is_empty() {
        return;
    }
    let rows: Vec<&SwapRow> = swap.rows.iter().filter(|r| r.job == Job::Recess).collect();
    let source = dish.recesses[swap.narrowest].source.clone();
    let Some(largest) = rows.iter().find(|row| row.clearance.clears()).or(rows.first())
    else {
        findings.push(
            Finding::stop(Code::CutterNotOnRack, "no cutter on the rack can carve a recess")
                .from(source)
                .expected("a bowl bit or ball nose in the shop file")
                .help("add one under `cutters:`, for example `{id: bowl-19, kind: bowl bit, diameter: 3/4 in, corner_radius: 1/4 in}`"),
        );
        return;
    };
    let low = swap.inside.unwrap_or(Low { radius: 0.0, at: Point::ZERO, across: None });
    let best = rows.iter().find(|row| row.usable());
    let (short, severity) = short(&rows, best, pins);
    if best.is_none() && short.is_empty() {
        let last = rows.iter().rev().find(|row| row.clearance.clears());
        findings.push(unreached(
            dish,
            shop,
            last.or(rows.last()).copied().unwrap_or(largest),
            low,
        ));
    }
    let told = short.into_iter().map(|row| too_deep(dish, shop, (row, severity), &rows));
    findings.extend(told);
}

/// The cutters that would do but for their length, and how grave that is: the one the maker
/// insists on; where others do it and the maker leaves it open, those larger than the largest of
/// them, which might have been taken; where none does, all.
fn short<'r>(
    rows: &[&'r SwapRow],
    best: Option<&&SwapRow>,
    pins: &Pins,
) -> (Vec<&'r SwapRow>, Severity) {
    let all: Vec<&SwapRow> = rows
        .iter()
        .filter(|row| row.sandable && !row.clearance.clears())
        .copied()
        .collect();
    let pin = pins.of(Work::Recess);
    let pinned = all.iter().find(|row| pin.is_some_and(|pin| pin.cutter == row.id));
    match (pinned, best) {
        (Some(row), _) => (vec![*row], Severity::Stop),
        (None, Some(best)) => {
            let larger = |row: &&SwapRow| pin.is_none() && row.radius > best.radius;
            (all.into_iter().filter(larger).collect(), Severity::Note)
        }
        (None, None) => (all, Severity::Stop),
    }
}

fn show(value: f64, shop: &Shop) -> String {
    Mm::new(value).unwrap_or(Mm::ZERO).show(shop.house.unit)
}

fn unreached(dish: &Dish, shop: &Shop, smallest: &SwapRow, low: Low) -> Finding {
    let at = smallest.leftovers.first().map_or(low.at, |l| l.at);
    let finding = Finding::stop(
        Code::RecessCornerUnreached,
        format!(
            "no recess cutter reaches every corner: {} {} still leaves {} deep",
            smallest.kind.word(),
            smallest.id,
            show(smallest.deepest(), shop),
        ),
    )
    .at(at.x, at.y)
    .from(dish.recesses.first().map_or(&dish.source, |r| &r.source).clone())
    .have_need(low.radius, smallest.radius)
    .remedy(
        RemedyKind::Fillet,
        format!(
            "`corners: {} mm` in the recess rounds them to what {} carves",
            trimmed(smallest.radius),
            smallest.id
        ),
        Some(smallest.radius),
    );
    match smallest.smallest_width {
        Some(width) => finding.remedy(
            RemedyKind::Width,
            format!(
                "make the dish {} wide: everything scaled, {} reaches every corner",
                show(width, shop),
                smallest.id
            ),
            Some(width),
        ),
        None => finding,
    }
}

fn too_deep(
    dish: &Dish,
    shop: &Shop,
    (row, severity): (&SwapRow, Severity),
    rows: &[&SwapRow],
) -> Finding {
    let depth = row.clearance.depth;
    let stick = !row.clearance.within_stick_out();
    let (code, have, why) = if stick {
        let have = row.clearance.allowed.unwrap_or(depth);
        (Code::CutDeeperThanStickout, have, "stick-out less the collet margin")
    } else {
        let have = row.clearance.flutes.unwrap_or(depth);
        (Code::CutDeeperThanFlute, have, "its flutes, the shank rubs above")
    };
    let deepest = dish.recesses.iter().max_by(|a, b| a.depth.total_cmp(&b.depth));
    let message = format!(
        "the recess is {} mm deep; {} {} may carve {} mm ({why})",
        trimmed(depth),
        row.kind.word(),
        row.id,
        trimmed(have),
    );
    let mut finding = Finding::new(severity, code, message)
        .from(deepest.map_or(&dish.source, |r| &r.source).clone())
        .have_need(have, depth);
    let longer = rows.iter().find(|other| other.usable());
    if let Some(other) = longer.or_else(|| rows.iter().find(|o| o.clearance.clears())) {
        let text =
            format!("{} ({} mm) is long enough", other.id, trimmed(other.diameter));
        finding = finding.remedy(RemedyKind::Cutter, text, Some(other.diameter));
    }
    finding = shallower_recess(finding, dish, have);
    if stick {
        let out = hundredths_up(depth + shop.house.collet_margin.get());
        let text = format!("a stick-out of {} mm, measured, would do", trimmed(out));
        finding = finding.remedy(RemedyKind::Depth, text, Some(out));
    }
    finding
}
