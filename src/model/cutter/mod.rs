//! A cutter on the rack, with ISO 13399 symbols beside the dimensions that have one.

mod checks;
mod profile;

use crate::finding::Source;
use crate::units::{Deg, Mm};
use profile::End;

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
    /// Diameter of the flat at the tip of a V-bit or below a round-over's curve.
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
    /// Spindle speed, 1/min.
    pub speed: Option<f64>,
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
        checks::all(&spec)?;
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

    /// Corner radius RE, mm: the one given, else the kind's own; for a round-over bit the
    /// radius it leaves.
    pub fn corner_radius(&self) -> f64 {
        End::of(&self.0).corner()
    }

    /// Shank diameter DMM, mm, where the shop knows it.
    pub fn shank(&self) -> Option<f64> {
        self.0.shank.map(Mm::get)
    }

    /// Length of the flutes APMX, mm, where the shop knows it.
    pub fn flutes(&self) -> Option<f64> {
        self.0.cutting_length.map(Mm::get)
    }

    /// Length out of the collet in mm: measured, else overall length less insertion.
    pub fn stick_out(&self) -> Option<f64> {
        self.0
            .stick_out
            .map(Mm::get)
            .or_else(|| Some(self.0.overall_length?.get() - self.0.insertion?.get()))
    }
}
