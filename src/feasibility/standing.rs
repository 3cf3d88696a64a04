//! A cutter at the bottom of its cut, with what stands above it: for the side view.

use super::nut::{Carving, room};
use crate::dish::Dish;
use crate::model::{Cutter, Shop};

/// One cutter at its deepest. Lengths in mm, depths below the top of the board.
#[derive(Clone, Debug)]
pub struct Standing {
    /// The cutter.
    pub cutter: Cutter,
    /// Diameter of the collet nut.
    pub nut: f64,
    /// Kept free around the nut.
    pub margin: f64,
    /// Thickness of the board.
    pub board: f64,
    /// Depth of the wood on the open side of the cutter: what it stands on, or came from.
    pub open: f64,
    /// Depth of the surface the cut starts from on the other side.
    pub surface: f64,
    /// Depth of the tip.
    pub depth: f64,
    /// Least plan distance from the axis to a wall that stands to the top of the board on that
    /// other side; `None` where the cut makes its own.
    pub wall: Option<f64>,
}

impl Standing {
    /// Cutting from the top of the board beside wood that lies at a depth: the floor of a
    /// recess already cleared; 0 where there is wood on both sides.
    pub fn at_wall(
        dish: &Dish,
        shop: &Shop,
        cutter: &Cutter,
        (depth, open): (f64, f64),
    ) -> Self {
        Self::new(dish, shop, cutter).down(depth, (open, 0.0))
    }

    /// Carving a surface.
    pub fn carving(
        dish: &Dish,
        shop: &Shop,
        cutter: &Cutter,
        carving: &Carving<'_>,
    ) -> Self {
        let surface = dish.surface_depth(carving.on);
        let wall = (surface > 0.0).then(|| room(dish, shop, cutter, carving)).flatten();
        let standing = Self::new(dish, shop, cutter);
        Self { wall, ..standing.down(surface + carving.own, (surface, surface)) }
    }

    fn new(dish: &Dish, shop: &Shop, cutter: &Cutter) -> Self {
        Self {
            cutter: cutter.clone(),
            nut: shop.machine.collet_nut.get(),
            margin: shop.house.collet_margin.get(),
            board: dish.wood.thickness.get(),
            open: 0.0,
            surface: 0.0,
            depth: 0.0,
            wall: None,
        }
    }

    fn down(self, depth: f64, (open, surface): (f64, f64)) -> Self {
        Self { open, surface, depth, ..self }
    }

    /// From the lower face of the nut down to the top of the board; below zero when the nut
    /// is in the recess. `None` without a known stick-out.
    pub fn above_board(&self) -> Option<f64> {
        Some(self.cutter.stick_out()? - self.depth)
    }

    /// From the nut across to the wall, where the nut is below the top of the board or within
    /// the margin of it.
    pub fn beside(&self) -> Option<f64> {
        let low = self.above_board()? < self.margin - 1e-9;
        self.wall.filter(|_| low).map(|wall| wall - self.nut / 2.0)
    }

    /// From the widest of the cutter below the top of the board across to the wall.
    pub fn body_free(&self) -> Option<f64> {
        self.wall.map(|wall| wall - self.cutter.body_radius(self.depth))
    }
}
