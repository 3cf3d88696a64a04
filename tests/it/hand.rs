//! The hand: an alphabet drawn as the path of a round pen.

use treen::curve::{BezPath, Drawn as _, Origin, Region};
use treen::lettering::{Fit, Letters, Pen, fit};
use treen::reach::Profile;

/// Every character of some blocks that the hand writes.
fn alphabet() -> Vec<char> {
    let blocks = ['!'..='~', '¡'..='\u{17F}', 'Ά'..='ώ', 'Ѐ'..='џ', 'Ạ'..='ỹ'];
    let hand = Letters::Hand(Pen::Share(Pen::USUAL));
    blocks.into_iter().flatten().filter(|c| hand.writes(*c)).collect()
}

#[test]
fn latin_greek_and_cyrillic_are_whole() {
    let hand = Letters::Hand(Pen::Share(Pen::USUAL));
    let letters = alphabet();
    let lacking = |block: std::ops::RangeInclusive<char>| -> String {
        block.filter(|c| !c.is_control() && !letters.contains(c)).collect()
    };
    assert_eq!(lacking('!'..='~'), "", "ASCII");
    assert_eq!(lacking('¡'..='ÿ'), "\u{AD}", "Latin-1 but the soft hyphen");
    assert_eq!(lacking('Ā'..='ſ'), "", "Latin Extended-A");
    assert_eq!(lacking('Ạ'..='ỹ'), "", "Vietnamese");
    assert!(hand.writes('ơ') && hand.writes('Ư'), "the horned letters");
    for c in ('Α'..='Ρ').chain('Σ'..='Ϋ').chain('ά'..='ώ').chain("ΆΈΉΊΌΎΏΐ".chars())
    {
        assert!(hand.writes(c), "Greek {c}");
    }
    for c in ('А'..='я').chain("ЁЂЃЄЅІЇЈЉЊЋЌЎЏҐґёђѓєѕіїјљњћќўџ".chars())
    {
        assert!(hand.writes(c), "Cyrillic {c}");
    }
}

#[test]
fn a_cutter_as_wide_as_the_pen_follows_every_letter() {
    // A body is the union of discs along the centre line, so by definition the cutter of that
    // radius sweeps it exactly: its edge lies one radius from the nearest centre line. And
    // reach, asked as for any recess (0.002 mm short of a tie), leaves less than 0.01 mm.
    let mut wrong = Vec::new();
    for height in [8.0, 24.0, 60.0] {
        for share in [Pen::FINEST, Pen::USUAL, Pen::BROADEST] {
            let radius = share * height / 2.0;
            for letter in alphabet() {
                let text = letter.to_string();
                let written = Letters::Hand(Pen::Share(share)).write(&text, height);
                let body = Region::filled(&written.glyphs[0], Origin::default());
                let body = body.unwrap_or_else(|fault| panic!("{letter}: {fault:?}"));
                let off = farthest(&body, &written.centers[0], radius);
                let left = Profile::inside(&body, radius).leftovers(radius - 0.002);
                let left = left.and_then(|all| {
                    all.into_iter().map(|one| one.depth).reduce(f64::max).or(Some(0.0))
                });
                if off > 0.002 || left.is_none_or(|depth| depth >= 0.01) {
                    wrong.push(format!(
                        "{letter} {height} mm, pen {share}: {off} {left:?}"
                    ));
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "off the sweep, or left standing, in mm:\n{}",
        wrong.join("\n")
    );
}

/// How far the edge of a body leaves the distance of one radius from the centre lines, mm.
fn farthest(body: &Region, centers: &[BezPath], radius: f64) -> f64 {
    let centers = dense(centers);
    let mut worst: f64 = 0.0;
    for piece in body.contours().iter().flat_map(treen::curve::Contour::pieces) {
        for t in [0.0, 0.3, 0.5, 0.8] {
            let at = piece.curve.eval(t);
            let near = centers.iter().map(|c| c.nearest(at).distance(at));
            let near = near.fold(f64::INFINITY, f64::min);
            worst = worst.max((near - radius).abs());
        }
    }
    worst
}

fn dense(centers: &[BezPath]) -> Vec<treen::curve::Curve> {
    use treen::curve::{Curve, Line, PathEl};
    let mut out = Vec::new();
    for stroke in centers {
        if let [PathEl::MoveTo(at)] = stroke.elements() {
            out.push(Curve::Line(Line::new(*at, *at)));
        }
        out.extend(stroke.segments().map(Curve::from_segment));
    }
    out
}

#[test]
fn marks_stay_apart_and_counters_open_at_every_pen() {
    let shape = |letter: char, share: f64| {
        let written = Letters::Hand(Pen::Share(share)).write(&letter.to_string(), 20.0);
        let body = Region::filled(&written.glyphs[0], Origin::default()).expect("a body");
        (body.parts(), body.contours().len())
    };
    let mut wrong = Vec::new();
    for letter in alphabet() {
        let fine = shape(letter, Pen::FINEST);
        for share in [Pen::USUAL, Pen::BROADEST] {
            let broad = shape(letter, share);
            if broad != fine {
                wrong.push(format!("{letter} {fine:?} {broad:?} at {share}"));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "parts and contours change with the pen:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn every_line_of_the_drawings_is_read() {
    assert_eq!(treen::lettering::unread(), Vec::<String>::new());
}

#[test]
fn a_capital_is_as_tall_as_asked_with_any_pen() {
    for pen in [Pen::Share(0.08), Pen::Share(0.15), Pen::Width(3.175)] {
        let written = Letters::Hand(pen).write("H", 24.0);
        let tall = written.glyphs[0].bounding_box();
        assert!((tall.y1 - 24.0).abs() < 1e-3, "{pen:?}: {tall:?}");
        assert!(tall.y0.abs() < 1e-3, "{pen:?}: {tall:?}");
    }
}

#[test]
fn stems_stand_evenly() {
    // Planted: the white between two straight stems is the same whichever letters they end,
    // and the mean white between two rounds equals it over the height they share.
    let hand = Letters::Hand(Pen::Share(Pen::USUAL));
    let gap = |text: &str| {
        let written = hand.write(text, 100.0);
        let boxes: Vec<_> = written.glyphs.iter().map(BezPath::bounding_box).collect();
        boxes[1].x0 - boxes[0].x1
    };
    let stems = gap("HH");
    for pair in ["IH", "II", "HN", "NI", "NH"] {
        assert!((gap(pair) - stems).abs() < 0.5, "{pair}: {} and {stems}", gap(pair));
    }
    assert!(gap("oo") < gap("nn") && gap("nn") > 0.0, "rounds stand closer than stems");
    assert!(gap("AV") < 0.0, "A and V reach over each other: {}", gap("AV"));
}

#[test]
fn composed_and_decomposed_spellings_are_one() {
    let hand = Letters::Hand(Pen::Share(Pen::USUAL));
    for (a, b) in [("Zoë", "Zoe\u{308}"), ("Ệ", "E\u{323}\u{302}"), ("Ģ", "G\u{327}")]
    {
        assert_eq!(hand.write(a, 12.0).glyphs, hand.write(b, 12.0).glyphs, "{a}");
    }
}

#[test]
fn letters_that_look_alike_are_told_apart() {
    // Nothing is changed on the way: capitals stay capitals, ß is not ss, ı is not i.
    let hand = Letters::Hand(Pen::Share(Pen::USUAL));
    let drawn = |text: &str| hand.write(text, 20.0).glyphs;
    let pairs =
        [("ß", "ss"), ("ẞ", "ß"), ("ı", "i"), ("İ", "I"), ("Ĳ", "IJ"), ("Æ", "AE")];
    for (a, b) in
        pairs.into_iter().chain([("’", "'"), ("-", "–"), ("I", "l"), ("O", "0")])
    {
        assert_ne!(drawn(a), drawn(b), "{a} and {b}");
    }
    assert_eq!(hand.write("McKAY", 20.0).texts, ["M", "c", "K", "A", "Y"]);
}

#[test]
fn a_second_space_is_wider_than_one() {
    let hand = Letters::Hand(Pen::Share(Pen::USUAL));
    let wide = |text: &str| hand.write(text, 20.0).advance;
    let (one, two) = (wide("Ana Lu"), wide("Ana  Lu"));
    assert!(two > one + 4.0, "{one} and {two}");
    assert!((wide("Ana\u{A0}Lu") - one).abs() < 1e-9, "a no-break space is a space");
    assert!((wide(" Ana ") - wide("Ana")).abs() < 1e-9, "none at the ends");
}

#[test]
fn a_pen_of_one_width_keeps_it_and_fills_the_line() {
    let mut line = BezPath::new();
    line.move_to((-60.0, 0.0));
    line.line_to((60.0, 0.0));
    let how = Fit {
        letters: Letters::Hand(Pen::Width(2.0)),
        most: 30.0,
        least: 8.0,
        condense: 0.85,
        gap: 0.5,
        apart: 0.0,
        lines: 1,
    };
    let fitted = fit("Bartholomew-James", &how, &line).expect("it fits");
    assert_eq!(fitted.pen, Some(2.0));
    assert!(fitted.length <= 120.0 && fitted.length > 119.99, "{}", fitted.length);
    assert!(fitted.height < 30.0, "it had to shrink: {}", fitted.height);
    let short = fit("Jo", &how, &line).expect("it fits");
    assert!((short.height - 30.0).abs() < 1e-9, "the greatest height: {}", short.height);
    assert_eq!(short.centers.len(), 2, "centre lines of two letters");
}
