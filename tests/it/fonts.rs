//! Fonts of the maker's own: from files beside a recipe and from the system, good and broken.

use crate::random_shapes::Dice;
use std::fs;
use std::path::Path;
use treen::batch::{compare, specimen};
use treen::curve::BezPath;
use treen::feasibility::Pins;
use treen::finding::{Code, Finding, Severity, long};
use treen::intake::{demo, recipe, shop};
use treen::lettering::{Face, Font, Fonts, glyphs, write_in};

fn own(bytes: &[u8]) -> Font {
    Font::read("own".to_owned(), bytes.to_vec(), 0).expect("a font")
}

/// The built-in oval with a face, its name, and what was said of it.
fn said(folder: &Path, face: &str, person: &str) -> Vec<Finding> {
    compared(folder, &format!("style: vee, face: {face}"), person).1
}

fn compared(folder: &Path, style: &str, person: &str) -> (bool, Vec<Finding>) {
    let text = demo::RECIPES.iter().find(|(key, _)| *key == "oval").expect("built in").1;
    let text = text.replace("style: vee", style);
    let read = recipe("oval.yaml", &text, "oval", Some(folder));
    let Some(oval) = read.value else { return (false, read.findings) };
    let mut order = specimen(&oval, Vec::new());
    person.clone_into(&mut order.name);
    let shop = shop("shop.yaml", demo::SHOP).value.expect("the demo's shop");
    let compared = compare(&oval, &order, &shop, &Pins::default());
    let lettered = compared.dish.is_some_and(|(dish, _)| dish.name.is_some());
    (lettered, compared.findings)
}

/// A folder with two faces as files.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("fonts")).expect("writable");
    let put = |name: &str, bytes: &[u8]| {
        fs::write(folder.path().join("fonts").join(name), bytes).expect("writable");
    };
    put("serif.otf", Face::SerifBold.bytes());
    put("broad.ttf", Face::Broad.bytes());
    put("two.ttc", &collection(&[Face::Mono.bytes(), Face::Sans.bytes()]));
    put("none.ttf", b"not a font at all");
    put("cut.ttf", Face::Sans.bytes().get(..3_000).expect("longer"));
    folder
}

/// Fonts in one file, as the OpenType specification's chapter on collections lays them out:
/// a header with the place of each, then the fonts, their tables' places counted anew.
fn collection(fonts: &[&[u8]]) -> Vec<u8> {
    let word = |bytes: &[u8], at: usize| {
        let four = bytes.get(at..at + 4).and_then(|four| four.try_into().ok());
        u32::from_be_bytes(four.expect("four bytes"))
    };
    let mut file = b"ttcf\x00\x01\x00\x00".to_vec();
    file.extend(u32::try_from(fonts.len()).expect("few").to_be_bytes());
    let mut place = 12 + 4 * fonts.len();
    for font in fonts {
        file.extend(u32::try_from(place).expect("small").to_be_bytes());
        place += font.len();
    }
    for font in fonts {
        let start = u32::try_from(file.len()).expect("small");
        let mut moved = font.to_vec();
        let tables = usize::from(u16::from_be_bytes([font[4], font[5]]));
        for table in 0..tables {
            let at = 12 + 16 * table + 8;
            let there = word(&moved, at) + start;
            moved[at..at + 4].copy_from_slice(&there.to_be_bytes());
        }
        file.extend(moved);
    }
    file
}

#[test]
fn a_font_from_bytes_writes_as_the_same_face_built_in() {
    for face in Face::ALL {
        let font = own(face.bytes());
        let fonts = Fonts { first: font, lenders: Vec::new() };
        for text in ["Ida", "Zoë & Åse", "Łucja", "Ṩ1"] {
            let (a, b) =
                (write_in(text, &fonts, 20.0), write_in(text, &Fonts::of(face), 20.0));
            assert_eq!(a.glyphs, b.glyphs, "{text} in {}", face.name());
            assert_eq!(a.spans, b.spans, "{text} in {}", face.name());
        }
    }
}

#[test]
fn a_font_file_beside_the_recipe_writes_the_name() {
    let folder = folder();
    for face in [
        "{file: fonts/serif.otf}",
        "{file: fonts/two.ttc}",
        "{file: fonts/two.ttc, index: 1}",
        "[{file: fonts/broad.ttf}, serif]",
    ] {
        let (lettered, found) =
            compared(folder.path(), &format!("style: vee, face: {face}"), "Ida");
        assert!(lettered, "{face}");
        let about = |f: &Finding| matches!(f.code, Code::FontFault | Code::MissingLetter);
        let found: String = found.iter().filter(|f| about(f)).map(long).collect();
        assert_eq!(found, "", "{face}");
    }
}

#[test]
fn a_font_of_a_collection_is_that_font() {
    let bytes = collection(&[Face::Mono.bytes(), Face::Sans.bytes()]);
    for (index, face) in [(0, Face::Mono), (1, Face::Sans)] {
        let font =
            Font::read("own".to_owned(), bytes.clone(), index).expect("in the file");
        let fonts = Fonts { first: font, lenders: Vec::new() };
        let (a, b) =
            (write_in("Mila", &fonts, 9.0), write_in("Mila", &Fonts::of(face), 9.0));
        assert_eq!(a.glyphs, b.glyphs, "number {index}");
    }
    let third = Font::read("own".to_owned(), bytes, 2).expect_err("two fonts");
    assert_eq!(third, "the file has no font number 2");
}

#[track_caller]
fn stopped(face: &str, what: &str) {
    let folder = folder();
    let found = said(folder.path(), face, "Ida");
    let said: String = found.iter().map(long).collect();
    let fault = found.iter().find(|f| f.severity == Severity::Stop);
    let fault = fault.unwrap_or_else(|| panic!("{face}: no stop\n{said}"));
    assert!(fault.message.contains(what), "{said}");
    let source = fault.source.as_ref().expect("a place");
    assert!(source.line > 1 && source.column > 1, "{said}");
    assert!(fault.expected.is_some() && !fault.remedies.is_empty(), "{said}");
}

#[test]
fn what_cannot_serve_as_a_font_is_told_with_its_place() {
    stopped("{file: fonts/none.ttf}", "not a font");
    stopped("{file: fonts/cut.ttf}", "`fonts/cut.ttf`: ");
    stopped("{file: fonts/nowhere.ttf}", "there is no such file");
    stopped("{file: ../serif.otf}", "beside the one that names it, or below");
    stopped("{file: fonts}", "`fonts`: ");
    stopped("{file: fonts/two.ttc, index: 2}", "no font number 2");
    stopped("{family: Nobody Drew This One}", "no family `Nobody Drew This One`");
    stopped("[serif, hand]", "the hand lends no letters");
    stopped("[serif, serrif bold]", "there is no face `serrif bold`");
}

/// The first of a list writes; the others lend in their order, before the built-in ones.
#[test]
fn a_list_lends_in_its_order() {
    let armenian = "Հ";
    assert!(!Face::CARVED.writes('Հ'), "the first lacks it");
    let lists = [
        ("[serif bold]", "`roman bold`"),
        ("[serif bold, broad]", "`broad`"),
        ("[serif bold, mono bold, broad]", "`mono bold`"),
        ("[serif bold, {file: fonts/broad.ttf}, mono]", "`{file: fonts/broad.ttf}`"),
    ];
    let folder = folder();
    for (list, lender) in lists {
        let found = said(folder.path(), list, &format!("A{armenian}"));
        let note = found.iter().find(|f| f.code == Code::MissingLetter).expect("a note");
        assert!(note.message.ends_with(lender), "{list}: {}", note.message);
        assert_eq!(note.severity, Severity::Note, "{list}");
    }
}

/// The hand neither lends nor borrows: what follows it in a list writes the names it cannot.
#[test]
fn a_list_led_by_the_hand_changes_over_for_whole_names() {
    let folder = folder();
    let found = said(folder.path(), "[hand, broad]", "Ida");
    assert!(!found.iter().any(|f| f.code == Code::MissingLetter), "the hand has all");
    let found = said(folder.path(), "[hand, broad]", "Aram Հ");
    let note = found.iter().find(|f| f.code == Code::MissingLetter).expect("a note");
    assert_eq!(note.message, "the hand lacks letters of \"Aram Հ\": written in `broad`");
    let alone = said(folder.path(), "hand", "Aram Հ");
    let stop = alone.iter().find(|f| f.code == Code::MissingLetter).expect("a stop");
    assert_eq!(stop.severity, Severity::Stop, "the hand alone lacks a letter");
}

/// A variable font, or any other, with a letter that draws nothing: the letter is missed, not
/// left out in silence. The glyph's outline is taken away by giving it no length in `loca`
/// (OpenType specification, "loca").
#[test]
fn a_blank_letter_is_missing() {
    let mut bytes = Face::Broad.bytes().to_vec();
    let id = glyphs("Q", &Fonts::of(Face::Broad))[0].id as usize;
    let (loca, long) = (table(&bytes, *b"loca"), table(&bytes, *b"head") + 51);
    let size = if bytes[long] == 0 { 2 } else { 4 };
    let at = loca + size * id;
    let next = bytes[at + size..at + 2 * size].to_vec();
    bytes[at..at + size].copy_from_slice(&next);
    let fonts = Fonts { first: own(&bytes), lenders: Vec::new() };
    let written = write_in("HQH", &fonts, 10.0);
    assert_eq!((written.missing, written.texts.concat()), (vec!['Q'], "HH".to_owned()));
}

/// Where a table of a font begins.
fn table(bytes: &[u8], tag: [u8; 4]) -> usize {
    let count = usize::from(u16::from_be_bytes([bytes[4], bytes[5]]));
    let record = (0..count).map(|table| 12 + 16 * table);
    let at = record.into_iter().find(|at| bytes[*at..at + 4] == tag).expect("the table");
    let four = bytes[at + 8..at + 12].try_into().expect("four bytes");
    u32::from_be_bytes(four) as usize
}

/// Cut short, bytes flipped, tables exchanged: an error or letters, never a panic.
#[test]
fn broken_fonts_are_refused_or_write_something() {
    let mut random = Dice(11);
    let whole = [Face::Roman, Face::Mono, Face::SansItalic].map(Face::bytes);
    let (mut refused, mut wrote) = (0, 0);
    for round in 0..2_400 {
        let bytes = broken(whole[round % whole.len()], &mut random);
        let Ok(font) = Font::read("broken".to_owned(), bytes, 0) else {
            refused += 1;
            continue;
        };
        let fonts = Fonts { first: font, lenders: Vec::new() };
        for text in ["Zoë fi 12", "Łucja-Đỗ", "Ωμέγα", "אב"] {
            let written = write_in(text, &fonts, 10.0);
            assert!(written.advance.is_finite(), "round {round}: {text}");
            assert!(written.glyphs.iter().all(BezPath::is_finite), "round {round}");
        }
        wrote += 1;
    }
    println!("{refused} refused, {wrote} wrote");
    assert!(refused > 200 && wrote > 500, "{refused} refused, {wrote} wrote");
}

fn broken(font: &[u8], random: &mut Dice) -> Vec<u8> {
    let mut bytes = font.to_vec();
    let mut below = |most: usize| random.next() as usize % most.max(1);
    if below(4) == 0 {
        bytes.truncate(below(bytes.len()));
    }
    // Half of the damage goes to the tables' directory and what begins the tables.
    for _ in 0..=below(24) {
        let reach = if below(2) == 0 { 2_000.min(bytes.len()) } else { bytes.len() };
        let at = below(reach);
        let value = u8::try_from(below(256)).unwrap_or_default();
        if let Some(byte) = bytes.get_mut(at) {
            *byte = value;
        }
    }
    bytes
}
