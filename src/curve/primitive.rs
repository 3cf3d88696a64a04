//! Primitives as Bézier paths.
//!
//! Every path but the spiral is one closed curve, counter-clockwise, in mm, x right and y up. Numbers that
//! do not make sense are a [`DrawFault`], never a panic.

use super::smooth::Smooth;
use crate::units::brief;
use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, TAU};

/// No primitive has more tips, petals or copies.
pub const COUNT_LIMIT: u32 = 500;

/// An arc spans at least so many degrees.
const LEAST_SPAN: f64 = 1.0;

/// An arc spans at most so many degrees; beyond it draw a circle.
const MOST_SPAN: f64 = 350.0;

/// No spiral turns more often.
const MOST_TURNS: f64 = 50.0;

/// No coordinate or length may be larger, mm.
const LENGTH_LIMIT: f64 = super::COORDINATE_LIMIT;

/// Why something cannot be drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrawFault {
    /// What is wrong, lower case, no full stop.
    pub what: String,
    /// What would be right, in a few words.
    pub expected: String,
}

impl DrawFault {
    /// A fault and what would be right.
    pub fn new(what: impl Into<String>, expected: impl Into<String>) -> Self {
        Self { what: what.into(), expected: expected.into() }
    }
}

impl std::fmt::Display for DrawFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}; expected {}", self.what, self.expected)
    }
}

/// A circle in eight arcs; radial error under 4e-6 of the radius.
pub fn circle(center: Point, radius: f64) -> Result<BezPath, DrawFault> {
    placed(center)?;
    length("the radius", radius)?;
    let mut path = BezPath::new();
    path.move_to(center + Vec2::new(radius, 0.0));
    for eighth in 0..8 {
        arc_to(&mut path, center, radius, f64::from(eighth) * FRAC_PI_4);
    }
    path.close_path();
    Ok(path)
}

/// Adds an eighth of a circle from the given angle on.
fn arc_to(path: &mut BezPath, center: Point, radius: f64, from: f64) {
    let handle = 4.0 / 3.0 * (FRAC_PI_4 / 4.0).tan() * radius;
    let (p, q) = (Vec2::from_angle(from), Vec2::from_angle(from + FRAC_PI_4));
    let start = center + p * radius + p.turn_90() * handle;
    let end = center + q * radius;
    path.curve_to(start, end - q.turn_90() * handle, end);
}

/// An ellipse with axes right and up, within 0.0005 mm.
pub fn ellipse(center: Point, a: f64, b: f64) -> Result<BezPath, DrawFault> {
    placed(center)?;
    length("the half axis", a)?;
    length("the half axis", b)?;
    if (a - b).abs() <= 1e-9 * a {
        return circle(center, a);
    }
    let at = |t: f64| {
        let (sin, cos) = t.sin_cos();
        (center + Vec2::new(a * cos, b * sin), Vec2::new(-a * sin, b * cos))
    };
    Ok(around(&Smooth { at }, 16, TAU / 16.0))
}

/// A closed curve in equal spans of its parameter from 0 on.
fn around<F>(curve: &Smooth<F>, spans: u32, step: f64) -> BezPath
where
    F: Fn(f64) -> (Point, Vec2),
{
    let mut path = BezPath::new();
    path.move_to((curve.at)(0.0).0);
    for i in 0..spans {
        curve.span(&mut path, f64::from(i) * step..f64::from(i + 1) * step);
    }
    path.close_path();
    path
}

/// A rectangle, its corners rounded if the radius is above zero.
pub fn rectangle(
    center: Point,
    width: f64,
    height: f64,
    radius: f64,
) -> Result<BezPath, DrawFault> {
    placed(center)?;
    length("the width", width)?;
    length("the height", height)?;
    let most = width.min(height) / 2.0;
    if !(0.0..=most * (1.0 + 1e-12)).contains(&radius) {
        return Err(DrawFault::new(
            format!("the corner radius is {} mm", brief(radius)),
            format!("0 to {most} mm, half of the shorter side"),
        ));
    }
    if radius <= 0.0 {
        return Ok(closed(&corners(center, width / 2.0, height / 2.0)));
    }
    let middles = corners(center, width / 2.0 - radius, height / 2.0 - radius);
    let mut path = BezPath::new();
    for (quarter, middle) in (0..4).zip(middles) {
        let from = f64::from(quarter) * FRAC_PI_2;
        let start = middle + Vec2::from_angle(from) * radius;
        if quarter == 0 {
            path.move_to(start);
        } else {
            path.line_to(start);
        }
        arc_to(&mut path, middle, radius, from);
        arc_to(&mut path, middle, radius, from + FRAC_PI_4);
    }
    path.close_path();
    Ok(path)
}

/// The corners of a rectangle, the upper right one first, counter-clockwise.
fn corners(center: Point, x: f64, y: f64) -> [Point; 4] {
    [(x, y), (-x, y), (-x, -y), (x, -y)].map(|(x, y)| center + Vec2::new(x, y))
}

/// A closed polygon; turned counter-clockwise if its area says otherwise.
pub fn polygon(points: &[Point]) -> Result<BezPath, DrawFault> {
    if points.len() < 3 {
        return Err(DrawFault::new(
            format!("a polygon of {} points", points.len()),
            "three points or more",
        ));
    }
    for point in points {
        placed(*point)?;
    }
    Ok(closed(points))
}

/// The points joined, counter-clockwise.
fn closed(points: &[Point]) -> BezPath {
    let next = points.iter().skip(1).chain(points.first());
    let area: f64 =
        points.iter().zip(next).map(|(p, q)| p.to_vec2().cross(q.to_vec2())).sum();
    let mut path = BezPath::new();
    let mut ordered: Vec<Point> = points.to_vec();
    if area < 0.0 {
        ordered.reverse();
    }
    for (i, point) in ordered.into_iter().enumerate() {
        if i == 0 {
            path.move_to(point);
        } else {
            path.line_to(point);
        }
    }
    path.close_path();
    path
}

/// A star with straight edges and so many tips, the first one pointing up.
pub fn star(
    center: Point,
    points: f64,
    outer: f64,
    inner: f64,
) -> Result<BezPath, DrawFault> {
    placed(center)?;
    let tips = count("tips", points, 2)?;
    length("the outer radius", outer)?;
    length("the inner radius", inner)?;
    if inner > outer {
        return Err(DrawFault::new(
            format!("the inner radius {inner} mm is larger than the outer {outer} mm"),
            "an inner radius of at most the outer one",
        ));
    }
    let corner = |i: u32| {
        let angle = FRAC_PI_2 + f64::from(i) * PI / f64::from(tips);
        let radius = if i.is_multiple_of(2) { outer } else { inner };
        center + Vec2::from_angle(angle) * radius
    };
    Ok(closed(&(0..2 * tips).map(corner).collect::<Vec<_>>()))
}

/// A flower, `r = radius + depth * cos(petals * t)`, within 0.0005 mm; the first petal points
/// right.
pub fn petals(
    center: Point,
    petals: f64,
    radius: f64,
    depth: f64,
) -> Result<BezPath, DrawFault> {
    placed(center)?;
    let count = count("petals", petals, 1)?;
    length("the mean radius", radius)?;
    if !(0.0..=radius).contains(&depth) {
        return Err(DrawFault::new(
            format!("the depth of the petals is {} mm", brief(depth)),
            format!("0 to {radius} mm, the mean radius"),
        ));
    }
    let n = f64::from(count);
    let at = |t: f64| {
        let (sin, cos) = (n * t).sin_cos();
        let out = Vec2::from_angle(t);
        let r = radius + depth * cos;
        (center + out * r, out.turn_90() * r - out * (n * depth * sin))
    };
    // Spans end at every tip and valley, where the curvature is greatest.
    Ok(around(&Smooth { at }, 8 * count, PI / (4.0 * n)))
}

/// The curve `|x/a|^n + |y/b|^n = 1`, within 0.0005 mm.
pub fn superellipse(
    center: Point,
    a: f64,
    b: f64,
    exponent: f64,
) -> Result<BezPath, DrawFault> {
    placed(center)?;
    length("the half axis", a)?;
    length("the half axis", b)?;
    if !(0.5..=20.0).contains(&exponent) {
        return Err(DrawFault::new(
            format!("the exponent is {exponent}"),
            "0.5 (a pointed star) to 20 (nearly a rectangle)",
        ));
    }
    let mut path = BezPath::new();
    path.move_to(center + Vec2::new(a, 0.0));
    for number in 0..4 {
        quarter_of(&mut path, Quarter { center, a, b, exponent, number });
    }
    path.close_path();
    Ok(path)
}

/// One quarter of a superellipse.
#[derive(Clone, Copy)]
struct Quarter {
    center: Point,
    a: f64,
    b: f64,
    exponent: f64,
    number: u8,
}

impl Quarter {
    /// From the axes' own frame, along the first and the second axis, to the plane.
    fn turned(self, v: Vec2) -> Vec2 {
        match self.number {
            0 => v,
            1 => Vec2::new(-v.y, v.x),
            2 => -v,
            _ => Vec2::new(v.y, -v.x),
        }
    }

    /// Half axes along the quarter's first and second axis.
    fn axes(self) -> (f64, f64) {
        if self.number.is_multiple_of(2) { (self.a, self.b) } else { (self.b, self.a) }
    }

    /// Shares of the half axes, and their change, at `u` from the axis point (u = 0, where
    /// the first share is 0) to the diagonal (u = 1). The parameter is the share itself where
    /// the curve leaves the axis square to it, else the share's power.
    fn shares(self, u: f64) -> (Vec2, Vec2) {
        let n = self.exponent;
        if n >= 1.0 {
            let most = 0.5_f64.powf(1.0 / n);
            let x = most * u;
            let rest = 1.0 - x.powf(n);
            let y = rest.powf(1.0 / n);
            let slope = if n > 1.0 || x > 0.0 { -x.powf(n - 1.0) } else { -1.0 };
            (Vec2::new(x, y), Vec2::new(1.0, slope * rest.powf(1.0 / n - 1.0)) * most)
        } else {
            let (p, q) = (u / 2.0, 1.0 - u / 2.0);
            let power = 1.0 / n;
            let place = Vec2::new(p.powf(power), q.powf(power));
            let change = Vec2::new(p.powf(power - 1.0), -q.powf(power - 1.0));
            (place, change * (power / 2.0))
        }
    }
}

/// Adds one quarter: from the first axis to the diagonal, then to the second axis.
fn quarter_of(path: &mut BezPath, quarter: Quarter) {
    let (first, second) = quarter.axes();
    let near = |t: f64| {
        let (share, change) = quarter.shares(t);
        let place = Vec2::new(first * share.y, second * share.x);
        let along = Vec2::new(first * change.y, second * change.x);
        (quarter.center + quarter.turned(place), quarter.turned(along))
    };
    let far = |t: f64| {
        let (share, change) = quarter.shares(1.0 - t);
        let place = Vec2::new(first * share.x, second * share.y);
        let along = Vec2::new(-first * change.x, -second * change.y);
        (quarter.center + quarter.turned(place), quarter.turned(along))
    };
    Smooth { at: near }.span(path, 0.0..1.0);
    Smooth { at: far }.span(path, 0.0..1.0);
}

/// An Archimedean spiral, within 0.0005 mm, open: from one radius to another in so many
/// turns, counter-clockwise or, if negative, clockwise; `start` in degrees from the x axis.
pub fn spiral(
    center: Point,
    [from, to]: [f64; 2],
    turns: f64,
    start: f64,
) -> Result<BezPath, DrawFault> {
    placed(center)?;
    for radius in [from, to] {
        if !(0.0..=LENGTH_LIMIT).contains(&radius) {
            return Err(DrawFault::new(
                format!("a radius of the spiral is {} mm", brief(radius)),
                format!("0 to {LENGTH_LIMIT} mm"),
            ));
        }
    }
    if !(0.05..=MOST_TURNS).contains(&turns.abs()) || from.max(to) <= 1e-6 {
        return Err(DrawFault::new(
            format!("the spiral makes {} turns to {} mm", brief(turns), brief(to)),
            format!("0.05 to {MOST_TURNS} turns, a radius above 0"),
        ));
    }
    let (growth, start) = (to - from, start.rem_euclid(360.0).to_radians());
    let at = |t: f64| {
        let out = Vec2::from_angle(start + TAU * turns * t);
        let r = from + growth * t;
        (center + out * r, out * growth + out.turn_90() * (r * TAU * turns))
    };
    let (curve, spans) = (Smooth { at }, (turns.abs() * 8.0).ceil());
    let mut path = BezPath::new();
    path.move_to((curve.at)(0.0).0);
    for i in 0..spans as u32 {
        curve.span(&mut path, f64::from(i) / spans..f64::from(i + 1) / spans);
    }
    Ok(path)
}

/// Part of a circle, within 0.0001 mm, open: `span` degrees about the direction `middle`,
/// clockwise or, with `inside`, counter-clockwise. What stands on it then has its head outside
/// or inside the circle.
pub fn arc(
    center: Point,
    radius: f64,
    [middle, span]: [f64; 2],
    inside: bool,
) -> Result<BezPath, DrawFault> {
    placed(center)?;
    length("the radius", radius)?;
    if !(LEAST_SPAN..=MOST_SPAN).contains(&span) {
        return Err(DrawFault::new(
            format!("the arc spans {}°", brief(span)),
            format!("{LEAST_SPAN} to {MOST_SPAN} degrees"),
        ));
    }
    let side = if inside { 1.0 } else { -1.0 };
    let pieces = (span / 45.0).ceil();
    let step = side * (span / pieces).to_radians();
    let start = middle.rem_euclid(360.0).to_radians() - side * span.to_radians() / 2.0;
    let handle = 4.0 / 3.0 * (step / 4.0).tan() * radius;
    let mut path = BezPath::new();
    path.move_to(center + Vec2::from_angle(start) * radius);
    for piece in 0..pieces as u32 {
        let from = start + step * f64::from(piece);
        let (p, q) = (Vec2::from_angle(from), Vec2::from_angle(from + step));
        let end = center + q * radius;
        let (first, second) = (p.turn_90() * handle, q.turn_90() * handle);
        path.curve_to(center + p * radius + first, end - second, end);
    }
    Ok(path)
}

/// A whole number of things: rounded, at least `least`, at most [`COUNT_LIMIT`].
pub fn count(of: &str, value: f64, least: u32) -> Result<u32, DrawFault> {
    let rounded = value.round();
    if (f64::from(least)..=f64::from(COUNT_LIMIT)).contains(&rounded) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "whole and within 0..=500"
        )]
        return Ok(rounded as u32);
    }
    Err(DrawFault::new(
        format!("{} {of}", brief(value)),
        format!("{least} to {COUNT_LIMIT} {of}"),
    ))
}

/// A length above zero and of workshop size.
fn length(of: &str, value: f64) -> Result<(), DrawFault> {
    if value > 1e-6 && value <= LENGTH_LIMIT {
        return Ok(());
    }
    Err(DrawFault::new(
        format!("{of} is {} mm", brief(value)),
        format!("more than 0 and at most {LENGTH_LIMIT} mm"),
    ))
}

/// A point within the workshop.
pub(super) fn placed(point: Point) -> Result<(), DrawFault> {
    if point.x.abs() <= LENGTH_LIMIT && point.y.abs() <= LENGTH_LIMIT {
        return Ok(());
    }
    Err(DrawFault::new(
        format!("the point {}, {}", brief(point.x), brief(point.y)),
        format!("coordinates of at most {LENGTH_LIMIT} mm"),
    ))
}
