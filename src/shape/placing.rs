//! Moving, turning, scaling and mirroring.

use super::draft::Draft;
use crate::curve::primitive::DrawFault;
use crate::curve::{Affine, Point};
use crate::model::{Formula, Mirror, Placing};
use crate::units::brief;

/// Scale factors are between this and its inverse.
const SMALLEST_SCALE: f64 = 1e-3;

impl Draft<'_> {
    /// Placings applied first to last, as one map.
    pub(super) fn placed(&mut self, all: &[Placing]) -> Option<Affine> {
        let mut map = Affine::IDENTITY;
        for placing in all {
            map = self.placing(placing)? * map;
        }
        Some(map)
    }

    /// One placing as a map.
    pub(super) fn placing(&mut self, placing: &Placing) -> Option<Affine> {
        match placing {
            Placing::Move(by) => Some(Affine::translate(self.point(by)?.to_vec2())),
            Placing::Turn { angle, about } => {
                let angle = self.number(angle)?.rem_euclid(360.0).to_radians();
                let about = self.point_or_origin(about.as_ref())?;
                Some(Affine::rotate_about(angle, about))
            }
            Placing::Scale { by, about } => {
                let (x, y) = (self.factor(&by.x)?, self.factor(&by.y)?);
                let about = self.point_or_origin(about.as_ref())?.to_vec2();
                let scale = Affine::scale_non_uniform(x, y);
                Some(Affine::translate(about) * scale * Affine::translate(-about))
            }
            Placing::Mirror(mirror) => Some(mirrored(*mirror)),
        }
    }

    fn factor(&mut self, formula: &Formula) -> Option<f64> {
        let value = self.number(formula)?;
        if (SMALLEST_SCALE..=1.0 / SMALLEST_SCALE).contains(&value) {
            return Some(value);
        }
        let fault = DrawFault::new(
            format!("the scale is {}", brief(value)),
            "0.001 to 1000; `mirror` turns a shape over",
        );
        self.fault(fault, formula.source());
        None
    }
}

/// A mirror as a map.
pub(super) fn mirrored(mirror: Mirror) -> Affine {
    match mirror {
        Mirror::LeftRight => Affine::FLIP_X,
        Mirror::UpDown => Affine::FLIP_Y,
    }
}

/// A point carried along.
pub(super) fn carried(map: Affine, point: Point) -> [f64; 2] {
    let moved = map * point;
    [moved.x, moved.y]
}
