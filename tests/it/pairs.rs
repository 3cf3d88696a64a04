//! Which part of a recess each of two cutters reaches, against closed forms.

use crate::sample::{Case, boat, the_shop};
use std::f64::consts::PI;
use treen::curve::{BezPath, Origin, Region};
use treen::dish::Dish;
use treen::feasibility::{Pair, Pins, check, recess_pair};
use treen::model::Shop;

/// A square recess of this side with sharp corners in a large dish.
fn squared(side: f64, depth: f64) -> Dish {
    let mut dish = boat("");
    let half = side / 2.0;
    let mut path = BezPath::new();
    path.move_to((-half, -half));
    path.line_to((half, -half));
    path.line_to((half, half));
    path.line_to((-half, half));
    path.close_path();
    dish.recesses[0].region =
        Region::filled(&path, Origin::default()).expect("a square has an area");
    dish.recesses[0].depth = depth;
    dish
}

/// The demo's shop with a house that sands away so much.
fn shop(sanding: &str) -> Shop {
    let mut shop = the_shop();
    shop.house.sanding = treen::units::Mm::parse(sanding).expect("a length");
    shop
}

fn pair(dish: &Dish, shop: &Shop) -> Pair {
    let report = check(dish, shop, &Pins::default());
    recess_pair(dish, shop, &report.swap).expect("a pair")
}

fn near(what: &str, have: f64, want: f64) {
    assert!((have - want).abs() < 0.02 + want.abs() * 1e-4, "{what}: {have} for {want}");
}

#[test]
fn a_square_is_shared_by_two_cutters() {
    // A ball nose of 9.525 mm leaves (√2 − 1) r = 1.973 mm deep in a right corner.
    let shop = shop("2 mm");
    let dish = squared(70.0, 12.0);
    let pair = pair(&dish, &shop);
    let id = |index: usize| shop.cutters[index].id();
    assert_eq!(id(pair.first), "bowl-25", "the largest clears");
    let second = pair.second.expect("a second cutter");
    assert_eq!(id(second), "ball-9", "the largest that follows");
    let [reached] = pair.reached.as_slice() else { panic!("one recess") };
    // A square less the four corners that a disc leaves: (4 − π) r².
    let (large, small) = (12.7, 9.525 / 2.0);
    let corners = |r: f64| (4.0 - PI) * r * r;
    near("cleared", reached.by_first.area(), 4900.0 - corners(large));
    near("followed", reached.by_second.area(), corners(large) - corners(small));
    near("spots", reached.area_left(), reached.by_second.area());
    assert_eq!(pair.spots(), 4, "one in each corner");
    assert!(reached.by_first.keep(&reached.by_second).area() < 0.01, "apart");
    // The bowl bit's corner of 6.35 mm curves all along the walls; its flat of 6.35 mm radius
    // rounds the corners of the floor. A ball nose has no flat.
    let flat = (70.0_f64 - 2.0 * 6.35).powi(2) - corners(large - 6.35);
    near("flat", reached.flat.area(), flat);
}

#[test]
fn a_shallow_recess_shows_a_smaller_circle_at_the_surface() {
    // 3 mm deep a bowl bit with DC 25.4 and RE 6.35 shows 6.35 + √(6.35² − 3.35²) mm.
    let dish = squared(70.0, 3.0);
    let pair = pair(&dish, &shop("6 mm"));
    assert!(pair.second.is_none(), "what is left is sanded away");
    let shown = 6.35 + (6.35_f64.powi(2) - 3.35_f64.powi(2)).sqrt();
    let [reached] = pair.reached.as_slice() else { panic!("one recess") };
    near("cleared", reached.by_first.area(), 4900.0 - (4.0 - PI) * shown * shown);
    let flat = (70.0 - 2.0 * (shown - 6.35)).powi(2) - (4.0 - PI) * 6.35 * 6.35;
    near("flat", reached.flat.area(), flat);
    assert!(reached.by_second.is_empty() && reached.spots.is_empty(), "none left");
}

#[test]
fn the_plan_and_the_pair_name_the_same_cutters() {
    let case = Case::of(boat("Ada"));
    let pair = recess_pair(&case.dish, &case.shop, &case.report.swap).expect("a pair");
    let first = case.shop.cutters[pair.first].id();
    assert!(
        case.plan.operations.iter().any(|operation| operation.cutter == first),
        "{first} is in the plan"
    );
}
