//! What every shape of the library promises.

use crate::sample::the_shop;
use crate::sets::{Became, NAMES, drawn, name, recipe, sets, setting, size};
use rayon::prelude::*;
use treen::batch::{Library, Surveyed, examine, specimen, survey};
use treen::curve::{Affine, Region};
use treen::feasibility::{Job, Pins};
use treen::finding::{Code, Finding, Severity, long};
use treen::intake::demo::RECIPES;
use treen::model::{ParameterKind, Recipe, SettingValue};
use treen::reach::Profile;
use treen::shape::{Form, NoFiles, build};

/// Sets of values per recipe here; `cargo bench --bench library` draws eight times as many.
const SETS: usize = 50;
/// Of a hundred sets so many become dishes, at least.
const VALID: usize = 98;

fn formed(recipe: &Recipe, name: Option<(&str, f64)>) -> Form {
    let set: Vec<_> =
        name.iter().map(|(name, v)| setting(name, SettingValue::Number(*v))).collect();
    let built = build(recipe, &set, "Bo", &NoFiles);
    let said: String = built.findings.iter().map(long).collect();
    built.value.unwrap_or_else(|| panic!("{} {name:?}: {said}", recipe.key))
}

/// Within its ranges nearly every set draws a dish, and none anything unsound.
#[test]
fn sets_over_the_ranges_become_dishes() {
    let shop = the_shop();
    RECIPES.par_iter().for_each(|(key, _)| {
        let recipe = recipe(key);
        let all = sets(&recipe, SETS, 0x5eed);
        let mut told = Vec::new();
        for (i, set) in all.iter().enumerate() {
            let person = name(&recipe, set, i);
            match drawn(&recipe, set, person, &shop).unwrap_or_else(|why| panic!("{why}"))
            {
                Became::Dish => {}
                Became::Told(said) => told.push(said),
            }
        }
        assert!(
            (SETS - told.len()) * 100 >= VALID * SETS,
            "{key}: {} of {SETS} refused:\n{}",
            told.len(),
            told.concat()
        );
    });
}

/// The sets are what they are said to be: each part of each range once, corners among them.
#[test]
fn sets_cover_every_part_of_every_range() {
    let recipe = recipe("snail");
    let all = sets(&recipe, SETS, 1);
    assert_eq!(all.len(), SETS, "as many as asked for");
    let corners = SETS / 4;
    for (place, parameter) in recipe.parameters.iter().enumerate() {
        let ParameterKind::Number { min, max, .. } = parameter.kind else { continue };
        let value = |set: &Vec<treen::model::Setting>| match set[place].value {
            SettingValue::Number(value) => value,
            SettingValue::Text(_) => f64::NAN,
        };
        let ends: Vec<f64> = all.iter().take(corners).map(value).collect();
        assert!(
            ends.iter().all(|v| [min, max].contains(v)),
            "{}: {ends:?}",
            parameter.name
        );
        let rest = SETS - corners;
        let mut parts: Vec<usize> = all
            .iter()
            .skip(corners)
            .map(|set| ((value(set) - min) / (max - min) * rest as f64) as usize)
            .map(|part| part.min(rest - 1))
            .collect();
        parts.sort_unstable();
        assert_eq!(parts, (0..rest).collect::<Vec<_>>(), "{}", parameter.name);
    }
}

/// A refusal says which parameters made it.
#[test]
fn what_cannot_be_drawn_names_its_parameters() {
    let yaml = "title: Ring\nparameters:\n  size: {default: 100 mm, min: 50, max: 200}\n  \
                wall: {default: 60 mm, min: 5, max: 80}\n  other: {default: 1, min: 0, max: 2}\n\
                let: {inner: size / 2 - wall}\noutline:\n  - circle: {radius: size / 2}\n\
                rim: wall\nrecess: {follow: outline}\ndetails:\n  - {groove: [[0, 0], \
                [other, 0]], width: 1}\n";
    let read =
        treen::intake::recipe("ring.yaml", yaml, "ring", None).value.expect("read");
    let built = build(&read, &[], "", &NoFiles);
    let first = built.findings.first().expect("a finding");
    assert_eq!(first.code, Code::RecessVanishes, "{}", long(first));
    let yaml = yaml.replace("circle: {radius: size / 2}", "circle: {radius: inner}");
    let read =
        treen::intake::recipe("ring.yaml", &yaml, "ring", None).value.expect("read");
    let built = build(&read, &[], "", &NoFiles);
    let said = built.findings.first().map(long).expect("a finding");
    // Through the `let` between, and nothing that has no part in it.
    assert!(said.contains("`size` (100 mm) and `wall` (60 mm)"), "{said}");
    assert!(!said.contains("`other`"), "{said}");
}

fn surveyed() -> Vec<Surveyed> {
    survey(&Library::built_in(), &the_shop())
}

/// At default values nothing stands in the way in the demo's shop; three in four are cut out
/// with a 1/4 in cutter, all with one of 1/8 in; no neck is below the house rule.
#[test]
fn every_default_can_be_made() {
    let mut quarter = 0;
    let all = surveyed();
    for shape in &all {
        let key = &shape.key;
        let findings = &shape.examined.findings;
        let stop = findings.iter().find(|f| f.severity == Severity::Stop);
        assert!(stop.is_none(), "{key}: {}", stop.map(long).unwrap_or_default());
        let neck = findings.iter().find(|f| f.code == Code::NeckTooThin);
        assert!(neck.is_none(), "{key}: {}", neck.map(long).unwrap_or_default());
        let (dish, report, _) = shape.examined.dish.as_ref().expect("drawn");
        let reach = report.swap.outside.map_or(f64::INFINITY, |low| low.radius);
        assert!(reach >= 3.175 / 2.0, "{key}: a 1/8 in cutter does not follow: {reach}");
        quarter += usize::from(reach >= 6.35 / 2.0);
        let inside = report.swap.rows.iter().any(|r| r.job == Job::Recess && r.usable());
        assert!(inside || dish.recesses.is_empty(), "{key}: no cutter hollows it");
    }
    assert!(quarter * 4 >= all.len() * 3, "only {quarter} of {} with 1/4 in", all.len());
}

/// Short enough to be read, and drawn by its parameters, not traced.
#[test]
fn recipes_are_short_and_not_traced() {
    for (key, text) in RECIPES {
        let lines = text.lines().count();
        assert!(lines <= 90, "{key} has {lines} lines");
        for raw in ["path:", "svg:"] {
            let traced =
                text.contains(&format!("{{{raw}")) || text.contains(&format!(" {raw}"));
            assert!(!traced, "{key} uses `{raw}`");
        }
        let parameters = recipe(key).parameters.len();
        assert!((4..=8).contains(&parameters), "{key} has {parameters} parameters");
    }
}

/// How far two drawings differ: outlines, recesses and where grooves and name run.
fn differ(a: &Form, b: &Form) -> bool {
    // Mm; an edge must have moved so far over a fiftieth of its length.
    const SEEN: f64 = 0.3;
    let apart = |a: &Region, b: &Region| {
        let longest = a.contours().iter().map(|c| length(&c.path())).sum::<f64>();
        a.cut(b).area() + b.cut(a).area() > SEEN * longest * 0.02
    };
    let line = |a: &treen::curve::BezPath, b: &treen::curve::BezPath| {
        let far = a.elements().len() != b.elements().len();
        far || places(a).iter().zip(places(b)).any(|(p, q)| p.distance(q) > SEEN)
    };
    let recesses = || a.recesses.iter().zip(&b.recesses);
    let floors = recesses().any(|(a, b)| match (a.keep_floor, b.keep_floor) {
        (Some(a), Some(b)) => (a - b).abs() > SEEN,
        (a, b) => a != b,
    });
    let grooves = || a.grooves.iter().zip(&b.grooves);
    let name = a.name.as_ref().zip(b.name.as_ref());
    apart(&a.outline, &b.outline)
        || floors
        || a.grooves.len() != b.grooves.len()
        || recesses().any(|(a, b)| apart(&a.region, &b.region))
        || grooves()
            .any(|(a, b)| line(&a.line, &b.line) || (a.width - b.width).abs() > SEEN)
        || name.is_some_and(|(a, b)| line(&a.baseline, &b.baseline))
}

fn length(path: &treen::curve::BezPath) -> f64 {
    use kurbo::Shape;
    path.perimeter(0.1)
}

fn places(path: &treen::curve::BezPath) -> Vec<treen::curve::Point> {
    path.elements().iter().filter_map(treen::curve::PathEl::end_point).collect()
}

/// Least and greatest value of every parameter look different.
#[test]
fn every_parameter_moves_something() {
    RECIPES.par_iter().for_each(|(key, _)| {
        let recipe = recipe(key);
        for parameter in &recipe.parameters {
            let ParameterKind::Number { min, max, .. } = parameter.kind else { continue };
            let name = parameter.name.as_str();
            let (low, high) =
                (formed(&recipe, Some((name, min))), formed(&recipe, Some((name, max))));
            assert!(differ(&low, &high), "{key}: `{name}` moves nothing");
        }
        let plain = formed(&recipe, None);
        assert!(!differ(&plain, &plain), "{key} is like itself");
    });
}

/// Centred at its middle of area, with an area of one.
fn normal(region: &Region) -> Region {
    use kurbo::Shape;
    let bounds = region.path().bounding_box();
    let side = region.area().sqrt();
    let map = Affine::scale(100.0 / side) * Affine::translate(-bounds.center().to_vec2());
    region.transformed(map)
}

/// Silhouettes of one area laid on each other differ by a tenth of it or more, either way
/// round.
#[test]
fn no_two_silhouettes_are_alike() {
    const ALIKE: f64 = 0.10;
    let all: Vec<(&str, Region)> = RECIPES
        .iter()
        .map(|(key, _)| (*key, normal(&formed(&recipe(key), None).outline)))
        .collect();
    let apart = |a: &Region, b: &Region| (a.cut(b).area() + b.cut(a).area()) / 10_000.0;
    for (i, (one, a)) in all.iter().enumerate() {
        assert!(apart(a, a) < 1e-6, "{one} is like itself");
        for (other, b) in all.iter().skip(i + 1) {
            let mirrored = b.transformed(Affine::FLIP_X);
            let least = apart(a, b).min(apart(a, &mirrored));
            assert!(least > ALIKE, "{one} and {other} differ by {least} of their area");
        }
    }
}

/// From 140 to 320 mm every dish can be made in the demo's shop, planned and all, with the
/// longest name it promises to hold; no neck is below the house rule.
#[test]
fn dishes_of_all_sizes_can_be_made() {
    let shop = the_shop();
    let told = |(recipe, parameter, [min, default, max]): &(Recipe, String, [f64; 3])| -> String {
        assert!(*min <= 140.0 && *max >= 320.0, "{} is {min} to {max} mm", recipe.key);
        let one = |value: &f64| {
            let set = vec![setting(parameter, SettingValue::Number(*value))];
            let mut order = specimen(recipe, set);
            let held = (0..NAMES.len()).map(|i| name(recipe, &order.set, i));
            let longest = held.max_by_key(|name| name.chars().count());
            longest.expect("a name").clone_into(&mut order.name);
            let findings = examine(recipe, &order, &shop, &Pins::default()).findings;
            let bad = |f: &&Finding| {
                f.severity == Severity::Stop || f.code == Code::NeckTooThin
            };
            let bad: String = findings.iter().filter(bad).map(long).collect();
            let head = format!("{} of {value} mm for {}: ", recipe.key, order.name);
            (!bad.is_empty()).then_some(head + &bad)
        };
        [*min, 180.0, *default, *max].iter().filter_map(one).collect()
    };
    let told: String = dishes().par_iter().map(told).collect();
    assert!(told.is_empty(), "{told}");
}

/// Every recipe but the spoons, which a small hand sets the size of; with the name, least
/// value, default and greatest value of the parameter that sets its size.
fn dishes() -> Vec<(Recipe, String, [f64; 3])> {
    let keys =
        RECIPES.iter().map(|(key, _)| *key).filter(|key| !key.starts_with("spoon"));
    keys.map(|key| {
        let recipe = recipe(key);
        let (name, range) = size(&recipe).expect("a size");
        let name = name.to_owned();
        (recipe, name, range)
    })
    .collect()
}

/// Inside corners keep their radius from the smallest to the largest dish: a cutter that
/// follows one follows the other.
#[test]
fn inside_corners_keep_their_radius_over_all_sizes() {
    dishes().par_iter().for_each(|(recipe, name, [min, _, max])| {
        let (key, min, max) = (&recipe.key, *min, *max);
        let reach = |value: f64| {
            let form = formed(recipe, Some((name.as_str(), value)));
            Profile::outside(&form.outline, 40.0).lowest_reach().map_or(40.0, |low| low.radius)
        };
        let (small, large) = (reach(min), reach(max));
        // Scaling alone would shrink it as the size does.
        let scaled = large * min / max;
        assert!(
            small >= 3.175 || (small - large).abs() < 0.01 || small > f64::midpoint(scaled, large),
            "{key}: the tightest inside corner is {small} mm at {min} mm, {large} at {max}"
        );
    });
}
