//! A region of the plane: simple closed contours, wood on the left.

use super::boolean::{Rule, combine};
use super::piece::{Curve, Origin, Piece};
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _, Vec2};

/// A closed curve; each piece starts where the one before ends.
#[derive(Clone, Debug, Default)]
pub struct Contour {
    pieces: Vec<Piece>,
}

/// A region of the plane, possibly in several parts and with holes.
#[derive(Clone, Debug, Default)]
pub struct Region {
    contours: Vec<Contour>,
}

/// Why a drawing is not a region.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RegionFault {
    /// A coordinate is NaN, infinite or beyond [`COORDINATE_LIMIT`].
    NotFinite,
    /// Nothing is enclosed.
    Empty,
}

/// No coordinate may lie farther out, mm: a hundred metres.
pub const COORDINATE_LIMIT: f64 = 1e5;

/// Contours that enclose less are dropped, mm².
const LEAST_AREA: f64 = 1e-6;

impl Contour {
    /// From pieces that follow each other and close; the caller vouches for that.
    pub(crate) fn from_pieces(pieces: Vec<Piece>) -> Self {
        Self { pieces }
    }

    /// The pieces, in order.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Signed area in mm²: positive counter-clockwise.
    pub fn signed_area(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.curve.signed_area()).sum()
    }

    /// Length in mm.
    pub fn length(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.curve.length()).sum()
    }

    /// The smallest upright rectangle around it.
    pub fn bounds(&self) -> Rect {
        self.path().bounding_box()
    }

    /// The point lies inside (mm).
    pub fn contains(&self, point: Point) -> bool {
        self.crossings(point) != 0
    }

    fn crossings(&self, point: Point) -> i32 {
        self.pieces.iter().map(|piece| piece.curve.crossings(point)).sum()
    }

    /// The closed path.
    pub fn path(&self) -> BezPath {
        let mut path = BezPath::new();
        if let Some(first) = self.pieces.first() {
            path.move_to(first.curve.start());
            for piece in &self.pieces {
                piece.curve.append_to(&mut path);
            }
            path.close_path();
        }
        path
    }

    /// Run through backwards: hole and wood change places.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let turn = |piece: &Piece| Piece { curve: piece.curve.reversed(), ..*piece };
        Self { pieces: self.pieces.iter().rev().map(turn).collect() }
    }

    fn transformed(&self, affine: Affine) -> Self {
        let pieces = self.pieces.iter().flat_map(|piece| {
            let origin = piece.origin;
            piece
                .curve
                .transformed(affine)
                .into_iter()
                .map(move |curve| Piece { curve, origin })
        });
        let moved = Self { pieces: pieces.collect() };
        if affine.determinant() < 0.0 { moved.reversed() } else { moved }
    }
}

impl Region {
    /// From contours that are simple, apart and oriented; the caller vouches for that.
    pub(crate) fn from_contours(contours: Vec<Contour>) -> Self {
        let keep = |contour: &Contour| contour.signed_area().abs() > LEAST_AREA;
        Self { contours: contours.into_iter().filter(keep).collect() }
    }

    /// The area a path encloses (non-zero filling), cleaned up: simple contours, outer ones
    /// counter-clockwise, touching points welded. Open subpaths are closed by a line.
    pub fn filled(path: &BezPath, origin: Origin) -> Result<Self, RegionFault> {
        Self::filled_by(path, origin, Rule::Unite)
    }

    /// The same by even-odd filling.
    pub fn filled_odd(path: &BezPath, origin: Origin) -> Result<Self, RegionFault> {
        Self::filled_by(path, origin, Rule::Odd)
    }

    fn filled_by(
        path: &BezPath,
        origin: Origin,
        rule: Rule,
    ) -> Result<Self, RegionFault> {
        let reach =
            |p: Point| p.x.abs() <= COORDINATE_LIMIT && p.y.abs() <= COORDINATE_LIMIT;
        let inside = |el: &PathEl| match *el {
            PathEl::MoveTo(p) | PathEl::LineTo(p) => reach(p),
            PathEl::QuadTo(p, q) => reach(p) && reach(q),
            PathEl::CurveTo(p, q, r) => reach(p) && reach(q) && reach(r),
            PathEl::ClosePath => true,
        };
        if !path.elements().iter().all(inside) {
            return Err(RegionFault::NotFinite);
        }
        let drawn = Self { contours: contours_of(path, origin) };
        let region = match drawn.contours.as_slice() {
            [only] if is_convex(only) => drawn,
            _ => combine(&drawn, &Self::default(), rule),
        };
        if region.is_empty() { Err(RegionFault::Empty) } else { Ok(region) }
    }

    /// Everything in either.
    #[must_use]
    pub fn unite(&self, other: &Self) -> Self {
        if self.lies_apart(other) {
            let contours = self.contours.iter().chain(&other.contours);
            return Self { contours: contours.cloned().collect() };
        }
        combine(self, other, Rule::Unite)
    }

    /// Everything in any of them.
    #[must_use]
    pub fn united(regions: &[Self]) -> Self {
        let boxes: Vec<Rect> =
            regions.iter().map(|region| region.bounds().inflate(CLEAR, CLEAR)).collect();
        let pairs = || (0..regions.len()).flat_map(|b| (0..b).map(move |a| (a, b)));
        let near = |(a, b): &(usize, usize)| boxes[*a].overlaps(boxes[*b]);
        let near: Vec<(usize, usize)> = pairs().filter(near).collect();
        // Many that lie close to each other are sooner combined than compared.
        let apart = near.len() <= 4 * regions.len()
            && near.iter().all(|(a, b)| regions[*a].lies_apart(&regions[*b]));
        let contours = regions.iter().flat_map(|region| region.contours.clone());
        let all = Self { contours: contours.collect() };
        if apart { all } else { combine(&all, &Self::default(), Rule::Unite) }
    }

    /// Everything in `self` and not in `other`.
    #[must_use]
    pub fn cut(&self, other: &Self) -> Self {
        if self.lies_apart(other) {
            return self.clone();
        }
        combine(self, other, Rule::Cut)
    }

    /// Everything in both.
    #[must_use]
    pub fn keep(&self, other: &Self) -> Self {
        if self.lies_apart(other) {
            return Self::default();
        }
        combine(self, other, Rule::Keep)
    }

    /// The area round which these contours wind counter-clockwise; they may overlap.
    pub(crate) fn tidied(contours: Vec<Contour>) -> Self {
        combine(&Self { contours }, &Self::default(), Rule::Tidy)
    }

    /// The contours; outer ones counter-clockwise.
    pub fn contours(&self) -> &[Contour] {
        &self.contours
    }

    /// The number of separate parts: outer contours.
    pub fn parts(&self) -> usize {
        self.contours.iter().filter(|contour| contour.signed_area() > 0.0).count()
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

    /// Length of all contours in mm.
    pub fn perimeter(&self) -> f64 {
        self.contours.iter().map(Contour::length).sum()
    }

    /// The smallest upright rectangle around it; zero when empty.
    pub fn bounds(&self) -> Rect {
        if self.is_empty() { Rect::ZERO } else { self.path().bounding_box() }
    }

    /// The point lies inside (mm).
    pub fn contains(&self, point: Point) -> bool {
        self.contours.iter().map(|contour| contour.crossings(point)).sum::<i32>() != 0
    }

    /// Moved, turned, scaled or mirrored; stays oriented.
    #[must_use]
    pub fn transformed(&self, affine: Affine) -> Self {
        Self { contours: self.contours.iter().map(|c| c.transformed(affine)).collect() }
    }

    /// All of it lies inside another, its edge off the other's edge, as boxes about their parts
    /// tell; never said where it is not so.
    pub(crate) fn lies_within(&self, other: &Self) -> bool {
        apart(self, other)
            && self.starts().all(|point| other.contains(point))
            && !other.starts().any(|point| self.contains(point))
    }

    /// Nothing is in both and no edge comes near one of the other, so that no overlay is
    /// needed; never said where it is not so.
    fn lies_apart(&self, other: &Self) -> bool {
        apart(self, other)
            && !self.starts().any(|point| other.contains(point))
            && !other.starts().any(|point| self.contains(point))
    }

    /// A point of each contour.
    fn starts(&self) -> impl Iterator<Item = Point> {
        let first = |contour: &Contour| contour.pieces.first().map(|p| p.curve.start());
        self.contours.iter().filter_map(first)
    }

    /// Everything else: wood and air change places. Only contours are turned round, so it
    /// has no area of its own; reach uses it to look from the inside.
    #[must_use]
    pub(crate) fn inverted(&self) -> Self {
        Self { contours: self.contours.iter().map(Contour::reversed).collect() }
    }

    /// Every piece said to come from `origin`.
    #[must_use]
    pub fn with_origin(mut self, origin: Origin) -> Self {
        for contour in &mut self.contours {
            for piece in &mut contour.pieces {
                piece.origin = origin;
            }
        }
        self
    }

    /// The origin of the piece nearest to a point, if there is any piece.
    pub fn origin_near(&self, point: Point) -> Option<Origin> {
        let distance = |piece: &Piece| {
            (0..=16)
                .map(|i| (piece.curve.eval(f64::from(i) / 16.0) - point).hypot2())
                .fold(f64::INFINITY, f64::min)
        };
        self.contours
            .iter()
            .flat_map(|contour| &contour.pieces)
            .min_by(|a, b| distance(a).total_cmp(&distance(b)))
            .map(|piece| piece.origin)
    }
}

/// Boxes about parts of the edges are no nearer than this, mm: nothing is welded there.
const CLEAR: f64 = 0.01;

/// Pieces are halved so often to tell them apart.
const HALVINGS: u32 = 6;

/// No edge of one region comes near an edge of the other, as boxes about their parts tell.
fn apart(first: &Region, second: &Region) -> bool {
    let pieces = |region: &Region| -> Vec<(Curve, Rect)> {
        let pieces = region.contours.iter().flat_map(|contour| &contour.pieces);
        pieces.map(|piece| (piece.curve, piece.curve.bounds())).collect()
    };
    let around = |pieces: &[(Curve, Rect)]| {
        let boxes = pieces.iter().map(|piece| piece.1);
        boxes.reduce(|a, b| a.union(b)).unwrap_or_default().inflate(CLEAR, CLEAR)
    };
    let ours = pieces(first);
    let theirs = within(pieces(second), around(&ours));
    let ours = within(ours, around(&theirs));
    ours.iter().all(|a| theirs.iter().all(|b| pieces_apart(*a, *b, HALVINGS)))
}

/// Those parts of curves whose boxes meet a box; curves that are large against it are halved
/// first.
fn within(mut pieces: Vec<(Curve, Rect)>, room: Rect) -> Vec<(Curve, Rect)> {
    let small = room.width().max(room.height()) / 8.0;
    let mut kept = Vec::new();
    while let Some((curve, bounds)) = pieces.pop() {
        if !bounds.overlaps(room) {
            continue;
        }
        let size = bounds.width().max(bounds.height());
        if size > small && size > 2.0 * CLEAR {
            pieces.extend(halves(&curve));
        } else {
            kept.push((curve, bounds));
        }
    }
    kept
}

fn halves(curve: &Curve) -> [(Curve, Rect); 2] {
    [(0.0, 0.5), (0.5, 1.0)].map(|(from, to)| {
        let half = curve.part(from, to);
        (half, half.bounds())
    })
}

fn pieces_apart(a: (Curve, Rect), b: (Curve, Rect), halvings: u32) -> bool {
    let (r, s) = (a.1.inflate(CLEAR, CLEAR), b.1);
    if r.x1 < s.x0 || s.x1 < r.x0 || r.y1 < s.y0 || s.y1 < r.y0 {
        return true;
    }
    let Some(halvings) = halvings.checked_sub(1) else { return false };
    let others = halves(&b.0);
    halves(&a.0).iter().all(|a| others.iter().all(|b| pieces_apart(*a, *b, halvings)))
}

/// The contour runs counter-clockwise and turns left only, once round: then it is simple (W.
/// Fenchel, "Über Krümmung und Windung geschlossener Raumkurven", Mathematische Annalen 101,
/// 1929: a closed curve turns by a full turn at least, by no more only where it is convex).
/// A cubic turns no more than the lines through its control points.
fn is_convex(contour: &Contour) -> bool {
    let Some(turns) = contour.pieces.iter().map(left_turn).collect::<Option<Vec<_>>>()
    else {
        return false;
    };
    let mut turned = 0.0;
    for (index, (_, end, within)) in turns.iter().enumerate() {
        let (start, _, _) = turns[(index + 1) % turns.len()];
        let Some(joint) = turn_left(*end, start) else { return false };
        turned += within + joint;
    }
    (turned - std::f64::consts::TAU).abs() < 1e-6
}

/// Directions at the start and at the end of a piece and how far it turns between them,
/// radians; `None` where it does not only turn left.
fn left_turn(piece: &Piece) -> Option<(Vec2, Vec2, f64)> {
    match piece.curve {
        Curve::Line(line) => {
            let way = line.p1 - line.p0;
            Some((way, way, turn_left(way, way)?))
        }
        Curve::Arc(arc) => {
            let ends = (piece.curve.tangent(0.0), piece.curve.tangent(1.0));
            arc.ccw.then(|| (ends.0, ends.1, arc.sweep()))
        }
        Curve::Cubic(c) => {
            let (first, middle, last) = (c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2);
            Some((first, last, turn_left(first, middle)? + turn_left(middle, last)?))
        }
    }
}

/// The angle from one direction to the next, radians; `None` where that is not certainly to
/// the left.
fn turn_left(from: Vec2, to: Vec2) -> Option<f64> {
    const ROUNDING: f64 = 1e-9; // radians, for smooth joints
    const BACK: f64 = 3.0; // radians: near a half turn left and right are not certain
    const SHORT: f64 = 1e-3; // mm: shorter lines have no certain direction
    let angle = from.cross(to).atan2(from.dot(to));
    let long = from.hypot2().min(to.hypot2()) > SHORT * SHORT;
    (long && (-ROUNDING..=BACK).contains(&angle)).then_some(angle)
}

/// Every subpath as a closed contour; zero-length pieces are left out.
fn contours_of(path: &BezPath, origin: Origin) -> Vec<Contour> {
    let mut contours = Vec::new();
    let mut pieces: Vec<Piece> = Vec::new();
    let mut close = |pieces: &mut Vec<Piece>| {
        if let (Some(first), Some(last)) = (pieces.first(), pieces.last()) {
            let (from, to) = (last.curve.end(), first.curve.start());
            if from != to {
                let line = Curve::Line(kurbo::Line::new(from, to));
                pieces.push(Piece { curve: line, origin });
            }
            contours.push(Contour { pieces: std::mem::take(pieces) });
        }
    };
    let mut last_end = None;
    for segment in path.segments() {
        let curve = Curve::from_segment(segment);
        if last_end != Some(curve.start()) {
            close(&mut pieces);
        }
        last_end = Some(curve.end());
        let still = match segment {
            kurbo::PathSeg::Line(line) => line.p0 == line.p1,
            kurbo::PathSeg::Quad(q) => q.p0 == q.p1 && q.p1 == q.p2,
            kurbo::PathSeg::Cubic(c) => c.p0 == c.p1 && c.p1 == c.p2 && c.p2 == c.p3,
        };
        if !still {
            pieces.push(Piece { curve, origin });
        }
    }
    close(&mut pieces);
    contours
}
