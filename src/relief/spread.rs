//! Values at few places drawn out over many.

use super::lanes::mix;
use std::ops::Range;

/// Where many places lie between nodes that are evenly apart.
#[derive(Clone, Debug)]
pub(super) struct Spread {
    /// The first place beyond each node.
    starts: Vec<usize>,
    /// How far each place is on its way to the next node, from 0 to 1.
    shares: Vec<f32>,
}

impl Spread {
    /// Places given in steps of the nodes; they grow, and none lies below zero.
    pub(super) fn new(places: impl Iterator<Item = f32>) -> Self {
        let (mut starts, mut shares) = (Vec::new(), Vec::new());
        for place in places {
            let node = place.max(0.0) as usize;
            while starts.len() <= node {
                starts.push(shares.len());
            }
            shares.push(place.max(0.0) - node as f32);
        }
        Self { starts, shares }
    }

    /// The same, without corners at the nodes.
    #[must_use]
    pub(super) fn eased(mut self) -> Self {
        for share in &mut self.shares {
            *share = ease(*share);
        }
        self
    }

    /// How many nodes it draws on.
    pub(super) fn nodes(&self) -> usize {
        self.starts.len() + 1
    }

    /// The nodes' values at all places; beyond the last node it stays as there.
    #[inline(always)]
    pub(super) fn draw(&self, nodes: &[f32], out: &mut Vec<f32>) {
        out.resize(self.shares.len(), 0.0);
        let ends = self.starts.iter().skip(1).copied().chain([self.shares.len()]);
        let mut start = 0;
        for ((node, from), end) in nodes.iter().enumerate().zip(ends) {
            let rise = nodes.get(node + 1).unwrap_or(from) - from;
            let shares = &self.shares[start..end];
            for (out, share) in out[start..end].iter_mut().zip(shares) {
                *out = from + rise * share;
            }
            start = end;
        }
    }
}

/// A row of pixels between two rows of nodes, each drawn out once for all rows between.
#[derive(Clone, Debug, Default)]
pub(super) struct Between {
    upper: Option<usize>,
    drawn: [Vec<f32>; 2],
    line: Vec<f32>,
}

impl Between {
    /// Goes to a share of the way from one row of nodes to the next; `draw` draws a row out.
    #[inline(always)]
    pub(super) fn to(
        &mut self,
        (upper, share): (usize, f32),
        columns: &Range<usize>,
        draw: impl Fn(usize, &mut Vec<f32>),
    ) {
        let [over, under] = &mut self.drawn;
        if self.upper != Some(upper) {
            if self.upper.is_some_and(|last| last + 1 == upper) {
                std::mem::swap(over, under);
            } else {
                draw(upper, over);
            }
            draw(upper + 1, under);
            self.upper = Some(upper);
        }
        self.line.resize(over.len(), 0.0);
        let pairs = over[columns.clone()].iter().zip(&under[columns.clone()]);
        for (value, (over, under)) in self.line[columns.clone()].iter_mut().zip(pairs) {
            *value = mix(*over, *under, share);
        }
    }

    /// The row; only the columns last asked for are up to date.
    pub(super) fn line(&self) -> &[f32] {
        &self.line
    }
}

/// From 0 to 1, level at both ends.
pub(super) fn ease(share: f32) -> f32 {
    share * share * (3.0 - 2.0 * share)
}
