//! Walking the tree: every reader gives what it could read and notes what it could not.

use super::tree::{Node, Value};
use crate::finding::{Code, Finding, Severity, Source, SourceFile, nearest};
use crate::model::{Formula, Words};
use std::cell::{Cell, RefCell};
use std::sync::Arc;

/// Findings kept of one file; the rest is counted in words.
const MOST: usize = 100;

/// One file being read, and what was found in it so far.
pub(super) struct Reader {
    pub(super) file: Arc<SourceFile>,
    findings: RefCell<Vec<Finding>>,
    words: RefCell<Words>,
    dropped: Cell<usize>,
    stops: Cell<usize>,
    /// Every formula read, for the check of its names.
    pub(super) formulas: RefCell<Vec<Formula>>,
    /// Names of parameters and `let`, also of those that could not be read.
    pub(super) names: RefCell<Vec<String>>,
    /// Text parameters that letters refer to, and where.
    pub(super) letters: RefCell<Vec<(String, Source)>>,
}

impl Reader {
    pub(super) fn new(label: &str, text: &str) -> Self {
        let file = SourceFile::new(label, text);
        Self {
            file,
            findings: RefCell::default(),
            words: RefCell::default(),
            dropped: Cell::new(0),
            stops: Cell::new(0),
            formulas: RefCell::default(),
            names: RefCell::default(),
            letters: RefCell::default(),
        }
    }

    /// What `read` reads, unless it is stopped by what it finds; the rest of the file goes on.
    pub(super) fn sound<T>(&self, read: impl FnOnce() -> Option<T>) -> Option<T> {
        let before = self.stops.get();
        read().filter(|_| self.stops.get() == before)
    }

    /// A word that may stand there often.
    pub(super) fn held(&self, word: &str) -> Arc<str> {
        self.words.borrow_mut().held(word)
    }

    /// Notes a finding.
    pub(super) fn say(&self, finding: Finding) {
        let stop = finding.severity == Severity::Stop;
        self.stops.set(self.stops.get() + usize::from(stop));
        let mut findings = self.findings.borrow_mut();
        if findings.len() < MOST {
            findings.push(finding);
        } else {
            self.dropped.set(self.dropped.get() + 1);
        }
    }

    /// The value, or `None` with the finding noted.
    pub(super) fn keep<T>(&self, result: Result<T, Box<Finding>>) -> Option<T> {
        result.map_err(|finding| self.say(*finding)).ok()
    }

    /// Everything found, in the order of the file.
    pub(super) fn finish(self) -> Vec<Finding> {
        let mut findings = self.findings.into_inner();
        findings.sort_by_key(|finding| {
            finding.source.as_ref().map_or((0, 0), |s| (s.line, s.column))
        });
        if self.dropped.get() > 0 {
            let message = format!("{} more findings are not shown", self.dropped.get());
            findings.push(
                Finding::stop(Code::InputTooLarge, message)
                    .from(Source::whole(&self.file))
                    .help("mend the ones above first"),
            );
        }
        findings
    }

    pub(super) fn source(&self, node: &Node) -> Source {
        node.source(&self.file)
    }

    /// Says that a node is not what its place takes.
    pub(super) fn wrong(&self, node: &Node, what: &str, expected: &str) {
        let message = format!("{what} cannot be {}", node.value.kind());
        let finding = Finding::stop(Code::WrongType, message)
            .from(self.source(node))
            .expected(expected);
        self.say(finding);
    }

    /// The items of a list.
    pub(super) fn list<'a>(&self, node: &'a Node, what: &str) -> Option<&'a [Node]> {
        let items = node.value.items();
        if items.is_none() {
            self.wrong(node, what, "a list");
        }
        items
    }

    /// A map that takes these keys and no others.
    pub(super) fn map<'a>(
        &'a self,
        node: &'a Node,
        what: &'a str,
        keys: &'a [&'a str],
    ) -> Option<Map<'a>> {
        let mut map = self.open_map(node, what)?;
        for (key, place, _) in &map.entries {
            if !keys.contains(key) {
                self.unknown_key(what, key, place, keys);
                map.meant.extend(nearest(key, keys.iter().copied()));
            }
        }
        Some(map)
    }

    /// A map whose keys are names of the author's own.
    pub(super) fn open_map<'a>(
        &'a self,
        node: &'a Node,
        what: &'a str,
    ) -> Option<Map<'a>> {
        let Value::Map(pairs) = &node.value else {
            self.wrong(node, what, "a map, written `key: value`");
            return None;
        };
        let mut entries: Vec<(&str, &Node, &Node)> = Vec::new();
        for (key, value) in pairs {
            let Some(word) = scalar(key) else {
                self.wrong(key, "a key", "a word");
                continue;
            };
            match entries.iter().find(|(known, ..)| *known == word) {
                Some((_, first, _)) => self.twice(word, key, first),
                None => entries.push((word, key, value)),
            }
        }
        Some(Map { reader: self, node, what, entries, meant: Vec::new() })
    }

    fn twice(&self, word: &str, key: &Node, first: &Node) {
        let finding = Finding::stop(
            Code::DuplicateKey,
            format!("the key `{word}` is written twice"),
        )
        .from(self.source(key))
        .related(self.source(first), "first here")
        .help("keep one of the two");
        self.say(finding);
    }

    pub(super) fn unknown_key(&self, what: &str, key: &str, place: &Node, keys: &[&str]) {
        let finding =
            Finding::stop(Code::UnknownKey, format!("unknown key `{key}` in {what}"))
                .from(self.source(place))
                .expected(one_of(keys));
        self.say(match nearest(key, keys.iter().copied()) {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding,
        });
    }

    /// One of a few words.
    pub(super) fn word<T: Copy>(
        &self,
        node: &Node,
        what: &str,
        words: &[(&str, T)],
    ) -> Option<T> {
        let written = self.text(node, what)?;
        self.among(&self.source(node), what, &written, words)
    }

    /// What one of some words stands for, wherever it is written.
    pub(super) fn among<T: Copy>(
        &self,
        place: &Source,
        what: &str,
        written: &str,
        words: &[(&str, T)],
    ) -> Option<T> {
        let lower = written.trim().to_lowercase();
        let found = words.iter().find(|(word, _)| *word == lower);
        if found.is_none() {
            let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            self.not_known(place, what, &lower, &known);
        }
        found.map(|(_, value)| *value)
    }

    pub(super) fn unknown_word(
        &self,
        node: &Node,
        what: &str,
        word: &str,
        known: &[&str],
    ) {
        self.not_known(&self.source(node), what, word, known);
    }

    fn not_known(&self, place: &Source, what: &str, word: &str, known: &[&str]) {
        let message = format!("`{word}` is not a word {what} takes");
        let finding = Finding::stop(Code::UnknownWord, message)
            .from(place.clone())
            .expected(one_of(known));
        self.say(match nearest(word, known.iter().copied()) {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding,
        });
    }

    /// A text; a number or boolean is taken as it is written, so `name: No` stays a name.
    pub(super) fn text(&self, node: &Node, what: &str) -> Option<String> {
        let text = scalar(node);
        if text.is_none() {
            self.wrong(node, what, "a text");
        }
        text.map(str::to_owned)
    }
}

/// The text of a scalar as written, `None` for lists, maps and nothing.
pub(super) fn scalar(node: &Node) -> Option<&str> {
    match &node.value {
        Value::Text(text) | Value::Number(_, text) | Value::Bool(_, text) => Some(text),
        Value::Null | Value::List(_) | Value::Map(_) => None,
    }
}

/// ``one of `a`, `b` ``.
pub(super) fn one_of(words: &[&str]) -> String {
    let words: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    match words.as_slice() {
        [only] => only.clone(),
        _ => format!("one of {}", words.join(", ")),
    }
}

/// A map being read.
pub(super) struct Map<'a> {
    pub(super) reader: &'a Reader,
    pub(super) node: &'a Node,
    pub(super) what: &'a str,
    /// Key, its node, and the value, in the order written.
    pub(super) entries: Vec<(&'a str, &'a Node, &'a Node)>,
    /// Keys that unknown ones were most likely meant to be.
    meant: Vec<&'a str>,
}

impl<'a> Map<'a> {
    /// The value of a key; `None` where it is not written or left empty.
    pub(super) fn optional(&self, key: &str) -> Option<&'a Node> {
        let (.., value) = self.entries.iter().find(|(known, ..)| *known == key)?;
        (!matches!(value.value, Value::Null)).then_some(*value)
    }

    /// The value of a key that must be there.
    pub(super) fn required(&self, key: &str) -> Option<&'a Node> {
        let found = self.optional(key);
        if found.is_none() && !self.meant.contains(&key) {
            let empty = self.key(key);
            let message = match empty {
                Some(_) => format!("`{key}` in {} has no value", self.what),
                None => format!("{} has no `{key}`", self.what),
            };
            let finding = Finding::stop(Code::MissingKey, message)
                .from(self.reader.source(empty.unwrap_or(self.node)))
                .help(format!("add `{key}: …`"));
            self.reader.say(finding);
        }
        found
    }

    /// The node of a key as written.
    pub(super) fn key(&self, key: &str) -> Option<&'a Node> {
        self.entries.iter().find(|(known, ..)| *known == key).map(|(_, node, _)| *node)
    }

    pub(super) fn source(&self) -> Source {
        self.reader.source(self.node)
    }
}
