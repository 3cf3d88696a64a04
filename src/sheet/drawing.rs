//! The plan on the bench sheet: lines, leftovers, markers, overall sizes.

use super::block::{Block, polygon, rectangle};
use super::color::{Color, INK, QUIET, WHITE, okabe_ito};
use super::dimension::{across, upward};
use super::figures::length;
use super::labels::{Labels, Shape, letters};
use super::mark::Anchor;
use super::scale::Scale;
use super::setup::{zero, zero_box};
use super::style::{FIGURE, LABEL, Pen};
use super::view::View;
use crate::curve::{BezPath, Contour, Point, Rect, Region, left};
use crate::dish::{Dish, NameCut};
use crate::feasibility::{Pair, SwapRow};
use crate::finding::{Finding, Severity};
use crate::lettering::width as lettering_width;
use crate::plan::Tab;
use crate::reach::Leftover;
use crate::units::DisplayUnit;

/// Room left of and above the drawing for markers, mm.
const AIR: f64 = 6.5;
/// From the drawing to its dimension line, mm.
const OUT: f64 = 8.0;
/// What is drawn beyond a dimension line, mm.
const BEYOND: f64 = 1.2;
/// What the plan is wider and taller than its dish, mm on paper.
pub(super) const ACROSS: f64 = AIR + OUT + BEYOND;
/// See [`ACROSS`].
pub(super) const DOWN: f64 = AIR + OUT + BEYOND;

/// Tint of what only the second recess cutter reaches.
pub(super) const SECOND: Color = okabe_ito::BLUE;
/// Dashes of the edge of the flat floor.
pub(super) const FLAT: [f64; 2] = [1.2, 0.8];

/// A cutter against a boundary.
#[derive(Clone, Copy, Debug)]
pub(super) struct Attempt<'a> {
    pub(super) row: &'a SwapRow,
    /// It is the one in the plan; else the one that leaves least.
    pub(super) chosen: bool,
}

impl Attempt<'_> {
    /// What it does, and the shape of its markers.
    pub(super) fn words(&self, shape: &str) -> String {
        let row = self.row;
        let job = row.job.word();
        let start = if self.chosen {
            format!("{} on the {job}", row.id)
        } else {
            format!("No cutter for the {job}; {} would leave least", row.id)
        };
        if row.unsure {
            return format!(
                "{start}: what it leaves could not be measured; try it in scrap."
            );
        }
        match row.leftovers.len() {
            0 if row.follows && row.tie => format!("{start}: just follows everywhere."),
            0 if row.follows => format!("{start}: follows everywhere."),
            0 => format!("{start}: does not follow everywhere."),
            1 => format!("{start}: 1 place, {shape}."),
            n => format!("{start}: {n} places, {shape}s."),
        }
    }
}

/// What the cutters leave.
#[derive(Clone, Copy, Debug)]
pub(super) struct Left<'a> {
    pub(super) outline: Option<Attempt<'a>>,
    pub(super) recess: Option<Attempt<'a>>,
    /// What each of the recess cutters reaches, where that is known.
    pub(super) pair: Option<&'a Pair>,
}

impl<'a> Left<'a> {
    /// All of it with its marks, in the order of its letters: outline first, deepest first.
    pub(super) fn lettered(&self) -> impl Iterator<Item = (String, Shape, &'a Leftover)> {
        let of = |attempt: Option<Attempt<'a>>, shape| {
            let rows = attempt.map_or(&[][..], |attempt| &attempt.row.leftovers);
            rows.iter().map(move |left| (shape, left))
        };
        let all = of(self.outline, Shape::Outline).chain(of(self.recess, Shape::Recess));
        all.enumerate().map(|(i, (shape, left))| (letters(i), shape, left))
    }
}

/// What the plan shows beside the dish.
#[derive(Clone, Copy, Debug)]
pub(super) struct Notes<'a> {
    pub(super) left: Left<'a>,
    pub(super) findings: &'a [Finding],
    /// Where the dish stays joined to the board.
    pub(super) tabs: &'a [Tab],
    /// What is cut away for a name whose ground is pocketed, where that is known.
    pub(super) name: Option<&'a Region>,
    /// Where the section is cut, dish y.
    pub(super) cut: f64,
    pub(super) unit: DisplayUnit,
}

/// The plan at a scale, as wide as the dish with air and dimensions around it.
pub(super) fn plan_view(dish: &Dish, scale: Scale, notes: &Notes<'_>) -> (Block, View) {
    let view = View::new(dish.outline.bounds(), scale, (AIR, AIR));
    let mut block = Block::default();
    block.part("tabs", |block| {
        notes.tabs.iter().for_each(|tab| bridge(block, &view, dish, tab));
    });
    lines(&mut block, dish, &view, notes);
    block.part("leftovers", |block| {
        for (_, shape, left) in notes.left.lettered() {
            leftover(block, &view, shape.color(), left);
        }
    });
    block.part("section-line", |block| section_line(block, &view, notes.cut));
    block.part("sizes", |block| sizes(block, &view, dish, (notes.cut, notes.unit)));
    let frame = view.frame;
    let room = Rect::new(0.0, 0.0, frame.x1 + OUT - 3.0, frame.y1 + OUT - 3.0);
    let datum = view.point(Point::ZERO);
    let mut spared = letter_boxes(dish, &view);
    if frame.contains(datum) {
        spared.push(zero_box(datum));
    }
    let mut labels = Labels::new(&block, room, frame.center(), spared);
    block.part("markers", |block| {
        for (letter, shape, left) in notes.left.lettered() {
            labels.add(block, view.point(left.at), (shape, &letter));
        }
        for (severity, at, numbers) in together(notes.findings) {
            labels.add(block, view.point(at), (Shape::Finding(severity), &numbers));
        }
    });
    block.height = frame.y1 + OUT + BEYOND;
    (block, view)
}

/// Where the letters of the name lie on paper.
fn letter_boxes(dish: &Dish, view: &View) -> Vec<Rect> {
    let letters = dish.name.iter().flat_map(|name| name.region.contours());
    letters
        .map(|letter| {
            let own = letter.bounds();
            let corner = |x, y| view.point(Point::new(x, y));
            Rect::from_points(corner(own.x0, own.y0), corner(own.x1, own.y1))
        })
        .collect()
}

/// Findings that have a place, those of one gravity and place together: `1`, `2–4`.
fn together(findings: &[Finding]) -> Vec<(Severity, Point, String)> {
    let mut groups: Vec<(Severity, Point, usize, usize)> = Vec::new();
    for (number, finding) in (1..).zip(findings) {
        let Some([x, y]) = finding.at else { continue };
        let at = Point::new(x, y);
        match groups.last_mut() {
            Some((severity, place, _, last))
                if *severity == finding.severity
                    && *last + 1 == number
                    && place.distance(at) < 1.0 =>
            {
                *last = number;
            }
            _ => groups.push((finding.severity, at, number, number)),
        }
    }
    let numbers = |first: usize, last: usize| {
        if first == last { first.to_string() } else { format!("{first}–{last}") }
    };
    groups.into_iter().map(|(s, at, first, last)| (s, at, numbers(first, last))).collect()
}

/// The lines of the dish, a part for each operation.
fn lines(block: &mut Block, dish: &Dish, view: &View, notes: &Notes<'_>) {
    let tone = Color::new(dish.wood.tone).toward(WHITE, 0.6);
    block.part("outline", |block| {
        block.shape(view.region(&dish.outline), tone, Pen::new(INK, 0.5));
    });
    block.part("recess", |block| recesses(block, dish, view, notes.left.pair));
    block.part("details", |block| details(block, dish, view));
    // Under the letters, so that they stay whole where it lies among them.
    let datum = view.point(Point::ZERO);
    if view.frame.contains(datum) {
        block.part("zero", |block| zero(block, datum));
    }
    if let Some(name) = &dish.name {
        let cut = notes.name.unwrap_or_else(|| name.ground());
        block.part("name", |block| letters_cut(block, (name, cut), view));
    }
}

fn recesses(block: &mut Block, dish: &Dish, view: &View, pair: Option<&Pair>) {
    for (index, recess) in dish.recesses.iter().enumerate() {
        block.fill(view.region(&recess.region), WHITE.at(0.45));
        if let Some(reached) = pair.and_then(|pair| pair.reached.get(index)) {
            if !reached.by_second.is_empty() {
                block.fill(view.region(&reached.by_second), SECOND.at(0.4));
            }
            if !reached.flat.is_empty() {
                let floor = view.region(&reached.flat);
                block.stroke(floor, Pen::new(QUIET, 0.18).dashed(&FLAT));
            }
        }
        block.stroke(view.region(&recess.region), Pen::new(INK, 0.35));
    }
}

fn details(block: &mut Block, dish: &Dish, view: &View) {
    let wood = view.region(&dish.outline);
    for groove in &dish.grooves {
        let width = (groove.width * view.factor).max(0.18);
        let line = view.path(&groove.line);
        block.stroke_in(line.clone(), Pen::new(QUIET.at(0.35), width), &wood);
        block.stroke_in(line, Pen::new(QUIET, 0.18), &wood);
    }
}

/// A name that leaves the wood is shown as it lies, but not across the whole page.
fn letters_cut(block: &mut Block, (name, cut): (&NameCut, &Region), view: &View) {
    let frame = view.frame.inflate(AIR, AIR);
    let frame = rectangle(frame.x0, frame.y0, frame.width(), frame.height());
    block.fill_in(view.region(cut), QUIET.at(0.35), &frame);
    block.stroke_in(view.region(&name.region), Pen::new(INK, 0.18), &frame);
    if let Some(panel) = &name.panel {
        block.stroke_in(view.region(&panel.outline), Pen::new(INK, 0.25), &frame);
    }
    let line = view.path(&name.baseline);
    block.stroke_in(line, Pen::new(QUIET, 0.13).dashed(&[1.2, 0.8]), &frame);
}

/// The tint of holding tabs.
pub(super) fn tab_tone(dish: &Dish) -> Color {
    Color::new(dish.wood.tone).toward(INK, 0.25)
}

/// A holding tab across the way of the cutter.
pub(super) fn bridge(block: &mut Block, view: &View, dish: &Dish, tab: &Tab) {
    const STEPS: u32 = 64;
    let pieces = dish.outline.contours().iter().flat_map(Contour::pieces);
    let points = pieces.flat_map(|piece| {
        (0..STEPS).map(|i| piece.curve.eval(f64::from(i) / f64::from(STEPS)))
    });
    let far = |p: &Point| p.distance(tab.at);
    let Some(edge) = points.min_by(|a, b| far(a).total_cmp(&far(b))) else { return };
    let out = tab.at - edge;
    if out.hypot() < 1e-6 {
        return;
    }
    let side = left(out / out.hypot()) * (tab.length / 2.0);
    let (inner, outer) = (edge - out * 0.3, edge + out * 2.0);
    let corners = [inner + side, inner - side, outer - side, outer + side];
    let corners = corners.map(|p| view.point(p)).map(|p| (p.x, p.y));
    block.shape(polygon(&corners), tab_tone(dish), Pen::new(INK, 0.18));
}

/// A leftover's area, coloured and hatched.
pub(super) fn leftover(block: &mut Block, view: &View, color: Color, left: &Leftover) {
    let path = view.region(&left.region);
    block.shape(path.clone(), color.at(0.55), Pen::new(color, 0.25));
    let frame = path.control_box().inflate(0.5, 0.5);
    let mut hatch = BezPath::new();
    let mut x = frame.x0 - frame.height();
    while x < frame.x1 {
        hatch.move_to((x, frame.y1));
        hatch.line_to((x + frame.height(), frame.y0));
        x += 0.9;
    }
    block.stroke_in(hatch, Pen::new(INK, 0.13), &path);
}

/// Long dash, dot, and its letter at both ends.
fn section_line(block: &mut Block, view: &View, cut: f64) {
    let y = view.point(Point::new(0.0, cut)).y;
    let (x0, x1) = (view.frame.x0 - 2.5, view.frame.x1 + 2.5);
    let pen = Pen::new(QUIET, 0.18).dashed(&[6.0, 1.0, 0.3, 1.0]);
    block.line((x0, y), (x1, y), pen);
    for x in [x0 - 1.6, x1 + 1.6] {
        block.text((x, y + LABEL.height / 2.0), Anchor::Middle, LABEL, "S");
    }
}

fn sizes(block: &mut Block, view: &View, dish: &Dish, (cut, unit): (f64, DisplayUnit)) {
    let (width, height) = dish.size();
    let frame = view.frame;
    let y = frame.y1 + OUT;
    let text = length(width, unit);
    across(block, (frame.x0, frame.x1), (frame.y1, y), (FIGURE, &text));
    let text = length(height, unit);
    let cut = view.point(Point::new(0.0, cut)).y;
    let place = (frame.x1, frame.x1 + OUT, clear_of(cut, (frame.y0, frame.y1), &text));
    upward(block, (frame.y0, frame.y1), place, (FIGURE, &text));
}

/// The middle of a line, or where it keeps clear of the section's letter.
fn clear_of(cut: f64, (y0, y1): (f64, f64), text: &str) -> f64 {
    let middle = f64::midpoint(y0, y1);
    let half = lettering_width(text, FIGURE.face, FIGURE.height) / 2.0 + 1.8;
    if (cut - middle).abs() >= half {
        middle
    } else if cut > middle {
        cut - half
    } else {
        cut + half
    }
}
