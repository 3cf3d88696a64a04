//! Recipes: one themed dish with parameters.

use super::drawing::{Drawn, line, shape, steps};
use super::faces::faces;
use super::parameters::{check_names, lets, parameters};
use super::reader::{Map, Reader};
use super::tree::{self, Node, Value};
use super::wanted::wanted;
use crate::finding::{Checked, Code, Finding, Source};
use crate::model::{
    Edges, Formula, Grain, Groove, NameArea, NameStyle, Panel, Recess, RecessForm,
    Recipe, Step, Surface, Verb,
};
use std::path::Path;

const KEYS: [&str; 13] = [
    "title",
    "about",
    "themes",
    "notes",
    "grain",
    "parameters",
    "let",
    "outline",
    "rim",
    "recess",
    "name",
    "details",
    "edges",
];
const NAME_KEYS: [&str; 10] = [
    "on", "along", "height", "style", "face", "stroke", "depth", "panel", "condense",
    "lines",
];
const GRAINS: [(&str, Grain); 2] = [("x", Grain::X), ("y", Grain::Y)];
const STYLES: [(&str, NameStyle); 4] = [
    ("vee", NameStyle::Vee),
    ("sunk", NameStyle::Sunk),
    ("raised", NameStyle::Raised),
    ("line", NameStyle::Line),
];
const SURFACES: [(&str, Surface); 2] = [("floor", Surface::Floor), ("rim", Surface::Rim)];

/// Reads a recipe. The key is the word orders name it by; `svg` files are looked for in the
/// folder.
pub fn recipe(
    label: &str,
    text: &str,
    key: &str,
    folder: Option<&Path>,
) -> Checked<Recipe> {
    let r = Reader::new(label, text);
    let root = r.keep(tree::read(&r.file));
    let read = root.and_then(|root| whole(&r, &root, key, folder));
    Checked::unless_stopped(read, r.finish())
}

fn whole(r: &Reader, root: &Node, key: &str, folder: Option<&Path>) -> Option<Recipe> {
    let map = r.map(root, "a recipe", &KEYS)?;
    let title = map.text("title");
    let parameters = parameters(&map);
    let lets = lets(&map, &parameters);
    let outline =
        map.required("outline").and_then(|n| steps(r, n, "`outline`", Drawn::Area));
    let recesses = recesses(&map);
    let inner = if recesses.is_empty() { Surface::Rim } else { Surface::Floor };
    let recipe = Recipe {
        key: key.to_owned(),
        title: title.unwrap_or_default(),
        about: map.maybe_text("about").unwrap_or_default(),
        themes: map.texts("themes"),
        notes: map.texts("notes"),
        grain: map.optional("grain").and_then(|node| r.word(node, "`grain`", &GRAINS)),
        rim: map.maybe_formula("rim"),
        name: map.optional("name").and_then(|node| name(r, node, inner)),
        details: details(&map, inner),
        edges: map.optional("edges").and_then(|node| edges(r, node)).unwrap_or_default(),
        parameters,
        lets,
        outline: outline.unwrap_or_default(),
        recesses,
        folder: folder.map(Path::to_path_buf),
        source: Source::whole(&r.file),
    };
    check_names(r, &recipe.parameters);
    starts_with_area(r, &recipe.outline);
    Some(recipe)
}

/// The first step must draw something; the others change it.
fn starts_with_area(r: &Reader, outline: &[Step]) {
    let Some(first) = outline.first() else { return };
    if !matches!(first.verb, Verb::Add(_)) {
        let finding = Finding::stop(
            Code::EmptyOutline,
            "the first step of `outline` draws nothing",
        )
        .from(first.source.clone())
        .expected("a shape, e.g. `- circle: {radius: 80}`");
        r.say(finding);
    }
}

/// One recess or a list of them.
fn recesses(map: &Map<'_>) -> Vec<Recess> {
    let Some(node) = map.optional("recess") else { return Vec::new() };
    let items = node.value.items().unwrap_or(std::slice::from_ref(node));
    items.iter().filter_map(|item| recess(map.reader, item)).collect()
}

fn recess(r: &Reader, node: &Node) -> Option<Recess> {
    let map = r.map(node, "`recess`", &["follow", "shape", "keep_floor", "corners"])?;
    let form = match (map.optional("follow"), map.optional("shape")) {
        (Some(_), Some(second)) => {
            let finding = Finding::stop(
                Code::DuplicateKey,
                "`recess` has both `follow` and `shape`",
            )
            .from(r.source(second))
            .help("keep one of the two");
            r.say(finding);
            None
        }
        (Some(follow), None) => {
            let words = [("outline", ())];
            r.word(follow, "`follow`", &words).map(|()| RecessForm::FollowOutline)
        }
        (None, Some(drawn)) => drawn_area(r, drawn),
        (None, None) => {
            let finding =
                Finding::stop(Code::MissingKey, "`recess` does not say where it is")
                    .from(r.source(node))
                    .expected("`follow: outline` or `shape: …`");
            r.say(finding);
            None
        }
    };
    let keep_floor = map.maybe_formula("keep_floor");
    let corners = map.maybe_formula("corners");
    Some(Recess { form: form?, keep_floor, corners, source: map.source() })
}

fn drawn_area(r: &Reader, node: &Node) -> Option<RecessForm> {
    if matches!(node.value, Value::List(_)) {
        return steps(r, node, "`shape`", Drawn::Area).map(RecessForm::Drawn);
    }
    let shape = shape(r, node, Drawn::Area)?;
    let source = r.source(node);
    Some(RecessForm::Drawn(vec![Step { verb: Verb::Add(shape), source }]))
}

fn surface(map: &Map<'_>, default: Surface) -> Surface {
    map.optional("on")
        .and_then(|node| map.reader.word(node, "`on`", &SURFACES))
        .unwrap_or(default)
}

fn name(r: &Reader, node: &Node, inner: Surface) -> Option<NameArea> {
    let map = r.map(node, "`name`", &NAME_KEYS)?;
    let along = map.required("along").and_then(|node| line(r, node, "along"));
    let height = map.formula("height");
    let style = map.optional("style").and_then(|node| r.word(node, "`style`", &STYLES));
    let style = style.unwrap_or(NameStyle::Vee);
    let panel = map.optional("panel").and_then(|node| panel(r, node, style));
    let on = surface(&map, inner);
    let (face, depth) = (faces(&map), map.maybe_formula("depth"));
    let stroke = map.maybe_formula("stroke");
    let (condense, lines) = (map.maybe_formula("condense"), map.maybe_formula("lines"));
    Some(NameArea {
        on,
        along: along?,
        height: height?,
        style,
        face,
        stroke,
        depth,
        panel: panel.unwrap_or_default(),
        condense,
        lines,
        source: map.source(),
    })
}

fn panel(r: &Reader, node: &Node, style: NameStyle) -> Option<Panel> {
    if style != NameStyle::Raised {
        let finding = Finding::stop(
            Code::UnknownKey,
            "`panel` belongs to raised letters; these are cut into the wood",
        )
        .from(r.source(node))
        .expected("`style: raised` beside it")
        .help("write `style: raised`, or leave `panel` out");
        r.say(finding);
        return None;
    }
    let map = r.map(node, "`panel`", &["margin", "corner"])?;
    Some(Panel {
        margin: map.maybe_formula("margin"),
        corner: map.maybe_formula("corner"),
    })
}

fn details(map: &Map<'_>, inner: Surface) -> Vec<Groove> {
    let Some(node) = map.optional("details") else { return Vec::new() };
    let Some(items) = map.reader.list(node, "`details`") else { return Vec::new() };
    items.iter().filter_map(|item| groove(map.reader, item, inner)).collect()
}

fn groove(r: &Reader, node: &Node, inner: Surface) -> Option<Groove> {
    let map = r.map(node, "a detail", &["groove", "width", "depth", "on", "with"])?;
    let along = map.required("groove").and_then(|node| line(r, node, "groove"));
    let width = map.formula("width");
    let depth = map.maybe_formula("depth");
    let (on, with) = (surface(&map, inner), wanted(&map));
    let (along, width) = (along?, width?);
    Some(Groove { along, width, depth, with, on, source: map.source() })
}

fn edges(r: &Reader, node: &Node) -> Option<Edges> {
    let map = r.map(node, "`edges`", &["outer", "recess"])?;
    Some(Edges { outer: round_over(&map, "outer"), recess: round_over(&map, "recess") })
}

/// A radius, with or without the word `round-over` after it.
fn round_over(map: &Map<'_>, key: &str) -> Option<Formula> {
    let node = map.optional(key)?;
    let Value::Text(text) = &node.value else { return map.reader.formula(node, key) };
    let radius = text.trim().strip_suffix("round-over").unwrap_or(text).trim();
    let plain = Node { value: Value::Text(radius.to_owned()), place: node.place };
    map.reader.formula(&plain, key)
}
