//! The library at a glance: table, card, gallery sheet, and JSON held to its schema by the
//! crate `jsonschema`.

use crate::cli::{code, json, stderr, stdout, treen, workspace};
use crate::sample::the_shop;
use crate::sheets::{in_order, look};
use serde_json::Value;
use treen::batch::{Library, MOST_OF_IT, SHAPES_SCHEMA, examine, specimen, survey};
use treen::feasibility::{Job, Pins};
use treen::intake::demo::RECIPES;
use treen::sheet::{Color, Mark, Plate, Sheet, gallery, shape_card};

fn held_to_schema(value: &Value) {
    let schema = serde_json::from_str(SHAPES_SCHEMA).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let faults: Vec<String> = validator
        .iter_errors(value)
        .map(|fault| format!("{fault} at {}", fault.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn the_list_holds_every_shape_and_is_as_its_schema_says() {
    let dir = workspace();
    let ended = treen(dir.path(), &["shapes", "--json"]);
    assert_eq!(code(&ended), 0, "nothing stands in the way");
    let all = json(&ended);
    held_to_schema(&all);
    let shapes = all["shapes"].as_array().expect("a list");
    let keys: Vec<&str> =
        shapes.iter().filter_map(|shape| shape["key"].as_str()).collect();
    let built_in: Vec<&str> = RECIPES.iter().map(|(key, _)| *key).collect();
    assert_eq!(keys, built_in, "sorted, none missing");
    for shape in shapes {
        assert!(shape["outline_cutter"].is_object(), "{} can be cut out", shape["key"]);
        assert!(shape["recess_cutter"].is_object(), "{} can be hollowed", shape["key"]);
        let least = shape["parameters"].as_array().map_or(0, Vec::len);
        assert!(least >= 4, "{} has {least} parameters", shape["key"]);
        let minutes = shape["minutes"].as_f64().unwrap_or_default();
        assert!((2.0..240.0).contains(&minutes), "{}: {minutes} min", shape["key"]);
    }
    let text = stdout(&treen(dir.path(), &["shapes"]));
    assert_eq!(text.lines().count(), RECIPES.len() + 1, "a line each:\n{text}");
}

/// What the schema is for: it refuses what is not as it says.
#[test]
fn the_schema_refuses_what_is_wrong() {
    let dir = workspace();
    let good = json(&treen(dir.path(), &["shapes", "cloud", "--json"]));
    held_to_schema(&good);
    let schema = serde_json::from_str(SHAPES_SCHEMA).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    for (key, wrong) in [
        ("size_mm", serde_json::json!([1])),
        ("key", Value::Null),
        ("outline_cutter", serde_json::json!({"id": "end-6"})),
        ("minutes", serde_json::json!(0)),
        ("parameters", serde_json::json!([{"name": "a", "about": "", "default": 1}])),
        ("findings", serde_json::json!([{"code": "Not A Code"}])),
    ] {
        let mut bad = good.clone();
        bad[key] = wrong;
        assert!(!validator.is_valid(&bad), "`{key}` was let through");
    }
    let mut short = good;
    short.as_object_mut().expect("an object").remove("findings");
    assert!(!validator.is_valid(&short), "a key was left out");
}

#[test]
fn one_shape_is_shown_with_other_values_and_a_picture() {
    let dir = workspace();
    let plain = json(&treen(dir.path(), &["shapes", "snail", "--json"]));
    let large = ["shapes", "snail", "--set", "length=250 mm", "--json", "--out", "look"];
    let large = json(&treen(dir.path(), &large));
    held_to_schema(&large);
    let width = |shape: &Value| shape["size_mm"][0].as_f64().expect("a width");
    assert!((width(&large) / width(&plain) - 250.0 / 220.0).abs() < 0.01, "larger");
    for file in ["shape-snail.svg", "shape-snail.png"] {
        let size = std::fs::metadata(dir.path().join("look").join(file)).map(|f| f.len());
        assert!(size.is_ok_and(|size| size > 5_000), "{file}");
    }
    let text = stdout(&treen(dir.path(), &["shapes", "snail", "--out", "look"]));
    for word in ["220 x 151 mm", "end-6", "140 to 320 mm", "shape-snail.png"] {
        assert!(text.contains(word), "`{word}` in\n{text}");
    }
    let refused = treen(dir.path(), &["shapes", "snail", "--set", "turns=99"]);
    assert_eq!(code(&refused), 2, "outside its range");
    assert!(stderr(&refused).contains("`turns`"), "{}", stderr(&refused));
}

/// A folder of one's own: its recipes alone, and what cannot be read is told.
#[test]
fn a_folder_is_listed_like_the_built_in_shapes() {
    let dir = workspace();
    let from = |dir: &std::path::Path, name: &str| {
        treen(dir, &["shapes", "--from", name, "--json"])
    };
    let listed = json(&from(dir.path(), "shapes"));
    held_to_schema(&listed);
    let keys: Vec<&Value> =
        listed["shapes"].as_array().expect("a list").iter().map(|s| &s["key"]).collect();
    assert_eq!(keys, ["ears"], "that folder alone");
    // The folder above is a workspace, with orders and a shop beside `shapes`.
    assert_eq!(json(&from(dir.path(), "."))["shapes"], listed["shapes"], "the workspace");
    std::fs::write(dir.path().join("shapes/bad.yaml"), "title: Bad\n").expect("written");
    let ended = from(dir.path(), "shapes");
    let both = json(&ended);
    held_to_schema(&both);
    assert_eq!(code(&ended), 2, "one cannot be read");
    assert_eq!(both["shapes"][0]["key"], "bad", "told among the others");
    assert_eq!(both["shapes"][0]["size_mm"], Value::Null, "not drawn");
    assert_eq!(both["shapes"][0]["findings"][0]["code"], "missing-key", "why");
    let missing = treen(dir.path(), &["shapes", "--from", "nowhere"]);
    assert_eq!(code(&missing), 2, "no such folder");
}

/// The table says what the swap table says: no larger cutter follows, none carves as much.
#[test]
fn the_largest_cutters_are_the_largest() {
    for shape in survey(&Library::built_in(), &the_shop()) {
        let key = &shape.key;
        let (dish, report, _) = shape.examined.dish.as_ref().expect("drawn");
        let whole: f64 = dish.recesses.iter().map(|r| r.region.area()).sum();
        let cut = shape.outline_cutter().map_or(0.0, |row| row.diameter);
        let hollowed = shape.recess_cutter().map_or(0.0, |(row, share)| {
            assert!((MOST_OF_IT..=1.0).contains(&share), "{key}: {share}");
            let left = row.area_left();
            assert!((1.0 - share - left / whole).abs() < 1e-9, "{key}: {left} mm²");
            row.diameter
        });
        for row in report.swap.rows.iter().filter(|row| row.clearance.clears()) {
            if row.job == Job::Outline && row.diameter > cut {
                assert!(!row.follows, "{key}: {} follows too", row.id);
            }
            if row.job == Job::Recess && row.diameter > hollowed {
                let left = row.area_left() / whole;
                assert!(row.unsure || left > 1.0 - MOST_OF_IT, "{key}: {} does", row.id);
            }
        }
    }
}

fn plates(count: usize) -> Vec<Plate> {
    let shop = the_shop();
    let library = Library::built_in();
    let drawn: Vec<Plate> = RECIPES
        .iter()
        .map(|(key, _)| {
            let recipe = library.load(key).and_then(|l| l.recipe).expect("built in");
            let mut order = specimen(&recipe, Vec::new());
            "Ada".clone_into(&mut order.name);
            let (dish, _, plan) =
                examine(&recipe, &order, &shop, &Pins::default()).dish.expect("drawn");
            Plate {
                theme: recipe.themes.first().cloned().unwrap_or_default(),
                dish,
                plan,
            }
        })
        .collect();
    drawn.iter().cycle().take(count).cloned().collect()
}

/// No dish reaches into its title or out of the page.
fn dishes_stay_clear(name: &str, sheet: &Sheet) {
    use kurbo::Shape;
    let layer = |wanted: &str| {
        let found = sheet.layers.iter().find(|layer| layer.name == wanted);
        found.map_or(&[][..], |layer| layer.marks.as_slice())
    };
    let filled: Vec<kurbo::Rect> = layer("drawings")
        .iter()
        .filter_map(|mark| match mark {
            Mark::Path(drawn) if drawn.clip.is_none() => Some(drawn.path.bounding_box()),
            Mark::Path(_) | Mark::Text(_) | Mark::Picture(_) => None,
        })
        .collect();
    assert!(!filled.is_empty(), "{name}: something is drawn");
    for dish in &filled {
        let [width, height] = sheet.size;
        let (x, y) = (dish.x0.min(width - dish.x1), dish.y0.min(height - dish.y1));
        assert!(x.min(y) > sheet.margin * 0.9, "{name}: {dish:?} leaves the page");
    }
    for text in ["titles", "themes", "heading"].into_iter().flat_map(layer) {
        let Mark::Text(text) = text else { continue };
        let [x0, y0, x1, y1] = text.extent();
        let held = kurbo::Rect::new(x0, y0, x1, y1);
        let over = filled.iter().find(|dish| dish.intersect(held).area() > 0.0);
        assert!(over.is_none(), "{name}: `{}` lies on {over:?}", text.text);
    }
}

#[test]
fn galleries_of_any_size_are_in_order() {
    let shop = the_shop();
    for count in [1, 2, 6, 13, 40, 90] {
        let mut plates = plates(count);
        if let Some(plate) = plates.last_mut() {
            plate.dish.title =
                "A title much too long for the place it is given".to_owned();
            plate.theme = "a theme without an end to it, longer than its dish".to_owned();
        }
        let name = format!("gallery-{count}");
        let sheet = gallery(&plates, &shop);
        in_order(&name, &sheet);
        dishes_stay_clear(&name, &sheet);
        if count == 40 {
            look(&name, &sheet);
        }
    }
}

#[test]
fn cards_of_all_shapes_are_in_order() {
    let shop = the_shop();
    for shape in survey(&Library::built_in(), &shop) {
        let (dish, report, plan) = shape.examined.dish.as_ref().expect("drawn");
        let mut recipe = shape.recipe.clone().expect("read");
        in_order(&shape.key, &shape_card(&recipe, dish, (report, plan), &shop));
        recipe.about = "Words and words and words. ".repeat(30);
        let many = recipe.parameters.iter().cycle().take(40).cloned().collect();
        recipe.parameters = many;
        in_order(&shape.key, &shape_card(&recipe, dish, (report, plan), &shop));
    }
}

/// The opaque colours of a card's drawing, in the order they are laid on.
fn opaque(sheet: &Sheet) -> Vec<Color> {
    let layer = sheet.layers.iter().find(|layer| layer.name == "dish");
    let fills =
        layer.into_iter().flat_map(|layer| &layer.marks).filter_map(|mark| match mark {
            Mark::Path(drawn) => drawn.fill,
            Mark::Text(_) | Mark::Picture(_) => None,
        });
    fills.filter(|fill| fill.opacity > 0.99).collect()
}

/// Whatever the wood, its name is seen against board and hollow: contrast 3 or more (W3C, "Web
/// Content Accessibility Guidelines 2.1", 2018, criterion 1.4.11; from memory).
#[test]
fn names_are_seen_on_any_wood() {
    let shop = the_shop();
    let plate = plates(1).remove(0);
    let recipe =
        Library::built_in().load("acorn").and_then(|l| l.recipe).expect("built in");
    let browns = (0..=20).map(|i: u8| [i * 12, i * 9 + 5, i * 7 + 8]);
    let demo = shop.woods.iter().map(|wood| wood.tone);
    for tone in browns.chain(demo) {
        let mut dish = plate.dish.clone();
        dish.wood.tone = tone;
        let report = treen::feasibility::check(&dish, &shop, &Pins::default());
        let sheet = shape_card(&recipe, &dish, (&report, &plate.plan), &shop);
        let mut fills = opaque(&sheet);
        let name = fills.pop().expect("a name");
        assert!(fills.len() >= 2, "{tone:?}: board and hollow, {fills:?}");
        for under in fills {
            let seen = name.contrast(under);
            assert!(seen >= 3.0, "{tone:?}: {name:?} on {under:?}: {seen}");
        }
    }
    // Black on white is 21 by definition.
    let (black, white) = (Color::new([0; 3]), Color::new([255; 3]));
    assert!((black.contrast(white) - 21.0).abs() < 1e-9, "black on white");
    assert!((white.contrast(white) - 1.0).abs() < 1e-9, "white on white");
}
