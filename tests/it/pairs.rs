//! Which part of a recess each of two cutters reaches, against closed forms.

use crate::sample::{Case, boat, the_shop};
use std::f64::consts::PI;
use treen::curve::{BezPath, Origin, Region};
use treen::dish::Dish;
use treen::feasibility::{Pair, Pins, check, recess_pair};
use treen::finding::Code;
use treen::model::{Shop, Surface};
use treen::plan::choose;
use treen::sheet::{Drawn, Mark, Plate, gallery, swap_card};

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

/// A bar of letters along the lower wall of a square of 70 mm, from so far off it to so far.
fn lettered(depth: f64, (near, far): (f64, f64)) -> Dish {
    let mut dish = squared(70.0, depth);
    let (y0, y1) = (near - 35.0, far - 35.0);
    let mut path = BezPath::new();
    path.move_to((-10.0, y0));
    path.line_to((10.0, y0));
    path.line_to((10.0, y1));
    path.line_to((-10.0, y1));
    path.close_path();
    let mut name = boat("Zoë").name.expect("a name");
    name.on = Surface::Floor;
    name.region = Region::filled(&path, Origin::default()).expect("an area");
    dish.name = Some(name);
    dish
}

/// In a recess of 3 mm a bowl bit with DC 25.4 and RE 6.35 curves along the wall for
/// √(6.35² − 3.35²) = 5.394 mm only, not for its whole corner radius.
#[test]
fn letters_are_held_to_the_floor_that_comes_out_flat() {
    let shop = shop("6 mm");
    let up_the_curve = |bar: (f64, f64)| {
        let dish = lettered(3.0, bar);
        let report = check(&dish, &shop, &Pins::default());
        let said = choose(&dish, &report, &shop).findings;
        said.iter().any(|finding| {
            finding.code == Code::NameDoesNotFit
                && finding.message.contains("run up the curve")
        })
    };
    assert!(!up_the_curve((5.42, 6.3)), "on the flat");
    assert!(up_the_curve((5.0, 6.3)), "7.9 mm² on the curve");
}

#[test]
fn the_gallery_draws_the_floor_that_comes_out_flat() {
    let shop = shop("6 mm");
    let dish = squared(70.0, 3.0);
    let report = check(&dish, &shop, &Pins::default());
    let plan = choose(&dish, &report, &shop).value.expect("a plan");
    let pair = plan.pair.as_ref().expect("a pair");
    let size = |path: &BezPath| {
        let bounds = treen::curve::Drawn::bounding_box(path);
        [bounds.width(), bounds.height()]
    };
    let [outline, flat] =
        [&dish.outline, &pair.reached[0].flat].map(|region| size(&region.path()));
    let page = gallery(&[Plate { theme: "all".to_owned(), dish, plan }], &shop);
    let drawn: Vec<&Drawn> = page
        .layers
        .iter()
        .flat_map(|layer| &layer.marks)
        .filter_map(|mark| match mark {
            Mark::Path(drawn) => Some(drawn),
            Mark::Text(_) | Mark::Picture(_) => None,
        })
        .collect();
    let has = |filled: bool, [w, h]: [f64; 2]| {
        drawn.iter().filter(|path| path.fill.is_some() == filled).any(|path| {
            let [x, y] = size(&path.path);
            (x - w).abs() < 1e-6 && (y - h).abs() < 1e-6
        })
    };
    let wood = drawn.iter().find(|path| path.fill.is_some() && path.clip.is_none());
    let factor = size(&wood.expect("wood").path)[0] / outline[0];
    assert!(has(true, outline.map(|mm| mm * factor)), "the outline at one scale");
    assert!(has(false, flat.map(|mm| mm * factor)), "and the edge of the flat floor");
}

/// Each size of cutter has the part of the recess that it reaches and no larger one: a disc
/// of radius r leaves (4 − π) r² of a square.
#[test]
fn the_card_shows_what_each_size_reaches() {
    let shop = the_shop();
    let dish = squared(70.0, 12.0);
    let report = check(&dish, &shop, &Pins::default());
    let card = swap_card(&report.swap, &dish, &shop);
    let layer = card.layers.iter().find(|layer| layer.name == "tinted").expect("drawn");
    let texts: Vec<&str> = layer
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Text(text) => Some(text.text.as_str()),
            Mark::Path(_) | Mark::Picture(_) => None,
        })
        .collect();
    let from = texts.iter().position(|text| *text == "in the recess").expect("a key");
    let shares: Vec<f64> = texts[from..]
        .iter()
        .filter_map(|text| text.strip_suffix(" %")?.parse().ok())
        .collect();
    let radii = [12.7, 9.525, 5.556, 4.7625, 3.175];
    let left = |r: f64| (4.0 - PI) * r * r / 49.0;
    let mut want = vec![100.0 - left(radii[0])];
    want.extend(radii.windows(2).map(|pair| left(pair[0]) - left(pair[1])));
    want.push(left(radii[4]));
    assert_eq!(shares.len(), want.len(), "{texts:?}");
    for (have, want) in shares.iter().zip(&want) {
        assert!((have - want).abs() <= 0.051, "{shares:?} for {want:?}");
    }
    // A number in each corner for each size that has to follow, beside that in the key.
    for number in ["2", "3", "4", "5"] {
        let count = texts.iter().filter(|text| **text == number).count();
        assert_eq!(count, 5, "of {number}: {texts:?}");
    }
}
