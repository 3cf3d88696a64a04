//! A cutter on the rack, with ISO 13399 symbols beside the dimensions that have one.

use crate::finding::Source;
use crate::units::{Deg, Mm};

/// The kinds of cutter this trade uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutterKind {
    /// Flat bottom with a radiused corner.
    BowlBit,
    /// Round end.
    BallNose,
    /// Flat end.
    EndMill,
    /// Cuts up at the tip and down above it.
    CompressionBit,
    /// A pointed cone.
    VBit,
    /// Rounds an edge, guided by its path.
    RoundOverBit,
}

impl CutterKind {
    /// All kinds.
    pub const ALL: [Self; 6] = [
        Self::BowlBit,
        Self::BallNose,
        Self::EndMill,
        Self::CompressionBit,
        Self::VBit,
        Self::RoundOverBit,
    ];

    /// As written in a shop file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::BowlBit => "bowl bit",
            Self::BallNose => "ball nose",
            Self::EndMill => "end mill",
            Self::CompressionBit => "compression bit",
            Self::VBit => "v-bit",
            Self::RoundOverBit => "round-over bit",
        }
    }

    /// Cuts dishes out along their outline.
    pub const fn cuts_outlines(self) -> bool {
        matches!(self, Self::EndMill | Self::CompressionBit)
    }

    /// The kind of a word, whatever its case, with blanks or hyphens between.
    pub fn from_word(word: &str) -> Option<Self> {
        let plain = |text: &str| text.to_lowercase().replace(['-', '_', ' '], "");
        let wanted = plain(word);
        Self::ALL.into_iter().find(|kind| plain(kind.word()) == wanted)
    }

    /// Carves recesses.
    pub const fn carves_recesses(self) -> bool {
        matches!(self, Self::BowlBit | Self::BallNose)
    }
}

/// Every dimension of a cutter before it is checked. Lengths in mm.
#[derive(Clone, Debug)]
pub struct CutterSpec {
    /// The word sheets and orders use.
    pub id: String,
    /// What it is.
    pub kind: CutterKind,
    /// Cutting diameter, DC; for a V-bit or round-over bit the large end.
    pub diameter: Mm,
    /// Corner radius, RE: 0 for an end mill, DC/2 for a ball nose; for a round-over bit the
    /// radius it leaves. `None`: the kind's own.
    pub corner_radius: Option<Mm>,
    /// Included angle of a V-bit, SIG.
    pub angle: Option<Deg>,
    /// Flat at the tip of a V-bit or below a round-over's curve.
    pub tip_flat: Option<Mm>,
    /// Length of the flutes, APMX.
    pub cutting_length: Option<Mm>,
    /// OAL.
    pub overall_length: Option<Mm>,
    /// Shank diameter, DMM.
    pub shank: Option<Mm>,
    /// How far the shank must sit in the collet.
    pub insertion: Option<Mm>,
    /// Measured length out of the collet; wins over overall length less insertion.
    pub stick_out: Option<Mm>,
    /// Number of flutes.
    pub flutes: u32,
    /// Chip load per tooth, mm.
    pub chip_load: Option<f64>,
    /// Depth of one pass.
    pub stepdown: Option<Mm>,
    /// Distance between passes as a share of the diameter, 0 to 1.
    pub stepover: Option<f64>,
    /// Length of the up-cut part of a compression bit.
    pub upcut: Option<Mm>,
    /// Where it is written.
    pub source: Source,
}

/// A cutter that can exist.
#[derive(Clone, Debug)]
pub struct Cutter(CutterSpec);

/// Why no such cutter can exist.
#[derive(Clone, Debug, PartialEq)]
pub struct CutterFault {
    /// The key at fault, as written in a shop file.
    pub key: &'static str,
    /// What is wrong, in one clause.
    pub what: String,
    /// What would be right.
    pub expected: String,
}

impl Cutter {
    /// Checks the dimensions against each other.
    pub fn new(spec: CutterSpec) -> Result<Self, CutterFault> {
        sizes(&spec)?;
        tip(&spec)?;
        lengths(&spec)?;
        working(&spec)?;
        Ok(Self(spec))
    }

    /// The checked dimensions.
    pub const fn spec(&self) -> &CutterSpec {
        &self.0
    }

    /// The word sheets and orders use.
    pub fn id(&self) -> &str {
        &self.0.id
    }

    /// What it is.
    pub const fn kind(&self) -> CutterKind {
        self.0.kind
    }

    /// Cutting diameter DC, mm.
    pub const fn diameter(&self) -> f64 {
        self.0.diameter.get()
    }

    /// Half of DC, mm.
    pub const fn radius(&self) -> f64 {
        self.0.diameter.get() / 2.0
    }

    /// Included angle SIG, degrees: the one given (a V-bit always has one), else 90.
    pub fn angle(&self) -> f64 {
        self.0.angle.map_or(90.0, Deg::get)
    }

    /// Corner radius RE, mm: the one given, else the kind's own.
    pub fn corner_radius(&self) -> f64 {
        self.0.corner_radius.map_or_else(
            || if self.0.kind == CutterKind::BallNose { self.radius() } else { 0.0 },
            Mm::get,
        )
    }

    /// Length out of the collet in mm: measured, else overall length less insertion.
    pub fn stick_out(&self) -> Option<f64> {
        self.0
            .stick_out
            .map(Mm::get)
            .or_else(|| Some(self.0.overall_length?.get() - self.0.insertion?.get()))
    }
}

/// Slack when two lengths are compared, mm: below any shop's measuring.
const SLACK: f64 = 1e-6;

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
    require(spec.diameter.get() <= 150.0, "diameter", || {
        (format!("a cutter of {}", spec.diameter), "at most 150 mm".to_owned())
    })
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
