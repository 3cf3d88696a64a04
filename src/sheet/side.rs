//! The side view of one operation: nut, cutter and wood at the bottom of the cut, to scale,
//! with what is free between them. Nut and wood are cut off where they go on.

use super::block::{Block, rectangle};
use super::color::{Color, INK, QUIET, TINT, WHITE};
use super::dimension::{across, upward};
use super::facts::pairs;
use super::figures::fine;
use super::frame::{HEIGHT, MARGIN, WIDTH};
use super::mark::{Anchor, Sheet};
use super::style::{EDGE, FIGURE, Pen, THIN};
use crate::curve::{BezPath, Vec2};
use crate::feasibility::Standing;
use crate::plan::Work;
use crate::units::DisplayUnit;

/// Width of the numbers beside the drawing, mm.
const NUMBERS: f64 = 44.0;
/// Between drawing and numbers, mm.
const GAP: f64 = 4.0;
/// Room for the three dimension lines left of the drawing, mm.
const LINES: f64 = 21.0;
/// Room for the dimension line under the drawing, mm.
const FOOT: f64 = 7.0;
/// The nut is drawn so high, the wood so far beyond nut or cutter, the spoilboard so thick, mm
/// of the shop.
const NUT: f64 = 12.0;
const RIM: f64 = 10.0;
const SPOIL: f64 = 4.0;
/// The body is drawn with a point at every so many mm of its height.
const STEP: f64 = 0.1;
/// Length out of the collet where the shop does not say: only the cut is drawn.
const UNKNOWN: f64 = 10.0;

/// Drawing and numbers in a width and height, mm. The letters on the dimension lines stand
/// before the numbers.
pub(super) fn side_view(
    (work, standing): (Work, &Standing),
    (width, height): (f64, f64),
    (tone, unit): ([u8; 3], DisplayUnit),
) -> Block {
    let view = View::new(standing, (width - NUMBERS - LINES - GAP, height));
    let mut block = Block::space(height);
    view.wood(&mut block, tone);
    view.tool(&mut block);
    view.lines(&mut block);
    let numbers = pairs(&numbers(work, standing, unit), NUMBERS);
    block.put(numbers, Vec2::new(width - NUMBERS, 0.0));
    block
}

/// Side views under each other on a page of their own.
pub fn side_views(
    standings: &[(Work, Standing)],
    (tone, unit): ([u8; 3], DisplayUnit),
) -> Sheet {
    let rows = standings.len().max(1) as f64;
    let each = ((HEIGHT - (rows - 1.0) * 6.0) / rows).min(90.0);
    let views = standings
        .iter()
        .map(|(work, seen)| side_view((*work, seen), (WIDTH, each), (tone, unit)));
    let mut placed = Block::default();
    placed.put(Block::stack(views, 6.0), Vec2::new(MARGIN, MARGIN));
    Sheet {
        title: "Side views".to_owned(),
        language: "en",
        version: None,
        size: super::frame::A4,
        margin: MARGIN,
        paper: super::color::PAPER,
        layers: vec![placed.layer("side-views")],
    }
}

fn numbers(work: Work, standing: &Standing, unit: DisplayUnit) -> Vec<(String, String)> {
    let mut rows = Vec::new();
    let mut row = |label: &str, value: String| rows.push((label.to_owned(), value));
    let known = |mm: Option<f64>| mm.map_or("not known".to_owned(), |mm| fine(mm, unit));
    let cutter = &standing.cutter;
    row("Work", work.word().to_owned());
    row("Cutter", cutter.id().to_owned());
    row("a  out of the collet", known(cutter.stick_out()));
    row("b  tip below the top", fine(standing.depth, unit));
    match standing.above_board() {
        Some(free) if free >= 0.0 => row("c  nut above the top", fine(free, unit)),
        Some(free) => row("c  nut below the top", fine(-free, unit)),
        None => row("c  nut above the top", "not checked".to_owned()),
    }
    if let Some((wall, free)) = standing.wall.zip(standing.body_free()) {
        let letter = if wall_in_view(standing).is_some() { "d  a" } else { "A" };
        row(&format!("{letter}xis to the wall"), fine(wall, unit));
        row("Cutter to the wall", fine(free, unit));
    }
    if let Some(free) = standing.beside() {
        row("Nut to the wall", fine(free, unit));
    }
    row("Nut keeps from wood", fine(standing.margin, unit));
    row("Flutes", known(cutter.flutes()));
    row("Shank", known(cutter.shank()));
    rows
}

/// How far from the axis is shown, mm of the shop.
fn in_view(standing: &Standing) -> f64 {
    (standing.nut / 2.0).max(standing.cutter.radius()) + RIM
}

/// The wall, where it stands near enough to be shown.
fn wall_in_view(standing: &Standing) -> Option<f64> {
    standing.wall.filter(|wall| *wall < in_view(standing) - RIM / 4.0)
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
        let through = standing.depth > standing.board;
        let below = standing.board + if through { SPOIL } else { 1.0 };
        let half = in_view(standing);
        let foot = if wall_in_view(standing).is_some() { FOOT } else { 0.0 };
        let tall = height - 4.0 - foot;
        // Never larger than life.
        let scale = (width / (2.0 * half)).min(tall / (above + below)).min(1.0);
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

    /// Half of an outline from the tip to a height, as (radius, height).
    fn half(to: f64, radius: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
        let steps = (to / STEP).ceil().max(1.0) as u32;
        let heights = (0..=steps).map(|i| to * f64::from(i) / f64::from(steps));
        let mut points = vec![(0.0, 0.0)];
        points.extend(heights.map(|height| (radius(height), height)));
        points
    }

    /// What the cutter has cut on one side below a surface, from its axis outward: (distance,
    /// depth).
    fn cut(&self, surface: f64) -> Vec<(f64, f64)> {
        let s = self.standing;
        let swept = Self::half(s.depth - surface, |h| s.cutter.surface_radius(h));
        swept.into_iter().map(|(r, h)| (r, s.depth - h)).collect()
    }

    /// The board: open to the left as far as it is cut away there, to the right as it was
    /// before but for a wall; the spoilboard where the cut goes through.
    fn wood(&self, block: &mut Block, tone: [u8; 3]) {
        let s = self.standing;
        let far = self.half;
        let mut left = if s.open < s.depth {
            self.cut(s.open)
        } else {
            // Nothing to cut on this side: its wood begins under the wall's foot.
            vec![(-s.cutter.surface_radius(0.0), s.open)]
        };
        left.push((far, s.open));
        let mut right = self.cut(s.surface);
        if s.open > s.depth {
            right.remove(0);
        }
        if let Some(wall) = wall_in_view(s) {
            right.extend([(wall, s.surface), (wall, 0.0), (far, 0.0)]);
        } else {
            right.push((far, s.surface));
        }
        let wood = Color::new(tone).toward(WHITE, 0.45);
        if s.depth > s.board {
            let (x, y) = (self.x(-far), self.y(s.board));
            let spoil = rectangle(x, y, 2.0 * far * self.scale, SPOIL * self.scale);
            block.shape(spoil, TINT, THIN);
            for (side, half) in [(-1.0, left), (1.0, right)] {
                let over = half.into_iter().filter(|(_, depth)| *depth <= s.board);
                let mut points: Vec<(f64, f64)> =
                    over.map(|(r, depth)| (side * r, depth)).collect();
                points.push((side * far, s.board));
                points.push((points[0].0, s.board));
                block.shape(self.path(&points), wood, EDGE);
            }
            return;
        }
        let mut points = vec![(-far, s.board)];
        points.extend(left.into_iter().rev().map(|(r, depth)| (-r, depth)));
        points.extend(right);
        points.push((far, s.board));
        block.shape(self.path(&points), wood, EDGE);
    }

    fn tool(&self, block: &mut Block) {
        let s = self.standing;
        let half = Self::half(self.out, |h| s.cutter.radius_at(h));
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
            let (x, middle) = (object - column, f64::midpoint(from, to));
            let tight = to - from < 2.0 * FIGURE.height;
            let beside = if tight { "" } else { letter };
            upward(block, (from, to), (object, x, middle), (FIGURE, beside));
            if tight {
                let at = (x - 2.0, middle + FIGURE.height / 2.0);
                block.text(at, Anchor::End, FIGURE, letter);
            }
        };
        if s.cutter.stick_out().is_some() {
            line(6.0, (face, self.y(0.0)), "c");
            line(18.0, (face, self.y(s.depth)), "a");
        }
        line(12.0, (self.y(0.0), self.y(s.depth)), "b");
        if let Some(wall) = wall_in_view(s) {
            let ends = (self.x(0.0), self.x(wall));
            let bottom = self.y(s.board);
            across(block, ends, (bottom, bottom + FOOT - 2.0), (FIGURE, "d"));
        }
    }
}
