//! Which dimensions no cutter can have together.

use super::profile::End;
use super::{CutterFault, CutterKind, CutterSpec};
use crate::units::Mm;

/// Slack when two lengths are compared, mm: below any shop's measuring.
const SLACK: f64 = 1e-6;

/// Every dimension for itself, then against the others.
pub(super) fn all(spec: &CutterSpec) -> Result<(), CutterFault> {
    sizes(spec)?;
    tip(spec)?;
    belongs(spec)?;
    round_over(spec)?;
    lengths(spec)?;
    clamped(spec)?;
    end(spec)?;
    working(spec)
}

/// Two measured lengths may miss a third by this much, mm.
const MEASURED: f64 = 0.1;

fn require(
    holds: bool,
    key: &'static str,
    say: impl FnOnce() -> (String, String),
) -> Result<(), CutterFault> {
    if holds {
        return Ok(());
    }
    let (what, expected) = say();
    Err(CutterFault { key, what, expected })
}

/// Every length is above zero (a corner radius or flat may be zero).
fn sizes(spec: &CutterSpec) -> Result<(), CutterFault> {
    let positive = [
        ("diameter", Some(spec.diameter)),
        ("cutting_length", spec.cutting_length),
        ("overall_length", spec.overall_length),
        ("shank", spec.shank),
        ("insertion", spec.insertion),
        ("stick_out", spec.stick_out),
        ("stepdown", spec.stepdown),
        ("upcut", spec.upcut),
    ];
    for (key, size) in positive {
        let holds = size.is_none_or(|size| size.get() > 0.0);
        require(holds, key, || {
            (format!("the {} is not above zero", spoken(key)), "above 0 mm".to_owned())
        })?;
    }
    for (key, size) in
        [("corner_radius", spec.corner_radius), ("tip_flat", spec.tip_flat)]
    {
        let holds = size.is_none_or(|size| size.get() >= 0.0);
        require(holds, key, || {
            (format!("the {} is below zero", spoken(key)), "0 mm or more".to_owned())
        })?;
    }
    for (key, size) in [("diameter", Some(spec.diameter)), ("shank", spec.shank)] {
        let holds = size.is_none_or(|size| size.get() <= 150.0);
        require(holds, key, || {
            let size = size.map_or_else(String::new, |size| size.to_string());
            (format!("a {key} of {size}"), "at most 150 mm".to_owned())
        })?;
    }
    Ok(())
}

/// What the end of the cutter looks like.
fn tip(spec: &CutterSpec) -> Result<(), CutterFault> {
    let half = spec.diameter.get() / 2.0;
    if let Some(radius) = spec.corner_radius.map(Mm::get) {
        let half_text = spec.diameter_half();
        require(radius <= half + SLACK, "corner_radius", || {
            let what = "the corner radius is more than half the diameter".to_owned();
            (what, format!("at most half the diameter, {half_text}"))
        })?;
        let round = spec.kind != CutterKind::BallNose || (radius - half).abs() <= SLACK;
        require(round, "corner_radius", || {
            let what = "a ball nose whose corner radius is not half its diameter";
            (what.to_owned(), format!("{half_text}, or leave the key out"))
        })?;
    }
    if let Some(flat) = spec.tip_flat {
        require(flat < spec.diameter, "tip_flat", || {
            (
                format!("a flat of {flat} at the tip of a cutter of {}", spec.diameter),
                "less than the diameter".to_owned(),
            )
        })?;
    }
    angle(spec)
}

fn angle(spec: &CutterSpec) -> Result<(), CutterFault> {
    match (spec.kind == CutterKind::VBit, spec.angle) {
        (true, None) => require(false, "angle", || {
            (
                "a v-bit without its angle".to_owned(),
                "its included angle, e.g. 60".to_owned(),
            )
        }),
        (_, Some(angle)) => {
            require(angle.get() > 0.0 && angle.get() < 180.0, "angle", || {
                (format!("an angle of {angle}"), "between 0 and 180 degrees".to_owned())
            })
        }
        (false, None) => Ok(()),
    }
}

/// Dimensions that a kind does not have would say something else than what is checked.
fn belongs(spec: &CutterSpec) -> Result<(), CutterFault> {
    let vee = spec.kind == CutterKind::VBit;
    let flat = vee || spec.kind == CutterKind::RoundOverBit;
    let strangers = [
        (
            "tip_flat",
            spec.tip_flat.is_some() && !flat,
            "the flat is what the corners leave",
        ),
        ("angle", spec.angle.is_some() && !vee, "only a v-bit has one"),
        (
            "corner_radius",
            spec.corner_radius.is_some_and(|r| r > Mm::ZERO) && vee,
            "a v-bit ends in a `tip_flat`",
        ),
    ];
    for (key, stranger, why) in strangers {
        require(!stranger, key, || {
            (
                format!("`{key}` on a {}: {why}", spec.kind.word()),
                format!("no `{key}` here"),
            )
        })?;
    }
    Ok(())
}

/// Flat, hollow and diameter of a round-over bit fit together.
fn round_over(spec: &CutterSpec) -> Result<(), CutterFault> {
    if spec.kind != CutterKind::RoundOverBit {
        return Ok(());
    }
    let (Some(radius), Some(flat)) = (spec.corner_radius, spec.tip_flat) else {
        return require(
            spec.corner_radius.or(spec.tip_flat).is_some(),
            "corner_radius",
            || {
                let what = "a round-over bit without the radius it leaves";
                (what.to_owned(), "`corner_radius`, e.g. 3 mm".to_owned())
            },
        );
    };
    let whole = flat.get() + 2.0 * radius.get();
    require((whole - spec.diameter.get()).abs() <= MEASURED, "tip_flat", || {
        let fits = Mm::new(spec.diameter.get() - 2.0 * radius.get()).unwrap_or(Mm::ZERO);
        (
            format!(
                "a flat of {flat} and a radius of {radius} on both sides do not make {}",
                spec.diameter
            ),
            format!("a `tip_flat` of {fits}, or leave it out"),
        )
    })
}

/// What is cut, clamped and sticks out is no longer than the cutter.
fn lengths(spec: &CutterSpec) -> Result<(), CutterFault> {
    let Some(overall) = spec.overall_length else { return Ok(()) };
    let whole = format!("the overall length, {overall}");
    for (key, part) in
        [("cutting_length", spec.cutting_length), ("stick_out", spec.stick_out)]
    {
        let holds = part.is_none_or(|part| part <= overall);
        require(holds, key, || {
            (
                format!("the {} is more than {whole}", spoken(key)),
                format!("at most {overall}"),
            )
        })?;
    }
    require(spec.insertion.is_none_or(|part| part < overall), "insertion", || {
        (
            format!("the insertion is not less than {whole}"),
            format!("less than {overall}"),
        )
    })
}

/// What sticks out and what is clamped make the cutter, and flutes are not clamped.
fn clamped(spec: &CutterSpec) -> Result<(), CutterFault> {
    let length = |mm: f64| Mm::new(mm).unwrap_or(Mm::ZERO);
    if let (Some(overall), Some(clamped)) = (spec.overall_length, spec.insertion) {
        let free = overall.get() - clamped.get();
        let out = spec.stick_out.map_or(0.0, Mm::get);
        require(out <= free + SLACK, "stick_out", || {
            let what = "the stick-out and the insertion are more than the overall length";
            (what.to_owned(), format!("at most {}", length(free)))
        })?;
        let flutes = spec.cutting_length.map_or(0.0, Mm::get);
        require(flutes <= free + SLACK, "insertion", || {
            let what = "the shank above the flutes is shorter than the insertion";
            (what.to_owned(), format!("at most {}", length(overall.get() - flutes)))
        })?;
    }
    let (Some(out), Some(flutes)) = (spec.stick_out, spec.cutting_length) else {
        return Ok(());
    };
    require(flutes.get() <= out.get() + SLACK, "stick_out", || {
        let what = "the stick-out is less than the flutes, so the collet would hold them";
        (what.to_owned(), format!("at least {flutes}"))
    })
}

/// The shaped end is no longer than the flutes that cut it, and than the whole cutter.
fn end(spec: &CutterSpec) -> Result<(), CutterFault> {
    let rise = End::of(spec).rise();
    if spec.kind == CutterKind::VBit {
        let free = |overall: Mm| overall.get() - spec.insertion.map_or(0.0, Mm::get);
        let out = spec.stick_out.map(Mm::get).or(spec.overall_length.map(free));
        return require(out.is_none_or(|out| rise <= out + SLACK), "angle", || {
            let show = |mm: f64| {
                Mm::new((mm * 1e3).round() / 1e3).unwrap_or(Mm::ZERO).to_string()
            };
            (
                format!(
                    "its cone would be {} long, more than the {} of the cutter that can stand out",
                    show(rise),
                    show(out.unwrap_or(0.0))
                ),
                "a larger angle or a smaller diameter".to_owned(),
            )
        });
    }
    let long = spec.cutting_length.is_none_or(|l| rise <= l.get() + SLACK);
    require(long, "cutting_length", || {
        let round = Mm::new(rise).unwrap_or(Mm::ZERO);
        (
            format!("the flutes are shorter than the radius they cut, {round}"),
            format!("at least {round}"),
        )
    })
}

/// Flutes, chips and passes.
fn working(spec: &CutterSpec) -> Result<(), CutterFault> {
    require((1..=8).contains(&spec.flutes), "flutes", || {
        (format!("{} flutes", spec.flutes), "1 to 8".to_owned())
    })?;
    require(
        spec.stepover.is_none_or(|share| share > 0.0 && share <= 1.0),
        "stepover",
        || {
            (
                "the stepover is not a share of the diameter".to_owned(),
                "above 0 and at most 1, e.g. 0.1".to_owned(),
            )
        },
    )?;
    require(
        spec.chip_load.is_none_or(|load| load > 0.0 && load <= 5.0),
        "chip_load",
        || {
            (
                "the chip load is out of range".to_owned(),
                "above 0 and at most 5 mm".to_owned(),
            )
        },
    )?;
    let Some(upcut) = spec.upcut else { return Ok(()) };
    require(spec.kind == CutterKind::CompressionBit, "upcut", || {
        let what = format!(
            "`upcut` on a cutter that is not a compression bit: {}",
            spec.kind.word()
        );
        (what, "no `upcut` here".to_owned())
    })?;
    require(spec.cutting_length.is_none_or(|length| upcut < length), "upcut", || {
        (
            "the up-cut part is not shorter than the cutting length".to_owned(),
            "less than the cutting length".to_owned(),
        )
    })
}

/// A key in words.
fn spoken(key: &str) -> String {
    key.replace('_', " ")
}

impl CutterSpec {
    fn diameter_half(&self) -> String {
        Mm::new(self.diameter.get() / 2.0)
            .map_or_else(String::new, |half| half.to_string())
    }
}
