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
    /// Depth of the surface the cut starts from.
    pub surface: f64,
    /// Depth of the tip.
    pub depth: f64,
    /// Least plan distance from the tip to a wall that stands to the top of the board, where
    /// there is one beside it.
    pub wall: Option<f64>,
}

impl Standing {
    /// Cutting a wall of its own from the top of the board: a recess, a cut-out.
    pub fn at_wall(dish: &Dish, shop: &Shop, cutter: &Cutter, depth: f64) -> Self {
        let wall = Some(cutter.surface_radius(depth));
        Self::new(dish, shop, cutter, (0.0, depth, wall))
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
        Self::new(dish, shop, cutter, (surface, surface + carving.own, wall))
    }

    fn new(
        dish: &Dish,
        shop: &Shop,
        cutter: &Cutter,
        (surface, depth, wall): (f64, f64, Option<f64>),
    ) -> Self {
        Self {
            cutter: cutter.clone(),
            nut: shop.machine.collet_nut.get(),
            margin: shop.house.collet_margin.get(),
            board: dish.wood.thickness.get(),
            surface,
            depth,
            wall,
        }
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
}
