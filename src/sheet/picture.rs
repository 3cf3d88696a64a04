//! The dish as drawn where many stand side by side: flat wood with its hollow, name and grooves.

use super::block::Block;
use super::color::{Color, INK, PAPER, WHITE};
use super::mark::{Drawn, Mark};
use super::style::Pen;
use super::view::View;
use crate::curve::{Affine, BezPath, Point, Rect, Region};
use crate::dish::{Dish, NameCut};
use crate::feasibility::Pair;
use crate::model::{NameStyle, Shop};
use crate::plan::{Plan, pocketed};

/// The tones one wood is drawn in.
struct Tones {
    face: Color,
    hollow: Color,
    grain: Color,
    carved: Color,
    /// A panel, and the tops of the letters that stand in it.
    panel: [Color; 2],
    /// The far edge of what is carved.
    lip: Color,
    shine: Color,
}

impl Tones {
    fn of(tone: [u8; 3]) -> Self {
        /// Carved strokes tend to this, on dark wood to paper's white.
        const DEEP: Color = Color::new([0x1A, 0x12, 0x0D]);
        /// Least contrast of what must be seen (W3C, "Web Content Accessibility Guidelines
        /// 2.1", 2018, criterion 1.4.11; from memory).
        const SEEN: f64 = 3.0;
        let face = Color::new(tone);
        let [r, g, b] = tone.map(|part| f64::from(part) / 255.0);
        // Relative luminance weights of ITU-R BT.709, on the coded values.
        let bright = 0.2126 * r + 0.7152 * g + 0.0722 * b;
        let hollow = face.toward(INK, 0.13 + 0.35 * (0.75 - bright).max(0.0));
        let shine = WHITE.at(0.12 + 0.34 * bright);
        let dark = face.toward(DEEP, 0.80);
        let seen = dark.contrast(hollow).min(dark.contrast(face)) >= SEEN;
        // As light as can be seen against the tops, so that it still is wood.
        let depths = (4..=10).map(|tenth| face.toward(DEEP, f64::from(tenth) * 0.09));
        let ground = depths.clone().find(|ground| ground.contrast(hollow) >= SEEN);
        let tops = if ground.is_some() { hollow } else { face.toward(PAPER, 0.7) };
        let panel = [ground.unwrap_or_else(|| face.toward(DEEP, 0.6)), tops];
        let (carved, lip) =
            if seen { (dark, shine) } else { (face.toward(PAPER, 0.88), DEEP.at(0.6)) };
        let grain = face.toward(INK, 0.45).at(0.20);
        Self { face, hollow, grain, carved, panel, lip, shine }
    }
}

/// What the cutters of a plan make of a dish, where that is known.
#[derive(Clone, Debug)]
pub(super) struct Made<'a> {
    /// What those of the hollows reach.
    pub(super) pair: Option<&'a Pair>,
    /// What is cut away for a name whose ground is pocketed.
    pub(super) name: Option<Region>,
}

impl<'a> Made<'a> {
    pub(super) fn of(dish: &Dish, plan: &'a Plan, shop: &Shop) -> Self {
        Self { pair: plan.pair.as_ref(), name: pocketed(dish, plan, shop) }
    }
}

/// Draws a dish as it is made.
pub(super) fn picture(block: &mut Block, dish: &Dish, view: &View, made: &Made<'_>) {
    let tones = Tones::of(dish.wood.tone);
    board(block, dish, view, &tones);
    for (index, recess) in dish.recesses.iter().enumerate() {
        let reached = made.pair.and_then(|pair| pair.reached.get(index));
        let flat = reached.map(|reached| &reached.flat);
        hollow(block, &recess.region, view, (&tones, flat));
    }
    // What leaves the wood is not carved, so it is not drawn either.
    let wood = view.region(&dish.outline);
    for groove in &dish.grooves {
        let width = (groove.width * view.factor).max(0.25);
        let line = view.path(&groove.line);
        let below = Affine::translate((0.18, 0.22)) * line.clone();
        block.stroke_in(below, Pen::new(tones.lip, width), &wood);
        block.stroke_in(line, Pen::new(tones.carved.at(0.9), width), &wood);
    }
    if let Some(name) = &dish.name {
        let cut = made.name.as_ref().unwrap_or_else(|| name.ground());
        letters(block, (name, cut), view, (&tones, &wood));
    }
}

/// Letters cut into the wood, or left standing in their panel.
fn letters(
    block: &mut Block,
    (name, cut): (&NameCut, &Region),
    view: &View,
    (tones, wood): (&Tones, &BezPath),
) {
    if name.style != NameStyle::Raised {
        let below = view.region(&view.nudged(cut, 0.22, 0.26));
        block.fill_in(below, tones.lip, wood);
        block.fill_in(view.region(cut), tones.carved, wood);
        return;
    }
    let [ground, tops] = tones.panel;
    block.fill_in(view.region(name.outline()), tops, wood);
    block.fill_in(view.region(cut), ground, wood);
    // Light from the upper left: the panel's far walls are lit, the letters cast a shade.
    let shade = cut.cut(&view.nudged(cut, 0.26, 0.31));
    block.fill_in(view.region(&shade), INK.at(0.35), wood);
    let lit = cut.cut(&view.nudged(cut, -0.14, -0.16));
    block.fill_in(view.region(&lit), tones.shine, wood);
}

fn board(block: &mut Block, dish: &Dish, view: &View, tones: &Tones) {
    let outline = view.region(&dish.outline);
    for (away, opacity) in [(1.5, 0.05), (1.0, 0.07), (0.5, 0.09)] {
        let below = view.region(&view.nudged(&dish.outline, away * 0.8, away));
        block.fill(below, INK.at(opacity));
    }
    block.fill(outline.clone(), tones.face);
    grain(block, view.frame, tones, &outline);
    let round = dish.outer_round.map_or(0.0, crate::units::Mm::get) * view.factor;
    edges(block, &dish.outline, view, (tones, 0.35 + 0.3 * round, true));
}

/// One hollow; `flat` is the part of its floor that comes out flat.
fn hollow(
    block: &mut Block,
    recess: &Region,
    view: &View,
    (tones, flat): (&Tones, Option<&Region>),
) {
    let path = view.region(recess);
    block.fill(path.clone(), tones.hollow);
    grain(block, view.frame, tones, &path);
    edges(block, recess, view, (tones, 0.9, false));
    if let Some(flat) = flat {
        block.stroke(view.region(flat), Pen::new(INK.at(0.16), 0.25));
    }
}

/// Light from the upper left: bright and dark along the edges of something raised, the other
/// way round where it is sunk.
fn edges(
    block: &mut Block,
    region: &Region,
    view: &View,
    (tones, width, raised): (&Tones, f64, bool),
) {
    let upper_left = region.cut(&view.nudged(region, width * 0.8, width));
    let lower_right = region.cut(&view.nudged(region, -width * 0.8, -width));
    let (bright, dark) =
        if raised { (upper_left, lower_right) } else { (lower_right, upper_left) };
    block.fill(view.region(&bright), tones.shine);
    block.fill(view.region(&dark), INK.at(if raised { 0.20 } else { 0.30 }));
}

/// Grain to the right, drawn only inside an area. Its waves are fixed sums of sines, so the
/// same dish is drawn the same way.
fn grain(block: &mut Block, frame: Rect, tones: &Tones, clip: &BezPath) {
    let mut y = frame.y0 - 4.0;
    let mut line = 0.0;
    while y < frame.y1 + 4.0 {
        let path = wave(frame, y, line);
        let pen = Pen::new(tones.grain, if (line % 3.0) < 1.0 { 0.25 } else { 0.13 });
        let stroke = Some(pen.into());
        let clip = Some(clip.clone());
        block.marks.push(Mark::Path(Drawn { path, fill: None, stroke, clip }));
        y += 1.7 + 0.9 * (line * 2.399).sin();
        line += 1.0;
    }
}

fn wave(frame: Rect, y: f64, line: f64) -> BezPath {
    const STEP: f64 = 6.0;
    let height = |x: f64| {
        let slow = (x * 0.021 + line * 0.13).sin() * 2.2;
        let fast = (x * 0.075 + line * 0.61).sin() * 0.35;
        y + slow + fast
    };
    let mut path = BezPath::new();
    let mut x = frame.x0 - STEP;
    path.move_to((x, height(x)));
    while x < frame.x1 + STEP {
        let slope = |x: f64| (height(x + 0.01) - height(x - 0.01)) / 0.02;
        let (a, b) = (x, x + STEP);
        let third = STEP / 3.0;
        path.curve_to(
            Point::new(a + third, height(a) + slope(a) * third),
            Point::new(b - third, height(b) - slope(b) * third),
            Point::new(b, height(b)),
        );
        x = b;
    }
    path
}
