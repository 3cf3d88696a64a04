//! The JSON forms that other programs rely on.

use super::examine::Examined;
use super::planned::planned;
use crate::curve::Point;
use crate::feasibility::{Deepest, RackRow, Swap, SwapRow, Through};
use crate::finding::{Finding, rounded, to_json};
use crate::mend::{Mend, Tuned};
use crate::model::{Shop, Wood, Work};
use crate::reach::Leftover;
use serde_json::{Value, json};

/// The dishes of `treen check`; `others` are findings about the inputs themselves.
pub fn check_json(dishes: &[Examined], others: &[Finding]) -> String {
    let dish = |dish: &Examined| {
        json!({
            "id": dish.id,
            "recipe": dish.recipe,
            "findings": findings(&dish.findings),
            "plan": dish.dish.as_ref().map(|(.., plan)| planned(plan)),
        })
    };
    let dishes: Vec<Value> = dishes.iter().map(dish).collect();
    text(&json!({ "dishes": dishes, "findings": findings(others) }))
}

/// The table of `treen swap`.
pub fn swap_json(swap: &Swap) -> String {
    text(&json!({
        "recipe": swap.recipe,
        "width_mm": rounded(swap.width),
        "outside_reach_mm": swap.outside.as_ref().map(|low| rounded(low.radius)),
        "inside_reach_mm": swap.inside.as_ref().map(|low| rounded(low.radius)),
        "cutters": swap.rows.iter().map(row).collect::<Vec<_>>(),
    }))
}

/// The ways out of `treen mend`.
pub fn mend_json(mend: &Mend) -> String {
    let place = |at: Point| [rounded(at.x), rounded(at.y)];
    let tuned = |tuned: &Tuned| {
        json!({
            "name": tuned.name, "unit": if tuned.length { Some("mm") } else { None },
            "present": rounded(tuned.present), "min": rounded(tuned.min),
            "max": rounded(tuned.max), "value": tuned.value,
        })
    };
    let softened = mend.departure().map(|(departure, at)| {
        json!({
            "departure_mm": rounded(departure), "at": place(at),
            "area_mm2": rounded(mend.area()),
        })
    });
    text(&json!({
        "recipe": mend.recipe,
        "width_mm": rounded(mend.width),
        "cutter": mend.id,
        "kind": mend.kind.word(),
        "diameter_mm": rounded(mend.diameter),
        "job": mend.job,
        "follows": mend.follows,
        "reach_mm": mend.low.map(|low| rounded(low.radius)),
        "largest": mend.largest.as_ref().map(|other| {
            json!({ "id": other.id, "diameter_mm": rounded(other.diameter) })
        }),
        "smallest_width_mm": mend.smallest_width.map(rounded),
        "fillet_mm": mend.fillet.map(rounded),
        "softened": softened,
        "parameters": mend.tuned.iter().map(tuned).collect::<Vec<_>>(),
    }))
}

/// The rack of `treen shop`.
pub fn shop_json(shop: &Shop, rows: &[RackRow]) -> String {
    let cutter = |row: &RackRow| {
        let cutter = &shop.cutters[row.cutter];
        let recess = |(wood, deepest): (&Wood, &Deepest)| {
            json!({
                "wood": wood.name, "depth_mm": rounded(deepest.depth),
                "limit": deepest.limit.word(),
            })
        };
        let through = |(wood, through): (&Wood, &Through)| {
            json!({
                "wood": wood.name, "clears": through.clears,
                "have_mm": through.have.map(rounded), "need_mm": rounded(through.need),
            })
        };
        json!({
            "id": cutter.id(),
            "kind": cutter.kind().word(),
            "diameter_mm": rounded(cutter.diameter()),
            "stick_out_mm": cutter.stick_out().map(rounded),
            "flutes_mm": cutter.flutes().map(rounded),
            "works": row.works.iter().map(|work| Work::word(*work)).collect::<Vec<_>>(),
            "recess": shop.woods.iter().zip(&row.recess).map(recess).collect::<Vec<_>>(),
            "through": shop.woods.iter().zip(&row.through).map(through).collect::<Vec<_>>(),
        })
    };
    text(&json!({ "cutters": rows.iter().map(cutter).collect::<Vec<_>>() }))
}

fn row(row: &SwapRow) -> Value {
    json!({
        "id": row.id,
        "kind": row.kind.word(),
        "diameter_mm": rounded(row.diameter),
        "job": row.job.word(),
        "follows": row.follows,
        "tie": row.tie,
        "leftovers": row.leftovers.iter().map(leftover).collect::<Vec<_>>(),
        "smallest_width_mm": row.smallest_width.map(rounded),
    })
}

fn leftover(leftover: &Leftover) -> Value {
    json!({
        "at": [rounded(leftover.at.x), rounded(leftover.at.y)],
        "area_mm2": rounded(leftover.area),
        "depth_mm": rounded(leftover.depth),
        "mouth_mm": rounded(leftover.mouth),
        "niche": leftover.niche.word(),
    })
}

pub(super) fn findings(findings: &[Finding]) -> Vec<Value> {
    findings.iter().map(to_json).collect()
}

/// Indented, with a line end. Values made here cannot fail to be written.
pub(super) fn text(value: &Value) -> String {
    format!("{value:#}\n")
}
