//! Values at few places drawn out over many.

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

    /// How many places there are.
    pub(super) fn places(&self) -> usize {
        self.shares.len()
    }

    /// How many nodes it draws on.
    pub(super) fn nodes(&self) -> usize {
        self.starts.len() + 1
    }

    /// The nodes' values at some of the places.
    pub(super) fn draw(&self, nodes: &[f32], places: &Range<usize>, out: &mut [f32]) {
        let first = self.starts.partition_point(|start| *start <= places.start) - 1;
        let mut start = places.start;
        let mut ends = self.starts.iter().skip(first + 1).copied();
        for pair in nodes[first..].windows(2) {
            let end = ends.next().unwrap_or(places.end).min(places.end);
            let rise = pair[1] - pair[0];
            let shares = &self.shares[start..end];
            for (out, share) in out[start..end].iter_mut().zip(shares) {
                *out = pair[0] + rise * share;
            }
            start = end;
            if start == places.end {
                break;
            }
        }
    }
}

/// From 0 to 1, level at both ends.
pub(super) fn ease(share: f32) -> f32 {
    share * share * (3.0 - 2.0 * share)
}
