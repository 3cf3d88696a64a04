//! Lengths, angles and tolerances: millimetres inside, inches and fractions only at the edges.

use std::fmt;

/// One inch in millimetres, exact since 1 July 1959 (Addendum to NBS Circular 572).
pub const MM_PER_INCH: f64 = 25.4;

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

    /// The number of millimetres.
    pub const fn get(self) -> f64 {
        self.0
    }
}

/// An angle in degrees, counter-clockwise positive. Always finite.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Deg(f64);

impl Deg {
    /// `None` for NaN or an infinite value.
    pub fn new(value: f64) -> Option<Self> {
        value.is_finite().then_some(Self(value))
    }

    /// The number of degrees.
    pub const fn get(self) -> f64 {
        self.0
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
    pub const CHORD: Self = Self(0.001);
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
}

impl fmt::Display for UnitFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoNumber => f.write_str("no number in it"),
            Self::UnknownUnit(unit) => write!(f, "unknown unit `{unit}`"),
            Self::NotFinite => f.write_str("not a finite number"),
        }
    }
}
