//! Text styles and pens, in the series of the standards.

use super::color::{Color, HAIR, INK, QUIET};
use super::mark::Stroke;
use crate::lettering::Face;

/// Heights of capital letters in mm, the nominal sizes of ISO 3098 (from memory).
pub const HEIGHTS: [f64; 7] = [1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0];

/// Widths of lines in mm, ISO 128 (from memory).
pub const WIDTHS: [f64; 6] = [0.13, 0.18, 0.25, 0.35, 0.5, 0.7];

/// How a line of text looks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Style {
    pub(super) face: Face,
    /// Height of a capital letter, mm.
    pub(super) height: f64,
    pub(super) color: Color,
}

impl Style {
    pub(super) const fn new(face: Face, height: f64) -> Self {
        Self { face, height, color: INK }
    }

    pub(super) const fn quiet(self) -> Self {
        self.color(QUIET)
    }

    pub(super) const fn color(self, color: Color) -> Self {
        Self { color, ..self }
    }

    /// From one baseline to the next, mm; ISO 3098 asks for at least 1.3 heights, and 1.9
    /// where capitals carry marks.
    pub(super) const fn pitch(self) -> f64 {
        self.height * 1.9
    }
}

/// The small print and tables.
pub(super) const SMALL: Style = Style::new(Face::Serif, 1.8);
/// Figures in tables.
pub(super) const FIGURE: Style = Style::new(Face::Sans, 1.8);
/// Labels above values.
pub(super) const LABEL: Style = Style::new(Face::Sans, 1.8).quiet();
/// What people read.
pub(super) const BODY: Style = Style::new(Face::Serif, 2.5);
/// Over a part of a sheet.
pub(super) const HEADING: Style = Style::new(Face::SerifSemibold, 2.5);

/// How a line is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pen {
    pub(super) color: Color,
    /// mm, a member of [`WIDTHS`].
    pub(super) width: f64,
    pub(super) dash: &'static [f64],
}

impl Pen {
    pub(super) const fn new(color: Color, width: f64) -> Self {
        Self { color, width, dash: &[] }
    }

    pub(super) const fn dashed(self, dash: &'static [f64]) -> Self {
        Self { dash, ..self }
    }
}

impl From<Pen> for Stroke {
    fn from(pen: Pen) -> Self {
        Self { color: pen.color, width: pen.width, dash: pen.dash.to_vec() }
    }
}

/// Rules between things.
pub(super) const RULE: Pen = Pen::new(HAIR, 0.18);
/// Dimension and leader lines.
pub(super) const THIN: Pen = Pen::new(QUIET, 0.18);
/// Visible edges.
pub(super) const EDGE: Pen = Pen::new(INK, 0.35);
