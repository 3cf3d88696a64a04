//! A font: one built in, or one of the maker's own.

use super::face::{Face, invisible, picture};
use crate::curve::{BezPath, Drawn as _, Rect};
use harfrust::ShaperData;
use skrifa::outline::OutlinePen;
use skrifa::prelude::{FontRef, LocationRef, MetadataProvider as _, Size};
use std::borrow::Cow;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use unicode_normalization::UnicodeNormalization as _;

/// No glyph reaches farther from its origin, in ems.
const FARTHEST: f64 = 16.0;

/// A font to write with; clones share its bytes.
#[derive(Clone, Debug)]
pub enum Font {
    /// One that is built in.
    Built(Face),
    /// One of the maker's own.
    Own(Arc<OwnFont>),
}

/// A font that is not built in.
#[derive(Debug)]
pub struct OwnFont {
    name: String,
    loaded: Loaded,
}

impl Font {
    /// Reads a font: the bytes of a TrueType or OpenType file, and which font of a collection
    /// (0 for a file that holds one). A variable font is taken as it stands by itself. `name`
    /// is what it is called in findings. Or says what is wrong with it.
    pub fn read(name: String, bytes: Vec<u8>, index: u32) -> Result<Self, String> {
        let loaded = unbroken(|| Some(Loaded::read(bytes, index)));
        let loaded = loaded.ok_or("the font is broken")??;
        Ok(Self::Own(Arc::new(OwnFont { name, loaded })))
    }

    /// As a recipe names it.
    pub fn name(&self) -> &str {
        match self {
            Self::Built(face) => face.name(),
            Self::Own(own) => &own.name,
        }
    }

    /// It can write this character, whole or as a letter and its marks. A picture is never
    /// written, whatever the font has.
    pub fn writes(&self, letter: char) -> bool {
        self.loaded().is_some_and(|font| font.writes(letter))
    }

    pub(super) fn loaded(&self) -> Option<&Loaded> {
        match self {
            Self::Built(face) => face.loaded(),
            Self::Own(own) => Some(&own.loaded),
        }
    }
}

/// The same built-in face, or the same font read once.
impl PartialEq for Font {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Built(a), Self::Built(b)) => a == b,
            (Self::Own(a), Self::Own(b)) => Arc::ptr_eq(a, b),
            (Self::Built(_), Self::Own(_)) | (Self::Own(_), Self::Built(_)) => false,
        }
    }
}

impl From<Face> for Font {
    fn from(face: Face) -> Self {
        Self::Built(face)
    }
}

/// A font, and what lends it letters it lacks, in that order; the built-in faces come last.
#[derive(Clone, Debug, PartialEq)]
pub struct Fonts {
    /// What writes.
    pub first: Font,
    /// What lends.
    pub lenders: Vec<Font>,
}

impl Fonts {
    /// A built-in face with its usual substitutes.
    pub const fn of(face: Face) -> Self {
        Self { first: Font::Built(face), lenders: Vec::new() }
    }

    /// Everything that may write a letter, in the order in which it is asked.
    pub(super) fn all(&self) -> impl Iterator<Item = Font> {
        let (own, face) = match self.first {
            Font::Built(face) => (None, face),
            Font::Own(_) => (Some(Face::CARVED), Face::CARVED),
        };
        let last = own.into_iter().chain(face.substitutes()).map(Font::Built);
        std::iter::once(&self.first).chain(&self.lenders).cloned().chain(last)
    }

    /// The first that has this character.
    pub fn supplier(&self, letter: char) -> Option<Font> {
        self.all().find(|font| font.writes(letter))
    }
}

/// A parsed font.
pub(super) struct Loaded {
    bytes: Cow<'static, [u8]>,
    index: u32,
    /// The characters it has a glyph for, in order.
    letters: Vec<char>,
    /// What shaping needs, made once.
    pub(super) shaping: ShaperData,
    /// Font units per em.
    pub(super) em: f64,
    /// Height of a capital H in font units.
    pub(super) capital: f64,
    /// Above the baseline, font units.
    pub(super) ascent: f64,
    /// Below the baseline, font units, positive.
    pub(super) descent: f64,
}

impl std::fmt::Debug for Loaded {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let told = (self.bytes.len(), self.index, self.em, self.capital);
        f.debug_tuple("Loaded").field(&told).finish()
    }
}

impl Loaded {
    /// Parses a font, or says what is wrong with it.
    pub(super) fn read(
        bytes: impl Into<Cow<'static, [u8]>>,
        index: u32,
    ) -> Result<Self, String> {
        let bytes = bytes.into();
        let Ok(font) = FontRef::from_index(&bytes, index) else {
            return Err(if FontRef::from_index(&bytes, 0).is_ok() {
                format!("the file has no font number {index}")
            } else {
                "this is not a font in TrueType or OpenType form".to_owned()
            });
        };
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        let em = f64::from(metrics.units_per_em);
        let high = (em / FARTHEST)..=(em * FARTHEST);
        let drawn = font.charmap().map('H').and_then(|id| outline(&font, id, em));
        let drawn = drawn.map(|path| path.bounding_box().y1);
        let stated = metrics.cap_height.map(f64::from);
        let Some(capital) = drawn.into_iter().chain(stated).find(|c| high.contains(c))
        else {
            return Err(
                "the font has no H and states no height of its capitals".to_owned()
            );
        };
        let mut drawn = font.charmap().mappings();
        if !drawn.any(|(_, id)| {
            outline(&font, id, em).is_some_and(|path| !path.elements().is_empty())
        }) {
            return Err("the font has no letter that can be drawn".to_owned());
        }
        let letters = letters(&font);
        Ok(Self {
            letters,
            shaping: ShaperData::new(&font),
            em,
            capital,
            ascent: f64::from(metrics.ascent),
            descent: f64::from(-metrics.descent),
            bytes,
            index,
        })
    }

    /// Its tables; they were read once, so they are there.
    pub(super) fn tables(&self) -> Option<FontRef<'_>> {
        FontRef::from_index(&self.bytes, self.index).ok()
    }

    /// A glyph's outline in font units, empty for a space; `None` if it cannot be drawn.
    pub(super) fn outline(&self, glyph: u32) -> Option<BezPath> {
        unbroken(|| outline(&self.tables()?, skrifa::GlyphId::new(glyph), self.em))
    }

    /// The font has a glyph for this character (a joiner or variation mark, which never draws
    /// anything, counts as there).
    fn has(&self, letter: char) -> bool {
        self.letters.binary_search(&letter).is_ok() || invisible(letter)
    }

    /// See [`Font::writes`].
    pub(super) fn writes(&self, letter: char) -> bool {
        let whole = || self.has(letter);
        let parts = || std::iter::once(letter).nfd().all(|part| self.has(part));
        !picture(letter) && (whole() || parts())
    }
}

/// What is read from a font; `None` where its reader comes to a stop over a broken one.
pub(super) fn unbroken<T>(read: impl FnOnce() -> Option<T>) -> Option<T> {
    catch_unwind(AssertUnwindSafe(read)).ok().flatten()
}

/// The characters a font has a glyph for, in order.
fn letters(font: &FontRef<'_>) -> Vec<char> {
    let charmap = font.charmap();
    // Fonts of symbols are asked for low numbers and have them in the private area.
    let low = charmap.is_symbol().then_some(0..=0xFF_u32);
    let stated = charmap.mappings().map(|(code, _)| code);
    let codes = stated.chain(low.into_iter().flatten());
    let mut letters: Vec<char> = codes
        .take(char::MAX as usize)
        .filter_map(char::from_u32)
        .filter(|letter| charmap.map(*letter).is_some())
        .collect();
    letters.sort_unstable();
    letters.dedup();
    letters
}

fn outline(font: &FontRef<'_>, glyph: skrifa::GlyphId, em: f64) -> Option<BezPath> {
    let mut pen = Pen::default();
    let size = (Size::unscaled(), LocationRef::default());
    font.outline_glyphs().get(glyph)?.draw(size, &mut pen).ok()?;
    let most = em * FARTHEST;
    let page = Rect::new(-most, -most, most, most);
    let inside = |bounds: Rect| page.union(bounds) == page;
    let fine = pen.0.elements().is_empty() || inside(pen.0.bounding_box());
    (fine && pen.0.is_finite()).then_some(pen.0)
}

/// Collects an outline.
#[derive(Default)]
struct Pen(BezPath);

impl OutlinePen for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(at(x, y));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(at(x, y));
    }
    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        self.0.quad_to(at(cx, cy), at(x, y));
    }
    fn curve_to(&mut self, ax: f32, ay: f32, bx: f32, by: f32, x: f32, y: f32) {
        self.0.curve_to(at(ax, ay), at(bx, by), at(x, y));
    }
    fn close(&mut self) {
        self.0.close_path();
    }
}

fn at(x: f32, y: f32) -> (f64, f64) {
    (f64::from(x), f64::from(y))
}
