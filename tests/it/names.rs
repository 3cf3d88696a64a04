//! Names as people write them, from many languages and from none.

use crate::random_shapes::Dice;
use treen::curve::{BezPath, Origin, Region};
use treen::lettering::{Fit, FitFault, Letters, Pen, fit};

const HAND: Letters = Letters::Hand(Pen::Share(Pen::USUAL));

/// Every name of the list with its language.
pub(crate) fn names() -> Vec<(&'static str, &'static str)> {
    let list = include_str!("../golden/names.txt");
    list.lines()
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| line.split_once(':'))
        .flat_map(|(language, names)| {
            names.split_whitespace().map(move |n| (language, n))
        })
        .collect()
}

/// A straight line about the origin, left to right.
pub(crate) fn straight(length: f64) -> BezPath {
    let mut path = BezPath::new();
    path.move_to((-length / 2.0, 0.0));
    path.line_to((length / 2.0, 0.0));
    path
}

fn how(letters: Letters) -> Fit {
    Fit {
        letters,
        most: 20.0,
        least: 4.0,
        condense: 0.85,
        gap: 0.5,
        apart: 0.0,
        lines: 2,
    }
}

/// The hand if it has every letter, else the first face that does.
fn letters_for(name: &str) -> Option<Letters> {
    let has = |letters: &Letters| name.chars().all(|c| letters.writes(c));
    [HAND].into_iter().chain(Letters::names().filter_map(Letters::named)).find(has)
}

#[test]
fn names_of_many_languages_are_written_and_do_not_collide() {
    let names = names();
    assert!(names.len() > 500, "{} names", names.len());
    let (mut wrong, mut by_hand) = (Vec::new(), 0);
    for (language, name) in &names {
        let Some(letters) = letters_for(name) else {
            wrong.push(format!("{language} {name}: no letters"));
            continue;
        };
        let fitted = fit(name, &how(letters.clone()), &straight(400.0)).expect("it fits");
        if !fitted.missing.is_empty() {
            wrong.push(format!("{language} {name}: missing {:?}", fitted.missing));
        }
        if letters == HAND {
            by_hand += 1;
            // The hand leaves some white everywhere; 20 mm letters of 2.4 mm strokes.
            let near = fitted.gap.is_some_and(|gap| gap.width < 0.8);
            if near {
                wrong.push(format!("{language} {name}: {:?}", fitted.gap));
            }
            // No letter or mark meets another, neighbour or not.
            let whole = fitted.region().expect("letters have area");
            let apart = |letter| Region::filled(letter, Origin::default());
            let parts =
                fitted.letters.iter().map(|one| apart(one).map_or(0, |r| r.parts()));
            let parts: usize = parts.sum();
            if whole.parts() != parts {
                wrong.push(format!(
                    "{language} {name}: {} of {parts} parts",
                    whole.parts()
                ));
            }
            if fitted.texts.concat() != unicode(name) {
                wrong.push(format!("{language} {name}: written {:?}", fitted.texts));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(by_hand > 480, "{by_hand} by hand");
}

/// As composed text.
fn unicode(name: &str) -> String {
    use unicode_normalization::UnicodeNormalization as _;
    name.nfc().collect()
}

#[test]
fn any_text_at_all_is_lettered_or_told_of() {
    // All planes, controls, direction marks, lone marks: a name is laid out, or there is a
    // fault; what was left out is named.
    let mut random = Dice(6);
    for _ in 0..1_000 {
        let text = any_text(&mut random);
        for letters in [HAND, Letters::named("serif bold").expect("a face")] {
            match fit(&text, &how(letters.clone()), &straight(200.0)) {
                Ok(fitted) => {
                    assert!(fitted.length <= 200.0 + 1e-6, "{text:?}");
                    assert_eq!(fitted.letters.len(), fitted.texts.len(), "{text:?}");
                    let lent = fitted.borrowed.iter().map(|(_, part)| part.as_str());
                    told(&text, &letters, &fitted.missing, &lent.collect::<String>());
                }
                Err(
                    FitFault::NothingDrawn(missing) | FitFault::TooLong { missing, .. },
                ) => {
                    // What is borrowed is not told of a name that has no place.
                    told(&text, &letters, &missing, &lendable(&text, &letters));
                }
                Err(fault) => panic!("{text:?}: {fault:?}"),
            }
        }
    }
}

/// Up to twelve characters from anywhere.
fn any_text(random: &mut Dice) -> String {
    let mut text = String::new();
    for _ in 0..random.next() % 13 {
        let (first, last) = match random.next() % 6 {
            0 => (0, 0x10_FFFF),
            1 => (0, 0x2FF),
            2 => (0x300, 0x36F),
            3 => (0x200B, 0x202E),
            4 => (0x1_F300, 0x1_F6FF),
            _ => (0x370, 0x5FF),
        };
        let place = random.next() % (last - first + 1);
        text.extend(u32::try_from(first + place).ok().and_then(char::from_u32));
    }
    text
}

/// What of a text a face may borrow from its substitutes; the hand borrows nothing.
fn lendable(text: &str, letters: &Letters) -> String {
    let Letters::Fonts(fonts) = letters else { return String::new() };
    let lent =
        |letter: &char| fonts.supplier(*letter).is_some_and(|font| font != fonts.first);
    unicode(text).chars().filter(lent).collect()
}

/// What the letters lack is named or lent by a face, unless it draws nothing anyhow.
fn told(text: &str, letters: &Letters, missing: &[char], lent: &str) {
    for letter in unicode(text).chars() {
        let fine = letters.writes(letter)
            || missing.contains(&letter)
            || lent.contains(letter)
            || letter.is_whitespace()
            || ignorable(letter);
        assert!(fine, "{letter:?} of {text:?} vanished in silence");
    }
}

/// Unicode's `Default_Ignorable_Code_Point`, as far as it is drawn as nothing here.
fn ignorable(letter: char) -> bool {
    matches!(letter, '\u{AD}' | '\u{34F}' | '\u{61C}' | '\u{200B}'..='\u{200F}'
        | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FE00}'..='\u{FE0F}'
        | '\u{FEFF}' | '\u{E0000}'..='\u{E0FFF}')
}
