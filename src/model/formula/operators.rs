//! What formulas can do: the operators and functions, handed to the expression crate.

use exmex::{BinOp, FlatEx, MakeOperators, Operator};

/// A formula ready to be evaluated.
pub(super) type Compiled = FlatEx<f64, Arithmetic>;

/// Functions of one number. Angles in degrees.
pub(super) const UNARY: [&str; 11] = [
    "sin", "cos", "tan", "asin", "acos", "atan", "sqrt", "abs", "floor", "ceil", "round",
];

/// Functions of two numbers; `min` and `max` take more.
pub(super) const BINARY: [&str; 3] = ["atan2", "min", "max"];

/// Words with a fixed value.
pub(super) const CONSTANTS: [&str; 1] = ["pi"];

/// Units that may follow a number.
const UNITS: [&str; 5] = ["mm", "cm", "in", "inch", "deg"];

/// True for a word that a parameter or `let` cannot be called, as formulas use it otherwise.
pub fn reserved(name: &str) -> bool {
    UNARY.contains(&name)
        || BINARY.contains(&name)
        || CONSTANTS.contains(&name)
        || UNITS.contains(&name)
}

/// The operator set of formulas.
#[derive(Clone, Debug)]
pub(super) struct Arithmetic;

impl MakeOperators<f64> for Arithmetic {
    fn make<'a>() -> Vec<Operator<'a, f64>> {
        vec![
            binary("^", f64::powf, 4),
            binary("*", |a, b| a * b, 2),
            binary("/", |a, b| a / b, 2),
            binary("+", |a, b| a + b, 1),
            Operator::make_bin_unary(
                "-",
                BinOp { apply: |a, b| a - b, prio: 1, is_commutative: false },
                |a| -a,
            ),
            binary("atan2", |y, x| y.atan2(x).to_degrees(), 0),
            binary("min", least, 0),
            binary("max", greatest, 0),
            Operator::make_unary("sin", |a| exact(a, f64::sin)),
            Operator::make_unary("cos", |a| exact(a + 90.0, f64::sin)),
            Operator::make_unary("tan", tangent),
            Operator::make_unary("asin", |a| a.asin().to_degrees()),
            Operator::make_unary("acos", |a| a.acos().to_degrees()),
            Operator::make_unary("atan", |a| a.atan().to_degrees()),
            Operator::make_unary("sqrt", f64::sqrt),
            Operator::make_unary("abs", f64::abs),
            Operator::make_unary("floor", f64::floor),
            Operator::make_unary("ceil", f64::ceil),
            Operator::make_unary("round", f64::round),
            Operator::make_constant("pi", std::f64::consts::PI),
        ]
    }
}

fn binary(repr: &str, apply: fn(f64, f64) -> f64, prio: i64) -> Operator<'_, f64> {
    Operator::make_bin(repr, BinOp { apply, prio, is_commutative: false })
}

/// NaN stays NaN, unlike `f64::min`.
fn least(a: f64, b: f64) -> f64 {
    if a.is_nan() || b.is_nan() { f64::NAN } else { a.min(b) }
}

/// NaN stays NaN, unlike `f64::max`.
fn greatest(a: f64, b: f64) -> f64 {
    if a.is_nan() || b.is_nan() { f64::NAN } else { a.max(b) }
}

/// A sine of degrees, exact at multiples of a right angle and at 30 degrees and its like.
fn exact(degrees: f64, sine: fn(f64) -> f64) -> f64 {
    let turn = degrees.rem_euclid(360.0);
    let (half, sign) = if turn >= 180.0 { (turn - 180.0, -1.0) } else { (turn, 1.0) };
    let quarter = if half > 90.0 { 180.0 - half } else { half };
    let known = [(0.0, 0.0), (30.0, 0.5), (90.0, 1.0)];
    let found = known.iter().find(|(angle, _)| (quarter - angle).abs() < f64::EPSILON);
    let value = found.map_or_else(|| sine(quarter.to_radians()), |(_, value)| *value);
    sign * value
}

/// A tangent of degrees; infinite at odd multiples of a right angle, so that it is refused.
fn tangent(degrees: f64) -> f64 {
    exact(degrees, f64::sin) / exact(degrees + 90.0, f64::sin)
}
