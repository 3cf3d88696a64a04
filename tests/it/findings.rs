//! The three writers of findings.

use treen::finding::{
    Checked, Code, Finding, RemedyKind, Severity, Source, SourceFile, from_json, long,
    nearest, plain, short, to_json, worst,
};

fn place(text: &str, column: u32, length: u32) -> Source {
    Source { file: SourceFile::new("a.yaml", text), line: 1, column, length }
}

fn marked(text: &str, column: u32, length: u32) -> (String, String) {
    let finding = Finding::warn(Code::SharpTip, "x").from(place(text, column, length));
    let said = long(&finding);
    let mut lines =
        said.lines().skip(3).map(|line| line.get(4..).unwrap_or("").to_owned());
    (lines.next().unwrap_or_default(), lines.next().unwrap_or_default())
}

#[test]
fn the_long_form_says_everything_once() {
    let finding = Finding::stop(Code::OutlineTooTight, "too tight")
        .from(place("title: x", 8, 1))
        .at(1.5, -0.0001)
        .have_need(2.0, 3.175)
        .expected("a wider corner")
        .related(place("title: x", 1, 5), "the key")
        .remedy(RemedyKind::Fillet, "round it", Some(3.175));
    let want = "\
stop[outline-too-tight]: too tight
 --> a.yaml:1:8
  |
1 | title: x
  |        ^ here
 --> a.yaml:1:1
  |
1 | title: x
  | ^^^^^ the key
  = at: x 1.5, y 0 mm
  = have: 2, need: 3.175
  = expected: a wider corner
help: round it
";
    assert_eq!(long(&finding), want, "long");
    assert_eq!(
        short(&finding),
        "a.yaml:1:8: stop[outline-too-tight]: too tight",
        "short"
    );
}

#[test]
fn json_is_rounded_and_complete() {
    let finding = Finding::note(Code::SharpTip, "x")
        .at(1.234_56, -0.000_01)
        .have_need(f64::NAN, 2.0)
        .remedy(RemedyKind::Width, "y", Some(10.000_4));
    let json = to_json(&finding);
    assert_eq!(json["at"], serde_json::json!([1.235, 0.0]), "rounded, no minus zero");
    assert!(
        json["have"].is_null() && json["source"].is_null(),
        "null where there is none"
    );
    assert_eq!(json["remedies"][0]["value"], 10.0, "rounded");
    assert_eq!(json["remedies"][0]["kind"], "width", "word");
    assert_eq!(json["severity"], "note", "word");
}

#[test]
fn json_is_read_as_it_was_written() {
    for kind in RemedyKind::ALL {
        let finding = Finding::warn(Code::NeckTooThin, "a \"thin\" one\nat 3°")
            .from(place("title: x", 8, 3))
            .at(0.1, -7.125)
            .have_need(1.0 / 3.0, 2.0)
            .expected("more")
            .remedy(kind, "widen it", Some(2.75))
            .remedy(RemedyKind::Edit, "write it", None);
        let text = to_json(&finding).to_string();
        let value = serde_json::from_str(&text).expect("JSON");
        let read = from_json(&value).expect("a finding");
        assert_eq!(to_json(&read).to_string(), text, "{kind:?}");
        assert_eq!(short(&read), short(&finding), "{kind:?}");
    }
    let bare = to_json(&Finding::note(Code::SharpTip, "x"));
    assert_eq!(from_json(&bare), Some(Finding::note(Code::SharpTip, "x")), "bare");
    for key in ["code", "severity", "message", "remedies"] {
        let mut less = bare.clone();
        less[key] = serde_json::json!(7);
        assert_eq!(from_json(&less), None, "without a sound `{key}`");
    }
}

#[test]
fn the_mark_stands_below_its_place() {
    let (line, mark) = marked("ab\tcd é fg", 7, 3);
    assert_eq!(
        (line.as_str(), mark.as_str()),
        ("ab cd é fg", "      ^^^ here"),
        "blanks"
    );
    let (line, mark) = marked("a\u{1b}b: c", 2, 1);
    assert_eq!(
        (line.as_str(), mark.as_str()),
        ("a\\u{1b}b: c", " ^^^^^^ here"),
        "escaped"
    );
    let long = "x".repeat(400) + "HERE" + &"y".repeat(400);
    let (line, mark) = marked(&long, 401, 4);
    let at = mark.find('^').expect("marked");
    let shown: String = line.chars().skip(at).take(4).collect();
    assert_eq!(shown, "HERE", "clipped around the place");
    assert!(line.chars().count() <= 102, "{}", line.chars().count());
    let (line, mark) = marked("short", 90, 9);
    assert_eq!((line.as_str(), mark.as_str()), ("short", "     ^ here"), "past the end");
}

#[test]
fn hostile_text_is_spelled_out() {
    let text = "a\u{202e}b\u{7}\nc\u{feff}";
    assert_eq!(plain(text), "a\\u{202e}b\\u{7}\\nc\\u{feff}", "spelled out");
    assert_eq!(plain("Zoë Łucja Bjørn 李"), "Zoë Łucja Bjørn 李", "names stay");
}

#[test]
fn near_words_are_found_and_far_ones_are_not() {
    let words = ["radius", "center", "sin"];
    assert_eq!(nearest("radus", words), Some("radius"), "a letter left out");
    assert_eq!(nearest("CENTRE", words), Some("center"), "two letters swapped");
    assert_eq!(nearest("sinus", words), Some("sin"), "a longer word");
    assert_eq!(nearest("furlong", words), None, "far");
}

#[test]
fn every_code_has_a_word_of_its_own() {
    for code in Code::ALL {
        assert_eq!(Code::from_word(code.word()), Some(*code), "{}", code.word());
        assert!(code.explanation().ends_with('.'), "{}", code.word());
    }
    assert_eq!(Code::from_word("nonsense"), None, "unknown");
}

#[test]
fn a_stop_takes_the_value_away() {
    let warn = Finding::warn(Code::SharpTip, "x");
    let stop = Finding::stop(Code::SharpTip, "x");
    let kept = Checked::unless_stopped(Some(1), vec![warn.clone()]);
    assert_eq!(kept.value, Some(1), "a warning lets it through");
    let gone = Checked::unless_stopped(Some(1), vec![warn.clone(), stop.clone()]);
    assert_eq!(gone.value, None, "a stop does not");
    assert_eq!(worst(&[warn, stop]), Some(Severity::Stop), "the gravest");
    assert_eq!(worst(&[]), None, "nothing");
}
