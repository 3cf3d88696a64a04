//! A cut through the dish, true to scale.

use super::block::{Block, paragraph};
use super::color::{Color, QUIET};
use super::dimension::{across, upward};
use super::figures::length;
use super::mark::{Anchor, Drawn, Mark};
use super::scale::Scale;
use super::style::{EDGE, FIGURE, LABEL, Pen};
use super::tongue::{Tongue, filled};
use crate::curve::{BezPath, Contour, Piece, Point, Region, Vec2};
use crate::dish::{Dish, NameCut};
use crate::lettering::width;
use crate::model::{Cutter, NameStyle, Shop, Surface, Work};
use crate::plan::Plan;
use crate::units::{Deg, DisplayUnit, Mm};

/// What the section needs to know of the cutters.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tools<'a> {
    /// Corner radius of the recess cutter, mm.
    pub(super) foot: f64,
    /// Included angle of the name's V-bit in degrees, where there is one.
    pub(super) angle: Option<f64>,
    /// What is cut away for a name whose ground is pocketed, where that is known.
    pub(super) name: Option<&'a Region>,
}

impl Tools<'_> {
    /// Those of a plan; what is cut away for the name is not asked here.
    pub(super) fn of(plan: &Plan, shop: &Shop) -> Self {
        let cutter = |works: &[Work]| -> Option<&Cutter> {
            let op = plan.operations.iter().rfind(|op| works.contains(&op.work))?;
            shop.cutters.iter().find(|cutter| cutter.id() == op.cutter)
        };
        let recess = cutter(&[Work::Recess, Work::RecessCorners]);
        let foot = recess.map_or(0.0, Cutter::corner_radius);
        let angle = cutter(&[Work::Name]).and_then(|cutter| cutter.spec().angle);
        Self { foot, angle: angle.map(Deg::get), name: None }
    }
}

/// What a section is taller than its board, mm on paper.
pub(super) const SECTION: f64 = 11.5;

/// Where to cut: through the name if it lies in a hollow or there is none, else where the
/// hollow is widest.
pub(super) fn cut_height(dish: &Dish) -> f64 {
    let seen = |name: &&NameCut| name.on == Surface::Floor || dish.recesses.is_empty();
    if let Some(name) = dish.name.as_ref().filter(seen) {
        let own = name.region.bounds();
        return own.y0 + own.height() * 0.437;
    }
    widest(dish)
}

/// Where the hollow is widest.
fn widest(dish: &Dish) -> f64 {
    let bounds = dish.outline.bounds();
    let wide = |y: f64| {
        let spans = dish.recesses.iter().flat_map(|r| spans(&r.region, y));
        spans.map(|(a, b)| b - a).sum::<f64>()
    };
    (1..20)
        .map(|i| bounds.y0 + bounds.height() * (f64::from(i) / 20.0 + 0.0037))
        .map(|y| (wide(y), y))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map_or_else(|| bounds.center().y, |(_, y)| y)
}

/// Where a level line is inside a region, left to right, mm.
pub(super) fn spans(region: &Region, y: f64) -> Vec<(f64, f64)> {
    const STEPS: u32 = 48;
    /// More than rounding moves a place of a piece out of its bounds, mm.
    const ROUNDING: f64 = 1e-6;
    let meets = |piece: &&Piece| {
        let bounds = piece.curve.bounds();
        bounds.y0 - ROUNDING <= y && y <= bounds.y1 + ROUNDING
    };
    let mut crossings = Vec::new();
    for piece in region.contours().iter().flat_map(Contour::pieces).filter(meets) {
        let mut from = piece.curve.start();
        for step in 1..=STEPS {
            let to = if step == STEPS {
                piece.curve.end()
            } else {
                piece.curve.eval(f64::from(step) / f64::from(STEPS))
            };
            if (from.y > y) != (to.y > y) {
                crossings.push(from.x + (to.x - from.x) * (y - from.y) / (to.y - from.y));
            }
            from = to;
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The section at a height, as wide as the plan, its left edge at x = `left`; its caption
/// goes no further than `room`.
pub(super) fn section(
    dish: &Dish,
    y: f64,
    (scale, left, room): (Scale, f64, f64),
    (tools, unit): (Tools<'_>, DisplayUnit),
) -> Block {
    let bounds = dish.outline.bounds();
    let thick = dish.wood.thickness.get();
    let top = 6.5;
    let paper = Paper { scale: scale.factor(), origin: (left, top), zero: bounds.x0 };
    let mut block = Block::default();
    for span in spans(&dish.outline, y) {
        let profile = profile(dish, y, span, tools);
        wood(&mut block, &paper.path(&profile), dish.wood.tone);
    }
    measures(&mut block, dish, y, (&paper, unit));
    let words = paragraph(&caption(dish, unit), LABEL, room - left, 2);
    let y = top + thick * paper.scale + 2.7;
    block.height = y + words.height;
    block.put(words, Vec2::new(left, y));
    block
}

/// The dish cut through where its hollow is widest, for who will eat from it: how thick it is
/// and how deep. Its left edge is at x = `left`.
pub(super) fn depths(
    dish: &Dish,
    (scale, left): (Scale, f64),
    tools: Tools<'_>,
    tongue: Tongue,
) -> Block {
    const ABOVE: f64 = 0.5;
    let y = widest(dish);
    let (zero, thick) = (dish.outline.bounds().x0, dish.wood.thickness.get());
    let paper = Paper { scale: scale.factor(), origin: (left, ABOVE), zero };
    let mut block = Block::space(thick * paper.scale + 2.0 * ABOVE);
    let whole = spans(&dish.outline, y);
    for span in &whole {
        let profile = profile(dish, y, *span, tools);
        wood(&mut block, &paper.path(&profile), dish.wood.tone);
    }
    let ends = (paper.y(0.0), paper.y(thick));
    if let Some((_, right)) = whole.last() {
        let right = paper.x(*right);
        let place = (right, right + 6.0, f64::midpoint(ends.0, ends.1));
        upward(&mut block, ends, place, (LABEL, &tongue.length(thick)));
    }
    for recess in &dish.recesses {
        let said =
            filled(&tongue.words.deep, &[("length", &tongue.length(recess.depth))]);
        let across = spans(&recess.region, y);
        let Some((a, b)) =
            across.into_iter().max_by(|p, q| (p.1 - p.0).total_cmp(&(q.1 - q.0)))
        else {
            continue;
        };
        if width(&said, LABEL.face, LABEL.height) < (b - a) * paper.scale - 4.0 {
            let at = (paper.x(f64::midpoint(a, b)), paper.y(recess.depth / 2.0));
            let at = (at.0, at.1 + LABEL.height / 2.0);
            block.text(at, Anchor::Middle, LABEL, &said);
        }
    }
    block
}

fn caption(dish: &Dish, unit: DisplayUnit) -> String {
    let Some(name) = &dish.name else { return "Section S–S".to_owned() };
    let how = match name.style {
        NameStyle::Vee => "V-carved up to",
        NameStyle::Sunk => "sunk",
        NameStyle::Raised => "stands in a panel sunk",
        NameStyle::Line => "cut along its lines",
    };
    let on = match name.on {
        Surface::Floor => "the floor",
        Surface::Rim => "the face",
    };
    let (depth, kept) = (length(name.depth, unit), length(name.floor, unit));
    format!("Section S–S. Name {how} {depth} into {on}; at least {kept} left below.")
}

/// From dish x and depth to paper.
struct Paper {
    scale: f64,
    origin: (f64, f64),
    zero: f64,
}

impl Paper {
    fn x(&self, x: f64) -> f64 {
        self.origin.0 + (x - self.zero) * self.scale
    }

    fn y(&self, depth: f64) -> f64 {
        self.origin.1 + depth * self.scale
    }

    fn path(&self, profile: &BezPath) -> BezPath {
        let by = Vec2::new(self.origin.0 - self.zero * self.scale, self.origin.1);
        crate::curve::Affine::new([self.scale, 0.0, 0.0, self.scale, by.x, by.y])
            * profile.clone()
    }
}

fn wood(block: &mut Block, path: &BezPath, tone: [u8; 3]) {
    block.fill(path.clone(), Color::new(tone).toward(super::color::WHITE, 0.45));
    let frame = path.control_box();
    let mut hatch = BezPath::new();
    let mut x = frame.x0 - frame.height();
    while x < frame.x1 {
        hatch.move_to((x, frame.y1));
        hatch.line_to((x + frame.height(), frame.y0));
        x += 2.2;
    }
    block.stroke_in(hatch, Pen::new(QUIET.at(0.55), 0.13), path);
    let stroke = Some(EDGE.into());
    let path = path.clone();
    block.marks.push(Mark::Path(Drawn { path, fill: None, stroke, clip: None }));
}

/// The outline of the cut wood: x as in the dish, y the depth below the top, mm.
fn profile(dish: &Dish, y: f64, (from, to): (f64, f64), tools: Tools<'_>) -> BezPath {
    let thick = dish.wood.thickness.get();
    let round =
        dish.outer_round.map_or(0.0, Mm::get).min(thick / 2.0).min((to - from) / 2.0);
    let mut path = BezPath::new();
    path.move_to((from, thick));
    path.line_to((from, round));
    corner(&mut path, (from, 0.0), (from + round, 0.0));
    let mut hollows: Vec<(f64, f64, f64)> = dish
        .recesses
        .iter()
        .flat_map(|r| spans(&r.region, y).into_iter().map(|(a, b)| (a, b, r.depth)))
        .filter(|(a, b, _)| *a >= from && *b <= to)
        .collect();
    hollows.sort_by(|p, q| p.0.total_cmp(&q.0));
    let mut at = from + round;
    for (a, b, depth) in hollows {
        notches(&mut path, dish, y, ((at, a), 0.0, Surface::Rim, tools));
        hollow(&mut path, dish, y, ((a, b), depth, tools));
        at = b;
    }
    notches(&mut path, dish, y, ((at, to - round), 0.0, Surface::Rim, tools));
    path.line_to((to - round, 0.0));
    corner(&mut path, (to, 0.0), (to, round));
    path.line_to((to, thick));
    path.close_path();
    path
}

fn hollow(
    path: &mut BezPath,
    dish: &Dish,
    y: f64,
    ((a, b), depth, tools): ((f64, f64), f64, Tools<'_>),
) {
    let foot = tools.foot.min(depth).min((b - a) / 2.0).max(0.0);
    let edge = dish.recess_round.map_or(0.0, Mm::get).min(depth - foot).max(0.0);
    path.line_to((a - edge, 0.0));
    corner(path, (a, 0.0), (a, edge));
    path.line_to((a, depth - foot));
    corner(path, (a, depth), (a + foot, depth));
    notches(path, dish, y, ((a + foot, b - foot), depth, Surface::Floor, tools));
    path.line_to((b - foot, depth));
    corner(path, (b, depth), (b, depth - foot));
    path.line_to((b, edge));
    corner(path, (b, 0.0), (b + edge, 0.0));
}

/// The carved strokes of the name between two places of a surface.
fn notches(
    path: &mut BezPath,
    dish: &Dish,
    y: f64,
    ((from, to), level, on, tools): ((f64, f64), f64, Surface, Tools<'_>),
) {
    let Some(name) = dish.name.as_ref().filter(|name| name.on == on) else { return };
    let cut = tools.name.unwrap_or_else(|| name.ground());
    for (a, b) in spans(cut, y).into_iter().filter(|(a, b)| *a >= from && *b <= to) {
        let half = (b - a) / 2.0;
        let slope = match (name.style, tools.angle) {
            (NameStyle::Vee, Some(angle)) => (angle / 2.0).to_radians().tan(),
            (NameStyle::Vee, None) => 1.0,
            (NameStyle::Sunk | NameStyle::Raised | NameStyle::Line, _) => 0.0,
        };
        let depth = if slope > 0.0 { (half / slope).min(name.depth) } else { name.depth };
        let run = depth * slope;
        path.line_to((a, level));
        path.line_to((a + run, level + depth));
        path.line_to((b - run, level + depth));
        path.line_to((b, level));
    }
}

/// A quarter round from the path's end about a corner to a point.
fn corner(path: &mut BezPath, corner: (f64, f64), to: (f64, f64)) {
    const K: f64 = 0.552_284_75;
    let (corner, to) = (Point::from(corner), Point::from(to));
    let Some(from) = path.current_position() else { return };
    if from.distance(to) < 1e-9 {
        path.line_to(to);
    } else {
        path.curve_to(from.lerp(corner, K), to.lerp(corner, K), to);
    }
}

/// Board, hollow, floor and rim.
fn measures(
    block: &mut Block,
    dish: &Dish,
    y: f64,
    (paper, unit): (&Paper, DisplayUnit),
) {
    let thick = dish.wood.thickness.get();
    let whole = spans(&dish.outline, y);
    let (Some(first), Some(last)) = (whole.first(), whole.last()) else { return };
    let right = paper.x(last.1);
    let thickness = length(thick, unit);
    let ends = (paper.y(0.0), paper.y(thick));
    let place = (right, right + 8.5, f64::midpoint(ends.0, ends.1));
    upward(block, ends, place, (FIGURE, &thickness));
    let hollows = dish.recesses.iter().filter_map(|recess| {
        let across = spans(&recess.region, y);
        let widest =
            across.into_iter().max_by(|p, q| (p.1 - p.0).total_cmp(&(q.1 - q.0)))?;
        Some((recess, widest))
    });
    for (recess, (a, b)) in hollows {
        let (depth, kept) = (length(recess.depth, unit), length(recess.floor, unit));
        let words = format!("{depth} deep, {kept} of floor kept");
        let room = (b - a) * paper.scale - 8.0;
        if width(&words, FIGURE.face, FIGURE.height) <= room {
            let x = paper.x(f64::midpoint(a, b));
            let y = paper.y(recess.depth / 2.0) + FIGURE.height / 2.0;
            block.text((x, y), Anchor::Middle, FIGURE, &words);
        }
    }
    let recess = dish.recesses.iter().find_map(|r| spans(&r.region, y).first().copied());
    if let Some((a, _)) = recess.filter(|(a, _)| *a > first.0) {
        let ends = (paper.x(first.0), paper.x(a));
        let rim = length(a - first.0, unit);
        across(block, ends, (paper.y(0.0), paper.y(0.0) - 3.5), (FIGURE, &rim));
    }
}
