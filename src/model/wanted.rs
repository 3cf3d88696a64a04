//! A cutter asked for by kind and size, not by its id: recipes know no rack.

use super::cutter::{Cutter, CutterKind};
use crate::finding::Source;
use crate::units::{Mm, trimmed};

/// A kind of cutter and, if it matters, its size.
#[derive(Clone, Debug, PartialEq)]
pub struct WantedCutter {
    /// What it is.
    pub kind: CutterKind,
    /// The included angle of a V-bit in degrees, else the diameter in mm.
    pub size: Option<f64>,
    /// Where it is written.
    pub source: Source,
}

impl WantedCutter {
    /// How far a cutter's size is from the one wanted, degrees or mm; `None` for another kind.
    pub fn distance(&self, cutter: &Cutter) -> Option<f64> {
        let size = if self.kind == CutterKind::VBit {
            cutter.angle()
        } else {
            cutter.diameter()
        };
        (cutter.kind() == self.kind)
            .then(|| self.size.map_or(0.0, |wanted| (wanted - size).abs()))
    }

    /// In words: `v-bit of 60 degrees`, `ball nose of 3.175 mm`, `end mill`.
    pub fn words(&self) -> String {
        let kind = self.kind.word();
        match self.size {
            None => kind.to_owned(),
            Some(angle) if self.kind == CutterKind::VBit => {
                format!("{kind} of {} degrees", trimmed(angle))
            }
            Some(size) => format!("{kind} of {}", Mm::new(size).unwrap_or(Mm::ZERO)),
        }
    }
}
