//! A sheet as PNG bytes: its pictures painted pixel by pixel, the rest drawn over them.

use super::ink::ink;
use crate::sheet::{Mark, Picture, Point, Sheet};
use crate::units::MM_PER_INCH;
use std::cell::RefCell;
use std::fmt;
use tiny_skia::{IntSize, Pixmap};

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
    let mut canvas = blank([width?, height?], sheet.paper.rgb)?;
    for mark in sheet.layers.iter().flat_map(|layer| &layer.marks) {
        if let Mark::Picture(picture) = mark {
            paint(picture, per_mm, &mut canvas);
        }
    }
    ink(sheet, dpi, &mut canvas)?;
    encode(canvas, per_metre(dpi)?)
}

thread_local! {
    /// Bytes of the last canvas, for the next of the same thread.
    static CANVAS: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Larger canvases are not kept, bytes.
const LARGEST: usize = 16 << 20;

/// Paper with nothing on it.
fn blank([width, height]: [u32; 2], rgb: [u8; 3]) -> Result<Pixmap, ExportFault> {
    let [red, green, blue] = rgb;
    let size = IntSize::from_wh(width, height).ok_or(ExportFault::Size)?;
    let mut pixels = CANVAS.take();
    pixels.resize(4 * width as usize * height as usize, 0);
    pixels.as_chunks_mut().0.fill([red, green, blue, u8::MAX]);
    Pixmap::from_vec(pixels, size).ok_or(ExportFault::Size)
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
    let mut painter = picture.painter(corner, side, [wide, high]);
    let mut painted = vec![0; 3 * wide];
    let (width, fold) = (canvas.width() as usize, fold as usize);
    let rows = canvas.data_mut().chunks_exact_mut(4 * width).skip(top * fold);
    for (row, line) in rows.take(high * fold).enumerate() {
        if row.is_multiple_of(fold) {
            painter.paint(&mut painted);
        }
        let line = &mut line.as_chunks_mut().0[left * fold..];
        let painted = painted.as_chunks().0.iter();
        let painted = painted.map(|[red, green, blue]| [*red, *green, *blue, u8::MAX]);
        if fold == 1 {
            line.iter_mut().zip(painted).for_each(|(pixel, color)| *pixel = color);
        } else {
            let fields = line.chunks_mut(fold).zip(painted);
            fields.for_each(|(field, color)| field.fill(color));
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

/// Moves red, green and blue of opaque pixels together, and says how many bytes they take:
/// premultiplied colour is plain colour there.
fn pack(rgba: &mut [u8]) -> usize {
    // Four at a time, as whole words.
    let fours = rgba.len() / 16;
    for four in 0..fours {
        let pixels = rgba.as_chunks::<16>().0[four];
        let word =
            |at: usize| u32::from_le_bytes([0, 1, 2, 3].map(|byte| pixels[at + byte]));
        let [a, b, c, d] = [word(0), word(4), word(8), word(12)];
        let words = [
            (a & 0x00FF_FFFF) | (b << 24),
            ((b >> 8) & 0xFFFF) | (c << 16),
            ((c >> 16) & 0xFF) | (d << 8),
        ];
        let bytes = words.map(u32::to_le_bytes);
        rgba[12 * four..12 * four + 12].copy_from_slice(bytes.as_flattened());
    }
    for pixel in 4 * fours..rgba.len() / 4 {
        rgba.copy_within(4 * pixel..4 * pixel + 3, 3 * pixel);
    }
    rgba.len() / 4 * 3
}

fn encode(canvas: Pixmap, per_metre: u32) -> Result<Vec<u8>, ExportFault> {
    let fault = |e: png::EncodingError| ExportFault::Png(e.to_string());
    let (width, height) = (canvas.width(), canvas.height());
    let mut pixels = canvas.take();
    let count = pack(&mut pixels);
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
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
    writer.write_image_data(&pixels[..count]).map_err(fault)?;
    writer.finish().map_err(fault)?;
    if pixels.capacity() <= LARGEST {
        CANVAS.set(pixels);
    }
    Ok(bytes)
}
