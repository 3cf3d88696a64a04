//! Scalars and points: numbers, lengths, angles, formulas.

use super::reader::{Map, Reader, scalar};
use super::tree::{Node, Value};
use crate::finding::{Code, Finding, Source};
use crate::model::{Formula, Point};
use crate::units::{Deg, Mm, UnitFault};

impl Reader {
    /// The place of a text without its quotes.
    pub(super) fn inside(&self, node: &Node) -> Source {
        let mut source = self.source(node);
        let at = source.column.saturating_sub(1) as usize;
        let quote = source.line_text().and_then(|line| line.chars().nth(at));
        if matches!(quote, Some('"' | '\'')) && source.length > 2 {
            source.column += 1;
            source.length -= 2;
        }
        source
    }

    /// Arithmetic, kept for the check of its names.
    pub(super) fn formula(&self, node: &Node, key: &str) -> Option<Formula> {
        let formula = match &node.value {
            Value::Number(value, _) => Formula::constant(*value, self.source(node)),
            Value::Text(text) if non_finite(text) => {
                self.not_finite(node, key);
                return None;
            }
            Value::Text(text) => self.keep(Formula::parse(text, self.inside(node)))?,
            Value::Null | Value::Bool(..) | Value::List(_) | Value::Map(_) => {
                self.wrong(
                    node,
                    &format!("`{key}`"),
                    "a number, a length such as `6 mm`, or a formula",
                );
                return None;
            }
        };
        self.formulas.borrow_mut().push(formula.clone());
        Some(formula)
    }

    /// A length without a formula.
    pub(super) fn length(&self, node: &Node, key: &str) -> Option<Mm> {
        match &node.value {
            Value::Number(value, _) => Mm::new(*value),
            Value::Text(text) if non_finite(text) => {
                self.not_finite(node, key);
                None
            }
            Value::Text(text) => Mm::parse(text)
                .map_err(|fault| self.bad_unit(node, key, &fault, LENGTH))
                .ok(),
            Value::Null | Value::Bool(..) | Value::List(_) | Value::Map(_) => {
                self.wrong(node, &format!("`{key}`"), LENGTH);
                None
            }
        }
    }

    /// An angle without a formula.
    pub(super) fn angle(&self, node: &Node, key: &str) -> Option<Deg> {
        match &node.value {
            Value::Number(value, _) => Deg::new(*value),
            Value::Text(text) if non_finite(text) => {
                self.not_finite(node, key);
                None
            }
            Value::Text(text) => Deg::parse(text)
                .map_err(|fault| self.bad_unit(node, key, &fault, ANGLE))
                .ok(),
            Value::Null | Value::Bool(..) | Value::List(_) | Value::Map(_) => {
                self.wrong(node, &format!("`{key}`"), ANGLE);
                None
            }
        }
    }

    /// A plain number within a range.
    pub(super) fn number(&self, node: &Node, key: &str, range: [f64; 2]) -> Option<f64> {
        if let Some(value) = node.value.number() {
            return self.within(node, key, value, range);
        }
        match scalar(node) {
            Some(text) if non_finite(text) => self.not_finite(node, key),
            _ => self.wrong(node, &format!("`{key}`"), "a number"),
        }
        None
    }

    /// The value if it lies in the range.
    pub(super) fn within(
        &self,
        node: &Node,
        key: &str,
        value: f64,
        [least, most]: [f64; 2],
    ) -> Option<f64> {
        if value >= least && value <= most {
            return Some(value);
        }
        let message = format!("`{key}` is {value}");
        let expected = format!("from {least} to {most}");
        self.say(
            Finding::stop(Code::BadNumber, message)
                .from(self.source(node))
                .expected(expected),
        );
        None
    }

    /// A whole number within a range.
    pub(super) fn whole(&self, node: &Node, key: &str, range: [u32; 2]) -> Option<u32> {
        let value = self.number(node, key, range.map(f64::from))?;
        // A whole number prints without a point.
        let found = value.to_string().parse().ok();
        if found.is_none() {
            let message = format!("`{key}` is {value}");
            self.say(
                Finding::stop(Code::BadNumber, message)
                    .from(self.source(node))
                    .expected("a whole number"),
            );
        }
        found
    }

    /// `[x, y]`, or two of anything else.
    pub(super) fn point(&self, node: &Node, key: &str) -> Option<Point> {
        match node.value.items() {
            Some([x, y]) => {
                let (x, y) = (self.formula(x, key), self.formula(y, key));
                return Some(Point { x: x?, y: y? });
            }
            Some(items) => {
                let message = match items.len() {
                    1 => format!("`{key}` has a point with 1 number"),
                    count => format!("`{key}` has a point with {count} numbers"),
                };
                self.say(
                    Finding::stop(Code::WrongType, message)
                        .from(self.source(node))
                        .expected(PAIR),
                );
            }
            None => self.wrong(node, &format!("`{key}`"), PAIR),
        }
        None
    }

    /// A list of at least so many points.
    pub(super) fn points(
        &self,
        node: &Node,
        key: &str,
        least: usize,
    ) -> Option<Vec<Point>> {
        let items = self.list(node, &format!("`{key}`"))?;
        if items.len() < least {
            let message = format!("`{key}` has {} of {least} points", items.len());
            self.say(
                Finding::stop(Code::MissingKey, message)
                    .from(self.source(node))
                    .expected(format!("{least} or more points")),
            );
            return None;
        }
        let read: Vec<Option<Point>> =
            items.iter().map(|item| self.point(item, key)).collect();
        read.into_iter().collect()
    }

    fn not_finite(&self, node: &Node, key: &str) {
        self.say(
            Finding::stop(Code::BadNumber, format!("`{key}` is not a finite number"))
                .from(self.source(node))
                .expected("a finite number")
                .help("NaN and infinity cannot be carved: write the number you mean"),
        );
    }

    fn bad_unit(&self, node: &Node, key: &str, fault: &UnitFault, expected: &str) {
        let what = if expected == ANGLE { "an angle" } else { "a length" };
        let finding =
            Finding::stop(Code::BadUnit, format!("`{key}` is not {what}: {fault}"))
                .from(self.source(node))
                .expected(expected);
        self.say(match fault {
            UnitFault::FractionWithoutUnit => {
                finding.help("write the unit after it, e.g. `7/16 in`")
            }
            UnitFault::UnknownUnit(_) if expected == LENGTH => {
                finding.help("the units of length are mm, cm and in")
            }
            UnitFault::UnknownUnit(_) | UnitFault::NoNumber | UnitFault::NotFinite => {
                finding
            }
        });
    }
}

const PAIR: &str = "two numbers, written `[x, y]`";
const LENGTH: &str = "a length such as `6`, `6 mm` or `7/16 in`";
const ANGLE: &str = "an angle in degrees such as `30` or `30 deg`";

/// The spellings YAML has for NaN and infinity, and numbers beyond all range.
fn non_finite(text: &str) -> bool {
    let plain = text.trim().trim_start_matches(['+', '-']).to_lowercase();
    matches!(plain.as_str(), ".nan" | ".inf" | "nan" | "inf" | "infinity")
        || plain.parse::<f64>().is_ok_and(|value| !value.is_finite())
}

impl Map<'_> {
    /// A formula that must be there.
    pub(super) fn formula(&self, key: &str) -> Option<Formula> {
        self.required(key).and_then(|node| self.reader.formula(node, key))
    }

    /// A formula that may be left out.
    pub(super) fn maybe_formula(&self, key: &str) -> Option<Formula> {
        self.optional(key).and_then(|node| self.reader.formula(node, key))
    }

    /// A point that must be there.
    pub(super) fn point(&self, key: &str) -> Option<Point> {
        self.required(key).and_then(|node| self.reader.point(node, key))
    }

    /// A point that may be left out.
    pub(super) fn maybe_point(&self, key: &str) -> Option<Point> {
        self.optional(key).and_then(|node| self.reader.point(node, key))
    }

    /// A text that must be there.
    pub(super) fn text(&self, key: &str) -> Option<String> {
        self.required(key).and_then(|node| self.reader.text(node, &format!("`{key}`")))
    }

    /// A text that may be left out.
    pub(super) fn maybe_text(&self, key: &str) -> Option<String> {
        self.optional(key).and_then(|node| self.reader.text(node, &format!("`{key}`")))
    }

    /// A length that may be left out.
    pub(super) fn maybe_length(&self, key: &str) -> Option<Mm> {
        self.optional(key).and_then(|node| self.reader.length(node, key))
    }

    /// `true` or `false`, or the given one where it is left out.
    pub(super) fn flag(&self, key: &str, default: bool) -> bool {
        let Some(node) = self.optional(key) else { return default };
        if let Value::Bool(value, _) = &node.value {
            return *value;
        }
        self.reader.wrong(node, &format!("`{key}`"), "`true` or `false`");
        default
    }

    /// A list of texts, or one text alone.
    pub(super) fn texts(&self, key: &str) -> Vec<String> {
        let Some(node) = self.optional(key) else { return Vec::new() };
        let what = format!("`{key}`");
        let items = node.value.items().unwrap_or(std::slice::from_ref(node));
        items.iter().filter_map(|item| self.reader.text(item, &what)).collect()
    }
}
