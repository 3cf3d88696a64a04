//! How the blank lies under the spindle: its zero, where clamps may be, its grain in words.

use super::block::{Block, disc, head, paragraph, rectangle};
use super::color::{Color, INK, PAPER, QUIET, WHITE};
use super::drawing::bridge;
use super::figures::length;
use super::scale::Scale;
use super::style::{EDGE, LABEL, Pen, SMALL};
use super::view::View;
use crate::curve::{BezPath, Point, Rect, Region};
use crate::dish::Dish;
use crate::model::{Grain, Shop};
use crate::plan::{CLEAR, Operation, Plan, Work};
use crate::units::DisplayUnit;

/// Radius of the sign of zero, mm on paper.
const ZERO: f64 = 1.3;
/// Its arrows reach so far from its middle, mm on paper.
const ARM: f64 = 4.2;
/// Room for the lines at the edges of the blank, mm on paper.
const EDGES: f64 = 0.6;

/// Zero of x and y at a point: a disc in quarters, an arrow along each axis.
pub(super) fn zero(block: &mut Block, at: Point) {
    for (x, y) in [(1.0, 0.0), (0.0, -1.0)] {
        let along =
            |far: f64, side: f64| (at.x + x * far - y * side, at.y + y * far + x * side);
        block.line(along(ZERO, 0.0), along(ARM - 1.0, 0.0), Pen::new(INK, 0.18));
        let tip = [along(ARM, 0.0), along(ARM - 1.4, 0.4), along(ARM - 1.4, -0.4)];
        block.fill(super::block::polygon(&tip), INK);
    }
    quartered(block, at);
}

/// The sign of zero without its arrows.
pub(super) fn quartered(block: &mut Block, at: Point) {
    let round = disc(at, ZERO);
    block.fill(round.clone(), PAPER);
    for (x, y) in [(0.0, -ZERO), (-ZERO, 0.0)] {
        block.fill_in(rectangle(at.x + x, at.y + y, ZERO, ZERO), INK, &round);
    }
    block.stroke(round, Pen::new(INK, 0.18));
}

/// What the sign of zero takes, on paper.
pub(super) fn zero_box(at: Point) -> Rect {
    Rect::new(at.x - ZERO, at.y - ARM, at.x + ARM, at.y + ZERO)
}

/// The drawing of the blank in a width and height, mm, over its words.
pub(super) fn setup(
    dish: &Dish,
    plan: &Plan,
    shop: &Shop,
    (width, height): (f64, f64),
) -> Block {
    let table = Lying::of(dish, plan, shop);
    let unit = shop.house.unit;
    let title = head("The blank on the machine");
    let words = table.words(dish, plan, shop, unit);
    let words = words.iter().map(|text| paragraph(text, SMALL, width, 6));
    let words = Block::stack(words, 2.0);
    let size = [table.blank.width(), table.blank.height()];
    let room = [width - EDGES, height - title.height - words.height - EDGES - 9.0];
    let scale = Scale::largest(size, room);
    let drawn = table.drawn(dish, plan, scale);
    let [wide, tall] = size.map(|mm| length(mm, unit));
    let caption = format!("{wide} × {tall}, from above, {}", scale.ratio());
    let caption = paragraph(&caption, LABEL, width, 2);
    let drawing = Block::stack([drawn, caption], 1.2);
    Block::stack([title, drawing, words], 2.4)
}

/// Where the blank lies about the dish, all in dish coordinates, mm.
struct Lying {
    blank: Rect,
    /// Everything the cutters pass lies within; clamps stay outside.
    kept: Rect,
    /// Where the cut-out's cutter goes, if one is planned.
    way: Option<Region>,
    /// A clamp may stand so high above the board, mm; `None` where that is not known.
    high: Option<f64>,
}

impl Lying {
    fn of(dish: &Dish, plan: &Plan, shop: &Shop) -> Self {
        let (bounds, margin) = (dish.outline.bounds(), shop.house.margin.get());
        let wide = plan
            .operations
            .iter()
            .filter(|op| matches!(op.work, Work::CutOut | Work::OuterEdge))
            .map(|op| op.diameter)
            .fold(0.0, f64::max);
        let cut = plan.operations.iter().find(|op| op.work == Work::CutOut);
        let way = cut.and_then(|op| {
            crate::reach::grow(
                &dish.outline,
                op.diameter,
                crate::curve::Origin::default(),
            )
        });
        let keep = shop.house.collet_margin.get();
        let above = |op: &Operation| Some(op.stick_out? - op.depth);
        let lowest = plan.operations.iter().map(above).collect::<Option<Vec<f64>>>();
        let high = lowest.map(|all| all.into_iter().fold(f64::INFINITY, f64::min) - keep);
        let kept = bounds.inflate(wide + keep, wide + keep);
        Self { blank: bounds.inflate(margin, margin), kept, way, high }
    }

    /// Blank, margin for clamps, the cut-out's way, dish, tabs and zero.
    fn drawn(&self, dish: &Dish, plan: &Plan, scale: Scale) -> Block {
        let view = View::new(self.blank, scale, (0.3, 0.3));
        let mut block = Block::space(view.frame.y1 + EDGES);
        let tone = Color::new(dish.wood.tone);
        let frame = view.frame;
        let edge = rectangle(frame.x0, frame.y0, frame.width(), frame.height());
        block.fill(edge.clone(), tone.toward(WHITE, 0.75));
        self.clamps(&mut block, &view, &edge);
        if let Some(way) = &self.way {
            block.shape(view.region(way), WHITE, Pen::new(QUIET, 0.13));
        }
        for tab in &plan.tabs {
            bridge(&mut block, &view, dish, tab);
        }
        block.shape(
            view.region(&dish.outline),
            tone.toward(WHITE, 0.5),
            Pen::new(INK, 0.25),
        );
        for recess in &dish.recesses {
            block.stroke(view.region(&recess.region), Pen::new(QUIET, 0.13));
        }
        block.stroke(edge, EDGE);
        zero(&mut block, view.point(Point::ZERO));
        block
    }

    /// The margin for clamps, hatched.
    fn clamps(&self, block: &mut Block, view: &View, blank: &BezPath) {
        let frame = view.frame;
        let corner = |x, y| view.point(Point::new(x, y));
        let kept = self.kept;
        let inner = Rect::from_points(corner(kept.x0, kept.y0), corner(kept.x1, kept.y1));
        if inner.width() >= frame.width() && inner.height() >= frame.height() {
            return;
        }
        let mut hatch = BezPath::new();
        let mut x = frame.x0 - frame.height();
        while x < frame.x1 {
            hatch.move_to((x, frame.y1));
            hatch.line_to((x + frame.height(), frame.y0));
            x += 1.4;
        }
        block.stroke_in(hatch, Pen::new(QUIET.at(0.7), 0.13), blank);
        let inner = inner.intersect(frame);
        let inner = rectangle(inner.x0, inner.y0, inner.width(), inner.height());
        block.shape(inner, PAPER, Pen::new(QUIET, 0.18).dashed(&[1.2, 0.8]));
    }

    fn words(
        &self,
        dish: &Dish,
        plan: &Plan,
        shop: &Shop,
        unit: DisplayUnit,
    ) -> Vec<String> {
        let (blank, size) = (self.blank, |mm: f64| length(mm, unit));
        let mut words = vec![format!(
            "Zero of x and y at the sign: {} from the left edge of this blank and {} from its lower one; x to the right, y away from you. Zero of z: the board’s upper face. Between cuts the tip travels {} above it.",
            size(-blank.x0),
            size(-blank.y0),
            size(CLEAR)
        )];
        let longer = if dish.size().0 >= dish.size().1 { "x" } else { "y" };
        words.push(match dish.grain {
            Some(Grain::X) => "Grain along x, left to right.".to_owned(),
            Some(Grain::Y) => "Grain along y, upward.".to_owned(),
            None => format!(
                "Grain: as the remarks say. The wood’s movement is counted for grain along {longer}, the longer side."
            ),
        });
        let strip = (self.kept.x0 - blank.x0).max(0.0);
        words.push(match self.high {
            _ if strip <= 0.0 => format!(
                "No room for clamps in a margin of {}: a larger blank, or screws and tape in the waste outside every cut.",
                size(shop.house.margin.get())
            ),
            Some(high) if high > 0.0 => format!(
                "Clamps: in the hatched margin, {} wide, and no higher than {} above the board: so low comes the nut.",
                size(strip),
                size((high * 10.0).floor() / 10.0)
            ),
            Some(_) => "No clamps: a nut comes down to the board or below it. Screws or tape in the hatched margin.".to_owned(),
            None => "Clamps: in the hatched margin. How far every cutter stands out is not in the shop file, so how high they may be was not checked.".to_owned(),
        });
        if let Some(tab) = plan.tabs.first() {
            words.push(format!(
                "Tabs (dark): {}, each {} long and {} high, between dish and waste; saw them through, then plane or sand.",
                plan.tabs.len(),
                size(tab.length),
                size(tab.height)
            ));
        }
        let over = shop.house.overcut.get();
        if over > 0.0 && plan.operations.iter().any(|op| op.work == Work::CutOut) {
            words.push(format!("The cut-out goes {} into the spoilboard.", size(over)));
        }
        words
    }
}
