//! Names as `HarfBuzz` shapes them: `tests/reference/shaping.tsv`, written by `shaping.py` beside
//! it, whose first line tells the versions.

use std::collections::BTreeSet;
use treen::lettering::{Fonts, Glyph, Letters, glyphs, write_in};
use treen::sheet::Face;

const REFERENCE: &str = include_str!("../reference/shaping.tsv");

fn rows() -> impl Iterator<Item = [&'static str; 4]> {
    REFERENCE.lines().filter(|line| !line.starts_with('#')).map(|line| {
        let cells: Vec<&str> = line.split('\t').collect();
        cells.try_into().unwrap_or_else(|_| panic!("four cells in {line}"))
    })
}

fn face(name: &str) -> Face {
    Face::named(name).unwrap_or_else(|| panic!("no face `{name}`"))
}

/// As the table writes them.
fn told(glyphs: &[Glyph]) -> String {
    let one = |glyph: &Glyph| {
        let [x, y] = glyph.offset;
        format!("{}:{}:{x}:{y}", glyph.id, glyph.advance)
    };
    glyphs.iter().map(one).collect::<Vec<_>>().join(" ")
}

#[test]
fn glyphs_and_places_are_those_of_harfbuzz() {
    let mut scripts = BTreeSet::new();
    let mut count = 0;
    for [script, name, text, want] in rows() {
        let glyphs = glyphs(text, &Fonts::of(face(name)));
        assert!(
            glyphs.iter().all(|glyph| glyph.font == face(name).into()),
            "{text}: one face"
        );
        assert_eq!(told(&glyphs), want, "{text} in `{name}` ({script})");
        assert!(glyphs.iter().all(|glyph| glyph.id != 0), "{text}: a box");
        scripts.insert(script);
        count += 1;
    }
    assert!(
        count >= 60 && scripts.len() >= 12,
        "{count} names in {} scripts",
        scripts.len()
    );
}

/// A face that lacks a script borrows from one that has it, and says so; each name of the table
/// is then written in the face names are carved in.
#[test]
fn what_a_face_lacks_is_borrowed() {
    let mut borrowed = 0;
    for [_, _, text, _] in rows() {
        let written = write_in(text, &Fonts::of(Face::CARVED), 10.0);
        assert!(written.missing.is_empty(), "{text}: {:?}", written.missing);
        assert!(!written.glyphs.is_empty(), "{text} is drawn");
        for (other, part) in &written.borrowed {
            assert!(part.chars().all(|letter| other.writes(letter)), "{text}: {part}");
            assert!(part.chars().any(|letter| !Face::CARVED.writes(letter)), "{text}");
            borrowed += 1;
        }
        let lacks = text.chars().any(|letter| !Face::CARVED.writes(letter));
        assert_eq!(lacks, !written.borrowed.is_empty(), "{text}");
    }
    assert!(borrowed > 30, "{borrowed} stretches");
}

/// Capitals are as tall in the face that lends as in the one that borrows.
#[test]
fn what_is_borrowed_is_as_tall() {
    let written = write_in("ՀH", &Fonts::of(Face::CARVED), 20.0);
    let tops: Vec<f64> = written
        .glyphs
        .iter()
        .map(|path| treen::curve::Drawn::bounding_box(path).y1)
        .collect();
    assert_eq!(written.texts, ["Հ", "H"], "both are drawn");
    assert!((tops[1] - 20.0).abs() < 1e-6, "{tops:?}");
    assert!((18.0..=21.5).contains(&tops[0]), "an Armenian capital: {tops:?}");
}

fn texts(text: &str) -> Vec<String> {
    let broad = face("broad");
    write_in(text, &Fonts::of(broad), 10.0).texts
}

/// Order from left to right by the Unicode Bidirectional Algorithm (Unicode Standard Annex #9):
/// its rules L2 and N1 applied by hand.
#[test]
fn directions_follow_unicode() {
    // One script alone: the first letter stands on the right.
    assert_eq!(texts("אבג"), ["ג", "ב", "א"], "right to left");
    // A left-to-right paragraph: the Hebrew within it turns round, nothing else.
    assert_eq!(texts("Bo אב"), ["B", "o", "ב", "א"], "Latin first");
    // A right-to-left paragraph: the Latin stands on the left, in its own order.
    assert_eq!(texts("אב Bo"), ["B", "o", "ב", "א"], "Hebrew first");
    // Figures keep their order in either.
    assert_eq!(texts("אב 12"), ["1", "2", "ב", "א"], "figures");
}

/// Letters that hang together are one piece; what stands apart is not.
#[test]
fn arabic_letters_hang_together() {
    let written = texts("محمد");
    assert_eq!(written, ["محمد"], "one piece");
    // Alif, dal and waw join nothing to their left.
    assert_eq!(texts("دار").len(), 3, "three pieces");
    // The hand has none of them, and says which.
    let hand = Letters::named("hand").expect("the hand").write("محمد", 10.0);
    assert_eq!(hand.missing.len(), 4, "{:?}", hand.missing);
}

/// Marks go with their letter, in any direction.
#[test]
fn marks_stay_with_their_letters() {
    assert_eq!(texts("שִׁירָה"), ["ה", "רָ", "י", "שִׁ"], "points under their letters");
    assert_eq!(texts("e\u{301}le\u{300}"), ["é", "l", "è"], "composed");
}

/// Devanagari hangs from one line, so letters that touch stay one piece. Where the font leaves
/// a gap, so do we: between the first two of the last name, by `HarfBuzz`'s own extents from 693
/// to 724 units.
#[test]
fn devanagari_is_borrowed_by_every_face_and_hangs_together() {
    for face in Face::ALL {
        for (text, pieces) in [("मीरा", 1), ("प्रिया", 1), ("लक्ष्मी", 2)]
        {
            let written = write_in(text, &Fonts::of(face), 20.0);
            assert!(written.missing.is_empty(), "{text} in {face:?}");
            assert_eq!(written.glyphs.len(), pieces, "{text} in {face:?}");
        }
    }
}
