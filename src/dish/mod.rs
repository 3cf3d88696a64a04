//! One dish: outline, recess, name and wood together, every thickness derived.

mod assemble;
mod name;
mod panel;

pub use assemble::assemble;

use crate::curve::{BezPath, Point, Region};
use crate::finding::Source;
use crate::lettering::Gap;
use crate::model::{Grain, Manner, NameStyle, Surface, WantedCutter, Wood};
use crate::units::Mm;

/// One dish, ready to be checked and drawn.
#[derive(Clone, Debug)]
pub struct Dish {
    /// The order's id.
    pub id: String,
    /// The name to carve, as written; empty when only a recipe is checked.
    pub person: String,
    /// The recipe's key.
    pub recipe: String,
    /// The recipe's title.
    pub title: String,
    /// The recipe's notes for the bench.
    pub notes: Vec<String>,
    /// Which way the grain runs, where the recipe says so.
    pub grain: Option<Grain>,
    /// Parameter names and their values as shown to people.
    pub parameters: Vec<(String, String)>,
    /// Names of the parameters that the order sets.
    pub asked: Vec<String>,
    /// How many alike.
    pub quantity: u32,
    /// The customer's or maker's remark.
    pub note: Option<String>,
    /// A date, as given by the order.
    pub date: Option<String>,
    /// How its proof speaks, where not as the shop's do.
    pub manner: Manner,
    /// The wood; its thickness is the dish's.
    pub wood: Wood,
    /// The outside of the dish.
    pub outline: Region,
    /// What drew each piece of the outline, by its origin's number.
    pub outline_sources: Vec<Source>,
    /// Width of the rim, where the recess follows the outline.
    pub rim: Option<Mm>,
    /// The hollows.
    pub recesses: Vec<RecessCut>,
    /// The name, if there is one and it could be laid out.
    pub name: Option<NameCut>,
    /// Carved details.
    pub grooves: Vec<GrooveCut>,
    /// Round-over radius of the outer edge, mm.
    pub outer_round: Option<Mm>,
    /// Round-over radius of the recess edges, mm.
    pub recess_round: Option<Mm>,
    /// The recipe, for findings about the dish as a whole.
    pub source: Source,
}

impl Dish {
    /// The recipe's line that drew the outline near a point.
    pub fn outline_source(&self, near: Point) -> Source {
        self.outline
            .origin_near(near)
            .and_then(|origin| self.outline_sources.get(origin.0 as usize))
            .unwrap_or(&self.source)
            .clone()
    }

    /// Width and height of the outline, mm.
    pub fn size(&self) -> (f64, f64) {
        let bounds = self.outline.bounds();
        (bounds.width(), bounds.height())
    }

    /// Depth of the surface something is carved in, below the top of the board, mm.
    pub fn surface_depth(&self, on: Surface) -> f64 {
        match on {
            Surface::Rim => 0.0,
            Surface::Floor => self.recesses.iter().map(|r| r.depth).fold(0.0, f64::max),
        }
    }
}

/// A hollow.
#[derive(Clone, Debug)]
pub struct RecessCut {
    /// Its area at the surface.
    pub region: Region,
    /// How deep, mm.
    pub depth: f64,
    /// Wood left below it, mm.
    pub floor: f64,
    /// Where it is written.
    pub source: Source,
}

/// A carved name.
#[derive(Clone, Debug)]
pub struct NameCut {
    /// The letters' outlines in place.
    pub region: Region,
    /// Each letter with its marks: as written, and its outline in place.
    pub letters: Vec<(String, BezPath)>,
    /// Centre lines of letters drawn with a pen, one point for a dot; empty for a face.
    pub centers: Vec<BezPath>,
    /// Width of that pen, mm.
    pub pen: Option<f64>,
    /// The baseline, for drawing.
    pub baseline: BezPath,
    /// Height of a capital letter as fitted, mm.
    pub height: f64,
    /// Added between two letters, mm; below zero they were set closer to fit.
    pub tracking: f64,
    /// Width of the letters as a share of that drawn; below one they were narrowed to fit.
    pub condensed: f64,
    /// Lines it is written in.
    pub lines: usize,
    /// How it is carved.
    pub style: NameStyle,
    /// The panel that raised letters stand in; `None` for letters cut into the wood.
    pub panel: Option<Panel>,
    /// Where it is carved.
    pub on: Surface,
    /// Depth limit, mm below the surface it is carved in.
    pub depth: f64,
    /// Wood left below the deepest cut of the name, mm, by its depth limit.
    pub floor: f64,
    /// The thinnest stroke: width in mm and where.
    pub thinnest: Option<(f64, Point)>,
    /// The widest stroke, mm.
    pub widest: f64,
    /// The narrowest wood between strokes, within a letter or between two.
    pub wood: Option<Gap>,
    /// Where it is written.
    pub source: Source,
}

impl NameCut {
    /// What is cut into the surface: the letters, or the panel around them.
    pub fn ground(&self) -> &Region {
        self.panel.as_ref().map_or(&self.region, |panel| &panel.ground)
    }

    /// The whole of the name with its panel.
    pub fn outline(&self) -> &Region {
        self.panel.as_ref().map_or(&self.region, |panel| &panel.outline)
    }
}

/// The sunk panel that raised letters stand in.
#[derive(Clone, Debug)]
pub struct Panel {
    /// Its border.
    pub outline: Region,
    /// What is cleared: all within the border that is not a letter.
    pub ground: Region,
    /// From the letters to the border, mm.
    pub margin: f64,
    /// Radius of its corners as asked for, mm.
    pub corner: f64,
}

/// A carved detail line.
#[derive(Clone, Debug)]
pub struct GrooveCut {
    /// Its centre line.
    pub line: BezPath,
    /// Width at the surface, mm.
    pub width: f64,
    /// Depth, mm.
    pub depth: f64,
    /// Where it is carved.
    pub on: Surface,
    /// The cutter that suits it, where the author says so.
    pub with: Option<WantedCutter>,
    /// Where it is written.
    pub source: Source,
}
