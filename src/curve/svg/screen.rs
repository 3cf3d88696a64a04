//! Refuses SVG files that run, reach outside themselves or grow without bound.

use crate::curve::primitive::DrawFault;
use std::collections::BTreeMap;
use usvg::roxmltree::{Document, Node, NodeType, ParsingOptions};

/// Most bytes of a file.
const LONGEST: usize = 2_000_000;
/// Most elements, texts and remarks in a file, also after `use` is unfolded.
const MOST_NODES: u32 = 100_000;
/// Deepest nesting.
const DEEPEST: usize = 100;

const EXPECTED: &str = "a self-contained SVG file that only draws";

/// The parsed document if there is nothing to fear from it.
pub(super) fn screened(text: &str) -> Result<Document<'_>, DrawFault> {
    if text.len() > LONGEST {
        let what = format!("the SVG file has {} bytes", text.len());
        return Err(DrawFault::new(what, format!("at most {LONGEST} bytes")));
    }
    if nesting(text) > 2 * DEEPEST {
        return Err(too_deep());
    }
    let options = ParsingOptions { nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|error| {
        let what = if matches!(error, usvg::roxmltree::Error::DtdDetected) {
            "the SVG file declares a document type or entities".to_owned()
        } else {
            format!("not an SVG file: {error}")
        };
        DrawFault::new(what, EXPECTED)
    })?;
    if document.root_element().tag_name().name() != "svg" {
        let name = short(document.root_element().tag_name().name());
        return Err(DrawFault::new(
            format!("the file holds `{name}`, not `svg`"),
            EXPECTED,
        ));
    }
    document.root().descendants().try_for_each(harmless)?;
    unfolds(&document)?;
    Ok(document)
}

/// Greatest number of tags open at once, roughly: before the XML reader, which recurses, sees
/// the text. Counts too much rather than too little.
fn nesting(text: &str) -> usize {
    let (mut open, mut most) = (0_usize, 0_usize);
    let mut parts = text.split('<');
    parts.next();
    for part in parts {
        if part.starts_with('/') {
            open = open.saturating_sub(1);
        } else if !part.starts_with(['!', '?']) {
            let tag = part.split('>').next().unwrap_or_default();
            open += usize::from(!tag.ends_with('/'));
        }
        most = most.max(open);
    }
    most
}

fn too_deep() -> DrawFault {
    DrawFault::new(
        "the SVG file is nested too deeply",
        format!("at most {DEEPEST} levels"),
    )
}

fn harmless(node: Node<'_, '_>) -> Result<(), DrawFault> {
    let refuse = |what: String| Err(DrawFault::new(what, EXPECTED));
    if node.ancestors().take(DEEPEST + 2).count() > DEEPEST + 1 {
        return Err(too_deep());
    }
    if node.node_type() == NodeType::PI {
        return refuse("the SVG file has a processing instruction".to_owned());
    }
    let name = node.tag_name().name();
    if matches!(name, "script" | "foreignObject" | "image" | "feImage" | "iframe") {
        return refuse(format!("the SVG file has a `{name}` element"));
    }
    if name == "style" {
        let sheet: String = node.children().filter_map(|child| child.text()).collect();
        if sheet.contains("@import") || reaches_out(&sheet) {
            return refuse(
                "the SVG file's style sheet refers to another file".to_owned(),
            );
        }
    }
    for attribute in node.attributes() {
        let (key, value) = (attribute.name(), attribute.value().trim());
        if key.starts_with("on") {
            return refuse(format!("the SVG file has an event handler `{}`", short(key)));
        }
        if (key == "href" || key == "src") && !value.starts_with('#') && name != "a" {
            return refuse(format!("the SVG file refers to `{}`", short(value)));
        }
        if reaches_out(value) {
            return refuse(format!(
                "the SVG file's `{}` refers to another file",
                short(key)
            ));
        }
    }
    Ok(())
}

/// There is a `url(…)` to something that is not in the same file.
fn reaches_out(value: &str) -> bool {
    let lower = value.to_ascii_lowercase();
    lower
        .split("url(")
        .skip(1)
        .any(|target| !target.trim_start_matches([' ', '"', '\'']).starts_with('#'))
}

/// The first characters of a text from outside.
fn short(text: &str) -> String {
    let head: String = text.chars().take(40).collect();
    if head.len() < text.len() { format!("{head}…") } else { head }
}

/// Counts the nodes there will be when every `use` is replaced by what it shows.
fn unfolds(document: &Document<'_>) -> Result<(), DrawFault> {
    let named: BTreeMap<&str, Node<'_, '_>> = document
        .descendants()
        .filter_map(|node| Some((node.attribute("id")?, node)))
        .collect();
    let mut counted = BTreeMap::new();
    let total = unfolded(document.root_element(), &named, &mut counted, 0)?;
    if total > u64::from(MOST_NODES) {
        return Err(DrawFault::new(
            "the SVG file unfolds to too many elements through `use`",
            format!("at most {MOST_NODES} elements"),
        ));
    }
    Ok(())
}

fn unfolded<'a, 'i>(
    node: Node<'a, 'i>,
    named: &BTreeMap<&str, Node<'a, 'i>>,
    counted: &mut BTreeMap<usize, u64>,
    depth: usize,
) -> Result<u64, DrawFault> {
    if let Some(count) = counted.get(&node.id().get_usize()) {
        return Ok(*count);
    }
    if depth > DEEPEST {
        return Err(DrawFault::new(
            "the SVG file is nested too deeply, or a `use` shows itself",
            format!("at most {DEEPEST} levels"),
        ));
    }
    let mut total = 1_u64;
    for child in node.children() {
        total = total.saturating_add(unfolded(child, named, counted, depth + 1)?);
    }
    let target = node
        .attributes()
        .find(|attribute| attribute.name() == "href" && node.tag_name().name() == "use")
        .and_then(|attribute| attribute.value().trim().strip_prefix('#'))
        .and_then(|id| named.get(id));
    if let Some(target) = target {
        total = total.saturating_add(unfolded(*target, named, counted, depth + 1)?);
    }
    counted.insert(node.id().get_usize(), total);
    Ok(total)
}
