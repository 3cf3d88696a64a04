//! What each cutter does, as a table, with what the recess's floor and the wood are like.

use crate::table::table;
use treen::model::Shop;
use treen::plan::{Operation, Plan, SEASON};
use treen::units::{DisplayUnit, MM_PER_INCH, Mm, trimmed};

/// The plan of one dish in plain text.
pub(crate) fn text(plan: &Plan, shop: &Shop) -> String {
    let unit = shop.house.unit;
    let feed = match unit {
        DisplayUnit::Mm => "feed, mm/min",
        DisplayUnit::Inch => "feed, in/min",
    };
    let head =
        ["work", "cutter", "depth", "passes", "speed, 1/min", feed, "plunge", "minutes"];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    rows.extend(plan.operations.iter().map(|op| operation(op, unit)));
    let mut out = table(&rows);
    let guessed = plan.operations.iter().any(|op| !op.rates.guessed.is_empty());
    if guessed {
        out.push_str(
            "* a starting point of ours: confirm it against the cutter maker's chart\n",
        );
    }
    out.push_str(&format!(
        "about {} min with {} tool change{} (estimated from lengths and feed)\n",
        minutes(plan.minutes()),
        plan.tool_changes(),
        if plan.tool_changes() == 1 { "" } else { "s" }
    ));
    if !plan.finish.is_empty() {
        out.push('\n');
        out.push_str(&floors(plan, unit));
    }
    out.push_str(&wood(plan, unit));
    out
}

fn show(mm: f64, unit: DisplayUnit) -> String {
    Mm::new((mm * 1000.0).round() / 1000.0)
        .map_or_else(|| "-".to_owned(), |mm| mm.show(unit))
}

fn minutes(value: f64) -> String {
    format!("{value:.1}")
}

fn operation(op: &Operation, unit: DisplayUnit) -> Vec<String> {
    let per = match unit {
        DisplayUnit::Mm => 1.0,
        DisplayUnit::Inch => MM_PER_INCH,
    };
    let star = if op.rates.guessed.is_empty() { "" } else { "*" };
    vec![
        op.work.word().to_owned(),
        op.cutter.clone(),
        show(op.depth, unit),
        op.passes.to_string(),
        format!("{:.0}{star}", op.rates.speed),
        format!("{:.0}{star}", op.rates.feed / per),
        format!("{:.0}{star}", op.rates.plunge / per),
        minutes(op.minutes),
    ]
}

fn floors(plan: &Plan, unit: DisplayUnit) -> String {
    let head = ["stepover", "", "cusp", "ridge", "minutes", ""];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    rows.extend(plan.finish.iter().map(|row| {
        vec![
            format!("{} %", trimmed(row.share * 100.0)),
            show(row.step, unit),
            show(row.cusp, unit),
            show(row.ridge, unit),
            minutes(row.minutes),
            if row.present { "as in the shop".to_owned() } else { String::new() },
        ]
    }));
    table(&rows)
}

fn wood(plan: &Plan, unit: DisplayUnit) -> String {
    let Some(bill) = &plan.wood else { return String::new() };
    let [along, across, thick] =
        bill.blank.map(|mm| show((mm * 10.0).round() / 10.0, unit));
    let mut parts = vec![format!("\nblank {along} x {across} x {thick}")];
    if let Some(mass) = bill.mass {
        parts.push(format!("dish {mass:.3} kg"));
    }
    if let Some(price) = bill.price {
        parts.push(format!("wood for {price:.2}"));
    }
    if let Some(movement) = bill.movement {
        parts.push(format!(
            "moves {} across the grain for {} % of moisture",
            show((movement.flat * 10.0).round() / 10.0, unit),
            trimmed(SEASON)
        ));
    }
    format!("{}\n", parts.join(", "))
}
