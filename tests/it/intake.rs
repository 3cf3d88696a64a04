//! The doors for files: shipped files, schemas, CSV, names, and texts of any kind.

use std::path::Path;
use treen::finding::{Checked, Severity, SourceFile, report, worst};
use treen::intake::{
    FileKind, demo, orders_csv, orders_yaml, recipe, schema, shop, text,
};
use treen::model::{
    CutterKind, Line, OrderForm, OrderList, ParameterKind, Primitive, SettingValue, Verb,
};

fn value<T>(checked: Checked<T>) -> T {
    let said = report(&checked.findings);
    checked.value.unwrap_or_else(|| panic!("refused:\n{said}"))
}

/// A YAML text as the schema validator wants it.
fn json(text: &str) -> serde_json::Value {
    let options = serde_yaml::options! { strict_booleans: true };
    serde_yaml::from_str_with_options(text, options).expect("YAML that JSON can hold")
}

fn validator(kind: FileKind) -> jsonschema::Validator {
    let schema = serde_json::from_str(schema(kind)).expect("JSON");
    jsonschema::meta::validate(&schema).expect("a valid schema");
    jsonschema::validator_for(&schema).expect("a usable schema")
}

#[test]
fn the_demo_shop_has_the_sizes_of_the_trade() {
    let shop = value(shop("shop.yaml", demo::SHOP));
    assert!(shop.cutters.len() >= 12, "{} cutters", shop.cutters.len());
    assert!(shop.woods.len() >= 4, "{} woods", shop.woods.len());
    let has = |kind: CutterKind, inches: f64| {
        shop.cutters
            .iter()
            .any(|c| c.kind() == kind && (c.diameter() - inches * 25.4).abs() < 1e-9)
    };
    // Common practice, no source: the sizes met in this work.
    for inches in [1.0 / 4.0, 3.0 / 8.0] {
        assert!(has(CutterKind::BallNose, inches), "ball nose {inches} in");
    }
    for inches in [7.0 / 16.0, 3.0 / 4.0, 1.0] {
        assert!(has(CutterKind::BowlBit, inches), "bowl bit {inches} in");
    }
    for inches in [1.0 / 8.0, 3.0 / 16.0, 1.0 / 4.0] {
        assert!(has(CutterKind::EndMill, inches), "end mill {inches} in");
    }
    for angle in [15.0, 30.0, 60.0, 90.0] {
        let found = shop.cutters.iter().any(|c| {
            c.spec().angle.is_some_and(|a| (a.get() - angle).abs() < f64::EPSILON)
        });
        assert!(found, "v-bit {angle} degrees");
    }
}

fn said(list: &OrderList) -> Vec<String> {
    let line = |o: &treen::model::Order| {
        let set: Vec<_> = o.set.iter().map(|s| (&s.name, &s.value)).collect();
        let (id, name, recipe, wood) = (&o.id, &o.name, &o.recipe, &o.wood);
        let (quantity, note, date) = (o.quantity, &o.note, &o.date);
        format!("{id} {name} {recipe} {wood:?} {quantity} {note:?} {date:?} {set:?}")
    };
    list.orders.iter().map(line).collect()
}

#[test]
fn both_demo_lists_say_the_same() {
    let yaml = value(orders_yaml("orders.yaml", demo::ORDERS));
    let csv = value(orders_csv("orders.csv", demo::ORDERS_CSV, &OrderForm::default()));
    assert_eq!(said(&yaml), said(&csv), "YAML and CSV");
    assert_eq!(yaml.orders.len(), 12, "orders");
    let names: Vec<&str> = yaml.orders.iter().map(|o| o.name.as_str()).collect();
    for name in ["Zoë", "Łucja", "Bjørn", "María José"] {
        assert!(names.contains(&name), "{name}");
    }
    let lengths: Vec<usize> = names.iter().map(|name| name.chars().count()).collect();
    assert!(lengths.contains(&2) && lengths.contains(&16), "{lengths:?}");
    let overrides = yaml.orders.iter().filter(|order| !order.set.is_empty()).count();
    assert!(overrides >= 3, "{overrides} orders with values of their own");
}

#[test]
fn shipped_files_follow_their_schemas() {
    assert!(validator(FileKind::Shop).is_valid(&json(demo::SHOP)), "shop");
    assert!(validator(FileKind::Orders).is_valid(&json(demo::ORDERS)), "orders");
    let shapes = Path::new(env!("CARGO_MANIFEST_DIR")).join("shapes");
    let validator = validator(FileKind::Recipe);
    for entry in std::fs::read_dir(shapes).expect("shapes") {
        let path = entry.expect("readable").path();
        if path.extension().is_some_and(|end| end == "yaml") {
            let text = std::fs::read_to_string(&path).expect("UTF-8");
            if let Err(error) = validator.validate(&json(&text)) {
                panic!("{}: {error} at {}", path.display(), error.instance_path());
            }
        }
    }
}

#[test]
fn schemas_refuse_what_is_wrong() {
    let wrong = [
        (FileKind::Shop, "cutters: [{id: a, kind: end mill, diametre: 6}]"),
        (FileKind::Shop, "cutters: []"),
        (FileKind::Orders, "orders: [{id: a, name: b}]"),
        (FileKind::Orders, "orders: [{id: a, name: b, recipe: c, quantity: 0}]"),
        (FileKind::Recipe, "title: a"),
        (FileKind::Recipe, "{title: a, outline: [{circel: {radius: 3}}]}"),
        (FileKind::Recipe, "{title: a, outline: [{circle: {radius: [3]}}]}"),
        (FileKind::Recipe, "{title: a, outline: [{circle: {radius: 3}}], rimm: 3}"),
    ];
    for (kind, text) in wrong {
        assert!(!validator(kind).is_valid(&json(text)), "{text}");
    }
}

/// One recipe that uses every key.
const EVERYTHING: &str = r#"
title: Everything
about: Uses every key once.
themes: [test, No]
notes: grain along x
parameters:
  length: {default: 8 in, min: 150 mm, max: 320 mm, about: nose to tail}
  share: {default: 0.5, min: 0.25, max: 0.75}
  bare: 12 mm
  initial: {default: A, about: the letter, from_name: true}
let:
  b: a + 1
  a: length * share
outline:
  - rectangle: {center: [0, 0], size: [length, 100], radius: 5}
    turn: 30 deg
    move: [a, -b]
  - add: {circle: {radius: 50, center: [10, 0]}, mirror: left-right, scale: [1, 2]}
  - cut: [{ellipse: {radii: [10, 20]}}, {grow: 2}]
  - keep: {superellipse: {radii: [300, 300], exponent: 4}}
  - add: {polygon: {points: [[0, 0], [10, 0], [0, 10]]}}
  - star: {points: 5, outer: 30, inner: 20}
  - petals: {count: 5, radius: 30, depth: 3}
  - add: {spline: {through: [[0, 0], [9, 1], [5, 8]], corners: [1], tension: 1.2}}
  - path: {d: "M0 0L10 0L10 10Z"}
  - svg: {file: a.svg, width: 100}
  - letter: {parameter: initial, height: 50, center: [1, 2]}
  - letter: {text: 7, height: 50, face: plain}
  - ring: {count: 6, radius: 50, start: 10, sweep: 180, of: {circle: {radius: 5}}}
  - cut: {row: {count: 3, step: [10, 0], of: [{circle: {radius: 2}}]}}
  - group: [{circle: {radius: 3}}, {turn: 3}]
  - fillet: {inside: 8 mm, outside: 3 mm}
  - shrink: 1
  - turn: {angle: 10, about: [1, 1]}
  - scale: {by: 1.1, about: [1, 1]}
  - mirror: up-down
rim: 9 mm
recess:
  - {follow: outline, keep_floor: 5 mm, corners: 4 mm}
  - {shape: {circle: {radius: 3}}}
  - {shape: [{circle: {radius: 3}}, {grow: 1}]}
name: {on: rim, along: {spline: {through: [[-60, 12], [60, 12]]}}, height: 22 mm,
  style: sunk, face: serif, depth: 2}
details:
  - {groove: [[0, 0], [10, 10]], width: 1.5, depth: 1, on: floor}
  - {groove: {circle: {radius: 9}}, width: 1.5}
edges: {outer: 3 mm round-over, recess: bare / 6}
"#;

#[test]
fn every_key_of_a_recipe_is_read() {
    let recipe = value(recipe("all.yaml", EVERYTHING, "all", None));
    assert_eq!(recipe.themes, ["test", "No"], "words of YAML stay texts");
    assert_eq!(recipe.outline.len(), 20, "steps");
    assert_eq!(recipe.recesses.len(), 3, "recesses");
    let lets: Vec<&str> = recipe.lets.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(lets, ["a", "b"], "in working order");
    let length = recipe.parameters.first().map(|p| p.kind.clone());
    let want =
        ParameterKind::Number { default: 203.2, min: 150.0, max: 320.0, length: true };
    assert_eq!(length, Some(want), "inches");
    let bare = recipe.parameters.get(2).map(|p| p.kind.clone());
    let want = ParameterKind::Number { default: 12.0, min: 6.0, max: 18.0, length: true };
    assert_eq!(bare, Some(want), "a range of its own");
    let Some(Verb::Add(first)) = recipe.outline.first().map(|step| &step.verb) else {
        panic!("the first step adds")
    };
    assert_eq!(first.placing.len(), 2, "turn, then move");
    let name = recipe.name.expect("a name");
    let Line::Shape(line) = name.along else { panic!("a spline") };
    assert!(matches!(line.primitive, Primitive::Spline { closed: false, .. }), "open");
    let radius = recipe.edges.outer.expect("a round-over");
    let radius = radius.value(&std::collections::BTreeMap::new()).expect("constant");
    assert!((radius - 3.0).abs() < 1e-12, "radius {radius}");
    assert!(validator(FileKind::Recipe).is_valid(&json(EVERYTHING)), "schema");
}

#[test]
fn words_and_numbers_stay_names() {
    let text = "orders:\n  - {id: 007, name: No, recipe: true, note: 1.50, date: 2026-07-10, \
                set: {a: 3, b: 1/4 in, c: On, d: 30 deg}}\n";
    let list = value(orders_yaml("orders.yaml", text));
    let order = list.orders.first().expect("one");
    assert_eq!((order.id.as_str(), order.name.as_str()), ("007", "No"), "as written");
    assert_eq!(&*order.recipe, "true", "as written");
    assert_eq!(order.note.as_deref(), Some("1.50"), "as written");
    let set: Vec<&SettingValue> = order.set.iter().map(|s| &s.value).collect();
    let on = SettingValue::Text("On".into());
    let number = SettingValue::Number;
    assert_eq!(set, [&number(3.0), &number(6.35), &on, &number(30.0)], "settings");
}

#[test]
fn csv_with_every_separator_and_quotes() {
    for mark in [',', ';', '\t'] {
        let text = "id,name,recipe,length,note\r\n\r\na,\"Tom, \"\"T\"\"\",snail,,x\r\n\
                    b,Bo,cloud,8 in,\"two\r\nlines\"\r\nc,Jo,oak,9,\r\n";
        let text = text.replace(',', &mark.to_string()).replace("Tom\t", "Tom,");
        let list = value(orders_csv("orders.csv", &text, &OrderForm::default()));
        let ids: Vec<&str> = list.orders.iter().map(|o| o.id.as_str()).collect();
        assert_eq!(ids, ["a", "b", "c"], "{mark:?}");
        let set: Vec<usize> = list.orders.iter().map(|o| o.set.len()).collect();
        assert_eq!(set, [0, 1, 1], "an empty cell sets nothing");
        let last = list.orders.last().expect("three");
        assert_eq!((last.recipe_source.line, last.recipe_source.column), (6, 6), "place");
    }
}

#[test]
fn bytes_become_text_or_a_finding() {
    assert_eq!(text("a", b"\xef\xbb\xbftitle: x").as_deref(), Ok("title: x"), "mark");
    let large = vec![b'x'; treen::intake::LARGEST + 1];
    assert!(text("a", &large).is_err(), "too large");
    assert!(text("a", b"a\0b").is_err(), "zero byte");
    assert!(text("a", b"a\xffb").is_err(), "not UTF-8");
}

#[test]
fn a_shop_needs_only_its_cutters() {
    let text = "cutters: [{id: a, kind: V bit, diameter: 6, angle: 60}]";
    let shop = value(shop("shop.yaml", text));
    assert_eq!(shop.woods.len(), 1, "one wood");
    assert!((shop.machine.collet_nut.get() - 42.0).abs() < 1e-12, "nut");
    assert!((shop.house.sanding.get() - 0.2).abs() < 1e-12, "sanding");
}

/// Every text door with a text: a value without a stop, or a stop without a value (of a list
/// the orders that were not stopped).
fn open_every_door(input: &str) {
    let stopped = |worst: Option<Severity>| worst == Some(Severity::Stop);
    let a = recipe("a", input, "a", None);
    assert_eq!(a.value.is_none(), stopped(worst(&a.findings)), "recipe: {input}");
    let b = shop("b", input);
    assert_eq!(b.value.is_none(), stopped(worst(&b.findings)), "shop: {input}");
    // A list has its sound orders all the same.
    let c = orders_yaml("c", input);
    let d = orders_csv("d", input, &OrderForm::default());
    for list in [&c, &d] {
        let empty = list.value.as_ref().is_none_or(|list| list.orders.is_empty());
        assert_eq!(list.value.is_none(), empty, "a list without orders: {input}");
        assert!(!empty || stopped(worst(&list.findings)), "nothing and no word: {input}");
    }
    for findings in [a.findings, b.findings, c.findings, d.findings] {
        let said = report(&findings);
        let harmless = said.chars().all(|c| c == '\n' || !c.is_control());
        assert!(harmless, "control characters come through: {said:?}");
    }
}

#[test]
fn no_bytes_panic() {
    arbtest::arbtest(|u| {
        let bytes: Vec<u8> = u.arbitrary()?;
        if let Ok(text) = text("x", &bytes) {
            open_every_door(&text);
        }
        Ok(())
    })
    .budget_ms(2000);
}

#[test]
fn no_damaged_file_panics() {
    let files = [EVERYTHING, demo::SHOP, demo::ORDERS, demo::ORDERS_CSV];
    let bits = [
        "", " ", "\n", ":", "{", "}", "[", "]", "\"", "-", "#", "&a ", "*a", "!!x ",
        "|\n", "é", "1e999", ".nan", "~", "\t", "'", ",", "\u{0}", "\u{1b}", "<<: ",
        "? ", "%", "@", "9",
    ];
    arbtest::arbtest(|u| {
        let file: &str = u.choose(&files)?;
        let mut chars: Vec<char> = file.chars().collect();
        for _ in 0..u.int_in_range(1..=4)? {
            let at = u.choose_index(chars.len().max(1))?;
            let end = (at + u.int_in_range(0..=30)?).min(chars.len());
            let bit: &str = u.choose(&bits)?;
            chars.splice(at..end, bit.chars());
        }
        open_every_door(&chars.into_iter().collect::<String>());
        Ok(())
    })
    .budget_ms(4000);
}

#[test]
fn places_are_those_of_the_file() {
    let text = "orders:\n  - id: a\n    name: Bo\n    recipe: snail\n    wood: ash\n";
    let list = value(orders_yaml("orders.yaml", text));
    let order = list.orders.first().expect("one");
    assert_eq!((order.recipe_source.line, order.recipe_source.column), (4, 13), "recipe");
    assert_eq!((order.wood_source.line, order.wood_source.column), (5, 11), "wood");
    assert_eq!(*order.source.file, *SourceFile::new("orders.yaml", text), "file");
}
