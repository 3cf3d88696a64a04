//! Formulas: values by hand, refusals with their place.

use treen::finding::{Code, Source, SourceFile};
use treen::model::{Formula, Names, sorted_lets};

fn source(text: &str) -> Source {
    let file = SourceFile::new("recipe.yaml", text);
    let length = u32::try_from(text.chars().count().max(1)).expect("short");
    Source { file, line: 1, column: 1, length }
}

fn names() -> Names {
    [("length", 200.0), ("r", 10.0), ("a_1", 3.0), ("x", 2.0)]
        .map(|(name, value)| (name.to_owned(), value))
        .into()
}

fn value(text: &str) -> f64 {
    let formula = Formula::parse(text, source(text));
    formula.and_then(|f| f.value(&names())).unwrap_or(f64::NAN)
}

fn fault(text: &str) -> Option<(Code, u32, u32)> {
    let result = Formula::parse(text, source(text)).and_then(|f| f.value(&names()));
    let finding = result.err()?;
    let place = finding.source.as_ref()?;
    Some((finding.code, place.column, place.length))
}

#[test]
fn values_worked_out_by_hand() {
    let cases = [
        ("6 mm", 6.0),
        ("7/16 in", 11.1125),
        ("7/16", 0.4375),
        ("length*0.08 + 3 mm", 19.0),
        ("1 1/4 in + r", 41.75),
        ("r - 5 - 3", 2.0),
        ("100 / 10 / 2", 5.0),
        ("100 / 10 * 2", 20.0),
        ("2 + 3 * 4", 14.0),
        ("-2^2", -4.0),
        ("2^-1", 0.5),
        ("2^3^2", 512.0),
        ("2*-x^2", -8.0),
        ("--x", 2.0),
        ("-(r+x)*2", -24.0),
        ("min(3, 1, 2)", 1.0),
        ("max(min(r, 4), 2 * x)", 4.0),
        ("max(1, min(2, 3)) + 4", 6.0),
        ("1 + max(2, 3) * 2", 7.0),
        ("sqrt(r^2 - 6^2)", 8.0),
        ("floor(-1.5) + ceil(1.2) + round(2.5)", 3.0),
        ("abs(-a_1)", 3.0),
        ("2 * pi", std::f64::consts::TAU),
        ("2.5e1", 25.0),
        ("x−1", 1.0),
        ("30 deg + 15°", 45.0),
        ("length/2 - 1/4 in", 93.65),
    ];
    for (text, want) in cases {
        let have = value(text);
        let same = (have - want).abs() < 1e-12;
        assert!(same, "{text}: have {have}, want {want}");
    }
}

/// Angles of the unit circle: Abramowitz and Stegun (1964), table 4.3 of special values.
#[test]
fn trigonometry_in_degrees() {
    let half_root = 0.5_f64.sqrt();
    let cases = [
        ("sin(30)", 0.5),
        ("cos(60)", 0.5),
        ("sin(90)", 1.0),
        ("cos(90)", 0.0),
        ("sin(180)", 0.0),
        ("sin(-45)", -half_root),
        ("cos(225)", -half_root),
        ("tan(45)", 1.0),
        ("tan(135)", -1.0),
        ("asin(1)", 90.0),
        ("acos(0.5)", 60.0),
        ("atan(1)", 45.0),
        ("atan2(1, -1)", 135.0),
        ("atan2(-1, -1)", -135.0),
    ];
    for (text, want) in cases {
        let have = value(text);
        assert!((have - want).abs() < 1e-13, "{text}: have {have}, want {want}");
    }
}

#[test]
fn every_sine_agrees_with_the_standard_library() {
    for step in -1000..1000 {
        let angle = f64::from(step) * 0.731;
        let have = value(&format!("sin({angle}) + 2 * cos({angle})"));
        let want = angle.to_radians().sin() + 2.0 * angle.to_radians().cos();
        assert!((have - want).abs() < 1e-11, "{angle}: have {have}, want {want}");
    }
}

#[test]
fn what_is_refused_and_where() {
    let cases = [
        ("lenght / 2", Code::UnknownName, 1, 6),
        ("2 * (r + lenght)", Code::UnknownName, 10, 6),
        ("", Code::FormulaSyntax, 1, 1),
        ("2 +", Code::FormulaSyntax, 4, 1),
        ("2 * (3 + r", Code::FormulaSyntax, 11, 1),
        ("2)", Code::FormulaSyntax, 2, 1),
        ("2 r", Code::BadUnit, 3, 1),
        ("3 furlongs", Code::BadUnit, 3, 8),
        ("sine(30)", Code::FormulaSyntax, 1, 4),
        ("sin + 3", Code::FormulaSyntax, 1, 3),
        ("min(3)", Code::FormulaSyntax, 1, 3),
        ("atan2(1, 2, 3)", Code::FormulaSyntax, 1, 5),
        ("{r}", Code::FormulaSyntax, 1, 1),
        ("r ** 2", Code::FormulaSyntax, 4, 1),
        ("r; 2", Code::FormulaSyntax, 2, 1),
        ("1.2.3", Code::FormulaSyntax, 4, 1),
        ("1 / 0", Code::FormulaValue, 1, 5),
        ("0 / 0", Code::FormulaValue, 1, 5),
        ("sqrt(-1)", Code::FormulaValue, 1, 8),
        ("min(sqrt(-1), 2)", Code::FormulaValue, 1, 16),
        ("tan(90)", Code::FormulaValue, 1, 7),
        ("10^400", Code::FormulaValue, 1, 6),
        ("nan", Code::UnknownName, 1, 3),
    ];
    for (text, code, column, length) in cases {
        assert_eq!(fault(text), Some((code, column, length)), "{text}");
    }
}

#[test]
fn deep_and_long_formulas_do_not_exhaust_a_small_stack() {
    let deep = [
        format!("{}1{}", "(".repeat(199), ")".repeat(199)),
        "-".repeat(399) + "1",
        format!("1{}", "^1".repeat(199)),
        format!("{}1{}", "sin(".repeat(79), ")".repeat(79)),
        "(".repeat(400),
        "1+".repeat(20_000),
    ];
    let most = [
        format!("{}1{}", "(".repeat(64), ")".repeat(64)),
        "-".repeat(64) + "1",
        format!("1{}", "^1".repeat(60)),
        format!("1{}", "+1".repeat(199)),
        format!("{}1{}", "max(1,".repeat(30), ")".repeat(30)),
    ];
    let run = move || {
        for text in deep {
            let code = fault(&text).map(|(code, ..)| code);
            assert_eq!(code, Some(Code::InputTooLarge), "{text}");
        }
        for text in most {
            assert!(value(&text).is_finite(), "{text}");
        }
    };
    let thread = std::thread::Builder::new().stack_size(1 << 20).spawn(run);
    thread.expect("a thread").join().expect("no overflow");
}

fn lets(entries: &[(&str, &str)]) -> Vec<(String, Formula)> {
    let read = |text: &str| Formula::parse(text, source(text)).expect("well formed");
    entries.iter().map(|(name, text)| ((*name).to_owned(), read(text))).collect()
}

#[test]
fn lets_are_put_in_order() {
    let sorted = sorted_lets(lets(&[("c", "a+b"), ("b", "a*2"), ("a", "r"), ("d", "1")]));
    let names: Vec<String> =
        sorted.expect("no circle").into_iter().map(|(name, _)| name).collect();
    assert_eq!(names, ["a", "b", "c", "d"], "each uses only earlier names");
}

#[test]
fn a_circle_of_lets_is_named() {
    let sorted = sorted_lets(lets(&[("a", "b"), ("b", "c+r"), ("c", "b*2"), ("d", "1")]));
    let finding = sorted.expect_err("a circle");
    assert_eq!(finding.code, Code::FormulaCycle, "code");
    assert_eq!(finding.message, "`let` goes in a circle: b → c → b", "names");
    let own = sorted_lets(lets(&[("a", "a+1")])).expect_err("a circle");
    assert_eq!(own.message, "`let` goes in a circle: a → a", "of one");
}

#[test]
fn no_text_panics() {
    let alphabet: Vec<char> =
        "0123456789.+-*/^(),{}_ rxsinmaxmmdeg°é\"\\e".chars().collect();
    arbtest::arbtest(|u| {
        let text: String = (0..u.int_in_range(0..=60)?)
            .map(|_| u.choose(&alphabet).copied())
            .collect::<Result<_, _>>()?;
        let formula = Formula::parse(&text, source(&text));
        let _ = formula.and_then(|f| f.value(&names()));
        Ok(())
    })
    .budget_ms(1500);
}
