//! A line to write along, measured.

use crate::curve::{BezPath, Curve, Point, Vec2};

/// Steps a curved piece is measured in; the chord of 1/96 of a half circle of radius 100 mm
/// lies 0.013 mm below its arc and is 0.005 % short.
const STEPS: u32 = 96;

/// A path with its length known up to each of its points.
pub(super) struct Baseline {
    stations: Vec<Station>,
}

struct Station {
    /// Length up to here, mm.
    length: f64,
    at: Point,
    /// Unit vector along the path.
    along: Vec2,
}

impl Baseline {
    /// `None` for a path without length.
    pub(super) fn new(path: &BezPath) -> Option<Self> {
        let mut stations: Vec<Station> = Vec::new();
        let mut length = 0.0;
        for segment in path.segments() {
            let curve = Curve::from_segment(segment);
            let steps = if matches!(curve, Curve::Line(..)) { 1 } else { STEPS };
            for step in 0..=steps {
                let t = f64::from(step) / f64::from(steps);
                let at = curve.eval(t);
                length += stations.last().map_or(0.0, |last| last.at.distance(at));
                stations.push(Station { length, at, along: curve.tangent(t) });
            }
        }
        (length > 0.0 && length.is_finite()).then_some(Self { stations })
    }

    /// The line that runs beside it, so far to its left, mm. Where it bends more tightly than
    /// that, it runs back: such stretches have no length.
    pub(super) fn beside(&self, apart: f64) -> Self {
        let mut stations: Vec<Station> = Vec::new();
        let mut length = 0.0;
        for Station { at, along, .. } in &self.stations {
            let at = *at + Vec2::new(-along.y, along.x) * apart;
            if let Some(on) = stations.last().map(|last| at - last.at)
                && on.dot(*along) > 0.0
            {
                length += on.hypot();
            }
            stations.push(Station { length, at, along: *along });
        }
        Self { stations }
    }

    /// It runs one way throughout.
    pub(super) fn straight(&self) -> bool {
        const SAME: f64 = 1e-9;
        let first = self.stations.first().map_or(X, |station| station.along);
        self.stations.iter().all(|station| (station.along - first).hypot() < SAME)
    }

    /// Its whole length, mm.
    pub(super) fn length(&self) -> f64 {
        self.stations.last().map_or(0.0, |last| last.length)
    }

    /// The point and direction at a length from its start; beyond its ends it goes on
    /// straight.
    pub(super) fn at(&self, length: f64) -> (Point, Vec2) {
        let next = self.stations.partition_point(|station| station.length < length);
        let after = self.stations.get(next).or(self.stations.last());
        let before = next.checked_sub(1).and_then(|i| self.stations.get(i)).or(after);
        let (Some(a), Some(b)) = (before, after) else { return (Point::ORIGIN, X) };
        let gap = b.length - a.length;
        if gap <= 0.0 || next == self.stations.len() {
            return (a.at + a.along * (length - a.length), a.along);
        }
        let share = (length - a.length) / gap;
        let along = a.along.lerp(b.along, share);
        let along = if along.hypot() > 0.0 { along / along.hypot() } else { a.along };
        (a.at.lerp(b.at, share), along)
    }
}

const X: Vec2 = Vec2::new(1.0, 0.0);
