//! Every shape of a library on one large sheet, grouped by theme, all at one scale.

use super::block::Block;
use super::color::PAPER;
use super::mark::{Anchor, Sheet};
use super::picture::{Made, picture};
use super::scale::Scale;
use super::style::{HEIGHTS, Pen, RULE, Style, WIDTHS};
use super::view::View;
use crate::curve::{Rect, Vec2};
use crate::dish::Dish;
use crate::lettering::{Face, width};
use crate::model::Shop;
use crate::plan::Plan;
use std::ops::Range;

/// Upright sheets of ISO 216, A4 to A1, mm.
const SIZES: [[f64; 2]; 4] =
    [[210.0, 297.0], [297.0, 420.0], [420.0, 594.0], [594.0, 841.0]];

/// On the sheet chosen, a dish is drawn no smaller than this.
const LEAST: f64 = 1.0 / 5.5;

/// One dish of the gallery.
#[derive(Clone, Debug)]
pub struct Plate {
    /// The theme it belongs to.
    pub theme: String,
    /// The dish, with its name and wood.
    pub dish: Dish,
    /// The cutters chosen for it.
    pub plan: Plan,
}

/// A dish whose width times height is a smaller share of the largest one's is small: such
/// neighbours of one theme share a place.
const SMALL: f64 = 0.2;

/// Between dishes that share a place, true mm.
const APART: f64 = 14.0;

/// A stretch of the plates that stand side by side in one place.
#[derive(Clone, Debug)]
struct Place {
    plates: Range<usize>,
    /// Width and height of what stands there, true mm.
    size: [f64; 2],
}

impl Place {
    fn all(plates: &[Plate]) -> Vec<Self> {
        let area = |[wide, high]: [f64; 2]| wide * high;
        let size = |plate: &Plate| -> [f64; 2] { plate.dish.size().into() };
        let largest = plates.iter().map(|plate| area(size(plate))).fold(0.0, f64::max);
        let widest = plates.iter().map(|plate| size(plate)[0]).fold(0.0, f64::max);
        let small = |plate: &Plate| area(size(plate)) < SMALL * largest;
        let mut places: Vec<Self> = Vec::new();
        for (index, plate) in plates.iter().enumerate() {
            let [wide, high] = size(plate);
            let before = index.checked_sub(1).and_then(|i| plates.get(i));
            let alike = before.is_some_and(|before| {
                before.theme == plate.theme && small(before) && small(plate)
            });
            match places.last_mut() {
                Some(place) if alike && place.size[0] + APART + wide <= widest => {
                    place.plates.end = index + 1;
                    place.size = [place.size[0] + APART + wide, place.size[1].max(high)];
                }
                Some(_) | None => {
                    places.push(Self { plates: index..index + 1, size: [wide, high] });
                }
            }
        }
        places
    }
}

/// The places on the sheet.
#[derive(Clone, Copy, Debug)]
struct Grid {
    page: [f64; 2],
    columns: usize,
    cell: [f64; 2],
    scale: f64,
}

impl Grid {
    /// Between the paper's edge and anything drawn, mm.
    fn margin(page: [f64; 2]) -> f64 {
        page[0] / 14.0
    }

    /// The member of a series so many sizes of paper above A4: both grow by the root of two.
    fn grown(series: &[f64], base: usize, page: [f64; 2]) -> f64 {
        let sizes = SIZES.iter().position(|size| size[0] >= page[0]).unwrap_or(0);
        let place = (base + sizes).min(series.len().saturating_sub(1));
        series.get(place).copied().unwrap_or(1.0)
    }

    /// A text's height, by its place in the series on A4.
    fn height(&self, base: usize) -> f64 {
        Self::grown(&HEIGHTS, base, self.page)
    }

    /// The height of a title: small where the places are narrow.
    fn title(&self) -> f64 {
        let fits = |height: &&f64| **height <= (self.cell[0] / 16.0).min(self.height(1));
        HEIGHTS.iter().rev().find(fits).copied().unwrap_or(HEIGHTS[0])
    }

    /// The room for the heading and the foot, mm.
    fn words(page: [f64; 2]) -> [f64; 2] {
        [page[1] / 11.0, page[1] / 50.0]
    }

    /// The room over and under each dish for theme and title, mm.
    fn caption(page: [f64; 2]) -> [f64; 2] {
        let text = Self::grown(&HEIGHTS, 1, page);
        [2.0 * text, 3.4 * text]
    }

    /// The number of columns at which the dishes are largest on this page, a hole in the last
    /// row counted as if it made them smaller.
    fn on(page: [f64; 2], sizes: &[[f64; 2]]) -> Self {
        let margin = Self::margin(page);
        let [head, foot] = Self::words(page);
        let [over, under] = Self::caption(page);
        let room = [page[0] - 2.0 * margin, page[1] - 2.0 * margin - head - foot];
        let most = |axis: usize| sizes.iter().map(|s| s[axis]).fold(1.0, f64::max);
        let with = |columns: usize| {
            let rows = sizes.len().div_ceil(columns).max(1);
            #[expect(clippy::cast_precision_loss, reason = "a few dozen dishes")]
            let cell = [room[0] / columns as f64, room[1] / rows as f64];
            let across = (cell[0] * 0.9).max(0.0) / most(0);
            let down = (cell[1] - over - under).max(0.0) / most(1);
            Self { page, columns, cell, scale: across.min(down).min(1.0) }
        };
        let worth = |grid: &Self| {
            let rows = sizes.len().div_ceil(grid.columns).max(1);
            #[expect(clippy::cast_precision_loss, reason = "a few dozen dishes")]
            let full = sizes.len() as f64 / (rows * grid.columns) as f64;
            grid.scale * full
        };
        let best = (2..=9).map(with).max_by(|a, b| worth(a).total_cmp(&worth(b)));
        best.unwrap_or_else(|| with(1))
    }

    /// The smallest page on which the dishes are large enough, else the largest.
    fn of(sizes: &[[f64; 2]]) -> Self {
        let all = SIZES.map(|page| Self::on(page, sizes));
        let [.., largest] = all;
        all.into_iter().find(|grid| grid.scale >= LEAST).unwrap_or(largest)
    }

    /// The upper left corner of a place.
    fn corner(&self, index: usize) -> Vec2 {
        let (column, row) = (index % self.columns, index / self.columns);
        let margin = Self::margin(self.page);
        #[expect(clippy::cast_precision_loss, reason = "a few dozen dishes")]
        let (x, y) = (column as f64 * self.cell[0], row as f64 * self.cell[1]);
        Vec2::new(margin + x, margin + Self::words(self.page)[0] + y)
    }
}

/// Every dish on one sheet, in the order given; neighbours of one theme stand under one rule.
pub fn gallery(plates: &[Plate], shop: &Shop) -> Sheet {
    let places = Place::all(plates);
    let sizes: Vec<[f64; 2]> = places.iter().map(|place| place.size).collect();
    let grid = Grid::of(&sizes);
    let mut dishes = Block::default();
    let mut titles = Block::default();
    for (index, place) in places.iter().enumerate() {
        let corner = grid.corner(index);
        let here = plates.get(place.plates.clone()).unwrap_or_default();
        dishes.put(drawn(here, place.size, &grid, shop), corner);
        titles.put(caption(here, &grid), corner);
    }
    let themed: Vec<&str> = places
        .iter()
        .filter_map(|place| plates.get(place.plates.start))
        .map(|plate| plate.theme.as_str())
        .collect();
    let layers = vec![
        heading(plates, &grid).layer("heading"),
        themes(&themed, &grid).layer("themes"),
        dishes.layer("drawings"),
        titles.layer("titles"),
    ];
    Sheet {
        title: "All shapes".to_owned(),
        language: "en",
        version: None,
        size: grid.page,
        margin: Grid::margin(grid.page),
        paper: PAPER,
        layers,
    }
}

fn heading(plates: &[Plate], grid: &Grid) -> Block {
    let margin = Grid::margin(grid.page);
    let (left, right) = (margin, grid.page[0] - margin);
    let mut block = Block::default();
    let large = Style::new(Face::SerifSemibold, grid.height(4));
    let base = margin + large.height;
    block.text((left, base), Anchor::Start, large, "Dishes of wood");
    let count = plates.len();
    let line = format!("{count} shapes, each with a name of your own in it");
    let style = Style::new(Face::SerifItalic, grid.height(2)).quiet();
    let room = right - left;
    block.text_in((left, base + 2.0 * style.height), Anchor::Start, room, (style, &line));
    let [_, foot] = Grid::words(grid.page);
    let small = Style::new(Face::SerifItalic, grid.height(0)).quiet();
    let y = grid.page[1] - margin - foot / 4.0;
    let said = "All drawn at one scale; colours and grain are drawn, not photographed.";
    block.text_in((left, y), Anchor::Start, room, (small, said));
    block
}

/// A rule over the dishes of a theme, with its name where it begins; one theme a place.
fn themes(places: &[&str], grid: &Grid) -> Block {
    let mut block = Block::default();
    let style = Style::new(Face::SerifItalic, grid.title()).quiet();
    let pen = Pen::new(RULE.color, Grid::grown(&WIDTHS, 1, grid.page));
    let gap = grid.cell[0] * 0.04;
    for (index, theme) in places.iter().enumerate() {
        let first = index == 0 || places[index - 1] != *theme;
        let corner = grid.corner(index);
        let joined = !first && index % grid.columns != 0;
        let from = if joined { corner.x - gap } else { corner.x + gap };
        let y = corner.y + style.height * 0.5;
        let (start, end) = (corner.x + gap, corner.x + grid.cell[0] - gap);
        if first {
            let name = super::figures::sentence(theme);
            let written = width(&name, style.face, style.height).min(end - start);
            block.text_in(
                (start, y + style.height / 2.0),
                Anchor::Start,
                end - start,
                (style, &name),
            );
            block.line((start + written + style.height * 0.6, y), (end, y), pen);
        } else {
            block.line((from, y), (end, y), pen);
        }
    }
    block
}

/// The dishes in the middle of their place, side by side, their feet on one line.
fn drawn(plates: &[Plate], [wide, high]: [f64; 2], grid: &Grid, shop: &Shop) -> Block {
    let [over, under] = Grid::caption(grid.page);
    let free = (grid.cell[1] - over - under - high * grid.scale) / 2.0;
    let mut left = (grid.cell[0] - wide * grid.scale) / 2.0;
    let mut block = Block::default();
    for plate in plates {
        let bounds: Rect = plate.dish.outline.bounds();
        let top = over + free + (high - bounds.height()) * grid.scale;
        let view = View::new(bounds, Scale::exact(1.0 / grid.scale), (left, top));
        let made = Made::of(&plate.dish, &plate.plan, shop);
        picture(&mut block, &plate.dish, &view, &made);
        left += (bounds.width() + APART) * grid.scale;
    }
    block
}

fn caption(plates: &[Plate], grid: &Grid) -> Block {
    let mut block = Block::default();
    let style = Style::new(Face::SerifSemibold, grid.title());
    let at = (grid.cell[0] / 2.0, grid.cell[1] - style.height * 1.2);
    let titles: Vec<&str> = plates.iter().map(|p| p.dish.title.as_str()).collect();
    block.text_in(at, Anchor::Middle, grid.cell[0] * 0.92, (style, &titles.join(", ")));
    block
}
