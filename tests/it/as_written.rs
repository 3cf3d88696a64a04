//! Names as people write them: nothing of them is changed in silence, and letters stay apart
//! in every face.

use crate::names::{names, straight};
use crate::raised::{named, rack};
use treen::finding::{Code, Severity};
use treen::lettering::{Face, Fit, FitFault, Fitted, LEAST_WOOD, Letters, fit};
use unicode_normalization::UnicodeNormalization as _;

fn how(letters: Letters, apart: f64) -> Fit {
    Fit { letters, most: 20.0, least: 4.0, condense: 0.85, gap: 0.5, apart, lines: 1 }
}

fn set(name: &str, letters: &Letters) -> Result<Fitted, FitFault> {
    fit(name, &how(letters.clone(), 0.0), &straight(2_000.0))
}

/// Letters of a name that are drawn, in the order they are read from left to right.
fn read(fitted: &Fitted) -> String {
    fitted.texts.concat()
}

#[test]
fn letters_stay_as_they_are_typed() {
    // As Unicode composes them, and no further: no case is changed, no letter spelled out, no
    // mark dropped. Spaces draw nothing.
    let typed = [
        "O'Neill",
        "O\u{2019}Neill",
        "D\u{2018}Arcy",
        "Anna-Lena",
        "Anna\u{2010}Lena",
        "JEAN-LUC",
        "McKay",
        "LeAnn",
        "ANNA",
        "anna",
        "Weiß",
        "WEISS",
        "WEIẞ",
        "Işıl",
        "İlker",
        "IŞIL",
        "ılgaz",
        "Ljubica",
        "Njegoš",
        "Dženana",
        "IJsbrand",
        "Æsa",
        "Œuf",
        "Zoe\u{308}",
        "Nguye\u{302}\u{303}n",
        "A",
        "é",
        "Ø",
        "Anna Lena",
        "Q. Smith",
        "Mary & Tom",
        "No. 7",
        "Ana María",
        "St. John",
    ];
    for letters in [Letters::USUAL_HAND, Face::CARVED.into()] {
        for name in typed {
            let fitted = set(name, &letters).unwrap_or_else(|f| panic!("{name}: {f:?}"));
            let composed: String = name.nfc().filter(|c| !c.is_whitespace()).collect();
            assert_eq!(read(&fitted), composed, "{name} in {}", letters.name());
            assert_eq!(fitted.missing, Vec::<char>::new(), "{name}");
        }
    }
}

#[test]
fn letters_that_look_like_two_are_written_or_named() {
    // U+01C4 to U+01CC, U+0132 and U+0133: one character each that looks like two.
    for name in ["Ǆana", "Ǉuba", "Ǌegoš", "ǆ", "Ĳsbrand", "ĳ"] {
        for letters in [Letters::USUAL_HAND, Face::CARVED.into()] {
            let first = name.chars().next().expect("not empty");
            match set(name, &letters) {
                Ok(fitted) => {
                    let drawn = read(&fitted);
                    let told = fitted.missing.contains(&first);
                    assert!(drawn == name || told, "{name}: {drawn}");
                    assert!(!(drawn == name && told), "{name}: both");
                }
                Err(FitFault::NothingDrawn(missing)) => assert_eq!(missing, vec![first]),
                Err(fault) => panic!("{name}: {fault:?}"),
            }
        }
    }
}

#[test]
fn spaces_are_kept_as_typed() {
    for letters in [Letters::USUAL_HAND, Face::CARVED.into()] {
        let long = |name: &str| set(name, &letters).expect("it fits").length;
        let [none, one, two, three] =
            ["AnnaLena", "Anna Lena", "Anna  Lena", "Anna   Lena"].map(long);
        assert!(one > none + 1.0 && two > one + 1.0, "a space: {none} {one} {two}");
        assert!(
            (three - 2.0 * two + one).abs() < 1e-6,
            "each alike: {one} {two} {three}"
        );
        let edges = [" Anna", "Anna ", "  Anna  "].map(long);
        for length in edges {
            assert!((length - long("Anna")).abs() < 1e-9, "outside spaces draw nothing");
        }
    }
}

#[test]
fn one_letter_and_sixty_have_their_place_or_are_told() {
    let how = "along: [[-110, 0], [110, 0]], height: 30, style: vee";
    let at = |name: &str| named(name, how, &rack(&[3.0, 6.0])).findings;
    let one = at("J");
    assert!(one.iter().all(|f| f.severity < Severity::Stop), "{one:?}");
    assert!(!one.iter().any(|f| f.code == Code::NameDoesNotFit), "{one:?}");
    let sixty = "Wilhelmina".repeat(6);
    let told = at(&sixty);
    let found = told.iter().find(|f| f.code == Code::NameDoesNotFit).expect("it is told");
    assert_eq!(found.severity, Severity::Stop, "{found:?}");
    assert!(!found.remedies.is_empty(), "{found:?}");
}

#[test]
fn pictures_are_told_by_their_character() {
    for (name, picture) in [("Mia🦔", '🦔'), ("🎈", '🎈'), ("Leo❤", '❤')] {
        match set(name, &Letters::USUAL_HAND) {
            Ok(fitted) => assert_eq!(fitted.missing, vec![picture], "{name}"),
            Err(FitFault::NothingDrawn(missing)) => assert_eq!(missing, vec![picture]),
            Err(fault) => panic!("{name}: {fault:?}"),
        }
    }
}

#[test]
fn letters_stay_apart_in_every_face() {
    // As dishes ask for it: wood for the carver between any two letters of every name.
    let (mut close, mut asked, mut spread) = (Vec::new(), 0, 0);
    for face in Letters::names() {
        let letters = Letters::named(face).expect("a face");
        for (_, name) in names() {
            if !name.chars().all(|letter| letters.writes(letter)) {
                continue;
            }
            let how = how(letters.clone(), LEAST_WOOD);
            let fitted = fit(name, &how, &straight(2_000.0)).expect("it fits");
            asked += 1;
            spread += usize::from(fitted.tracking > 0.0);
            if fitted.gap.is_some_and(|gap| gap.width < LEAST_WOOD) {
                close.push((face, name, fitted.gap));
            }
        }
    }
    assert!(asked > 5_000 && spread > 30, "{asked} asked, {spread} spread");
    assert!(close.is_empty(), "{close:?}");
}

#[test]
fn letters_are_spread_until_a_mill_passes_or_there_is_no_room() {
    for letters in [Face::SansBold.into(), Face::CARVED.into(), Letters::USUAL_HAND] {
        for (_, name) in names().into_iter().step_by(7) {
            if name.chars().count() < 2 || !name.chars().all(|l| letters.writes(l)) {
                continue;
            }
            let drawn = set(name, &letters).expect("it fits");
            let wide = fit(name, &how(letters.clone(), 2.0), &straight(2_000.0));
            let wide = wide.expect("it fits");
            let [before, after] =
                [&drawn, &wide].map(|one| one.gap.map_or(f64::INFINITY, |gap| gap.width));
            assert!(after >= 2.0, "{name} in {}: {after}", letters.name());
            // No farther than it takes, within the slack it is looked for.
            let most = before.max(2.0 + 0.02);
            assert!(after <= most, "{name} in {}: {before}, {after}", letters.name());
            let room = drawn.length;
            let tight = fit(name, &how(letters.clone(), 2.0), &straight(room));
            let tight = tight.expect("smaller");
            assert!(tight.length <= room + 1e-6, "{name}: {} of {room}", tight.length);
        }
    }
}
