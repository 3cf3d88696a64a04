//! A sheet as PNG bytes: its pictures painted pixel by pixel, the rest drawn over them.

use super::ink::ink;
use crate::sheet::{Mark, Picture, Point, Sheet};
use crate::units::MM_PER_INCH;
use std::fmt;
use tiny_skia::{Color, Pixmap, PremultipliedColorU8};

/// The most pixels a picture may have on a side.
const SIDE_LIMIT: f64 = 20_000.0;

/// Pictures are painted no finer, pixels per mm; a pixel then fills several.
const FINEST: f64 = 400.0 / MM_PER_INCH;

/// Why there is no picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ExportFault {
    /// The marks cannot be drawn; holds what the reader of their SVG says.
    Svg(String),
    /// The picture would have no pixels or too many.
    Size,
    /// The picture could not be written; holds what the writer says.
    Png(String),
    /// A picture on a page could not be written; holds what the writer says.
    Jpeg(String),
    /// The pages could not be written; holds what the writer says.
    Pdf(String),
}

impl fmt::Display for ExportFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Svg(why) => write!(f, "the sheet cannot be drawn: {why}"),
            Self::Size => f.write_str("the picture would have no pixels or too many"),
            Self::Png(why) | Self::Jpeg(why) => {
                write!(f, "the picture cannot be written: {why}")
            }
            Self::Pdf(why) => write!(f, "the pages cannot be written: {why}"),
        }
    }
}

impl std::error::Error for ExportFault {}

/// A sheet as an opaque PNG that states its resolution. Only the built-in faces are used,
/// whatever the computer has installed. The same sheet gives the same bytes.
pub fn png(sheet: &Sheet, dpi: f64) -> Result<Vec<u8>, ExportFault> {
    let per_mm = dpi / MM_PER_INCH;
    let [width, height] = sheet.size.map(|side| pixels(side * per_mm));
    let mut canvas = Pixmap::new(width?, height?).ok_or(ExportFault::Size)?;
    let [red, green, blue] = sheet.paper.rgb;
    canvas.fill(Color::from_rgba8(red, green, blue, u8::MAX));
    for mark in sheet.layers.iter().flat_map(|layer| &layer.marks) {
        if let Mark::Picture(picture) = mark {
            paint(picture, per_mm, &mut canvas);
        }
    }
    ink(sheet, dpi, &mut canvas)?;
    encode(&canvas, per_metre(dpi)?)
}

/// Paints a picture in the pixels that its place touches.
fn paint(picture: &Picture, per_mm: f64, canvas: &mut Pixmap) {
    let fold = (per_mm / FINEST).ceil().max(1.0);
    let side = fold / per_mm;
    let most = [canvas.width(), canvas.height()].map(|count| f64::from(count) / fold);
    let range = |from: f64, to: f64, most: f64| {
        let [from, to] = [from / side, to / side].map(|at| at.clamp(0.0, most));
        [from.floor() as usize, to.ceil() as usize]
    };
    let place = picture.place;
    let [left, right] = range(place.x0, place.x1, most[0]);
    let [top, bottom] = range(place.y0, place.y1, most[1]);
    let (wide, high) = (right - left, bottom - top);
    if wide == 0 || high == 0 {
        return;
    }
    let corner = Point::new(left as f64 * side, top as f64 * side);
    let pixels = picture.painted(corner, side, [wide, high]);
    let (width, fold) = (canvas.width() as usize, fold as usize);
    let rows = canvas.pixels_mut().chunks_mut(width).skip(top * fold);
    for (row, line) in rows.take(high * fold).enumerate() {
        let painted = pixels[row / fold * wide * 3..].chunks(3);
        let fields = line.chunks_mut(fold).skip(left).take(wide);
        for (field, rgb) in fields.zip(painted) {
            let &[red, green, blue] = rgb else { continue };
            let color = PremultipliedColorU8::from_rgba(red, green, blue, u8::MAX);
            field.fill(color.unwrap_or(PremultipliedColorU8::TRANSPARENT));
        }
    }
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
    let mut rgb = vec![0; canvas.pixels().len() * 3];
    for (to, from) in rgb.chunks_exact_mut(3).zip(canvas.data().chunks_exact(4)) {
        to.copy_from_slice(from.get(..3).unwrap_or_default());
    }
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, canvas.width(), canvas.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fast);
    // The one filter that suits a painted dish: trying all of them for each row takes longer
    // than what it saves, a twentieth of the bytes.
    encoder.set_filter(png::Filter::Paeth);
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
