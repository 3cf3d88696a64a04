//! Faces asked for: `serif bold`, `{file: fonts/mine.ttf}`, `{family: Some Family}`, a list of these.

use super::reader::{Map, Reader};
use super::tree::{Node, Value};
use crate::finding::{Code, Finding};
use crate::model::{FaceWeight, FaceWord, WantedFace};

/// Most faces of one list.
const MOST: usize = 8;

/// Most fonts of a collection.
const MOST_FONTS: u32 = 255;

/// The faces under `face`, in the order in which they write; none where it is left out.
pub(super) fn faces(map: &Map<'_>) -> Vec<WantedFace> {
    let Some(node) = map.optional("face") else { return Vec::new() };
    let r = map.reader;
    let items = node.value.items().unwrap_or(std::slice::from_ref(node));
    if items.is_empty() || items.len() > MOST {
        let message = format!("`face` is a list of {} faces", items.len());
        let finding = Finding::stop(Code::BadNumber, message)
            .from(r.source(node))
            .expected(format!("1 to {MOST} faces"))
            .help("name the face that writes first, then those that lend it letters");
        r.say(finding);
        return Vec::new();
    }
    items.iter().filter_map(|item| face(r, item)).collect()
}

fn face(r: &Reader, node: &Node) -> Option<WantedFace> {
    let face = match &node.value {
        Value::Map(_) => own(r, node)?,
        Value::List(_) | Value::Null | Value::Bool(..) => {
            r.wrong(node, "`face`", EXPECTED);
            return None;
        }
        Value::Text(_) | Value::Number(..) => FaceWord::Named(r.text(node, "`face`")?),
    };
    Some(WantedFace { face, source: r.inside(node) })
}

const EXPECTED: &str =
    "a face by name, `{file: fonts/mine.ttf}` or `{family: Some Family}`";

fn own(r: &Reader, node: &Node) -> Option<FaceWord> {
    let keys = ["file", "index", "family", "weight", "italic"];
    let map = r.map(node, "`face`", &keys)?;
    let others: &[&str] = match (map.optional("file"), map.optional("family")) {
        (Some(_), None) => &["weight", "italic"],
        (None, Some(_)) => &["index"],
        (Some(_), Some(_)) => &["family"],
        (None, None) => {
            let what = "`face` names neither a file nor a family";
            let finding = Finding::stop(Code::MissingKey, what)
                .from(r.source(node))
                .expected(EXPECTED);
            r.say(finding);
            return None;
        }
    };
    if let Some((key, other)) =
        others.iter().find_map(|key| map.optional(key).map(|node| (key, node)))
    {
        let message = format!("`{key}` does not go with the others here");
        let finding = Finding::stop(Code::DuplicateKey, message)
            .from(r.source(other))
            .expected("`file` with `index`, or `family` with `weight` and `italic`")
            .help(format!("leave `{key}` out"));
        r.say(finding);
        return None;
    }
    if let Some(file) = map.maybe_text("file") {
        let index = map.optional("index");
        let index =
            index.map_or(Some(0), |node| r.whole(node, "index", [0, MOST_FONTS]))?;
        return Some(FaceWord::File { file, index });
    }
    let weight = map.optional("weight").map_or(Some(FaceWeight::default()), |node| {
        r.word(node, "`weight`", &FaceWeight::WORDS)
    })?;
    let italic = map.flag("italic", false);
    Some(FaceWord::Family { family: map.maybe_text("family")?, weight, italic })
}
