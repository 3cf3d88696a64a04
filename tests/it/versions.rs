//! The mark of a proof: it changes when the dish does, and only then.

use crate::kills::COIN;
use crate::sample::{Case, boat, notched};
use std::fs;
use std::sync::LazyLock;
use treen::curve::Affine;
use treen::dish::Dish;
use treen::sheet::{Mark, proof};
use treen::units::{DisplayUnit, Mm};

fn mark(case: &Case) -> String {
    let page = proof(&case.dish, &case.report, &case.plan, &case.shop);
    let version = page.version.clone().expect("a proof has a mark");
    let marks = page.layers.iter().flat_map(|layer| &layer.marks);
    let printed =
        marks.filter(|mark| matches!(mark, Mark::Text(text) if text.text == version));
    assert!(printed.count() >= 1, "`{version}` stands on the page");
    let alone = treen::sheet::version(&case.dish, &case.report, &case.plan, &case.shop);
    assert_eq!(alone, version, "the same without a page");
    version
}

/// The mark of the boat with a change, what was found and chosen as for the unchanged one.
fn changed(change: impl Fn(&mut Dish)) -> String {
    static BOAT: LazyLock<Case> = LazyLock::new(|| Case::of(boat("Zoë")));
    let Case { dish, report, plan, shop } = &*BOAT;
    let (dish, report) = (dish.clone(), report.clone());
    let mut case = Case { dish, report, plan: plan.clone(), shop: shop.clone() };
    change(&mut case.dish);
    mark(&case)
}

#[test]
fn the_mark_is_short_and_stays() {
    let mark = changed(|_| ());
    assert_eq!(mark, changed(|_| ()), "the same dish, the same mark");
    let (left, right) = mark.split_once('-').expect("two groups");
    for part in [left, right] {
        let hex = part.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
        assert!(part.len() == 4 && hex, "four digits of sixteen: {mark}");
    }
}

#[test]
fn whatever_is_promised_changes_the_mark() {
    let plain = changed(|_| ());
    let wider = |dish: &mut Dish| {
        dish.outline = dish.outline.transformed(Affine::scale(1.001));
    };
    let marks = [
        ("the name", mark(&Case::of(boat("Zoe")))),
        ("its place", {
            changed(|dish| {
                let name = dish.name.as_mut().expect("a name");
                name.region = name.region.transformed(Affine::translate((0.0, 0.5)));
            })
        }),
        ("the order", changed(|dish| dish.id.push('b'))),
        ("how many", changed(|dish| dish.quantity = 2)),
        ("the remark", changed(|dish| dish.note = None)),
        ("the wood", changed(|dish| "walnut".clone_into(&mut dish.wood.name))),
        (
            "its thickness",
            changed(|dish| {
                dish.wood.thickness = Mm::new(26.0).expect("a length");
            }),
        ),
        ("a tenth of a mm of the outline", changed(wider)),
        ("the depth of the hollow", changed(|dish| dish.recesses[0].depth = 17.9)),
        ("a groove", changed(|dish| dish.grooves.clear())),
        ("the round of the edge", changed(|dish| dish.outer_round = None)),
        ("the shape", mark(&Case::of(notched("Zoë", 3)))),
    ];
    for (what, mark) in &marks {
        assert_ne!(*mark, plain, "{what} changes the mark");
    }
    let mut all: Vec<&String> = marks.iter().map(|(_, mark)| mark).collect();
    all.sort();
    all.dedup();
    assert_eq!(all.len(), marks.len(), "each to another");
}

#[test]
fn whatever_is_not_promised_leaves_it() {
    let plain = changed(|_| ());
    assert_eq!(
        plain,
        changed(|dish| dish.date = Some("2026-07-10".to_owned())),
        "the date"
    );
    assert_eq!(plain, changed(|dish| dish.parameters.clear()), "what a value is called");
    let mut case = Case::of(boat("Zoë"));
    case.shop.house.unit = DisplayUnit::Inch;
    assert_eq!(plain, mark(&case), "the unit it is told in");
}

#[test]
fn a_dish_that_cannot_be_made_has_another_mark() {
    let mut case = Case::of(notched("Zoë", 5));
    let stopped = mark(&case);
    case.report.findings.clear();
    assert_ne!(stopped, mark(&case), "what was promised is another");
}

#[test]
fn the_manifest_has_the_mark_of_every_proof() {
    let dir = tempfile::tempdir().expect("a folder");
    fs::write(dir.path().join("coin.yaml"), COIN).expect("written");
    let list = "id,name,recipe\nv-1,Ada,coin\nv-2,Bo,coin\nv-3,Bo,nothing\n";
    fs::write(dir.path().join("list.csv"), list).expect("written");
    let run = || {
        let args = ["proof", "list.csv", "--dpi", "20"];
        crate::cli::treen(dir.path(), &args);
        let text =
            fs::read_to_string(dir.path().join("out/manifest.json")).expect("there");
        let manifest: serde_json::Value = serde_json::from_str(&text).expect("JSON");
        let orders = manifest["orders"].as_array().expect("a list").clone();
        orders.iter().map(|order| order["proof_version"].clone()).collect::<Vec<_>>()
    };
    let marks = run();
    let [first, second, none] = marks.as_slice() else { panic!("three orders") };
    assert!(none.is_null(), "none where nothing was drawn: {none}");
    for (id, mark) in [("v-1", first), ("v-2", second)] {
        let mark = mark.as_str().expect("a mark");
        let svg = fs::read_to_string(dir.path().join(format!("out/{id}-proof.svg")));
        assert!(svg.expect("there").contains(mark), "{id}: `{mark}` is on the sheet");
    }
    assert_ne!(first, second, "each its own");
    assert_eq!(marks, run(), "also of what was there already");
}
