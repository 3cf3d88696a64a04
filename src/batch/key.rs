//! Keys: one digest of everything that a piece of work depends on.

use super::approval::approval_json;
use super::job::Job;
use crate::finding::SourceFile;
use crate::model::{Approval, Order, Pins, Recipe};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// What the program was made from: its own text, that of what it uses, the compiler.
const MADE_FROM: &str = env!("TREEN_MADE_FROM");

/// SHA-256 (FIPS 180-4) of parts, each with its length before it.
pub(super) fn digest<P: AsRef<[u8]>>(parts: impl IntoIterator<Item = P>) -> String {
    let mut mark = Hash::new();
    for part in parts {
        let part = part.as_ref();
        mark.add(&(part.len() as u64).to_le_bytes());
        mark.add(part);
    }
    mark.finish()
}

/// SHA-256 of a file's bytes, as manifests have it.
pub(super) fn hash(bytes: &[u8]) -> String {
    let mut mark = Hash::new();
    mark.add(bytes);
    mark.finish()
}

/// SHA-256 of bytes that come in pieces.
pub(super) struct Hash(Sha256);

impl Hash {
    pub(super) fn new() -> Self {
        Self(Sha256::new())
    }

    pub(super) fn add(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// In lower-case hexadecimal.
    pub(super) fn finish(self) -> String {
        self.0.finalize().iter().fold(String::new(), |mut text, byte| {
            // Writing to a String cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
    }
}

/// What every order of a run depends on: the program, the shop, the resolution.
pub(super) fn common(job: &Job<'_>) -> String {
    let dpi = format!("{:?}", job.dpi);
    let mark = job.shop.mark.as_ref().and_then(|mark| mark.drawn.as_deref());
    let shop = file(&job.shop.source.file);
    digest([MADE_FROM, &shop, &pins(job.pins), &dpi, mark.unwrap_or_default()])
}

/// The key of an order's sheets. Where the order stands in its list does not count.
pub(super) fn of_order(
    common: &str,
    recipe: &Recipe,
    (order, said): (&Order, Option<&Approval>),
) -> String {
    let mut parts = of_recipe(common, recipe, "order");
    let quantity = order.quantity.to_string();
    parts.extend([order.id.clone(), order.name.clone(), quantity, pins(&order.pins)]);
    parts.extend([&order.wood, &order.note, &order.date].map(|text| format!("{text:?}")));
    parts.push(format!("{:?}", order.manner));
    parts.push(approval_json(said).to_string());
    for setting in &order.set {
        parts.extend([setting.name.clone(), format!("{:?}", setting.value)]);
    }
    digest(parts)
}

/// The key of a recipe's swap card.
pub(super) fn of_card(common: &str, recipe: &Recipe) -> String {
    digest(of_recipe(common, recipe, "card"))
}

fn of_recipe(common: &str, recipe: &Recipe, what: &str) -> Vec<String> {
    let text = file(&recipe.source.file);
    [what, common, &recipe.key, &text].map(str::to_owned).to_vec()
}

fn file(file: &SourceFile) -> String {
    digest([&file.label, &file.text])
}

fn pins(pins: &Pins) -> String {
    let pins = pins.all().iter().map(|pin| [pin.work.key(), pin.cutter.as_str()]);
    digest(pins.flatten())
}
