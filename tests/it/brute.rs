//! The reach of a region by brute force on its true curves: slow, plain, and sharing nothing
//! with the library but `Curve::{eval, tangent, curvature}`.
//!
//! Reach is the infimum of |q − p|² / (2 n·(q − p)) over boundary points p, q and unit normals
//! n at p with n·(q − p) > 0 (H. Federer, "Curvature measures", 1959, theorem 4.18). Every
//! pair looked at bounds it from above, so a bound below a cutter's radius disproves any claim
//! that the cutter follows. Sharp bends are the limit of q at p: the radius of curvature.

use treen::curve::{Curve, Piece, Point, Region, Vec2};

/// Distance between coarse places, mm, and angle, radians.
const SPACING: f64 = 0.9;
const SWING: f64 = 0.3;
/// Pairs nearer than this belong to the curvature, mm.
const NEAR: f64 = 0.05;
/// Kinks below this are rounding of a smooth joint, radians.
const KINK: f64 = 1.5e-3;
/// How many of the best pairs are refined.
const REFINED: usize = 10;

/// A place with its fan of normals, `n0` to `n1` (equal within a curve).
#[derive(Clone, Copy)]
struct Site {
    ring: usize,
    u: f64,
    p: Point,
    n0: Vec2,
    n1: Vec2,
}

struct Ring<'r> {
    pieces: &'r [Piece],
    lengths: Vec<f64>,
}

/// A bound from above on the reach, mm, at most `cap`; `side` is 1 seen from outside, −1
/// from inside.
pub(crate) fn reach(region: &Region, side: f64, cap: f64) -> f64 {
    let rings: Vec<Ring<'_>> = region
        .contours()
        .iter()
        .map(|c| Ring {
            pieces: c.pieces(),
            lengths: c.pieces().iter().map(|p| p.curve.length()).collect(),
        })
        .collect();
    let mut best = cap;
    let mut sites = Vec::new();
    for (index, ring) in rings.iter().enumerate() {
        if !ring.lay(index, side, &mut sites) {
            return 0.0;
        }
        for piece in ring.pieces {
            best = best.min(sharpest(&piece.curve, side));
        }
    }
    let pairs = coarse(&sites, side, cap);
    best = pairs.first().map_or(best, |pair| best.min(pair.0));
    // what cannot come below the best any more is not worth refining
    for &(bound, i, j) in pairs.iter().take(REFINED) {
        if bound < best * 1.3 + 0.5 {
            best = best.min(refine(&rings, side, (sites[i], sites[j]), bound));
        }
    }
    best
}

impl Ring<'_> {
    /// Adds the places; false at a sharp corner turned toward the cutter.
    fn lay(&self, ring: usize, side: f64, sites: &mut Vec<Site>) -> bool {
        let count = self.pieces.len();
        for (index, piece) in self.pieces.iter().enumerate() {
            let curve = &piece.curve;
            let before = &self.pieces[(index + count - 1) % count].curve;
            let (from, to) = (before.tangent(1.0), curve.tangent(0.0));
            let turn = side * from.cross(to).atan2(from.dot(to));
            if turn < -KINK {
                return false;
            }
            let u = index as f64;
            sites.push(Site {
                ring,
                u,
                p: curve.start(),
                n0: normal(from, side),
                n1: normal(to, side),
            });
            let steps = steps(curve, self.lengths[index]);
            for i in 1..steps {
                let t = f64::from(i) / f64::from(steps);
                let n = normal(curve.tangent(t), side);
                sites.push(Site { ring, u: u + t, p: curve.eval(t), n0: n, n1: n });
            }
        }
        true
    }

    fn at(&self, u: f64) -> (&Curve, f64, f64) {
        let u = u.rem_euclid(self.pieces.len() as f64);
        let index = (u as usize).min(self.pieces.len() - 1);
        (&self.pieces[index].curve, u - index as f64, self.lengths[index])
    }
}

fn steps(curve: &Curve, length: f64) -> u32 {
    let turn: f64 = match curve {
        Curve::Line(_) => 0.0,
        Curve::Arc(arc) => arc.sweep().abs(),
        Curve::Cubic(_) => {
            let way = |t: f64| curve.tangent(t);
            [0.0, 0.25, 0.5, 0.75]
                .iter()
                .map(|t| {
                    let (a, b) = (way(*t), way(t + 0.25));
                    a.cross(b).atan2(a.dot(b)).abs()
                })
                .sum()
        }
    };
    ((length / SPACING).max(turn / SWING).ceil() as u32).clamp(2, 200)
}

fn normal(tangent: Vec2, side: f64) -> Vec2 {
    Vec2::new(tangent.y, -tangent.x) * side
}

/// The smallest radius of curvature toward the cutter, mm.
fn sharpest(curve: &Curve, side: f64) -> f64 {
    let toward = |t: f64| -side * curve.curvature(t);
    let radius = |k: f64| if k > 1e-9 { 1.0 / k } else { f64::INFINITY };
    match curve {
        Curve::Line(_) => f64::INFINITY,
        Curve::Arc(_) => radius(toward(0.5)),
        Curve::Cubic(_) => {
            const STEPS: u32 = 24;
            let at = |i: u32| f64::from(i) / f64::from(STEPS);
            let values: Vec<f64> = (0..=STEPS).map(|i| toward(at(i))).collect();
            let top = (0..=STEPS)
                .max_by(|a, b| values[*a as usize].total_cmp(&values[*b as usize]))
                .unwrap_or(0);
            if values[top as usize] <= 1e-9 {
                return f64::INFINITY;
            }
            let (mut lo, mut hi) = (at(top.saturating_sub(1)), at((top + 1).min(STEPS)));
            for _ in 0..30 {
                let (a, b) = (lo + (hi - lo) / 3.0, hi - (hi - lo) / 3.0);
                if toward(a) >= toward(b) { hi = b } else { lo = a }
            }
            radius(toward(f64::midpoint(lo, hi)).max(values[top as usize]))
        }
    }
}

/// The bound one pair sets: the disc that touches at p and passes through q.
fn bound(site: &Site, q: Point, side: f64) -> f64 {
    let d = q - site.p;
    let between = side * site.n0.cross(d) > 0.0
        && side * d.cross(site.n1) > 0.0
        && (site.n0 + site.n1).dot(d) > 0.0;
    let ahead = if between { d.hypot() } else { site.n0.dot(d).max(site.n1.dot(d)) };
    if ahead > 0.0 { d.hypot2() / (2.0 * ahead) } else { f64::INFINITY }
}

/// For each place the pair that binds it most, local lows only, lowest first.
fn coarse(sites: &[Site], side: f64, cap: f64) -> Vec<(f64, usize, usize)> {
    let far = 4.0 * cap * cap;
    let best: Vec<(f64, usize)> = sites
        .iter()
        .map(|site| {
            let mut low = (f64::INFINITY, 0);
            for (j, other) in sites.iter().enumerate() {
                let d2 = (other.p - site.p).hypot2();
                if d2 < far && d2 > NEAR * NEAR {
                    let value = bound(site, other.p, side);
                    if value < low.0 {
                        low = (value, j);
                    }
                }
            }
            low
        })
        .collect();
    let count = best.len();
    let mut lows: Vec<(f64, usize, usize)> = (0..count)
        .filter(|&i| {
            let around = [best[(i + count - 1) % count].0, best[(i + 1) % count].0];
            best[i].0.is_finite() && around.iter().all(|b| best[i].0 <= *b)
        })
        .map(|i| (best[i].0, i, best[i].1))
        .collect();
    lows.sort_by(|a, b| a.0.total_cmp(&b.0));
    lows
}

/// Pattern search for the lowest bound near a pair: eight ways, steps halved.
fn refine(rings: &[Ring<'_>], side: f64, (p, q): (Site, Site), start: f64) -> f64 {
    const WAYS: [(f64, f64); 8] = [
        (1.0, 0.0),
        (-1.0, 0.0),
        (0.0, 1.0),
        (0.0, -1.0),
        (1.0, 1.0),
        (-1.0, -1.0),
        (1.0, -1.0),
        (-1.0, 1.0),
    ];
    let (mut up, mut uq, mut best) = (p.u, q.u, start);
    let mut step = SPACING;
    while step > 1e-4 {
        let mut moved = false;
        for (a, b) in WAYS {
            let place = |ring: usize, u: f64, by: f64| {
                let (_, _, length) = rings[ring].at(u);
                u + by * step / length.max(step)
            };
            let (vp, vq) = (place(p.ring, up, a), place(q.ring, uq, b));
            let at = if vp.to_bits() == p.u.to_bits() {
                p
            } else {
                site(&rings[p.ring], side, vp)
            };
            let (curve, t, _) = rings[q.ring].at(vq);
            let other = curve.eval(t);
            if (other - at.p).hypot2() < NEAR * NEAR {
                continue;
            }
            let value = bound(&at, other, side);
            if value < best {
                (up, uq, best, moved) = (vp, vq, value, true);
            }
        }
        if !moved {
            step /= 2.0;
        }
    }
    best
}

fn site(ring: &Ring<'_>, side: f64, u: f64) -> Site {
    let (curve, t, _) = ring.at(u);
    let n = normal(curve.tangent(t), side);
    Site { ring: 0, u, p: curve.eval(t), n0: n, n1: n }
}
