//! V-carved shapes whose depth and volume are known in closed form, from the moves of the plan.

use crate::golden::value;
use crate::routes::along;
use crate::sample::boat;
use std::collections::BTreeMap;
use treen::curve::{BezPath, Origin, Point, Region, primitive};
use treen::dish::Dish;
use treen::feasibility::{Pins, check};
use treen::intake::shop;
use treen::lettering::write;
use treen::model::{Cutter, Shop, Surface};
use treen::plan::{Operation, Work, choose};
use treen::units::Mm;

/// A shop with one V-bit, 64 mm wide so that no shape here is cut short.
fn shop_with(angle: f64) -> Shop {
    let text = format!(
        "cutters:
  - {{id: end-6, kind: end mill, diameter: 6, stick_out: 90, flutes: 2}}
  - {{id: vee, kind: v-bit, diameter: 64, angle: {angle}, stick_out: 90, flutes: 2,
     stepdown: 100}}
woods: [{{name: maple, thickness: 80}}]
"
    );
    let read = shop("shop.yaml", &text);
    read.value.unwrap_or_else(|| panic!("{:?}", read.findings))
}

/// A board whose face bears a shape instead of a name, to be carved as deep as it takes.
fn carved(points: &[(f64, f64)], shop: &Shop) -> (Dish, Operation) {
    let points: Vec<Point> = points.iter().map(|p| Point::from(*p)).collect();
    carved_path(&primitive::polygon(&points).expect("a shape"), shop)
}

fn carved_path(path: &BezPath, shop: &Shop) -> (Dish, Operation) {
    let mut dish = boat("Ada");
    dish.wood = shop.woods[0].clone();
    dish.recesses.clear();
    dish.grooves.clear();
    (dish.outer_round, dish.rim) = (None, None);
    let name = dish.name.as_mut().expect("a name");
    name.region = Region::filled(path, Origin::default()).expect("an area");
    name.on = Surface::Rim;
    (name.depth, name.floor) = (70.0, 10.0);
    name.widest = 64.0;
    name.thinnest = None;
    let report = check(&dish, shop, &Pins::default());
    let plan = choose(&dish, &report, shop).value.expect("a plan");
    let mut operations = plan.operations.into_iter();
    let operation = operations.find(|op| op.work == Work::Name);
    (dish, operation.expect("the shape is carved"))
}

/// Where the tip goes in the wood, places at most `step` mm apart: right, up, deep.
fn tips(operation: &Operation, step: f64) -> Vec<(f64, f64, f64)> {
    let route = operation.route.as_ref().expect("moves");
    let mut tips = Vec::new();
    for passage in route.passages() {
        let places = along(&passage, step);
        tips.extend(places.iter().filter(|p| p.z < 0.0).map(|p| (p.x, p.y, -p.z)));
    }
    tips
}

/// Volume and greatest depth cut away by a cone along the moves, looked up at points `step` mm
/// apart in plan, mm³ and mm.
fn swept(operation: &Operation, angle: f64, step: f64) -> (f64, f64) {
    let slope = 1.0 / (angle / 2.0).to_radians().tan();
    let tips = tips(operation, 0.1);
    let deepest = tips.iter().map(|tip| tip.2).fold(0.0, f64::max);
    let half = (60.0 / step) as i32;
    let mut volume = 0.0;
    for i in -half..half {
        for j in -half..half {
            let (x, y) = (step * (f64::from(i) + 0.5), step * (f64::from(j) + 0.5));
            let depth =
                |tip: &(f64, f64, f64)| tip.2 - slope * (tip.0 - x).hypot(tip.1 - y);
            let most = tips.iter().map(depth).fold(0.0, f64::max);
            volume += most * step * step;
        }
    }
    (volume, deepest)
}

/// Golden rows VC: the depth of a V-bit is its clearance over the tangent of half its angle, so
/// the volume is that of the roof over the shape: elementary geometry, the integral of the area
/// of its insets.
#[test]
fn a_bit_goes_as_deep_as_its_clearance_and_takes_the_volume_of_the_roof() {
    let shop = shop_with(90.0);
    let square = [(-10.0, -10.0), (10.0, -10.0), (10.0, 10.0), (-10.0, 10.0)];
    let (_, operation) = carved(&square, &shop);
    let (volume, deepest) = swept(&operation, 90.0, 0.5);
    assert!((deepest - 10.0).abs() < 1e-3, "half of 20 mm: {deepest}");
    let want = value("VC-vol-sq");
    assert!((volume / want - 1.0).abs() < 0.01, "{volume}, not {want}");

    let bar = [(-15.0, -10.0), (15.0, -10.0), (15.0, 10.0), (-15.0, 10.0)];
    let (_, operation) = carved(&bar, &shop);
    let (volume, deepest) = swept(&operation, 90.0, 0.5);
    assert!((deepest - 10.0).abs() < 1e-3, "half of 20 mm: {deepest}");
    let want = value("VC-vol-rect");
    assert!((volume / want - 1.0).abs() < 0.01, "{volume}, not {want}");
}

#[test]
fn sixty_degrees_are_as_deep_as_the_clearance_over_its_tangent() {
    let shop = shop_with(60.0);
    let find = |id: &str| shop.cutters.iter().find(|c: &&Cutter| c.id() == id);
    let vee = find("vee").expect("on the rack");
    let depth = vee.height_at(5.0).expect("wide enough");
    assert!((depth - value("VC-depth60")).abs() < 1e-9, "5 mm of clearance: {depth}");
    let tall = 100.0 * 3.0_f64.sqrt() / 2.0;
    let (low, high) = (-tall / 3.0, tall * 2.0 / 3.0);
    let (dish, operation) = carved(&[(-50.0, low), (50.0, low), (0.0, high)], &shop);
    assert!(dish.wood.thickness > Mm::new(50.0).expect("finite"), "a thick board");
    let deepest = operation.route.as_ref().expect("moves").depth();
    assert!((deepest - value("VC-eqtri")).abs() < 1e-2, "{deepest}");
}

/// Half widths along the medial axes of letters as scikit-image finds them on pixels of 0.02 mm
/// (`../reference/medial.py`): there the tip goes as deep as that over the tangent of half the
/// bit's angle.
#[test]
fn letters_are_as_deep_as_the_half_widths_scikit_image_finds() {
    const OFF: f64 = 0.03;
    let mut letters: BTreeMap<[&str; 2], Vec<[f64; 3]>> = BTreeMap::new();
    for line in include_str!("../reference/medial.tsv").lines().skip(1) {
        let [face, letter, x, y, half] = line.split('\t').collect::<Vec<_>>()[..] else {
            panic!("{line}");
        };
        let number = |text: &str| text.parse::<f64>().expect("a number");
        let row = [x, y, half].map(number);
        letters.entry([face, letter]).or_default().push(row);
    }
    assert_eq!(letters.len(), 12, "letters of three faces");
    for angle in [60.0_f64, 90.0] {
        let shop = shop_with(angle);
        let slope = 1.0 / (angle / 2.0).to_radians().tan();
        let mut worst = 0.0_f64;
        for ([face, letter], places) in &letters {
            let written = write(letter, Some(face), 20.0).expect("a face");
            let (_, operation) = carved_path(&written.glyphs[0], &shop);
            let tips = tips(&operation, 0.02);
            for [x, y, half] in places {
                let depth =
                    |tip: &(f64, f64, f64)| tip.2 - slope * (tip.0 - x).hypot(tip.1 - y);
                let deep = tips.iter().map(depth).fold(0.0, f64::max);
                let off = deep - half * slope;
                worst = worst.max(off.abs());
                assert!(
                    off.abs() < OFF,
                    "{letter} in {face} at {x}, {y}, {angle} degrees: {deep} mm deep, {} found",
                    half * slope
                );
            }
        }
        println!("{angle} degrees: at most {worst:.4} mm off");
    }
}
