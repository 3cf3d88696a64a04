//! Marks that are laid out at the origin and then moved to their place.

use super::color::Color;
use super::mark::{Anchor, Drawn, Layer, Mark, Part, Stroke, Text, Way};
use super::style::{HEADING, Pen, Style};
use super::wrap::{clean, shrunk, wrapped};
use crate::curve::{Affine, BezPath, Point, Vec2};

/// Marks with the height they take; x from 0 to a width its maker knows, y from 0 down.
#[derive(Clone, Debug, Default)]
pub(super) struct Block {
    /// Bottom to top.
    pub(super) marks: Vec<Mark>,
    /// Which of them belong closer together.
    parts: Vec<Part>,
    /// mm.
    pub(super) height: f64,
}

impl Block {
    /// An empty block of a height.
    pub(super) fn space(height: f64) -> Self {
        Self { height, ..Self::default() }
    }

    /// One under the other, each so far below the one before.
    pub(super) fn stack(blocks: impl IntoIterator<Item = Self>, gap: f64) -> Self {
        let mut all = Self::default();
        for block in blocks {
            let y = if all.height > 0.0 { all.height + gap } else { 0.0 };
            let height = block.height;
            all.put(block, Vec2::new(0.0, y));
            all.height = y + height;
        }
        all
    }

    /// Side by side at their left edges; as tall as the tallest.
    pub(super) fn beside(blocks: impl IntoIterator<Item = (f64, Self)>) -> Self {
        let mut all = Self::default();
        for (x, block) in blocks {
            all.height = all.height.max(block.height);
            all.put(block, Vec2::new(x, 0.0));
        }
        all
    }

    /// Adds another block's marks, moved; the height stays.
    pub(super) fn put(&mut self, other: Self, by: Vec2) {
        let from = self.marks.len();
        self.parts.extend(other.parts.into_iter().map(|Part { name, marks }| Part {
            name,
            marks: marks.start + from..marks.end + from,
        }));
        self.marks.extend(other.marks.into_iter().map(|mark| moved(mark, by)));
    }

    /// What is drawn here is a part of its own; nothing drawn makes none.
    pub(super) fn part(&mut self, name: &'static str, draw: impl FnOnce(&mut Self)) {
        let from = self.marks.len();
        draw(self);
        let marks = from..self.marks.len();
        if !marks.is_empty() {
            self.parts.push(Part { name, marks });
        }
    }

    /// The block as a layer of a page.
    pub(super) fn layer(self, name: &'static str) -> Layer {
        Layer { name, marks: self.marks, parts: self.parts }
    }

    /// A line of text at a baseline, as it is.
    pub(super) fn text(
        &mut self,
        at: (f64, f64),
        anchor: Anchor,
        style: Style,
        text: &str,
    ) {
        self.put_text(at, anchor, Way::Right, (style, &clean(text, style.face)));
    }

    /// A line of text in a width: smaller if it must, down to the least height of all, then
    /// cut with an ellipsis. `at` is its baseline.
    pub(super) fn text_in(
        &mut self,
        at: (f64, f64),
        anchor: Anchor,
        width: f64,
        (style, text): (Style, &str),
    ) {
        let (style, text) = shrunk(text, style, width);
        self.put_text(at, anchor, Way::Right, (style, &text));
    }

    /// A line of text that runs up the page.
    pub(super) fn text_up(&mut self, at: (f64, f64), style: Style, text: &str) {
        self.put_text(at, Anchor::Middle, Way::Up, (style, &clean(text, style.face)));
    }

    fn put_text(
        &mut self,
        at: (f64, f64),
        anchor: Anchor,
        way: Way,
        (style, text): (Style, &str),
    ) {
        if text.is_empty() {
            return;
        }
        let Style { face, height, color } = style;
        let text = text.to_owned();
        self.marks.push(Mark::Text(Text {
            at: at.into(),
            anchor,
            way,
            height,
            face,
            color,
            text,
        }));
    }

    /// A straight line.
    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), pen: Pen) {
        let mut path = BezPath::new();
        path.move_to(from);
        path.line_to(to);
        self.stroke(path, pen);
    }

    /// A drawn line.
    pub(super) fn stroke(&mut self, path: BezPath, pen: Pen) {
        let stroke = Some(Stroke::from(pen));
        self.marks.push(Mark::Path(Drawn { path, fill: None, stroke, clip: None }));
    }

    /// A filled area.
    pub(super) fn fill(&mut self, path: BezPath, color: Color) {
        let fill = Some(color);
        self.marks.push(Mark::Path(Drawn { path, fill, stroke: None, clip: None }));
    }

    /// A filled area with an edge.
    pub(super) fn shape(&mut self, path: BezPath, color: Color, pen: Pen) {
        let (fill, stroke) = (Some(color), Some(Stroke::from(pen)));
        self.marks.push(Mark::Path(Drawn { path, fill, stroke, clip: None }));
    }

    /// A filled area that shows only inside another.
    pub(super) fn fill_in(&mut self, path: BezPath, color: Color, clip: &BezPath) {
        let (fill, clip) = (Some(color), Some(clip.clone()));
        self.marks.push(Mark::Path(Drawn { path, fill, stroke: None, clip }));
    }

    /// A drawn line that shows only inside an area.
    pub(super) fn stroke_in(&mut self, path: BezPath, pen: Pen, clip: &BezPath) {
        let (stroke, clip) = (Some(Stroke::from(pen)), Some(clip.clone()));
        self.marks.push(Mark::Path(Drawn { path, fill: None, stroke, clip }));
    }
}

/// Wrapped text in a width, at most so many lines (then cut with an ellipsis).
pub(super) fn paragraph(text: &str, style: Style, width: f64, most: usize) -> Block {
    let mut block = Block::default();
    for line in wrapped(text, style, width, most) {
        block.text((0.0, block.height + style.height), Anchor::Start, style, &line);
        block.height += style.pitch();
    }
    // The last line needs room below its baseline only, not a whole pitch.
    block.height = (block.height - style.pitch() + style.height * 1.25).max(0.0);
    block
}

/// A heading over a part of a sheet.
pub(super) fn head(text: &str) -> Block {
    let mut block = Block::space(HEADING.height * 1.25);
    block.text((0.0, HEADING.height), Anchor::Start, HEADING, text);
    block
}

/// An upright rectangle.
pub(super) fn rectangle(x: f64, y: f64, width: f64, height: f64) -> BezPath {
    polygon(&[(x, y), (x + width, y), (x + width, y + height), (x, y + height)])
}

/// A closed polygon.
pub(super) fn polygon(points: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    for (i, point) in points.iter().enumerate() {
        if i == 0 {
            path.move_to(*point);
        } else {
            path.line_to(*point);
        }
    }
    path.close_path();
    path
}

/// A circle (four cubics, radial error under 0.03 %).
pub(super) fn disc(center: Point, r: f64) -> BezPath {
    let k = r * 0.552_284_75;
    let at = |x: f64, y: f64| center + Vec2::new(x, y);
    let mut path = BezPath::new();
    path.move_to(at(r, 0.0));
    path.curve_to(at(r, k), at(k, r), at(0.0, r));
    path.curve_to(at(-k, r), at(-r, k), at(-r, 0.0));
    path.curve_to(at(-r, -k), at(-k, -r), at(0.0, -r));
    path.curve_to(at(k, -r), at(r, -k), at(r, 0.0));
    path.close_path();
    path
}

fn moved(mark: Mark, by: Vec2) -> Mark {
    match mark {
        Mark::Path(mut drawn) => {
            drawn.path.apply_affine(Affine::translate(by));
            if let Some(clip) = &mut drawn.clip {
                clip.apply_affine(Affine::translate(by));
            }
            Mark::Path(drawn)
        }
        Mark::Text(mut text) => {
            text.at += by;
            Mark::Text(text)
        }
        Mark::Picture(mut picture) => {
            picture.place = picture.place + by;
            Mark::Picture(picture)
        }
    }
}
