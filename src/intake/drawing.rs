//! Steps of a drawing: verbs, shapes and how they are placed.

use super::primitive::{KEYS, primitive};
use super::reader::{Map, Reader, one_of};
use super::tree::{Node, Value};
use crate::finding::{Code, Finding};
use crate::model::{Line, Mirror, Placing, Point, Primitive, Shape, Step, Verb};

const VERBS: [&str; 10] =
    ["add", "cut", "keep", "fillet", "grow", "shrink", "move", "turn", "scale", "mirror"];
const PLACINGS: [&str; 4] = ["move", "turn", "scale", "mirror"];

/// Whether splines close themselves when nothing is said: they do where an area is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Drawn {
    Area,
    Line,
}

/// A list of steps; a single step may stand alone.
pub(super) fn steps(
    r: &Reader,
    node: &Node,
    what: &str,
    drawn: Drawn,
) -> Option<Vec<Step>> {
    let nodes = match &node.value {
        Value::List(items) => items.as_slice(),
        Value::Map(_) => std::slice::from_ref(node),
        Value::Null | Value::Number(..) | Value::Text(_) | Value::Bool(..) => {
            r.wrong(node, what, "a list of steps");
            return None;
        }
    };
    if nodes.is_empty() {
        let finding = Finding::stop(Code::EmptyOutline, format!("{what} has no steps"))
            .from(r.source(node))
            .expected("one or more steps such as `- circle: {radius: 80}`");
        r.say(finding);
        return None;
    }
    let read: Vec<Option<Step>> = nodes.iter().map(|node| step(r, node, drawn)).collect();
    read.into_iter().collect()
}

fn step(r: &Reader, node: &Node, drawn: Drawn) -> Option<Step> {
    let map = r.open_map(node, "a step")?;
    let source = map.source();
    if map.entries.iter().any(|(key, ..)| KEYS.contains(key)) {
        let shape = shape_of(&map, drawn)?;
        return Some(Step { verb: Verb::Add(shape), source });
    }
    let known: Vec<&str> = VERBS.into_iter().chain(KEYS).collect();
    for (key, place, _) in &map.entries {
        if !VERBS.contains(key) {
            r.unknown_key("a step", key, place, &known);
        }
    }
    let mut verbs = map.entries.iter().filter(|(key, ..)| VERBS.contains(key));
    let Some((key, _, value)) = verbs.next() else {
        if map.entries.is_empty() {
            missing(&map, "a step says nothing", &known);
        }
        return None;
    };
    for (second, place, _) in verbs {
        let finding = Finding::stop(
            Code::UnknownKey,
            format!("`{second}` beside `{key}`: a step does one thing"),
        )
        .from(r.source(place))
        .help(format!("start a new step: `- {second}: …`"));
        r.say(finding);
    }
    Some(Step { verb: verb(r, key, value, drawn)?, source })
}

fn missing(map: &Map<'_>, message: &str, keys: &[&str]) {
    map.reader.say(
        Finding::stop(Code::MissingKey, message)
            .from(map.source())
            .expected(one_of(keys)),
    );
}

fn verb(r: &Reader, key: &str, node: &Node, drawn: Drawn) -> Option<Verb> {
    match key {
        "add" => shape(r, node, drawn).map(Verb::Add),
        "cut" => shape(r, node, drawn).map(Verb::Cut),
        "keep" => shape(r, node, drawn).map(Verb::Keep),
        "grow" => r.formula(node, key).map(Verb::Grow),
        "shrink" => r.formula(node, key).map(Verb::Shrink),
        "fillet" => fillet(r, node),
        _ => placing(r, key, node).map(Verb::Place),
    }
}

fn fillet(r: &Reader, node: &Node) -> Option<Verb> {
    let keys = ["inside", "outside"];
    let map = r.map(node, "`fillet`", &keys)?;
    let (inside, outside) = (map.maybe_formula("inside"), map.maybe_formula("outside"));
    if map.entries.is_empty() {
        missing(&map, "`fillet` says nothing", &keys);
        return None;
    }
    Some(Verb::Fillet { inside, outside })
}

/// A shape: a map with one primitive, or a list of steps.
pub(super) fn shape(r: &Reader, node: &Node, drawn: Drawn) -> Option<Shape> {
    if matches!(node.value, Value::List(_)) {
        let steps = steps(r, node, "a group", drawn)?;
        let primitive = Primitive::Group { steps };
        return Some(Shape { primitive, placing: Vec::new(), source: r.source(node) });
    }
    shape_of(&r.open_map(node, "a shape")?, drawn)
}

fn shape_of(map: &Map<'_>, drawn: Drawn) -> Option<Shape> {
    let r = map.reader;
    let mut found: Option<(&str, Option<Primitive>)> = None;
    let mut placings = Vec::new();
    let known: Vec<&str> = KEYS.into_iter().chain(PLACINGS).collect();
    for (key, place, value) in &map.entries {
        if PLACINGS.contains(key) {
            placings.push(placing(r, key, value));
        } else if !KEYS.contains(key) {
            r.unknown_key("a shape", key, place, &known);
        } else if let Some((first, _)) = found {
            let message = format!("`{key}` beside `{first}`: a shape draws one thing");
            let finding = Finding::stop(Code::UnknownKey, message)
                .from(r.source(place))
                .help("draw several in a list: `[{…}, {…}]`");
            r.say(finding);
        } else {
            found = Some((key, primitive(r, key, value, drawn)));
        }
    }
    let Some((_, primitive)) = found else {
        missing(map, "a shape draws nothing", &KEYS);
        return None;
    };
    let placing = placings.into_iter().collect::<Option<_>>()?;
    Some(Shape { primitive: primitive?, placing, source: map.source() })
}

fn placing(r: &Reader, key: &str, node: &Node) -> Option<Placing> {
    match key {
        "move" => r.point(node, key).map(Placing::Move),
        "turn" => turn(r, node),
        "scale" => scale(r, node),
        _ => mirror(r, node).map(Placing::Mirror),
    }
}

fn turn(r: &Reader, node: &Node) -> Option<Placing> {
    if !matches!(node.value, Value::Map(_)) {
        return Some(Placing::Turn { angle: r.formula(node, "turn")?, about: None });
    }
    let map = r.map(node, "`turn`", &["angle", "about"])?;
    let (angle, about) = (map.formula("angle"), map.maybe_point("about"));
    Some(Placing::Turn { angle: angle?, about })
}

fn scale(r: &Reader, node: &Node) -> Option<Placing> {
    if !matches!(node.value, Value::Map(_)) {
        return Some(Placing::Scale { by: factors(r, node)?, about: None });
    }
    let map = r.map(node, "`scale`", &["by", "about"])?;
    let by = map.required("by").and_then(|node| factors(r, node));
    let about = map.maybe_point("about");
    Some(Placing::Scale { by: by?, about })
}

/// One factor for both directions, or two.
fn factors(r: &Reader, node: &Node) -> Option<Point> {
    if matches!(node.value, Value::List(_)) {
        return r.point(node, "scale");
    }
    let factor = r.formula(node, "scale")?;
    Some(Point { x: factor.clone(), y: factor })
}

/// One of the two ways a mirror swaps.
pub(super) fn mirror(r: &Reader, node: &Node) -> Option<Mirror> {
    let words = [("left-right", Mirror::LeftRight), ("up-down", Mirror::UpDown)];
    r.word(node, "`mirror`", &words)
}

/// A line: two points, or a shape whose edge is followed.
pub(super) fn line(r: &Reader, node: &Node, key: &str) -> Option<Line> {
    let Value::List(items) = &node.value else {
        return shape(r, node, Drawn::Line).map(Line::Shape);
    };
    if items.iter().any(|item| matches!(item.value, Value::Map(_))) {
        return shape(r, node, Drawn::Line).map(Line::Shape);
    }
    if let [from, to] = items.as_slice() {
        let (from, to) = (r.point(from, key), r.point(to, key));
        return Some(Line::Straight(from?, to?));
    }
    let message = format!("`{key}` has {} points", items.len());
    let finding = Finding::stop(Code::WrongType, message)
        .from(r.source(node))
        .expected("two points, written `[[x, y], [x, y]]`, or a shape")
        .help("draw a longer line as `{spline: {through: [[x, y], …]}}`");
    r.say(finding);
    None
}
