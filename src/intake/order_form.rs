//! The shop's `order_list`: what its lists call our columns, recipes and woods.

use super::reader::Map;
use crate::finding::{Code, Finding};
use crate::model::{Called, OrderForm};

const KEYS: [&str; 4] = ["sheet", "columns", "recipes", "woods"];

/// What stands under `order_list`.
pub(super) fn order_form(shop: &Map<'_>) -> OrderForm {
    let r = shop.reader;
    let node = shop.optional("order_list");
    let Some(map) = node.and_then(|node| r.map(node, "`order_list`", &KEYS)) else {
        return OrderForm::default();
    };
    let sheet = map.optional("sheet").and_then(|node| {
        let text = r.text(node, "`sheet`")?;
        Some(Called { text, source: r.inside(node) })
    });
    let names = |key: &str, what: &str| names(&map, key, what);
    OrderForm {
        sheet,
        columns: names("columns", "`columns`"),
        recipes: names("recipes", "`recipes`"),
        woods: names("woods", "`woods`"),
    }
}

/// Our words, each with what it is called; no two are called the same.
fn names(map: &Map<'_>, key: &str, what: &str) -> Vec<(String, Called)> {
    let r = map.reader;
    let Some(map) = map.optional(key).and_then(|node| r.open_map(node, what)) else {
        return Vec::new();
    };
    let mut names: Vec<(String, Called)> = Vec::new();
    for (word, _, node) in &map.entries {
        let Some(text) = r.text(node, &format!("`{word}`")) else { continue };
        let called = Called { text, source: r.inside(node) };
        match names.iter().find(|(_, known)| known.is(&called.text)) {
            Some((first, known)) => {
                let message = format!("`{word}` and `{first}` are called the same");
                let finding = Finding::stop(Code::DuplicateKey, message)
                    .from(called.source)
                    .related(known.source.clone(), "the first one")
                    .help("each needs a name of its own in the list");
                r.say(finding);
            }
            None => names.push(((*word).to_owned(), called)),
        }
    }
    names
}
