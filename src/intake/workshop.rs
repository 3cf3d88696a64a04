//! What proofs say of their maker: `workshop`, `address`, `reply` and `answer_by`.

use super::reader::Map;
use crate::finding::{Code, Finding};
use crate::model::Workshop;

/// The keys.
const KEYS: [&str; 4] = ["workshop", "address", "reply", "answer_by"];
/// Longer ones have no place on the page.
const LONGEST: usize = 60;

/// What stands under these keys.
pub(super) fn workshop(map: &Map<'_>) -> Workshop {
    let [name, address, reply, answer_by] = KEYS.map(|key| line(map, key));
    Workshop { name, address, reply, answer_by }
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
