//! What stands above the tip while it carves in a hollow: the cutter's own body against the
//! wall, the collet nut against floor and rim.
//!
//! The nut is a cylinder of `machine.collet_nut`, upward from the stick-out above the tip,
//! with `house.collet_margin` around and below it. The wood is the board less the recesses,
//! their walls upright. With S the stick-out less the margin and d the tip's depth below the
//! top of the board, the nut is lower than a surface at depth z where d − S > z; it meets wood
//! there where the tip is nearer to that wood in the plan than the nut's radius and margin.

use crate::curve::{BezPath, Origin, PathEl, Point, Region};
use crate::dish::Dish;
use crate::model::{Cutter, Shop, Surface};
use crate::reach::{apart, shrink};
use std::cell::RefCell;

/// Distances in the plan are found within this, mm, and taken as so much smaller.
const FOUND: f64 = 0.005;

/// The tip may be so much nearer to the edge of letters than its radius, mm: strokes exactly
/// as wide as the cutter keep a middle line.
const EASE: f64 = 0.01;

/// Tips outside a hollow by less than this are in it, mm².
const NOTHING: f64 = 0.05;

/// Depths at which the body is held against the wall.
const STEPS: u32 = 8;

/// Where a tip goes.
#[derive(Clone, Copy, Debug)]
pub enum Tips<'a> {
    /// Wherever the cutter does not cut beyond this region: letters.
    Within(&'a Region),
    /// Along these lines, a single point for a dot: grooves, letters of one line.
    Along(&'a [BezPath]),
}

/// A cut into the face of the board or the floor of its recesses.
#[derive(Clone, Copy, Debug)]
pub struct Carving<'a> {
    /// Where the tip goes.
    pub tips: Tips<'a>,
    /// The surface it starts from.
    pub on: Surface,
    /// How deep it goes below that surface, mm.
    pub own: f64,
}

/// What is in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The nut would come down on the surface that is carved.
    NutOnSurface,
    /// The nut would come against the rim of a recess.
    NutOnRim,
    /// The cutter would cut or rub at the wall of a recess.
    Body,
    /// The shank would rub in the cut itself.
    Shank,
}

/// Something in the way. Lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Obstacle {
    /// What it is.
    pub part: Part,
    /// What there is: a depth for a nut on its surface and a shank, else a plan distance.
    pub have: f64,
    /// What would be needed, in the same sense.
    pub need: f64,
    /// Where the tip then is, if that is one place.
    pub at: Option<Point>,
    /// The depth of the carving below its surface up to which this is not in the way.
    pub own: f64,
}

/// Everything known that keeps a cutter from a carving. What the shop does not say is not
/// held against it.
pub fn obstacles(
    dish: &Dish,
    shop: &Shop,
    cutter: &Cutter,
    carving: &Carving<'_>,
) -> Vec<Obstacle> {
    let bench = Bench::new(dish, shop, (cutter, carving));
    let mut all = Vec::new();
    all.extend(bench.shank());
    all.extend(bench.nut());
    all.extend(bench.body());
    all
}

/// A plan distance in mm and where the tip then is; `None` when the tip is never so deep.
type Room = Option<(f64, Point)>;

struct Bench<'a> {
    dish: &'a Dish,
    shop: &'a Shop,
    cutter: &'a Cutter,
    carving: &'a Carving<'a>,
    /// Depth of the carved surface below the top of the board, mm.
    floor: f64,
    /// Room at the levels asked for already, where it is the same at every depth of the tip.
    known: RefCell<Vec<(f64, Room)>>,
}

impl<'a> Bench<'a> {
    fn new(
        dish: &'a Dish,
        shop: &'a Shop,
        (cutter, carving): (&'a Cutter, &'a Carving<'a>),
    ) -> Self {
        let floor = dish.surface_depth(carving.on);
        Self { dish, shop, cutter, carving, floor, known: RefCell::default() }
    }

    fn shank(&self) -> Option<Obstacle> {
        let (have, need) = (self.cutter.rubs_below()?, self.carving.own);
        let part = Part::Shank;
        (need > have + 1e-9).then_some(Obstacle { part, have, need, at: None, own: have })
    }

    fn nut(&self) -> Option<Obstacle> {
        let out = self.cutter.stick_out()? - self.shop.house.collet_margin.get();
        let own = self.carving.own;
        if own > out + 1e-9 {
            let part = Part::NutOnSurface;
            return Some(Obstacle { part, have: out, need: own, at: None, own: out });
        }
        let sunk = self.floor + own - out;
        self.levels()
            .into_iter()
            .filter(|level| *level < sunk - 1e-9 && *level < self.floor - 1e-9)
            .find_map(|level| self.rim(level, out))
    }

    /// Depths of the surfaces of the dish, top first.
    fn levels(&self) -> Vec<f64> {
        let mut levels: Vec<f64> = self.dish.recesses.iter().map(|r| r.depth).collect();
        levels.push(0.0);
        levels.sort_by(f64::total_cmp);
        levels.dedup();
        levels
    }

    /// The nut against the wood that reaches up to a level.
    fn rim(&self, level: f64, out: f64) -> Option<Obstacle> {
        let own = (out + level - self.floor).max(0.0);
        let radius = self.shop.machine.collet_nut.get() / 2.0;
        let need = radius + self.shop.house.collet_margin.get() + self.foot(out);
        let (have, at) = self.room(level, own)?;
        let part = Part::NutOnRim;
        (have < need).then_some(Obstacle { part, have, need, at: Some(at), own })
    }

    /// How far the curve at the foot of a wall comes in at the height of the nut, by the
    /// largest corner on the rack that carves recesses.
    fn foot(&self, out: f64) -> f64 {
        let corners = self.shop.cutters.iter().filter(|c| c.kind().carves_recesses());
        let corner =
            corners.map(Cutter::corner_radius).fold(0.0, f64::max).min(self.floor);
        let below = (self.carving.own - out + corner).clamp(0.0, corner);
        corner - (corner * corner - below * below).max(0.0).sqrt()
    }

    /// The cutter against the wall above the surface it carves.
    fn body(&self) -> Option<Obstacle> {
        if self.carving.on == Surface::Rim || self.floor <= 0.0 {
            return None;
        }
        let part = Part::Body;
        let own = |step: u32| self.carving.own * f64::from(step) / f64::from(STEPS);
        let wide =
            |own: f64, level: f64| self.cutter.body_radius(self.floor - level + own);
        for level in self.levels().into_iter().filter(|l| *l < self.floor - 1e-9) {
            let (have, at) = self.room(level, 0.0)?;
            if have >= wide(self.carving.own, level) {
                continue;
            }
            for step in 0..STEPS {
                let (have, at) = if step == 0 {
                    (have, at)
                } else {
                    let Some(room) = self.room(level, own(step)) else { continue };
                    room
                };
                let need = wide(own(step + 1), level);
                if have < need {
                    let own = own(step);
                    return Some(Obstacle { part, have, need, at: Some(at), own });
                }
            }
        }
        None
    }

    /// The least plan distance from where the tip is deeper than `own` to the wood that
    /// reaches up to a level, and where; 0 where the tip is over such wood. `None` when the
    /// tip is never so deep.
    fn room(&self, level: f64, own: f64) -> Room {
        if matches!(self.carving.tips, Tips::Within(_)) {
            return self.measured(level, own);
        }
        let same = |known: &&(f64, _)| (known.0 - level).abs() < 1e-12;
        let known = self.known.borrow().iter().find(same).map(|(_, room)| *room);
        known.unwrap_or_else(|| {
            let room = self.measured(level, own);
            self.known.borrow_mut().push((level, room));
            room
        })
    }

    fn measured(&self, level: f64, own: f64) -> Room {
        let deeper = self.dish.recesses.iter().filter(|r| r.depth > level + 1e-9);
        let deeper: Vec<Region> = deeper.map(|recess| recess.region.clone()).collect();
        let hollow = Region::united(&deeper);
        let line = match self.carving.tips {
            Tips::Along(lines) => lines.iter().flatten().collect(),
            Tips::Within(letters) => {
                let tips = self.tips(letters, own);
                let outside = tips.cut(&hollow);
                if outside.area() > NOTHING {
                    return Some((0.0, outside.bounds().center()));
                }
                tips.path()
            }
        };
        if let Some(out) = ends(&line).find(|p| !hollow.contains(*p)) {
            return Some((0.0, out));
        }
        apart(&line, &hollow, FOUND).map(|(far, at)| ((far - FOUND).max(0.0), at))
    }

    /// Where the tip can be while it is deeper than `own`.
    fn tips(&self, letters: &Region, own: f64) -> Region {
        let radius = self.cutter.surface_radius(own);
        let inner = shrink(letters, (radius - EASE).max(0.0), Origin::default());
        inner.filter(|inner| !inner.is_empty()).unwrap_or_else(|| letters.clone())
    }
}

/// The points where a line's segments begin and end, and its single points.
fn ends(line: &BezPath) -> impl Iterator<Item = Point> + '_ {
    line.elements().iter().filter_map(PathEl::end_point)
}

/// The least plan distance from the tip to a wall that stands to the top of the board, mm.
pub(super) fn room(
    dish: &Dish,
    shop: &Shop,
    cutter: &Cutter,
    carving: &Carving<'_>,
) -> Option<f64> {
    Bench::new(dish, shop, (cutter, carving)).room(0.0, 0.0).map(|(far, _)| far)
}
