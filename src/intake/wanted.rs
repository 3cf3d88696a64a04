//! A cutter asked for in a recipe: `v-bit 60`, `ball nose 1/8 in`, `end mill`.

use super::reader::{Map, Reader};
use super::tree::Node;
use crate::finding::{Code, Finding};
use crate::model::{CutterKind, WantedCutter, Work};
use crate::units::{Deg, Mm};

/// The cutter under `with`, where it is written.
pub(super) fn wanted(map: &Map<'_>) -> Option<WantedCutter> {
    map.optional("with").and_then(|node| read(map.reader, node))
}

fn read(r: &Reader, node: &Node) -> Option<WantedCutter> {
    let text = r.text(node, "`with`")?;
    // The size starts at the first digit or point.
    let at = text.find(|c: char| c.is_ascii_digit() || c == '.').unwrap_or(text.len());
    let (word, size) = text.split_at(at);
    let kinds = Work::Details.kinds();
    let Some(kind) = CutterKind::from_word(word).filter(|kind| kinds.contains(kind))
    else {
        let words: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
        r.unknown_word(node, "`with`", word.trim(), &words);
        return None;
    };
    let source = r.inside(node);
    let size = size.trim();
    if size.is_empty() {
        return Some(WantedCutter { kind, size: None, source });
    }
    let value = if kind == CutterKind::VBit {
        Deg::parse(size).map(Deg::get).ok().filter(|angle| *angle < 180.0)
    } else {
        Mm::parse(size).map(Mm::get).ok()
    };
    let value = value.filter(|value| *value > 0.0);
    if value.is_none() {
        let (what, expected) = if kind == CutterKind::VBit {
            ("an angle", "`v-bit 60`, the included angle in degrees")
        } else {
            ("a diameter", "a kind and a diameter, `ball nose 1/8 in`")
        };
        let message = format!("`{size}` in `with` is not {what}");
        let finding = Finding::stop(Code::BadUnit, message)
            .from(r.source(node))
            .expected(expected)
            .help("correct the size, or leave it out to take the nearest on the rack");
        r.say(finding);
        return None;
    }
    Some(WantedCutter { kind, size: value, source })
}
