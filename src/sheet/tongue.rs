//! The words of the proof in each language, from `shapes/words`.

use super::figures::{length, sentence};
use crate::dish::Dish;
use crate::finding::Code;
use crate::model::{Locale, Manner, Shop, SizeUnit};
use crate::units::{DisplayUnit, Mm, trimmed};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Everything the proof says in one language.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Words {
    decimal: String,
    units: BTreeMap<String, String>,
    pub(super) quoted: String,
    pub(super) window: String,
    pub(super) window_named: String,
    pub(super) check: String,
    pub(super) dish: String,
    pub(super) plain: String,
    pub(super) promise: Promise,
    pub(super) not_yet: NotYet,
    pub(super) true_size: String,
    pub(super) cut: String,
    pub(super) deep: String,
    pub(super) scale: String,
    pub(super) note: String,
    pub(super) sizes: Sizes,
    pub(super) order: Ordered,
    pub(super) care: Care,
    pub(super) approval: Approval,
    pub(super) notice: String,
    pub(super) ruler: String,
    pub(super) turning: OnScreen,
    pub(super) foot: Foot,
    reasons: Vec<Reason>,
    otherwise: String,
    woods: BTreeMap<String, String>,
    titles: BTreeMap<String, String>,
    parameters: BTreeMap<String, String>,
}

/// What the customer gets, in a sentence.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Promise {
    pub(super) one: String,
    pub(super) one_named: String,
    pub(super) more: String,
    pub(super) more_named: String,
}

/// A dish that cannot be made as drawn.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct NotYet {
    pub(super) head: String,
    pub(super) after: String,
}

/// Labels of sizes.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Sizes {
    pub(super) head: String,
    pub(super) width: String,
    pub(super) height: String,
    pub(super) thickness: String,
    pub(super) hollow: String,
    pub(super) wood: String,
    pub(super) edge: String,
    pub(super) round: String,
}

/// Labels of what was ordered.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Ordered {
    pub(super) quantity: String,
    pub(super) further: String,
}

/// How to look after a dish.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Care {
    pub(super) head: String,
    pub(super) texts: Vec<String>,
}

/// Where to say yes or ask for a change.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Approval {
    pub(super) head: String,
    pub(super) again: String,
    pub(super) how: String,
    pub(super) agree: String,
    pub(super) change: String,
    pub(super) wait: String,
    pub(super) wish: String,
    pub(super) by: String,
    pub(super) to: String,
    pub(super) by_to: String,
    pub(super) allergies: String,
    pub(super) name: String,
    pub(super) signature: String,
    pub(super) date: String,
}

/// What stands beside a dish that is turned on a screen.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OnScreen {
    pub(super) described: String,
    pub(super) carved: String,
    pub(super) hint: String,
    pub(super) told: String,
    pub(super) notice: String,
}

/// Labels of the title block.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Foot {
    pub(super) order: String,
    pub(super) name: String,
    pub(super) dish: String,
    pub(super) wood: String,
    pub(super) quantity: String,
    pub(super) date: String,
    pub(super) scale: String,
    pub(super) version: String,
    pub(super) sheet: String,
    pub(super) page: String,
}

/// Why a dish cannot be made as drawn, for somebody who has never seen a router.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Reason {
    codes: Vec<String>,
    words: String,
}

impl Words {
    /// Those of a language, read when first asked for.
    pub(super) fn of(locale: Locale) -> &'static Self {
        static READ: [OnceLock<Words>; Locale::ALL.len()] =
            [const { OnceLock::new() }; Locale::ALL.len()];
        // A test holds every file to be readable.
        READ[locale as usize]
            .get_or_init(|| serde_yaml::from_str(text(locale)).unwrap_or_default())
    }

    /// Why a finding stands in the way.
    pub(super) fn reason(&self, code: Code) -> &str {
        let known = |reason: &&Reason| reason.codes.iter().any(|it| it == code.word());
        self.reasons.iter().find(known).map_or(&self.otherwise, |reason| &reason.words)
    }

    /// A wood as customers call it.
    pub(super) fn wood<'a>(&'a self, name: &'a str) -> &'a str {
        self.woods.get(&name.to_lowercase()).map_or(name, String::as_str)
    }

    /// A dish as customers call it.
    pub(super) fn title<'a>(&'a self, title: &'a str) -> &'a str {
        self.titles.get(title).map_or(title, String::as_str)
    }

    /// What a parameter of a recipe is called.
    pub(super) fn parameter(&self, name: &str) -> String {
        self.parameters.get(name).cloned().unwrap_or_else(|| name.replace('_', " "))
    }

    /// A length for the customer.
    pub(super) fn length(&self, mm: f64, unit: SizeUnit) -> String {
        let number = match unit {
            SizeUnit::Mm => length(mm, DisplayUnit::Mm),
            SizeUnit::Inch => length(mm, DisplayUnit::Inch),
            SizeUnit::Cm => trimmed((mm * 10.0).round() / 100.0),
        };
        let number = number.trim_end_matches(|c: char| c.is_alphabetic() || c == ' ');
        let word = self.units.get(unit.word()).map_or("", String::as_str);
        format!("{} {word}", self.figure(number))
    }

    /// A value as a recipe shows it: lengths in the customer's unit, numbers as written here.
    pub(super) fn value(&self, value: &str, unit: SizeUnit) -> String {
        let length = value.strip_suffix(" mm").and_then(|_| Mm::parse(value).ok());
        match length {
            Some(mm) => self.length(mm.get(), unit),
            None if value.parse::<f64>().is_ok() => self.figure(value),
            None => value.to_owned(),
        }
    }

    fn figure(&self, number: &str) -> String {
        number.replace('.', &self.decimal)
    }
}

/// The file of a language.
fn text(locale: Locale) -> &'static str {
    match locale {
        Locale::English => include_str!("../../shapes/words/en.yaml"),
        Locale::German => include_str!("../../shapes/words/de.yaml"),
        Locale::Spanish => include_str!("../../shapes/words/es.yaml"),
    }
}

/// A language and what sizes are told in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tongue {
    pub(super) locale: Locale,
    pub(super) words: &'static Words,
    unit: SizeUnit,
}

impl Tongue {
    /// As an order asks for it, else as the shop does.
    pub(super) fn of(order: Manner, shop: &Shop) -> Self {
        let Manner { locale, unit } = order.or(shop.manner);
        let locale = locale.unwrap_or_default();
        let unit = unit.unwrap_or(shop.house.unit.into());
        Self { locale, words: Words::of(locale), unit }
    }

    pub(super) fn length(self, mm: f64) -> String {
        self.words.length(mm, self.unit)
    }

    pub(super) fn value(self, value: &str) -> String {
        self.words.value(value, self.unit)
    }

    /// What the customer is told of a dish.
    pub(super) fn told(self, dish: &Dish) -> Told<'_> {
        let words = self.words;
        let title = words.title(&dish.title);
        let (width, height) = dish.size();
        let lengths = [width, height, dish.wood.thickness.get()];
        Told {
            dish,
            words,
            heading: if dish.person.is_empty() { title } else { &dish.person },
            title,
            wood: words.wood(&dish.wood.name),
            count: dish.quantity.to_string(),
            lengths: lengths.map(|mm| self.length(mm)),
        }
    }
}

/// A dish as its customer is told of it.
#[derive(Clone, Debug)]
pub(super) struct Told<'a> {
    dish: &'a Dish,
    words: &'static Words,
    /// Who it is for, else what it is.
    pub(super) heading: &'a str,
    title: &'a str,
    wood: &'a str,
    count: String,
    /// Width, height, thickness.
    lengths: [String; 3],
}

impl Told<'_> {
    /// What it is and of which wood.
    pub(super) fn what(&self) -> String {
        let nameless = self.dish.person.is_empty();
        let text = if nameless { &self.words.plain } else { &self.words.dish };
        sentence(&self.filled(text))
    }

    /// A text with this dish's words and sizes in its braces.
    pub(super) fn filled(&self, text: &str) -> String {
        let [width, height, thickness] = &self.lengths;
        let values = [
            ("dish", self.title),
            ("wood", self.wood),
            ("name", &self.dish.person),
            ("count", &self.count),
            ("width", width),
            ("height", height),
            ("thickness", thickness),
        ];
        filled(text, &values)
    }
}

/// A text with what belongs in its braces; what is put in is not looked at again.
pub(super) fn filled(text: &str, values: &[(&str, &str)]) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let Some((key, after)) = after.split_once('}') else { break };
        let value = values.iter().find(|(known, _)| *known == key);
        out.push_str(value.map_or("", |(_, value)| value));
        rest = after;
    }
    out.push_str(rest);
    out
}
