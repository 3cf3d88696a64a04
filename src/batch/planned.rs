//! A plan in JSON: what each cutter does, how it was chosen, what it leaves and costs.

use crate::finding::rounded;
use crate::plan::{
    Asked, Choice, Finish, Guess, Limit, Operation, Plan, SEASON, WoodBill,
};
use serde_json::{Value, json};

/// The whole plan. Lengths in mm, feeds in mm/min, speeds in 1/min.
pub(super) fn planned(plan: &Plan) -> Value {
    json!({
        "operations": plan.operations.iter().map(operation).collect::<Vec<_>>(),
        "tool_changes": plan.tool_changes(),
        "minutes": rounded(plan.minutes()),
        "choices": plan.choices.iter().map(choice).collect::<Vec<_>>(),
        "finish": plan.finish.iter().map(finish).collect::<Vec<_>>(),
        "asked": plan.asked.as_ref().map(asked),
        "wood": plan.wood.as_ref().map(wood),
    })
}

fn operation(op: &Operation) -> Value {
    let rates = &op.rates;
    let guessed = |guess: &Guess| match guess {
        Guess::ChipLoad => "chip_load",
        Guess::Speed => "speed",
    };
    json!({
        "work": op.work.word(),
        "cutter": op.cutter,
        "diameter_mm": rounded(op.diameter),
        "stick_out_mm": op.stick_out.map(rounded),
        "depth_mm": rounded(op.depth),
        "passes": op.passes,
        "speed": rounded(rates.speed),
        "feed": rounded(rates.feed),
        "plunge": rounded(rates.plunge),
        "chip_load_mm": rounded(rates.chip_load),
        "chip_mm": rounded(rates.chip),
        "peripheral_m_min": rounded(rates.peripheral),
        "guessed": rates.guessed.iter().map(guessed).collect::<Vec<_>>(),
        "limit": rates.limit.map(Limit::word),
        "light": rates.light.map(|light| json!({
            "width_mm": rounded(light.width),
            "angle": rounded(light.angle),
            "thickest_chip_mm": rounded(light.thickest),
            "mean_chip_mm": rounded(light.mean),
            "feed": rounded(light.feed),
        })),
        "minutes": rounded(op.minutes),
    })
}

fn choice(choice: &Choice) -> Value {
    let able = choice
        .able
        .iter()
        .map(|able| json!({ "cutter": able.cutter, "minutes": rounded(able.minutes) }));
    let refused = choice
        .refused
        .iter()
        .map(|refused| json!({ "cutter": refused.cutter, "reason": refused.reason }));
    json!({
        "work": choice.work.word(),
        "chosen": choice.chosen,
        "pinned": choice.pinned,
        "able": able.collect::<Vec<_>>(),
        "refused": refused.collect::<Vec<_>>(),
    })
}

fn finish(row: &Finish) -> Value {
    json!({
        "stepover": rounded(row.share),
        "stepover_mm": rounded(row.step),
        "cusp_mm": micron(row.cusp),
        "ridge_mm": micron(row.ridge),
        "minutes": rounded(row.minutes),
        "present": row.present,
    })
}

/// Heights of a floor lie below 0.001 mm: they are rounded to 1e-6 mm.
fn micron(mm: f64) -> f64 {
    (mm * 1e6).round() / 1e6
}

fn asked(asked: &Asked) -> Value {
    let free = asked.free.iter();
    let free = free.map(|(work, id)| json!({ "work": work.word(), "cutter": id }));
    json!({
        "minutes": rounded(asked.minutes),
        "tool_changes": asked.changes,
        "free": free.collect::<Vec<_>>(),
    })
}

fn wood(bill: &WoodBill) -> Value {
    json!({
        "volume_mm3": rounded(bill.volume),
        "mass_kg": bill.mass.map(|kg| (kg * 1e4).round() / 1e4),
        "blank_mm": bill.blank.map(rounded),
        "price": bill.price.map(|price| (price * 100.0).round() / 100.0),
        "species": bill.species,
        "across_grain_mm": rounded(bill.across),
        "movement": bill.movement.map(|movement| json!({
            "moisture_change": SEASON,
            "flat_sawn_mm": rounded(movement.flat),
            "quarter_sawn_mm": rounded(movement.quarter),
        })),
    })
}
