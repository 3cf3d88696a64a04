//! A V-bit in letters: the tip follows the centre of the largest disc that touches each place
//! of the edge, as deep as the bit is that wide.

use super::moves::{Course, Pace};
use super::passes::{Entry, levels};
use super::pocket::Nest;
use crate::curve::{Origin, Point, Region};
use crate::model::Cutter;
use crate::reach::{Profile, shrink};

/// Distance between places of the edge, mm.
const SPACING: f64 = 0.3;
/// So near together are they that a straight move between two of them departs from the way of
/// the discs by no more than this, mm.
const OFF: f64 = 0.001;
/// Points nearer than this to the line between their neighbours are left out, mm.
const STRAIGHT: f64 = 0.001;
/// Step of a V-bit on a flat floor, mm: the ridge between two passes of a 60 degree bit is
/// then 0.2 mm high at most.
const FLAT_STEP: f64 = 0.25;

/// How deep the bit goes where it may be so wide, mm below the surface.
fn depth_at(bit: &Cutter, radius: f64) -> f64 {
    bit.height_at(radius.min(bit.radius())).unwrap_or(0.0)
}

/// Carves letters whose surface is at `top` (0 or less) down to a limit below it; mm.
/// Gives the depths worked at below the board's top.
pub(super) fn carve(
    course: &mut Course,
    (letters, bit): (&Region, &Cutter),
    (top, limit): (f64, f64),
    step: f64,
) -> Option<Vec<f64>> {
    let cap = bit.radius_at(limit).max(1e-3);
    let mut loops = paths(letters, bit, cap);
    let deepest = loops.iter().flatten().map(|(_, d)| *d).fold(0.0, f64::max);
    if deepest <= 0.0 {
        return Some(Vec::new());
    }
    let depths = levels(deepest, step, None);
    let mut above = 0.0;
    for depth in &depths {
        let mut order = std::mem::take(&mut loops);
        while !order.is_empty() {
            let line = nearest(&mut order, course.here().plan());
            follow(course, &line, (top, above, *depth));
            loops.push(line);
        }
        above = *depth;
    }
    if deepest > limit - 1e-6 {
        floor(course, (letters, bit), cap, (top, limit))?;
    }
    Some(depths.into_iter().map(|depth| depth - top).collect())
}

/// Centres and depths along each loop of the edge.
fn paths(letters: &Region, bit: &Cutter, cap: f64) -> Vec<Vec<(Point, f64)>> {
    Profile::inside(letters, cap)
        .discs(SPACING, OFF)
        .into_iter()
        .map(|discs| {
            let mut line: Vec<(Point, f64)> =
                discs.iter().map(|d| (d.center, depth_at(bit, d.radius))).collect();
            line.extend(line.first().copied());
            straightened(&line)
        })
        .filter(|line| line.len() > 1)
        .collect()
}

/// Without the places that lie on the line between others.
fn straightened(line: &[(Point, f64)]) -> Vec<(Point, f64)> {
    let Some(first) = line.first() else { return Vec::new() };
    let mut kept = vec![*first];
    let mut from = 0;
    for to in 2..line.len() {
        let off = (from + 1..to)
            .any(|between| distance(line[between], line[from], line[to]) > STRAIGHT);
        if off || to - from > 40 {
            kept.push(line[to - 1]);
            from = to - 1;
        }
    }
    kept.extend(line.last().copied());
    kept
}

/// Distance of a place from the line between two others, mm.
fn distance(p: (Point, f64), a: (Point, f64), b: (Point, f64)) -> f64 {
    let (u, v) = (b.0 - a.0, p.0 - a.0);
    let (du, dv) = (b.1 - a.1, p.1 - a.1);
    let length2 = u.hypot2() + du * du;
    let t = if length2 > 0.0 {
        ((u.dot(v) + du * dv) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (v - u * t).hypot().hypot(dv - du * t)
}

/// Takes the loop that begins nearest.
fn nearest(loops: &mut Vec<Vec<(Point, f64)>>, from: Point) -> Vec<(Point, f64)> {
    let far = |line: &[(Point, f64)]| {
        line.first().map_or(f64::INFINITY, |p| p.0.distance(from))
    };
    let best =
        (0..loops.len()).min_by(|a, b| far(&loops[*a]).total_cmp(&far(&loops[*b])));
    best.map(|index| loops.remove(index)).unwrap_or_default()
}

/// Along a loop no deeper than a level; stretches that the level above has finished are
/// passed over above the wood.
fn follow(
    course: &mut Course,
    line: &[(Point, f64)],
    (top, above, level): (f64, f64, f64),
) {
    let mut down = false;
    for pair in line.windows(2) {
        let [(p, a), (q, b)] = pair else { continue };
        let needed = above <= 0.0 || a.max(*b) > above + 1e-6;
        if !needed {
            down = false;
            continue;
        }
        if !down {
            course.over(*p, top);
            course.plunge(top - a.min(level));
            down = true;
        }
        course.line(*q, top - b.min(level), Pace::Cut);
    }
}

/// The flat that a depth limit leaves in wide strokes.
fn floor(
    course: &mut Course,
    (letters, bit): (&Region, &Cutter),
    cap: f64,
    (top, limit): (f64, f64),
) -> Option<()> {
    let room = shrink(letters, cap, Origin::default())?;
    if room.is_empty() {
        return Some(());
    }
    let step = FLAT_STEP.max(2.0 * bit.radius_at(0.0));
    let nest = Nest::of(&room, step)?;
    for &chamber in nest.chambers() {
        nest.cut(chamber, course, Entry::of(bit, top, top - limit));
    }
    Some(())
}
