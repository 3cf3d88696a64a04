//! The side of a cut: its height by how far a place lies within the edge.

use super::lanes::nearest;

/// Steps of the table.
const STEPS: u16 = 2048;

/// Heights from the edge of a cut to where it is level.
#[derive(Clone, Debug)]
pub(super) struct Flank {
    /// Where steps begin, and how much it rises over each; the last is level.
    heights: Vec<[f32; 2]>,
    /// From the edge to where it is level, mm.
    pub(super) reach: f32,
    per_mm: f32,
}

impl Flank {
    /// So far in from an edge, by the height at a distance from it, mm.
    pub(super) fn new(reach: f64, height: impl Fn(f64) -> f64) -> Self {
        let steps = f64::from(STEPS);
        let at = |step: u16| height(reach * f64::from(step) / steps) as f32;
        let mut heights: Vec<[f32; 2]> =
            (0..=STEPS).map(|step| [at(step), 0.0]).collect();
        for step in 1..heights.len() {
            heights[step - 1][1] = heights[step][0] - heights[step - 1][0];
        }
        Self { heights, reach: reach as f32, per_mm: (steps / reach) as f32 }
    }

    /// Where it is level.
    pub(super) fn level(&self) -> f32 {
        self.heights[usize::from(STEPS)][0]
    }

    #[inline]
    pub(super) fn height(&self, within: f32) -> f32 {
        let place = (within * self.per_mm).clamp(0.0, f32::from(STEPS));
        let step = nearest((place - 0.5).clamp(0.0, f32::from(STEPS)));
        let [from, rise] = self.heights[step as usize];
        from + rise * (place - step as f32)
    }

    /// How much it rises farther in, over a stretch to both sides.
    pub(super) fn rise(&self, within: f32, half: f32) -> f32 {
        let from = (within - half).max(0.0);
        let to = (within + half).max(from + half);
        (self.height(to) - self.height(from)) / (to - from)
    }
}
