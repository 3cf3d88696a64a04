//! A recipe's parameters with what an order sets, and the values derived from them.

use crate::finding::{Checked, Code, Finding, RemedyKind, nearest};
use crate::model::{Names, Parameter, ParameterKind, Recipe, Setting, SettingValue};
use crate::units::{Mm, trimmed};
use std::collections::{BTreeMap, BTreeSet};

/// Longest text of a parameter, in characters.
const LONGEST_TEXT: usize = 40;

/// The values in scope while drawing.
#[derive(Clone, Debug, Default)]
pub(super) struct Values {
    /// Numbers of parameters and `let`.
    pub(super) names: Names,
    /// Texts of parameters.
    pub(super) texts: BTreeMap<String, String>,
    /// Parameters as shown to people, in the recipe's order.
    pub(super) shown: Vec<(String, String)>,
    /// The parameters each `let` comes from.
    pub(super) roots: BTreeMap<String, BTreeSet<String>>,
}

impl Values {
    /// The parameters that names come from, through every `let` between.
    fn roots_of(&self, names: &[String]) -> BTreeSet<String> {
        let root = |name: &String| {
            let own = || BTreeSet::from([name.clone()]);
            self.roots.get(name).cloned().unwrap_or_else(own)
        };
        names.iter().flat_map(root).collect()
    }

    /// The parameters that names come from, with their values; nothing where there are none.
    pub(super) fn told(&self, names: &BTreeSet<String>) -> Option<String> {
        let names: Vec<String> = names.iter().cloned().collect();
        let roots = self.roots_of(&names);
        let shown = self.shown.iter().filter(|(name, _)| roots.contains(name));
        let told: Vec<String> =
            shown.map(|(name, value)| format!("`{name}` ({value})")).collect();
        match told.as_slice() {
            [] => None,
            [one] => Some(format!("the numbers here come from {one}")),
            [most @ .., last] => {
                Some(format!("the numbers here come from {} and {last}", most.join(", ")))
            }
        }
    }
}

/// Settles every parameter and every `let`; a finding for each that cannot be.
pub(super) fn values(
    recipe: &Recipe,
    settings: &[Setting],
    person: &str,
) -> Checked<Values> {
    let mut found = Values::default();
    let mut findings = unknown(recipe, settings);
    for parameter in &recipe.parameters {
        let setting = settings.iter().rev().find(|s| s.name == parameter.name);
        let settled = match &parameter.kind {
            ParameterKind::Number { default, min, max, length } => {
                let range = Range { default: *default, min: *min, max: *max };
                number(parameter, setting, &range).map(|value| {
                    found.names.insert(parameter.name.clone(), value);
                    shown(value, *length)
                })
            }
            ParameterKind::Text { default, from_name } => {
                let default =
                    initial(person).filter(|_| *from_name).unwrap_or(default.clone());
                text(setting, default).inspect(|value| {
                    found.texts.insert(parameter.name.clone(), value.clone());
                })
            }
        };
        match settled {
            Ok(text) => found.shown.push((parameter.name.clone(), text)),
            Err(finding) => findings.push(*finding),
        }
    }
    if findings.is_empty() {
        findings = lets(recipe, &mut found);
    }
    Checked::unless_stopped(Some(found), findings)
}

/// What an order sets that the recipe does not have.
fn unknown(recipe: &Recipe, settings: &[Setting]) -> Vec<Finding> {
    let names = || recipe.parameters.iter().map(|parameter| parameter.name.as_str());
    let known = |setting: &&Setting| !names().any(|name| name == setting.name);
    let say = |setting: &Setting| {
        let list = names().collect::<Vec<_>>().join("`, `");
        let help = match nearest(&setting.name, names()) {
            Some(name) => format!("write `{name}` instead"),
            None => "remove it, or add the parameter to the recipe".to_owned(),
        };
        let message =
            format!("the recipe `{}` has no parameter `{}`", recipe.key, setting.name);
        let expected = if list.is_empty() {
            "no parameter: this recipe has none".to_owned()
        } else {
            format!("one of `{list}`")
        };
        Finding::stop(Code::UnknownParameter, message)
            .from(setting.source.clone())
            .expected(expected)
            .help(help)
    };
    settings.iter().filter(known).map(say).collect()
}

/// The numbers a parameter takes.
struct Range {
    default: f64,
    min: f64,
    max: f64,
}

fn number(
    parameter: &Parameter,
    setting: Option<&Setting>,
    range: &Range,
) -> Result<f64, Box<Finding>> {
    let (value, source) = match setting {
        None => (range.default, &parameter.source),
        Some(Setting { value: SettingValue::Number(value), source, .. }) => {
            (*value, source)
        }
        Some(Setting { value: SettingValue::Text(text), source, .. }) => {
            let message = format!("`{}` is a text, `{text}`", parameter.name);
            return Err(Box::new(
                Finding::stop(Code::WrongType, message)
                    .from(source.clone())
                    .expected(format!(
                        "a number from {} to {}",
                        trimmed(range.min),
                        trimmed(range.max)
                    ))
                    .help("write a number"),
            ));
        }
    };
    let name = &parameter.name;
    let (low, high) = (trimmed(range.min), trimmed(range.max));
    let expected = format!("{low} to {high}");
    if !value.is_finite() {
        let message = format!("`{name}` is not a finite number");
        return Err(Box::new(
            Finding::stop(Code::BadNumber, message)
                .from(source.clone())
                .expected(expected)
                .help("write a finite number"),
        ));
    }
    if (range.min..=range.max).contains(&value) {
        return Ok(value);
    }
    let bound = if value < range.min { range.min } else { range.max };
    let message = format!("`{name}` is {}, outside {low} to {high}", trimmed(value));
    let help = format!("set `{name}` to {}", trimmed(bound));
    let finding = Finding::stop(Code::OutOfRange, message)
        .from(source.clone())
        .have_need(value, bound)
        .expected(expected)
        .remedy(RemedyKind::Parameter, help, Some(bound));
    Err(Box::new(match setting {
        Some(_) => finding.related(parameter.source.clone(), "its range is stated here"),
        None => finding,
    }))
}

fn text(setting: Option<&Setting>, default: String) -> Result<String, Box<Finding>> {
    let Some(setting) = setting else { return Ok(default) };
    let text = match &setting.value {
        SettingValue::Text(text) => text.trim().to_owned(),
        SettingValue::Number(number) => trimmed(*number),
    };
    let length = text.chars().count();
    if (1..=LONGEST_TEXT).contains(&length) {
        return Ok(text);
    }
    let message = format!("`{}` has {length} characters", setting.name);
    Err(Box::new(
        Finding::stop(Code::BadNumber, message)
            .from(setting.source.clone())
            .expected(format!("1 to {LONGEST_TEXT} characters"))
            .help("write a shorter text; the middle of a dish takes a letter or two"),
    ))
}

/// The first letter of a name as a capital, with the marks written after it.
fn initial(person: &str) -> Option<String> {
    let mut rest = person.chars().skip_while(|c| !c.is_alphanumeric());
    let first = rest.next()?;
    let marks = rest.take_while(|c| ('\u{300}'..='\u{36f}').contains(c));
    Some(first.to_uppercase().chain(marks).collect())
}

fn shown(value: f64, length: bool) -> String {
    match Mm::new(value).filter(|_| length) {
        Some(mm) => mm.to_string(),
        None => trimmed(value),
    }
}

/// Adds the `let` values; they come in an order in which each uses only earlier ones.
fn lets(recipe: &Recipe, found: &mut Values) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (name, formula) in &recipe.lets {
        match formula.value(&found.names) {
            Ok(value) => {
                let roots = found.roots_of(&formula.names());
                found.roots.insert(name.clone(), roots);
                found.names.insert(name.clone(), value);
            }
            Err(finding) => {
                findings.push(*finding);
                break;
            }
        }
    }
    findings
}
