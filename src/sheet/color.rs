//! Colours of our sheets.

use crate::relief::linear;

/// An opaque or translucent colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Color {
    /// Red, green, blue, 0 to 255 (sRGB).
    pub rgb: [u8; 3],
    /// 0 clear to 1 opaque.
    pub opacity: f64,
}

impl Color {
    /// An opaque colour.
    pub const fn new(rgb: [u8; 3]) -> Self {
        Self { rgb, opacity: 1.0 }
    }

    /// Let through in part: 0 clear to 1 opaque.
    #[must_use]
    pub const fn at(self, opacity: f64) -> Self {
        Self { rgb: self.rgb, opacity }
    }

    /// Between this colour (0) and another (1).
    #[must_use]
    pub fn toward(self, other: Self, share: f64) -> Self {
        let mix = |a: u8, b: u8| {
            let value = f64::from(a) + (f64::from(b) - f64::from(a)) * share;
            // The clamp keeps the cast exact; whole numbers 0 to 255 only.
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "clamped to 0..=255"
            )]
            let byte = value.round().clamp(0.0, 255.0) as u8;
            byte
        };
        let [r, g, b] = self.rgb;
        let [s, h, c] = other.rgb;
        Self { rgb: [mix(r, s), mix(g, h), mix(b, c)], opacity: self.opacity }
    }

    /// Relative luminance, 0 black to 1 white (W3C, "Web Content Accessibility Guidelines
    /// 2.1", 2018, definition of relative luminance; from memory).
    pub fn luminance(self) -> f64 {
        let [r, g, b] = self.rgb.map(|part| f64::from(linear(part)));
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// Contrast to another colour, 1 none to 21 black on white (same source).
    pub fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance() + 0.05, other.luminance() + 0.05);
        a.max(b) / a.min(b)
    }
}

/// Warm paper.
pub const PAPER: Color = Color::new([0xFC, 0xF9, 0xF2]);
/// A little darker than the paper, for boxes.
pub const TINT: Color = Color::new([0xF4, 0xED, 0xDF]);
/// Words and edges.
pub const INK: Color = Color::new([0x2E, 0x27, 0x22]);
/// Labels and dimensions.
pub const QUIET: Color = Color::new([0x6B, 0x60, 0x55]);
/// Rules between things.
pub const HAIR: Color = Color::new([0xC9, 0xBD, 0xAA]);
/// White.
pub const WHITE: Color = Color::new([0xFF, 0xFF, 0xFF]);

/// The palette of M. Okabe and K. Ito, "Color Universal Design" (2008), told apart with any
/// kind of colour vision. Always with a shape or letter beside it.
pub mod okabe_ito {
    use super::Color;

    /// Vermilion: cannot be made as drawn.
    pub const VERMILION: Color = Color::new([0xD5, 0x5E, 0x00]);
    /// Orange: look first.
    pub const ORANGE: Color = Color::new([0xE6, 0x9F, 0x00]);
    /// Blue: worth knowing.
    pub const BLUE: Color = Color::new([0x00, 0x72, 0xB2]);
    /// Bluish green: as it should be.
    pub const GREEN: Color = Color::new([0x00, 0x9E, 0x73]);
    /// Reddish purple: what the recess cutter leaves.
    pub const PURPLE: Color = Color::new([0xCC, 0x79, 0xA7]);
}
