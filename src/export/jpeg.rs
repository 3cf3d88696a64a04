//! Pixels as a JPEG, for pages that are printed or read as SVG.

use super::ExportFault;
use crate::sheet::Pixels;
use jpeg_encoder::{Encoder, ImageBuffer, JpegColorType, SamplingFactor, rgb_to_ycbcr};

/// Of 100: no blocks or rings seen at arm's length.
const QUALITY: u8 = 88;

/// Baseline JPEG (ITU-T T.81), colour at half the resolution. The same pixels give the same
/// bytes.
pub(super) fn jpeg(pixels: &Pixels) -> Result<Vec<u8>, ExportFault> {
    coded(&pixels.rgb, pixels.size, QUALITY)
}

/// The same of red, green and blue row by row, at a quality of 100.
pub(super) fn coded(
    rgb: &[u8],
    size: [usize; 2],
    quality: u8,
) -> Result<Vec<u8>, ExportFault> {
    let side = |count: usize| u16::try_from(count).map_err(|_| ExportFault::Size);
    let rows = Rows { rgb, size: [side(size[0])?, side(size[1])?] };
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, quality);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    // Huffman tables made for each picture would save a twelfth of its bytes and take a fifth
    // of the time again.
    encoder.encode_image(rows).map_err(|e| ExportFault::Jpeg(e.to_string()))?;
    Ok(bytes)
}

/// Red, green and blue row by row, taken in a row at once.
struct Rows<'a> {
    rgb: &'a [u8],
    size: [u16; 2],
}

impl ImageBuffer for Rows<'_> {
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
        let wide = usize::from(self.width());
        let row = self.rgb.chunks_exact(3).skip(usize::from(y) * wide).take(wide);
        let [luma, blue, red] = [luma, blue, red].map(|part| {
            let from = part.len();
            part.resize(from + wide, 0);
            part.get_mut(from..).unwrap_or_default()
        });
        for (((luma, blue), red), pixel) in luma.iter_mut().zip(blue).zip(red).zip(row) {
            let &[r, g, b] = pixel else { continue };
            (*luma, *blue, *red) = rgb_to_ycbcr(r, g, b);
        }
    }
}
