//! The side view of one operation: nut, cutter and wood at the bottom of the cut, to scale,
//! with what is free between them.

use super::block::{Block, rectangle};
use super::color::{Color, INK, QUIET, TINT, WHITE};
use super::dimension::upward;
use super::figures::{fine, length};
use super::frame::{HEIGHT, MARGIN, WIDTH};
use super::mark::{Layer, Sheet};
use super::proof::pairs;
use super::style::{EDGE, FIGURE, Pen, THIN};
use crate::curve::{BezPath, Vec2};
use crate::feasibility::Standing;
use crate::units::DisplayUnit;

/// Width of the numbers beside the drawing, mm.
const NUMBERS: f64 = 44.0;
/// Room for the three dimension lines left of the drawing, mm.
const LINES: f64 = 21.0;
/// The nut is drawn so high, mm of the shop, and the wood so far beyond the wall.
const NUT: f64 = 12.0;
const RIM: f64 = 10.0;
/// The body is drawn with a point at every so many mm of its height.
const STEP: f64 = 0.1;
/// Length out of the collet where the shop does not say: only the cut is drawn.
const UNKNOWN: f64 = 10.0;

/// Drawing and numbers in a width and height, mm. The letters on the dimension lines stand
/// before the numbers.
pub(super) fn side_view(
    standing: &Standing,
    (width, height): (f64, f64),
    (tone, unit): ([u8; 3], DisplayUnit),
) -> Block {
    let view = View::new(standing, (width - NUMBERS - LINES, height));
    let mut block = Block::space(height);
    view.wood(&mut block, tone);
    view.tool(&mut block);
    view.lines(&mut block);
    block.put(pairs(&numbers(standing, unit), NUMBERS), Vec2::new(width - NUMBERS, 0.0));
    block
}

/// Side views under each other on a page of their own.
pub fn side_views(standings: &[Standing], (tone, unit): ([u8; 3], DisplayUnit)) -> Sheet {
    let rows = standings.len().max(1) as f64;
    let each = (HEIGHT - (rows - 1.0) * 6.0) / rows;
    let views =
        standings.iter().map(|s| side_view(s, (WIDTH, each.min(90.0)), (tone, unit)));
    let mut placed = Block::default();
    placed.put(Block::stack(views, 6.0), Vec2::new(MARGIN, MARGIN));
    Sheet {
        title: "Side views".to_owned(),
        language: "en",
        size: super::frame::A4,
        margin: MARGIN,
        paper: super::color::PAPER,
        layers: vec![Layer { name: "side-views", marks: placed.marks }],
    }
}

fn numbers(standing: &Standing, unit: DisplayUnit) -> Vec<(String, String)> {
    let mut rows = Vec::new();
    let mut row = |label: &str, value: String| rows.push((label.to_owned(), value));
    row("Cutter", standing.cutter.id().to_owned());
    let out = standing.cutter.stick_out();
    row("a  stick-out", out.map_or("not known".to_owned(), |out| length(out, unit)));
    row("b  tip below the top", fine(standing.depth, unit));
    match standing.above_board() {
        Some(free) if free >= 0.0 => row("c  nut above the top", fine(free, unit)),
        Some(free) => row("c  nut below the top", fine(-free, unit)),
        None => row("c  nut above the top", "not checked".to_owned()),
    }
    if let Some(wall) = standing.wall {
        row("d  axis to the wall", fine(wall, unit));
    }
    row("Half the nut", length(standing.nut / 2.0, unit));
    if let Some(free) = standing.beside() {
        row("Nut to the wall", fine(free, unit));
    }
    row("Margin to keep", length(standing.margin, unit));
    let flutes = standing.cutter.flutes();
    row("Flutes", flutes.map_or("not known".to_owned(), |mm| length(mm, unit)));
    rows
}

/// From mm beside the axis and below the top of the board to paper.
struct View<'s> {
    standing: &'s Standing,
    scale: f64,
    axis: f64,
    top: f64,
    /// Half of what is shown, mm of the shop.
    half: f64,
    out: f64,
}

impl<'s> View<'s> {
    fn new(standing: &'s Standing, (width, height): (f64, f64)) -> Self {
        let out = standing.cutter.stick_out().unwrap_or(standing.depth + UNKNOWN);
        let above = (out - standing.depth + NUT).max(4.0);
        let below = standing.board.max(standing.depth) + 1.0;
        let widest = standing.nut / 2.0 + RIM;
        let half = widest.max(standing.cutter.radius() + RIM);
        let scale = (width / (2.0 * half)).min((height - 4.0) / (above + below));
        let (axis, top) = (LINES + half * scale, 2.0 + above * scale);
        Self { standing, scale, axis, top, half, out }
    }

    fn x(&self, x: f64) -> f64 {
        self.axis + x * self.scale
    }

    fn y(&self, depth: f64) -> f64 {
        self.top + depth * self.scale
    }

    fn path(&self, points: &[(f64, f64)]) -> BezPath {
        let placed: Vec<(f64, f64)> =
            points.iter().map(|(x, depth)| (self.x(*x), self.y(*depth))).collect();
        super::block::polygon(&placed)
    }

    /// Half of the cutter's outline from its tip to a height, as (radius, height).
    fn body(&self, to: f64) -> Vec<(f64, f64)> {
        let steps = (to / STEP).ceil().max(1.0) as u32;
        let at = |height: f64| (self.standing.cutter.radius_at(height), height);
        let mut points = vec![(0.0, 0.0)];
        points.extend((0..=steps).map(|i| at(to * f64::from(i) / f64::from(steps))));
        points
    }

    /// The board with the recess left of a wall and the cut under the cutter.
    fn wood(&self, block: &mut Block, tone: [u8; 3]) {
        let s = self.standing;
        let far = self.half;
        let wall = s.wall.map_or(far, |wall| wall.min(far));
        let bottom = s.depth.min(s.board);
        let cut = self.body((s.depth - s.surface).max(0.0));
        let cut = |side: f64| -> Vec<(f64, f64)> {
            let own = cut.iter().map(|(r, h)| (side * r, (s.depth - h).min(bottom)));
            own.collect()
        };
        let sunk = s.surface > 0.0;
        let mut points = vec![(-far, s.board), (-far, s.surface)];
        let mut left = cut(-1.0);
        left.reverse();
        points.extend(left);
        points.extend(cut(1.0));
        if sunk {
            points.extend([(wall, s.surface), (wall, 0.0)]);
        }
        points.extend([(far, if sunk { 0.0 } else { s.surface }), (far, s.board)]);
        let path = self.path(&points);
        block.shape(path, Color::new(tone).toward(WHITE, 0.45), EDGE);
    }

    fn tool(&self, block: &mut Block) {
        let s = self.standing;
        let half = self.body(self.out);
        let mut points: Vec<(f64, f64)> =
            half.iter().rev().map(|(r, h)| (-r, s.depth - h)).collect();
        points.extend(half.iter().map(|(r, h)| (*r, s.depth - h)));
        let steel = Color::new([0x8A, 0x94, 0x9C]);
        block.shape(self.path(&points), steel.toward(WHITE, 0.45), Pen::new(INK, 0.25));
        if s.cutter.stick_out().is_some() {
            let nut = rectangle(
                self.x(-s.nut / 2.0),
                self.y(s.depth - self.out - NUT),
                s.nut * self.scale,
                NUT * self.scale,
            );
            block.shape(nut, TINT, EDGE);
        }
        let dash = Pen::new(QUIET, 0.13).dashed(&[3.0, 0.8, 0.4, 0.8]);
        let ends = (self.y(s.depth - self.out - NUT) - 1.0, self.y(s.depth) + 2.0);
        block.line((self.axis, ends.0), (self.axis, ends.1), dash);
    }

    /// The measured lengths with their letters, each in a column of its own.
    fn lines(&self, block: &mut Block) {
        let s = self.standing;
        let object = self.x(-self.half);
        let face = self.y(s.depth - self.out);
        let mut line = |column: f64, ends: (f64, f64), letter: &str| {
            let (from, to) = (ends.0.min(ends.1), ends.0.max(ends.1));
            let place = (object, object - column, f64::midpoint(from, to));
            upward(block, (from, to), place, (FIGURE, letter));
        };
        if s.cutter.stick_out().is_some() {
            line(6.0, (face, self.y(0.0)), "c");
            line(18.0, (face, self.y(s.depth)), "a");
        }
        line(12.0, (self.y(0.0), self.y(s.depth)), "b");
        if let Some(wall) = s.wall.filter(|wall| *wall <= self.half && s.surface > 0.0) {
            let y = self.y(s.surface / 2.0);
            block.line((self.axis, y), (self.x(wall), y), THIN);
            let x = self.x(wall) - 2.5;
            block.text((x, y - 0.8), super::mark::Anchor::Middle, FIGURE, "d");
        }
    }
}
