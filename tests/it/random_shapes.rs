//! Random regions with corners, gaps and necks at, just above and just below a cutter's size,
//! from a seeded generator of our own, so that every run draws the same ones.

use std::f64::consts::{PI, TAU};
use treen::curve::primitive::{
    circle, ellipse, petals, polygon, rectangle, superellipse,
};
use treen::curve::spline::{Spline, through};
use treen::curve::{Affine, BezPath, Origin, Point, Region, Vec2};

/// Splitmix64 (S. Vigna, public domain, from memory).
pub(crate) struct Dice(pub u64);

impl Dice {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Evenly from `lo` to `hi`.
    pub(crate) fn between(&mut self, lo: f64, hi: f64) -> f64 {
        lo + (hi - lo) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn below(&mut self, count: u64) -> u64 {
        self.next() % count
    }

    /// 0.001 to 0.02 mm, either way.
    pub(crate) fn hair(&mut self) -> f64 {
        let size = self.between(0.001, 0.02);
        if self.below(2) == 0 { size } else { -size }
    }
}

/// A region to be asked about.
pub(crate) struct Case {
    pub kind: usize,
    pub region: Region,
    /// 1 seen from outside, −1 from inside.
    pub side: f64,
    /// The size at which something was planted, mm.
    pub radius: f64,
}

/// A kind of shape, drawn for a cutter of radius c; says from which side to look.
type Draw = fn(&mut Dice, f64) -> Option<(Region, f64)>;

pub(crate) const KINDS: [(&str, Draw); 14] = [
    ("filleted polygon", filleted),
    ("planted fillet", planted_fillet),
    ("union of discs", discs),
    ("difference of discs", bites),
    ("rounded rectangle", rounded),
    ("flower", flower),
    ("superellipse", bulging),
    ("ellipse", oval),
    ("spline", curvy),
    ("slot", slot),
    ("neck of discs", neck),
    ("gap of discs", gap),
    ("corner and edge", corner_and_edge),
    ("spline gap", spline_gap),
];

/// The case of a number; `None` where the dice drew nothing with an area.
pub(crate) fn case(number: u64) -> Option<Case> {
    let mut dice = Dice(number.wrapping_mul(0x2545_f491_4f6c_dd1d) ^ 0x5eed);
    let kind = (number % KINDS.len() as u64) as usize;
    let radius = dice.between(0.5, 7.0);
    let (region, side) = KINDS[kind].1(&mut dice, radius)?;
    let turn = Affine::rotate(dice.between(0.0, TAU));
    let mirror = if dice.below(2) == 0 { Affine::IDENTITY } else { Affine::FLIP_Y };
    let shift = Affine::translate((dice.between(-90.0, 90.0), dice.between(-90.0, 90.0)));
    Some(Case { kind, region: region.transformed(shift * turn * mirror), side, radius })
}

const O: Origin = Origin(0);

fn fill(path: &BezPath) -> Option<Region> {
    Region::filled(path, O).ok()
}

fn either(dice: &mut Dice) -> f64 {
    if dice.below(2) == 0 { 1.0 } else { -1.0 }
}

/// Corners at rising angles round the middle.
fn corners(dice: &mut Dice, count: u64, (near, far): (f64, f64)) -> Vec<Point> {
    (0..count)
        .map(|i| {
            let step = TAU / count as f64;
            let angle = (i as f64 + dice.between(0.1, 0.9)) * step;
            Point::ORIGIN + Vec2::from_angle(angle) * dice.between(near, far)
        })
        .collect()
}

/// A closed polygon with every corner rounded by its radius, or by what fits there.
fn round_off(points: &[Point], radius: impl Fn(usize) -> f64) -> BezPath {
    let count = points.len();
    let mut path = BezPath::new();
    for (i, &at) in points.iter().enumerate() {
        let (before, after) = (points[(i + count - 1) % count], points[(i + 1) % count]);
        let (a, b) = ((before - at).normalize(), (after - at).normalize());
        let half = a.cross(b).abs().atan2(a.dot(b)) / 2.0;
        let room = 0.49 * (before - at).hypot().min((after - at).hypot());
        let r = radius(i).min(room * half.tan());
        let back = r / half.tan();
        let (from, to) = (at + a * back, at + b * back);
        if i == 0 {
            path.move_to(from);
        } else {
            path.line_to(from);
        }
        let count = ((PI - 2.0 * half) / (PI / 8.0)).ceil().max(1.0);
        let step = (PI - 2.0 * half) / count;
        let center = at + (a + b).normalize() * (r / half.sin());
        let turn = if a.cross(b) > 0.0 { -1.0 } else { 1.0 };
        let handle = 4.0 / 3.0 * (step / 4.0).tan() * r;
        let mut out = from - center;
        let mut here = from;
        for k in 0..count as usize {
            let (sin, cos) = (turn * step).sin_cos();
            let next = Vec2::new(out.x * cos - out.y * sin, out.x * sin + out.y * cos);
            let end = if k + 1 == count as usize { to } else { center + next };
            let along = |v: Vec2| Vec2::new(-v.y, v.x) * (turn / v.hypot() * handle);
            path.curve_to(here + along(out), end - along(next), end);
            (out, here) = (next, end);
        }
    }
    path.close_path();
    path
}

fn filleted(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let count = 4 + dice.below(6);
    let points = corners(dice, count, (12.0, 60.0));
    let radii: Vec<f64> = points.iter().map(|_| c * dice.between(0.8, 3.0)).collect();
    Some((fill(&round_off(&points, |i| radii[i]))?, either(dice)))
}

/// An L with its inside corner at the cutter's size, all else wider; or a rectangle seen from
/// inside with one such corner.
fn planted_fillet(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let planted = c + dice.hair();
    let side = either(dice);
    let lean = dice.between(-12.0, 12.0);
    let p = Point::new;
    let points = if side > 0.0 {
        let (x, y) = (dice.between(30.0, 50.0), dice.between(30.0, 50.0));
        let end = p(x + 45.0, lean);
        vec![
            p(0.0, 0.0),
            end,
            end + Vec2::new(0.0, y),
            p(x, y),
            p(x + lean, y + 45.0),
            p(0.0, y + 45.0),
        ]
    } else {
        vec![p(0.0, 0.0), p(60.0, lean), p(60.0, 50.0), p(lean, 50.0)]
    };
    let place = if side > 0.0 { 3 } else { dice.below(4) as usize };
    let radius = |i| if i == place { planted } else { planted + 1.5 };
    Some((fill(&round_off(&points, radius))?, side))
}

fn disc(center: Point, radius: f64) -> Option<Region> {
    fill(&circle(center, radius).ok()?)
}

fn discs(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let mut region = Region::default();
    for _ in 0..2 + dice.below(4) {
        let center = Point::new(dice.between(-25.0, 25.0), dice.between(-25.0, 25.0));
        region = region.unite(&disc(center, c * dice.between(1.0, 4.0) + 2.0)?);
    }
    Some((region, if dice.below(8) == 0 { 1.0 } else { -1.0 }))
}

fn bites(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let mut region = disc(Point::ORIGIN, 35.0 + c)?;
    for _ in 0..=dice.below(4) {
        let center = Point::new(dice.between(-45.0, 45.0), dice.between(-45.0, 45.0));
        region = region.cut(&disc(center, c * dice.between(1.0, 3.0))?);
    }
    (!region.is_empty()).then_some((region, if dice.below(8) == 0 { -1.0 } else { 1.0 }))
}

fn rounded(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let r = c + dice.hair();
    let (w, h) = (2.0 * r + dice.between(0.0, 60.0), 2.0 * r + dice.between(0.0, 60.0));
    Some((fill(&rectangle(Point::ORIGIN, w, h, r).ok()?)?, -1.0))
}

/// Seen from outside its valleys are planted: curvature (R − d − n²d) / (R − d)².
fn flower(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let n = (3 + dice.below(7)) as f64;
    let radius = dice.between(25.0, 60.0);
    let valley = |d: f64| (radius - d).powi(2) / (n * n * d - (radius - d)).max(1e-9);
    let want =
        if dice.below(3) == 0 { c * dice.between(0.5, 2.0) } else { c + dice.hair() };
    let (mut lo, mut hi) = (radius / (n * n + 1.0), radius * 0.9);
    for _ in 0..60 {
        let middle = f64::midpoint(lo, hi);
        if valley(middle) > want { lo = middle } else { hi = middle }
    }
    let side = if dice.below(4) == 0 { -1.0 } else { 1.0 };
    Some((fill(&petals(Point::ORIGIN, n, radius, lo).ok()?)?, side))
}

fn bulging(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let (a, b) = (dice.between(10.0, 20.0) + 2.0 * c, dice.between(10.0, 20.0) + 2.0 * c);
    let path = superellipse(Point::ORIGIN, a, b, dice.between(2.0, 5.0)).ok()?;
    Some((fill(&path)?, -1.0))
}

/// The sharpest radius of an ellipse is b²/a.
fn oval(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let a = c * dice.between(1.2, 6.0) + 5.0;
    let b = (a * (c + dice.hair())).sqrt();
    Some((fill(&ellipse(Point::ORIGIN, a, b).ok()?)?, -1.0))
}

fn curvy(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let count = 5 + dice.below(6);
    let points = corners(dice, count, (8.0 + 2.0 * c, 25.0 + 5.0 * c));
    let tension = dice.between(0.8, 1.5);
    let spline = Spline { through: &points, closed: true, corners: &[], tension };
    Some((fill(&through(&spline).ok()?)?, either(dice)))
}

/// A slot into a block, its walls parallel or nearly so; its end is round or a larger hole.
fn slot(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let (half, taper) = (c + dice.hair(), dice.hair() * dice.between(0.0, 1.0));
    let block = fill(&rectangle(Point::ORIGIN, 90.0, 70.0, 0.0).ok()?)?;
    let deep = dice.between(-10.0, 15.0);
    let walls = polygon(&[
        Point::new(-half, 50.0),
        Point::new(-half + taper, deep),
        Point::new(half, deep),
        Point::new(half, 50.0),
    ]);
    let end = disc(Point::new(taper / 2.0, deep), half * dice.between(1.0, 1.8) + 0.01)?;
    Some((block.cut(&fill(&walls.ok()?)?).cut(&end), 1.0))
}

/// Two discs whose common chord is the planted size: corner against corner, from inside; or
/// the same cut out of a block, from outside.
fn neck(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let half = c + dice.hair();
    let (r, s) = (half * dice.between(1.2, 3.0), half * dice.between(1.2, 3.0));
    let apart = (r * r - half * half).sqrt() + (s * s - half * half).sqrt();
    let both = disc(Point::ORIGIN, r)?.unite(&disc(Point::new(apart, 0.0), s)?);
    if dice.below(2) == 0 {
        return Some((both, -1.0));
    }
    let block = fill(&rectangle(Point::ORIGIN, 130.0, 110.0, 0.0).ok()?)?;
    Some((block.cut(&both), 1.0))
}

fn gap(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let (r, s) = (dice.between(3.0, 40.0), dice.between(3.0, 40.0));
    let center = Point::new(r + s + 2.0 * (c + dice.hair()), 0.0);
    Some((disc(Point::ORIGIN, r)?.unite(&disc(center, s)?), 1.0))
}

/// A sharp corner over a straight edge, or over another corner.
fn corner_and_edge(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let gap = 2.0 * (c + dice.hair());
    let (x, lean) = (dice.between(-20.0, 20.0), dice.between(0.05, 0.8));
    let tip = Point::new(x, gap);
    let up = |angle: f64| tip + Vec2::from_angle(angle) * 40.0;
    let wedge = polygon(&[tip, up(lean), up(PI - dice.between(0.05, 0.8))]).ok()?;
    let below = if dice.below(2) == 0 {
        rectangle(Point::new(0.0, -15.0), 80.0, 30.0, 0.0).ok()?
    } else {
        let side = dice.between(0.2, 0.9);
        let down = |angle: f64| Point::new(x, 0.0) + Vec2::from_angle(angle) * 40.0;
        polygon(&[Point::new(x, 0.0), down(PI + side), down(-side)]).ok()?
    };
    Some((fill(&wedge)?.unite(&fill(&below)?), 1.0))
}

/// Two soft shapes side by side, about one cutter apart.
fn spline_gap(dice: &mut Dice, c: f64) -> Option<(Region, f64)> {
    let mut halves = Vec::new();
    for _ in 0..2 {
        let count = 5 + dice.below(4);
        let points = corners(dice, count, (16.0, 30.0));
        let tension = dice.between(0.9, 1.4);
        let spline = Spline { through: &points, closed: true, corners: &[], tension };
        halves.push(fill(&through(&spline).ok()?)?);
    }
    let (a, b) = (halves[0].bounds(), halves[1].bounds());
    let by = a.x1 - b.x0 + 2.0 * c - dice.between(0.0, 0.5 * c);
    let moved = halves[1].transformed(Affine::translate((by, dice.between(-5.0, 5.0))));
    Some((halves[0].unite(&moved), 1.0))
}
