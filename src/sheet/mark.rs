//! Marks on paper: what a sheet is made of.

use super::color::Color;
use super::painting::Picture;
use crate::curve::{BezPath, Point};
use crate::lettering::{Face, width};
use std::ops::Range;

/// One page. Coordinates in mm, x right, **y down**, origin at the top left corner.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// What it is, for the reader's window title.
    pub title: String,
    /// The language its words are in, as in BCP 47.
    pub language: &'static str,
    /// A short mark of what it promises, where it is to be approved.
    pub version: Option<String>,
    /// Width and height in mm.
    pub size: [f64; 2],
    /// Nothing is written outside this far from the edges, mm.
    pub margin: f64,
    /// The colour of the paper.
    pub paper: Color,
    /// Bottom to top.
    pub layers: Vec<Layer>,
}

impl Sheet {
    /// Prints its pictures with about so many pixels to the inch, no fewer.
    pub fn print_at(&mut self, dpi: f64) {
        for mark in self.layers.iter_mut().flat_map(|layer| &mut layer.marks) {
            if let Mark::Picture(picture) = mark {
                picture.print_at(dpi);
            }
        }
    }
}

/// Marks that belong together.
#[derive(Clone, Debug)]
pub struct Layer {
    /// A word of our own: lower case letters and hyphens.
    pub name: &'static str,
    /// Bottom to top.
    pub marks: Vec<Mark>,
    /// Which of them belong closer together, none of them in two parts.
    pub parts: Vec<Part>,
}

/// Marks of a layer that show one operation, or serve one purpose.
#[derive(Clone, Debug)]
pub struct Part {
    /// A word of our own: lower case letters and hyphens.
    pub name: &'static str,
    /// Which marks of the layer.
    pub marks: Range<usize>,
}

/// One thing drawn.
#[derive(Clone, Debug)]
pub enum Mark {
    /// A line or an area.
    Path(Drawn),
    /// A line of text.
    Text(Text),
    /// A painted dish. It hides what lies below it.
    Picture(Box<Picture>),
}

/// A line or an area; areas fill by the non-zero rule.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// In page coordinates.
    pub path: BezPath,
    /// The colour of its area.
    pub fill: Option<Color>,
    /// How its edge is drawn.
    pub stroke: Option<Stroke>,
    /// Only what lies inside this area shows.
    pub clip: Option<BezPath>,
}

/// How a line is drawn. Ends and corners are round.
#[derive(Clone, Debug)]
pub struct Stroke {
    /// Its colour.
    pub color: Color,
    /// Its width in mm.
    pub width: f64,
    /// Lengths of dash, gap, dash, …, mm; empty for a continuous line.
    pub dash: Vec<f64>,
}

/// Where a line of text is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// At its start.
    Start,
    /// At its middle.
    Middle,
    /// At its end.
    End,
}

/// Which way a line of text runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// To the right.
    Right,
    /// Up the page, to be read from the right (ISO 129-1).
    Up,
}

/// A line of text. Made by the layout helpers, which see to it that every character can be
/// written in the face.
#[derive(Clone, Debug)]
pub struct Text {
    /// The held point of the baseline.
    pub at: Point,
    /// Which end of it is held.
    pub anchor: Anchor,
    /// Which way it runs.
    pub way: Way,
    /// Height of a capital letter in mm (the nominal size h of ISO 3098).
    pub height: f64,
    /// The face.
    pub face: Face,
    /// Its colour.
    pub color: Color,
    /// What is written.
    pub text: String,
}

impl Text {
    /// Its length in mm.
    pub fn width(&self) -> f64 {
        width(&self.text, self.face, self.height)
    }

    /// What it takes up: left, top, right, bottom in mm, from the top of a capital letter to
    /// a quarter of its height below the baseline.
    pub fn extent(&self) -> [f64; 4] {
        let length = self.width();
        let before = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => length / 2.0,
            Anchor::End => length,
        };
        let (above, below) = (self.height, self.height * 0.25);
        let Point { x, y } = self.at;
        match self.way {
            Way::Right => [x - before, y - above, x - before + length, y + below],
            Way::Up => [x - above, y + before - length, x + below, y + before],
        }
    }
}
