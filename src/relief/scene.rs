//! A dish on paper, painted.

use super::board::Board;
use super::field::Field;
use super::grid::Grid;
use super::light::{Light, heights};
use super::map::Map;
use super::solid::Solid;
use super::timber::{Spot, Timber, linear};
use crate::curve::{Point, Rect};

/// Slopes are painted no steeper.
const STEEPEST: f32 = 2.4;

/// Where the heights of a pixel's four cells differ more than so many times its side, each is
/// painted by itself.
const STEP: f32 = 1.5;

/// The same where the slope changes to the next pixels by more than this.
const CREASE: f32 = 0.12;

/// How far the shade on the paper reaches to the lower right, as a share of the thickness.
const CAST: f64 = 0.16;

/// How soft it is, share of the thickness.
const BLUR: f64 = 0.11;

/// A dish and what it is painted in.
#[derive(Clone, Debug)]
pub struct Scene {
    /// The dish.
    pub solid: Solid,
    /// Its wood.
    pub timber: Timber,
    /// The colour of the paper it lies on, sRGB.
    pub paper: [u8; 3],
}

impl Scene {
    /// What a picture shows: the dish and its shade.
    pub fn bounds(&self) -> Rect {
        let bounds = self.solid.outline.bounds();
        let reach = self.solid.thickness * (CAST + 2.5 * BLUR);
        let least = self.solid.thickness * (2.5 * BLUR - CAST).max(0.0);
        Rect::new(
            bounds.x0 - least,
            bounds.y0 - reach,
            bounds.x1 + reach,
            bounds.y1 + least,
        )
    }

    /// Red, green and blue of each cell of a grid (sRGB), row by row from the upper left.
    /// The same scene and grid give the same bytes.
    pub fn paint(&self, grid: &Grid) -> Vec<u8> {
        let field = Field::of(&self.solid, grid.finer(2));
        let heights = heights(&field, -self.solid.thickness as f32);
        let light = Light::on(&heights, grid.step as f32);
        let bounds = self.solid.outline.bounds();
        let canvas = Canvas {
            field: &field,
            heights: &heights,
            light,
            timber: &self.timber,
            board: self
                .timber
                .board([(bounds.width() / 2.0) as f32, (bounds.height() / 2.0) as f32]),
            middle: bounds.center(),
            cell: grid.step as f32,
        };
        let cover = canvas.cover(grid.size);
        let ground = self.ground(&cover, grid.step);
        let paper = self.paper.map(linear);
        let codes = codes();
        let code = |light: f32| codes[(light.clamp(0.0, 1.0) * TABLE) as usize];
        let mut pixels = Vec::with_capacity(cover.values.len() * 3);
        for row in 0..grid.size[1] {
            for column in 0..grid.size[0] {
                let (cover, ground) = (cover.row(row)[column], ground.row(row)[column]);
                let wood =
                    if cover > 0.0 { canvas.pixel([column, row]) } else { [0.0; 3] };
                for (wood, paper) in wood.into_iter().zip(paper) {
                    pixels.push(code(wood * cover + paper * ground * (1.0 - cover)));
                }
            }
        }
        pixels
    }

    /// How bright the paper is beside the dish.
    fn ground(&self, cover: &Map, step: f64) -> Map {
        let cells = |share: f64| (share * self.solid.thickness / step).round();
        let soft = cover.blurred((cells(BLUR) as usize).max(1));
        let near = cover.blurred((cells(0.03) as usize).max(1));
        let by = cells(CAST) as usize;
        let close = cells(0.05) as usize;
        let [columns, rows] = cover.size;
        let mut values = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            for column in 0..columns {
                let far = soft.before([column, row], by);
                let touch = near.before([column, row], close);
                values.push((1.0 - 0.42 * far) * (1.0 - 0.30 * touch));
            }
        }
        Map { size: cover.size, values }
    }
}

/// Values of linear light told apart.
pub(super) const TABLE: f32 = 4095.0;

/// Coded values of linear light (IEC 61966-2-1, sRGB; from memory).
pub(super) fn codes() -> Vec<u8> {
    (0..=TABLE as u16)
        .map(|step| {
            let light = (f32::from(step) + 0.5) / (TABLE + 1.0);
            let coded = if light <= 0.003_130_8 {
                light * 12.92
            } else {
                1.055 * light.powf(1.0 / 2.4) - 0.055
            };
            (coded * 255.0).round() as u8
        })
        .collect()
}

/// What pixels are painted from.
struct Canvas<'a> {
    /// Two by two cells to a pixel.
    field: &'a Field,
    /// Mean ones of the pixels.
    heights: &'a Map,
    light: Light,
    timber: &'a Timber,
    board: Board,
    /// Of the dish.
    middle: Point,
    /// Side of a pixel, mm.
    cell: f32,
}

impl Canvas<'_> {
    /// The share of each pixel that is dish.
    fn cover(&self, size: [usize; 2]) -> Map {
        let cells = 2.0 / self.cell;
        let mut values = vec![0.0; size[0] * size[1]];
        for (row, first, inside) in self.field.inside() {
            let start = row / 2 * size[0];
            for (column, inside) in (first..).zip(inside) {
                let share = (0.5 + inside * cells).clamp(0.0, 1.0);
                values[start + column / 2] += 0.25 * share;
            }
        }
        Map { size, values }
    }

    /// Linear light of a pixel's wood.
    fn pixel(&self, at: [usize; 2]) -> [f32; 3] {
        let cells = four(at);
        let [a, b, c, d] = cells.map(|[column, row]| self.field.height(column, row));
        let (low, high) = (a.min(b).min(c.min(d)), a.max(b).max(c.max(d)));
        let whole = ![a, b, c, d].iter().any(|z| z.is_nan());
        let slope = [b + d - a - c, a + b - c - d].map(|rise| rise / self.cell);
        let level = high - low < STEP * self.cell && self.crease(at) < CREASE;
        if whole && level {
            return self.painted(at, (a + b + c + d) / 4.0, slope);
        }
        let mut sum = [0.0; 3];
        let mut count = 0.0;
        for cell in cells {
            let z = self.field.height(cell[0], cell[1]);
            if z.is_nan() {
                continue;
            }
            let color = self.painted(at, z, self.slope(cell, z));
            for (sum, part) in sum.iter_mut().zip(color) {
                *sum += part;
            }
            count += 1.0_f32;
        }
        sum.map(|part| part / count.max(1.0))
    }

    /// How much the slope changes from a pixel to the next to its right and below.
    fn crease(&self, [column, row]: [usize; 2]) -> f32 {
        let [columns, rows] = self.heights.size;
        let at = |column: usize, row: usize| {
            self.heights.row(row.min(rows - 1))[column.min(columns - 1)]
        };
        let own = 2.0 * at(column, row);
        let across = at(column.saturating_sub(1), row) + at(column + 1, row) - own;
        let down = at(column, row.saturating_sub(1)) + at(column, row + 1) - own;
        (across.abs() + down.abs()) / self.cell
    }

    /// How a cell's surface rises to the right and up.
    fn slope(&self, [column, row]: [usize; 2], own: f32) -> [f32; 2] {
        let at = |column: usize, row: usize| {
            let z = self.field.height(column, row);
            if z.is_nan() { own } else { z }
        };
        let right = at(column + 1, row) - at(column.wrapping_sub(1), row);
        let up = at(column, row.wrapping_sub(1)) - at(column, row + 1);
        [right, up].map(|rise| rise / self.cell)
    }

    fn painted(&self, pixel: [usize; 2], z: f32, slope: [f32; 2]) -> [f32; 3] {
        /// Of oiled wood.
        const GLOSS: f32 = 0.05;
        let steep = (slope[0] * slope[0] + slope[1] * slope[1]).sqrt();
        let slope = slope.map(|part| part * (STEEPEST / steep.max(STEEPEST)));
        let place = self.field.grid.at(2 * pixel[0], 2 * pixel[1]) - self.middle;
        let at = [place.x as f32, place.y as f32];
        let spot = Spot { at, z, slope, cell: self.cell };
        let [bright, gloss, around] = self.light.of(pixel, slope);
        let mut color = self.timber.color(&spot, &self.board);
        for part in &mut color {
            // What the wood around sends has its colour already.
            *part = *part * (bright + around * *part) + GLOSS * gloss;
        }
        color
    }
}

/// The four cells of a pixel: upper left, upper right, lower left, lower right.
fn four([column, row]: [usize; 2]) -> [[usize; 2]; 4] {
    let (left, up) = (2 * column, 2 * row);
    [[left, up], [left + 1, up], [left, up + 1], [left + 1, up + 1]]
}
