//! Names as outlines: faces, shaping, fitting.

use crate::names::straight;
use kurbo::Shape as _;
use skrifa::MetadataProvider as _;
use skrifa::prelude::{FontRef, LocationRef, Size};
use treen::curve::{Affine, BezPath, Point, Region};
use treen::lettering::{
    Face, Fit, FitFault, Fonts, Letters, Pen, fit, width, write, write_in,
};
use treen::reach::Profile;

const HOW: Fit = Fit {
    letters: Letters::Fonts(Fonts::of(Face::CARVED)),
    most: 24.0,
    least: 8.0,
    condense: 0.85,
    gap: 0.5,
    apart: 0.0,
    lines: 1,
};

/// Half a circle about the origin, left to right over the top.
fn arch(radius: f64) -> BezPath {
    let k = radius * 0.552_284_749_8;
    let mut path = BezPath::new();
    path.move_to((-radius, 0.0));
    path.curve_to((-radius, k), (-k, radius), (0.0, radius));
    path.curve_to((k, radius), (radius, k), (radius, 0.0));
    path
}

fn bounds(paths: &[BezPath]) -> [f64; 4] {
    paths.iter().map(BezPath::bounding_box).fold(
        [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY],
        |a, b| [a[0].min(b.x0), a[1].min(b.y0), a[2].max(b.x1), a[3].max(b.y1)],
    )
}

#[test]
fn every_face_is_the_font_its_card_says() {
    for face in Face::ALL {
        let font = FontRef::new(face.bytes()).expect("a font");
        let family = font
            .localized_strings(skrifa::string::StringId::TYPOGRAPHIC_FAMILY_NAME)
            .chain(font.localized_strings(skrifa::string::StringId::FAMILY_NAME))
            .map(|name| name.to_string())
            .next();
        assert_eq!(family.as_deref(), Some(face.family()), "{face:?}");
        let look = font.attributes();
        assert!((look.weight.value() - f32::from(face.weight())).abs() < 1.0, "{face:?}");
        let slanted = look.style != skrifa::attribute::Style::Normal;
        assert_eq!(slanted, face.italic(), "{face:?}");
        assert_eq!(
            Face::named(face.name()),
            Some(face),
            "its name leads back to {face:?}"
        );
    }
}

#[test]
fn a_capital_is_as_tall_as_asked() {
    for face in Face::ALL {
        let [_, bottom, _, top] = bounds(&write_in("H", &Fonts::of(face), 20.0).glyphs);
        assert!((top - 20.0).abs() < 1e-9, "{face:?}: top at {top}");
        // Libertinus cups its serifs: they dip 0.3 % of the height below the baseline.
        assert!(bottom.abs() < 0.1, "{face:?}: foot at {bottom}");
    }
}

#[test]
fn capital_height_agrees_with_the_height_the_font_states() {
    // OpenType specification, OS/2 table, sCapHeight: height of a capital such as H. The
    // drawn H rules here; Libertinus states 658 and draws 645 to 647 of 1000.
    for face in Face::ALL {
        let font = FontRef::new(face.bytes()).expect("a font");
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        let Some(stated) = metrics.cap_height.filter(|height| *height > 0.0) else {
            continue;
        };
        let ours = f64::from(metrics.units_per_em) / face.em();
        let apart = (ours - f64::from(stated)).abs() / ours;
        assert!(apart < 0.025, "{face:?}: drawn {ours}, stated {stated}");
    }
}

#[test]
fn kerning_brings_a_and_v_together() {
    for face in [Face::Serif, Face::SerifBold] {
        let apart = width("A", face, 10.0) + width("V", face, 10.0);
        assert!(width("AV", face, 10.0) < apart - 0.1, "{face:?}");
    }
}

#[test]
fn composed_and_decomposed_spellings_are_one() {
    let composed = write_in("Zoë José", &Fonts::of(Face::CARVED), 12.0);
    let decomposed = write_in("Zoe\u{308} Jose\u{301}", &Fonts::of(Face::CARVED), 12.0);
    assert_eq!(composed.glyphs, decomposed.glyphs, "the same outlines");
    assert!(decomposed.missing.is_empty(), "nothing is missing");
}

#[test]
fn marks_travel_with_their_letter() {
    // q with a dot below has no code point of its own, so it stays letter and mark.
    let written = write_in("q\u{323}", &Fonts::of(Face::SerifBold), 10.0);
    assert!(written.missing.is_empty(), "{:?}", written.missing);
    assert_eq!(written.glyphs.len(), 1, "one letter");
    let bare = write_in("q", &Fonts::of(Face::SerifBold), 10.0);
    let more = written.glyphs[0].elements().len() > bare.glyphs[0].elements().len();
    assert!(more, "the mark is drawn");
}

#[test]
fn names_of_the_nursery_are_all_there() {
    for name in
        ["Zoë", "Łucja", "Bjørn", "María José", "Bartholomew-James", "Jo", "O’Neill"]
    {
        for face in Face::ALL {
            let written = write_in(name, &Fonts::of(face), 20.0);
            assert!(
                written.missing.is_empty(),
                "{name} in {face:?}: {:?}",
                written.missing
            );
            let drawn = name.chars().filter(|c| *c != ' ').count();
            assert_eq!(written.glyphs.len(), drawn, "{name} in {face:?}");
        }
    }
}

#[test]
fn a_missing_letter_draws_nothing_and_is_named() {
    let written = write("Ana😀", None, 20.0).expect("the default face");
    let plain = write("Ana", None, 20.0).expect("the default face");
    assert_eq!(written.missing, ['😀'], "the emoji is named");
    assert_eq!(written.glyphs, plain.glyphs, "no box stands in for it");
    assert!(
        write("Ana", Some("no such face"), 20.0).is_none(),
        "an unknown face is none"
    );
    assert!(write("Ana", Some("sans bold"), 20.0).is_some(), "a known one is");
}

#[test]
fn control_characters_draw_nothing() {
    let written = write_in("A\u{7}\nB", &Fonts::of(Face::CARVED), 20.0);
    assert_eq!(written.glyphs.len(), 2, "two letters");
    assert_eq!(written.missing, ['\u{7}', '\n'], "both are named");
}

#[test]
fn width_and_outlines_agree() {
    for text in ["Hedgehog", "fi ffl AVATAR", "Łucja", "12.5 mm"] {
        for face in Face::ALL {
            let apart =
                width(text, face, 7.0) - write_in(text, &Fonts::of(face), 7.0).advance;
            assert!(apart.abs() < 1e-9, "{text} in {face:?}");
        }
    }
}

#[test]
fn a_short_name_gets_the_greatest_height_and_sits_in_the_middle() {
    let how = Fit { letters: Letters::Hand(Pen::Share(0.1)), ..HOW };
    let fitted = fit("OHO", &how, &straight(200.0)).expect("it fits");
    assert!((fitted.height - 24.0).abs() < 1e-12, "greatest height");
    let [left, _, right, _] = bounds(&fitted.letters);
    assert!((left + right).abs() < 1e-3, "even ends are centred: {left} {right}");
}

#[test]
fn a_long_name_fills_its_line_and_no_more() {
    let fitted = fit("Maximiliane Sofie", &HOW, &straight(140.0)).expect("it fits");
    let [left, _, right, _] = bounds(&fitted.letters);
    assert!(fitted.height < 24.0, "it had to shrink");
    assert!((right - left - 140.0).abs() < 1e-6, "it fills the line: {}", right - left);
    assert!((fitted.length - 140.0).abs() < 1e-6, "and says so");
}

#[test]
fn a_name_too_long_says_what_it_needs() {
    let line = straight(60.0);
    let Err(FitFault::TooLong { have, need, height, .. }) =
        fit("Maximiliane Sofie", &HOW, &line)
    else {
        panic!("it cannot fit");
    };
    assert!((have - 60.0).abs() < 1e-9, "have {have}");
    let just =
        fit("Maximiliane Sofie", &HOW, &straight(need + 1e-6)).expect("now it fits");
    assert!((just.height - 8.0).abs() < 1e-6, "at the least height: {}", just.height);
    let lower = Fit { least: height - 1e-6, ..HOW };
    assert!(fit("Maximiliane Sofie", &lower, &line).is_ok(), "or at height {height}");
}

#[test]
fn nothing_to_draw_and_no_line_are_told_apart() {
    let Err(FitFault::NothingDrawn(missing)) = fit("😀", &HOW, &straight(100.0)) else {
        panic!("nothing is drawn");
    };
    assert_eq!(missing, ['😀'], "what is missing is named");
    let fault = fit("Jo", &HOW, &BezPath::new()).expect_err("no line");
    assert_eq!(fault, FitFault::NoBaseline, "no line");
    let swapped = Fit { most: 5.0, least: 8.0, ..HOW };
    let fault = fit("Jo", &swapped, &straight(100.0)).expect_err("heights swapped");
    assert_eq!(fault, FitFault::BadHeight, "heights swapped");
}

#[test]
fn letters_on_an_arch_stand_on_it() {
    // Closed form: a length s from the middle of an arch is the angle s / r. A letter turned
    // back by the angle of its own middle stands as on a straight line, r higher.
    let radius = 80.0;
    let fitted = fit("HEIDI", &HOW, &arch(radius)).expect("it fits");
    let flat = HOW.letters.write("HEIDI", fitted.height);
    let [left, right] = flat.ink().expect("it draws");
    for ((letter, plain), [from, advance]) in
        fitted.letters.iter().zip(&flat.glyphs).zip(&flat.spans)
    {
        let own = from + advance / 2.0;
        let back = Affine::rotate((own - f64::midpoint(left, right)) / radius);
        let upright = (back * letter.clone()).bounding_box();
        let flat = plain.bounding_box();
        // The cubic arch leaves its circle by 0.03 % of the radius.
        assert!((upright.y0 - radius - flat.y0).abs() < 0.03, "feet at {}", upright.y0);
        assert!((upright.y1 - radius - flat.y1).abs() < 0.03, "head at {}", upright.y1);
        assert!((upright.x0 + own - flat.x0).abs() < 0.03, "side at {}", upright.x0);
    }
    let half = std::f64::consts::PI * radius;
    assert!(
        (fitted.room - half).abs() < half * 5e-4,
        "length of the arch: {}",
        fitted.room
    );
}

#[test]
fn letters_that_touch_in_a_hollow_are_seen() {
    let normal = fit("MINNA", &HOW, &straight(300.0)).expect("it fits");
    let gap = normal.gap.expect("several letters");
    assert!(gap.width > 0.1, "apart on a straight line: {gap:?}");
    // So tall that there is no room to spread them.
    let hollow = Affine::scale_non_uniform(1.0, -1.0) * arch(26.0);
    let bent = Fit { most: 15.0, least: 15.0, condense: 1.0, ..HOW };
    let bent = fit("MINNA", &bent, &hollow).expect("it fits the length");
    assert!(bent.gap.expect("several").width < 0.05, "heads touch: {:?}", bent.gap);
    assert!(fit("M", &HOW, &straight(90.0)).expect("fits").gap.is_none(), "one letter");
}

#[test]
fn the_gap_of_two_stems_is_their_side_bearings() {
    // Planted: the narrowest wood between two letters I is what their boxes leave.
    let fitted = fit("II", &HOW, &straight(300.0)).expect("it fits");
    let first = fitted.letters[0].bounding_box();
    let second = fitted.letters[1].bounding_box();
    let gap = fitted.gap.expect("two letters");
    assert!((gap.width - (second.x0 - first.x1)).abs() < 1e-9, "{gap:?}");
}

#[test]
fn letters_become_a_region_with_counters() {
    let fitted = fit("Bo", &HOW, &straight(200.0)).expect("it fits");
    let region: Region = fitted.region().expect("letters have area");
    assert_eq!(region.parts(), 2, "two letters");
    assert_eq!(region.contours().len(), 5, "B has two counters, o has one");
    let middle = fitted.letters[1].bounding_box().center();
    assert!(
        !region.contains(Point::new(middle.x, middle.y)),
        "the counter of o is not wood"
    );
}

/// Letters are measured one by one, at one size, and kept; the whole name measured as one area
/// at its own size knows nothing of that.
#[test]
fn a_name_measured_by_letter_measures_what_its_area_does() {
    let (mut seen, mut within) = (0, 0);
    for name in ["Zoë", "Noelle", "María José", "Willa", "Łucja", "Åse & Ox", "Mmm"]
    {
        for face in ["serif bold", "sans bold", "hand", "roman italic"] {
            for (most, line) in [(24.0, straight(130.0)), (11.0, arch(60.0))] {
                let letters = Letters::named(face).expect("a face");
                let how = Fit { letters, most, least: 4.0, condense: 1.0, ..HOW };
                let fitted = fit(name, &how, &line).expect("it fits");
                let region = fitted.region().expect("an area");
                let gauge = fitted.gauge(&region);
                let what = format!("{name} in {face}, {most} mm");
                let low = Profile::inside(&region, 60.0).thinnest().expect("a stroke");
                let (thin, at) = gauge.thinnest.expect("a stroke");
                assert!((thin - 2.0 * low.radius).abs() < 2e-3, "{what}: {thin} {low:?}");
                assert!(region.bounds().inflate(0.1, 0.1).contains(at), "{what}: {at}");
                let wide = 2.0 * Profile::inside(&region, 60.0).highest_reach();
                assert!(
                    (fitted.widest(&region) / wide - 1.0).abs() < 2e-3,
                    "{what}: {wide}"
                );
                let wood = Profile::outside(&region, 60.0).thinnest().expect("wood");
                let gap = gauge.wood.expect("wood");
                let apart = (gap.width - 2.0 * wood.radius).abs();
                assert!(apart < 2e-3, "{what}: {gap:?} {wood:?}");
                seen += 1;
                within += usize::from(gap.letters[0] == gap.letters[1]);
            }
        }
    }
    assert!(
        within > 0 && within < seen,
        "in letters and between them: {within} of {seen}"
    );
}
