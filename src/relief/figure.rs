//! What the wood of a species looks like, by eye: our judgement of boards, no measurement.

/// The figure of a flat-sawn board. Shares say how much darker a thing is than what is around
/// it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Figure {
    /// From ring to ring, mm.
    pub(super) ring: f32,
    /// The dark end of a ring.
    pub(super) late: f32,
    /// How much of a ring is light: the power of its rise.
    pub(super) rise: i32,
    /// The band of pores a ring begins with.
    pub(super) early: f32,
    /// Pores in that band, or all over where there is none.
    pub(super) pores: f32,
    /// Length and width of a pore as cut, mm.
    pub(super) pore: [f32; 2],
    /// Broad bands of darker and lighter wood.
    pub(super) streaks: f32,
    /// Fine lines along the grain.
    pub(super) fibre: f32,
    /// Short lens-shaped marks of the rays.
    pub(super) flecks: f32,
}

/// Of a wood nothing is known of.
const PLAIN: Figure = Figure {
    ring: 3.2,
    late: 0.16,
    rise: 4,
    early: 0.0,
    pores: 0.05,
    pore: [4.0, 0.25],
    streaks: 0.08,
    fibre: 0.10,
    flecks: 0.0,
};

const MAPLE: Figure = Figure {
    ring: 2.8,
    late: 0.15,
    rise: 7,
    pores: 0.03,
    pore: [3.0, 0.2],
    streaks: 0.07,
    fibre: 0.07,
    flecks: 0.04,
    ..PLAIN
};

const CHERRY: Figure = Figure {
    ring: 3.0,
    late: 0.20,
    rise: 4,
    pores: 0.06,
    pore: [3.0, 0.2],
    streaks: 0.13,
    fibre: 0.10,
    flecks: 0.05,
    ..PLAIN
};

const WALNUT: Figure = Figure {
    ring: 3.8,
    late: 0.46,
    rise: 2,
    early: 0.10,
    pores: 0.36,
    pore: [9.0, 0.3],
    streaks: 0.60,
    fibre: 0.16,
    flecks: 0.0,
};

const BIRCH: Figure = Figure {
    ring: 3.6,
    late: 0.12,
    rise: 5,
    pores: 0.06,
    pore: [5.0, 0.22],
    streaks: 0.10,
    fibre: 0.09,
    flecks: 0.02,
    ..PLAIN
};

const BEECH: Figure = Figure {
    ring: 3.2,
    late: 0.12,
    rise: 3,
    pores: 0.03,
    pore: [2.5, 0.2],
    streaks: 0.05,
    fibre: 0.07,
    flecks: 0.24,
    ..PLAIN
};

const ASH: Figure = Figure {
    ring: 3.3,
    late: 0.05,
    rise: 2,
    early: 0.34,
    pores: 0.42,
    pore: [9.0, 0.35],
    streaks: 0.07,
    fibre: 0.09,
    flecks: 0.0,
};

const OAK: Figure = Figure {
    ring: 3.2,
    late: 0.08,
    rise: 2,
    early: 0.26,
    pores: 0.50,
    pore: [7.0, 0.38],
    streaks: 0.10,
    fibre: 0.10,
    flecks: 0.20,
};

impl Figure {
    /// Of a species by its name.
    pub(super) fn of(species: Option<&str>) -> Self {
        match species {
            Some("sugar maple" | "red maple" | "silver maple") => MAPLE,
            Some("black cherry") => CHERRY,
            Some("black walnut") => WALNUT,
            Some("yellow birch") => BIRCH,
            Some("american beech") => BEECH,
            Some("white ash") => ASH,
            Some("white oak") => OAK,
            Some(_) | None => PLAIN,
        }
    }

    /// How dark it is at a share of a ring, pores apart.
    pub(super) fn profile(&self, share: f32) -> f32 {
        let late = self.late * share.powi(self.rise);
        // A bump that begins at once and is gone after two fifths of the ring.
        let left = (1.0 - share / 0.4).max(0.0);
        late + self.early * left * left * (3.0 - 2.0 * left)
    }
}
