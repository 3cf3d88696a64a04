//! The proof in each of its languages: everything is said, in its place.

use crate::sample::{Case, boat, notched};
use crate::sheets::{demo_cases, in_order, look};
use std::collections::BTreeMap;
use std::path::Path;
use treen::finding::{Code, Finding};
use treen::intake::{orders_csv, orders_yaml, shop};
use treen::model::{Locale, Manner, OrderForm, SizeUnit, Workshop};
use treen::sheet::{Mark, Sheet, proof};

fn page(case: &Case) -> Sheet {
    proof(&case.dish, &case.report, &case.plan, &case.shop)
}

/// Every line of text on a page.
pub(crate) fn words(sheet: &Sheet) -> Vec<String> {
    let marks = sheet.layers.iter().flat_map(|layer| &layer.marks);
    let text = |mark: &Mark| match mark {
        Mark::Text(text) => Some(text.text.clone()),
        Mark::Path(_) | Mark::Picture(_) => None,
    };
    marks.filter_map(text).collect()
}

/// The texts of a file of words by the way to them.
fn file(code: &str) -> BTreeMap<String, String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("shapes/words");
    let text =
        std::fs::read_to_string(folder.join(format!("{code}.yaml"))).expect("there");
    let value: serde_json::Value = serde_yaml::from_str(&text).expect("YAML");
    let mut texts = BTreeMap::new();
    spread("", &value, &mut texts);
    texts
}

fn spread(at: &str, value: &serde_json::Value, texts: &mut BTreeMap<String, String>) {
    if let Some(map) = value.as_object() {
        for (key, value) in map {
            spread(&format!("{at}/{key}"), value, texts);
        }
    } else if let Some(list) = value.as_array() {
        for (index, value) in list.iter().enumerate() {
            spread(&format!("{at}/{index}"), value, texts);
        }
    } else {
        texts.insert(at.to_owned(), value.as_str().expect("a text").to_owned());
    }
}

/// What stands in braces, sorted.
fn holes(text: &str) -> Vec<&str> {
    let parts = text.split('{').skip(1);
    let mut holes: Vec<&str> =
        parts.map(|part| part.split('}').next().unwrap_or_default()).collect();
    holes.sort_unstable();
    holes
}

/// Words of the maker's own files, which a language may or may not have.
fn own(key: &str) -> bool {
    ["/woods/", "/titles/", "/parameters/"].iter().any(|start| key.starts_with(start))
}

#[test]
fn every_language_says_everything_in_its_own_words() {
    let english = file("en");
    assert!(english.len() > 90, "only {} texts", english.len());
    // The same word in both, or a unit's symbol.
    let alike = ["/foot/name", "/order/name", "/approval/name"];
    for (code, _) in Locale::ALL.iter().filter(|(code, _)| *code != "en") {
        let texts = file(code);
        let ours = |texts: &BTreeMap<String, String>| {
            texts.keys().filter(|key| !own(key)).cloned().collect::<Vec<_>>()
        };
        assert_eq!(ours(&english), ours(&texts), "{code} says the same");
        for (key, text) in texts.iter().filter(|(key, _)| !own(key)) {
            let first = &english[key];
            assert!(!text.trim().is_empty(), "{code}: {key} says nothing");
            assert_eq!(holes(first), holes(text), "{code}: {key} has the same places");
            let name = key.contains("/codes/") || key.starts_with("/units/");
            if name || alike.contains(&key.as_str()) {
                continue;
            }
            assert_ne!(first, text, "{code}: {key} is still English");
        }
        for (title, _) in texts.iter().filter(|(key, _)| key.starts_with("/titles/")) {
            let title = title.trim_start_matches("/titles/");
            let line = format!("title: {title}\n");
            let known = treen::intake::demo::RECIPES.iter();
            assert!(
                known.clone().any(|(_, text)| text.contains(&line)),
                "{code}: no shape is called {title}"
            );
        }
        let titles = texts.keys().filter(|key| key.starts_with("/titles/")).count();
        assert_eq!(titles, treen::intake::demo::RECIPES.len(), "{code}: every shape");
    }
}

#[test]
fn every_reason_is_told_in_every_language() {
    for (code, _) in Locale::ALL {
        let texts = file(code);
        let codes = texts.iter().filter(|(key, _)| key.contains("/codes/"));
        for (key, word) in codes {
            let known = Code::ALL.iter().any(|known| known.word() == word);
            assert!(known, "{code}: {key}: no finding is called {word}");
        }
    }
}

#[test]
fn text_stays_in_its_place_in_every_language() {
    let ordinary = Case::of(boat("Zoë"));
    let mut full = Case::of(notched("Maximiliane Rosa", 5));
    full.dish.quantity = 12;
    full.dish.note = Some("Please carve it as deep as you dare. ".repeat(6));
    full.dish.date = Some("2026-07-10, before noon".to_owned());
    let said = |text: &str| Some(text.to_owned());
    full.shop.workshop = Workshop {
        name: said("The Workshop of the Nursery at the End of Pebble Street"),
        address: said("Building 3, Pebble Street, Upper Littlebrook on the Water"),
        reply: said("proofs-and-approvals@pebble-street.example or the yellow box"),
        answer_by: said("Friday, 2026-07-24, before the gate is closed at noon"),
    };
    let mut nameless = Case::of(boat(""));
    nameless.dish.note = None;
    for mut case in [ordinary, full, nameless] {
        for (code, locale) in Locale::ALL {
            let what = format!("{code}-{}", case.dish.person.len());
            case.report.findings.clear();
            for (_, unit) in SizeUnit::ALL {
                case.dish.manner = Manner { locale: Some(locale), unit: Some(unit) };
                let sheet = whole(&format!("{what}-{}", unit.word()), &case);
                assert_eq!(sheet.language, code, "the page says its language");
                if unit == SizeUnit::Cm && locale != Locale::English {
                    look(&format!("words-{what}"), &sheet);
                }
            }
            for (index, codes) in Code::ALL.chunks(4).enumerate() {
                let stop = |code: &Code| Finding::stop(*code, "as planted");
                case.report.findings = codes.iter().map(stop).collect();
                let sheet = whole(&format!("{what}, stopped by {codes:?}"), &case);
                if index == 0 && locale != Locale::English {
                    look(&format!("words-{what}-stopped"), &sheet);
                }
            }
        }
    }
}

/// The proof of a case, on which nothing of ours is cut short.
fn whole(what: &str, case: &Case) -> Sheet {
    let sheet = page(case);
    in_order(what, &sheet);
    let note = |text: &&String| text.contains("deep") || text.contains("Please");
    let cut = words(&sheet).into_iter().filter(|text| text.ends_with('…'));
    let cut: Vec<String> = cut.filter(|text| !note(&text)).collect();
    assert!(cut.is_empty(), "{what}: {cut:?} is cut");
    sheet
}

#[test]
fn numbers_are_written_as_the_customer_does() {
    let mut case = Case::of(boat("Zoë"));
    case.dish.parameters = vec![("length".to_owned(), "210.5 mm".to_owned())];
    let mut say = |locale, unit| {
        case.dish.manner = Manner { locale: Some(locale), unit: Some(unit) };
        words(&page(&case))
    };
    let has = |said: &[String], text: &str| {
        assert!(said.iter().any(|it| it == text), "`{text}` in {said:?}");
    };
    let german = say(Locale::German, SizeUnit::Cm);
    // 25.4 mm is 2.54 cm; 210 mm is 21 cm.
    for text in ["2,54 cm", "21 cm", "21,05 cm", "1,8 cm"] {
        has(&german, text);
    }
    has(&say(Locale::Spanish, SizeUnit::Inch), "1 pulg.");
    has(&say(Locale::German, SizeUnit::Inch), "1 Zoll");
    has(&say(Locale::Spanish, SizeUnit::Mm), "25,4 mm");
    has(&say(Locale::English, SizeUnit::Mm), "25.4 mm");
    let point = |text: &&String| {
        let letters: Vec<char> = text.chars().collect();
        letters
            .windows(3)
            .any(|it| it[0].is_ascii_digit() && it[1] == '.' && it[2].is_ascii_digit())
    };
    let notice = |text: &&String| text.contains("1501.3");
    let left: Vec<&String> =
        german.iter().filter(point).filter(|it| !notice(it)).collect();
    assert!(left.is_empty(), "decimal points are left: {left:?}");
}

#[test]
fn no_language_says_safe() {
    for (code, unsafe_words) in
        [("en", vec!["safe"]), ("de", vec!["sicher"]), ("es", vec!["segur"])]
    {
        for (key, text) in file(code) {
            let text = text.to_lowercase();
            let said = unsafe_words.iter().find(|word| text.contains(**word));
            assert!(said.is_none(), "{code}: {key} says {said:?}");
        }
    }
}

#[test]
fn shop_and_order_say_how_proofs_speak() {
    let text = "cutters: [{id: end-6, kind: end mill, diameter: 6 mm}]\n\
                proof: {locale: de, unit: cm}\n";
    let shop = shop("shop.yaml", text).value.expect("a shop");
    let german = Manner { locale: Some(Locale::German), unit: Some(SizeUnit::Cm) };
    assert_eq!(shop.manner, german, "the shop's");
    let yaml = "orders: [{id: a, name: Ada, recipe: snail, locale: es, unit: inch}]\n";
    let csv = "id,name,recipe,locale,unit\na,Ada,snail,ES,in\n";
    let lists = [
        orders_yaml("o.yaml", yaml).value.expect("a list"),
        orders_csv("o.csv", csv, &OrderForm::default()).value.expect("a list"),
    ];
    let spanish = Manner { locale: Some(Locale::Spanish), unit: Some(SizeUnit::Inch) };
    for list in lists {
        assert_eq!(list.orders[0].manner, spanish, "the order's");
    }
    let mut case = Case::of(boat("Zoë"));
    case.shop.manner = german;
    case.report.findings.clear();
    assert_eq!(page(&case).language, "de", "as the shop says");
    case.dish.manner.locale = Some(Locale::Spanish);
    let said = words(&page(&case));
    let spanish = |it: &String| it == "21 cm" || it.starts_with("Recibirá");
    assert_eq!(
        said.iter().filter(|it| spanish(it)).count(),
        3,
        "Spanish, in cm: {said:?}"
    );
}

#[test]
fn demo_dishes_stand_at_half_their_size_or_more_in_every_language() {
    // What a parent of the demo may write.
    let note = "Please leave the rim as wide as it is; she likes to hold on to it.";
    for (_, mut case) in demo_cases() {
        for (code, locale) in Locale::ALL {
            case.dish.manner.locale = Some(locale);
            case.dish.note = Some(note.to_owned());
            let sheet = page(&case);
            let foot = sheet.layers.last().expect("a title block");
            let scale = foot.marks.iter().find_map(|mark| match mark {
                Mark::Text(text) => {
                    text.text.split_once(" 1:").map(|(_, n)| n.to_owned())
                }
                Mark::Path(_) | Mark::Picture(_) => None,
            });
            let scale: u32 = scale.expect("a scale").parse().expect("a number");
            assert!(scale <= 2, "{code}: {} stands at 1:{scale}", case.dish.id);
        }
    }
}
