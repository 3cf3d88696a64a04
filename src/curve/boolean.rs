//! Union, difference and intersection of regions, curves kept.
//!
//! Curves are laid out as chords within [`Tolerance::CHORD`]; the polygon overlay decides the
//! topology on a grid of about 1e-6 mm and hands each result edge back with the chord it came
//! from. Runs of chords become parts of their curves again, and where two different curves
//! meet the crossing is refined on the curves themselves, so no shape is replaced by chords.

use super::piece::{Curve, Piece};
use super::region::{Contour, Region};
use crate::kept::Kept;
use crate::units::Tolerance;
use i_overlay::core::edge_data::{EdgeDataMerge, OverlayEdgeData};
use i_overlay::core::edge_overlay::{EdgeOverlay, InputEdge};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::ShapeType;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::segm::boolean::ShapeCountBoolean;
use i_overlay::vector::edge::DataVectorEdge;
use kurbo::Point;
use lyon::geom::CubicBezierSegment;
use std::ops::Range;

/// Grid lines per mm: a power of two, so that the way to the grid and back is exact.
const GRID: f64 = 1_048_576.0;

/// Pieces shorter than this after a cut are welded away, mm.
const LEAST_PIECE: f64 = 2e-5;

/// How two regions are combined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rule {
    Unite,
    Cut,
    Keep,
    /// Only where the first region winds counter-clockwise.
    Tidy,
    /// Only where the first region winds an odd number of times.
    Odd,
}

/// A chord of a piece: which, and from where to where.
#[derive(Clone, Copy, Debug)]
struct Chord {
    piece: u32,
    t0: f64,
    t1: f64,
    p0: Point,
    p1: Point,
}

/// The index of a chord, carried through the overlay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct ChordId(u32);

impl OverlayEdgeData for ChordId {
    type Store = ();

    fn merge(ctx: EdgeDataMerge<ShapeCountBoolean, Self>, (): &mut ()) -> Self {
        Self(ctx.lhs_data.0.min(ctx.rhs_data.0))
    }
}

/// A run of result edges along one piece, in the direction of the result.
#[derive(Clone, Copy, Debug)]
struct Run {
    piece: u32,
    t0: f64,
    t1: f64,
    start: Point,
    end: Point,
}

/// Combines two regions by non-zero filling; contours of the result are simple. What was
/// combined before is not combined again.
pub(super) fn combine(subject: &Region, other: &Region, rule: Rule) -> Region {
    /// Numbers that may be held, twice: 4 MiB each time.
    const MOST: usize = 1 << 19;
    static KEPT: Kept<Vec<u64>, Region> = Kept::new(MOST);
    let mut question = vec![rule as u64];
    subject.write_bits(&mut question);
    other.write_bits(&mut question);
    let weight = |question: &Vec<u64>, answer: &Region| question.len() + answer.weight();
    KEPT.get(question, || combined(subject, other, rule), weight)
}

fn combined(subject: &Region, other: &Region, rule: Rule) -> Region {
    let mut table = Table::default();
    table.lay(subject);
    let clip = table.rings.len();
    table.lay(other);
    let mut overlay = EdgeOverlay::<i64, ChordId>::new(table.chords.len());
    for (index, ring) in table.rings.iter().enumerate() {
        let kind = if index < clip { ShapeType::Subject } else { ShapeType::Clip };
        table.add_ring(ring.clone(), kind, &mut overlay);
    }
    let overlay_rule = match rule {
        Rule::Unite | Rule::Tidy | Rule::Odd => OverlayRule::Union,
        Rule::Cut => OverlayRule::Difference,
        Rule::Keep => OverlayRule::Intersect,
    };
    let fill = match rule {
        Rule::Tidy => FillRule::Positive,
        Rule::Odd => FillRule::EvenOdd,
        Rule::Unite | Rule::Cut | Rule::Keep => FillRule::NonZero,
    };
    let shapes = overlay.build_vector_shapes(overlay_rule, fill);
    let mut contours = Vec::new();
    for shape in &shapes {
        for (place, edges) in shape.iter().enumerate() {
            if let Some(contour) = table.contour(edges) {
                let outer = place == 0;
                let wound_outer = contour.signed_area() > 0.0;
                contours.push(if outer == wound_outer {
                    contour
                } else {
                    contour.reversed()
                });
            }
        }
    }
    Region::from_contours(contours)
}

#[derive(Default)]
struct Table {
    pieces: Vec<Piece>,
    chords: Vec<Chord>,
    /// The chords of each contour.
    rings: Vec<Range<usize>>,
}

impl Table {
    fn lay(&mut self, region: &Region) {
        for contour in region.contours() {
            let first = self.chords.len();
            self.pieces.reserve(contour.pieces().len());
            for piece in contour.pieces() {
                let index = self.pieces.len() as u32;
                self.pieces.push(*piece);
                let mut p0 = piece.curve.start();
                for (t0, t1) in chord_steps(&piece.curve) {
                    let p1 = piece.curve.eval(t1);
                    self.chords.push(Chord { piece: index, t0, t1, p0, p1 });
                    p0 = p1;
                }
            }
            self.rings.push(first..self.chords.len());
        }
    }

    /// Hands the chords of a contour on to the overlay. Each starts on the grid point where
    /// the one before ends: an overlay of an open ring has no answer.
    fn add_ring(
        &self,
        ring: Range<usize>,
        kind: ShapeType,
        overlay: &mut EdgeOverlay<i64, ChordId>,
    ) {
        let first = ring.start;
        let chords = &self.chords[ring];
        let Some(last) = chords.last() else { return };
        let mut a = to_grid(last.p1);
        for (place, chord) in chords.iter().enumerate() {
            let b = to_grid(chord.p1);
            let data = ChordId((first + place) as u32);
            overlay.add_edge(InputEdge { a, b, data }, kind);
            a = b;
        }
    }

    fn contour(&self, edges: &[DataVectorEdge<i64, ChordId>]) -> Option<Contour> {
        let runs = self.runs(edges);
        let mut pieces: Vec<Piece> = runs.iter().map(|run| self.piece_of(run)).collect();
        weld(&mut pieces);
        (pieces.len() > 1 || matches!(pieces.first(), Some(p) if !is_line(&p.curve)))
            .then(|| Contour::from_pieces(pieces))
    }

    /// Joins edges that go on along the same piece.
    fn runs(&self, edges: &[DataVectorEdge<i64, ChordId>]) -> Vec<Run> {
        let mut runs: Vec<Run> = Vec::new();
        for edge in edges {
            let Some(run) = self.edge_run(edge) else { continue };
            match runs.last_mut() {
                Some(last) if goes_on(last, &run) => {
                    last.t1 = run.t1;
                    last.end = run.end;
                }
                _ => runs.push(run),
            }
        }
        if runs.len() > 1 {
            let (first, last) = (runs[0], runs[runs.len() - 1]);
            if goes_on(&last, &first) {
                runs[0].t0 = last.t0;
                runs[0].start = last.start;
                runs.pop();
            }
        }
        runs
    }

    fn edge_run(&self, edge: &DataVectorEdge<i64, ChordId>) -> Option<Run> {
        let chord = self.chords.get(edge.data.0 as usize)?;
        let (start, end) = (from_grid(edge.a), from_grid(edge.b));
        let along = chord.p1 - chord.p0;
        let place = |p: Point| {
            let share = (p - chord.p0).dot(along) / along.hypot2();
            let share = share.clamp(0.0, 1.0);
            chord.t0 + (chord.t1 - chord.t0) * share
        };
        let snapped = |p: Point, t: f64| {
            let near = |q: Point| (p - q).hypot() < 2.0 / GRID;
            if near(chord.p0) {
                chord.t0
            } else if near(chord.p1) {
                chord.t1
            } else {
                t
            }
        };
        let (t0, t1) = (snapped(start, place(start)), snapped(end, place(end)));
        Some(Run { piece: chord.piece, t0, t1, start, end })
    }

    fn piece_of(&self, run: &Run) -> Piece {
        let piece = self.pieces[run.piece as usize];
        let curve = if run.t0 <= run.t1 {
            piece.curve.part(run.t0, run.t1)
        } else {
            piece.curve.part(run.t1, run.t0).reversed()
        };
        Piece { curve, origin: piece.origin }
    }
}

fn goes_on(last: &Run, next: &Run) -> bool {
    last.piece == next.piece
        && (last.t1 - next.t0).abs() < 1e-9
        && (last.t1 >= last.t0) == (next.t1 >= next.t0)
}

/// Makes each piece end where the next one starts: the crossing of the two curves where they
/// cross nearby, else the middle of the gap. Slivers are dropped.
fn weld(pieces: &mut Vec<Piece>) {
    if pieces.len() > 1 {
        pieces.retain(|piece| {
            !is_line(&piece.curve) && piece.curve.length() > LEAST_PIECE
                || (piece.curve.end() - piece.curve.start()).hypot() > LEAST_PIECE
        });
    }
    let count = pieces.len();
    if count < 2 {
        return;
    }
    let mut joints = Vec::with_capacity(count);
    for i in 0..count {
        let j = (i + 1) % count;
        let (end, start) = (pieces[i].curve.end(), pieces[j].curve.start());
        if end == start {
            joints.push(end);
            continue;
        }
        match crossing(&pieces[i].curve, &pieces[j].curve) {
            Some((t, u)) => {
                let point = pieces[j].curve.eval(u);
                pieces[i].curve = pieces[i].curve.part(0.0, t);
                pieces[j].curve = pieces[j].curve.part(u, 1.0);
                joints.push(point);
            }
            None => joints.push(end.midpoint(start)),
        }
    }
    for i in 0..count {
        let start = joints[(i + count - 1) % count];
        pieces[i].curve = pieces[i].curve.welded(start, joints[i]);
    }
}

/// Where the end of one curve crosses the start of the next, by Newton's method from there:
/// parameters on both. `None` where they run side by side or the crossing is not near.
fn crossing(first: &Curve, second: &Curve) -> Option<(f64, f64)> {
    const NEAR: f64 = 0.02; // mm: ten times what two chords may be off
    let (l1, l2) = (first.length(), second.length());
    let (mut s, mut u) = (0.0, 0.0); // lengths past the end, past the start
    let (origin1, origin2) = (first.end(), second.start());
    for _ in 0..8 {
        let (t, v) = (1.0 + s / l1, u / l2);
        let (p, q) = (first.eval(t), second.eval(v));
        let gap = q - p;
        let (d1, d2) = (first.tangent(t), second.tangent(v));
        let det = d1.cross(d2);
        if det.abs() < 1e-3 {
            return None;
        }
        let step1 = gap.cross(d2) / det;
        let step2 = gap.cross(d1) / det;
        s += step1;
        u += step2;
        if s.abs() > NEAR || u.abs() > NEAR || s < -l1 / 2.0 || u > l2 / 2.0 {
            return None;
        }
        if step1.abs().max(step2.abs()) < 1e-12 {
            break;
        }
    }
    let (t, v) = (1.0 + s / l1, u / l2);
    let meet = (first.eval(t) - second.eval(v)).hypot() < 1e-7;
    let near = (first.eval(t) - origin1).hypot() < NEAR
        && (second.eval(v) - origin2).hypot() < NEAR;
    (meet && near).then_some((t, v))
}

fn is_line(curve: &Curve) -> bool {
    matches!(curve, Curve::Line(_))
}

/// Parameter steps whose chords stay within the chord tolerance of the curve.
pub(super) fn chord_steps(curve: &Curve) -> Vec<(f64, f64)> {
    let tolerance = Tolerance::CHORD.get();
    match curve {
        Curve::Line(_) => vec![(0.0, 1.0)],
        Curve::Arc(arc) => {
            let step = 2.0 * (1.0 - (tolerance / arc.radius).min(0.1)).acos();
            let count = (arc.sweep().abs() / step).ceil().clamp(1.0, 1e4) as usize;
            even_steps(count)
        }
        Curve::Cubic(c) => {
            let p = |q: Point| lyon::geom::point(q.x, q.y);
            let cubic = CubicBezierSegment {
                from: p(c.p0),
                ctrl1: p(c.p1),
                ctrl2: p(c.p2),
                to: p(c.p3),
            };
            let mut steps = Vec::new();
            cubic.for_each_flattened_with_t(tolerance, &mut |_, range| {
                if range.end > range.start {
                    steps.push((range.start, range.end));
                }
            });
            if let Some(last) = steps.last_mut() {
                last.1 = 1.0;
            }
            steps
        }
    }
}

fn even_steps(count: usize) -> Vec<(f64, f64)> {
    (0..count).map(|i| (i as f64 / count as f64, (i + 1) as f64 / count as f64)).collect()
}

fn to_grid(p: Point) -> IntPoint<i64> {
    IntPoint::new((p.x * GRID).round() as i64, (p.y * GRID).round() as i64)
}

fn from_grid(p: IntPoint<i64>) -> Point {
    Point::new(p.x as f64 / GRID, p.y as f64 / GRID)
}
