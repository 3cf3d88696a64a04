//! Pixels as a JPEG, for pages that are printed or read as SVG.

use super::ExportFault;
use crate::sheet::{Painter, Picture, Printed};
use fearless_simd::{Level, dispatch};
use jpeg_encoder::{Encoder, ImageBuffer, JpegColorType, SamplingFactor, rgb_to_ycbcr};
use std::cell::RefCell;

/// Of 100: no blocks or rings seen at arm's length.
const QUALITY: u8 = 88;

/// A picture as a baseline JPEG for print, made once. The same picture gives the same bytes.
pub fn printed(picture: &Picture) -> Result<&Printed, ExportFault> {
    let write = |mut painter: Painter<'_>| {
        coded(painter.size(), QUALITY, |out| painter.paint(out))
    };
    picture.printed(write)
}

/// Baseline JPEG (ITU-T T.81) of a quality of 100, colour at half the resolution. Asks for
/// row after row of red, green and blue.
pub(super) fn coded(
    size: [usize; 2],
    quality: u8,
    next: impl FnMut(&mut [u8]),
) -> Result<Vec<u8>, ExportFault> {
    let side = |count: usize| u16::try_from(count).map_err(|_| ExportFault::Size);
    let line = vec![0; 3 * size[0]];
    let rows = Rows {
        size: [side(size[0])?, side(size[1])?],
        state: RefCell::new(State { next, line, count: 0, missed: false }),
    };
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, quality);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    // Huffman tables made for each picture would save a twelfth of its bytes and take a fifth
    // of the time again.
    encoder.encode_image(&rows).map_err(|e| ExportFault::Jpeg(e.to_string()))?;
    if rows.state.borrow().missed {
        return Err(ExportFault::Jpeg("it asks for rows that are gone".to_owned()));
    }
    Ok(bytes)
}

/// Rows as the encoder asks for them: from the first to the last, which it may repeat.
struct Rows<F> {
    size: [u16; 2],
    state: RefCell<State<F>>,
}

struct State<F> {
    next: F,
    /// The row of which it was asked for last.
    line: Vec<u8>,
    /// How many rows have been asked for.
    count: usize,
    /// Another row was wanted.
    missed: bool,
}

impl<F: FnMut(&mut [u8])> ImageBuffer for &Rows<F> {
    fn get_jpeg_color_type(&self) -> JpegColorType {
        JpegColorType::Ycbcr
    }

    fn width(&self) -> u16 {
        self.size[0]
    }

    fn height(&self) -> u16 {
        self.size[1]
    }

    fn fill_buffers(&self, y: u16, [luma, blue, red, _]: &mut [Vec<u8>; 4]) {
        let State { next, line, count, missed } = &mut *self.state.borrow_mut();
        if *count == usize::from(y) {
            next(line);
            *count += 1;
        }
        *missed |= *count != usize::from(y) + 1;
        let wide = usize::from(self.width());
        let [luma, blue, red] = [luma, blue, red].map(|part| {
            let from = part.len();
            part.resize(from + wide, 0);
            part.get_mut(from..).unwrap_or_default()
        });
        dispatch!(Level::new(), _ => apart(line, [luma, blue, red]));
    }
}

/// Takes brightness and both colours of red, green and blue apart.
#[inline(always)]
fn apart(line: &[u8], [luma, blue, red]: [&mut [u8]; 3]) {
    let parts = luma.iter_mut().zip(blue).zip(red);
    for (((luma, blue), red), [r, g, b]) in parts.zip(line.as_chunks().0) {
        (*luma, *blue, *red) = rgb_to_ycbcr(*r, *g, *b);
    }
}
