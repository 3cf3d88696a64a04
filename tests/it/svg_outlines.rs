//! SVG path data and files as outlines; hostile files are refused.

use icondata_core::IconData;
use std::f64::consts::PI;
use treen::curve::svg::{file_outline, path_data};
use treen::curve::{BezPath, Origin, Region};

fn region(path: &BezPath) -> Region {
    Region::filled(path, Origin(0)).expect("a region")
}

fn outline(body: &str, width: f64) -> Region {
    let text = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">{body}</svg>"#
    );
    region(&file_outline(&text, width).unwrap_or_else(|fault| panic!("{body}: {fault}")))
}

#[track_caller]
fn refused(text: &str, word: &str) {
    let fault = file_outline(text, 100.0).expect_err(word);
    assert!(fault.what.contains(word), "`{word}` in: {fault}");
}

#[test]
fn path_data_is_taken_as_written() {
    let square = path_data("M0 0H30V20H0Z").expect("a square");
    assert!((region(&square).area() - 600.0).abs() < 1e-9, "area");
    for bad in ["", "  ", "L10 10", "M0 0 L", "M0 0 X5", "M0 0", "M0 0 L1e9 0 L5 5Z"] {
        assert!(path_data(bad).is_err(), "`{bad}`");
    }
    assert!(path_data(&"M0 0L1 1".repeat(8_000)).is_err(), "too long");
}

#[test]
fn a_file_is_turned_up_scaled_and_centred() {
    // A triangle with its tip at the top of the picture: smaller y in SVG.
    let tip_up = outline(r#"<path d="M50 10 L90 90 L10 90Z"/>"#, 160.0);
    let bounds = tip_up.bounds();
    assert!((bounds.width() - 160.0).abs() < 1e-4, "width {}", bounds.width());
    assert!((bounds.height() - 160.0).abs() < 1e-4, "height {}", bounds.height());
    assert!(bounds.center().to_vec2().hypot() < 1e-4, "centre {}", bounds.center());
    assert!((tip_up.area() - 12_800.0).abs() < 0.1, "area {}", tip_up.area());
    assert!(tip_up.contains((0.0, 70.0).into()), "the tip is up");
    assert!(!tip_up.contains((50.0, 70.0).into()), "and narrow");
}

#[test]
fn fill_rules_transforms_and_use_are_respected() {
    let both = |rule: &str| {
        let body =
            format!(r#"<path fill-rule="{rule}" d="M0 0H100V100H0Z M25 25H75V75H25Z"/>"#);
        outline(&body, 100.0).area()
    };
    assert!((both("nonzero") - 10_000.0).abs() < 0.01, "filled over");
    assert!((both("evenodd") - 7_500.0).abs() < 0.01, "with a hole");
    let star = outline(
        r#"<path fill-rule="evenodd" d="M50 0 L79.389 90.451 L2.447 34.549 H97.553 L20.611 90.451Z"/>"#,
        95.106,
    );
    // A pentagram by even-odd: five tips and a hole, 5 R² sin36 (…) less the pentagon.
    let (radius, inner) = (50.0_f64, 50.0 * (PI / 10.0).sin() / (3.0 * PI / 10.0).sin());
    let tips = 5.0 * radius * inner * (PI / 5.0).sin();
    let pentagon = 2.5 * inner * inner * (2.0 * PI / 5.0).sin();
    assert!((star.area() - (tips - pentagon)).abs() < 0.05, "pentagram {}", star.area());
    let turned = outline(
        r#"<g transform="rotate(90) translate(10 0) scale(2)"><rect width="10" height="5"/></g>"#,
        10.0,
    );
    assert!((turned.bounds().height() - 20.0).abs() < 1e-4, "turned and scaled");
    let used = outline(
        r##"<defs><rect id="a" width="10" height="10"/></defs><use href="#a"/><use href="#a" x="20"/>"##,
        30.0,
    );
    assert_eq!(used.parts(), 2, "shown twice");
}

#[test]
fn lines_alone_are_not_an_outline() {
    let svg =
        |body: &str| format!(r#"<svg xmlns="http://www.w3.org/2000/svg">{body}</svg>"#);
    refused(&svg(r#"<path fill="none" stroke="red" d="M0 0H50V50Z"/>"#), "stroked");
    refused(&svg(""), "nothing");
    refused(&svg(r#"<path d="M0 0H50"/>"#), "nothing");
    refused(&svg(r#"<rect width="9" height="9" fill-opacity="0"/>"#), "nothing");
    refused(&svg(r#"<rect width="9" height="9" visibility="hidden"/>"#), "nothing");
}

#[test]
fn hostile_files_are_refused() {
    let svg = |body: &str| {
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink">{body}<rect width="9" height="9"/></svg>"#
        )
    };
    refused(&svg("<script>alert(1)</script>"), "script");
    refused(&svg(r#"<g onload="alert(1)"/>"#), "onload");
    refused(&svg(r#"<image href="/etc/passwd"/>"#), "image");
    refused(&svg(r#"<image href="data:image/png;base64,AAAA"/>"#), "image");
    refused(&svg(r#"<use href="other.svg#a"/>"#), "other.svg");
    refused(&svg(r#"<use xlink:href="https://example.org/a.svg#a"/>"#), "example.org");
    refused(&svg(r#"<rect fill="url(https://example.org/a.svg#b)"/>"#), "another file");
    refused(&svg(r#"<style>@import "x.css";</style>"#), "style sheet");
    refused(&svg(r"<style>rect{fill:url('x.svg#a')}</style>"), "style sheet");
    refused(
        &svg(
            r#"<clipPath id="c"><circle r="5"/></clipPath><g clip-path="url(#c)"><rect width="9" height="9"/></g>"#,
        ),
        "clip path",
    );
    refused(
        r#"<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><svg xmlns="http://www.w3.org/2000/svg">&b;</svg>"#,
        "entities",
    );
    refused(
        r#"<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg xmlns="http://www.w3.org/2000/svg">&a;</svg>"#,
        "entities",
    );
    refused(
        r#"<?xml-stylesheet href="x.css"?><svg xmlns="http://www.w3.org/2000/svg"/>"#,
        "processing",
    );
    refused("<html/>", "`html`");
    refused("not xml", "not an SVG file");
    refused("", "not an SVG file");
    refused("<svg>\u{0}</svg>", "SVG file");
    refused(&" ".repeat(2_000_001), "2000001 bytes");
    refused(&svg(&format!("{}{}", "<g>".repeat(150), "</g>".repeat(150))), "deeply");
    refused(&"<g>".repeat(500_000), "deeply");
    refused(&svg(&"<g/>".repeat(120_000)), "not an SVG file");
}

/// Ten levels of ten `use` each: a thousand million squares.
#[test]
fn a_bomb_of_uses_is_refused() {
    let mut defs = r#"<rect id="l0" width="1" height="1"/>"#.to_owned();
    for level in 1..10 {
        let uses = format!(r##"<use href="#l{}"/>"##, level - 1).repeat(10);
        for part in [r#"<g id="l"#, &level.to_string(), r#"">"#, &uses, "</g>"] {
            defs += part;
        }
    }
    let text = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg"><defs>{defs}</defs><use href="#l9"/></svg>"##
    );
    refused(&text, "unfolds");
    let own = r##"<svg xmlns="http://www.w3.org/2000/svg"><g id="a"><use href="#a"/></g></svg>"##;
    refused(own, "shows itself");
}

#[test]
fn widths_without_sense_are_faults() {
    let text =
        r#"<svg xmlns="http://www.w3.org/2000/svg"><rect width="9" height="9"/></svg>"#;
    for width in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e9] {
        assert!(file_outline(text, width).is_err(), "{width}");
    }
}

/// Icons of two general sets, from crates, as dish outlines 200 mm wide.
#[test]
fn icons_become_outlines() {
    let icons: [(&str, &IconData, usize); 8] = [
        ("paw", icondata_mdi::MdiPaw, 5),
        ("fish", icondata_mdi::MdiFish, 1),
        ("leaf", icondata_mdi::MdiLeaf, 1),
        ("heart", icondata_mdi::MdiHeart, 1),
        ("rabbit", icondata_mdi::MdiRabbit, 1),
        ("duck", icondata_mdi::MdiDuck, 1),
        ("cat", icondata_fa::FaCatSolid, 2),
        ("cloud", icondata_fa::FaCloudSolid, 1),
    ];
    for (name, icon, parts) in icons {
        let view_box = icon.view_box.unwrap_or("0 0 24 24");
        let text = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view_box}">{}</svg>"#,
            icon.data
        );
        let path = file_outline(&text, 200.0).unwrap_or_else(|f| panic!("{name}: {f}"));
        let region = region(&path);
        assert!((region.bounds().width() - 200.0).abs() < 1e-3, "{name}");
        assert!(region.area() > 5_000.0, "{name}: {}", region.area());
        assert_eq!(region.parts(), parts, "{name}");
    }
}

/// Words that mean something to an SVG reader, in any order: never a panic, never a number
/// that is not finite.
#[test]
fn any_text_is_an_outline_or_a_fault() {
    const PATH: [&str; 16] = [
        "M", "L", "H9", "V", "C", "a", "Z", "0", "-7.5", "1e9", "1e-9", ",", " ", ".",
        "NaN", "é",
    ];
    const FILE: [&str; 20] = [
        "<svg>",
        r#"<svg xmlns="http://www.w3.org/2000/svg">"#,
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 0 0" width="1e9">"#,
        "</svg>",
        r#"<g transform="scale(0)">"#,
        r#"<g transform="scale(1e30)">"#,
        r#"<g transform="skewX(89.999)">"#,
        "</g>",
        r#"<path d="M0 0H9V9Z"/>"#,
        r#"<path d="M0 0L1e38 0 0 1e38Z" fill-rule="evenodd"/>"#,
        r##"<rect id="a" width="9" height="9"/><use href="#a"/>"##,
        r#"<circle r="5"/>"#,
        r#"<circle r="-5"/>"#,
        r#"<ellipse rx="nan" ry="1"/>"#,
        r#"<polygon points="0,0 9,9 9,0 0,9"/>"#,
        "<text>a</text>",
        "<!--",
        "-->",
        "<![CDATA[",
        "&#0;",
    ];
    arbtest::arbtest(|u| {
        let count = u.int_in_range(0..=30)?;
        let (mut d, mut file) = (String::new(), FILE[1].to_owned());
        for _ in 0..count {
            d.push_str(u.choose(&PATH)?);
            file.push_str(u.choose(&FILE)?);
        }
        if u.ratio(2, 3)? {
            file.push_str("</svg>");
        }
        for path in [path_data(&d), file_outline(&file, 120.0)].into_iter().flatten() {
            assert!(path.is_finite(), "{d} {file}");
        }
        Ok(())
    })
    .budget_ms(1_500);
}
