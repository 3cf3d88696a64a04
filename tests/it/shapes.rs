//! The shapes of the library, whatever an order asks of them.

use crate::sets::{Random, flaw, recipe};
use rayon::prelude::*;
use std::collections::BTreeMap;
use treen::finding::{Code, long};
use treen::intake::demo::RECIPES;
use treen::lettering::{Face, Fit, fit};
use treen::model::{ParameterKind, Recipe, Setting, SettingValue, Surface};
use treen::reach::{Profile, thinnest};
use treen::shape::{Form, NoFiles, build};

fn formed(key: &str, settings: &[Setting], person: &str) -> Form {
    let built = build(&recipe(key), settings, person, &NoFiles);
    let said: String = built.findings.iter().map(long).collect();
    assert!(built.findings.is_empty(), "{key} for {person}: {said}");
    built.value.unwrap_or_else(|| panic!("{key} without a form and a finding"))
}

fn setting(name: &str, value: f64) -> Setting {
    crate::sets::setting(name, SettingValue::Number(value))
}

/// What the shapes promise at their default size: a 1/4 in end mill goes round, a 7/16 in bowl
/// bit goes everywhere in the hollow, nothing is thinner than 8 mm (common practice, no
/// source).
#[test]
fn defaults_can_be_cut_with_ordinary_cutters() {
    for (key, _) in RECIPES {
        let form = formed(key, &[], "Bo");
        assert_eq!(flaw(&form.outline), None, "{key}");
        let bounds = form.outline.bounds();
        let longest = bounds.width().max(bounds.height());
        // A spoon is for a small fist, its rim for a small mouth (common practice, no source).
        let spoon = key.starts_with("spoon-");
        let sizes = if spoon { 110.0..=145.0 } else { 160.0..=265.0 };
        assert!(sizes.contains(&longest), "{key} is {longest} mm long");
        let reach = Profile::outside(&form.outline, 20.0).lowest_reach();
        let reach = reach.map_or(20.0, |low| low.radius);
        assert!(reach >= 3.175, "{key}: reach {reach}");
        let neck = thinnest(&form.outline, 60.0).map_or(60.0, |low| 2.0 * low.radius);
        assert!(neck >= 8.0, "{key}: neck {neck}");
        assert!(!form.recesses.is_empty(), "{key} is a dish");
        for recess in &form.recesses {
            let reach = Profile::inside(&recess.region, 20.0).lowest_reach();
            let reach = reach.map_or(20.0, |low| low.radius);
            assert!(reach >= 11.1125 / 2.0, "{key}: recess reach {reach}");
            let wall = treen::reach::wall(&recess.region, &form.outline);
            let wall = wall.map_or(0.0, |(width, _)| width);
            let walls = if spoon { 5.0..=7.0 } else { 9.0..=15.0 };
            assert!(walls.contains(&wall), "{key}: rim {wall}");
        }
    }
}

/// Names of two to sixteen letters have their place, away from the edge of the surface; on the
/// handle of a spoon twelve.
#[test]
fn short_and_long_names_have_their_place() {
    for (key, _) in RECIPES {
        let form = formed(key, &[], "Bo");
        let area = form.name.as_ref().expect("a place for the name");
        let surface = match area.on {
            Surface::Rim => form.outline.clone(),
            Surface::Floor => form.recesses.first().expect("a hollow").region.clone(),
        };
        for name in ["Bo", "Łucja", "Maximiliana", "María José", "Bartholomea-Fern"] {
            if key.starts_with("spoon-") && name.chars().count() > 12 {
                continue;
            }
            let how = Fit {
                letters: Face::CARVED.into(),
                most: area.height,
                least: 8.0,
                condense: area.condense,
                gap: 0.5,
                apart: 0.0,
                lines: area.lines,
            };
            let fitted = fit(name, &how, &area.baseline)
                .unwrap_or_else(|fault| panic!("{key}: {name}: {fault:?}"));
            let letters = fitted.region().expect("letters");
            assert!(letters.cut(&surface).area() < 0.01, "{key}: {name} leaves the wood");
            let wall = treen::reach::wall(&letters, &surface).map_or(99.0, |w| w.0);
            assert!(wall > 2.0, "{key}: {name} comes within {wall} mm of the edge");
        }
    }
}

/// The letter of the dish is the first of the name.
#[test]
fn every_capital_makes_an_initial() {
    let letters: Vec<char> = ('A'..='Z').chain("ÅÄÆÇČÉÍÑÓÖØŁŚŞÜŽÞ".chars()).collect();
    letters.par_iter().for_each(|letter| {
        let form = formed("initial", &[], &format!("{}x", letter.to_lowercase()));
        assert_eq!(flaw(&form.outline), None, "{letter}");
        let shown: BTreeMap<_, _> = form.parameters.iter().cloned().collect();
        assert_eq!(shown.get("letter"), Some(&letter.to_string()), "from the name");
        let reach = Profile::outside(&form.outline, 20.0).lowest_reach();
        assert!(reach.is_none_or(|low| low.radius >= 3.175), "{letter}: {reach:?}");
    });
}

/// A number mostly within a range.
fn number(random: &mut Random, min: f64, max: f64) -> f64 {
    match random.next() % 40 {
        0 => min,
        1 => max,
        2 => min - random.share() * (max - min),
        3 => max * (1.0 + 10.0 * random.share()),
        4 => [f64::NAN, f64::INFINITY, -1e300, 0.0, 1e-300][random.next() as usize % 5],
        _ => min + (max - min) * random.share(),
    }
}

fn letter(random: &mut Random) -> char {
    let letters: Vec<char> = ('A'..='Z').chain("ÅÉÑØŁŞ&7ж".chars()).collect();
    letters[random.next() as usize % letters.len()]
}

fn random_set(recipe: &Recipe, random: &mut Random) -> Vec<Setting> {
    recipe
        .parameters
        .iter()
        .map(|parameter| match &parameter.kind {
            ParameterKind::Number { min, max, .. } => {
                setting(&parameter.name, number(random, *min, *max))
            }
            ParameterKind::Text { .. } => {
                let text = letter(random).to_string();
                let plain = setting(&parameter.name, 0.0);
                Setting { value: SettingValue::Text(text), ..plain }
            }
        })
        .collect()
}

/// What becomes of one random set: `true` for a form, `false` for findings that say why not.
fn outcome(recipe: &Recipe, seed: u64) -> bool {
    let settings = random_set(recipe, &mut Random(seed));
    let values: Vec<_> = settings.iter().map(|s| (&s.name, &s.value)).collect();
    let built = build(recipe, &settings, "", &NoFiles);
    for finding in &built.findings {
        assert_ne!(finding.code, Code::Internal, "{}: {values:?}", recipe.key);
        assert!(
            finding.source.is_some(),
            "{}: {values:?}: {}",
            recipe.key,
            long(finding)
        );
        assert!(!finding.remedies.is_empty(), "{}: {}", recipe.key, long(finding));
    }
    let Some(form) = built.value else {
        assert!(!built.findings.is_empty(), "{}: {values:?}: silence", recipe.key);
        return false;
    };
    assert_eq!(flaw(&form.outline), None, "{}: {values:?}", recipe.key);
    for recess in &form.recesses {
        let beyond = recess.region.cut(&form.outline).area();
        assert!(beyond < 0.02, "{}: {values:?}: {beyond} mm² beyond", recipe.key);
    }
    true
}

/// 2,000 random parameter sets across the shapes: each a simple outline or a finding.
#[test]
fn random_parameters_give_a_simple_outline_or_a_finding() {
    let recipes: Vec<Recipe> = RECIPES.iter().map(|(key, _)| recipe(key)).collect();
    let drawn = (0..2_000_u64)
        .into_par_iter()
        .filter(|seed| {
            let recipe = &recipes[usize::try_from(*seed).expect("small") % recipes.len()];
            outcome(recipe, seed * 0x1234_5677)
        })
        .count();
    // Most sets lie within the ranges, so most must become dishes.
    assert!(drawn > 1_000, "only {drawn} of 2000 became dishes");
}

/// The recipe with ranges so wide that numbers its author never thought of are drawn.
fn unbounded(mut recipe: Recipe) -> Recipe {
    for parameter in &mut recipe.parameters {
        if let ParameterKind::Number { min, max, .. } = &mut parameter.kind {
            (*min, *max) = (*min - 3.0 * (*max - *min), *max + 3.0 * (*max - *min));
        }
    }
    recipe
}

/// Numbers far outside the ranges, negative ones too, past the check of the ranges.
#[test]
fn numbers_nobody_thought_of_give_a_simple_outline_or_a_finding() {
    let recipes: Vec<Recipe> =
        RECIPES.iter().map(|(key, _)| unbounded(recipe(key))).collect();
    let drawn = (0..900_u64)
        .into_par_iter()
        .filter(|seed| {
            let recipe = &recipes[usize::try_from(*seed).expect("small") % recipes.len()];
            outcome(recipe, seed * 0x1357_9bdf + 1)
        })
        .count();
    assert!(drawn > 50, "only {drawn} of 900 became dishes");
}
