//! The largest cutter that follows each stretch of a boundary.

use super::profile::Profile;
use super::runs::Blocked;
use super::walk::Element;
use crate::curve::{Arc, BezPath, Curve, Line, Point};
use crate::units::Tolerance;

/// A stretch of boundary that the same cutters follow.
#[derive(Clone, Debug)]
pub struct Trace {
    /// The largest radius that follows it, as an index of the radii asked for; `None` where
    /// none does.
    pub largest: Option<usize>,
    /// The stretch, open, in walking direction.
    pub path: BezPath,
    /// Its length, mm.
    pub length: f64,
}

impl Profile {
    /// The boundary cut into stretches by the largest of these radii (mm) that follows there,
    /// to the tolerance of every verdict; exact, from the stretches each cannot follow.
    pub fn follow_map(&self, radii: &[f64]) -> Vec<Trace> {
        let mut order: Vec<usize> = (0..radii.len()).collect();
        order.sort_by(|&a, &b| radii[b].total_cmp(&radii[a]));
        let mut levels: Vec<(usize, Blocked)> = Vec::new();
        for index in order {
            let c = (radii[index] - Tolerance::REACH.get()).max(0.0);
            let larger = levels.last().map(|(_, blocked)| blocked);
            let blocked = self.blocked(c, larger);
            levels.push((index, blocked));
        }
        let mut traces = Vec::new();
        for lane in 0..self.walk.loops.len() {
            self.trace_loop(lane, &levels, &mut traces);
        }
        traces
    }

    fn trace_loop(&self, lane: usize, levels: &[(usize, Blocked)], out: &mut Vec<Trace>) {
        let mut open = false;
        for (place, &element) in self.walk.loops[lane].elements.iter().enumerate() {
            let Element::Along(bend) = element else { continue };
            let mut cuts = vec![0.0, 1.0];
            for (_, blocked) in levels {
                cuts.extend(blocked[lane][place].iter().flat_map(|&(a, b)| [a, b]));
            }
            cuts.sort_by(f64::total_cmp);
            for pair in cuts.windows(2) {
                let &[from, to] = pair else { continue };
                let length = (to - from) * self.walk.bends[bend as usize].bend.length;
                if length < 1e-9 {
                    continue;
                }
                let middle = f64::midpoint(from, to);
                let free = |blocked: &Blocked| {
                    !blocked[lane][place].iter().any(|s| s.0 <= middle && middle <= s.1)
                };
                let largest = levels.iter().find(|level| free(&level.1)).map(|l| l.0);
                let curve = self.part(bend, from, to);
                match out.last_mut() {
                    Some(last) if open && last.largest == largest => {
                        curve.append_to(&mut last.path);
                        last.length += length;
                    }
                    _ => {
                        let mut path = BezPath::new();
                        path.move_to(curve.start());
                        curve.append_to(&mut path);
                        out.push(Trace { largest, path, length });
                    }
                }
                open = true;
            }
        }
    }

    fn part(&self, index: u32, from: f64, to: f64) -> Curve {
        let element = Element::Along(index);
        let place = |u: f64| -> Point { self.walk.place(element, u).0 };
        let (a, b) = (place(from), place(to));
        let curvature = self.walk.bends[index as usize].bend.curvature;
        if curvature == 0.0 {
            return Curve::Line(Line::new(a, b));
        }
        Arc::between(a, b, 1.0 / curvature.abs(), curvature > 0.0)
    }
}
