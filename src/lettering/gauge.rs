//! What the letters of a name measure: their area, strokes and the wood between them.

use super::fit::Fitted;
use super::form::Shape;
use super::letters::Letters;
use crate::curve::{Affine, BezPath, Curve, PathEl, Point, Rect, Region, RegionFault};
use crate::reach::Profile;
use std::sync::Arc;

/// Letters nearer than this, mm, are measured as one area.
pub(super) const TOUCHING: f64 = 0.02;

/// No stroke of a name is wider than this, mm.
const WIDEST_STROKE: f64 = 60.0;

/// The narrowest wood between strokes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Wood between them, mm; 0 where they touch or overlap.
    pub width: f64,
    /// The middle of that place.
    pub at: Point,
    /// The letters on both sides, the earlier one first; within a letter it is twice the same.
    pub letters: [usize; 2],
}

/// A name's measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// The thinnest stroke, mm, and where.
    pub thinnest: Option<(f64, Point)>,
    /// The narrowest wood, within a letter or between two.
    pub wood: Option<Gap>,
}

impl Fitted {
    /// The letters' area.
    pub fn region(&self) -> Result<Region, RegionFault> {
        let letters: Vec<Region> =
            self.shapes().iter().map(|(s, onto)| s.region.transformed(*onto)).collect();
        let region = Region::united(&letters);
        if region.is_empty() { Err(RegionFault::Empty) } else { Ok(region) }
    }

    /// What the letters measure; `region` is their area. Letters apart are measured each by
    /// itself, letters that touch as one.
    pub fn gauge(&self, region: &Region) -> Gauge {
        let shapes = self.shapes();
        let thinnest = if self.touch() {
            let low = Profile::inside(region, WIDEST_STROKE).thinnest();
            low.map(|low| (low.radius * 2.0, low.at))
        } else {
            let thin = shapes.iter().filter_map(|(shape, onto)| {
                let (width, at) = shape.thinnest()?;
                Some((width * scale(onto), *onto * at))
            });
            thin.min_by(|a, b| a.0.total_cmp(&b.0))
        };
        let within = shapes.iter().enumerate().filter_map(|(number, (shape, onto))| {
            let (width, [one, other]) = shape.wood()?;
            let (width, at) = (width * scale(onto), *onto * one.midpoint(other));
            Some(Gap { width, at, letters: [number; 2] })
        });
        let wood = within.chain(self.gap).min_by(|a, b| a.width.total_cmp(&b.width));
        Gauge { thinnest, wood }
    }

    /// The widest stroke, mm; `region` is the letters' area.
    pub fn widest(&self, region: &Region) -> f64 {
        if self.touch() {
            return Profile::inside(region, WIDEST_STROKE).highest_reach() * 2.0;
        }
        let shapes = self.shapes();
        let wide = shapes.iter().map(|(shape, onto)| shape.widest() * scale(onto));
        wide.fold(0.0, f64::max)
    }

    pub(super) fn touch(&self) -> bool {
        self.gap.is_some_and(|gap| gap.width < TOUCHING)
    }

    fn shapes(&self) -> Vec<(Arc<Shape>, Affine)> {
        self.forms.iter().map(|(form, onto)| form.placed(*onto)).collect()
    }
}

/// The thinnest stroke of a text on a straight line and its length, capitals `height` mm tall,
/// mm; `None` where the letters lack some of it or nothing is drawn.
pub fn strokes(text: &str, letters: &Letters, height: f64) -> Option<(f64, f64)> {
    let written = letters.write(text, height);
    let [left, right] = written.ink().filter(|_| written.missing.is_empty())?;
    let thin = written.forms.iter().filter_map(|(form, onto)| {
        let (shape, onto) = form.placed(*onto);
        Some(shape.thinnest()?.0 * scale(&onto))
    });
    Some((thin.reduce(f64::min)?, right - left))
}

/// How much larger a map without stretch makes things.
fn scale(onto: &Affine) -> f64 {
    onto.determinant().abs().sqrt()
}

/// The narrowest place between two of several letters, each drawn with a pen of some width
/// (0 for outlines).
pub(super) fn narrowest<'p>(
    letters: impl Iterator<Item = &'p [BezPath]>,
    pen: f64,
) -> Option<Gap> {
    let letters: Vec<Lines> = letters.map(Lines::of).collect();
    let mut best: Option<(f64, Point, [usize; 2])> = None;
    for (second, b) in letters.iter().enumerate() {
        // The letter before comes first: it is likely the nearest.
        for (first, a) in letters.iter().enumerate().take(second).rev() {
            let limit = best.map_or(f64::INFINITY, |(least, ..)| least);
            if let Some((distance, at)) = a.nearest(b, limit) {
                best = Some((distance, at, [first, second]));
            }
        }
    }
    best.map(|(distance, at, letters)| {
        let width = (distance - pen).max(0.0);
        Gap { width, at, letters }
    })
}

/// A letter's curves.
struct Lines {
    bounds: Rect,
    lines: Vec<Line>,
}

/// A curve, looked for by its chords; a dot has a chord without length.
struct Line {
    /// `None` for a dot.
    curve: Option<Curve>,
    chords: Vec<[Point; 2]>,
    /// It lies no farther from its chords, mm.
    off: f64,
    bounds: Rect,
}

impl Lines {
    fn of(paths: &[BezPath]) -> Self {
        let dots = paths.iter().filter_map(|path| match path.elements() {
            [PathEl::MoveTo(at)] => Some(Line::dot(*at)),
            _ => None,
        });
        let segments = paths.iter().flat_map(BezPath::segments);
        let drawn = segments.map(|segment| Line::of(Curve::from_segment(segment)));
        let lines: Vec<Line> = dots.chain(drawn).collect();
        let bounds = lines.iter().map(|line| line.bounds).reduce(|a, b| a.union(b));
        Self { bounds: bounds.unwrap_or_default(), lines }
    }

    /// The least distance to another letter and the middle of that place, if it is below a
    /// limit.
    fn nearest(&self, other: &Self, limit: f64) -> Option<(f64, Point)> {
        if boxes_apart(self.bounds, other.bounds) >= limit {
            return None;
        }
        let mut pairs: Vec<(f64, &Line, &Line)> = Vec::new();
        for a in &self.lines {
            for b in &other.lines {
                let apart = boxes_apart(a.bounds, b.bounds);
                if apart < limit {
                    pairs.push((apart, a, b));
                }
            }
        }
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut best: Option<(f64, Point)> = None;
        for (apart, a, b) in pairs {
            let least = best.map_or(limit, |(least, _)| least);
            if apart >= least {
                break;
            }
            let found =
                a.nearest(b, least + a.off + b.off).map(|near| a.settled(b, near));
            best = found.filter(|(distance, _)| *distance < least).or(best);
        }
        best
    }
}

impl Line {
    fn dot(at: Point) -> Self {
        let bounds = Rect::from_points(at, at);
        Self { curve: None, chords: vec![[at, at]], off: 0.0, bounds }
    }

    fn of(curve: Curve) -> Self {
        const STEPS: u32 = 12;
        let steps = if matches!(curve, Curve::Line(_)) { 1 } else { STEPS };
        let at = |step: f64| curve.eval(step / f64::from(steps));
        let (mut from, mut off) = (curve.start(), 0.0_f64);
        let mut chords = Vec::new();
        for step in 1..=steps {
            let to = at(f64::from(step));
            // Twice the sagitta at its middle, for chords that are not symmetric.
            off = off.max(2.0 * at(f64::from(step) - 0.5).distance(from.midpoint(to)));
            chords.push([from, to]);
            from = to;
        }
        let boxes = chords.iter().map(|[a, b]| Rect::from_points(*a, *b));
        let bounds = boxes.reduce(|a, b| a.union(b)).unwrap_or_default();
        Self { curve: Some(curve), chords, off, bounds: bounds.inflate(off, off) }
    }

    /// Where the chords of two curves come nearest, if that is below a limit.
    fn nearest(&self, other: &Self, limit: f64) -> Option<[Point; 2]> {
        let (mut least, mut best) = (limit, None);
        for p in &self.chords {
            let own = Rect::from_points(p[0], p[1]);
            if boxes_apart(own, other.bounds) >= least {
                continue;
            }
            for q in &other.chords {
                if boxes_apart(own, Rect::from_points(q[0], q[1])) >= least {
                    continue;
                }
                let near = between(*p, *q);
                let distance = near[0].distance(near[1]);
                if distance < least {
                    (least, best) = (distance, Some(near));
                }
            }
        }
        best
    }

    /// The distance of two curves near places of their chords, from one to the other and back
    /// until it stays, and the middle of that place.
    fn settled(&self, other: &Self, [mut p, mut q]: [Point; 2]) -> (f64, Point) {
        const STILL: f64 = 1e-7; // mm
        let onto = |line: &Self, from: Point, at: Point| {
            line.curve.as_ref().map_or(at, |curve| curve.nearest(from))
        };
        for _ in 0..64 {
            let before = p;
            q = onto(other, p, q);
            p = onto(self, q, p);
            if p.distance(before) < STILL {
                break;
            }
        }
        (p.distance(q), p.midpoint(q))
    }
}

/// Distance between two boxes, 0 where they overlap.
fn boxes_apart(a: Rect, b: Rect) -> f64 {
    let x = (b.x0 - a.x1).max(a.x0 - b.x1).max(0.0);
    let y = (b.y0 - a.y1).max(a.y0 - b.y1).max(0.0);
    x.hypot(y)
}

/// Where two chords come nearest: twice the same place where they cross.
fn between(p: [Point; 2], q: [Point; 2]) -> [Point; 2] {
    if let Some(at) = crossing(p, q) {
        return [at, at];
    }
    let feet = [
        [p[0], foot(p[0], q)],
        [p[1], foot(p[1], q)],
        [foot(q[0], p), q[0]],
        [foot(q[1], p), q[1]],
    ];
    let far = |pair: &[Point; 2]| pair[0].distance(pair[1]);
    feet.into_iter().min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or([p[0], q[0]])
}

/// The place of a chord nearest to a point.
fn foot(point: Point, [from, to]: [Point; 2]) -> Point {
    let along = to - from;
    let square = along.hypot2();
    let t = if square > 0.0 {
        ((point - from).dot(along) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    from.lerp(to, t)
}

/// Where two chords cross.
fn crossing(p: [Point; 2], q: [Point; 2]) -> Option<Point> {
    let (r, s) = (p[1] - p[0], q[1] - q[0]);
    let turn = r.cross(s);
    if turn == 0.0 {
        return None;
    }
    let t = (q[0] - p[0]).cross(s) / turn;
    let u = (q[0] - p[0]).cross(r) / turn;
    let inside = (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u);
    inside.then(|| p[0].lerp(p[1], t))
}
