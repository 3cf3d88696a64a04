//! A flat tree of boxes over consecutive bends, four to a node.

use super::walk::Walk;
use crate::curve::arcs::Bend;
use crate::curve::{Point, Rect};

/// Boxes, level by level, the leaves' first.
#[derive(Clone, Debug, Default)]
pub(super) struct Tree {
    levels: Vec<Vec<Rect>>,
    count: usize,
}

const FAN_OUT: usize = 4;

impl Tree {
    pub(super) fn new(walk: &Walk) -> Self {
        let mut level: Vec<Rect> = walk.bends.iter().map(|b| bend_box(&b.bend)).collect();
        let count = level.len();
        let mut levels = Vec::new();
        loop {
            let above: Vec<Rect> = level
                .chunks(FAN_OUT)
                .map(|boxes| boxes.iter().skip(1).fold(boxes[0], |a, b| a.union(*b)))
                .collect();
            let done = above.len() <= 1;
            levels.push(above.clone());
            if done {
                break;
            }
            level = above;
        }
        Self { levels, count }
    }

    /// Calls `leaf` for bends whose group's box passes `open`, which is asked again as the
    /// search narrows.
    pub(super) fn visit<S>(
        &self,
        state: &mut S,
        open: fn(&S, &Rect) -> bool,
        leaf: fn(&mut S, u32),
    ) {
        let mut stack = [(0_u32, 0_u32); 96];
        let mut depth = 0;
        let Some(top) = self.levels.len().checked_sub(1) else { return };
        if self.levels[top].is_empty() {
            return;
        }
        stack[depth] = (top as u32, 0);
        depth += 1;
        while depth > 0 {
            depth -= 1;
            let (level, index) = (stack[depth].0 as usize, stack[depth].1 as usize);
            if !open(state, &self.levels[level][index]) {
                continue;
            }
            let first = index * FAN_OUT;
            if level == 0 {
                for bend in first..(first + FAN_OUT).min(self.count) {
                    leaf(state, bend as u32);
                }
            } else {
                let end = (first + FAN_OUT).min(self.levels[level - 1].len());
                for child in (first..end).rev() {
                    stack[depth] = (level as u32 - 1, child as u32);
                    depth += 1;
                }
            }
        }
    }
}

/// A box around a bend: its ends and the point where its end tangents meet.
pub(super) fn bend_box(bend: &Bend) -> Rect {
    let ends = Rect::from_points(bend.a, bend.b);
    let half = bend.curvature * bend.length / 2.0;
    let chord = (bend.b - bend.a).hypot();
    let apex = bend.a + bend.ta * (chord / 2.0 / half.cos().max(0.1));
    ends.union_pt(apex)
}

/// Square of the distance from a point to a box, mm².
pub(super) fn distance2(rect: &Rect, p: Point) -> f64 {
    let dx = (rect.x0 - p.x).max(p.x - rect.x1).max(0.0);
    let dy = (rect.y0 - p.y).max(p.y - rect.y1).max(0.0);
    dx * dx + dy * dy
}

/// Two boxes share a point.
pub(super) fn overlaps(a: &Rect, b: &Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}
