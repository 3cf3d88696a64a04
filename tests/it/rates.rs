//! Speeds, feeds, chips and the finish of floors against closed forms.

use crate::golden::row;
use treen::intake::{demo, shop};
use treen::model::{Cutter, Shop};
use treen::plan::{
    Guess, Limit, cusp, engagement, feed, mean_chip, peripheral, rates, ridge, step_for,
    table, thickest_chip,
};

/// A shop with one cutter `x` of these figures, and what is added to the machine.
fn the_shop(cutter: &str, machine: &str) -> Shop {
    let text = format!(
        "cutters: [{{id: x, {cutter}}}]\nmachine: {{spindle: [8000, 24000], feed: 6000{machine}}}\n"
    );
    let read = shop("shop.yaml", &text);
    read.value.unwrap_or_else(|| panic!("{:?}", read.findings))
}

fn the_cutter(cutter: &str) -> Cutter {
    the_shop(cutter, "").cutters.remove(0)
}

/// The inputs of a golden row, by name.
fn given(inputs: &str, name: &str) -> f64 {
    let found = inputs.split_whitespace().find_map(|pair| pair.strip_prefix(name));
    let value = found.and_then(|rest| rest.strip_prefix('=')).expect("an input");
    value.parse().expect("a number")
}

fn near(id: &str, have: f64) {
    let want = row(id).1;
    assert!(
        (have - want).abs() <= 1e-12 * want.abs().max(1.0),
        "{id}: {have}, not {want}"
    );
}

/// Cusps between passes, h = R − √(R² − (s/2)²) and the same beyond a flat: elementary
/// geometry of circles side by side.
#[test]
fn cusps_of_every_profile() {
    for id in ["CUSP-B1", "CUSP-B2", "CUSP-B3", "CUSP-B4"] {
        let inputs = row(id).0;
        let ball = format!("kind: ball nose, diameter: {}", given(inputs, "D"));
        near(id, cusp(&the_cutter(&ball), given(inputs, "s")));
    }
    for id in ["CUSP-CR1", "CUSP-CR3", "CUSP-CR4"] {
        let inputs = row(id).0;
        near(id, cusp(&bowl(inputs), given(inputs, "s")));
    }
    // On the flat itself nothing stays; an end mill leaves none at any stepover.
    let bowl = the_cutter("kind: bowl bit, diameter: 12.7, corner_radius: 3.175");
    assert!(cusp(&bowl, 6.35).abs() < 1e-15, "the flat of 6.35 mm leaves no cusp");
    let mill = the_cutter("kind: end mill, diameter: 6");
    assert!(cusp(&mill, 5.9).abs() < 1e-15, "an end mill leaves no cusp");
    // Passes that no longer meet leave the whole corner.
    assert!(
        (cusp(&bowl, 20.0) - 3.175).abs() < 1e-12,
        "nothing between the passes is cut"
    );
}

fn bowl(inputs: &str) -> Cutter {
    let (d, r) = (given(inputs, "D"), given(inputs, "r"));
    the_cutter(&format!("kind: bowl bit, diameter: {d}, corner_radius: {r}"))
}

/// The stepover of a cusp: the same geometry, solved for s.
#[test]
fn stepover_of_a_cusp() {
    for id in ["STEP-B2", "STEP-B3"] {
        let inputs = row(id).0;
        let ball = format!("kind: ball nose, diameter: {}", 2.0 * given(inputs, "R"));
        near(id, step_for(&the_cutter(&ball), given(inputs, "h")));
    }
    let inputs = row("STEP-CR2").0;
    near("STEP-CR2", step_for(&bowl(inputs), given(inputs, "h")));
}

#[test]
fn a_ridge_is_the_step_times_the_tilt() {
    // The series of the tangent, x + x³/3 + 2x⁵/15, at x = 0.1 degrees.
    let x = 0.1 * std::f64::consts::PI / 180.0;
    let tangent = x + x.powi(3) / 3.0 + 2.0 * x.powi(5) / 15.0;
    assert!((ridge(10.0, 0.1) - 10.0 * tangent).abs() < 1e-15, "{}", ridge(10.0, 0.1));
    assert!((ridge(10.0, -0.1) - ridge(10.0, 0.1)).abs() < 1e-15, "either way");
    assert!(ridge(10.0, 0.0).abs() < 1e-15, "a square spindle leaves none");
}

/// vf = n·z·fz and vc = π·D·n/1000 (SME, "Useful Formulas for Machining", S118).
#[test]
fn feeds_and_peripheral_speeds() {
    for id in ["FEED1", "FEED3"] {
        let inputs = row(id).0;
        let z = format!("{}", given(inputs, "z")).parse().expect("a whole number");
        near(id, feed(given(inputs, "n"), z, given(inputs, "fz")));
    }
    for id in ["VC1", "VC2", "VC3"] {
        let inputs = row(id).0;
        near(id, peripheral(given(inputs, "D"), given(inputs, "n")));
    }
}

/// Chips at a light stepover: geometry of a tooth on a circle, feed small beside it.
#[test]
fn chips_thin_at_light_stepovers() {
    for (thickest, angle, mean) in [
        ("CHIP1a", Some("CHIP1b"), None),
        ("CHIP2a", Some("CHIP2b"), Some("CHIP2c")),
        ("CHIP3a", None, Some("CHIP3c")),
    ] {
        let inputs = row(thickest).0;
        let [d, ae, fz] = ["D", "ae", "fz"].map(|name| given(inputs, name));
        near(thickest, thickest_chip(d, ae, fz));
        if let Some(id) = angle {
            near(id, engagement(d, ae));
        }
        if let Some(id) = mean {
            near(id, mean_chip(d, ae, fz));
        }
    }
    assert!((thickest_chip(10.0, 8.0, 0.1) - 0.1).abs() < 1e-15, "beyond half: the load");
}

#[test]
fn rates_stay_within_the_machine() {
    // 16000 · 2 · 0.2 = 6400 is too fast: the spindle turns slower, the chips stay.
    let shop = the_shop("kind: end mill, diameter: 25.4, flutes: 2, chip_load: 0.2", "");
    let found = rates(&shop.cutters[0], &shop.machine);
    assert_eq!((found.speed, found.feed), (15_000.0, 6000.0));
    assert_eq!(found.limit, Some(Limit::SlowerSpindle));
    assert!((found.chip - 0.2).abs() < 1e-12, "the chip load is kept");
    // A speed the shop states is held: the chips are thinner and that is told.
    let shop = the_shop(
        "kind: end mill, diameter: 25.4, flutes: 2, chip_load: 0.2, speed: 20000",
        "",
    );
    let found = rates(&shop.cutters[0], &shop.machine);
    assert_eq!((found.speed, found.feed), (20_000.0, 6000.0));
    assert_eq!((found.limit, found.guessed.len()), (Some(Limit::Feed), 0));
    assert!((found.chip - 0.15).abs() < 1e-12, "{} is not 0.15", found.chip);
    // Beyond the spindle's range.
    let shop = the_shop("kind: end mill, diameter: 6, speed: 30000, chip_load: 0.05", "");
    let found = rates(&shop.cutters[0], &shop.machine);
    assert_eq!((found.speed, found.limit), (24_000.0, Some(Limit::GreatestSpeed)));
}

#[test]
fn what_the_shop_does_not_state_is_marked_as_guessed() {
    let shop = the_shop("kind: end mill, diameter: 6", "");
    let found = rates(&shop.cutters[0], &shop.machine);
    assert_eq!(found.guessed, [Guess::ChipLoad, Guess::Speed]);
    assert!(found.feed > 0.0 && found.feed <= 6000.0, "{}", found.feed);
    assert!(found.light.is_none(), "no stepover is known");
}

#[test]
fn a_light_stepover_may_be_fed_faster_up_to_the_machine() {
    let shop = the_shop(
        "kind: bowl bit, diameter: 10, corner_radius: 2, flutes: 2, chip_load: 0.1, \
         speed: 10000, stepover: 0.1",
        "",
    );
    let light = rates(&shop.cutters[0], &shop.machine).light.expect("a light stepover");
    // At ae = D/10 the thickest chip is 0.6 of the load exactly (CHIP1a).
    assert!((light.thickest - 0.06).abs() < 1e-12, "{}", light.thickest);
    assert!((light.feed - 2000.0 / 0.6).abs() < 1e-9, "{}", light.feed);
}

/// From 45 % to 8 %: both rows are there, each with the closed form of its finish.
#[test]
fn the_table_shows_finish_and_minutes_of_each_stepover() {
    let shop = the_shop("kind: ball nose, diameter: 10", ", tram: 0.05");
    let rows = table(&shop.cutters[0], 0.45, &shop, |share| 10.0 / share);
    let shares: Vec<f64> = rows.iter().map(|row| row.share).collect();
    assert_eq!(shares, [0.08, 0.1, 0.2, 0.45]);
    for row in &rows {
        let h = 5.0 - (25.0 - (row.step / 2.0).powi(2)).sqrt();
        assert!((row.cusp - h).abs() < 1e-12, "{row:?}");
        assert!(row.ridge.abs() < 1e-15, "a ball has no flat to tilt");
        assert!((row.minutes - 10.0 / row.share).abs() < 1e-12, "{row:?}");
    }
    let present: Vec<bool> = rows.iter().map(|row| row.present).collect();
    assert_eq!(present, [false, false, false, true]);
}

#[test]
fn every_cutter_of_the_demo_has_rates_within_its_machine() {
    let shop = shop("shop.yaml", demo::SHOP).value.expect("the demo's shop");
    for cutter in &shop.cutters {
        let found = rates(cutter, &shop.machine);
        let [least, most] = shop.machine.spindle;
        assert!((least..=most).contains(&found.speed), "{}: {found:?}", cutter.id());
        assert!(found.feed <= shop.machine.feed, "{}: {found:?}", cutter.id());
        assert!(found.chip <= found.chip_load + 1e-12, "{}: {found:?}", cutter.id());
    }
}
