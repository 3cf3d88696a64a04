//! A text as outlines.

use super::face::Face;
use super::font::{Font, Fonts, Loaded, unbroken};
use super::form::{Form, TALL};
use super::runs::{Run, runs};
use crate::curve::{Affine, BezPath, Drawn as _};
use crate::kept::Kept;
use harfrust::{BufferFlags, Direction, ShapeOptions, UnicodeBuffer};
use std::ops::Range;
use unicode_script::Script;

/// What a font draws for a character it has not.
const NO_GLYPH: u32 = 0;

/// A text as outlines: starts at x = 0, baseline at y = 0, y up, mm.
#[derive(Clone, Debug, Default)]
pub struct Written {
    /// One path per letter that draws something, in visual order; a letter carries its marks.
    pub glyphs: Vec<BezPath>,
    /// What each of these writes: a letter and its marks, or several letters in one.
    pub texts: Vec<String>,
    /// Where each of these stands on the baseline: its origin and its advance, mm.
    pub spans: Vec<[f64; 2]>,
    /// Width including side bearings, mm.
    pub advance: f64,
    /// Characters for which no font has a glyph that can be drawn. They draw nothing and take no room.
    pub missing: Vec<char>,
    /// What is written in another font, as the one asked for lacks it.
    pub borrowed: Vec<(Font, String)>,
    /// Centre lines of each letter drawn with a pen, one point for a dot; empty otherwise.
    pub centers: Vec<Vec<BezPath>>,
    /// Width of that pen, mm.
    pub pen: Option<f64>,
    /// Each of these letters by itself, and where it goes.
    pub(super) forms: Vec<(Form, Affine)>,
}

impl Written {
    /// From the leftmost to the rightmost point of what is drawn, mm; `None` if nothing is.
    pub fn ink(&self) -> Option<[f64; 2]> {
        if self.pen.is_some() {
            // The spans of drawn letters are their ink, left to right.
            let ends = |[from, wide]: &[f64; 2]| [*from, from + wide];
            let spans = self.spans.iter().map(ends);
            return spans.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]);
        }
        let boxes = self.glyphs.iter().map(BezPath::bounding_box);
        boxes.map(|b| [b.x0, b.x1]).reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
    }

    /// From the first letter's left edge to the last one's right edge, mm.
    pub(super) fn length(&self) -> f64 {
        self.ink().map_or(0.0, |[left, right]| right - left)
    }

    /// From the lowest to the highest place of what is drawn, mm.
    pub(super) fn reaches(&self) -> [f64; 2] {
        let half = self.pen.unwrap_or(0.0) / 2.0;
        let boxes = self.glyphs.iter().chain(self.centers.iter().flatten());
        let boxes = boxes.map(BezPath::bounding_box).map(|b| [b.y0 - half, b.y1 + half]);
        boxes.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]).unwrap_or_default()
    }

    /// The same with the bodies of letters drawn with a pen.
    pub(super) fn drawn(mut self) -> Self {
        if self.pen.is_some() {
            let bodies = self.forms.iter().map(|(form, onto)| {
                let (shape, onto) = form.placed(*onto);
                onto * shape.region.path()
            });
            self.glyphs = bodies.collect();
        }
        self
    }
}

/// Writes a text in a built-in face (the one for carving for `None`), capitals
/// `cap_height` mm tall. `None` for an unknown face.
pub fn write(text: &str, face: Option<&str>, cap_height: f64) -> Option<Written> {
    let face = face.map_or(Some(Face::CARVED), Face::named)?;
    Some(write_in(text, &Fonts::of(face), cap_height))
}

/// Writes a text in fonts, capitals `cap_height` mm tall.
pub fn write_in(text: &str, fonts: &Fonts, cap_height: f64) -> Written {
    let mut written = Written::default();
    for run in runs(text, fonts, &mut written.missing) {
        let Some(font) = run.font.loaded() else { continue };
        if run.font != fonts.first {
            written.borrowed.push((run.font.clone(), run.text.clone()));
        }
        lay(&run, font, cap_height / font.capital, &mut written);
    }
    written
}

/// Width of a text including side bearings, capitals `cap_height` mm tall, in mm.
pub fn width(text: &str, face: Face, cap_height: f64) -> f64 {
    /// Bytes of text that may be held, twice; sheets say much the same of every dish.
    const MOST: usize = 1 << 20;
    static KEPT: Kept<(Face, String), Vec<[f64; 2]>> = Kept::new(MOST);
    let measured = || advances(text, face);
    let weight = |(_, text): &(Face, String), parts: &Vec<[f64; 2]>| {
        text.len() + size_of_val(parts.as_slice())
    };
    let parts = KEPT.get((face, text.to_owned()), measured, weight);
    parts.iter().map(|[units, capital]| units * cap_height / capital).sum()
}

/// The advance of each run of a text and the height of a capital there, in the units of its font.
fn advances(text: &str, face: Face) -> Vec<[f64; 2]> {
    let wide = |run: &Run| {
        let font = run.font.loaded()?;
        let shaped = shape(run, font)?;
        let units: f64 =
            shaped.glyph_positions().iter().map(|glyph| f64::from(glyph.x_advance)).sum();
        Some([units, font.capital])
    };
    runs(text, &Fonts::of(face), &mut Vec::new()).iter().filter_map(wide).collect()
}

/// A glyph of a shaped text, in the units of its font.
#[derive(Clone, Debug, PartialEq)]
pub struct Glyph {
    /// The font it is of.
    pub font: Font,
    /// Its number there.
    pub id: u32,
    /// How far it moves the pen on.
    pub advance: i32,
    /// Where it stands, from the pen: right and up.
    pub offset: [i32; 2],
}

/// Part of a text in one font, with the glyphs it is written with.
#[derive(Clone, Debug, PartialEq)]
pub struct Shaped {
    /// The font.
    pub font: Font,
    /// The text, composed.
    pub text: String,
    /// Its glyphs from left to right, each with the bytes of the text that it writes, alone or
    /// with others.
    pub glyphs: Vec<(Glyph, Range<usize>)>,
}

/// A text in parts of one font each, from left to right.
pub fn shaped(text: &str, fonts: &Fonts) -> Vec<Shaped> {
    let of = |run: Run| {
        let shaped = shape(&run, run.font.loaded()?)?;
        let starts = starts(&shaped);
        let all = shaped.glyph_infos().iter().zip(shaped.glyph_positions());
        let glyphs = all.map(|(info, place)| {
            let glyph = Glyph {
                font: run.font.clone(),
                id: info.glyph_id,
                advance: place.x_advance,
                offset: [place.x_offset, place.y_offset],
            };
            (glyph, cluster(&run.text, &starts, info.cluster as usize))
        });
        let glyphs = glyphs.collect();
        Some(Shaped { font: run.font, text: run.text, glyphs })
    };
    runs(text, fonts, &mut Vec::new()).into_iter().filter_map(of).collect()
}

/// The glyphs a text is written with, from left to right.
pub fn glyphs(text: &str, fonts: &Fonts) -> Vec<Glyph> {
    let parts = shaped(text, fonts).into_iter();
    parts.flat_map(|part| part.glyphs.into_iter().map(|(glyph, _)| glyph)).collect()
}

/// Where the clusters of a shaped run begin in its text, in order.
fn starts(shaped: &harfrust::GlyphBuffer) -> Vec<usize> {
    let mut starts: Vec<usize> =
        shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
    starts.sort_unstable();
    starts
}

/// The bytes of a text from the start of a cluster to that of the next.
fn cluster(text: &str, starts: &[usize], start: usize) -> Range<usize> {
    let end = starts.iter().find(|other| **other > start).copied();
    start..end.unwrap_or(text.len())
}

/// Lays the letters of a run after what is written already; `scale` is mm a font unit.
fn lay(run: &Run, font: &Loaded, scale: f64, written: &mut Written) {
    let Some(shaped) = shape(run, font) else {
        written.missing.extend(run.text.chars());
        return;
    };
    let starts = starts(&shaped);
    let text = |start: usize| {
        run.text.get(cluster(&run.text, &starts, start)).unwrap_or_default()
    };
    let mut letters: Vec<Letter> = Vec::new();
    let mut current = None;
    let mut x = 0.0;
    for (info, place) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
        // Never the box that stands for what is not there.
        let there = info.glyph_id != NO_GLYPH;
        let drawn = there.then(|| font.outline(info.glyph_id)).flatten();
        let Some(mut path) = drawn else {
            written.missing.extend(text(info.cluster as usize).chars());
            continue;
        };
        let right = x + f64::from(place.x_offset);
        path.apply_affine(Affine::translate((right, f64::from(place.y_offset))));
        let advance = f64::from(place.x_advance);
        let same = letters.last_mut().filter(|_| current == Some(info.cluster));
        if let Some(letter) = same {
            letter.path.extend(path);
            letter.advance += advance;
        } else {
            let text = text(info.cluster as usize).to_owned();
            letters.push(Letter { text, path, from: x, advance });
        }
        current = Some(info.cluster);
        x += advance;
    }
    if joins(run.script) {
        letters = joined(letters, run.backward);
    }
    let onto = Affine::translate((written.advance, 0.0)) * Affine::scale(scale);
    let tall = TALL / font.capital;
    for letter in letters {
        if letter.path.elements().is_empty() {
            // A letter whose glyph is blank would vanish in silence.
            written.missing.extend(letter.text.chars().filter(|c| c.is_alphanumeric()));
            continue;
        }
        // What was moved by whole font units is moved back without a trace.
        let own = Affine::translate((-letter.from, 0.0)) * letter.path.clone();
        let place = Affine::translate((letter.from, 0.0)) * Affine::scale(1.0 / tall);
        written.forms.push((Form::Outline(Affine::scale(tall) * own), onto * place));
        written.glyphs.push(onto * letter.path);
        written.texts.push(letter.text);
        written
            .spans
            .push([written.advance + letter.from * scale, letter.advance * scale]);
    }
    written.advance += x * scale;
}

/// A letter with its marks, in font units.
struct Letter {
    text: String,
    path: BezPath,
    from: f64,
    advance: f64,
}

/// Scripts whose letters hang together by themselves.
fn joins(script: Script) -> bool {
    matches!(
        script,
        Script::Arabic
            | Script::Syriac
            | Script::Nko
            | Script::Mandaic
            | Script::Mongolian
            | Script::Devanagari
            | Script::Bengali
            | Script::Gurmukhi
    )
}

/// Letters that hang together, as one.
fn joined(letters: Vec<Letter>, backward: bool) -> Vec<Letter> {
    let mut all: Vec<Letter> = Vec::new();
    let mut edge = f64::NEG_INFINITY;
    for letter in letters {
        let bounds = letter.path.bounding_box();
        let drawn = !letter.path.elements().is_empty();
        match all.last_mut().filter(|last| drawn && !last.path.elements().is_empty()) {
            Some(last) if bounds.x0 <= edge => {
                last.path.extend(letter.path);
                last.advance = letter.from + letter.advance - last.from;
                let texts = [&last.text, &letter.text];
                last.text = if backward {
                    [texts[1].as_str(), texts[0]].concat()
                } else {
                    texts.map(String::as_str).concat()
                };
            }
            Some(_) | None => all.push(letter),
        }
        edge = if drawn { edge.max(bounds.x1) } else { f64::NEG_INFINITY };
    }
    all
}

/// Shapes a run.
fn shape(run: &Run, font: &Loaded) -> Option<harfrust::GlyphBuffer> {
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(&run.text);
    buffer.set_flags(BufferFlags::DO_NOT_INSERT_DOTTED_CIRCLE);
    buffer.set_direction(if run.backward {
        Direction::RightToLeft
    } else {
        Direction::LeftToRight
    });
    if let Ok(script) = run.script.short_name().parse() {
        buffer.set_script(script);
    }
    let tables = font.tables()?;
    unbroken(|| {
        Some(font.shaping.shaper(&tables).build().shape(buffer, ShapeOptions::new()))
    })
}
