//! The hand: an alphabet drawn as the path of a round pen.

use treen::curve::{BezPath, Origin, Region};
use treen::lettering::{Letters, Pen};
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
    for c in ('Α'..='Ρ').chain('Σ'..='Ϋ').chain('ά'..='ώ').chain("ΆΈΉΊΌΎΏΐ".chars()) {
        assert!(hand.writes(c), "Greek {c}");
    }
    for c in ('А'..='я').chain("ЁЂЃЄЅІЇЈЉЊЋЌЎЏҐґёђѓєѕіїјљњћќўџ".chars()) {
        assert!(hand.writes(c), "Cyrillic {c}");
    }
}

#[test]
fn a_cutter_as_wide_as_the_pen_follows_every_letter() {
    // A body is the union of discs along the centre line, so by definition the cutter of that
    // radius sweeps it exactly: its edge lies one radius from the nearest centre line, and a
    // disc of that radius touches each of its points from inside.
    let mut worst: f64 = 0.0;
    for height in [8.0, 14.0, 24.0, 60.0] {
        for share in [Pen::FINEST, Pen::USUAL, Pen::BROADEST] {
            let radius = share * height / 2.0;
            for letter in alphabet() {
                let text = letter.to_string();
                let written = Letters::Hand(Pen::Share(share)).write(&text, height);
                assert_eq!(written.glyphs.len(), 1, "{letter}");
                let body = Region::filled(&written.glyphs[0], Origin::default());
                let body = body.unwrap_or_else(|fault| panic!("{letter}: {fault:?}"));
                let off = farthest(&body, &written.centers[0], radius);
                assert!(off < 0.005, "{letter} at {height}, {share}: {off} mm off the sweep");
                worst = worst.max(off);
                let profile = Profile::inside(&body, 40.0);
                let reach = profile.thinnest().map_or(f64::INFINITY, |low| low.radius);
                assert!(reach > radius - 0.002, "{letter} at {height}, {share}: {reach} of {radius}");
            }
        }
    }
    eprintln!("worst {worst} mm");
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
fn scratch_sheet() {
    let Ok(path) = std::env::var("SHEET") else { return };
    let text = std::env::var("LINES").unwrap_or_default();
    let share: f64 = std::env::var("SHARE").ok().and_then(|s| s.parse().ok()).unwrap_or(0.12);
    let mut svg = String::new();
    let mut y = 40.0;
    let mut wide: f64 = 0.0;
    for line in text.split('|') {
        let started = std::time::Instant::now();
        let written = Letters::Hand(Pen::Share(share)).write(line, 30.0);
        eprintln!("{line}: {:?} missing {:?}", started.elapsed(), written.missing);
        let mut all = BezPath::new();
        for g in &written.glyphs {
            all.extend(g.iter());
        }
        wide = wide.max(written.advance);
        svg += &format!(
            "<path transform='translate(10 {y}) scale(1 -1)' d='{}' fill='#3c2a1e'/>",
            all.to_svg()
        );
        y += 54.0;
    }
    let svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{0}mm' height='{1}mm' viewBox='0 0 {0} {1}'><rect width='100%' height='100%' fill='#faf6ee'/>{svg}</svg>",
        wide + 20.0,
        y - 10.0
    );
    std::fs::write(&path, &svg).unwrap();
    let png = treen::export::png(&svg, 200.0).unwrap();
    std::fs::write(path.replace(".svg", ".png"), png).unwrap();
}
