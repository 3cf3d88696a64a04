//! How wide a cutter is at each height above its tip: the one profile every check asks.
//!
//! From the tip up: the end (a corner, a cone or a hollow), then a cylinder of DC to the end
//! of the flutes, then the shank. Everything is measured along the axis and from it, in mm.

use super::{Cutter, CutterKind, CutterSpec};
use crate::units::{Deg, Mm};

/// Rounding of lengths that were computed, mm.
const SLACK: f64 = 1e-9;

/// The shaped end of a cutter; radii and heights never fall from its tip to its rise.
#[derive(Clone, Copy, Debug)]
pub(super) enum End {
    /// A flat of radius `flat` and a quarter round of radius `corner` outside it.
    Corner { flat: f64, corner: f64 },
    /// A flat of radius `flat` and a cone that widens by `slope` mm per mm of height.
    Cone { flat: f64, slope: f64, rise: f64 },
    /// A flat of radius `flat` and a quarter hollow of radius `corner` outside it.
    Hollow { flat: f64, corner: f64 },
}

impl End {
    /// What the dimensions say; of a round-over bit flat and radius follow from each other.
    pub(super) fn of(spec: &CutterSpec) -> Self {
        let half = spec.diameter.get() / 2.0;
        let corner = spec.corner_radius.map(Mm::get);
        let flat = spec.tip_flat.map(|flat| flat.get() / 2.0);
        match spec.kind {
            CutterKind::VBit => {
                let slope = (spec.angle.map_or(90.0, Deg::get) / 2.0).to_radians().tan();
                let flat = flat.unwrap_or(0.0);
                Self::Cone { flat, slope, rise: (half - flat) / slope }
            }
            CutterKind::RoundOverBit => {
                let corner = corner.or_else(|| Some(half - flat?)).unwrap_or(0.0);
                Self::Hollow { flat: half - corner, corner }
            }
            CutterKind::BallNose => Self::Corner { flat: 0.0, corner: half },
            CutterKind::BowlBit | CutterKind::EndMill | CutterKind::CompressionBit => {
                let corner = corner.unwrap_or(0.0).min(half);
                Self::Corner { flat: half - corner, corner }
            }
        }
    }

    /// The radius of its round, mm; none for a cone.
    pub(super) const fn corner(self) -> f64 {
        match self {
            Self::Corner { corner, .. } | Self::Hollow { corner, .. } => corner,
            Self::Cone { .. } => 0.0,
        }
    }

    /// Height above the tip at which DC is reached, mm.
    pub(super) const fn rise(self) -> f64 {
        match self {
            Self::Corner { corner, .. } | Self::Hollow { corner, .. } => corner,
            Self::Cone { rise, .. } => rise,
        }
    }

    /// Radius at a height between the tip and the rise, mm.
    fn radius(self, height: f64) -> f64 {
        let h = height.clamp(0.0, self.rise());
        match self {
            // On the circle about (flat, corner): x² = corner² − (corner − h)².
            Self::Corner { flat, corner } => flat + (h * (2.0 * corner - h)).sqrt(),
            Self::Cone { flat, slope, .. } => flat + h * slope,
            // On the circle about (flat + corner, 0), from its side to its top.
            Self::Hollow { flat, corner } => {
                flat + corner - ((corner - h) * (corner + h)).sqrt()
            }
        }
    }

    /// The lowest height at which a radius is reached, mm; the inverse of [`Self::radius`].
    fn height(self, radius: f64) -> f64 {
        match self {
            Self::Corner { flat, corner } => {
                let x = (radius - flat).clamp(0.0, corner);
                // corner − sqrt(corner² − x²) without the loss of digits near the tip.
                let root = ((corner - x) * (corner + x)).sqrt();
                if x > 0.0 { x * x / (corner + root) } else { 0.0 }
            }
            Self::Cone { flat, slope, rise } => {
                ((radius - flat) / slope).clamp(0.0, rise)
            }
            Self::Hollow { flat, corner } => {
                let x = (radius - flat).clamp(0.0, corner);
                (x * (2.0 * corner - x)).sqrt()
            }
        }
    }
}

/// The profile of the whole cutter. Heights are above the tip; all mm.
impl Cutter {
    /// The radius of the cutter at a height: its end, DC/2 up to the end of the flutes, then
    /// DMM/2. Without `cutting_length` the flutes never end, without `shank` the shank is as
    /// wide as the cut. 0 below the tip. Where two cylinders meet, the lower one's radius.
    pub fn radius_at(&self, height: f64) -> f64 {
        let end = End::of(&self.0);
        if height < 0.0 {
            0.0
        } else if height <= end.rise() {
            end.radius(height)
        } else if height <= self.head() {
            self.radius()
        } else {
            self.shank_radius()
        }
    }

    /// The radius a cut shows at the surface when the tip works `depth` below it: the widest
    /// that the flutes reach there, shank not counted.
    pub fn surface_radius(&self, depth: f64) -> f64 {
        let cut = self.flutes().map_or(depth, |flutes| flutes.min(depth));
        End::of(&self.0).radius(cut).min(self.radius())
    }

    /// The widest of the whole cutter up to a height, shank counted.
    pub fn body_radius(&self, height: f64) -> f64 {
        let end = End::of(&self.0).radius(height);
        if height > self.head() + SLACK { end.max(self.shank_radius()) } else { end }
    }

    /// The lowest height at which the flutes reach a radius; `None` when they never do.
    pub fn height_at(&self, radius: f64) -> Option<f64> {
        if radius > self.radius() + SLACK {
            return None;
        }
        let height = End::of(&self.0).height(radius);
        self.flutes().is_none_or(|flutes| height <= flutes + SLACK).then_some(height)
    }

    /// The depth beyond which the shank rubs on a wall the flutes have cut: the end of the
    /// flutes, unless the shank is known to be narrower than the cut. `None`: never.
    pub fn rubs_below(&self) -> Option<f64> {
        let flutes = self.flutes()?;
        let cut = self.surface_radius(flutes);
        let narrow = self.shank().is_some_and(|shank| shank / 2.0 < cut - 5e-7);
        (!narrow).then_some(flutes)
    }

    /// The narrowest groove it makes in one pass, mm: DC, or the flat of a V-bit.
    pub fn narrowest(&self) -> f64 {
        if self.kind() == CutterKind::VBit {
            2.0 * self.radius_at(0.0)
        } else {
            self.diameter()
        }
    }

    /// Where the head ends and the shank begins: the end of the flutes, but never within the
    /// shaped end.
    fn head(&self) -> f64 {
        self.flutes().unwrap_or(f64::INFINITY).max(End::of(&self.0).rise())
    }

    fn shank_radius(&self) -> f64 {
        self.shank().map_or(self.radius(), |shank| shank / 2.0)
    }
}
