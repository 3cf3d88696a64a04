//! Faces as a recipe asks for them.

use crate::finding::Source;

/// A face asked for, and where it is written.
#[derive(Clone, Debug, PartialEq)]
pub struct WantedFace {
    /// Which one.
    pub face: FaceWord,
    /// Where it is written.
    pub source: Source,
}

/// How a face is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum FaceWord {
    /// The hand or a built-in face, by name.
    Named(String),
    /// A font file, by its path relative to the recipe's folder; `index` counts the fonts of
    /// a collection from 0.
    File {
        /// The path as written.
        file: String,
        /// Which font of it.
        index: u32,
    },
    /// A font that the system has installed.
    Family {
        /// The family's name.
        family: String,
        /// How heavy.
        weight: FaceWeight,
        /// Slanted.
        italic: bool,
    },
}

/// How heavy the strokes of a face are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FaceWeight {
    /// 400.
    #[default]
    Regular,
    /// 600.
    Semibold,
    /// 700.
    Bold,
}

impl FaceWeight {
    /// Every weight with its word.
    pub const WORDS: [(&'static str, Self); 3] =
        [("regular", Self::Regular), ("semibold", Self::Semibold), ("bold", Self::Bold)];

    /// Its `usWeightClass`, as OpenType counts.
    pub const fn class(self) -> u16 {
        match self {
            Self::Regular => 400,
            Self::Semibold => 600,
            Self::Bold => 700,
        }
    }
}
