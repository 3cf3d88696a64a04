//! One piece of a contour: a line, a circular arc or a cubic Bézier.

use kurbo::{
    Affine, BezPath, CubicBez, Line, ParamCurve, ParamCurveArclen, ParamCurveArea,
    ParamCurveDeriv, ParamCurveExtrema, ParamCurveNearest, PathSeg, Point, Rect, Vec2,
};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

/// Tells where a piece of curve came from; means nothing here, its giver knows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin(pub u32);

/// A circular arc of at most a half turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Where it starts.
    pub a: Point,
    /// Where it ends.
    pub b: Point,
    /// Its circle's middle.
    pub center: Point,
    /// Its circle's radius, mm, above zero.
    pub radius: f64,
    /// Runs counter-clockwise.
    pub ccw: bool,
}

/// The geometry of a piece, run through from t = 0 to t = 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    /// Straight.
    Line(Line),
    /// Circular.
    Arc(Arc),
    /// Anything else.
    Cubic(CubicBez),
}

/// A curve of a contour and what drew it.
#[derive(Clone, Copy, Debug)]
pub struct Piece {
    /// Its geometry, mm.
    pub curve: Curve,
    /// What drew it.
    pub origin: Origin,
}

/// A vector turned a quarter counter-clockwise.
pub fn left(v: Vec2) -> Vec2 {
    Vec2::new(-v.y, v.x)
}

/// The vector of length one in the same direction; zero stays zero.
pub fn unit(v: Vec2) -> Vec2 {
    let length = v.hypot();
    if length > 0.0 { v / length } else { v }
}

impl Arc {
    /// The arc of at most a half turn from a to b; a line where they coincide. The radius
    /// is raised to half their distance if it is less.
    pub fn between(a: Point, b: Point, radius: f64, ccw: bool) -> Curve {
        let chord = b - a;
        let half = chord.hypot() / 2.0;
        if half <= 0.0 {
            return Curve::Line(Line::new(a, b));
        }
        let radius = radius.max(half);
        let rise = (radius * radius - half * half).sqrt();
        let to_left = if ccw { rise } else { -rise };
        let center = a.midpoint(b) + left(unit(chord)) * to_left;
        Curve::Arc(Arc { a, b, center, radius, ccw })
    }

    /// Signed sweep in radians, counter-clockwise positive.
    pub fn sweep(&self) -> f64 {
        let from = self.a - self.center;
        let to = self.b - self.center;
        let angle = from.cross(to).atan2(from.dot(to));
        match (self.ccw, angle >= 0.0) {
            (true, true) | (false, false) => angle,
            (true, false) => angle + 2.0 * PI,
            (false, true) => angle - 2.0 * PI,
        }
    }

    #[expect(
        clippy::float_cmp,
        reason = "the ends are given exactly, at exactly 0 and 1"
    )]
    fn eval(&self, t: f64) -> Point {
        if t == 0.0 {
            return self.a;
        }
        if t == 1.0 {
            return self.b;
        }
        self.center + turned(self.a - self.center, self.sweep() * t)
    }

    fn tangent(&self, t: f64) -> Vec2 {
        let out = turned(self.a - self.center, self.sweep() * t);
        unit(if self.ccw { left(out) } else { -left(out) })
    }

    /// Cubics of at most an eighth of a turn: radial error under 4e-6 of the radius.
    fn cubics(&self) -> impl Iterator<Item = CubicBez> + '_ {
        let sweep = self.sweep();
        let count = (sweep.abs() / FRAC_PI_4 - 1e-9).ceil().max(1.0);
        let handle = 4.0 / 3.0 * (sweep.abs() / count / 4.0).tan() * self.radius;
        (0..count as usize).map(move |i| {
            let (t0, t1) = (i as f64 / count, (i as f64 + 1.0) / count);
            let whole = Curve::Arc(*self);
            let (p, q) = (whole.eval(t0), whole.eval(t1));
            CubicBez::new(
                p,
                p + self.tangent(t0) * handle,
                q - self.tangent(t1) * handle,
                q,
            )
        })
    }
}

fn turned(v: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}

impl Curve {
    /// From a segment of a path; a cubic drawn as a circular arc becomes one, a straight
    /// cubic or quadratic becomes a line.
    pub fn from_segment(segment: PathSeg) -> Self {
        let cubic = match segment {
            PathSeg::Line(line) => return Self::Line(line),
            PathSeg::Quad(quad) => quad.raise(),
            PathSeg::Cubic(cubic) => cubic,
        };
        if is_straight(&cubic) {
            return Self::Line(Line::new(cubic.p0, cubic.p3));
        }
        as_arc(&cubic).map_or(Self::Cubic(cubic), Self::Arc)
    }

    /// First point.
    pub fn start(&self) -> Point {
        match self {
            Self::Line(line) => line.p0,
            Self::Arc(arc) => arc.a,
            Self::Cubic(cubic) => cubic.p0,
        }
    }

    /// Last point.
    pub fn end(&self) -> Point {
        match self {
            Self::Line(line) => line.p1,
            Self::Arc(arc) => arc.b,
            Self::Cubic(cubic) => cubic.p3,
        }
    }

    /// The point at t; the ends exactly.
    #[expect(
        clippy::float_cmp,
        reason = "the ends are given exactly, at exactly 0 and 1"
    )]
    pub fn eval(&self, t: f64) -> Point {
        if t == 0.0 {
            return self.start();
        }
        if t == 1.0 {
            return self.end();
        }
        match self {
            Self::Line(line) => line.eval(t),
            Self::Arc(arc) => arc.eval(t),
            Self::Cubic(cubic) => cubic.eval(t),
        }
    }

    /// The unit vector along the curve at t.
    pub fn tangent(&self, t: f64) -> Vec2 {
        match self {
            Self::Line(line) => unit(line.p1 - line.p0),
            Self::Arc(arc) => arc.tangent(t),
            Self::Cubic(cubic) => cubic_tangent(cubic, t),
        }
    }

    /// Signed curvature at t in 1/mm: positive where the curve bends left.
    pub fn curvature(&self, t: f64) -> f64 {
        match self {
            Self::Line(_) => 0.0,
            Self::Arc(arc) => {
                if arc.ccw {
                    1.0 / arc.radius
                } else {
                    -1.0 / arc.radius
                }
            }
            Self::Cubic(cubic) => {
                let first = cubic.deriv();
                let v = first.eval(t).to_vec2();
                let w = first.deriv().eval(t).to_vec2();
                let speed = v.hypot();
                if speed > 0.0 { v.cross(w) / (speed * speed * speed) } else { 0.0 }
            }
        }
    }

    /// The part from t0 to t1, which may lie outside 0..1: every curve goes on there.
    #[must_use]
    pub fn part(&self, t0: f64, t1: f64) -> Self {
        match self {
            Self::Line(line) => Self::Line(line.subsegment(t0..t1)),
            Self::Arc(arc) => {
                Self::Arc(Arc { a: self.eval(t0), b: self.eval(t1), ..*arc })
            }
            Self::Cubic(cubic) => Self::Cubic(cubic.subsegment(t0..t1)),
        }
    }

    /// The point of the curve nearest to p, to 1e-9 mm.
    pub fn nearest(&self, p: Point) -> Point {
        match self {
            Self::Line(line) => line.eval(line.nearest(p, 1e-9).t),
            Self::Cubic(cubic) => cubic.eval(cubic.nearest(p, 1e-9).t),
            Self::Arc(arc) => {
                let out = arc.center + unit(p - arc.center) * arc.radius;
                if arc_has(arc, out) { out } else { nearer(p, arc.a, arc.b) }
            }
        }
    }

    /// How often it passes the ray from a point to the right: up counts 1, down −1. Its ends
    /// count by one half-open rule, so that a closed row of curves passes as often up as down
    /// of any point outside, ends at the point's own height included.
    pub fn crossings(&self, p: Point) -> i32 {
        let box_ = self.bounds();
        if p.y < box_.y0 || p.y > box_.y1 || p.x > box_.x1 {
            return 0;
        }
        let mut count = 0;
        let mut from = (0.0, self.start());
        for to in self.level_places().into_iter().chain([1.0]) {
            let to = (to, self.eval(to));
            let (below, above) = (from.1.y <= p.y, to.1.y <= p.y);
            if below != above && self.right_of(p, [from.0, to.0], below) {
                count += if below { 1 } else { -1 };
            }
            from = to;
        }
        count
    }

    /// Where it runs level, between its ends, in order.
    fn level_places(&self) -> Vec<f64> {
        match self {
            Self::Line(_) => Vec::new(),
            Self::Arc(arc) => {
                let sweep = arc.sweep();
                let from = (arc.a - arc.center).atan2();
                let turns = (-4..=4).map(|k| FRAC_PI_2 + PI * f64::from(k));
                let mut places: Vec<f64> = turns
                    .map(|angle| (angle - from) / sweep)
                    .filter(|t| *t > 0.0 && *t < 1.0)
                    .collect();
                places.sort_by(f64::total_cmp);
                places
            }
            Self::Cubic(cubic) => cubic.extrema().into_iter().collect(),
        }
    }

    /// Where a part that only rises or only falls is at a point's height, it is right of it.
    fn right_of(&self, p: Point, [mut t0, mut t1]: [f64; 2], rises: bool) -> bool {
        if let Self::Line(line) = self {
            let (a, b) = if rises { (line.p0, line.p1) } else { (line.p1, line.p0) };
            return (b - a).cross(p - a) > 0.0;
        }
        for _ in 0..60 {
            let t = f64::midpoint(t0, t1);
            if (self.eval(t).y <= p.y) == rises { t0 = t } else { t1 = t }
        }
        self.eval(f64::midpoint(t0, t1)).x > p.x
    }

    /// Run through backwards.
    #[must_use]
    pub fn reversed(&self) -> Self {
        match *self {
            Self::Line(line) => Self::Line(Line::new(line.p1, line.p0)),
            Self::Arc(arc) => Self::Arc(Arc { a: arc.b, b: arc.a, ccw: !arc.ccw, ..arc }),
            Self::Cubic(c) => Self::Cubic(CubicBez::new(c.p3, c.p2, c.p1, c.p0)),
        }
    }

    /// With its ends moved to given points (meant for moves far below a tolerance).
    #[must_use]
    pub fn welded(&self, start: Point, end: Point) -> Self {
        match *self {
            Self::Line(_) => Self::Line(Line::new(start, end)),
            Self::Arc(arc) => welded_arc(arc, start, end),
            Self::Cubic(c) => {
                let (da, db) = (start - c.p0, end - c.p3);
                Self::Cubic(CubicBez::new(start, c.p1 + da, c.p2 + db, end))
            }
        }
    }

    /// Moved by an affine map; an arc stays one under similarities only.
    pub fn transformed(&self, affine: Affine) -> Vec<Self> {
        match self {
            Self::Line(line) => vec![Self::Line(affine * *line)],
            Self::Cubic(cubic) => vec![Self::Cubic(affine * *cubic)],
            Self::Arc(arc) => transformed_arc(arc, affine),
        }
    }

    /// Contribution to the area on the left of a closed contour (Green's theorem), mm².
    pub fn signed_area(&self) -> f64 {
        match self {
            Self::Line(line) => line.signed_area(),
            Self::Cubic(cubic) => cubic.signed_area(),
            Self::Arc(arc) => {
                let sweep = arc.sweep();
                let chord = Line::new(arc.a, arc.b).signed_area();
                chord + arc.radius * arc.radius * (sweep - sweep.sin()) / 2.0
            }
        }
    }

    /// Length in mm, to 1e-6.
    pub fn length(&self) -> f64 {
        match self {
            Self::Line(line) => (line.p1 - line.p0).hypot(),
            Self::Arc(arc) => arc.radius * arc.sweep().abs(),
            Self::Cubic(cubic) => cubic.arclen(1e-6),
        }
    }

    /// A box around it (not always the smallest).
    pub fn bounds(&self) -> Rect {
        let mut rect = Rect::from_points(self.start(), self.end());
        match self {
            Self::Line(_) => {}
            Self::Arc(arc) => {
                for quarter in 0..4 {
                    let way = Vec2::from_angle(f64::from(quarter) * FRAC_PI_2);
                    let point = arc.center + way * arc.radius;
                    if arc_has(arc, point) {
                        rect = rect.union_pt(point);
                    }
                }
            }
            Self::Cubic(cubic) => {
                rect = rect.union_pt(cubic.p1).union_pt(cubic.p2);
            }
        }
        rect
    }

    /// Appends it to a path that ends where it starts.
    pub fn append_to(&self, path: &mut BezPath) {
        match self {
            Self::Line(line) => path.line_to(line.p1),
            Self::Cubic(cubic) => path.curve_to(cubic.p1, cubic.p2, cubic.p3),
            Self::Arc(arc) => {
                for cubic in arc.cubics() {
                    path.curve_to(cubic.p1, cubic.p2, cubic.p3);
                }
            }
        }
    }
}

fn nearer(p: Point, a: Point, b: Point) -> Point {
    if (a - p).hypot2() <= (b - p).hypot2() { a } else { b }
}

/// A point of the arc's circle lies on the arc.
fn arc_has(arc: &Arc, point: Point) -> bool {
    let chord = arc.b - arc.a;
    let side = chord.cross(point - arc.a);
    if arc.ccw { side <= 0.0 } else { side >= 0.0 }
}

/// The arc through moved ends with the same radius.
fn welded_arc(arc: Arc, start: Point, end: Point) -> Curve {
    if start == arc.a && end == arc.b {
        return Curve::Arc(arc);
    }
    if arc.sweep().abs() > PI {
        return Curve::Arc(Arc { a: start, b: end, ..arc });
    }
    Arc::between(start, end, arc.radius, arc.ccw)
}

fn transformed_arc(arc: &Arc, affine: Affine) -> Vec<Curve> {
    let [a, b, c, d, _, _] = affine.as_coeffs();
    let scale = a.hypot(b);
    let turning = (a - d).abs() <= 1e-12 * scale && (b + c).abs() <= 1e-12 * scale;
    let mirroring = (a + d).abs() <= 1e-12 * scale && (b - c).abs() <= 1e-12 * scale;
    if turning || mirroring {
        return vec![Curve::Arc(Arc {
            a: affine * arc.a,
            b: affine * arc.b,
            center: affine * arc.center,
            radius: arc.radius * scale,
            ccw: arc.ccw == turning,
        })];
    }
    // An ellipse: short cubics, so that the curvature stays within 1e-5 of the true one.
    let sweep = arc.sweep();
    let count = (sweep.abs() / (PI / 16.0)).ceil().max(1.0);
    (0..count as usize)
        .flat_map(|i| {
            let (t0, t1) = (i as f64 / count, (i as f64 + 1.0) / count);
            let whole = Curve::Arc(*arc);
            let part = Arc { a: whole.eval(t0), b: whole.eval(t1), ..*arc };
            part.cubics().map(|cubic| Curve::Cubic(affine * cubic)).collect::<Vec<_>>()
        })
        .collect()
}

fn cubic_tangent(cubic: &CubicBez, t: f64) -> Vec2 {
    let v = cubic.deriv().eval(t).to_vec2();
    let size = (cubic.p3 - cubic.p0).hypot() + (cubic.p1 - cubic.p2).hypot();
    if v.hypot() > 1e-9 * size {
        return unit(v);
    }
    // A control point on its end: the direction is that of the next one.
    let nudged = if t < 0.5 { t + 1e-4 } else { t - 1e-4 };
    unit(cubic.deriv().eval(nudged).to_vec2())
}

/// A straight cubic's ends turn off the chord by less than this, radians: two of them in a
/// row must not make a corner of a smooth curve.
const STRAIGHT_TURN: f64 = 4e-6;

/// All control points within 1e-7 mm of the chord, in order, and no end turned off it.
fn is_straight(cubic: &CubicBez) -> bool {
    let chord = cubic.p3 - cubic.p0;
    let length = chord.hypot();
    if length == 0.0 {
        return false;
    }
    [cubic.p1, cubic.p2].iter().all(|p| {
        let v = *p - cubic.p0;
        let (along, off) = (v.dot(chord) / length, v.cross(chord).abs() / length);
        let handle = along.abs().min((length - along).abs());
        let flat = off < 1e-7 && off <= STRAIGHT_TURN * handle + 1e-12;
        flat && (-1e-7..=length + 1e-7).contains(&along)
    })
}

/// Handles of a quarter turn may differ by this share from the usual length: wide enough for
/// the constants in use (0.5519 to 0.5523), far too narrow for any other quarter drawn.
const QUARTER_SLACK: f64 = 1.5e-3;

/// The same for any other sweep: rounding only, so that no piece of an ellipse is taken for
/// a circle.
const ARC_SLACK: f64 = 1e-6;

/// Recognises the usual cubic for a circular arc of up to a quarter turn: ends and handles
/// symmetric, handle length 4/3 tan(sweep/4) radius.
fn as_arc(cubic: &CubicBez) -> Option<Arc> {
    let (h0, h1) = (cubic.p1 - cubic.p0, cubic.p3 - cubic.p2);
    let chord = cubic.p3 - cubic.p0;
    let (l0, l1, length) = (h0.hypot(), h1.hypot(), chord.hypot());
    if l0.min(l1) <= 0.0 || length <= 0.0 {
        return None;
    }
    let (t0, t1) = (h0 / l0, h1 / l1);
    let sweep = t0.cross(t1).atan2(t0.dot(t1));
    let size = sweep.abs();
    if !(1e-3..=FRAC_PI_2 + 1e-3).contains(&size) {
        return None;
    }
    let quarter = (size - FRAC_PI_2).abs() < 1e-3;
    let slack = if quarter { QUARTER_SLACK } else { ARC_SLACK };
    let lead = t0.cross(chord).atan2(t0.dot(chord));
    if (lead - sweep / 2.0).abs() > slack * size || (l0 - l1).abs() > slack * l0 {
        return None;
    }
    let radius = length / 2.0 / (size / 2.0).sin();
    let handle = 4.0 / 3.0 * (size / 4.0).tan() * radius;
    if (l0 / handle - 1.0).abs() > slack {
        return None;
    }
    let rise = (radius * radius - length * length / 4.0).max(0.0).sqrt();
    let to_left = if sweep > 0.0 { rise } else { -rise };
    let center = cubic.p0.midpoint(cubic.p3) + left(chord / length) * to_left;
    Some(Arc { a: cubic.p0, b: cubic.p3, center, radius, ccw: sweep > 0.0 })
}
