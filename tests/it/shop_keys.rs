//! What a shop says of traverse, plunge, tool changes and tabs, found again in the plan: in its
//! moves and its minutes.

use crate::locales::words;
use crate::routes::along;
use crate::sample::{Case, boat};
use treen::batch::{examine, specimen};
use treen::feasibility::Pins;
use treen::finding::report;
use treen::intake::{demo, recipe, shop};
use treen::model::Shop;
use treen::plan::{Limits, Pace, Plan, Work, seconds};
use treen::sheet::proof;

/// The demo's shop with a line more in its machine, and with one more in its house.
fn shop_with(machine: &str, house: &str) -> Shop {
    let text = demo::SHOP
        .replace("machine:\n", &format!("machine:\n{machine}"))
        .replace("house:\n", &format!("house:\n{house}"));
    let read = shop("shop.yaml", &text);
    read.value.unwrap_or_else(|| panic!("{:?}", read.findings))
}

fn plan(shop: &Shop) -> Plan {
    let text = demo::RECIPES.iter().find(|(key, _)| *key == "snail").expect("built in").1;
    let snail = recipe("snail.yaml", text, "snail", None).value.expect("readable");
    let mut order = specimen(&snail, Vec::new());
    "Ada".clone_into(&mut order.name);
    examine(&snail, &order, shop, &Pins::default()).dish.expect("drawn").2
}

/// Cutter and moves of every operation.
fn ways(plan: &Plan) -> Vec<(&str, &treen::plan::Route)> {
    let route = |op: &'_ treen::plan::Operation| op.route.is_some();
    assert!(plan.operations.iter().all(route), "every cut has its moves");
    let all = plan.operations.iter();
    all.filter_map(|op| Some((op.cutter.as_str(), op.route.as_ref()?))).collect()
}

/// Minutes of an operation are those of its moves in the machine as stated.
fn timed(plan: &Plan, shop: &Shop) {
    for op in &plan.operations {
        let route = op.route.as_ref().expect("moves");
        let limits = Limits::of(&op.rates, &shop.machine);
        let minutes = seconds(route, &limits) / 60.0;
        assert!((op.minutes - minutes).abs() < 1e-12, "{:?}: {minutes}", op.work);
    }
}

#[test]
fn a_slow_traverse_leaves_the_moves_and_costs_time_wherever_the_tip_travels() {
    let slow = shop_with("  traverse: 1500\n", "");
    assert!((slow.machine.traverse - 1500.0).abs() < 1e-12, "as stated");
    let (usual, slow_plan) = (plan(&shop_with("", "")), plan(&slow));
    assert_eq!(ways(&usual), ways(&slow_plan), "the same moves");
    timed(&slow_plan, &slow);
    for (a, b) in usual.operations.iter().zip(&slow_plan.operations) {
        let travelled = a.route.as_ref().expect("moves").length(Pace::Traverse);
        assert!(travelled > 0.0, "every cut begins and ends above the board");
        assert!(b.minutes > a.minutes, "{:?}: {} {}", a.work, a.minutes, b.minutes);
        // At most four times as slow wherever it travels.
        let most = travelled * (1.0 / 1500.0 - 1.0 / 6000.0);
        assert!(b.minutes - a.minutes <= most + 1e-9, "{:?}: {most}", a.work);
    }
}

#[test]
fn a_slow_plunge_is_the_plunge_of_every_cutter_and_costs_time() {
    let slow = shop_with("  plunge: 120\n", "");
    let (usual, slow_plan) = (plan(&shop_with("", "")), plan(&slow));
    assert_eq!(ways(&usual), ways(&slow_plan), "the same moves");
    timed(&slow_plan, &slow);
    let mut slower = 0;
    for (a, b) in usual.operations.iter().zip(&slow_plan.operations) {
        assert!(a.rates.plunge > 120.0 + 1e-9, "{:?} had a faster one", a.work);
        assert!((b.rates.plunge - 120.0).abs() < 1e-12, "{:?} has this one", b.work);
        let down = a.route.as_ref().expect("moves").length(Pace::Plunge);
        let same = (b.minutes - a.minutes).abs() < 1e-12;
        assert_eq!(same, down <= 0.0, "{:?} plunges {down} mm", a.work);
        slower += usize::from(!same);
    }
    assert!(slower >= 2, "name and details plunge");
}

#[test]
fn tool_changes_cost_what_the_shop_says() {
    for minutes in [0.0, 2.0, 5.5] {
        let shop = shop_with(&format!("  tool_change: {minutes}\n"), "");
        let plan = plan(&shop);
        let cutting: f64 = plan.operations.iter().map(|op| op.minutes).sum();
        let changes = plan.tool_changes() as f64;
        assert!(changes >= 3.0, "several cutters");
        let rest = plan.minutes() - cutting;
        assert!((rest - minutes * changes).abs() < 1e-9, "{rest} for {changes}");
    }
}

/// Where changing the cutter costs much, no more cutters are used than where it is free.
#[test]
fn dear_tool_changes_are_not_more_of_them() {
    let changes = |minutes: &str| {
        plan(&shop_with(&format!("  tool_change: {minutes}\n"), "")).tool_changes()
    };
    let (free, dear) = (changes("0"), changes("60"));
    assert!(dear <= free, "{dear} changes of an hour, {free} of no time");
}

#[test]
fn tabs_are_as_many_and_as_large_as_the_shop_says() {
    for (count, length, height) in [(3, 8.0, 2.5), (5, 5.0, 1.5)] {
        let tabs = format!(
            "  tabs: {{count: {count}, length: {length} mm, height: {height} mm}}\n"
        );
        let plan = plan(&shop_with("", &tabs));
        assert_eq!(plan.tabs.len(), count, "as many");
        let op = plan.operations.iter().find(|op| op.work == Work::CutOut);
        let op = op.expect("a cut-out");
        let route = op.route.as_ref().expect("moves");
        let top = height - 25.4;
        for tab in &plan.tabs {
            assert!((tab.length - length).abs() < 1e-12, "{tab:?}");
            assert!((tab.height - height).abs() < 1e-12, "{tab:?}");
            // The tip's edge stays off the tab's length: over it the tip is as high as it.
            let mut lowest = f64::INFINITY;
            for passage in route.passages() {
                for place in along(&passage, 0.2) {
                    if place.plan().distance(tab.at) < length / 2.0 {
                        lowest = lowest.min(place.z);
                    }
                }
            }
            assert!((lowest - top).abs() < 1e-6, "{lowest} over a tab up to {top}");
        }
        assert!((route.depth() - op.depth).abs() < 1e-9, "elsewhere all the way through");
    }
}

#[test]
fn a_machine_that_does_not_round_corners_takes_its_time_by_what_it_states() {
    let usual = shop_with("", "");
    let stated = shop_with("  corner: 90\n", "");
    assert_eq!(stated.machine.corner, Some(90.0), "as stated");
    let (before, after) = (plan(&usual), plan(&stated));
    timed(&after, &stated);
    let cut_out = |plan: &Plan| -> f64 {
        let op = plan.operations.iter().find(|op| op.work == Work::CutOut);
        op.expect("a cut-out").minutes
    };
    // Corners of moves in three directions: 1.5 mm/s of change is less than rounding allows.
    assert!(cut_out(&after) > cut_out(&before), "more often slow");
}

/// A shop whose proofs say something.
fn saying(line: &str) -> treen::finding::Checked<Shop> {
    let cutters = "cutters: [{id: end-6, kind: end mill, diameter: 6 mm}]";
    shop("shop.yaml", &format!("{cutters}\nproof:\n  {line}\n"))
}

#[test]
fn a_proof_says_whom_to_answer_and_until_when_and_promises_the_same() {
    let mut case = Case::of(boat("Zoë"));
    let page = |case: &Case| proof(&case.dish, &case.report, &case.plan, &case.shop);
    // What cannot be made is not to be answered yet.
    case.report.findings.clear();
    let before = page(&case);
    let lines = ["workshop: Pebble Street Workshop", "address: 3 Pebble Street"];
    let more = ["reply: 01632 960 123", "answer_by: 2026-07-24"];
    let all = [lines, more].concat().join("\n  ");
    case.shop.workshop = saying(&all).value.expect("a shop").workshop;
    let after = page(&case);
    let said = words(&after);
    for text in ["Pebble Street Workshop", "3 Pebble Street", "01632 960 123"] {
        assert!(said.iter().any(|it| it == text), "`{text}` in {said:?}");
    }
    let asked = "Please answer by 2026-07-24: 01632 960 123";
    assert!(said.iter().any(|it| it == asked), "`{asked}` in {said:?}");
    assert_eq!(before.version, after.version, "the dish is the same");
}

#[test]
fn what_a_proof_cannot_say_is_told_with_its_place() {
    let long = format!("reply: {}", "so ".repeat(30));
    let faults = [
        ("workshop: \"\"", "`workshop` is empty"),
        (long.as_str(), "`reply` is too long"),
        ("address: \"3 Pebble Street\\nLittlebrook\"", "`address` is more than one line"),
        ("answer_by: [soon]", "`answer_by`"),
    ];
    for (line, what) in faults {
        let read = saying(line);
        assert!(read.value.is_none(), "{line}: not read");
        let text = report(&read.findings);
        assert!(text.contains(what), "{line}: {text}");
        let column = line.find(": ").expect("a key") + 5;
        assert!(text.contains(&format!("shop.yaml:3:{column}")), "{line}: {text}");
        assert!(text.contains("expected"), "{line}: {text}");
    }
}
