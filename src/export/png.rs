//! An SVG text as PNG bytes.

use crate::sheet::Face;
use crate::units::MM_PER_INCH;
use std::fmt;
use std::sync::{Arc, OnceLock};
use tiny_skia::{Pixmap, Transform};
use usvg::{Options, Tree, fontdb};

/// The most pixels a picture may have on a side.
const SIDE_LIMIT: f64 = 20_000.0;

/// User units per inch in CSS, and so in usvg.
const CSS_PER_INCH: f64 = 96.0;

/// Why there is no picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ExportFault {
    /// The text is no SVG that can be drawn; holds what the reader says.
    Svg(String),
    /// The picture would have no pixels or too many.
    Size,
    /// The picture could not be written; holds what the writer says.
    Png(String),
    /// The pages could not be written; holds what the writer says.
    Pdf(String),
}

impl fmt::Display for ExportFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Svg(why) => write!(f, "the sheet cannot be drawn: {why}"),
            Self::Size => f.write_str("the picture would have no pixels or too many"),
            Self::Png(why) => write!(f, "the picture cannot be written: {why}"),
            Self::Pdf(why) => write!(f, "the pages cannot be written: {why}"),
        }
    }
}

impl std::error::Error for ExportFault {}

/// An SVG text as an opaque PNG that states its resolution. Only the built-in faces are used,
/// whatever the computer has installed. The same text gives the same bytes.
pub fn png(svg: &str, dpi: f64) -> Result<Vec<u8>, ExportFault> {
    let tree =
        Tree::from_str(svg, &options()).map_err(|e| ExportFault::Svg(e.to_string()))?;
    let size = [tree.size().width(), tree.size().height()].map(f64::from);
    let [width, height] = size.map(|side| pixels(side / CSS_PER_INCH * dpi));
    let (width, height) = (width?, height?);
    let mut canvas = Pixmap::new(width, height).ok_or(ExportFault::Size)?;
    canvas.fill(tiny_skia::Color::WHITE);
    #[expect(clippy::cast_possible_truncation, reason = "a scale needs no more digits")]
    let scale = (dpi / CSS_PER_INCH) as f32;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut canvas.as_mut());
    encode(&canvas, per_metre(dpi)?)
}

/// Pixels per metre for a resolution in dots per inch, as the pHYs chunk holds them.
pub fn per_metre(dpi: f64) -> Result<u32, ExportFault> {
    whole(dpi / MM_PER_INCH * 1000.0, f64::from(u32::MAX))
}

fn pixels(side: f64) -> Result<u32, ExportFault> {
    whole(side, SIDE_LIMIT)
}

fn whole(value: f64, most: f64) -> Result<u32, ExportFault> {
    let value = value.round();
    if !(1.0..=most).contains(&value) {
        return Err(ExportFault::Size);
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number within u32"
    )]
    let whole = value as u32;
    Ok(whole)
}

fn encode(canvas: &Pixmap, per_metre: u32) -> Result<Vec<u8>, ExportFault> {
    let fault = |e: png::EncodingError| ExportFault::Png(e.to_string());
    // The canvas is opaque, so premultiplied colour is plain colour.
    let rgb: Vec<u8> =
        canvas.pixels().iter().flat_map(|p| [p.red(), p.green(), p.blue()]).collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, canvas.width(), canvas.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fast);
    let unit = png::Unit::Meter;
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit,
    }));
    let mut writer = encoder.write_header().map_err(fault)?;
    writer.write_image_data(&rgb).map_err(fault)?;
    writer.finish().map_err(fault)?;
    Ok(bytes)
}

/// Reading options: the built-in faces, no files, no pictures from outside.
fn options() -> Options<'static> {
    Options {
        font_family: Face::Serif.family().to_owned(),
        fontdb: Arc::clone(faces()),
        ..Options::default()
    }
}

/// The built-in faces, loaded once.
fn faces() -> &'static Arc<fontdb::Database> {
    static FACES: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    FACES.get_or_init(|| {
        let mut faces = fontdb::Database::new();
        for face in Face::ALL {
            faces.load_font_source(fontdb::Source::Binary(Arc::new(face.bytes())));
        }
        faces.set_serif_family(Face::Serif.family());
        faces.set_sans_serif_family(Face::Sans.family());
        faces.set_monospace_family(Face::Mono.family());
        Arc::new(faces)
    })
}
