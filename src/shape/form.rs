//! A recipe drawn with values: curves, before a wood and a name are chosen.

use crate::curve::{BezPath, Region};
use crate::finding::Source;
use crate::lettering::Choice;
use crate::model::{Grain, NameStyle, Surface, WantedCutter};

/// The curves of one dish. Lengths in mm.
#[derive(Clone, Debug)]
pub struct Form {
    /// The recipe's key.
    pub recipe: String,
    /// The recipe's title.
    pub title: String,
    /// Remarks for the bench.
    pub notes: Vec<String>,
    /// Which way the grain runs, where the recipe says so.
    pub grain: Option<Grain>,
    /// Parameter names and their values as shown to people, in the recipe's order.
    pub parameters: Vec<(String, String)>,
    /// The outside of the dish: one part, possibly with holes.
    pub outline: Region,
    /// What drew each piece of the outline, by its origin's number.
    pub outline_sources: Vec<Source>,
    /// Width of the rim where the recipe states one.
    pub rim: Option<f64>,
    /// The hollows.
    pub recesses: Vec<RecessForm>,
    /// Where a name goes.
    pub name: Option<NameForm>,
    /// Carved details.
    pub grooves: Vec<GrooveForm>,
    /// Round-over radius of the outer edge.
    pub outer_round: Option<f64>,
    /// Round-over radius of the recess edges.
    pub recess_round: Option<f64>,
    /// The recipe as a whole.
    pub source: Source,
}

/// A hollow, seen from above.
#[derive(Clone, Debug)]
pub struct RecessForm {
    /// Its area at the surface.
    pub region: Region,
    /// Floor thickness to keep, if the recipe states it.
    pub keep_floor: Option<f64>,
    /// Where it is written.
    pub source: Source,
}

/// Where a name goes.
#[derive(Clone, Debug)]
pub struct NameForm {
    /// Floor or rim.
    pub on: Surface,
    /// The baseline, left to right, open.
    pub baseline: BezPath,
    /// Greatest height of a capital letter.
    pub height: f64,
    /// How it is carved.
    pub style: NameStyle,
    /// What it is written in, where the recipe says so.
    pub letters: Option<Choice>,
    /// Width of a pen's strokes as written.
    pub stroke: Option<f64>,
    /// Depth as written.
    pub depth: Option<f64>,
    /// The panel of raised letters.
    pub panel: PanelForm,
    /// How narrow letters may become to fit, as a share of their width.
    pub condense: f64,
    /// Lines it may be split into to fit.
    pub lines: u32,
    /// The parameters its place and size come from, in a sentence for a finding.
    pub drawn_from: Option<String>,
    /// Where it is written.
    pub source: Source,
}

/// The panel of raised letters, as far as written.
#[derive(Clone, Copy, Debug, Default)]
pub struct PanelForm {
    /// From the letters to its edge.
    pub margin: Option<f64>,
    /// Radius of its corners.
    pub corner: Option<f64>,
}

/// A carved detail.
#[derive(Clone, Debug)]
pub struct GrooveForm {
    /// Its centre line.
    pub line: BezPath,
    /// Width at the surface.
    pub width: f64,
    /// Depth as written, or half the width.
    pub depth: f64,
    /// Floor or rim.
    pub on: Surface,
    /// The cutter that suits it, where the author says so.
    pub with: Option<WantedCutter>,
    /// Where it is written.
    pub source: Source,
}
