//! Pixels as a JPEG, for pages that are printed or read as SVG.

use super::ExportFault;
use crate::sheet::Pixels;
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

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
    let [width, height] = size;
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, quality);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    encoder.set_optimized_huffman_tables(true);
    encoder
        .encode(rgb, side(width)?, side(height)?, ColorType::Rgb)
        .map_err(|e| ExportFault::Jpeg(e.to_string()))?;
    Ok(bytes)
}
