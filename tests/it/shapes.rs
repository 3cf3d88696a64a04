//! The six shapes, whatever an order asks of them.

use rayon::prelude::*;
use std::collections::BTreeMap;
use treen::curve::{Contour, Region, first_crossing};
use treen::finding::{Code, Source, SourceFile, long};
use treen::intake::demo::RECIPES;
use treen::lettering::{Face, Fit, fit};
use treen::model::{ParameterKind, Recipe, Setting, SettingValue, Surface};
use treen::reach::{Profile, thinnest};
use treen::shape::{Form, build};

fn recipe(key: &str) -> Recipe {
    let (_, text) = RECIPES.iter().find(|(name, _)| *name == key).expect("built in");
    let read = treen::intake::recipe(&format!("{key}.yaml"), text, key, None);
    let said: String = read.findings.iter().map(long).collect();
    read.value.unwrap_or_else(|| panic!("{said}"))
}

fn no_files(_: &str) -> Result<String, String> {
    Err("there are no files here".to_owned())
}

fn formed(key: &str, settings: &[Setting], person: &str) -> Form {
    let built = build(&recipe(key), settings, person, &no_files);
    let said: String = built.findings.iter().map(long).collect();
    assert!(built.findings.is_empty(), "{key} for {person}: {said}");
    built.value.unwrap_or_else(|| panic!("{key} without a form and a finding"))
}

fn setting(name: &str, value: f64) -> Setting {
    let source = Source::whole(&SourceFile::new("orders.yaml", ""));
    Setting { name: name.to_owned(), value: SettingValue::Number(value), source }
}

/// Why a region is not what it should be.
fn flaw(region: &Region) -> Option<String> {
    if region.parts() != 1 {
        return Some(format!("{} parts", region.parts()));
    }
    if !(region.area() > 100.0 && region.area() < 1e7) {
        return Some(format!("{} mm²", region.area()));
    }
    for contour in region.contours() {
        if let Some(point) = first_crossing(&contour.path()) {
            return Some(format!("crosses itself at {point}"));
        }
    }
    joined(region)
}

/// Every piece starts where the one before ends.
fn joined(region: &Region) -> Option<String> {
    let ends = |contour: &Contour| {
        let pieces = contour.pieces().to_vec();
        let next = pieces.iter().skip(1).chain(pieces.first());
        let gap = |(a, b): (&treen::curve::Piece, &treen::curve::Piece)| {
            a.curve.end().distance(b.curve.start())
        };
        pieces.iter().zip(next).map(gap).fold(0.0, f64::max)
    };
    let gap = region.contours().iter().map(ends).fold(0.0, f64::max);
    (gap > 1e-6).then(|| format!("a gap of {gap} mm"))
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
        assert!((160.0..=265.0).contains(&longest), "{key} is {longest} mm long");
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
            assert!((9.0..=15.0).contains(&wall), "{key}: rim {wall}");
        }
    }
}

/// Names of two to sixteen letters have their place, away from the edge of the surface.
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
            let how = Fit { letters: Face::CARVED.into(), most: area.height, least: 8.0 };
            let fitted = fit(name, how, &area.baseline)
                .unwrap_or_else(|fault| panic!("{key}: {name}: {fault:?}"));
            let letters = fitted.region(treen::curve::Origin(0)).expect("letters");
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

/// A small generator, so that the sets are the same on every machine (Steele, Lea & Flood,
/// "Fast splittable pseudorandom number generators", OOPSLA 2014).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// 0 to 1.
    fn share(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).expect("32 bits"))
            / f64::from(u32::MAX)
    }

    fn number(&mut self, min: f64, max: f64) -> f64 {
        match self.next() % 40 {
            0 => min,
            1 => max,
            2 => min - self.share() * (max - min),
            3 => max * (1.0 + 10.0 * self.share()),
            4 => [f64::NAN, f64::INFINITY, -1e300, 0.0, 1e-300][self.next() as usize % 5],
            _ => min + (max - min) * self.share(),
        }
    }

    fn letter(&mut self) -> char {
        let letters: Vec<char> = ('A'..='Z').chain("ÅÉÑØŁŞ&7ж".chars()).collect();
        letters[self.next() as usize % letters.len()]
    }
}

fn random_set(recipe: &Recipe, random: &mut Random) -> Vec<Setting> {
    recipe
        .parameters
        .iter()
        .map(|parameter| match &parameter.kind {
            ParameterKind::Number { min, max, .. } => {
                setting(&parameter.name, random.number(*min, *max))
            }
            ParameterKind::Text { .. } => {
                let text = random.letter().to_string();
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
    let built = build(recipe, &settings, "", &no_files);
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

/// Within their ranges the parameters belong together: none may be refused.
#[test]
fn every_corner_of_the_ranges_is_a_dish() {
    for (key, _) in RECIPES {
        let recipe = recipe(key);
        let ranges: Vec<(&str, f64, f64)> = recipe
            .parameters
            .iter()
            .filter_map(|parameter| match parameter.kind {
                ParameterKind::Number { min, max, .. } => {
                    Some((parameter.name.as_str(), min, max))
                }
                ParameterKind::Text { .. } => None,
            })
            .collect();
        (0..1_u32 << ranges.len()).into_par_iter().for_each(|bits| {
            let settings: Vec<Setting> = ranges
                .iter()
                .enumerate()
                .map(|(i, (name, min, max))| {
                    setting(name, if bits >> i & 1 == 0 { *min } else { *max })
                })
                .collect();
            let form = formed(key, &settings, "Ada");
            let values: Vec<_> = settings.iter().map(|s| (&s.name, &s.value)).collect();
            assert_eq!(flaw(&form.outline), None, "{key}: {values:?}");
        });
    }
}
