//! Volume, mass, price and movement of the wood against closed forms and the Wood Handbook.

use crate::golden::value;
use std::f64::consts::{FRAC_PI_4, PI};
use treen::batch::{Examined, examine, specimen};
use treen::feasibility::Pins;
use treen::finding::{Code, Severity};
use treen::intake::{recipe, shop};
use treen::model::{Shop, Species};
use treen::plan::{WoodBill, hollow, movement, rounded_off};

fn close(have: f64, want: f64, what: &str) {
    assert!((have - want).abs() <= 1e-9 * want.abs(), "{what}: {have} is not {want}");
}

/// Recess with a round floor corner: closed forms, equal to their integrals to 12 digits.
#[test]
fn hollows_with_a_round_corner() {
    let disc = |r: f64| (PI * 3600.0, 2.0 * PI * 60.0, r);
    for (id, corner) in [("REC-disc1", 3.0), ("REC-disc2", 6.35)] {
        let (area, edge, r) = disc(corner);
        close(hollow((area, edge, 1.0), 12.0, r), value(id), id);
    }
    let area = 120.0 * 80.0 - (4.0 - PI) * 100.0;
    close(area, value("REC-rrect-A"), "plan area");
    let edge = 2.0 * (100.0 + 60.0) + 2.0 * PI * 10.0;
    close(hollow((area, edge, 1.0), 12.0, 3.0), value("REC-rrect"), "REC-rrect");
    close(hollow((100.0, 40.0, 1.0), 7.0, 0.0), 700.0, "without a corner");
}

/// A hollow shallower than the corner: layers of a disc added up.
#[test]
fn hollows_shallower_than_their_corner() {
    let (radius, corner, depth) = (60.0_f64, 6.35_f64, 4.0_f64);
    let inset = |z: f64| corner - (corner * corner - (corner - z).powi(2)).sqrt();
    let count = 200_000_u32;
    let layer = depth / f64::from(count);
    let sum: f64 = (0..count)
        .map(|i| {
            let e = inset((f64::from(i) + 0.5) * layer) - inset(depth);
            PI * (radius - e).powi(2) * layer
        })
        .sum();
    let have = hollow((PI * radius * radius, 2.0 * PI * radius, 1.0), depth, corner);
    assert!((have / sum - 1.0).abs() < 1e-7, "{have} is not {sum}");
}

/// Rounding the rim of a disc: the section turned about the axis (Pappus of Alexandria).
#[test]
fn rounded_edges_of_a_disc() {
    let (radius, r) = (80.0, 3.0);
    let section = r * r * (1.0 - FRAC_PI_4);
    let centroid = r * (10.0 - 3.0 * PI) / (12.0 - 3.0 * PI);
    let edge = 2.0 * PI * radius;
    let outer = rounded_off(edge, 1.0, r, 1.0);
    close(outer, section * 2.0 * PI * (radius - centroid), "outer edge");
    let inner = rounded_off(edge, 1.0, r, -1.0);
    close(inner, section * 2.0 * PI * (radius + centroid), "edge of a hollow");
}

/// ΔD = DI·CT·(MF − MI), Wood Handbook (FPL-GTR-190) chapter 13, coefficients of Table 13-5:
/// 200 mm from 8 to 12 % moisture.
#[test]
fn movement_as_the_wood_handbook_has_it() {
    let species = |word: &str| Species::from_word(word).expect("known");
    let flat = |word: &str| movement(200.0, species(word).tangential, 4.0);
    close(flat("sugar maple"), 2.8240, "sugar maple, flat-sawn");
    close(movement(200.0, species("maple").radial, 4.0), 1.3200, "quarter-sawn");
    close(flat("beech"), 3.4480, "beech");
    close(flat("black cherry"), 1.9840, "cherry");
}

/// ρ = ρw·G·(1 + x/100), Wood Handbook chapter 4: a board of 250 x 150 x 25 mm.
#[test]
fn mass_of_a_board_of_sugar_maple() {
    let maple = Species::from_word("Hard Maple").expect("known");
    close(maple.density(), 705.6, "density");
    close(0.25 * 0.15 * 0.025 * maple.density(), 0.6615, "mass");
    assert!(Species::from_word("plywood").is_none(), "no species is guessed");
}

fn the_shop(wood: &str) -> Shop {
    let text = format!(
        "cutters:\n  - {{id: end, kind: end mill, diameter: 6, stick_out: 40}}\n  \
         - {{id: bowl, kind: bowl bit, diameter: 20, corner_radius: 3, stick_out: 40}}\n  \
         - {{id: round, kind: round-over bit, diameter: 12, corner_radius: 3, stick_out: 30}}\n\
         woods: [{{{wood}}}]\n"
    );
    let read = shop("shop.yaml", &text);
    read.value.unwrap_or_else(|| panic!("{:?}", read.findings))
}

/// A round dish of so many mm radius with a round hollow 12 mm deep in a board of 18 mm.
fn dish(radius: f64, shop: &Shop) -> Examined {
    let text = format!(
        "title: Round\noutline: [{{circle: {{radius: {radius}}}}}]\n\
         recess: {{shape: {{circle: {{radius: 60}}}}, keep_floor: 6}}\n\
         edges: {{outer: 3, recess: 3}}\n"
    );
    let read = recipe("round.yaml", &text, "round", None);
    let recipe = read.value.unwrap_or_else(|| panic!("{:?}", read.findings));
    examine(&recipe, &specimen(&recipe, Vec::new()), shop, &Pins::default())
}

fn bill(examined: &Examined) -> &WoodBill {
    let (.., plan) = examined.dish.as_ref().expect("drawn");
    plan.wood.as_ref().expect("a bill")
}

#[test]
fn mass_and_price_of_a_round_dish() {
    let shop = the_shop("name: cherry, thickness: 18, price: 2000");
    let examined = dish(80.0, &shop);
    let bill = bill(&examined);
    // A turned body: board less the recess of REC-disc1 less two rounded edges (Pappus).
    let section = 9.0 * (1.0 - FRAC_PI_4);
    let centroid = 3.0 * (10.0 - 3.0 * PI) / (12.0 - 3.0 * PI);
    let rounds = section * 2.0 * PI * (80.0 - centroid + 60.0 + centroid);
    let volume = PI * 6400.0 * 18.0 - value("REC-disc1") - rounds;
    // Circles are drawn with four curves each, 2.7e-4 of the radius off at most.
    assert!((bill.volume / volume - 1.0).abs() < 1e-3, "{} is not {volume}", bill.volume);
    let mass = bill.mass.expect("cherry is known");
    close(mass, bill.volume * 1e-9 * 560.0, "mass");
    let blank = bill.blank;
    assert!(
        (blank[0] - 210.0).abs() < 0.1 && (blank[2] - 18.0).abs() < 1e-9,
        "{blank:?}"
    );
    close(bill.price.expect("a price"), blank.iter().product::<f64>() * 2e-6, "price");
}

#[test]
fn a_wide_dish_of_a_restless_wood_is_told() {
    let narrow = the_shop("name: cherry, thickness: 18");
    let quiet = dish(80.0, &narrow);
    assert!(quiet.findings.iter().all(|f| f.code != Code::WoodMoves), "1.6 mm are usual");
    let beech = the_shop("name: nursery board, thickness: 18, species: beech");
    let examined = dish(110.0, &beech);
    let told = examined.findings.iter().find(|f| f.code == Code::WoodMoves);
    let told = told.expect("220 mm of beech move");
    assert_eq!(told.severity, Severity::Note);
    let have = told.have.expect("a number");
    assert!((have - 220.0 * 0.00431 * 4.0).abs() < 0.01, "{have}");
    let width = told.remedies[0].value.expect("a width");
    assert!((movement(width, 0.00431, 4.0) - 3.0).abs() < 1e-9, "{width}");
}

#[test]
fn a_wood_nobody_knows_has_no_mass_but_a_stated_density_has() {
    let unknown = the_shop("name: driftwood, thickness: 18");
    assert!(bill(&dish(80.0, &unknown)).mass.is_none());
    let stated = the_shop("name: driftwood, thickness: 18, density: 500");
    let examined = dish(80.0, &stated);
    let mass = bill(&examined).mass.expect("stated");
    close(mass, bill(&examined).volume * 5e-7, "mass");
}

/// Wood moves across its grain, which runs as the recipe says, else along the longer side.
#[test]
fn the_grain_runs_as_the_recipe_says() {
    let shop = the_shop("name: beech, thickness: 18");
    for (grain, across) in [("", 120.0), ("grain: x\n", 160.0), ("grain: y\n", 120.0)] {
        let text = format!(
            "title: Board\n{grain}outline: [{{rectangle: {{size: [120, 160]}}}}]\n"
        );
        let read = recipe("board.yaml", &text, "board", None);
        let recipe = read.value.unwrap_or_else(|| panic!("{:?}", read.findings));
        let order = specimen(&recipe, Vec::new());
        let examined = examine(&recipe, &order, &shop, &Pins::default());
        close(bill(&examined).across, across, grain);
        let moves = bill(&examined).movement.expect("beech is known").flat;
        close(moves, movement(across, 0.00431, 4.0), grain);
    }
}
