//! Markers beside a drawing, each with a line to its place, none over another.

use super::block::{Block, disc, polygon, rectangle};
use super::color::{Color, INK, PAPER, WHITE, okabe_ito};
use super::mark::{Anchor, Mark};
use super::style::{FIGURE, Pen, Style, THIN};
use crate::curve::{Point, Rect, Vec2};
use crate::finding::Severity;
use crate::lettering::{Face, width};

/// Half the side of a marker's box, mm.
pub(super) const HALF: f64 = 1.9;

/// What a marker looks like; shape and colour always go together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    /// Left by the outline cutter.
    Outline,
    /// Left by the recess cutter.
    Recess,
    /// A finding.
    Finding(Severity),
}

impl Shape {
    pub(super) const fn color(self) -> Color {
        match self {
            Self::Recess => okabe_ito::PURPLE,
            Self::Finding(Severity::Stop) => okabe_ito::VERMILION,
            Self::Outline | Self::Finding(Severity::Warn) => okabe_ito::ORANGE,
            Self::Finding(Severity::Note) => okabe_ito::BLUE,
        }
    }
}

/// Draws a marker about a point.
pub(super) fn marker(block: &mut Block, at: Point, shape: Shape, text: &str) {
    let (x, y) = (at.x, at.y);
    let color = shape.color();
    let edge = Pen::new(color, 0.35);
    let mut ink = INK;
    let style = Style::new(Face::SansBold, FIGURE.height);
    let half = half(text);
    match shape {
        Shape::Outline => {
            block.shape(
                rectangle(x - half, y - half, 2.0 * half, 2.0 * half),
                WHITE,
                edge,
            );
        }
        Shape::Recess => block.shape(disc(at, half), WHITE, edge),
        Shape::Finding(Severity::Stop) => {
            block.fill(octagon(at, half * 1.06), color);
            ink = WHITE;
        }
        Shape::Finding(Severity::Warn) => {
            let (up, down) = (half * 1.25, half * 0.85);
            let half = half * 1.2;
            let corners = [(x, y - up), (x + half, y + down), (x - half, y + down)];
            block.shape(polygon(&corners), color, edge);
        }
        Shape::Finding(Severity::Note) => {
            block.fill(disc(at, half), color);
            ink = WHITE;
        }
    }
    block.text((x, y + FIGURE.height / 2.0), Anchor::Middle, style.color(ink), text);
}

/// Half the size of a marker for a text, mm.
fn half(text: &str) -> f64 {
    let width = width(text, Face::SansBold, FIGURE.height);
    HALF.max(width / 2.0 + 0.5)
}

/// An octagon standing on a side.
pub(super) fn octagon(at: Point, radius: f64) -> crate::curve::BezPath {
    let corner = |i: i32| {
        let angle = std::f64::consts::PI * (f64::from(i) + 0.5) / 4.0;
        (at.x + radius * angle.cos(), at.y + radius * angle.sin())
    };
    polygon(&(0..8).map(corner).collect::<Vec<_>>())
}

/// Finds free places for markers.
#[derive(Debug)]
pub(super) struct Labels {
    /// What is taken.
    taken: Vec<Rect>,
    /// What is kept clear as long as there is room elsewhere.
    spared: Vec<Rect>,
    /// Where markers may be.
    room: Rect,
    /// Markers are sent away from here.
    middle: Point,
}

impl Labels {
    /// Markers in a room, sent away from its drawing's middle. Texts drawn before are kept
    /// clear, and so are the places to be spared wherever a marker finds room beside them.
    pub(super) fn new(
        block: &Block,
        room: Rect,
        middle: Point,
        spared: Vec<Rect>,
    ) -> Self {
        let taken = block.marks.iter().filter_map(|mark| match mark {
            Mark::Text(text) => {
                let [x0, y0, x1, y1] = text.extent();
                Some(Rect::new(x0, y0, x1, y1))
            }
            Mark::Path(_) | Mark::Picture(_) => None,
        });
        Self { taken: taken.collect(), spared, room, middle }
    }

    /// Draws a marker with a line to its target as near as there is room; none at all where
    /// there is no room.
    pub(super) fn add(
        &mut self,
        block: &mut Block,
        target: Point,
        (shape, text): (Shape, &str),
    ) {
        let half = half(text);
        let beside = self.free(target, half, &self.spared);
        let Some(at) = beside.or_else(|| self.free(target, half, &[])) else { return };
        self.taken.push(boxed(at, half));
        let toward = at - target;
        let end = at - toward * (half / toward.hypot());
        block.line((target.x, target.y), (end.x, end.y), Pen::new(INK, THIN.width));
        block.shape(disc(target, 0.45), PAPER, Pen::new(shape.color(), 0.25));
        marker(block, at, shape, text);
    }

    fn free(&self, target: Point, half: f64, spared: &[Rect]) -> Option<Point> {
        let away = (target - self.middle).atan2();
        let rings = (0..12).map(|i| 5.6 + 1.6 * f64::from(i));
        let spread = |radius: f64| {
            (0..=9).flat_map(move |i| {
                let turn = f64::from(i) * 0.349;
                [away + turn, away - turn].map(|angle| Vec2::from_angle(angle) * radius)
            })
        };
        rings.flat_map(spread).map(|by| target + by).find(|at| {
            let own = boxed(*at, half);
            let inside = self.room.contains(Point::new(own.x0, own.y0))
                && self.room.contains(Point::new(own.x1, own.y1));
            let mut kept = self.taken.iter().chain(spared);
            inside && kept.all(|taken| taken.intersect(own).area() <= 0.0)
        })
    }
}

/// What a marker takes with a little air.
fn boxed(at: Point, half: f64) -> Rect {
    let reach = half * 1.3 + 0.3;
    Rect::new(at.x - reach, at.y - reach, at.x + reach, at.y + reach)
}

/// A, B, … Z, AA, AB, …
pub(super) fn letters(index: usize) -> String {
    let letter =
        |i: usize| char::from_u32(65 + u32::try_from(i % 26).unwrap_or(0)).unwrap_or('A');
    if index < 26 {
        letter(index).to_string()
    } else {
        format!("{}{}", letter(index / 26 - 1), letter(index))
    }
}
