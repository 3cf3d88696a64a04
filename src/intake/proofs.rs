//! The shop's `proof`: how proofs speak, and what they say and show of their maker.

use super::manner::manner;
use super::reader::Map;
use crate::finding::{Code, Finding};
use crate::model::{Manner, ShopMark, Workshop};

const KEYS: [&str; 7] =
    ["locale", "unit", "mark", "workshop", "address", "reply", "answer_by"];
/// Longer ones have no place on the page.
const LONGEST: usize = 60;

/// What stands under `proof`, which may be left out.
pub(super) fn proofs(shop: &Map<'_>) -> (Manner, Workshop, Option<ShopMark>) {
    let r = shop.reader;
    let proof = shop.optional("proof").and_then(|node| r.map(node, "`proof`", &KEYS));
    let said = proof.as_ref().map(|map| (manner(map), workshop(map), mark(map)));
    said.unwrap_or_default()
}

fn workshop(map: &Map<'_>) -> Workshop {
    Workshop {
        name: line(map, "workshop"),
        address: line(map, "address"),
        reply: line(map, "reply"),
        answer_by: line(map, "answer_by"),
    }
}

fn mark(proof: &Map<'_>) -> Option<ShopMark> {
    let node = proof.optional("mark")?;
    let file = proof.reader.text(node, "`mark`")?;
    Some(ShopMark { file, source: proof.reader.inside(node), drawn: None })
}

/// One line of the maker's own words.
fn line(map: &Map<'_>, key: &str) -> Option<String> {
    let node = map.optional(key)?;
    let text = map.reader.text(node, &format!("`{key}`"))?;
    let text = text.trim();
    let fault = if text.is_empty() {
        "is empty"
    } else if text.chars().count() > LONGEST {
        "is too long"
    } else if text.chars().any(char::is_control) {
        "is more than one line, or has a control character in it"
    } else {
        return Some(text.to_owned());
    };
    let finding = Finding::stop(Code::WrongType, format!("`{key}` {fault}"))
        .from(map.reader.source(node))
        .expected(format!("one line of 1 to {LONGEST} characters"))
        .help(format!("write what proofs are to say, or leave `{key}` out"));
    map.reader.say(finding);
    None
}
