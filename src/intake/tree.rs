//! YAML to a tree in which every node knows its place.

use crate::finding::{Code, Finding, Source, SourceFile};
use serde::Deserialize;
use serde::de::{Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use serde_yaml::options::{DuplicateKeyPolicy, NonFiniteFloatPolicy};
use serde_yaml::{Location, Spanned};
use std::fmt;
use std::sync::Arc;

/// Deepest nesting of lists and maps.
const DEEPEST: usize = 48;
/// Most nodes, aliases counted as often as they are used.
const NODES: usize = 60_000;

/// A YAML value with its place.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub(super) value: Value,
    pub(super) place: Place,
}

/// Line and column from 1, length in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) line: u32,
    pub(super) column: u32,
    pub(super) length: u32,
}

/// What a node holds. Scalars keep their text as written.
#[derive(Clone, Debug)]
pub(super) enum Value {
    Null,
    /// The text is what stands in the file.
    Number(f64, String),
    /// A boolean or a text; `bare` booleans keep their word.
    Text(String),
    Bool(bool, String),
    List(Vec<Node>),
    Map(Vec<(Node, Node)>),
}

impl Value {
    /// The items of a list.
    pub(super) fn items(&self) -> Option<&[Node]> {
        if let Self::List(items) = self { Some(items) } else { None }
    }

    /// A number.
    pub(super) fn number(&self) -> Option<f64> {
        if let Self::Number(value, _) = self { Some(*value) } else { None }
    }

    /// In words, for messages.
    pub(super) fn kind(&self) -> &'static str {
        match self {
            Self::Null => "empty",
            Self::Number(..) => "a number",
            Self::Text(_) => "a text",
            Self::Bool(..) => "true or false",
            Self::List(_) => "a list",
            Self::Map(_) => "a map",
        }
    }
}

impl Node {
    pub(super) fn source(&self, file: &Arc<SourceFile>) -> Source {
        let Place { line, column, length } = self.place;
        Source { file: Arc::clone(file), line, column, length }
    }
}

/// Reads one YAML document.
pub(super) fn read(file: &Arc<SourceFile>) -> Result<Node, Box<Finding>> {
    let result: Result<Spanned<Bare>, _> =
        serde_yaml::from_str_with_options(&file.text, options());
    match result {
        Ok(root) => {
            let mut budget = NODES;
            placed(root, &file.text, &mut budget)
                .ok_or_else(|| Box::new(too_large(Source::whole(file))))
        }
        Err(error) => Err(Box::new(refusal(&error, file))),
    }
}

fn options() -> serde_yaml::Options {
    serde_yaml::options! {
        budget: serde_yaml::budget! {
            max_depth: DEEPEST,
            max_nodes: NODES,
            max_aliases: 1000,
            max_anchors: 1000,
            max_documents: 2,
            flow_nesting_limit: 200,
        },
        alias_limits: serde_yaml::alias_limits! {
            max_total_replayed_events: NODES,
        },
        duplicate_keys: DuplicateKeyPolicy::PassThrough,
        strict_booleans: true,
        with_snippet: false,
        non_finite_float_policy: NonFiniteFloatPolicy::AsString,
    }
}

/// A value as the YAML crate hands it over, children with their spans.
enum Bare {
    Null,
    Bool(bool),
    Number(f64),
    Text(String),
    List(Vec<Spanned<Bare>>),
    Map(Vec<(Spanned<Bare>, Spanned<Bare>)>),
}

impl<'de> Deserialize<'de> for Bare {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(BareVisitor)
    }
}

struct BareVisitor;

impl<'de> Visitor<'de> for BareVisitor {
    type Value = Bare;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any YAML value")
    }

    fn visit_unit<E>(self) -> Result<Bare, E> {
        Ok(Bare::Null)
    }

    fn visit_none<E>(self) -> Result<Bare, E> {
        Ok(Bare::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Bare, E> {
        Ok(Bare::Bool(value))
    }

    fn visit_i64<E: serde::de::Error>(self, value: i64) -> Result<Bare, E> {
        value.to_string().parse().map(Bare::Number).map_err(E::custom)
    }

    fn visit_u64<E: serde::de::Error>(self, value: u64) -> Result<Bare, E> {
        value.to_string().parse().map(Bare::Number).map_err(E::custom)
    }

    fn visit_f64<E>(self, value: f64) -> Result<Bare, E> {
        Ok(Bare::Number(value))
    }

    fn visit_str<E>(self, value: &str) -> Result<Bare, E> {
        Ok(Bare::Text(value.to_owned()))
    }

    fn visit_string<E>(self, value: String) -> Result<Bare, E> {
        Ok(Bare::Text(value))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Bare, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = seq.next_element()? {
            list.push(item);
            if list.len() > NODES {
                return Err(A::Error::custom("too many items"));
            }
        }
        Ok(Bare::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Bare, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(Bare::Map(entries))
    }
}

/// The node with its place; `None` once the budget is used up.
fn placed(bare: Spanned<Bare>, text: &str, budget: &mut usize) -> Option<Node> {
    *budget = budget.checked_sub(1)?;
    let place = place(bare.referenced);
    let written = |fallback: String| {
        let span = bare.defined.span();
        let start = span.byte_offset().and_then(|at| usize::try_from(at).ok());
        let length = span.byte_len().and_then(|len| usize::try_from(len).ok());
        start
            .zip(length)
            .and_then(|(start, length)| text.get(start..start.checked_add(length)?))
            .map_or(fallback, |raw| raw.trim().to_owned())
    };
    let value = match bare.value {
        Bare::Null => Value::Null,
        Bare::Bool(value) => Value::Bool(value, written(value.to_string())),
        Bare::Number(value) => Value::Number(value, written(value.to_string())),
        Bare::Text(value) => Value::Text(value),
        Bare::List(items) => Value::List(
            items
                .into_iter()
                .map(|item| placed(item, text, budget))
                .collect::<Option<_>>()?,
        ),
        Bare::Map(entries) => Value::Map(
            entries
                .into_iter()
                .map(|(key, value)| {
                    Some((placed(key, text, budget)?, placed(value, text, budget)?))
                })
                .collect::<Option<_>>()?,
        ),
    };
    Some(Node { value, place })
}

fn place(location: Location) -> Place {
    let small = |value: u64| u32::try_from(value).unwrap_or(u32::MAX);
    Place {
        line: small(location.line()),
        column: small(location.column()),
        length: small(location.span().len()).max(1),
    }
}

fn too_large(place: Source) -> Finding {
    Finding::stop(
        Code::InputTooLarge,
        "the file is larger or deeper than one written by hand",
    )
    .from(place)
    .expected(format!("at most {DEEPEST} levels and {NODES} values, aliases unfolded"))
    .help("check that this is the file you meant, and what its aliases unfold to")
}

/// What is wrong with the YAML, and how to mend it.
fn syntax(error: &serde_yaml::Error) -> (String, &'static str) {
    use serde_yaml::Error as E;
    if matches!(error, E::MultipleDocuments { .. }) {
        let message = "a second document starts here".to_owned();
        return (message, "keep one of the two and remove the line `---`");
    }
    if matches!(error, E::RecursiveReferencesRequireWeakTypes { .. }) {
        return ("an alias inside what it stands for".to_owned(), "write the value out");
    }
    let whole = error.to_string();
    let first = whole.lines().next().unwrap_or_default();
    let message = first.split(" at line ").next().unwrap_or_default().trim();
    (
        message.to_owned(),
        "check indentation, quotes and brackets at this line and just before it; put a text \
         with `: `, `#` or a leading `*`, `&`, `[` or `{` in quotes",
    )
}

/// The YAML crate's error as a finding.
fn refusal(error: &serde_yaml::Error, file: &Arc<SourceFile>) -> Finding {
    use serde_yaml::Error as E;
    let location = error.location();
    let source = location.map_or_else(
        || Source::whole(file),
        |location| {
            let Place { line, column, .. } = place(location);
            Source { file: Arc::clone(file), line, column, length: 1 }
        },
    );
    let inner =
        if let E::AliasError { error, .. } = error { error.as_ref() } else { error };
    if matches!(
        inner,
        E::Budget { .. }
            | E::AliasReplayCounterOverflow { .. }
            | E::AliasReplayLimitExceeded { .. }
            | E::AliasExpansionLimitExceeded { .. }
            | E::AliasReplayStackDepthExceeded { .. }
    ) {
        return too_large(source);
    }
    let (message, help) = syntax(inner);
    Finding::stop(Code::YamlSyntax, format!("not valid YAML: {message}"))
        .from(source)
        .expected("YAML 1.2")
        .help(help)
}
