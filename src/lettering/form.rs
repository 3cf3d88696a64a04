//! One letter by itself, at one size: its area, and what its strokes and gaps measure.
//!
//! Reach grows with size, so a letter is measured once, with capitals [`TALL`] mm tall, and
//! what was found serves at every height, place and turn.

use super::hand;
use crate::curve::{Affine, BezPath, Origin, PathEl, Point, Region};
use crate::kept::Kept;
use crate::reach::Profile;
use std::sync::{Arc, OnceLock};

/// Height of a capital of a form, mm.
pub(super) const TALL: f64 = 100.0;

/// No stroke of a form is wider, no gap that is asked for wider, mm.
const WIDEST: f64 = 2.0 * TALL;

/// Numbers of letters that may be held, twice: 8 MiB each time.
const MOST: usize = 1 << 20;

/// A letter as it is drawn, about its own origin.
#[derive(Clone, Debug)]
pub(super) enum Form {
    /// By its outline.
    Outline(BezPath),
    /// By the centre lines of a pen of some width, mm.
    Strokes(Vec<BezPath>, f64),
}

/// A letter's area, and its measures as far as they were asked for.
#[derive(Debug)]
pub(super) struct Shape {
    /// Its area; empty where it encloses none.
    pub(super) region: Region,
    pen: Option<f64>,
    thinnest: OnceLock<Option<(f64, Point)>>,
    widest: OnceLock<f64>,
    wood: OnceLock<Option<(f64, [Point; 2])>>,
}

impl Form {
    /// The area and measures of the letter that `onto` makes of this one, and where that
    /// letter goes without being stretched any more.
    pub(super) fn placed(&self, onto: Affine) -> (Arc<Shape>, Affine) {
        const SAME: f64 = 1e-9;
        let [a, b, c, d, _, _] = onto.as_coeffs();
        let stretch = a.hypot(b) / c.hypot(d);
        match self {
            Self::Outline(path) if (stretch - 1.0).abs() > SAME => {
                let wide = Affine::scale_non_uniform(stretch, 1.0);
                let form = Self::Outline(wide * path.clone());
                (form.shape(), onto * wide.inverse())
            }
            Self::Outline(_) | Self::Strokes(..) => (self.shape(), onto),
        }
    }

    /// Looked up, or worked out.
    fn shape(&self) -> Arc<Shape> {
        static KEPT: Kept<Vec<u64>, Arc<Shape>> = Kept::new(MOST);
        let made = || Arc::new(self.measured());
        KEPT.get(self.key(), made, |key, shape| key.len() + shape.region.weight())
    }

    fn measured(&self) -> Shape {
        let (region, pen) = match self {
            Self::Outline(path) => {
                (Region::filled(path, Origin::default()).unwrap_or_default(), None)
            }
            Self::Strokes(strokes, pen) => (hand::body(strokes, *pen), Some(*pen)),
        };
        Shape {
            region,
            pen,
            thinnest: OnceLock::new(),
            widest: OnceLock::new(),
            wood: OnceLock::new(),
        }
    }

    /// All its numbers, bit by bit.
    fn key(&self) -> Vec<u64> {
        let mut key = Vec::new();
        let mut add = |path: &BezPath| {
            for el in path.elements() {
                let (kind, points): (u64, &[Point]) = match el {
                    PathEl::MoveTo(p) => (0, &[*p]),
                    PathEl::LineTo(p) => (1, &[*p]),
                    PathEl::QuadTo(p, q) => (2, &[*p, *q]),
                    PathEl::CurveTo(p, q, r) => (3, &[*p, *q, *r]),
                    PathEl::ClosePath => (4, &[]),
                };
                key.push(kind);
                key.extend(points.iter().flat_map(|p| [p.x.to_bits(), p.y.to_bits()]));
            }
        };
        match self {
            Self::Outline(path) => add(path),
            Self::Strokes(strokes, pen) => {
                strokes.iter().for_each(add);
                key.push(5);
                key.push(pen.to_bits());
            }
        }
        key
    }
}

impl Shape {
    /// The thinnest stroke, mm, and where. What a round pen draws is nowhere thinner than it.
    pub(super) fn thinnest(&self) -> Option<(f64, Point)> {
        *self.thinnest.get_or_init(|| {
            if let Some(pen) = self.pen {
                let start = self.region.contours().first()?.pieces().first()?;
                return Some((pen, start.curve.start()));
            }
            let low = Profile::inside(&self.region, WIDEST / 2.0).thinnest()?;
            Some((low.radius * 2.0, low.at))
        })
    }

    /// The widest stroke, mm.
    pub(super) fn widest(&self) -> f64 {
        *self.widest.get_or_init(|| {
            2.0 * Profile::inside(&self.region, WIDEST / 2.0).highest_reach()
        })
    }

    /// The narrowest wood between two strokes of it, mm, and what it lies between.
    pub(super) fn wood(&self) -> Option<(f64, [Point; 2])> {
        *self.wood.get_or_init(|| {
            let low = Profile::outside(&self.region, WIDEST / 2.0).thinnest()?;
            Some((low.radius * 2.0, [low.at, low.across.unwrap_or(low.at)]))
        })
    }
}
