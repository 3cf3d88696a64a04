//! A dish on paper, painted.

use super::board::{Board, Course};
use super::field::{Facet, Field, STEEPEST, Step};
use super::grid::Grid;
use super::ground::{BLUR, CAST, Ground};
use super::light::{Beam, Light};
use super::map::Map;
use super::solid::Solid;
use super::timber::{Timber, linear};
use crate::curve::Rect;
use std::sync::OnceLock;

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
        let field = Field::of(&self.solid, *grid);
        let mut painter = Painter::new(self, &field);
        let [columns, rows] = grid.size;
        let mut pixels = vec![0; columns * rows * 3];
        for (row, out) in pixels.chunks_exact_mut(3 * columns).enumerate() {
            painter.row(row, out);
        }
        pixels
    }
}

/// Values of linear light told apart.
pub(super) const TABLE: f32 = 4095.0;

/// Coded values of linear light (IEC 61966-2-1, sRGB; from memory).
pub(super) fn codes() -> &'static [u8] {
    static CODES: OnceLock<Vec<u8>> = OnceLock::new();
    CODES.get_or_init(|| {
        let codes = (0..=TABLE as u16).map(|step| {
            let light = (f32::from(step) + 0.5) / (TABLE + 1.0);
            let coded = if light <= 0.003_130_8 {
                light * 12.92
            } else {
                1.055 * light.powf(1.0 / 2.4) - 0.055
            };
            (coded * 255.0).round() as u8
        });
        codes.collect()
    })
}

/// Paints row by row, from the top.
struct Painter<'a> {
    field: &'a Field,
    timber: &'a Timber,
    light: Light,
    ground: Ground,
    board: Board,
    course: Course,
    paper: [u8; 3],
    /// The height of the underside.
    bottom: f32,
    /// Of a row: the share of each pixel that is dish, its mean height, how dark its wood is.
    cover: Vec<f32>,
    means: Vec<f32>,
    darks: Vec<f32>,
}

impl<'a> Painter<'a> {
    fn new(scene: &'a Scene, field: &'a Field) -> Self {
        let Scene { solid, timber, paper } = scene;
        let Grid { step, size, .. } = field.grid;
        let bottom = -solid.thickness as f32;
        let [mut cover, mut means, darks] =
            [const { Vec::new() }; 3].map(|_: Vec<f32>| vec![0.0; size[0]]);
        let [mut covers, mut heights] = [Map::half(size), Map::half(size)];
        for row in 0..size[1] {
            field.cover(row, &mut cover);
            covers.take(row, &cover);
            field.means(row, &cover, bottom, &mut means);
            heights.take(row, &means);
        }
        let middle = solid.outline.bounds().center();
        Self {
            field,
            timber,
            light: Light::on(&heights, size[0], step as f32),
            ground: Ground::of(&covers, size[0], -bottom / step as f32),
            board: Board::new(timber, &field.grid, middle, -bottom),
            course: Course::default(),
            paper: *paper,
            bottom,
            cover,
            means,
            darks,
        }
    }

    fn row(&mut self, row: usize, out: &mut [u8]) {
        let Self { field, timber, light, ground, board, course, .. } = self;
        let columns = field.cover(row, &mut self.cover);
        field.means(row, &self.cover, self.bottom, &mut self.means);
        let beam = light.row((row, &self.means), &columns);
        let surface = (field.row(row), field.slopes(row));
        board.row(row, &columns, course);
        board.darks(course, columns, surface, &mut self.darks);
        ground.row(row);
        let brush = Brush { timber, beam, board, course, side: field.grid.step as f32 };
        let paper = self.paper.map(linear);
        let codes = codes();
        let code = |light: f32| codes[(light.clamp(0.0, 1.0) * TABLE) as i32 as usize];
        let start = field.cells(row).start;
        let pixels = self.cover.iter().zip(&self.darks).zip(out.chunks_exact_mut(3));
        for (column, ((share, dark), pixel)) in pixels.enumerate() {
            let bright = if *share < 1.0 { ground.bright(column) } else { 1.0 };
            if *share <= 0.0 {
                if bright >= 1.0 {
                    pixel.copy_from_slice(&self.paper);
                } else {
                    for (pixel, paper) in pixel.iter_mut().zip(paper) {
                        *pixel = code(paper * bright);
                    }
                }
                continue;
            }
            let cell = start + column;
            let wood = match field.steps.get(cell) {
                None => brush.lit(column, field.facet(cell), *dark),
                Some(step) => brush.step(column, step),
            };
            let left = bright * (1.0 - share);
            for ((pixel, wood), paper) in pixel.iter_mut().zip(wood).zip(paper) {
                *pixel = code(wood * share + paper * left);
            }
        }
    }
}

/// What wood in one row of pixels is painted with.
struct Brush<'a> {
    timber: &'a Timber,
    beam: &'a Beam,
    board: &'a Board,
    course: &'a Course,
    /// Side of a pixel, mm.
    side: f32,
}

impl Brush<'_> {
    /// Linear light of a piece of the surface in wood so dark.
    fn lit(&self, column: usize, facet: Facet, dark: f32) -> [f32; 3] {
        /// Of oiled wood.
        const GLOSS: f32 = 0.05;
        let glow = self.beam.on(column, facet);
        // What the wood around sends has its colour already.
        self.timber
            .color(dark)
            .map(|part| part * (glow.bright + glow.around * part) + GLOSS * glow.gloss)
    }

    /// Linear light of a pixel at an edge: both sides by their shares, and the wall between
    /// them, of which a little is seen.
    fn step(&self, column: usize, step: &Step) -> [f32; 3] {
        /// How much of the wall is seen where it goes through the middle.
        const WALL: f32 = 0.7;
        let Step { share, low, high, into, near } = step;
        let larger = if *share < 0.5 { high } else { low };
        let dark = self.board.dark(self.course, column, *larger);
        let mut light = self.lit(column, *larger, dark);
        let rest = if *share < 0.5 { *share } else { 1.0 - share };
        if rest > 0.0 {
            let other = if *share < 0.5 { low } else { high };
            let dark = self.board.dark(self.course, column, *other);
            toward(&mut light, self.lit(column, *other, dark), rest);
        }
        let tall = ((high.z - low.z) / (1.5 * self.side)).clamp(0.0, 1.0);
        if tall > 0.0 {
            let z = high.z + (low.z - high.z) * share;
            let length = (into[0] * into[0] + into[1] * into[1]).sqrt().max(1e-6);
            let slope = into.map(|part| -part * (STEEPEST / length));
            let wall = self.lit(column, Facet { z, slope }, dark);
            toward(&mut light, wall, WALL * tall * near);
        }
        light
    }
}

fn toward(light: &mut [f32; 3], other: [f32; 3], share: f32) {
    for (light, other) in light.iter_mut().zip(other) {
        *light += (other - *light) * share;
    }
}
