//! Which cutters make a detail's groove, and how deep each works.

use crate::dish::GrooveCut;
use crate::finding::{Code, Finding, RemedyKind};
use crate::model::{Cutter, CutterKind, WantedCutter};
use crate::units::trimmed;

/// A cutter this much wider or narrower than a groove still makes it, mm.
pub(super) const SAME_WIDTH: f64 = 0.05;

/// A cutter of a size so near is the one asked for, mm or degrees.
pub(super) const SAME_SIZE: f64 = 0.05;

/// Depth at which a pointed or round end makes a groove of a width, mm; infinite for one it never makes.
pub(super) fn vee_depth(cutter: &Cutter, width: f64) -> f64 {
    cutter.height_at(width / 2.0).unwrap_or(f64::INFINITY)
}

/// How deep below its surface a cutter works to make a groove, mm; else why it cannot.
///
/// A V-bit is sunk until its cone has the groove's width. A ball nose or end mill as wide as
/// the groove goes to the groove's own depth; a wider ball nose only until its ball has the
/// width.
pub fn groove_depth(cutter: &Cutter, groove: &GrooveCut) -> Result<f64, String> {
    let (width, size) = (groove.width, cutter.diameter());
    match cutter.kind() {
        CutterKind::VBit if cutter.narrowest() > width + 1e-6 => Err(format!(
            "the flat at its tip, {} mm, is wider than the groove, {} mm",
            trimmed(cutter.narrowest()),
            trimmed(width)
        )),
        CutterKind::VBit if size < width - 1e-6 => Err(format!(
            "its cone is {} mm wide, the groove {} mm",
            trimmed(size),
            trimmed(width)
        )),
        CutterKind::VBit => cutter.height_at(width / 2.0).ok_or_else(|| {
            format!("its flutes end before its cone is {} mm wide", trimmed(width))
        }),
        CutterKind::BallNose | CutterKind::EndMill
            if (size - width).abs() < SAME_WIDTH =>
        {
            Ok(groove.depth)
        }
        CutterKind::BallNose if size > width => Ok(vee_depth(cutter, width)),
        CutterKind::BallNose | CutterKind::EndMill => Err(format!(
            "it makes a groove of {} mm; this one is {} mm wide",
            trimmed(size),
            trimmed(width)
        )),
        CutterKind::BowlBit | CutterKind::CompressionBit | CutterKind::RoundOverBit => {
            Err(format!("a {} carves no grooves", cutter.kind().word()))
        }
    }
}

/// The cutter of the rack nearest to the one a groove asks for.
pub(super) struct Nearest {
    /// Index on the rack.
    pub(super) cutter: usize,
    /// How far its size is from the one asked for, mm or degrees.
    pub(super) off: f64,
}

/// The nearest of the kind a groove asks for that can make it, by index; the first on the rack of equals.
pub(super) fn nearest(
    rack: &[Cutter],
    groove: &GrooveCut,
    can: impl Fn(usize) -> bool,
) -> Option<Nearest> {
    let wanted = groove.with.as_ref()?;
    rack.iter()
        .enumerate()
        .filter_map(|(index, cutter)| {
            let off = wanted.distance(cutter)?;
            can(index).then_some(Nearest { cutter: index, off })
        })
        .min_by(|a, b| a.off.total_cmp(&b.off))
}

/// The cutter asked for is not on the rack; another may stand in.
pub(super) fn not_as_asked(wanted: &WantedCutter, stands_in: Option<&str>) -> Finding {
    let said = match stands_in {
        Some(id) => format!("{id} stands in"),
        None => "the rest of the rack was looked at".to_owned(),
    };
    let message = format!("no {} on the rack for this detail; {said}", wanted.words());
    let finding =
        Finding::note(Code::CutterNotOnRack, message).from(wanted.source.clone());
    let mut key = match (wanted.kind, wanted.size) {
        (_, None) => String::new(),
        (CutterKind::VBit, Some(size)) => format!(", angle: {}", trimmed(size)),
        (_, Some(size)) => format!(", diameter: {} mm", trimmed(size)),
    };
    key.insert_str(0, &format!("kind: {}", wanted.kind.word()));
    finding.remedy(
        RemedyKind::Cutter,
        format!("add it under `cutters:` in the shop file (`{key}`), or name another after `with`"),
        wanted.size,
    )
}
