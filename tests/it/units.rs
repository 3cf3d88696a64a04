//! Lengths and angles: read, shown, refused.

use treen::units::{Deg, DisplayUnit, Mm, UnitFault, leading};

/// Inch sizes in mm. 1 in = 25.4 mm exactly: Addendum to NBS Circular 572 (1960); every
/// fraction below is dyadic, so the products are exact by arithmetic.
const SIZES: [(&str, f64); 15] = [
    ("1/32", 0.79375),
    ("1/16", 1.5875),
    ("3/32", 2.38125),
    ("1/8", 3.175),
    ("3/16", 4.7625),
    ("1/4", 6.35),
    ("5/16", 7.9375),
    ("3/8", 9.525),
    ("7/16", 11.1125),
    ("1/2", 12.7),
    ("5/8", 15.875),
    ("3/4", 19.05),
    ("7/8", 22.225),
    ("1", 25.4),
    ("1-1/4", 31.75),
];

fn mm(text: &str) -> f64 {
    Mm::parse(text).map_or(f64::NAN, Mm::get)
}

#[test]
fn inch_sizes_are_exact() {
    for (text, want) in SIZES {
        let have = mm(&format!("{text} in"));
        assert!((have - want).abs() < 1e-12, "{text} in: have {have}, want {want}");
    }
}

#[test]
fn inch_sizes_are_shown_as_they_were_written() {
    for (text, want) in SIZES {
        let shown = Mm::new(want).expect("finite").show(DisplayUnit::Inch);
        assert_eq!(shown, format!("{} in", text.replace('-', " ")), "{want} mm");
    }
}

#[test]
fn ways_of_writing_a_length() {
    let cases = [
        ("6", 6.0),
        ("6 mm", 6.0),
        ("6mm", 6.0),
        (" 2.5 cm ", 25.0),
        ("-3 mm", -3.0),
        ("0.25 in", 6.35),
        ("1 1/4 in", 31.75),
        ("1/4\"", 6.35),
        ("7 / 16 inch", 11.1125),
        (".5 in", 12.7),
        ("1e1 mm", 10.0),
    ];
    for (text, want) in cases {
        assert!((mm(text) - want).abs() < 1e-12, "{text}: {}", mm(text));
    }
}

#[test]
fn what_is_not_a_length() {
    let cases = [
        ("", UnitFault::NoNumber),
        ("mm", UnitFault::NoNumber),
        ("six mm", UnitFault::NoNumber),
        ("6 mn", UnitFault::UnknownUnit("mn".into())),
        ("6 mm mm", UnitFault::UnknownUnit("mm mm".into())),
        ("1/0 in", UnitFault::NotFinite),
        ("1e999", UnitFault::NotFinite),
        ("7/16", UnitFault::FractionWithoutUnit),
        ("1.5/4 in", UnitFault::UnknownUnit("/4 in".into())),
    ];
    for (text, want) in cases {
        assert_eq!(Mm::parse(text), Err(want), "{text}");
    }
}

#[test]
fn angles() {
    for text in ["30", "30 deg", "30°", "30 °"] {
        assert_eq!(Deg::parse(text).map(Deg::get), Ok(30.0), "{text}");
    }
    assert_eq!(Deg::parse("3 mm"), Err(UnitFault::UnknownUnit("mm".into())), "mm");
    assert_eq!(Deg::new(22.5).expect("finite").to_string(), "22.5°", "shown");
}

#[test]
fn lengths_for_people() {
    let show = |value, unit| Mm::new(value).expect("finite").show(unit);
    assert_eq!(show(6.35, DisplayUnit::Mm), "6.35 mm", "two decimals");
    assert_eq!(show(6.0, DisplayUnit::Mm), "6 mm", "whole");
    assert_eq!(show(0.12345, DisplayUnit::Mm), "0.123 mm", "three decimals");
    assert_eq!(show(-0.0001, DisplayUnit::Mm), "0 mm", "no minus zero");
    assert_eq!(show(6.0, DisplayUnit::Inch), "0.236 in", "no fraction");
    assert_eq!(show(-6.35, DisplayUnit::Inch), "-1/4 in", "below zero");
    assert_eq!(show(0.396_875, DisplayUnit::Inch), "1/64 in", "smallest fraction");
    assert_eq!(show(0.0, DisplayUnit::Inch), "0 in", "nothing");
}

#[test]
fn a_quantity_at_the_start_of_a_formula() {
    let read = |text: &str| leading(text).map(|l| (l.value, l.length, l.bytes));
    assert_eq!(read("3 mm + r"), Some((3.0, true, 4)), "millimetres");
    let fraction = read("7/16 in").map(|(value, _, bytes)| (value * 1e9, bytes));
    assert_eq!(fraction.map(|(v, b)| (v.round(), b)), Some((11_112_500_000.0, 7)), "in");
    assert_eq!(read("30 deg"), Some((30.0, false, 6)), "angle");
    assert_eq!(read("3 + r"), None, "no unit");
    assert_eq!(read("3 * mm2"), None, "a name");
    assert_eq!(read("3 mm2"), None, "a name that starts like a unit");
    assert_eq!(read("5-1/4 in"), None, "a difference, not a mixed number");
}
