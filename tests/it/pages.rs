//! Sheets as PDF files. What other readers find in them is asked in `../reference/pages.py`.

use crate::sample;
use treen::export::{Chapter, pdf};
use treen::feasibility::{Pins, check};
use treen::plan::choose;
use treen::sheet::{self, Sheet};

/// Proof and bench sheets of the sample dish.
fn pages(person: &str) -> Vec<Sheet> {
    let (dish, shop) = (sample::boat(person), sample::the_shop());
    let report = check(&dish, &shop, &Pins::default());
    let plan = choose(&dish, &report, &shop).value.expect("a plan");
    let mut pages = vec![sheet::proof(&dish, &report, &plan, &shop)];
    pages.extend(sheet::bench(&dish, &report, &plan, &shop));
    pages
}

/// The four numbers of every media box in a file; the writer leaves these objects as text.
fn boxes(file: &[u8]) -> Vec<Vec<f64>> {
    let text = String::from_utf8_lossy(file);
    let boxes = text.split("/MediaBox[").skip(1);
    let numbers = boxes.filter_map(|rest| rest.split(']').next());
    numbers
        .map(|all| all.split_whitespace().map(|n| n.parse().expect("a number")).collect())
        .collect()
}

#[test]
fn pages_are_a4_in_points_and_as_many_as_there_are_sheets() {
    // 210 and 297 mm at 72 units to the inch of 25.4 mm (ISO 32000-1, 8.3.2.3; ISO 216).
    let pages = pages("Zoë");
    assert!(pages.len() >= 2, "proof and bench");
    let file = pdf("Zoë", &[Chapter { title: "Zoë", pages: &pages }]).expect("written");
    assert!(file.starts_with(b"%PDF-1.7"), "a PDF file");
    let boxes = boxes(&file);
    assert_eq!(boxes.len(), pages.len());
    for found in boxes {
        let wanted = [0.0, 0.0, 210.0 * 72.0 / 25.4, 297.0 * 72.0 / 25.4];
        let close = found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-3);
        assert!(found.len() == 4 && close, "{found:?}");
    }
}

#[test]
fn the_same_pages_give_the_same_bytes_and_others_do_not() {
    let file = |person: &str| {
        let pages = pages(person);
        pdf(person, &[Chapter { title: person, pages: &pages }]).expect("written")
    };
    assert!(file("Bo") == file("Bo"), "twice the same");
    assert!(file("Bo") != file("Jo"), "another name, another file");
}

#[test]
fn chapters_get_bookmarks_where_there_are_several() {
    let (one, two) = (pages("Bo"), pages("Jo"));
    let chapter = |title, pages| Chapter { title, pages };
    let alone = pdf("Bo", &[chapter("Bo", &one)]).expect("written");
    let book = pdf("both", &[chapter("Bo", &one), chapter("Jo", &two)]).expect("written");
    let has = |file: &[u8]| String::from_utf8_lossy(file).contains("/Outlines");
    assert!(!has(&alone), "one chapter needs none");
    assert!(has(&book), "two do");
    assert_eq!(boxes(&book).len(), one.len() + two.len());
}

#[test]
fn hostile_words_make_a_file_too() {
    for person in
        ["(a) \\) endstream endobj", "\u{202E}abc\u{0}", "<b>&amp;", "😀", "א\u{5B0}b"]
    {
        let pages = pages(person);
        let file = pdf(person, &[Chapter { title: person, pages: &pages }]);
        assert!(file.is_ok_and(|file| file.ends_with(b"%%EOF")), "{person:?}");
    }
}
