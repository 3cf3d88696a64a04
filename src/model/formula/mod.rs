//! Arithmetic over a recipe's names. Degrees in trigonometry, millimetres for lengths.
//!
//! `+ - * /` run left to right with the usual precedence; `^` binds tightest and to the
//! right; a sign binds looser than `^`, so `-2^2` is -4 as on paper. A number may carry a
//! unit: `length * 0.08 + 3 mm`.

mod grammar;
mod operators;

use crate::finding::{Code, Finding, Source, nearest};
use crate::units::Mm;
use exmex::Express;
use operators::Compiled;
use std::collections::BTreeMap;
use std::sync::Arc;

pub use operators::reserved;

/// Values in scope, by name.
pub type Names = BTreeMap<String, f64>;

/// A number or an arithmetic expression, parsed once. Cheap to clone.
#[derive(Clone, Debug)]
pub struct Formula(Arc<Parts>);

#[derive(Debug)]
struct Parts {
    text: String,
    source: Source,
    body: Body,
}

#[derive(Debug)]
enum Body {
    Constant(f64),
    /// The names are sorted, as the compiled form wants them.
    Compiled(Box<Compiled>, Vec<String>),
}

impl Formula {
    /// Reads a number, a length with a unit, or arithmetic over names.
    pub fn parse(text: &str, source: Source) -> Result<Self, Box<Finding>> {
        if let Ok(length) = Mm::parse(text) {
            let body = Body::Constant(length.get());
            return Ok(Self::new(text.trim(), source, body));
        }
        let parsed =
            grammar::read(text).map_err(|fault| Box::new(fault.finding(&source)))?;
        let compiled = Compiled::parse(&parsed.canonical)
            .map_err(|error| Box::new(syntax(&error.to_string(), &source)))?;
        let names = compiled.var_names().to_vec();
        let body = Body::Compiled(Box::new(compiled), names);
        Ok(Self::new(text.trim(), source, body))
    }

    /// A fixed number.
    pub fn constant(value: f64, source: Source) -> Self {
        Self::new(&value.to_string(), source, Body::Constant(value))
    }

    fn new(text: &str, source: Source, body: Body) -> Self {
        Self(Arc::new(Parts { text: text.to_owned(), source, body }))
    }

    /// The names it uses, sorted.
    pub fn names(&self) -> Vec<String> {
        match &self.0.body {
            Body::Constant(_) => Vec::new(),
            Body::Compiled(_, names) => names.clone(),
        }
    }

    /// As written.
    pub fn text(&self) -> &str {
        &self.0.text
    }

    /// Where it is written.
    pub fn source(&self) -> &Source {
        &self.0.source
    }

    /// Its value; a finding for an unknown name, NaN or infinity.
    pub fn value(&self, names: &Names) -> Result<f64, Box<Finding>> {
        let value = match &self.0.body {
            Body::Constant(value) => *value,
            Body::Compiled(compiled, used) => {
                let values = used
                    .iter()
                    .map(|name| {
                        names.get(name).copied().ok_or_else(|| {
                            Box::new(self.unknown(name, names.keys().map(String::as_str)))
                        })
                    })
                    .collect::<Result<Vec<_>, _>>()?;
                compiled.eval(&values).unwrap_or(f64::NAN)
            }
        };
        if value.is_finite() { Ok(value) } else { Err(Box::new(self.not_finite(value))) }
    }

    /// The finding for a name it uses that is not among the known ones.
    pub fn unknown<'a>(
        &self,
        name: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) -> Finding {
        let known: Vec<&str> = known.into_iter().collect();
        let near = nearest(name, known.iter().copied());
        let finding = Finding::stop(
            Code::UnknownName,
            format!("unknown name `{name}` in a formula"),
        )
        .from(self.place_of(name))
        .expected(if known.is_empty() {
            "a number: this recipe has no parameters".to_owned()
        } else {
            format!("a parameter or `let`: {}", quoted(&known))
        });
        match near {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding.help(format!("add `{name}` under `parameters:` or `let:`")),
        }
    }

    /// The place of a name in the formula, where the text stands in the file as it is.
    fn place_of(&self, name: &str) -> Source {
        let mut source = self.0.source.clone();
        let column = source.column.saturating_sub(1) as usize;
        let Some(line) = self.0.source.line_text() else { return source };
        let rest: String = line.chars().skip(column).collect();
        if let Some(at) = whole_word(&rest, name)
            && at < source.length as usize
        {
            source.column += u32::try_from(at).unwrap_or(0);
            source.length = u32::try_from(name.chars().count()).unwrap_or(1);
        }
        source
    }

    fn not_finite(&self, value: f64) -> Finding {
        let what = if value.is_nan() { "not a number" } else { "infinite" };
        Finding::stop(
            Code::FormulaValue,
            format!("the formula `{}` gives {what}", self.0.text),
        )
        .from(self.0.source.clone())
        .expected("a finite number")
        .help(
            "look for a division by zero, a root of a negative number or an \
                   inverse sine beyond 1",
        )
    }
}

fn syntax(message: &str, source: &Source) -> Finding {
    Finding::stop(Code::FormulaSyntax, format!("the formula cannot be read: {message}"))
        .from(source.clone())
}

/// Words in backquotes with commas between.
fn quoted(words: &[&str]) -> String {
    let words: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    words.join(", ")
}

/// The offset in characters of a name that is not part of a longer one.
fn whole_word(text: &str, name: &str) -> Option<usize> {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    text.match_indices(name).find_map(|(at, _)| {
        let before = text.get(..at)?;
        let after = text.get(at + name.len()..)?;
        let alone = !before.ends_with(part) && !after.starts_with(part);
        alone.then(|| before.chars().count())
    })
}
