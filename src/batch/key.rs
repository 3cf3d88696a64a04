//! Keys: one digest of everything that a piece of work depends on.

use super::approval::approval_json;
use super::digest::Digest;
use super::job::Job;
use crate::finding::SourceFile;
use crate::model::{Approval, Order, Pins, Recipe};

/// What the program was made from: its own text, that of what it uses, the compiler.
const MADE_FROM: &str = env!("TREEN_MADE_FROM");

/// What every order of a run depends on: the program, the shop, the resolution.
pub(super) fn common(job: &Job<'_>) -> Digest {
    let dpi = format!("{:?}", job.dpi);
    let mark = job.shop.mark.as_ref().and_then(|mark| mark.drawn.as_deref());
    let shop = file(&job.shop.source.file).to_string();
    let pins = pins(job.pins).to_string();
    Digest::of_parts([MADE_FROM, &shop, &pins, &dpi, mark.unwrap_or_default()])
}

/// The key of an order's sheets. Where the order stands in its list does not count.
pub(super) fn of_order(
    common: Digest,
    recipe: &Recipe,
    (order, said): (&Order, Option<&Approval>),
) -> Digest {
    let mut parts = of_recipe(common, recipe, "order");
    let quantity = order.quantity.to_string();
    let pins = pins(&order.pins).to_string();
    parts.extend([order.id.clone(), order.name.clone(), quantity, pins]);
    let texts = [order.wood.as_deref(), order.note.as_deref(), order.date.as_deref()];
    parts.extend(texts.map(|text| format!("{text:?}")));
    parts.push(format!("{:?}", order.manner));
    parts.push(approval_json(said).to_string());
    for setting in &order.set {
        parts.extend([setting.name.clone(), format!("{:?}", setting.value)]);
    }
    Digest::of_parts(parts)
}

/// The key of a recipe's swap card.
pub(super) fn of_card(common: Digest, recipe: &Recipe) -> Digest {
    Digest::of_parts(of_recipe(common, recipe, "card"))
}

fn of_recipe(common: Digest, recipe: &Recipe, what: &str) -> Vec<String> {
    let (common, text) = (common.to_string(), file(&recipe.source.file).to_string());
    vec![what.to_owned(), common, recipe.key.clone(), text]
}

fn file(file: &SourceFile) -> Digest {
    Digest::of_parts([&file.label, &file.text])
}

fn pins(pins: &Pins) -> Digest {
    let pins = pins.all().iter().map(|pin| [pin.work.key(), pin.cutter.as_str()]);
    Digest::of_parts(pins.flatten())
}
