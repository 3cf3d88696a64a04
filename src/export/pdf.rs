//! Sheets as a PDF file: true size, vectors, text that can be searched and copied.

use super::{ExportFault, jpeg::printed};
use crate::kept::Kept;
use crate::sheet::{
    Anchor, BezPath, Color, Drawn, Face, Font as Written, Fonts, Mark, PathEl, Picture,
    Shaped, Sheet, Text, Way, shaped,
};
use crate::units::MM_PER_INCH;
use krilla::Document;
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use std::sync::{Arc, OnceLock};

/// PDF user units per mm: there are 72 to the inch (ISO 32000-1, 8.3.2.3).
const UNIT: f64 = 72.0 / MM_PER_INCH;

/// Pages that a bookmark leads to.
#[derive(Clone, Copy, Debug)]
pub struct Chapter<'a> {
    /// What the bookmark says.
    pub title: &'a str,
    /// Its pages.
    pub pages: &'a [Sheet],
}

/// A file of pages in true size under a title, with a bookmark for each chapter where there
/// are several. Fonts are embedded, as far as they are used. The same pages give the same
/// bytes.
pub fn pdf(title: &str, chapters: &[Chapter<'_>]) -> Result<Vec<u8>, ExportFault> {
    let mut binder = Binder::new(title, chapters.len() > 1);
    for chapter in chapters {
        binder.add(chapter)?;
    }
    binder.finish()
}

/// A file of pages that is bound chapter by chapter: what was added may be forgotten.
pub struct Binder {
    document: Document,
    title: String,
    language: Option<&'static str>,
    outline: Outline,
    bookmarks: bool,
    pages: usize,
}

impl Binder {
    /// A file without pages yet, with bookmarks for its chapters or none.
    pub fn new(title: &str, bookmarks: bool) -> Self {
        Self {
            document: Document::new(),
            title: title.to_owned(),
            language: None,
            outline: Outline::new(),
            bookmarks,
            pages: 0,
        }
    }

    /// Adds a chapter; one without pages is left out.
    pub fn add(&mut self, chapter: &Chapter<'_>) -> Result<(), ExportFault> {
        let Some(first) = chapter.pages.first() else { return Ok(()) };
        self.language = self.language.or(Some(first.language));
        let top = XyzDestination::new(self.pages, Point::from_xy(0.0, 0.0));
        self.outline.push_child(OutlineNode::new(chapter.title.to_owned(), top));
        self.pages += chapter.pages.len();
        chapter.pages.iter().try_for_each(|sheet| page(&mut self.document, sheet))
    }

    /// How many pages there are.
    pub const fn pages(&self) -> usize {
        self.pages
    }

    /// The file, in the language of its first page.
    pub fn finish(mut self) -> Result<Vec<u8>, ExportFault> {
        let metadata = Metadata::new()
            .title(self.title)
            .language(self.language.unwrap_or("en").to_owned())
            .producer("treen".to_owned());
        self.document.set_metadata(metadata);
        if self.bookmarks {
            self.document.set_outline(self.outline);
        }
        self.document.finish().map_err(|why| ExportFault::Pdf(format!("{why:?}")))
    }
}

impl std::fmt::Debug for Binder {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Binder of {} pages: {}", self.pages, self.title)
    }
}

fn page(document: &mut Document, sheet: &Sheet) -> Result<(), ExportFault> {
    let [width, height] = sheet.size.map(|mm| short(mm * UNIT));
    let settings = PageSettings::from_wh(width, height).ok_or(ExportFault::Size)?;
    let mut page = document.start_page_with(settings);
    let mut surface = page.surface();
    surface.push_transform(&Transform::from_scale(short(UNIT), short(UNIT)));
    let [right, bottom] = sheet.size;
    let whole = BezPath::from_vec(vec![
        PathEl::MoveTo((0.0, 0.0).into()),
        PathEl::LineTo((right, 0.0).into()),
        PathEl::LineTo((right, bottom).into()),
        PathEl::LineTo((0.0, bottom).into()),
        PathEl::ClosePath,
    ]);
    let paper = Drawn { path: whole, fill: Some(sheet.paper), stroke: None, clip: None };
    draw(&mut surface, &paper);
    for mark in sheet.layers.iter().flat_map(|layer| &layer.marks) {
        match mark {
            Mark::Path(drawn) => draw(&mut surface, drawn),
            Mark::Text(text) => write(&mut surface, text),
            Mark::Picture(picture) => paste(&mut surface, picture)?,
        }
    }
    surface.pop();
    surface.finish();
    page.finish();
    Ok(())
}

fn draw(surface: &mut Surface<'_>, drawn: &Drawn) {
    let Some(path) = outline(&drawn.path) else { return };
    let clip = drawn.clip.as_ref().and_then(outline);
    if let Some(clip) = &clip {
        surface.push_clip_path(clip, &FillRule::NonZero);
    }
    surface.set_fill(drawn.fill.map(fill));
    surface.set_stroke(drawn.stroke.as_ref().map(|stroke| {
        let array: Vec<f32> = stroke.dash.iter().map(|mm| short(*mm)).collect();
        Stroke {
            paint: paint(stroke.color),
            opacity: opacity(stroke.color),
            width: short(stroke.width),
            line_cap: LineCap::Round,
            line_join: LineJoin::Round,
            dash: (!array.is_empty()).then_some(StrokeDash { array, offset: 0.0 }),
            ..Stroke::default()
        }
    }));
    surface.draw_path(&path);
    if clip.is_some() {
        surface.pop();
    }
}

fn paste(surface: &mut Surface<'_>, picture: &Picture) -> Result<(), ExportFault> {
    let printed = printed(picture)?;
    let image =
        Image::from_jpeg(printed.bytes.clone().into(), true).map_err(ExportFault::Pdf)?;
    let place = printed.place;
    let size = Size::from_wh(short(place.width()), short(place.height()));
    let size = size.ok_or(ExportFault::Size)?;
    let corner = Transform::from_translate(short(place.x0), short(place.y0));
    surface.push_transform(&corner);
    surface.draw_image(image, size);
    surface.pop();
    Ok(())
}

fn write(surface: &mut Surface<'_>, text: &Text) {
    let [x, y] = [text.at.x, text.at.y].map(short);
    let mut start = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -text.width() / 2.0,
        Anchor::End => -text.width(),
    };
    let turned = text.way == Way::Up;
    if turned {
        surface.push_transform(&Transform::from_rotate_at(-90.0, x, y));
    }
    surface.set_fill(Some(fill(text.color)));
    surface.set_stroke(None);
    for part in set(text).iter() {
        let size = text.height * part.face.em();
        let Some(font) = font(part.face) else { continue };
        let at = Point::from_xy(short(text.at.x + start), y);
        surface.draw_glyphs(at, &part.glyphs, font, &part.text, short(size), false);
        start += part.advance * size;
    }
    if turned {
        surface.pop();
    }
}

/// Part of a text in one face, as the writer wants it.
struct SetPart {
    face: Face,
    text: String,
    glyphs: Vec<KrillaGlyph>,
    /// How far it moves the pen on, ems.
    advance: f64,
}

/// A text in parts of one face each, made once: sheets say much the same of every dish.
fn set(text: &Text) -> Arc<Vec<SetPart>> {
    /// Bytes that may be held, twice.
    const MOST: usize = 1 << 20;
    static KEPT: Kept<(Face, String), Arc<Vec<SetPart>>> = Kept::new(MOST);
    let make = || {
        let parts = shaped(&text.text, &Fonts::of(text.face)).into_iter();
        Arc::new(parts.filter_map(set_part).collect())
    };
    let weight = |(_, text): &(Face, String), parts: &Arc<Vec<SetPart>>| {
        let glyphs: usize =
            parts.iter().map(|part| size_of_val(part.glyphs.as_slice())).sum();
        2 * text.len() + glyphs
    };
    KEPT.get((text.face, text.text.clone()), make, weight)
}

fn set_part(part: Shaped) -> Option<SetPart> {
    // What a page is written in is built in.
    let Written::Built(face) = part.font else { return None };
    let units = f64::from(font(face)?.units_per_em());
    let em = |units_of_font: i32| short(f64::from(units_of_font) / units);
    let advance: i32 = part.glyphs.iter().map(|(glyph, _)| glyph.advance).sum();
    let glyphs = part.glyphs.into_iter().map(|(glyph, text)| {
        let [right, up] = glyph.offset.map(em);
        let id = GlyphId::new(glyph.id);
        KrillaGlyph::new(id, em(glyph.advance), right, up, 0.0, text, None)
    });
    let glyphs = glyphs.collect();
    Some(SetPart { face, text: part.text, glyphs, advance: f64::from(advance) / units })
}

/// A face as the writer wants it, made once.
fn font(face: Face) -> Option<Font> {
    static FONTS: [OnceLock<Option<Font>>; Face::COUNT] =
        [const { OnceLock::new() }; Face::COUNT];
    let made = || Font::new(face.bytes().into(), 0);
    FONTS.get(face as usize)?.get_or_init(made).clone()
}

fn outline(path: &BezPath) -> Option<Path> {
    let mut out = PathBuilder::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => out.move_to(short(p.x), short(p.y)),
            PathEl::LineTo(p) => out.line_to(short(p.x), short(p.y)),
            PathEl::QuadTo(a, p) => {
                out.quad_to(short(a.x), short(a.y), short(p.x), short(p.y));
            }
            PathEl::CurveTo(a, b, p) => out.cubic_to(
                short(a.x),
                short(a.y),
                short(b.x),
                short(b.y),
                short(p.x),
                short(p.y),
            ),
            PathEl::ClosePath => out.close(),
        }
    }
    out.finish()
}

fn fill(color: Color) -> Fill {
    Fill { paint: paint(color), opacity: opacity(color), rule: FillRule::NonZero }
}

fn paint(color: Color) -> krilla::paint::Paint {
    let [r, g, b] = color.rgb;
    rgb::Color::new(r, g, b).into()
}

fn opacity(color: Color) -> NormalizedF32 {
    NormalizedF32::new(short(color.opacity)).unwrap_or(NormalizedF32::ONE)
}

#[expect(clippy::cast_possible_truncation, reason = "a page needs no more digits")]
const fn short(value: f64) -> f32 {
    value as f32
}
