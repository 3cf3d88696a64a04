//! Lengths, angles and tolerances: millimetres inside, inches and fractions only at the edges.

use std::fmt;

/// One inch in millimetres, exact since 1 July 1959 (Addendum to NBS Circular 572).
pub const MM_PER_INCH: f64 = 25.4;

/// How far a length in inches may lie from a 64th and still be shown as a fraction, inch.
const FRACTION_SLACK: f64 = 1e-6;

/// A length in millimetres. Always finite.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Mm(f64);

impl Mm {
    /// No length at all.
    pub const ZERO: Self = Self(0.0);

    /// `None` for NaN or an infinite value.
    pub fn new(value: f64) -> Option<Self> {
        value.is_finite().then_some(Self(value))
    }

    /// Reads `6`, `6 mm`, `2.5 cm`, `0.25 in`, `7/16 in`, `1 1/4 in`, `1-1/4 in` or `1/4"`.
    /// A bare number is millimetres; a bare fraction is refused, for it is most likely inches.
    pub fn parse(text: &str) -> Result<Self, UnitFault> {
        let text = unhyphened(text.trim());
        let (number, rest) = Number::read(&text).ok_or(UnitFault::NoNumber)?;
        let factor = match rest.trim() {
            "" if number.fraction => return Err(UnitFault::FractionWithoutUnit),
            "" => 1.0,
            unit => length_factor(unit)
                .ok_or_else(|| UnitFault::UnknownUnit(unit.to_owned()))?,
        };
        Self::new(number.value * factor).ok_or(UnitFault::NotFinite)
    }

    /// The number of millimetres.
    pub const fn get(self) -> f64 {
        self.0
    }

    /// For people, with its unit: `6.35 mm`, `1/4 in`, `1 1/4 in`, `0.236 in`.
    pub fn show(self, unit: DisplayUnit) -> String {
        match unit {
            DisplayUnit::Mm => format!("{} mm", trimmed(self.0)),
            DisplayUnit::Inch => format!("{} in", inches(self.0 / MM_PER_INCH)),
        }
    }
}

impl fmt::Display for Mm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.show(DisplayUnit::Mm))
    }
}

/// An angle in degrees, counter-clockwise positive. Always finite.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Deg(f64);

impl Deg {
    /// No turn at all.
    pub const ZERO: Self = Self(0.0);

    /// `None` for NaN or an infinite value.
    pub fn new(value: f64) -> Option<Self> {
        value.is_finite().then_some(Self(value))
    }

    /// Reads `30`, `30 deg` or `30°`.
    pub fn parse(text: &str) -> Result<Self, UnitFault> {
        let (number, rest) = Number::read(text.trim()).ok_or(UnitFault::NoNumber)?;
        match rest.trim() {
            "" | "deg" | "°" | "degrees" | "degree" => {
                Self::new(number.value).ok_or(UnitFault::NotFinite)
            }
            unit => Err(UnitFault::UnknownUnit(unit.to_owned())),
        }
    }

    /// The number of degrees.
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl fmt::Display for Deg {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}°", trimmed(self.0))
    }
}

/// A largest allowed distance in millimetres, above zero and finite.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Tolerance(f64);

impl Tolerance {
    /// The tolerance of every verdict on reach: below this a tie counts as "follows".
    pub const REACH: Self = Self(0.002);
    /// How far a fitted arc may lie from the curve it stands for.
    pub const ARC_FIT: Self = Self(0.0005);
    /// How far a chord may lie from its curve where shapes are combined.
    pub const CHORD: Self = Self(0.0002);
    /// How far a chord may lie from its curve on paper.
    pub const DRAWING: Self = Self(0.02);

    /// `None` unless the value is finite and above zero.
    pub fn new(value: f64) -> Option<Self> {
        (value.is_finite() && value > 0.0).then_some(Self(value))
    }

    /// The distance in millimetres.
    pub const fn get(self) -> f64 {
        self.0
    }
}

/// How lengths are shown to people.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DisplayUnit {
    /// Millimetres, e.g. `6.35 mm`.
    #[default]
    Mm,
    /// Inches: a fraction when it is one of 64ths, else three decimals.
    Inch,
}

/// Why a text is not a length or an angle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnitFault {
    /// The text is empty or has no number in it.
    NoNumber,
    /// The unit is not one we know; holds the unit as written.
    UnknownUnit(String),
    /// The number is NaN, infinite, or divides by zero.
    NotFinite,
    /// A fraction without a unit: most likely inches, but not said.
    FractionWithoutUnit,
}

impl fmt::Display for UnitFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoNumber => f.write_str("no number in it"),
            Self::UnknownUnit(unit) => write!(f, "unknown unit `{unit}`"),
            Self::NotFinite => f.write_str("not a finite number"),
            Self::FractionWithoutUnit => f.write_str("a fraction without a unit"),
        }
    }
}

/// A quantity with its unit at the start of a longer text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leading {
    /// In mm for a length, in degrees for an angle.
    pub value: f64,
    /// It is a length.
    pub length: bool,
    /// Bytes of the text it takes.
    pub bytes: usize,
}

/// Reads a number, mixed number or fraction *with a unit* from the start of a text, as in
/// `7/16 in + r`. `None` when no unit follows the number.
pub fn leading(text: &str) -> Option<Leading> {
    let (number, rest) = Number::read(text)?;
    let tail = rest.trim_start();
    let word = tail.char_indices().find(|(_, c)| !c.is_alphabetic());
    let end = match word {
        Some((0, c)) if matches!(c, '°' | '"' | '″') => c.len_utf8(),
        Some((at, c)) if c != '_' && !c.is_numeric() => at,
        Some(_) => return None,
        None => tail.len(),
    };
    let unit = tail.get(..end)?;
    let (factor, length) = match (length_factor(unit), unit) {
        (Some(factor), _) => (factor, true),
        (None, "deg" | "°") => (1.0, false),
        (None, _) => return None,
    };
    let bytes = text.len() - tail.len() + end;
    Some(Leading { value: number.value * factor, length, bytes })
}

/// Millimetres in one of the unit, `None` for an unknown one.
fn length_factor(unit: &str) -> Option<f64> {
    match unit {
        "mm" => Some(1.0),
        "cm" => Some(10.0),
        "in" | "inch" | "inches" | "\"" | "″" => Some(MM_PER_INCH),
        _ => None,
    }
}

/// A decimal number, a fraction or a whole number with a fraction.
struct Number {
    value: f64,
    fraction: bool,
}

impl Number {
    /// Reads the longest number at the start; gives what follows it.
    fn read(text: &str) -> Option<(Self, &str)> {
        let (negative, unsigned) = match text.strip_prefix(['-', '+', '−']) {
            Some(rest) => (!text.starts_with('+'), rest),
            None => (false, text),
        };
        let (first, rest) = decimal(unsigned)?;
        let (value, fraction, rest) = Self::with_fraction(first, rest);
        Some((Self { value: if negative { -value } else { value }, fraction }, rest))
    }

    /// Adds `/16` or ` 1/4` where it follows a whole number.
    fn with_fraction(first: f64, rest: &str) -> (f64, bool, &str) {
        if first.fract() != 0.0 {
            return (first, false, rest);
        }
        if let Some((below, after)) = divisor(rest) {
            return (first / below, true, after);
        }
        let part = rest.trim_start_matches(' ');
        let mixed = || {
            let (above, after) = decimal(part)?;
            let (below, after) = divisor(after)?;
            let joined = part.len() == rest.len() || above.fract() != 0.0;
            (!joined).then_some((first + above / below, after))
        };
        mixed().map_or((first, false, rest), |(value, after)| (value, true, after))
    }
}

/// `1-1/4 in` as `1 1/4 in`.
fn unhyphened(text: &str) -> String {
    match text.split_once('-') {
        Some((whole, part))
            if !whole.is_empty()
                && whole.bytes().all(|b| b.is_ascii_digit())
                && part.contains('/') =>
        {
            format!("{whole} {part}")
        }
        _ => text.to_owned(),
    }
}

/// `/16` with blanks allowed around the stroke.
fn divisor(text: &str) -> Option<(f64, &str)> {
    let below = text.trim_start().strip_prefix('/')?.trim_start();
    let (value, rest) = decimal(below)?;
    (value.fract() == 0.0).then_some((value, rest))
}

/// Digits with at most one point and an exponent; gives what follows.
fn decimal(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let digits =
        |from: usize| bytes.iter().skip(from).take_while(|b| b.is_ascii_digit()).count();
    let whole = digits(0);
    let mut end = whole;
    let mut count = whole;
    if bytes.get(end) == Some(&b'.') {
        let part = digits(end + 1);
        count += part;
        end += 1 + part;
    }
    if count == 0 {
        return None;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let power = digits(end + 1 + sign);
        end += if power > 0 { 1 + sign + power } else { 0 };
    }
    let value = text.get(..end)?.parse().ok()?;
    Some((value, text.get(end..)?))
}

/// Rounded up to a hundredth, so that what is printed is never too little.
pub fn hundredths_up(value: f64) -> f64 {
    (value * 100.0 - 1e-6).ceil() / 100.0
}

/// Rounded down to a hundredth, so that what is printed is never too much.
pub fn hundredths_down(value: f64) -> f64 {
    (value * 100.0 + 1e-6).floor() / 100.0
}

/// Up to three decimals, no trailing zeros, never `-0`; from a thousand million on, and for
/// what is no number, in short: `1e300`, `NaN`.
pub fn trimmed(value: f64) -> String {
    if !value.is_finite() || value.abs() >= 1e9 {
        return format!("{value:e}");
    }
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A number of any size in a few characters: as written for people where that is short, else
/// with a power of ten.
pub fn brief(value: f64) -> String {
    let size = value.abs();
    if value == 0.0 || (1e-6..1e12).contains(&size) || !value.is_finite() {
        format!("{value}")
    } else {
        format!("{value:e}")
    }
}

/// A fraction of 64ths when it is one, else three decimals.
fn inches(value: f64) -> String {
    let parts = value.abs() * 64.0;
    let near = parts.round();
    if (parts - near).abs() > FRACTION_SLACK * 64.0 || near > 1e9 {
        return trimmed(value);
    }
    let sign = if value < 0.0 && near > 0.0 { "-" } else { "" };
    let whole = (near / 64.0).floor();
    let mut above = near - whole * 64.0;
    let mut below = 64.0;
    while above > 0.0 && above % 2.0 == 0.0 {
        above /= 2.0;
        below /= 2.0;
    }
    match (whole > 0.0, above > 0.0) {
        (true, true) => format!("{sign}{whole} {above}/{below}"),
        (false, true) => format!("{sign}{above}/{below}"),
        _ => format!("{sign}{whole}"),
    }
}
