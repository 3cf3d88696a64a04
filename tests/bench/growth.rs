//! Time against size: `cargo bench --bench growth` cleans up wavy rings of 100 to 100,000
//! segments, asks for their reach and what a 6.35 mm cutter leaves, and prints the processor
//! time of each step and how the time a segment grows per doubling, clean-up counted. Exits
//! with 1 where it grows by more than 1.3, or 20,000 segments take a second.

#[path = "busy.rs"]
mod busy;
#[path = "../it/polygon.rs"]
mod polygon;

use busy::Busy;
use std::f64::consts::TAU;
use std::process::ExitCode;
use treen::curve::spline::{Spline, through};
use treen::curve::{BezPath, Origin, Point, Region};
use treen::reach::Profile;

const RADIUS: f64 = 3.175;
/// The most that the time a segment may grow per doubling.
const GROWTH: f64 = 1.3;
/// Segments that must be done in a second.
const LARGE: usize = 20_000;

fn main() -> ExitCode {
    let mut sound = true;
    for (name, draw) in
        [("polyline", polyline as fn(usize) -> BezPath), ("curves", curves)]
    {
        println!(
            "{name}: segments, clean-up ms, reach ms, leftovers ms, us a segment, per doubling"
        );
        let mut before: Option<f64> = None;
        for doubling in 0..11 {
            let count = if doubling == 10 { 100_000 } else { 100 << doubling };
            let each = measured(count, &draw(count)) / count as f64;
            let growth = before.map_or(1.0, |before| each / before);
            println!(" {:9.3} {growth:6.2}", each * 1e6);
            sound &= growth <= GROWTH;
            before = Some(each);
        }
        let whole = measured(LARGE, &draw(LARGE));
        println!(" {whole:9.3} s in all");
        sound &= whole < 1.0;
    }
    if sound { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Prints the median time of each step; seconds of all together.
fn measured(count: usize, path: &BezPath) -> f64 {
    let rounds = (40_000 / count).clamp(3, 200);
    let mut all: Vec<([f64; 3], usize)> = (0..rounds).map(|_| once(path)).collect();
    let mut median = |step: usize| {
        all.sort_by(|a, b| a.0[step].total_cmp(&b.0[step]));
        all[rounds / 2].0[step]
    };
    let times: [f64; 3] = std::array::from_fn(&mut median);
    let found = all[0].1;
    let [fill, reach, left] = times.map(|t| t * 1e3);
    print!("{count:7} {fill:10.3} {reach:10.3} {left:10.3} ({found:5} leftovers)");
    times.iter().sum()
}

/// Seconds to clean up, to know the reach, to know the leftovers; and how many there are.
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

/// Points so far apart along a ring with a wave every 20 mm. The waves are as high as makes
/// the valleys as tight on a small ring as on a large one.
fn wave(count: usize, apart: f64) -> Vec<Point> {
    /// Curvature in the valleys, 1/mm: tighter than the cutter.
    const VALLEY: f64 = 0.345;
    let around = (count as f64 * apart / 20.0).round().max(1.0);
    let radius = around * 20.0 / TAU;
    // At the lowest place of r = R + a cos(n t) the curvature is (a n² - r) / r².
    let curvature = |high: f64| {
        let r = radius - high;
        (high * around * around - r) / (r * r)
    };
    let (mut low, mut top) = (0.0, radius / 2.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, top);
        if curvature(middle) < VALLEY { low = middle } else { top = middle }
    }
    (0..count)
        .map(|i| {
            let share = i as f64 / count as f64;
            let r = radius + low * (TAU * around * share).cos();
            let (sin, cos) = (TAU * share).sin_cos();
            Point::new(r * cos, r * sin)
        })
        .collect()
}

fn polyline(count: usize) -> BezPath {
    polygon::polygon(&wave(count, 1.0))
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
