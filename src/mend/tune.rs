//! For each parameter the nearest value at which a cutter follows.

use super::{Case, follows};
use crate::dish::{Dish, assemble};
use crate::finding::{Finding, Severity, worst};
use crate::model::{Cutter, ParameterKind, Setting, SettingValue};
use crate::shape::build;

/// Values looked at across a parameter's range.
const VALUES: u32 = 24;

/// How well a value is known, as a share of its range.
const SHARE: f64 = 1e-3;

/// What changing one parameter alone can do.
#[derive(Clone, Debug, PartialEq)]
pub struct Tuned {
    /// The parameter.
    pub name: String,
    /// It is a length in mm.
    pub length: bool,
    /// Its value now.
    pub present: f64,
    /// Least allowed value.
    pub min: f64,
    /// Greatest allowed value.
    pub max: f64,
    /// The value nearest to the present one at which the dish can be drawn and the cutter
    /// follows; `None` where none of those looked at does.
    pub value: Option<f64>,
}

/// Looks for such a value of every number of the recipe: at 24 values across its range, from
/// the present one outward, then between the first that does and the one before it, to a
/// thousandth of the range. The value given was drawn and found to be followed.
pub fn tune(case: &Case<'_>, cutter: &Cutter) -> Vec<Tuned> {
    let mut all = Vec::new();
    for parameter in &case.recipe.parameters {
        let ParameterKind::Number { default, min, max, length } = parameter.kind else {
            continue;
        };
        let search = Search { case, cutter, name: &parameter.name };
        let present = search.present().unwrap_or(default);
        all.push(Tuned {
            name: parameter.name.clone(),
            length,
            present,
            min,
            max,
            value: search.nearest(present, (min, max)),
        });
    }
    all
}

/// One parameter looked at.
struct Search<'a> {
    case: &'a Case<'a>,
    cutter: &'a Cutter,
    name: &'a str,
}

impl Search<'_> {
    /// What the order sets.
    fn present(&self) -> Option<f64> {
        let set = self.case.order.set.iter().rev().find(|set| set.name == self.name)?;
        match set.value {
            SettingValue::Number(value) => Some(value),
            SettingValue::Text(_) => None,
        }
    }

    fn nearest(&self, present: f64, (min, max): (f64, f64)) -> Option<f64> {
        let range = max - min;
        if range <= 0.0 {
            return None;
        }
        let step = range / f64::from(VALUES);
        let mut last = [present, present];
        for count in 1..=VALUES {
            let away = f64::from(count) * step;
            let mut found: Option<f64> = None;
            for (side, before) in [1.0, -1.0].into_iter().zip(&mut last) {
                let value = (present + side * away).clamp(min, max);
                if (value - *before).abs() < step * 1e-9 {
                    continue;
                }
                if self.does(value) {
                    let value = self.between(*before, value, range);
                    let nearer =
                        |other: f64| (value - present).abs() < (other - present).abs();
                    if found.is_none_or(nearer) {
                        found = Some(value);
                    }
                }
                *before = value;
            }
            if found.is_some() {
                return found;
            }
        }
        None
    }

    /// The value nearest to `bad` that does, known that `good` does; rounded away from `bad`
    /// where that does too.
    fn between(&self, bad: f64, good: f64, range: f64) -> f64 {
        let (first, mut bad, mut good) = (good, bad, good);
        while (good - bad).abs() > SHARE * range {
            let middle = f64::midpoint(bad, good);
            if self.does(middle) { good = middle } else { bad = middle }
        }
        let step = 10.0_f64.powf((SHARE * range).log10().floor());
        let steps =
            if first > bad { (good / step).ceil() } else { (good / step).floor() };
        // A decimal number of few digits, not a multiple of an inexact step.
        let round = if step < 1.0 { steps / (1.0 / step).round() } else { steps * step };
        let further = (round - good) * (first - good) >= 0.0;
        let within = (round - bad).abs() <= (first - bad).abs();
        if further && within && self.does(round) { round } else { good }
    }

    /// The dish can be drawn with this value, without a stop, and the cutter follows.
    fn does(&self, value: f64) -> bool {
        self.drawn(value).is_some_and(|dish| follows(&dish, self.cutter))
    }

    fn drawn(&self, value: f64) -> Option<Dish> {
        let Case { recipe, order, shop, load } = *self.case;
        let mut order = order.clone();
        order.set.retain(|set| set.name != self.name);
        order.set.push(Setting {
            name: self.name.to_owned(),
            value: SettingValue::Number(value),
            source: order.source.clone(),
        });
        let form = kept(build(recipe, &order.set, &order.name, load))?;
        kept(assemble(&form, &order, shop))
    }
}

fn kept<T>(checked: crate::finding::Checked<T>) -> Option<T> {
    let stopped = |findings: &[Finding]| worst(findings) == Some(Severity::Stop);
    checked.value.filter(|_| !stopped(&checked.findings))
}
