//! Reach at work, on real outlines 200 mm wide.
//!
//! `cargo bench --bench reach` prints the time of the verdicts and of the twelve answers an
//! outline (six cutters, what closing and what opening leave). `-- outlines FILE [TOLERANCE]`
//! writes the same outlines as polylines for other libraries (`side_by_side.py`,
//! `../reference/openings.py`); `-- areas FILE` writes our own twelve areas of each.

mod outlines;

use outlines::{RADII, outlines, twelve};
use std::fs::File;
use std::io::{BufWriter, Result, Write};
use std::time::Instant;
use treen::curve::{Contour, Curve, Origin, PathEl, Point, Region};
use treen::reach::{Profile, Route, Working, work};

/// Chords of written outlines lie within this of the curves, mm.
const FLAT: f64 = 0.0005;

fn main() -> Result<()> {
    let mut words = std::env::args().skip(1).filter(|word| word != "--bench");
    let (mode, file, flat) = (words.next(), words.next(), words.next());
    let flat = flat.and_then(|word| word.parse().ok()).unwrap_or(FLAT);
    match (mode.as_deref(), file) {
        (Some("outlines"), Some(file)) => write_outlines(&file, flat),
        (Some("areas"), Some(file)) => write_areas(&file),
        _ => {
            time();
            Ok(())
        }
    }
}

/// Three rounds over all outlines, or as many as the variable `OUTLINES` says.
fn time() {
    let count = std::env::var("OUTLINES").ok().and_then(|n| n.parse().ok());
    let regions: Vec<Region> =
        outlines().take(count.unwrap_or(usize::MAX)).map(|(_, region)| region).collect();
    for _ in 0..3 {
        let (verdict, follow) = timed(&regions, verdicts);
        let (full, answers) = timed(&regions, twelve);
        let answers = answers.concat();
        println!(
            "{} outlines: verdicts {verdict}, all leftovers {full}; {} follow, {:.1} mm2, {} of {} unsure",
            regions.len(),
            follow.iter().sum::<usize>(),
            answers.iter().flatten().sum::<f64>(),
            answers.iter().filter(|answer| answer.is_none()).count(),
            answers.len()
        );
    }
    let (full, routes) = timed(&regions, worked);
    let routes = routes.concat();
    println!(
        "the same as regions with all checks in: {full}; {} of {} by the slow route, {} unsure",
        routes.iter().filter(|route| **route == Some(Route::Slow)).count(),
        routes.len(),
        routes.iter().filter(|route| route.is_none()).count(),
    );
}

/// By which routes the twelve closings and openings were made.
fn worked(region: &Region) -> Vec<Option<Route>> {
    let made = |working, radius| {
        work(region, working, radius, Origin::default()).map(|worked| worked.route)
    };
    [Working::Closing, Working::Opening]
        .into_iter()
        .flat_map(|working| RADII.map(|radius| made(working, radius)))
        .collect()
}

/// Mean and median time an outline, in words, and the answers.
fn timed<T>(regions: &[Region], ask: impl Fn(&Region) -> T) -> (String, Vec<T>) {
    let mut times = Vec::with_capacity(regions.len());
    let mut answers = Vec::with_capacity(regions.len());
    for region in regions {
        let start = Instant::now();
        answers.push(ask(region));
        times.push(start.elapsed().as_secs_f64() * 1e3);
    }
    times.sort_by(f64::total_cmp);
    let mean = times.iter().sum::<f64>() / times.len().max(1) as f64;
    let median = times.get(times.len() / 2).copied().unwrap_or_default();
    (format!("mean {mean:.3} ms, median {median:.3} ms"), answers)
}

/// How many of the twelve cutters follow everything.
fn verdicts(region: &Region) -> usize {
    let mut follow = 0;
    for profile in [Profile::outside(region, 8.0), Profile::inside(region, 8.0)] {
        let reach = profile.lowest_reach().map_or(8.0, |low| low.radius);
        follow += RADII.iter().filter(|c| reach >= **c).count();
    }
    follow
}

/// One line an outline: its place in the list, then each of its answers or `unsure`.
fn write_areas(file: &str) -> Result<()> {
    let mut out = BufWriter::new(File::create(file)?);
    for (index, region) in outlines() {
        let word = |area: Option<f64>| {
            area.map_or("unsure".to_owned(), |area| format!("{area:.6}"))
        };
        let words: Vec<String> = twelve(&region).into_iter().map(word).collect();
        writeln!(out, "{index}\t{}", words.join("\t"))?;
    }
    out.flush()
}

/// One JSON array an outline: its place in the list, then its rings as lists of [x, y] in
/// mm, wood on the left.
fn write_outlines(file: &str, flat: f64) -> Result<()> {
    let mut out = BufWriter::new(File::create(file)?);
    for (index, region) in outlines() {
        let rings: Vec<String> =
            region.contours().iter().map(|contour| ring(contour, flat)).collect();
        writeln!(out, "[{index},[{}]]", rings.join(","))?;
    }
    out.flush()
}

fn ring(contour: &Contour, flat: f64) -> String {
    let mut points = Vec::new();
    for piece in contour.pieces() {
        chords(&piece.curve, flat, &mut points);
    }
    let words: Vec<String> =
        points.iter().map(|p| format!("[{:.9},{:.9}]", p.x, p.y)).collect();
    format!("[{}]", words.join(","))
}

/// The start of each chord of a curve.
fn chords(curve: &Curve, flat: f64, points: &mut Vec<Point>) {
    match curve {
        Curve::Line(line) => points.push(line.p0),
        Curve::Arc(arc) => {
            let turn = 2.0 * (1.0 - flat / arc.radius).max(-1.0).acos();
            let count = (arc.sweep().abs() / turn).ceil().max(1.0);
            points.extend((0..count as usize).map(|i| curve.eval(i as f64 / count)));
        }
        Curve::Cubic(cubic) => {
            let mut end = cubic.p0;
            let path =
                [PathEl::MoveTo(cubic.p0), PathEl::CurveTo(cubic.p1, cubic.p2, cubic.p3)];
            kurbo::flatten(path, flat, |step| {
                if let PathEl::LineTo(point) = step {
                    points.push(end);
                    end = point;
                }
            });
        }
    }
}
