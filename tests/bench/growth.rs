//! Time against size: `cargo bench --bench growth` asks wavy rings of 100 to 100,000 segments
//! for their reach and what a 6.35 mm cutter leaves, and prints the
//! processor time per doubling.

#[path = "busy.rs"]
mod busy;

use busy::Busy;
use std::f64::consts::TAU;
use treen::curve::spline::{Spline, through};
use treen::curve::{BezPath, Origin, Point, Region};
use treen::reach::Profile;

const RADIUS: f64 = 3.175;

fn main() {
    for (name, draw) in
        [("polyline", polyline as fn(usize) -> BezPath), ("curves", curves)]
    {
        println!(
            "{name}: segments, fill ms, reach ms, leftovers ms, us a segment, per doubling"
        );
        let mut before: Option<f64> = None;
        for doubling in 0..11 {
            let count = if doubling == 10 { 100_000 } else { 100 << doubling };
            let path = draw(count);
            let rounds = (40_000 / count).clamp(3, 400);
            let mut times = [0.0; 3];
            let mut found = 0;
            for _ in 0..rounds {
                let (once, many) = once(&path);
                times = std::array::from_fn(|i| times[i] + once[i] / rounds as f64);
                found = many;
            }
            let each = (times[1] + times[2]) / count as f64;
            let growth = before.map_or(1.0, |b| each / b);
            let [fill, reach, left] = times.map(|t| t * 1e3);
            println!(
                "{count:7} {fill:10.3} {reach:10.3} {left:10.3} {:9.3} {growth:6.2}   ({} leftovers)",
                each * 1e6,
                found
            );
            before = Some(each);
        }
    }
}

/// Seconds to fill, to know the reach, to know the leftovers; and how many there are.
fn once(path: &BezPath) -> ([f64; 3], usize) {
    let start = Busy::start();
    let region = Region::filled(path, Origin(0)).expect("a ring has an area");
    let fill = start.elapsed().as_secs_f64();
    let start = Busy::start();
    let profile = Profile::outside(&region, 8.0);
    assert!(profile.lowest_reach().is_some(), "valleys tighter than the cap");
    let reach = start.elapsed().as_secs_f64();
    let start = Busy::start();
    let found = profile.leftovers(RADIUS).map_or(0, |left| left.len());
    ([fill, reach, start.elapsed().as_secs_f64()], found)
}

/// Points 0.4 mm apart along a ring with a wave every 20 mm.
fn wave(count: usize, apart: f64) -> Vec<Point> {
    let around = (count as f64 * apart / 20.0).round().max(1.0);
    let radius = around * 20.0 / TAU;
    (0..count)
        .map(|i| {
            let share = i as f64 / count as f64;
            let r = radius + 3.5 * (TAU * around * share).cos();
            let (sin, cos) = (TAU * share).sin_cos();
            Point::new(r * cos, r * sin)
        })
        .collect()
}

fn polyline(count: usize) -> BezPath {
    let points = wave(count, 0.4);
    let mut path = BezPath::new();
    path.move_to(points[0]);
    for &p in &points[1..] {
        path.line_to(p);
    }
    path.close_path();
    path
}

/// The same as cubics, drawn as splines of at most 1,000 points.
fn curves(count: usize) -> BezPath {
    let points = wave(count, 2.5);
    let mut path = BezPath::new();
    path.move_to(points[0]);
    // a thousand points at a time, with a few more on both sides so that they join smoothly
    for first in (0..count).step_by(1000) {
        let end = (first + 1000).min(count);
        let reach: Vec<Point> =
            (first + count - 8..end + count + 9).map(|i| points[i % count]).collect();
        let spline =
            Spline { through: &reach, closed: false, corners: &[], tension: 1.0 };
        let drawn = through(&spline).expect("points lie apart");
        path.extend(drawn.elements().iter().skip(9).take(end - first).copied());
    }
    path.close_path();
    path
}
