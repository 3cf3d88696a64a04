//! A dish on paper, painted.

use super::board::{Board, Course};
use super::field::{Facet, Field, STEEPEST, Step};
use super::grid::Grid;
use super::ground::{BLUR, CAST, Ground};
use super::lanes::{mix, nearest};
use super::light::{Beam, Glow, Glows, Light};
use super::map::Map;
use super::solid::Solid;
use super::timber::{Timber, Tint, linear};
use crate::curve::Rect;
use fearless_simd::{Level, dispatch};
use std::fmt;
use std::ops::Range;
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

    /// A painter of the cells of a grid. The same scene and grid give the same pixels.
    pub fn painter(&self, grid: Grid) -> Painter<'_> {
        Painter::new(self, Field::of(&self.solid, grid))
    }
}

/// Coded values (sRGB) of a share of the most linear light, from 0 to 1.
#[derive(Clone, Copy)]
pub(super) struct Codes(&'static [u8]);

impl Codes {
    /// Values of linear light told apart, without that of no light.
    const LAST: u16 = 4095;

    /// Worked out once (IEC 61966-2-1, sRGB; from memory).
    pub(super) fn known() -> Self {
        static CODES: OnceLock<Vec<u8>> = OnceLock::new();
        let codes = CODES.get_or_init(|| {
            let codes = (0..=Self::LAST).map(|step| {
                let light = f32::from(step) / f32::from(Self::LAST);
                let coded = if light <= 0.003_130_8 {
                    light * 12.92
                } else {
                    1.055 * light.powf(1.0 / 2.4) - 0.055
                };
                (coded * 255.0).round() as u8
            });
            codes.collect()
        });
        Self(codes)
    }

    /// Where the code of a light is found.
    #[inline(always)]
    pub(super) fn place(light: f32) -> u32 {
        nearest(light.clamp(0.0, 1.0) * f32::from(Self::LAST))
    }

    #[inline(always)]
    pub(super) fn at(self, place: u32) -> u8 {
        let codes = &self.0[..=usize::from(Self::LAST)];
        codes[place as usize % codes.len()]
    }

    pub(super) fn of(self, light: f32) -> u8 {
        self.at(Self::place(light))
    }
}

/// Paints row by row, from the top.
pub struct Painter<'a> {
    field: Field,
    /// The next row.
    row: usize,
    timber: &'a Timber,
    light: Light,
    ground: Ground,
    board: Board<'a>,
    course: Course,
    paper: [f32; 3],
    codes: Codes,
    /// The height of the underside.
    bottom: f32,
    /// Of a row: the share of each pixel that is dish, its mean height.
    cover: Vec<f32>,
    means: Vec<f32>,
    /// Of its wood: how dark it is, what comes from it, and places of codes.
    darks: Vec<f32>,
    glows: Glows,
    places: [Vec<u32>; 3],
}

impl fmt::Debug for Painter<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Painter of row {} of {:?}", self.row, self.field.grid)
    }
}

impl<'a> Painter<'a> {
    fn new(scene: &'a Scene, field: Field) -> Self {
        let Scene { solid, timber, paper } = scene;
        let Grid { step, size, .. } = field.grid;
        let bottom = -solid.thickness as f32;
        let [mut cover, mut means] =
            [const { Vec::new() }; 2].map(|_: Vec<f32>| vec![0.0; size[0]]);
        let [mut covers, mut heights] = [Map::half(size), Map::half(size)];
        for row in 0..size[1] {
            field.cover(row, &mut cover);
            covers.take(row, &cover);
            field.means(row, &cover, bottom, &mut means);
            heights.take(row, &means);
        }
        let middle = solid.outline.bounds().center();
        Self {
            light: Light::on(&heights, size[0], step as f32),
            ground: Ground::of(&covers, size[0], -bottom / step as f32),
            board: Board::new(timber, &field.grid, middle, -bottom),
            field,
            row: 0,
            timber,
            course: Course::default(),
            paper: paper.map(linear),
            codes: Codes::known(),
            bottom,
            cover,
            means,
            darks: vec![],
            glows: Glows::default(),
            places: Default::default(),
        }
    }

    /// Columns and rows.
    pub fn size(&self) -> [usize; 2] {
        self.field.grid.size
    }

    /// Paints all rows that are left, one after the other.
    pub fn all(mut self) -> Vec<u8> {
        let [columns, rows] = self.size();
        let mut pixels = vec![0; 3 * columns * (rows - self.row)];
        pixels.chunks_exact_mut(3 * columns).for_each(|row| self.paint(row));
        pixels
    }

    /// Red, green and blue (sRGB) of the cells of the next row, from the left; nothing is done
    /// when all rows are painted.
    ///
    /// # Panics
    ///
    /// If there is not room for three bytes a cell.
    pub fn paint(&mut self, out: &mut [u8]) {
        let row = self.row;
        if row == self.field.grid.size[1] {
            return;
        }
        self.row += 1;
        dispatch!(Level::new(), _ => self.paint_row(row, out));
    }

    #[inline(always)]
    fn paint_row(&mut self, row: usize, out: &mut [u8]) {
        let columns = self.field.cover(row, &mut self.cover);
        self.field.means(row, &self.cover, self.bottom, &mut self.means);
        for columns in seen(&self.cover) {
            self.ground.row(row, &columns);
        }
        let [left, right] = [0..columns.start, columns.end..self.cover.len()];
        for columns in [left, right] {
            self.bare(&columns, &mut out[3 * columns.start..3 * columns.end]);
        }
        self.light.row((row, &self.means), &columns);
        if columns.is_empty() {
            return;
        }
        self.wood(row, &columns, &mut out[3 * columns.start..3 * columns.end]);
        self.edges(row, out);
    }

    /// Paper beside the dish.
    #[inline(always)]
    fn bare(&self, columns: &Range<usize>, out: &mut [u8]) {
        let bright = &self.ground.bright[columns.clone()];
        let shaded = |bright: f32| self.paper.map(|paper| self.codes.of(paper * bright));
        let full = shaded(1.0);
        for (pixel, bright) in out.as_chunks_mut().0.iter_mut().zip(bright) {
            *pixel = if *bright >= 1.0 { full } else { shaded(*bright) };
        }
    }

    /// Pixels from the first of the dish to its last.
    #[inline(always)]
    fn wood(&mut self, row: usize, columns: &Range<usize>, out: &mut [u8]) {
        let Self { field, timber, board, course, darks, glows, places, .. } = self;
        let slopes = field.slopes(row).map(|slopes| &slopes[columns.clone()]);
        let surface = (&field.row(row)[columns.clone()], slopes);
        board.row(row, columns, course);
        board.darks(course, columns, surface, darks);
        self.light.beam().over(columns, surface, glows);
        let grounds =
            [&self.cover, &self.ground.bright].map(|line| &line[columns.clone()]);
        for (part, places) in places.iter_mut().enumerate() {
            places.resize(columns.len(), 0);
            let tint = timber.tint(part);
            mingle(tint, self.paper[part], (darks, glows), grounds, places);
        }
        let [red, green, blue] = places;
        let places = red.iter().zip(green).zip(blue);
        for (pixel, ((red, green), blue)) in out.as_chunks_mut().0.iter_mut().zip(places)
        {
            *pixel = [*red, *green, *blue].map(|place| self.codes.at(place));
        }
    }

    /// Pixels that an edge goes through.
    fn edges(&self, row: usize, out: &mut [u8]) {
        let Self { field, timber, board, course, .. } = self;
        let side = field.grid.step as f32;
        let brush = Brush { timber, beam: self.light.beam(), board, course, side };
        for (column, step) in field.steps(row) {
            let share = self.cover[column];
            if share <= 0.0 {
                continue;
            }
            let left = self.ground.bright[column] * (1.0 - share);
            let parts = brush.step(column, step).into_iter().zip(self.paper);
            for (pixel, (wood, paper)) in out[3 * column..].iter_mut().zip(parts) {
                *pixel = self.codes.of(wood * share + paper * left);
            }
        }
    }
}

/// Columns of a row in which paper may be seen, by how much of each is dish.
#[inline(always)]
fn seen(cover: &[f32]) -> impl Iterator<Item = Range<usize>> {
    /// So many neighbours are told apart together.
    const BLOCK: usize = 32;
    let least =
        |cells: &[f32]| cells.iter().fold(1.0_f32, |least, share| least.min(*share));
    let open = move |cells: &&[f32]| least(cells) < 1.0;
    let mut start = 0;
    std::iter::from_fn(move || {
        let mut left = cover[start..].chunks(BLOCK);
        start += BLOCK * left.by_ref().take_while(|cells| !open(cells)).count();
        let blocks = cover.get(start..)?.chunks(BLOCK).take_while(open).count();
        let end = cover.len().min(start + BLOCK * blocks);
        let columns = start..end;
        start = end;
        (blocks > 0).then_some(columns)
    })
}

/// How much oiled wood shines.
const GLOSS: f32 = 0.05;

/// Linear light of wood of a colour.
#[inline(always)]
fn shone(color: f32, glow: Glow) -> f32 {
    // What the wood around sends has its colour already.
    color * (glow.bright + glow.around * color) + GLOSS * glow.gloss
}

/// One part of the light of some pixels, of wood and of paper by their shares, as places of
/// its codes.
#[inline(always)]
fn mingle(
    tint: Tint,
    paper: f32,
    (darks, glows): (&[f32], &Glows),
    [cover, bright]: [&[f32]; 2],
    out: &mut [u32],
) {
    let glows = glows.bright.iter().zip(&glows.gloss).zip(&glows.around);
    let parts = darks.iter().zip(glows).zip(cover.iter().zip(bright));
    for (out, ((dark, ((own, gloss), around)), (share, shade))) in
        out.iter_mut().zip(parts)
    {
        let glow = Glow { bright: *own, gloss: *gloss, around: *around };
        let wood = shone(tint.color(*dark), glow);
        *out = Codes::place(mix(paper * shade, wood, *share));
    }
}

/// What wood in one row of pixels is painted with.
struct Brush<'a> {
    timber: &'a Timber,
    beam: &'a Beam,
    board: &'a Board<'a>,
    course: &'a Course,
    /// Side of a pixel, mm.
    side: f32,
}

impl Brush<'_> {
    /// Linear light of a piece of the surface in wood so dark.
    fn lit(&self, column: usize, facet: Facet, dark: f32) -> [f32; 3] {
        let glow = self.beam.on(column, facet);
        self.timber.color(dark).map(|color| shone(color, glow))
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
