//! A text as outlines.

use super::face::{Face, Loaded};
use crate::curve::{Affine, BezPath, Drawn as _};
use harfrust::{BufferFlags, ShapeOptions, UnicodeBuffer};
use unicode_normalization::UnicodeNormalization as _;

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
    /// Characters for which the face has no glyph. They draw nothing and take no room.
    pub missing: Vec<char>,
    /// Centre lines of each letter drawn with a pen, one point for a dot; empty otherwise.
    pub centers: Vec<Vec<BezPath>>,
    /// Width of that pen, mm.
    pub pen: Option<f64>,
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
}

/// Writes a text in a built-in face (the one for carving for `None`), capitals
/// `cap_height` mm tall. `None` for an unknown face.
pub fn write(text: &str, face: Option<&str>, cap_height: f64) -> Option<Written> {
    let face = face.map_or(Some(Face::CARVED), Face::named)?;
    Some(write_in(text, face, cap_height))
}

/// Writes a text in a face, capitals `cap_height` mm tall.
pub fn write_in(text: &str, face: Face, cap_height: f64) -> Written {
    let Some(font) = face.loaded() else { return Written::default() };
    let mut written = Written::default();
    for letter in shape(text, face, font, &mut written.missing) {
        if !letter.path.elements().is_empty() {
            written.glyphs.push(letter.path);
            written.texts.push(letter.text);
            written.spans.push([letter.from, letter.advance]);
        }
        written.advance += letter.advance;
    }
    scale(&mut written, cap_height / font.capital);
    written
}

/// Width of a text including side bearings, capitals `cap_height` mm tall, in mm.
pub fn width(text: &str, face: Face, cap_height: f64) -> f64 {
    let Some(font) = face.loaded() else { return 0.0 };
    let units: f64 = run(&kept(text, face, &mut Vec::new()), font)
        .glyph_positions()
        .iter()
        .map(|glyph| f64::from(glyph.x_advance))
        .sum();
    units * cap_height / font.capital
}

fn scale(written: &mut Written, factor: f64) {
    for path in &mut written.glyphs {
        path.apply_affine(Affine::scale(factor));
    }
    for span in &mut written.spans {
        *span = span.map(|x| x * factor);
    }
    written.advance *= factor;
}

/// A letter with its marks, in font units.
struct Letter {
    text: String,
    path: BezPath,
    from: f64,
    advance: f64,
}

fn shape(text: &str, face: Face, font: &Loaded, missing: &mut Vec<char>) -> Vec<Letter> {
    let kept = kept(text, face, missing);
    let shaped = run(&kept, font);
    let mut starts: Vec<usize> =
        shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
    starts.sort_unstable();
    let mut letters: Vec<Letter> = Vec::new();
    let mut cluster = None;
    let mut x = 0.0;
    for (info, place) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
        let mut path = font.outline(info.glyph_id);
        let right = x + f64::from(place.x_offset);
        path.apply_affine(Affine::translate((right, f64::from(place.y_offset))));
        let advance = f64::from(place.x_advance);
        let same = letters.last_mut().filter(|_| cluster == Some(info.cluster));
        if let Some(letter) = same {
            letter.path.extend(path);
            letter.advance += advance;
        } else {
            let start = info.cluster as usize;
            let end = starts.iter().find(|other| **other > start).copied();
            let text = kept.get(start..end.unwrap_or(kept.len())).unwrap_or_default();
            letters.push(Letter { text: text.to_owned(), path, from: x, advance });
        }
        cluster = Some(info.cluster);
        x += advance;
    }
    letters
}

/// What of a text the face has, composed; the rest goes to `missing`.
fn kept(text: &str, face: Face, missing: &mut Vec<char>) -> String {
    let (kept, lacking): (Vec<char>, Vec<char>) =
        text.nfc().partition(|letter| face.writes(*letter));
    missing.extend(lacking);
    kept.into_iter().collect()
}

/// Shapes a text that the face has.
fn run(kept: &str, font: &Loaded) -> harfrust::GlyphBuffer {
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(kept);
    buffer.set_flags(BufferFlags::DO_NOT_INSERT_DOTTED_CIRCLE);
    buffer.guess_segment_properties();
    font.shaping.shaper(&font.font).build().shape(buffer, ShapeOptions::new())
}
