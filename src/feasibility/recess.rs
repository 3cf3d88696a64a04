//! Carving: each recess from inside against every recess cutter.

use super::swap::{Job, Swap, SwapRow};
use crate::curve::{Origin, Point};
use crate::dish::Dish;
use crate::finding::{Code, Finding, RemedyKind, Severity};
use crate::model::Shop;
use crate::reach::{Low, opening};
use crate::units::{Mm, trimmed};

pub(super) fn check(
    dish: &Dish,
    shop: &Shop,
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
    match rows.iter().find(|row| row.usable()) {
        Some(best) if !largest.sandable => {
            findings.push(needs_smaller(dish, shop, largest, best, low));
            separate(dish, largest, findings);
        }
        Some(_) => {}
        None if rows.iter().any(|row| row.sandable) => {
            for row in rows.iter().filter(|row| row.sandable) {
                findings.push(too_deep(dish, row, swap));
            }
        }
        None => {
            let last = rows.iter().rev().find(|row| row.clearance.clears());
            findings.push(unreached(
                dish,
                shop,
                last.or(rows.last()).copied().unwrap_or(largest),
                low,
            ));
        }
    }
}

fn show(value: f64, shop: &Shop) -> String {
    Mm::new(value).unwrap_or(Mm::ZERO).show(shop.house.unit)
}

fn needs_smaller(
    dish: &Dish,
    shop: &Shop,
    largest: &SwapRow,
    best: &SwapRow,
    low: Low,
) -> Finding {
    let count = largest.leftovers.len();
    let area: f64 = dish.recesses.iter().map(|recess| recess.region.area()).sum();
    Finding::note(
        Code::RecessNeedsSmallerCutter,
        format!(
            "{} {} does not reach {count} place{} of the recess ({} mm², {} % of it, stay); {} follows after it",
            largest.kind.word(),
            largest.id,
            if count == 1 { "" } else { "s" },
            trimmed((largest.area_left() * 10.0).round() / 10.0),
            trimmed((largest.area_left() / area * 1e4).round() / 100.0),
            best.id,
        ),
    )
    .at(low.at.x, low.at.y)
    .from(dish.recesses.first().map_or(&dish.source, |r| &r.source).clone())
    .have_need(low.radius, largest.radius)
    .remedy(
        RemedyKind::Cutter,
        format!("follow with {} ({}), the largest that reaches everywhere", best.id, show(best.diameter, shop)),
        Some(best.diameter),
    )
    .remedy(
        RemedyKind::Fillet,
        format!("`corners: {} mm` in the recess lets {} do all of it", trimmed(largest.radius), largest.id),
        Some(largest.radius),
    )
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

fn too_deep(dish: &Dish, row: &SwapRow, swap: &Swap) -> Finding {
    let depth = row.clearance.depth;
    let stick = !row.clearance.within_stick_out();
    let (code, have) = if stick {
        (Code::CutDeeperThanStickout, row.clearance.allowed.unwrap_or(depth))
    } else {
        (Code::CutDeeperThanFlute, row.clearance.flutes.unwrap_or(depth))
    };
    let thickness = dish.wood.thickness.get();
    let floor = thickness - have;
    let deepest = dish.recesses.iter().max_by(|a, b| a.depth.total_cmp(&b.depth));
    let keep = deepest.map_or(0.0, |r| r.floor);
    let longer = swap
        .rows
        .iter()
        .find(|other| other.job == Job::Recess && other.clearance.clears());
    let mut finding = Finding::new(
        Severity::Stop,
        code,
        format!(
            "the recess is {} mm deep; {} {} may carve {} mm ({})",
            trimmed(depth),
            row.kind.word(),
            row.id,
            trimmed(have),
            if stick {
                "stick-out less the collet margin"
            } else {
                "its flutes, the shank rubs above"
            },
        ),
    )
    .from(deepest.map_or(&dish.source, |r| &r.source).clone())
    .have_need(have, depth)
    .remedy(
        RemedyKind::Depth,
        format!("keep a floor of {} mm", trimmed(floor)),
        Some(floor),
    )
    .remedy(
        RemedyKind::Depth,
        format!("use a board of at most {} mm", trimmed(have + keep)),
        Some(have + keep),
    );
    if let Some(other) = longer {
        finding = finding.remedy(
            RemedyKind::Cutter,
            format!("{} ({} mm) is long enough", other.id, trimmed(other.diameter)),
            Some(other.diameter),
        );
    }
    finding
}

/// Parts of the recess that the large cutter reaches only by plunging there again.
fn separate(dish: &Dish, row: &SwapRow, findings: &mut Vec<Finding>) {
    for recess in &dish.recesses {
        let Some(opened) = opening(&recess.region, row.radius, Origin::default()) else {
            continue;
        };
        let (parts, before) = (opened.parts(), recess.region.parts());
        if parts <= before {
            continue;
        }
        let smallest = opened
            .contours()
            .iter()
            .filter(|c| c.signed_area() > 0.0)
            .min_by(|a, b| a.signed_area().total_cmp(&b.signed_area()));
        let at = smallest.map(|c| c.bounds().center());
        let mut finding = Finding::note(
            Code::SeparatePlunge,
            format!(
                "{} {} fits into {parts} separate parts of the recess: it must plunge into each",
                row.kind.word(),
                row.id
            ),
        )
        .from(recess.source.clone())
        .help("a smaller cutter passes between them");
        if let Some(at) = at {
            finding = finding.at(at.x, at.y);
        }
        findings.push(finding);
    }
}
