//! The things that can be drawn, one reader each.

use super::drawing::{Drawn, mirror, shape, steps};
use super::faces::faces;
use super::reader::{Map, Reader};
use super::tree::Node;
use crate::finding::{Code, Finding};
use crate::model::{Mirror, Primitive, Text};

/// The keys of the things that can be drawn.
pub(super) const KEYS: [&str; 17] = [
    "circle",
    "ellipse",
    "rectangle",
    "polygon",
    "star",
    "petals",
    "superellipse",
    "spline",
    "arc",
    "spiral",
    "path",
    "svg",
    "letter",
    "ring",
    "row",
    "pair",
    "group",
];

/// The keys a primitive takes.
fn keys(key: &str) -> &'static [&'static str] {
    match key {
        "circle" => &["center", "radius"],
        "ellipse" => &["center", "radii"],
        "rectangle" => &["center", "size", "radius"],
        "polygon" => &["points"],
        "star" => &["center", "points", "outer", "inner"],
        "petals" => &["center", "count", "radius", "depth"],
        "superellipse" => &["center", "radii", "exponent"],
        "spline" => &["through", "closed", "corners", "tension", "mirror"],
        "arc" => &["center", "radius", "middle", "span", "inside"],
        "spiral" => &["center", "from", "to", "turns", "start"],
        "path" => &["d"],
        "svg" => &["file", "width"],
        "letter" => &["text", "parameter", "center", "height", "face"],
        "ring" => &["count", "radius", "center", "start", "sweep", "of"],
        "row" => &["count", "step", "of"],
        "pair" => &["mirror", "of"],
        _ => &[],
    }
}

/// Reads what stands behind one of [`KEYS`].
pub(super) fn primitive(
    r: &Reader,
    key: &str,
    node: &Node,
    drawn: Drawn,
) -> Option<Primitive> {
    if key == "group" {
        return Some(Primitive::Group { steps: steps(r, node, "`group`", drawn)? });
    }
    let what = format!("`{key}`");
    let map = r.map(node, &what, keys(key))?;
    match key {
        "circle" | "ellipse" | "rectangle" | "superellipse" => round(key, &map),
        "star" | "petals" => star(key, &map),
        "polygon" => {
            let points = map.required("points").and_then(|n| r.points(n, "points", 3));
            Some(Primitive::Polygon { points: points? })
        }
        "spline" => spline(&map, drawn),
        "arc" => arc(&map),
        "spiral" => spiral(&map),
        "path" => Some(Primitive::Path { d: map.text("d")? }),
        "svg" => {
            let (file, width) = (map.text("file"), map.formula("width"));
            Some(Primitive::Svg { file: file?, width: width? })
        }
        "letter" => letter(&map),
        "pair" => pair(&map, drawn),
        _ => copies(key, &map, drawn),
    }
}

fn round(key: &str, map: &Map<'_>) -> Option<Primitive> {
    let center = map.maybe_point("center");
    Some(match key {
        "circle" => Primitive::Circle { center, radius: map.formula("radius")? },
        "ellipse" => Primitive::Ellipse { center, radii: map.point("radii")? },
        "rectangle" => {
            let (size, radius) = (map.point("size"), map.maybe_formula("radius"));
            Primitive::Rectangle { center, size: size?, radius }
        }
        _ => {
            let (radii, exponent) = (map.point("radii"), map.formula("exponent"));
            Primitive::Superellipse { center, radii: radii?, exponent: exponent? }
        }
    })
}

fn star(key: &str, map: &Map<'_>) -> Option<Primitive> {
    let center = map.maybe_point("center");
    if key == "star" {
        let points = map.formula("points");
        let (outer, inner) = (map.formula("outer"), map.formula("inner"));
        return Some(Primitive::Star {
            center,
            points: points?,
            outer: outer?,
            inner: inner?,
        });
    }
    let count = map.formula("count");
    let (radius, depth) = (map.formula("radius"), map.formula("depth"));
    Some(Primitive::Petals { center, count: count?, radius: radius?, depth: depth? })
}

fn spline(map: &Map<'_>, drawn: Drawn) -> Option<Primitive> {
    let closed = map.flag("closed", drawn == Drawn::Area);
    let mirrored = map.optional("mirror");
    let least = if closed && mirrored.is_none() { 3 } else { 2 };
    let through =
        map.required("through").and_then(|n| map.reader.points(n, "through", least));
    let count = through.as_ref().map_or(usize::MAX, Vec::len);
    let corners = map.optional("corners").map(|node| corners(map.reader, node, count));
    let tension = map.maybe_formula("tension");
    let mirror = mirrored.map(|node| mirror(map.reader, node));
    Some(Primitive::Spline {
        through: through?,
        closed,
        corners: corners.unwrap_or_default(),
        tension,
        mirror: mirror.map_or(Some(None), |mirror| mirror.map(Some))?,
    })
}

fn arc(map: &Map<'_>) -> Option<Primitive> {
    let center = map.maybe_point("center");
    let (radius, middle) = (map.formula("radius"), map.formula("middle"));
    let (span, inside) = (map.formula("span"), map.flag("inside", false));
    Some(Primitive::Arc { center, radius: radius?, middle: middle?, span: span?, inside })
}

fn spiral(map: &Map<'_>) -> Option<Primitive> {
    let center = map.maybe_point("center");
    let (from, to) = (map.formula("from"), map.formula("to"));
    let turns = map.formula("turns");
    let start = map.maybe_formula("start");
    Some(Primitive::Spiral { center, from: from?, to: to?, turns: turns?, start })
}

/// Indices of points, from 0.
fn corners(r: &Reader, node: &Node, count: usize) -> Vec<usize> {
    let Some(items) = r.list(node, "`corners`") else { return Vec::new() };
    let index = |item: &Node| {
        let found = item.value.number().and_then(|value| {
            let whole = value.to_string().parse::<usize>().ok()?;
            (whole < count).then_some(whole)
        });
        if found.is_none() {
            let most = count.saturating_sub(1);
            let finding = Finding::stop(Code::BadNumber, "a corner that is not a point")
                .from(r.source(item))
                .expected(format!("the place of a point in `through`, from 0 to {most}"));
            r.say(finding);
        }
        found
    };
    items.iter().filter_map(index).collect()
}

fn letter(map: &Map<'_>) -> Option<Primitive> {
    let text = match (map.optional("text"), map.optional("parameter")) {
        (None, Some(node)) => map.reader.text(node, "`parameter`").map(|name| {
            let place = map.reader.inside(node);
            map.reader.letters.borrow_mut().push((name.clone(), place));
            Text::Parameter(name)
        }),
        (Some(_), Some(node)) => {
            let message = "`letter` has both `text` and `parameter`";
            let finding = Finding::stop(Code::DuplicateKey, message)
                .from(map.reader.source(node))
                .help("keep one of the two");
            map.reader.say(finding);
            None
        }
        (_, None) => map.text("text").map(Text::Literal),
    };
    let (center, height) = (map.maybe_point("center"), map.formula("height"));
    let face = faces(map);
    Some(Primitive::Letter { text: text?, center, height: height?, face })
}

fn pair(map: &Map<'_>, drawn: Drawn) -> Option<Primitive> {
    let mirrored = map.optional("mirror").map(|node| mirror(map.reader, node));
    let of = map.required("of").and_then(|node| shape(map.reader, node, drawn));
    Some(Primitive::Pair {
        mirror: mirrored.unwrap_or(Some(Mirror::LeftRight))?,
        of: Box::new(of?),
    })
}

fn copies(key: &str, map: &Map<'_>, drawn: Drawn) -> Option<Primitive> {
    let count = map.formula("count");
    let of = map.required("of").and_then(|node| shape(map.reader, node, drawn));
    if key == "row" {
        let step = map.point("step");
        return Some(Primitive::Row { count: count?, step: step?, of: Box::new(of?) });
    }
    let radius = map.formula("radius");
    let center = map.maybe_point("center");
    let (start, sweep) = (map.maybe_formula("start"), map.maybe_formula("sweep"));
    Some(Primitive::Ring {
        count: count?,
        radius: radius?,
        center,
        start,
        sweep,
        of: Box::new(of?),
    })
}
