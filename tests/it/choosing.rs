//! The cutters chosen, the reasons against the others, and what the maker's own choice costs.

use crate::random_shapes::Dice;
use std::collections::BTreeSet;
use treen::batch::{Examined, Library, examine, specimen};
use treen::feasibility::Pins;
use treen::finding::{Code, Finding, Severity, Source, SourceFile};
use treen::intake::{demo, orders_csv, orders_yaml, recipe, shop};
use treen::model::{OrderForm, Pin, Recipe, Shop};
use treen::plan::{Choice, Leg, Plan, Work, best};

/// Minutes to change a cutter in the demo's shop.
const TOOL_CHANGE: f64 = 2.0;

fn the_recipe(text: &str) -> Recipe {
    let read = recipe("test.yaml", text, "test", None);
    read.value.unwrap_or_else(|| panic!("{:?}", read.findings))
}

fn the_shop(more: &str) -> Shop {
    let read = shop("shop.yaml", &format!("{}{more}", demo::SHOP));
    read.value.unwrap_or_else(|| panic!("{:?}", read.findings))
}

/// A disc of 40 mm with tangents to a point 110 mm away, rounded for a cutter of 6 mm.
const TAIL: &str = "
title: Tail
let: {t: acos(40 / 110)}
outline: [{circle: {center: [20, 0], radius: 130}}]
recess:
  shape:
    - circle: {radius: 40}
    - add: {polygon: {points: [[0, 0], [40 * cos(t), -40 * sin(t)], [110, 0], [40 * cos(t), 40 * sin(t)]]}}
  keep_floor: 6 mm
  corners: 6 mm
";

fn looked_at(text: &str, shop: &Shop, pins: &[(Work, &str)]) -> Examined {
    let recipe = the_recipe(text);
    let mut typed = Pins::default();
    for (work, id) in pins {
        let source = Source::whole(&SourceFile::new("--use", *id));
        typed.set(Pin { work: *work, cutter: (*id).to_owned(), source });
    }
    examine(&recipe, &specimen(&recipe, Vec::new()), shop, &typed)
}

fn plan(examined: &Examined) -> &Plan {
    let (.., plan) = examined.dish.as_ref().expect("drawn");
    plan
}

fn choice(examined: &Examined, work: Work) -> &Choice {
    let mut choices = plan(examined).choices.iter();
    choices.find(|choice| choice.work == work).expect("a choice")
}

fn reason<'e>(examined: &'e Examined, work: Work, id: &str) -> &'e str {
    let refused = choice(examined, work).refused.iter().find(|r| r.cutter == id);
    &refused.unwrap_or_else(|| panic!("{id} is not refused")).reason
}

fn said(examined: &Examined, code: Code) -> Option<&Finding> {
    examined.findings.iter().find(|finding| finding.code == code)
}

/// GEOS 3.14.1, `tests/reference/tail.tsv`, made by `tail.py` beside it.
fn reference(name: &str) -> f64 {
    let text = include_str!("../reference/tail.tsv");
    let line = text.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix('\t'));
    line.and_then(|value| value.parse().ok()).expect("a stored value")
}

#[test]
fn a_pointed_tail_takes_a_large_cutter_and_a_small_one_after_it() {
    let examined = looked_at(TAIL, &the_shop(""), &[]);
    let chosen = |work| choice(&examined, work).chosen.clone();
    assert_eq!(chosen(Work::Recess), ["bowl-25"]);
    assert_eq!(chosen(Work::RecessCorners), ["bowl-11"]);
    // The one of 1 in does not get into the tail, the one of 7/16 in does.
    let why = reason(&examined, Work::RecessCorners, "bowl-25");
    assert!(why.contains("leaves wood in 1 place"), "{why}");
    let able = &choice(&examined, Work::RecessCorners).able;
    assert!(able.iter().any(|able| able.cutter == "bowl-11"), "{able:?}");
    // What is left to the small one: GEOS, and the closed form of a wedge opened by two discs.
    let (dish, report, _) = examined.dish.as_ref().expect("drawn");
    let row = report.swap.rows.iter().find(|row| row.id == "bowl-25").expect("a row");
    let (area, left) = (dish.recesses[0].region.area(), row.area_left());
    let within = |have: f64, want: f64| (have / want - 1.0).abs() < 1e-3;
    assert!(within(area, reference("area")), "{area}, GEOS {}", reference("area"));
    assert!(within(left, reference("left")), "{left}, GEOS {}", reference("left"));
    assert!(within(left / area, reference("share")), "{}", left / area);
    let b = std::f64::consts::FRAC_PI_2 - (40.0_f64 / 110.0).asin();
    let exact = (12.7 * 12.7 - 36.0) * (b.tan() - b);
    assert!(within(left, exact), "{left}, by hand {exact}");
}

/// What is said about a recess shared by two cutters is said of the plan's, and counts what
/// the bench sheet draws.
#[test]
fn what_is_said_of_two_recess_cutters_is_said_of_those_planned() {
    let shop = the_shop("");
    let orders = orders_yaml("orders.yaml", demo::ORDERS).value.expect("the orders");
    let mut shared = 0;
    for order in &orders.orders {
        let text = demo::RECIPES.iter().find(|(key, _)| *key == &*order.recipe);
        let recipe = the_recipe(text.expect("built in").1);
        let examined = examine(&recipe, order, &shop, &Pins::default());
        let (.., plan) = examined.dish.as_ref().expect("drawn");
        let used = |work| plan.operations.iter().find(|op| op.work == work);
        let told = said(&examined, Code::RecessNeedsSmallerCutter);
        let Some((first, second)) = used(Work::Recess).zip(used(Work::RecessCorners))
        else {
            assert!(told.is_none(), "{}: {told:?}", order.id);
            continue;
        };
        shared += 1;
        let message = &told.expect("said").message;
        let pair = plan.pair.as_ref().expect("known parts");
        let (count, area) = (pair.spots(), pair.area_left());
        let begins = format!("bowl bit {} does not reach {count} place", first.cutter);
        assert!(message.starts_with(&begins), "{}: {message}", order.id);
        let ends = format!("; {} follows after it", second.cutter);
        assert!(message.ends_with(&ends), "{}: {message}", order.id);
        let tenths = (area * 10.0).round() / 10.0;
        assert!(message.contains(&format!("({tenths} mm²")), "{}: {message}", order.id);
    }
    assert!(shared >= 6, "only {shared} dishes of the demo have two recess cutters");
}

#[test]
fn every_cutter_of_a_kind_is_able_or_refused_with_a_reason() {
    let shop = the_shop("");
    for (name, text) in demo::RECIPES {
        let examined = looked_at(text, &shop, &[]);
        for choice in &plan(&examined).choices {
            let able: Vec<&str> = choice.able.iter().map(|a| a.cutter.as_str()).collect();
            let refused: Vec<&str> =
                choice.refused.iter().map(|r| r.cutter.as_str()).collect();
            let all: BTreeSet<&str> = able.iter().chain(&refused).copied().collect();
            let kinds = choice.work.kinds();
            let rack: BTreeSet<&str> = shop
                .cutters
                .iter()
                .filter(|cutter| kinds.contains(&cutter.kind()))
                .map(treen::model::Cutter::id)
                .collect();
            assert_eq!(all, rack, "{name}: {:?}", choice.work);
            assert_eq!(able.len() + refused.len(), rack.len(), "{name}: none is both");
            for refused in &choice.refused {
                assert!(refused.reason.len() > 10, "{name}: {refused:?}");
            }
            let known = |id: &String| able.contains(&id.as_str());
            assert!(choice.chosen.iter().all(known), "{name}: {choice:?}");
        }
    }
}

/// Every way of every stage tried, told apart by the rule as it is written down.
fn by_trying(stages: &[Vec<Vec<Leg>>]) -> (i64, i64, i64, usize) {
    let tenths = |minutes: f64| (minutes * 10.0).round();
    let mut all: Vec<Vec<Leg>> = vec![Vec::new()];
    for ways in stages.iter().filter(|ways| !ways.is_empty()) {
        all = all
            .iter()
            .flat_map(|before| {
                ways.iter().map(move |way| [before.as_slice(), way].concat())
            })
            .collect();
    }
    let cost = |legs: &Vec<Leg>| {
        let ids: Vec<usize> = legs.iter().map(|leg| leg.0).collect();
        let changes = i64::try_from(ids.chunk_by(|a, b| a == b).count()).expect("few");
        let times: f64 = legs.iter().map(|leg| tenths(leg.2)).sum();
        let time = times + tenths(TOOL_CHANGE) * changes as f64;
        let size: f64 = legs.iter().map(|leg| (leg.1 * 1000.0).round()).sum();
        (time as i64, changes, -(size as i64), ids.iter().sum::<usize>())
    };
    all.iter().map(cost).min().expect("at least the empty way")
}

#[test]
fn the_best_of_all_ways_is_found() {
    for seed in 0..400 {
        let mut dice = Dice(seed * 7919 + 1);
        let mut number =
            |below: usize| usize::try_from(dice.below(below as u64)).expect("small");
        let diameters = [3.175, 6.35, 6.35, 12.7, 25.4];
        let stages: Vec<Vec<Vec<Leg>>> = (0..=number(5))
            .map(|_| {
                (0..number(4))
                    .map(|_| {
                        (0..=number(3))
                            .map(|_| {
                                let cutter = number(diameters.len());
                                (cutter, diameters[cutter], number(40) as f64 / 10.0)
                            })
                            .collect()
                    })
                    .collect()
            })
            .collect();
        let found = best(&stages, TOOL_CHANGE);
        assert_eq!(found.len(), stages.len());
        let taken: Vec<Vec<Vec<Leg>>> = stages
            .iter()
            .zip(&found)
            .map(|(ways, at)| at.map(|at| vec![ways[at].clone()]).unwrap_or_default())
            .collect();
        for (ways, at) in stages.iter().zip(&found) {
            assert_eq!(at.is_none(), ways.is_empty(), "seed {seed}");
        }
        assert_eq!(by_trying(&taken), by_trying(&stages), "seed {seed}");
    }
}

#[test]
fn ties_go_to_the_larger_cutter_then_to_the_rack() {
    let way = |cutter: usize, diameter: f64| vec![(cutter, diameter, 3.0)];
    // 3.04 and 3.0 minutes are the same tenth.
    let near = vec![(2, 12.7, 3.04)];
    assert_eq!(best(&[vec![way(0, 6.0), near, way(1, 12.7)]], TOOL_CHANGE), [Some(2)]);
    // A longer cut without a change wins while it is shorter than a change.
    let stages = [vec![way(0, 6.0)], vec![vec![(1, 9.0, 1.0)], vec![(0, 6.0, 2.9)]]];
    assert_eq!(best(&stages, TOOL_CHANGE), [Some(0), Some(1)]);
    let stages = [vec![way(0, 6.0)], vec![vec![(1, 9.0, 1.0)], vec![(0, 6.0, 3.1)]]];
    assert_eq!(best(&stages, TOOL_CHANGE), [Some(0), Some(0)]);
}

#[test]
fn a_cutter_asked_for_is_taken_and_its_cost_is_told() {
    let shop = the_shop("");
    let free = looked_at(TAIL, &shop, &[]);
    assert!(plan(&free).asked.is_none(), "nobody asked");
    let pinned = looked_at(TAIL, &shop, &[(Work::Recess, "bowl-11")]);
    assert_eq!(choice(&pinned, Work::Recess).chosen, ["bowl-11"]);
    assert!(choice(&pinned, Work::Recess).pinned);
    assert!(choice(&pinned, Work::RecessCorners).chosen.is_empty(), "it does it all");
    let asked = plan(&pinned).asked.as_ref().expect("a cost");
    let more = plan(&pinned).minutes() - plan(&free).minutes();
    assert!((asked.minutes - more).abs() < 1e-9, "{} is not {more}", asked.minutes);
    assert!(more > 0.0, "the free choice is the quickest");
    assert_eq!(asked.changes, -1, "one cutter instead of two");
    let told = said(&pinned, Code::CutterAskedFor).expect("a note");
    assert_eq!(told.severity, Severity::Note);
    assert!(told.message.contains("1 tool change less"), "{}", told.message);
    assert!(told.remedies.iter().any(|r| r.text.contains("bowl-25")), "{told:?}");
}

/// Whatever other cutters are asked for to carve the recess, the moves of the whole plan take
/// no less time than with those chosen, but for the tenths of a minute that ties are told by; a
/// ball nose, which leaves cusps, may save as much as a change of cutter.
#[test]
fn no_other_cutters_for_the_recess_take_less_time() {
    const TENTHS: f64 = 0.3;
    let (shop, library) = (crate::sample::the_shop(), Library::built_in());
    let mut tried = 0;
    for key in ["oak-leaf", "initial", "tugboat"] {
        let recipe = library.load(key).and_then(|loaded| loaded.recipe).expect(key);
        let order = specimen(&recipe, Vec::new());
        let asked = |pins: &[(Work, &str)]| {
            let mut typed = Pins::default();
            for (work, id) in pins {
                let (cutter, source) = ((*id).to_owned(), recipe.source.clone());
                typed.set(Pin { work: *work, cutter, source });
            }
            examine(&recipe, &order, &shop, &typed)
        };
        let free = asked(&[]);
        let able =
            |work| choice(&free, work).able.iter().map(|able| able.cutter.as_str());
        for first in able(Work::Recess) {
            let seconds = able(Work::RecessCorners).filter(|second| *second != first);
            for second in seconds {
                let other =
                    asked(&[(Work::Recess, first), (Work::RecessCorners, second)]);
                let more = plan(&other).minutes() - plan(&free).minutes();
                let round = [first, second].iter().any(|id| id.starts_with("ball"));
                let saved = if round { shop.machine.tool_change } else { 0.0 };
                assert!(
                    more > -TENTHS - saved,
                    "{key}: {first} and {second} take {more} min more"
                );
                tried += 1;
            }
        }
    }
    assert!(tried >= 20, "{tried} pairs");
}

#[test]
fn a_cutter_asked_for_that_cannot_is_a_stop_with_the_reason() {
    let shop = the_shop("");
    let examined = looked_at(TAIL, &shop, &[(Work::RecessCorners, "bowl-25")]);
    let stop = said(&examined, Code::CutterRefused).expect("a stop");
    assert_eq!(stop.severity, Severity::Stop);
    assert!(stop.message.contains("leaves wood in 1 place"), "{}", stop.message);
    assert!(stop.remedies[0].text.contains("bowl-11"), "{:?}", stop.remedies);
    assert!(plan(&examined).operations.iter().all(|op| op.work != Work::RecessCorners));
}

#[test]
fn an_order_overrules_the_shop_and_the_command_line_both() {
    let of_shop = the_shop("\nuse: {recess: bowl-19, recess_corners: bowl-11}\n");
    let recipe = the_recipe(TAIL);
    let list = "orders: [{id: a, name: Zoë, recipe: test, use: {recess: bowl-25}}]";
    let list = orders_yaml("orders.yaml", list).value.expect("a list");
    let chosen = |typed: &Pins| {
        let examined = examine(&recipe, &list.orders[0], &of_shop, typed);
        [Work::Recess, Work::RecessCorners]
            .map(|work| choice(&examined, work).chosen.concat())
    };
    assert_eq!(chosen(&Pins::default()), ["bowl-25", "bowl-11"]);
    let mut typed = Pins::default();
    let source = list.orders[0].source.clone();
    typed.set(Pin { work: Work::RecessCorners, cutter: "ball-9".to_owned(), source });
    assert_eq!(chosen(&typed), ["bowl-25", "ball-9"]);
}

#[test]
fn a_column_of_a_table_asks_for_a_cutter() {
    let text = "id,name,recipe,use_cut_out,use_recess\na,Zoë,test,end-3,\n";
    let list =
        orders_csv("orders.csv", text, &OrderForm::default()).value.expect("a list");
    let pins = &list.orders[0].pins;
    assert_eq!(pins.of(Work::CutOut).map(|pin| pin.cutter.as_str()), Some("end-3"));
    assert!(pins.of(Work::Recess).is_none(), "an empty cell asks for nothing");
    assert!(list.orders[0].set.is_empty(), "such a column is no parameter");
}

#[test]
fn the_floor_has_its_table_of_stepovers() {
    let examined = looked_at(TAIL, &the_shop(""), &[]);
    let rows = &plan(&examined).finish;
    let shares: Vec<f64> = rows.iter().map(|row| row.share).collect();
    assert_eq!(shares, [0.08, 0.1, 0.2, 0.45]);
    let faster = rows.windows(2).all(|pair| pair[0].minutes > pair[1].minutes);
    assert!(faster, "coarser is quicker: {rows:?}");
    assert!(said(&examined, Code::StepoverTooCoarse).is_none(), "10 % is usual");
}

/// From 45 % to 8 %: the finding shows the finish and the minutes of both.
#[test]
fn a_coarse_last_pass_is_told_with_what_finer_ones_cost() {
    let text = "cutters: [{id: ball, kind: ball nose, diameter: 10, stepover: 0.45, \
                stick_out: 40}, {id: end, kind: end mill, diameter: 3, stick_out: 40}]\n";
    let shop = shop("shop.yaml", text).value.expect("a shop");
    let examined = looked_at(TAIL, &shop, &[]);
    let told = said(&examined, Code::StepoverTooCoarse).expect("a finding");
    assert_eq!(told.severity, Severity::Warn);
    // h = R − √(R² − (s/2)²) at s = 4.5 mm and at 0.8 mm, R = 5 mm.
    let cusp = |s: f64| 5.0 - (25.0 - s * s / 4.0).sqrt();
    let micron = |mm: f64| format!("{mm:.3}");
    assert!(told.message.contains(&micron(cusp(4.5))), "{}", told.message);
    let rows = &plan(&examined).finish;
    let [fine, coarse] =
        [0.08, 0.45].map(|share| rows.iter().find(|r| (r.share - share).abs() < 1e-9));
    let (fine, coarse) = (fine.expect("8 %"), coarse.expect("45 %"));
    assert!(
        (fine.cusp - cusp(0.8)).abs() < 1e-12 && (coarse.cusp - cusp(4.5)).abs() < 1e-12
    );
    assert!(fine.minutes > coarse.minutes, "finer takes longer");
    let remedy = told.remedies.iter().find(|r| r.value == Some(0.08)).expect("8 %");
    let more = ((fine.minutes - coarse.minutes) * 10.0).round() / 10.0;
    assert!(remedy.text.contains(&format!("{more} min more")), "{}", remedy.text);
}
