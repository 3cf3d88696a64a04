//! Chords of lines with the cells that may be nearer to each than to its neighbours.

use super::grid::Grid;
use crate::curve::{Point, Vec2};
use std::ops::Range;

/// Keeps cells on the limit of a band within it, cells.
const SLACK: f64 = 0.01;

/// A chord and a rectangle about it, in cells to the right and **down** from the middle of the
/// first cell.
pub(super) struct Band {
    /// Where it begins, its direction and its length.
    pub(super) from: Point,
    along: Vec2,
    /// One by each part of the direction; 0 where there is none of it.
    inverse: Vec2,
    length: f64,
    /// How far the rectangle reaches beyond both ends.
    beyond: [f64; 2],
    /// How far to the right of the chord as it runs on the page, and to its left.
    beside: [f64; 2],
}

impl Band {
    /// About every chord of lines, up to so many cells to the right and left of them. A place
    /// whose nearest is a joint lies between the normals of its two chords, so that each has
    /// to reach beyond it by half of their turn alone.
    pub(super) fn all(lines: &[[Point; 2]], grid: &Grid, beside: [f64; 2]) -> Vec<Self> {
        let beside = beside.map(|cells| cells + SLACK);
        let most = beside[0].max(beside[1]);
        let middle = grid.at(0, 0);
        let cell = |at: Point| {
            Point::new((at.x - middle.x) / grid.step, (middle.y - at.y) / grid.step)
        };
        let mut bands: Vec<Self> = Vec::with_capacity(lines.len());
        let mut rest = lines;
        while let Some(([start, _], _)) = rest.split_first() {
            // Up to where the line comes back, or another begins.
            let ends = rest.iter().zip(rest.iter().skip(1).map(Some).chain([None]));
            let runs_on = |([_, end], next): (&[Point; 2], Option<&[Point; 2]>)| {
                end != start && next.is_some_and(|next| next[0] == *end)
            };
            let count =
                1 + ends.take_while(|(line, next)| runs_on((line, *next))).count();
            let (line, left) = rest.split_at(count);
            rest = left;
            let first = bands.len();
            let point = line.len() == 1;
            for &[a, b] in line.iter().filter(|[a, b]| point || a != b) {
                let (from, to) = (cell(a), cell(b));
                let length = (to - from).hypot();
                let along =
                    if length > 0.0 { (to - from) / length } else { Vec2::new(1.0, 0.0) };
                let inverse = Vec2::new(inverse(along.x), inverse(along.y));
                let beyond = [most; 2];
                bands.push(Self { from, along, inverse, length, beyond, beside });
            }
            let bands = &mut bands[first..];
            for joint in 1..bands.len() {
                let beyond = most * half_turn(bands[joint - 1].along, bands[joint].along);
                bands[joint - 1].beyond[1] = beyond + SLACK;
                bands[joint].beyond[0] = beyond + SLACK;
            }
            let closed = line.last().is_some_and(|[_, end]| end == start);
            if let ([head, .., tail], true) = (bands, closed) {
                let beyond = most * half_turn(tail.along, head.along);
                tail.beyond[1] = beyond + SLACK;
                head.beyond[0] = beyond + SLACK;
            }
        }
        bands
    }

    /// From its beginning to its end.
    pub(super) fn chord(&self) -> Vec2 {
        self.along * self.length
    }

    /// The rows that its rectangle goes through, of some.
    pub(super) fn rows(&self, within: &Range<usize>) -> Range<usize> {
        let Vec2 { x, y } = self.along;
        let [back, on] = [-self.beyond[0], self.length + self.beyond[1]].map(|t| t * y);
        // Its right is (−y, x), as rows are counted downward.
        let [left, right] = [-self.beside[1], self.beside[0]].map(|s| s * x);
        let ends = [back.min(on) + left.min(right), back.max(on) + left.max(right)];
        whole(ends.map(|end| self.from.y + end), within)
    }

    /// The columns of a row within its rectangle, of some.
    pub(super) fn columns(&self, row: usize, within: &Range<usize>) -> Range<usize> {
        let Vec2 { x, y } = self.along;
        let down = row as f64 - self.from.y;
        let mut ends = [f64::NEG_INFINITY, f64::INFINITY];
        let mut between = |from: f64, to: f64| {
            ends = [ends[0].max(from.min(to)), ends[1].min(from.max(to))];
        };
        // Along it: −beyond ≤ u x + d y ≤ length + beyond for u to the right and d down.
        let by = self.inverse.x;
        if by != 0.0 {
            let end = self.length + self.beyond[1];
            between((-self.beyond[0] - down * y) * by, (end - down * y) * by);
        }
        // Beside it: −left ≤ d x − u y ≤ right.
        let by = self.inverse.y;
        if by != 0.0 {
            between((down * x + self.beside[1]) * by, (down * x - self.beside[0]) * by);
        }
        whole(ends.map(|end| self.from.x + end), within)
    }
}

/// One by a part of a direction; 0 where there is next to none of it.
fn inverse(part: f64) -> f64 {
    if part.abs() > 1e-9 { 1.0 / part } else { 0.0 }
}

/// The sine of half the angle between two directions; 1 beyond a right angle.
fn half_turn(one: Vec2, next: Vec2) -> f64 {
    let cosine = one.dot(next);
    if cosine > 0.0 { (0.5 * (1.0 - cosine)).max(0.0).sqrt() } else { 1.0 }
}

/// The whole numbers from one number to another, of some.
fn whole([from, to]: [f64; 2], within: &Range<usize>) -> Range<usize> {
    let [first, end] = [within.start as f64, within.end as f64];
    let (from, to) = (from.clamp(first, end), to.clamp(-1.0, end));
    let start = from as usize;
    let start = start + usize::from((start as f64) < from);
    let stop = (to + 1.0) as usize;
    start..stop.clamp(start, within.end.max(start))
}
