//! What an order may change in a recipe, the names in between, and the check that every
//! formula uses only these.

use super::reader::{Map, Reader};
use super::tree::{Node, Value};
use crate::finding::{Code, Finding, nearest};
use crate::model::{Formula, Parameter, ParameterKind, reserved, sorted_lets};
use crate::units::Mm;

/// The range of a parameter that states none, as shares of its default.
const RANGE: [f64; 2] = [0.5, 1.5];

/// The parameters, in the order written.
pub(super) fn parameters(recipe: &Map<'_>) -> Vec<Parameter> {
    let r = recipe.reader;
    let Some(node) = recipe.optional("parameters") else { return Vec::new() };
    let Some(map) = r.open_map(node, "`parameters`") else { return Vec::new() };
    map.entries
        .iter()
        .filter_map(|(name, key, value)| {
            let fine = usable(r, name, key);
            r.names.borrow_mut().push((*name).to_owned());
            parameter(r, name, value).filter(|_| fine)
        })
        .collect()
}

fn parameter(r: &Reader, name: &str, node: &Node) -> Option<Parameter> {
    let what = format!("parameter `{name}`");
    let bare = !matches!(node.value, Value::Map(_));
    if bare {
        return Some(Parameter {
            name: name.to_owned(),
            kind: kind(r, node)?.ranged(),
            about: String::new(),
            source: r.source(node),
        });
    }
    let map = r.map(node, &what, &["default", "min", "max", "about", "from_name"])?;
    let kind = map.required("default").and_then(|node| kind(r, node));
    let about = map.maybe_text("about").unwrap_or_default();
    let kind = match kind? {
        Kind::Text(default) => {
            no_range(&map);
            let from_name = map.flag("from_name", false);
            ParameterKind::Text { default, from_name }
        }
        number @ Kind::Number(..) => range(&map, &number)?,
    };
    Some(Parameter { name: name.to_owned(), kind, about, source: map.source() })
}

/// What a default is: a number, with `true` where it is a length, or a text.
enum Kind {
    Number(f64, bool),
    Text(String),
}

impl Kind {
    fn ranged(self) -> ParameterKind {
        match self {
            Self::Number(default, length) => {
                let ends = RANGE.map(|share| share * default);
                let (min, max) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
                ParameterKind::Number { default, min, max, length }
            }
            Self::Text(default) => ParameterKind::Text { default, from_name: false },
        }
    }
}

fn kind(r: &Reader, node: &Node) -> Option<Kind> {
    match &node.value {
        Value::Number(value, _) => Some(Kind::Number(*value, false)),
        Value::Text(text) => {
            let starts = text.trim_start_matches(['-', '+', ' ', '.']);
            let numeric = starts.starts_with(|c: char| c.is_ascii_digit());
            let word = starts.to_lowercase();
            if numeric || ["inf", "nan"].contains(&word.as_str()) {
                return r.length(node, "default").map(|mm| Kind::Number(mm.get(), true));
            }
            Some(Kind::Text(text.clone()))
        }
        Value::Bool(_, text) => Some(Kind::Text(text.clone())),
        Value::Null | Value::List(_) | Value::Map(_) => {
            r.wrong(node, "`default`", "a number, a length such as `6 mm`, or a text");
            None
        }
    }
}

fn range(map: &Map<'_>, kind: &Kind) -> Option<ParameterKind> {
    let Kind::Number(default, length) = *kind else { return None };
    if let Some(node) = map.key("from_name") {
        map.reader.wrong(node, "`from_name` of a number", "only with a text default");
    }
    let ends = RANGE.map(|share| share * default);
    let end =
        |key: &str, otherwise: f64| map.maybe_length(key).map_or(otherwise, Mm::get);
    let min = end("min", ends[0].min(ends[1]).min(default));
    let max = end("max", ends[0].max(ends[1]).max(default));
    if min > default || default > max {
        let node = map.optional("default").unwrap_or(map.node);
        let message = format!("the default {default} is not between {min} and {max}");
        let finding = Finding::stop(Code::OutOfRange, message)
            .from(map.reader.source(node))
            .expected("min <= default <= max");
        map.reader.say(finding);
        return None;
    }
    Some(ParameterKind::Number { default, min, max, length })
}

fn no_range(map: &Map<'_>) {
    for key in ["min", "max"] {
        if let Some(node) = map.key(key) {
            let message = format!("`{key}` on a text parameter");
            let finding = Finding::stop(Code::WrongType, message)
                .from(map.reader.source(node))
                .help("leave it out, or make the default a number");
            map.reader.say(finding);
        }
    }
}

/// The word can stand in formulas.
fn usable(r: &Reader, name: &str, key: &Node) -> bool {
    let mut letters = name.chars();
    let start = letters.next().is_some_and(|c| c.is_ascii_alphabetic() || c == '_');
    let plain = start && letters.all(|c| c.is_ascii_alphanumeric() || c == '_');
    if plain && !reserved(name) {
        return true;
    }
    let message = if plain {
        format!("`{name}` has a meaning of its own in formulas")
    } else {
        format!("`{name}` cannot be used in formulas")
    };
    let finding = Finding::stop(Code::UnknownWord, message)
        .from(r.source(key))
        .expected("a name of letters, digits and `_` that is no unit and no function");
    r.say(finding);
    false
}

/// The `let` names, each after those it uses.
pub(super) fn lets(recipe: &Map<'_>, parameters: &[Parameter]) -> Vec<(String, Formula)> {
    let r = recipe.reader;
    let Some(node) = recipe.optional("let") else { return Vec::new() };
    let Some(map) = r.open_map(node, "`let`") else { return Vec::new() };
    let mut read = Vec::new();
    for (name, key, value) in &map.entries {
        let fine = usable(r, name, key);
        r.names.borrow_mut().push((*name).to_owned());
        if let Some(taken) = parameters.iter().find(|p| p.name == *name) {
            let message = format!("`{name}` is a parameter and a `let`");
            let finding = Finding::stop(Code::DuplicateKey, message)
                .from(r.source(key))
                .related(taken.source.clone(), "the parameter")
                .help("give one of the two another name");
            r.say(finding);
        }
        if let Some(formula) = r.formula(value, name).filter(|_| fine) {
            read.push(((*name).to_owned(), formula));
        }
    }
    // In a circle the order does not matter, for the recipe is refused.
    r.keep(sorted_lets(read)).unwrap_or_default()
}

/// Every formula uses known names, every letter a text parameter.
pub(super) fn check_names(r: &Reader, parameters: &[Parameter]) {
    let texts: Vec<&str> = parameters
        .iter()
        .filter(|p| matches!(p.kind, ParameterKind::Text { .. }))
        .map(|p| p.name.as_str())
        .collect();
    let names = r.names.take();
    let known: Vec<&str> =
        names.iter().map(String::as_str).filter(|name| !texts.contains(name)).collect();
    for formula in &r.formulas.take() {
        for name in formula.names() {
            if !known.contains(&name.as_str()) {
                r.say(formula.unknown(&name, known.iter().copied()));
            }
        }
    }
    for (name, place) in r.letters.take() {
        if texts.contains(&name.as_str()) {
            continue;
        }
        let message = format!("no text parameter is called `{name}`");
        let finding = Finding::stop(Code::UnknownName, message).from(place);
        r.say(match nearest(&name, texts.iter().copied()) {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding.help(format!(
                "add `{name}: {{default: A, from_name: true}}` under `parameters:`"
            )),
        });
    }
}
