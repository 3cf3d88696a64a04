//! A file of a general icon set becomes a dish through `svg: {file, width}`, with a verdict
//! for every cutter on the rack.

use serde_json::Value;
use std::fs;
use std::process::Command;

/// What `treen swap --json` says of an icon as a dish 180 mm wide, on the built-in rack.
fn swap(icon: &icondata_core::IconData) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    let (view, drawing) = (icon.view_box.expect("a view box"), icon.data);
    let xmlns = "http://www.w3.org/2000/svg";
    let svg = format!("<svg xmlns=\"{xmlns}\" viewBox=\"{view}\">{drawing}</svg>");
    fs::write(folder.path().join("icon.svg"), svg).expect("written");
    let recipe = "title: Icon\noutline:\n  - svg: {file: icon.svg, width: 180}\n";
    fs::write(folder.path().join("icon.yaml"), recipe).expect("written");
    let output = Command::new(env!("CARGO_BIN_EXE_treen"))
        .args(["swap", "icon.yaml", "--json"])
        .current_dir(folder.path())
        .output()
        .expect("the program runs");
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&output.stderr)))
}

/// Diameter, whether it follows, and how many places it leaves, for every outline cutter.
fn verdicts(answer: &Value) -> Vec<(f64, bool, usize)> {
    let rows = answer["cutters"].as_array().expect("cutters");
    rows.iter()
        .filter(|row| row["job"] == "outline")
        .map(|row| {
            (
                row["diameter_mm"].as_f64().expect("a diameter"),
                row["follows"].as_bool().expect("a verdict"),
                row["leftovers"].as_array().expect("leftovers").len(),
            )
        })
        .collect()
}

#[test]
fn an_icon_becomes_a_dish_with_a_verdict_per_cutter() {
    for (icon, gentle) in [
        (icondata_mdi::MdiCircle, true),
        (icondata_mdi::MdiStar, false),
        (icondata_mdi::MdiHeart, false),
        (icondata_fa::FaHeartSolid, false),
    ] {
        let answer = swap(icon);
        let width = answer["width_mm"].as_f64().expect("a width");
        assert!((width - 180.0).abs() < 0.01, "180 mm wide, not {width}");
        let verdicts = verdicts(&answer);
        assert_eq!(verdicts.len(), 7, "every outline cutter of the built-in rack");
        let reach = answer["outside_reach_mm"].as_f64();
        for (diameter, follows, leftovers) in verdicts {
            let fits = reach.is_none_or(|r| r >= diameter / 2.0 - 0.002);
            assert_eq!(follows, fits, "cutter {diameter}, reach {reach:?}");
            assert_eq!(follows, leftovers == 0, "cutter {diameter}: {leftovers} places");
            assert_eq!(follows, gentle, "cutter {diameter}");
        }
    }
}
