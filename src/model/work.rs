//! The kinds of work on a dish, and the cutters a maker insists on for them.

use super::cutter::{Cutter, CutterKind};
use crate::finding::{Code, Finding, Source, nearest, plain};

/// The kinds of work on a dish, in working order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Work {
    /// Carving the recess with the largest cutter.
    Recess,
    /// Following where it could not reach.
    RecessCorners,
    /// Carved details.
    Details,
    /// The name.
    Name,
    /// Following between raised letters where it could not reach.
    NameCorners,
    /// Rounding the recess's edge.
    RecessEdge,
    /// Rounding the outer edge.
    OuterEdge,
    /// Cutting the dish out of the board.
    CutOut,
}

impl Work {
    /// Every work, in working order.
    pub const ALL: [Self; 8] = [
        Self::Recess,
        Self::RecessCorners,
        Self::Details,
        Self::Name,
        Self::NameCorners,
        Self::RecessEdge,
        Self::OuterEdge,
        Self::CutOut,
    ];

    /// In words for the bench.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Recess => "recess",
            Self::RecessCorners => "recess corners",
            Self::Details => "details",
            Self::Name => "name",
            Self::NameCorners => "name corners",
            Self::RecessEdge => "recess edge",
            Self::OuterEdge => "outer edge",
            Self::CutOut => "cut-out",
        }
    }

    /// As a key of a file: `cut_out`.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Recess => "recess",
            Self::RecessCorners => "recess_corners",
            Self::Details => "details",
            Self::Name => "name",
            Self::NameCorners => "name_corners",
            Self::RecessEdge => "recess_edge",
            Self::OuterEdge => "outer_edge",
            Self::CutOut => "cut_out",
        }
    }

    /// The work of a word or key, whatever its case, with blanks, hyphens or underscores.
    pub fn from_word(word: &str) -> Option<Self> {
        let plain = |text: &str| text.trim().to_lowercase().replace(['-', ' '], "_");
        let wanted = plain(word);
        Self::ALL.into_iter().find(|work| work.key() == wanted)
    }

    /// The kinds of cutter that do it.
    pub const fn kinds(self) -> &'static [CutterKind] {
        match self {
            Self::Recess | Self::RecessCorners => {
                &[CutterKind::BowlBit, CutterKind::BallNose]
            }
            Self::Details | Self::Name => {
                &[CutterKind::VBit, CutterKind::BallNose, CutterKind::EndMill]
            }
            Self::NameCorners => &[CutterKind::EndMill],
            Self::RecessEdge | Self::OuterEdge => &[CutterKind::RoundOverBit],
            Self::CutOut => &[CutterKind::EndMill, CutterKind::CompressionBit],
        }
    }
}

/// One cutter the maker insists on for one work.
#[derive(Clone, Debug, PartialEq)]
pub struct Pin {
    /// The work.
    pub work: Work,
    /// The cutter's id.
    pub cutter: String,
    /// Where it is written.
    pub source: Source,
}

/// The cutters the maker insists on, at most one for each work.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pins(Vec<Pin>);

impl Pins {
    /// Adds a pin; a later one for the same work wins.
    pub fn set(&mut self, pin: Pin) {
        self.0.retain(|known| known.work != pin.work);
        self.0.push(pin);
        self.0.sort_by_key(|known| known.work);
    }

    /// The pin for one work.
    pub fn of(&self, work: Work) -> Option<&Pin> {
        self.0.iter().find(|pin| pin.work == work)
    }

    /// All pins, in working order.
    pub fn all(&self) -> &[Pin] {
        &self.0
    }

    /// These pins, overruled by others work by work.
    #[must_use]
    pub fn overruled(&self, by: &Self) -> Self {
        let mut pins = self.clone();
        for pin in &by.0 {
            pins.set(pin.clone());
        }
        pins
    }
}

impl Pin {
    /// Why this rack cannot serve the pin: no such cutter, or one of a kind that does not do
    /// the work.
    pub fn fault(&self, rack: &[Cutter]) -> Option<Finding> {
        let does = |cutter: &&Cutter| self.work.kinds().contains(&cutter.kind());
        let ids: Vec<&str> = rack.iter().filter(does).map(Cutter::id).collect();
        let found = rack.iter().find(|cutter| cutter.id() == self.cutter);
        let why = match found {
            Some(cutter) if does(&cutter) => return None,
            Some(cutter) => {
                format!(
                    "is of the kind `{}`, which does not do that work",
                    cutter.kind().word()
                )
            }
            None => "is not on the rack".to_owned(),
        };
        let message = format!(
            "the cutter `{}` asked for `{}` {why}",
            plain(&self.cutter),
            self.work.key()
        );
        let finding =
            Finding::stop(Code::CutterNotOnRack, message).from(self.source.clone());
        let near = nearest(&self.cutter, ids.iter().copied());
        let finding = match ids.as_slice() {
            [] => finding
                .expected(format!("no cutter on the rack does `{}`", self.work.key())),
            ids => finding.expected(format!("one of {}", ids.join(", "))),
        };
        Some(match near.filter(|_| found.is_none()) {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding.help("name one of these, or add the cutter to the shop file"),
        })
    }
}
