//! Numbers in words for the sheets.

use crate::dish::NameCut;
use crate::units::{DisplayUnit, MM_PER_INCH, Mm};

/// A length for people in the shop's unit, rounded to 0.1 mm or, in inches, to 0.01 in
/// unless it is a whole 64th.
pub(super) fn length(mm: f64, unit: DisplayUnit) -> String {
    rounded(mm, 0.1, unit)
}

/// A small length, rounded to 0.01 mm.
pub(super) fn fine(mm: f64, unit: DisplayUnit) -> String {
    rounded(mm, 0.01, unit)
}

fn rounded(mm: f64, step: f64, unit: DisplayUnit) -> String {
    let value = match unit {
        DisplayUnit::Mm => (mm / step).round() * step,
        DisplayUnit::Inch => mm,
    };
    Mm::new(value).map_or_else(String::new, |mm| mm.show(unit))
}

/// An area, to 0.1 mm² or 0.001 in².
pub(super) fn area(mm2: f64, unit: DisplayUnit) -> String {
    match unit {
        DisplayUnit::Mm => format!("{} mm²", amount(mm2, 1)),
        DisplayUnit::Inch => {
            format!("{} in²", amount(mm2 / (MM_PER_INCH * MM_PER_INCH), 3))
        }
    }
}

/// A measured amount above zero with so many decimals: `<0.01` where it would round to none.
pub(super) fn amount(value: f64, decimals: usize) -> String {
    let text = bare(value, decimals);
    if value > 0.0 && text.chars().all(|c| matches!(c, '0' | '.')) {
        format!("<{}1", text.strip_suffix('0').unwrap_or(&text))
    } else {
        text
    }
}

/// A bare number with so many decimals, a true minus sign and never minus zero.
pub(super) fn bare(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => {
            digits.to_owned()
        }
        Some(digits) => format!("−{digits}"),
        None => text,
    }
}

/// A whole number with a thin gap at the thousands: `18 000`.
pub(super) fn thousands(value: f64) -> String {
    let digits = format!("{:.0}", value.abs());
    let mut out = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(digit);
    }
    out
}

/// The first letter as a capital.
pub(super) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Words as printed: `code` becomes “code”.
pub(super) fn quoted(text: &str) -> String {
    let mut open = false;
    let quoted = text.chars().map(|letter| match letter {
        '`' => {
            open = !open;
            if open { '“' } else { '”' }
        }
        other => other,
    });
    quoted.collect()
}

/// How the letters of a name were set to fit, where not as drawn.
pub(super) fn set(
    name: &NameCut,
    unit: DisplayUnit,
) -> [Option<(&'static str, String)>; 3] {
    const SEEN: f64 = 0.005; // mm
    let lines = (name.lines > 1).then(|| ("Name in lines", name.lines.to_string()));
    let wide = (name.condensed * 100.0).round();
    let narrowed = (wide < 100.0).then(|| ("Narrowed to", format!("{wide} %")));
    let label = if name.tracking < 0.0 { "Set closer" } else { "Set apart" };
    let tracked = name.tracking.abs() > SEEN;
    let tracked = tracked.then(|| (label, fine(name.tracking.abs(), unit)));
    [lines, narrowed, tracked]
}
