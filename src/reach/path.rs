//! The path of a disc's centre as it rolls along one element, and where it meets things.

use super::walk::{Element, Walk};
use crate::curve::arcs::Bend;
use crate::curve::{Point, Rect, Vec2, left};
use std::f64::consts::TAU;

/// A straight or circular path, run through from u = 0 to u = 1.
#[derive(Clone, Copy, Debug)]
pub(super) enum Path {
    Line { from: Point, along: Vec2 },
    Arc { center: Point, radius: f64, from: Vec2, sweep: f64 },
}

/// A path that misses by this share counts as touching: a root too many does no harm, one
/// too few hides a stretch on either side.
const TANGENT: f64 = 1e-9;

impl Path {
    /// The path of a disc of radius c on the right of an element. A bend toward the cutter
    /// must not be sharper than c.
    pub(super) fn new(walk: &Walk, element: Element, c: f64) -> Option<Self> {
        match element {
            Element::Corner { .. } => None,
            Element::Fan { at, from, sweep, .. } => {
                Some(Self::Arc { center: at, radius: c, from, sweep })
            }
            Element::Along(index) => {
                Some(Self::along(&walk.bends[index as usize].bend, c))
            }
        }
    }

    fn along(bend: &Bend, c: f64) -> Self {
        let normal = left(bend.ta);
        if bend.curvature == 0.0 {
            return Self::Line { from: bend.a - normal * c, along: bend.b - bend.a };
        }
        let center = bend.a + normal / bend.curvature;
        // from the middle to the bend: away from its left normal when it bends left
        let outward = if bend.curvature > 0.0 { -normal } else { normal };
        let own = 1.0 / bend.curvature.abs();
        let radius = if bend.curvature > 0.0 { own + c } else { (own - c).max(0.0) };
        Self::Arc { center, radius, from: outward, sweep: bend.curvature * bend.length }
    }

    pub(super) fn eval(&self, u: f64) -> Point {
        match *self {
            Self::Line { from, along } => from + along * u,
            Self::Arc { center, radius, from, sweep } => {
                center + turn(from, sweep * u) * radius
            }
        }
    }

    /// Its length, mm.
    pub(super) fn length(&self) -> f64 {
        match *self {
            Self::Line { along, .. } => along.hypot(),
            Self::Arc { radius, sweep, .. } => radius * sweep.abs(),
        }
    }

    /// A box around it.
    pub(super) fn bounds(&self) -> Rect {
        let ends = Rect::from_points(self.eval(0.0), self.eval(1.0));
        match *self {
            Self::Line { .. } => ends,
            Self::Arc { radius, sweep, .. } if sweep.abs() < 3.0 => {
                // how far the arc rises over its chord, all round
                let rise = radius * (1.0 - (sweep / 2.0).cos());
                ends.inflate(rise, rise)
            }
            Self::Arc { center, radius, .. } => {
                Rect::from_center_size(center, (2.0 * radius, 2.0 * radius))
            }
        }
    }

    /// Shares u inside 0..1 at which the path crosses a circle.
    pub(super) fn meet_circle(&self, center: Point, radius: f64, out: &mut Roots) {
        match *self {
            Self::Line { from, along } => {
                let w = from - center;
                let (a, b) = (along.hypot2(), along.dot(w));
                let k = w.hypot2() - radius * radius;
                let root = b * b - a * k;
                if root < -TANGENT * b * b || a <= 0.0 {
                    return;
                }
                let q = -(b + b.signum() * root.max(0.0).sqrt());
                out.push(q / a);
                if q != 0.0 {
                    out.push(k / q);
                }
            }
            Self::Arc { center: own, radius: r, .. } => {
                let w = center - own;
                let distance = w.hypot();
                if distance <= 1e-12 || r <= 0.0 {
                    return;
                }
                let cos = (distance * distance + r * r - radius * radius)
                    / (2.0 * distance * r);
                self.meet_directions(w / distance, cos, out);
            }
        }
    }

    /// Shares u inside 0..1 at which the path crosses the line m·x = k, m a unit vector.
    pub(super) fn meet_line(&self, m: Vec2, k: f64, out: &mut Roots) {
        match *self {
            Self::Line { from, along } => {
                let slope = m.dot(along);
                if slope != 0.0 {
                    out.push((k - m.dot(from.to_vec2())) / slope);
                }
            }
            Self::Arc { center, radius, .. } => {
                if radius > 0.0 {
                    self.meet_directions(m, (k - m.dot(center.to_vec2())) / radius, out);
                }
            }
        }
    }

    /// Directions from the middle that make an angle of this cosine with `way`.
    fn meet_directions(&self, way: Vec2, cos: f64, out: &mut Roots) {
        let Self::Arc { from, sweep, .. } = *self else { return };
        if cos.abs() > 1.0 + TANGENT {
            return;
        }
        let angle = cos.clamp(-1.0, 1.0).acos();
        for side in [angle, -angle] {
            let direction = turn(way, side);
            let mut at = from.cross(direction).atan2(from.dot(direction));
            if sweep < 0.0 {
                at = -at;
            }
            if at < 0.0 {
                at += TAU;
            }
            out.push(at / sweep.abs());
        }
    }
}

/// A few shares u strictly inside 0..1.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Roots {
    values: [f64; 10],
    count: usize,
}

impl Roots {
    fn push(&mut self, u: f64) {
        if u > 0.0 && u < 1.0 && self.count < self.values.len() {
            self.values[self.count] = u;
            self.count += 1;
        }
    }

    pub(super) fn sorted(&mut self) -> &[f64] {
        let values = &mut self.values[..self.count];
        values.sort_by(f64::total_cmp);
        values
    }
}

/// A vector turned counter-clockwise by an angle in radians.
pub(super) fn turn(v: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}
