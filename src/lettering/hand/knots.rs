//! A stroke from its knots as written.

use crate::curve::spline::between;
use crate::curve::{BezPath, Point, Vec2};

/// Below one, rounds are a little fuller than ellipses.
const TENSION: f64 = 0.95;

/// A place a stroke goes through and its direction there, in radians.
#[derive(Clone, Copy)]
struct Knot {
    at: Point,
    way: Option<f64>,
    /// It is reached in a straight line.
    straight: bool,
}

/// The path of `0 38 75, 25 63 right, 46 40 down, 46 0`; a single knot gives a path of one
/// point. `None` if it is not written so.
pub(super) fn stroke(text: &str) -> Option<BezPath> {
    let mut knots: Vec<Knot> = Vec::new();
    for words in text.split(',') {
        let knot = knot(words, knots.last().map(|last| last.at))?;
        knots.push(knot);
    }
    let mut path = BezPath::new();
    path.move_to(knots.first()?.at);
    for pair in knots.windows(2) {
        let [from, to] = pair else { continue };
        if to.straight || (from.way.is_none() && to.way.is_none()) {
            path.line_to(to.at);
        } else {
            let (out, into) = between(from.at, to.at, (from.way, to.way), TENSION);
            path.curve_to(out, into, to.at);
        }
    }
    Some(path)
}

fn knot(words: &str, before: Option<Point>) -> Option<Knot> {
    let mut words = words.split_whitespace();
    let at = Point::new(number(words.next()?)?, number(words.next()?)?);
    let word = words.next();
    if words.next().is_some() {
        return None;
    }
    let straight = word == Some("on");
    let way = match word {
        None => None,
        Some("right") => Some(0.0),
        Some("up") => Some(90.0),
        Some("left") => Some(180.0),
        Some("down") => Some(-90.0),
        Some("on") => {
            let along: Vec2 = at - before?;
            Some(along.atan2().to_degrees())
        }
        Some(angle) => Some(number(angle)?),
    };
    Some(Knot { at, way: way.map(f64::to_radians), straight })
}

/// A number no larger than any letter is.
pub(super) fn number(word: &str) -> Option<f64> {
    word.parse().ok().filter(|value: &f64| value.abs() < 1e3)
}
