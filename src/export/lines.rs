//! Lines of text in pixels. Most of what one sheet says the next one says too, so a line is
//! drawn once and kept as what it covers of each pixel.

use super::ExportFault;
use super::ink::{draw, read};
use super::svg::line;
use crate::kept::Kept;
use crate::sheet::{Color, Point, Rect, Text, Way};
use crate::units::MM_PER_INCH;
use std::sync::Arc;
use tiny_skia::Pixmap;
use usvg::{Group, Node};

/// Pixels kept at least: the lines of some four pages that have none in common.
const MOST: usize = 2 << 20;

/// The most pixels a line may take.
const LARGEST: u64 = 1 << 26;

/// A line is held to 0.001 mm, as everything in the SVG it is drawn from.
const STEPS: f64 = 1000.0;

/// A line of text, and all that its pixels hang on.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Line {
    text: String,
    face: usize,
    /// Bits of the height and of the resolution.
    size: [u64; 2],
    anchor: u8,
    up: bool,
    /// From the corner of a pixel right and down to the held point, steps.
    within: [u32; 2],
}

/// What a line covers.
#[derive(Default)]
struct Cover {
    /// From the pixel with the held point to the first column and row.
    corner: [i32; 2],
    wide: usize,
    /// Row by row, 255 for a whole pixel.
    shares: Vec<u8>,
}

/// A line where it stands on a canvas.
pub(super) struct Standing {
    /// First column and row.
    corner: [i32; 2],
    color: Color,
    cover: Arc<Cover>,
}

/// Sets a line of text on a canvas of so many pixels to the inch.
pub(super) fn stand(text: &Text, dpi: f64) -> Result<Standing, ExportFault> {
    static LINES: Kept<Line, Result<Arc<Cover>, ExportFault>> = Kept::new(MOST);
    let [column, row] = [text.at.x, text.at.y].map(|mm| placed(mm, dpi));
    let question = Line {
        text: text.text.clone(),
        face: text.face as usize,
        size: [text.height, dpi].map(f64::to_bits),
        anchor: text.anchor as u8,
        up: text.way == Way::Up,
        within: [column.1, row.1],
    };
    let make = || {
        let [x, y] = [column.1, row.1].map(|steps| f64::from(steps) / STEPS);
        let (at, color) = (Point::new(x, y), Color::new([0; 3]));
        Cover::of(&Text { at, color, ..text.clone() }, dpi).map(Arc::new)
    };
    let weight = |line: &Line, cover: &Result<Arc<Cover>, _>| {
        line.text.len() + cover.as_ref().map_or(0, |cover| cover.shares.len())
    };
    let cover = LINES.get(question, make, weight)?;
    let [left, top] = cover.corner;
    let corner = [column.0.saturating_add(left), row.0.saturating_add(top)];
    Ok(Standing { corner, color: text.color, cover })
}

/// The pixel in which a place on the page lies, and how far within it, steps. Less than half
/// a step before a pixel is at its beginning.
fn placed(mm: f64, dpi: f64) -> (i32, u32) {
    let side = MM_PER_INCH / dpi;
    let pixel = ((mm + 0.5 / STEPS) / side).floor();
    (pixel as i32, ((mm - pixel * side) * STEPS).round().max(0.0) as u32)
}

impl Cover {
    fn high(&self) -> usize {
        self.shares.len().checked_div(self.wide).unwrap_or(0)
    }

    /// Draws a line of black text at the corner of a page.
    fn of(text: &Text, dpi: f64) -> Result<Self, ExportFault> {
        let (tree, scale) = read(&line(text), dpi)?;
        let Some(place) = letters(tree.root()).and_then(|text| {
            let place = text.flattened().layer_bounding_box().to_rect();
            let onto = text.abs_transform().post_scale(scale, scale);
            // A rim for what rounding moves.
            place.transform(onto)?.outset(1.0, 1.0)?.round_out()
        }) else {
            return Ok(Self::default());
        };
        let [wide, high] = [place.width(), place.height()];
        if u64::from(wide) * u64::from(high) > LARGEST {
            return Err(ExportFault::Size);
        }
        let mut pixels = Pixmap::new(wide, high).ok_or(ExportFault::Size)?;
        draw(&tree, scale, [-place.x(), -place.y()], &mut pixels);
        Ok(Self {
            corner: [place.x(), place.y()],
            wide: pixels.width() as usize,
            shares: pixels.pixels().iter().map(|pixel| pixel.alpha()).collect(),
        })
    }
}

impl Standing {
    /// It may touch what lies within these pixels.
    pub(super) fn touches(&self, place: Rect) -> bool {
        let [left, top] = self.corner.map(f64::from);
        let (wide, high) = (self.cover.wide as f64, self.cover.high() as f64);
        self.cover.wide > 0
            && Rect::new(left, top, left + wide, top + high).overlaps(place)
    }

    /// Mixes its colour into what is there; what lies outside is left out.
    pub(super) fn lay(&self, canvas: &mut Pixmap) {
        let Self { corner: [left, top], color, ref cover } = *self;
        if cover.wide == 0 {
            return;
        }
        let skipped = |from: i32| usize::try_from(from.saturating_neg()).unwrap_or(0);
        let begun = |from: i32| usize::try_from(from).unwrap_or(0);
        let width = canvas.width() as usize;
        let rows = canvas.data_mut().chunks_exact_mut(width * 4).skip(begun(top));
        let lines = cover.shares.chunks_exact(cover.wide).skip(skipped(top));
        let opacity = (color.opacity * 255.0).round() as u32;
        for (row, line) in rows.zip(lines) {
            let row = row.get_mut(4 * begun(left)..).unwrap_or_default();
            let line = line.get(skipped(left)..).unwrap_or_default();
            // Most of a line of text is paper: eight pixels are passed over at once.
            for (pixels, shares) in row.chunks_mut(32).zip(line.chunks(8)) {
                if shares.iter().all(|share| *share == 0) {
                    continue;
                }
                for (pixel, share) in pixels.chunks_exact_mut(4).zip(shares) {
                    mix(pixel, color.rgb, over_255(u32::from(*share) * opacity));
                }
            }
        }
    }
}

/// Mixes a share of 255 of a colour into a pixel.
fn mix(pixel: &mut [u8], rgb: [u8; 3], share: u32) {
    for (below, ink) in pixel.iter_mut().zip(rgb) {
        let mixed = u32::from(ink) * share + u32::from(*below) * (255 - share);
        *below = over_255(mixed) as u8;
    }
}

/// A product of two shares of 255, rounded to such a share.
const fn over_255(product: u32) -> u32 {
    (product + 127) / 255
}

/// The text in a drawing of one line.
fn letters(group: &Group) -> Option<&usvg::Text> {
    group.children().iter().find_map(|node| match node {
        Node::Group(group) => letters(group),
        Node::Text(text) => Some(text),
        Node::Path(_) | Node::Image(_) => None,
    })
}
