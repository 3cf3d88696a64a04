//! The wood a round cutter must leave.

use super::cycles::{Cycles, close};
use super::profile::Profile;
use super::runs::{Blocked, arcs_cross};
use super::walk::Element;
use crate::curve::{Contour, Origin, Point, Region};

/// What kind of place a cutter cannot follow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Niche {
    /// A corner or tight bend that stays rounded.
    Corner,
    /// A dead end too narrow to enter: the disc at its mouth touches both walls.
    Slot,
    /// A passage too narrow, with room for the cutter at more than one end of it: what lies
    /// behind is reached by a separate plunge.
    Neck,
    /// A hole the cutter does not fit into at all.
    Hole,
}

impl Niche {
    /// As printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Corner => "corner",
            Self::Slot => "slot",
            Self::Neck => "neck",
            Self::Hole => "hole",
        }
    }
}

/// Wood that a round cutter must leave.
#[derive(Clone, Debug)]
pub struct Leftover {
    /// What kind of place it is.
    pub niche: Niche,
    /// Its area as closed curves.
    pub region: Region,
    /// The deepest point of the unfollowed boundary.
    pub at: Point,
    /// Area, mm².
    pub area: f64,
    /// Largest distance from the unfollowed boundary to where the cutter does cut, mm; where
    /// it cuts nothing nearby, the width of the place it cannot enter.
    pub depth: f64,
    /// Distance between the two contacts that bound it, mm; 0 where there is none.
    pub mouth: f64,
    /// The smallest reach inside, mm.
    pub tightest: f64,
}

impl Cycles<'_> {
    /// Every leftover, largest depth first.
    pub(super) fn leftovers(&self) -> Vec<Leftover> {
        let mut found = Vec::new();
        let mut holes = Vec::new();
        for cycle in self.cycles(true) {
            let contour = self.rest(&cycle);
            let measured = self.measure(&cycle);
            sort_in(contour, measured, &mut found, &mut holes);
        }
        for lane in self.whole_loops(false) {
            let contour = self.profile.region.contours()
                [self.profile.walk.loops[lane].contour]
                .reversed();
            let measured = self.measure_whole(lane);
            sort_in(contour, measured, &mut found, &mut holes);
        }
        let mut leftovers = assemble(found, holes);
        leftovers.sort_by(|a, b| {
            b.depth
                .total_cmp(&a.depth)
                .then(a.at.x.total_cmp(&b.at.x))
                .then(a.at.y.total_cmp(&b.at.y))
        });
        leftovers
    }

    /// Unfollowed runs joined by the discs' arcs, with the leftover on the left.
    fn rest(&self, cycle: &[(usize, usize)]) -> Contour {
        let mut pieces = Vec::new();
        for &(from, to) in cycle {
            self.copy(self.between(from, to), &mut pieces);
            // the disc at `to` also touches where another run begins
            let arcs =
                Contour::from_pieces(self.arcs(self.turns()[to].partner)).reversed();
            pieces.extend_from_slice(arcs.pieces());
        }
        close(&mut pieces);
        Contour::from_pieces(pieces).reversed()
    }

    fn measure(&self, cycle: &[(usize, usize)]) -> Measured {
        let discs: Vec<(Point, Point, Point)> = cycle
            .iter()
            .map(|&(_, to)| {
                let (p, q) = (&self.turns()[to], &self.turns()[self.turns()[to].partner]);
                (p.center, p.point, q.point)
            })
            .collect();
        let mouth = discs.iter().map(|d| (d.1 - d.2).hypot()).fold(0.0, f64::max);
        let mut deepest = (-1.0, discs[0].1);
        let mut tightest = f64::INFINITY;
        for &(from, to) in cycle {
            for (element, u0, u1) in self.covered(self.between(from, to)) {
                // Once a sharp corner is met nothing is tighter.
                if tightest > 0.0 {
                    tightest = tightest.min(self.reach_within(element, u0, u1));
                }
                for point in self.probe(element, u0, u1) {
                    let depth = discs
                        .iter()
                        .map(|d| ((point - d.0).hypot() - self.radius).max(0.0))
                        .fold(f64::INFINITY, f64::min);
                    if depth > deepest.0 {
                        deepest = (depth, point);
                    }
                }
            }
        }
        let ends: Vec<usize> =
            cycle.iter().map(|&(_, to)| self.turns()[to].partner).collect();
        let crossed = arcs_cross(self.turns(), &ends, self.radius);
        let (at, depth) = (deepest.1, deepest.0.max(0.0));
        Measured { niche: self.niche(cycle), at, depth, mouth, tightest, crossed }
    }

    /// More than one disc at its mouths makes a neck; one makes a slot where walls face each
    /// other inside (within 12 degrees), else a corner.
    fn niche(&self, cycle: &[(usize, usize)]) -> Niche {
        const FACING: f64 = 0.98;
        let &[(from, to)] = cycle else { return Niche::Neck };
        let faces = |&(element, u0, u1): &(Element, f64, f64)| {
            let u = f64::midpoint(u0, u1);
            let (point, normal) = self.profile.walk.place(element, u);
            let contact = self.profile.ball(element, u, None).contact;
            contact.is_some_and(|other| {
                let across = other.point - point;
                across.hypot() > 1e-9 && across.dot(normal) > FACING * across.hypot()
            })
        };
        let slot = self.covered(self.between(from, to)).iter().any(faces);
        if slot { Niche::Slot } else { Niche::Corner }
    }

    fn measure_whole(&self, lane: usize) -> Measured {
        let samples = self.profile.sample_loop(lane, self.radius.max(0.25));
        let widest = samples.iter().max_by(|a, b| a.radius.total_cmp(&b.radius));
        let tightest = samples.iter().map(|s| s.radius).fold(f64::INFINITY, f64::min);
        let (depth, at) = widest.map_or((0.0, Point::ZERO), |s| {
            (2.0 * s.radius, self.profile.place(lane, s))
        });
        let niche = Niche::Hole;
        Measured { niche, at, depth, mouth: 0.0, tightest, crossed: false }
    }

    /// Points of part of an element.
    fn probe(
        &self,
        element: Element,
        u0: f64,
        u1: f64,
    ) -> impl Iterator<Item = Point> + '_ {
        const STEPS: usize = 8;
        let count = if matches!(element, Element::Along(_)) { STEPS } else { 0 };
        (0..=count).map(move |i| {
            let u = u0 + (u1 - u0) * i as f64 / STEPS as f64;
            self.profile.walk.place(element, u).0
        })
    }

    /// The reach halfway along part of an element; 0 at a sharp corner.
    fn reach_within(&self, element: Element, u0: f64, u1: f64) -> f64 {
        self.profile.ball(element, f64::midpoint(u0, u1), None).radius
    }
}

struct Measured {
    niche: Niche,
    at: Point,
    depth: f64,
    mouth: f64,
    tightest: f64,
    /// Two of its discs overlap, so its contour may cross itself.
    crossed: bool,
}

/// Contours round leftovers go to `found`, those of islands in them to `holes`. Where two
/// discs overlap in a neck the contour crosses itself and may enclose less than nothing in
/// sum, so the parts it winds round decide.
fn sort_in(
    contour: Contour,
    measured: Measured,
    found: &mut Vec<(Contour, Measured)>,
    holes: &mut Vec<Contour>,
) {
    let round_wood = contour.signed_area() > 0.0
        || measured.crossed && !Region::tidied(vec![contour.clone()]).is_empty();
    if round_wood {
        found.push((contour, measured));
    } else {
        holes.push(contour);
    }
}

fn assemble(found: Vec<(Contour, Measured)>, holes: Vec<Contour>) -> Vec<Leftover> {
    let mut groups: Vec<(Vec<Contour>, Measured)> =
        found.into_iter().map(|(contour, measured)| (vec![contour], measured)).collect();
    for hole in holes {
        let Some(point) = hole.pieces().first().map(|p| p.curve.eval(0.5)) else {
            continue;
        };
        let home = groups
            .iter_mut()
            .filter(|(contours, _)| contours[0].contains(point))
            .min_by(|a, b| a.0[0].signed_area().total_cmp(&b.0[0].signed_area()));
        if let Some((contours, _)) = home {
            contours.push(hole);
        }
    }
    groups
        .into_iter()
        .filter_map(|(contours, m)| {
            let region = if m.crossed {
                Region::tidied(contours)
            } else {
                Region::from_contours(contours)
            };
            let area = region.area();
            (area > 0.0).then_some(Leftover {
                niche: m.niche,
                region,
                at: m.at,
                area,
                depth: m.depth,
                mouth: m.mouth,
                tightest: m.tightest,
            })
        })
        .collect()
}

impl Profile {
    /// What a cutter of radius c mm leaves. `None` when the leftovers could not be told
    /// apart; the reach still stands.
    pub fn leftovers(&self, c: f64) -> Option<Vec<Leftover>> {
        self.left_by(c, &self.blocked(c, None))
    }

    /// The same for several radii, in their order; each looks only where larger ones could
    /// not follow.
    pub fn leftovers_of_each(&self, radii: &[f64]) -> Vec<Option<Vec<Leftover>>> {
        let mut order: Vec<usize> = (0..radii.len()).collect();
        order.sort_by(|&a, &b| radii[b].total_cmp(&radii[a]));
        let mut answers = vec![None; radii.len()];
        let mut larger: Option<Blocked> = None;
        for index in order {
            let blocked = self.blocked(radii[index], larger.as_ref());
            answers[index] = self.left_by(radii[index], &blocked);
            larger = Some(blocked);
        }
        answers
    }

    fn left_by(&self, c: f64, blocked: &Blocked) -> Option<Vec<Leftover>> {
        let runs = self.paired(c, blocked)?;
        let origin = Origin::default();
        Some(Cycles { profile: self, runs: &runs, radius: c, origin }.leftovers())
    }
}
