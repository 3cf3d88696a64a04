//! The faces built in, reached through crates; none depends on what a computer has installed.

use super::font::Loaded;
use std::sync::OnceLock;

/// A built-in face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// Libertinus Serif.
    Serif,
    /// Libertinus Serif Italic.
    SerifItalic,
    /// Libertinus Serif Semibold.
    SerifSemibold,
    /// Libertinus Serif Bold: the one names are carved in unless a recipe says otherwise.
    SerifBold,
    /// Libertinus Serif Bold Italic.
    SerifBoldItalic,
    /// New Computer Modern.
    Roman,
    /// New Computer Modern Bold.
    RomanBold,
    /// New Computer Modern Italic.
    RomanItalic,
    /// Noto Sans.
    Sans,
    /// Noto Sans Bold.
    SansBold,
    /// Noto Sans Italic.
    SansItalic,
    /// `DejaVu` Sans Mono.
    Mono,
    /// `DejaVu` Sans Mono Bold.
    MonoBold,
    /// `DejaVu` Sans, which has the most scripts.
    Broad,
    /// `DejaVu` Sans Bold.
    BroadBold,
    /// Noto Sans Devanagari, which has no Latin.
    Devanagari,
}

/// What is known of a face before its bytes are read.
struct Card {
    /// As recipes name it.
    name: &'static str,
    /// As the font file names its family.
    family: &'static str,
    /// 400 regular, 600 semibold, 700 bold.
    weight: u16,
    /// Slanted.
    italic: bool,
    /// Where its bytes are.
    place: Place,
}

/// Where the bytes of a face are.
enum Place {
    /// The position among the bundled fonts; a test holds family and weight to it.
    Bundle(usize),
    /// Bytes of their own.
    Bytes(&'static [u8]),
    /// Bytes that are asked for.
    Asked(fn() -> &'static [u8]),
}

impl Face {
    /// Every face that writes Latin, in the order people see them.
    pub const ALL: [Self; 15] = [
        Self::Serif,
        Self::SerifItalic,
        Self::SerifSemibold,
        Self::SerifBold,
        Self::SerifBoldItalic,
        Self::Roman,
        Self::RomanBold,
        Self::RomanItalic,
        Self::Sans,
        Self::SansBold,
        Self::SansItalic,
        Self::Mono,
        Self::MonoBold,
        Self::Broad,
        Self::BroadBold,
    ];

    /// Faces for a script that no other has, without Latin.
    pub const LENDING: [Self; 1] = [Self::Devanagari];

    /// How many faces are built in.
    pub const COUNT: usize = Self::ALL.len() + Self::LENDING.len();

    /// Every face that is built in.
    pub fn every() -> impl Iterator<Item = Self> {
        Self::ALL.into_iter().chain(Self::LENDING)
    }

    /// The face names are carved in unless a recipe says otherwise.
    pub const CARVED: Self = Self::SerifBold;

    /// The face of that name; `None` when there is none.
    pub fn named(name: &str) -> Option<Self> {
        Self::every().find(|face| face.name() == name)
    }

    /// As recipes name it: `serif bold`.
    pub const fn name(self) -> &'static str {
        self.card().name
    }

    /// As the font file names its family: `Libertinus Serif`.
    pub const fn family(self) -> &'static str {
        self.card().family
    }

    /// 400 regular, 600 semibold, 700 bold.
    pub const fn weight(self) -> u16 {
        self.card().weight
    }

    /// Slanted.
    pub const fn italic(self) -> bool {
        self.card().italic
    }

    /// What stands in for the family where it is not installed: `serif`, `sans-serif` or
    /// `monospace`.
    pub const fn generic(self) -> &'static str {
        match self {
            Self::Serif
            | Self::SerifItalic
            | Self::SerifSemibold
            | Self::SerifBold
            | Self::SerifBoldItalic
            | Self::Roman
            | Self::RomanBold
            | Self::RomanItalic => "serif",
            Self::Sans
            | Self::SansBold
            | Self::SansItalic
            | Self::Broad
            | Self::BroadBold
            | Self::Devanagari => "sans-serif",
            Self::Mono | Self::MonoBold => "monospace",
        }
    }

    /// The faces that stand in for letters this one lacks, in this order: those of its own
    /// weight, then the others, then those without Latin.
    pub fn substitutes(self) -> impl Iterator<Item = Self> {
        const BOLD: [Face; 5] = [
            Face::SerifBold,
            Face::RomanBold,
            Face::BroadBold,
            Face::SansBold,
            Face::MonoBold,
        ];
        const PLAIN: [Face; 5] =
            [Face::Serif, Face::Roman, Face::Broad, Face::Sans, Face::Mono];
        let (first, then) =
            if self.weight() > 500 { (BOLD, PLAIN) } else { (PLAIN, BOLD) };
        first
            .into_iter()
            .chain(then)
            .chain(Self::LENDING)
            .filter(move |face| *face != self)
    }

    /// The bytes of the font file.
    pub fn bytes(self) -> &'static [u8] {
        match self.card().place {
            Place::Bundle(at) => typst_assets::fonts().nth(at).unwrap_or_default(),
            Place::Bytes(bytes) => bytes,
            Place::Asked(bytes) => bytes(),
        }
    }

    /// The em as a multiple of the height of a capital H.
    pub fn em(self) -> f64 {
        self.loaded().map_or(1.5, |font| font.em / font.capital)
    }

    /// How far letters such as g reach below the baseline, as a multiple of the height of a
    /// capital H.
    pub fn descent(self) -> f64 {
        self.loaded().map_or(0.4, |font| font.descent / font.capital)
    }

    /// How far letters with marks reach above the baseline, as a multiple of the height of a
    /// capital H.
    pub fn ascent(self) -> f64 {
        self.loaded().map_or(1.4, |font| font.ascent / font.capital)
    }

    /// The face can write this character, whole or as a letter and its marks. A picture is
    /// never written, whatever the font has.
    pub fn writes(self, letter: char) -> bool {
        self.loaded().is_some_and(|font| font.writes(letter))
    }

    const fn card(self) -> Card {
        const LIBERTINUS: &str = "Libertinus Serif";
        const MODERN: &str = "NewComputerModern";
        const NOTO: &str = "Noto Sans";
        const MONO: &str = "DejaVu Sans Mono";
        const fn bundled(
            name: &'static str,
            family: &'static str,
            weight: u16,
            italic: bool,
            at: usize,
        ) -> Card {
            Card { name, family, weight, italic, place: Place::Bundle(at) }
        }
        const fn noto(
            name: &'static str,
            weight: u16,
            italic: bool,
            bytes: &'static [u8],
        ) -> Card {
            Card { name, family: NOTO, weight, italic, place: Place::Bytes(bytes) }
        }
        const fn broad(name: &'static str, weight: u16, place: Place) -> Card {
            Card { name, family: "DejaVu Sans", weight, italic: false, place }
        }
        match self {
            Self::Serif => bundled("serif", LIBERTINUS, 400, false, 0),
            Self::SerifBold => bundled("serif bold", LIBERTINUS, 700, false, 1),
            Self::SerifItalic => bundled("serif italic", LIBERTINUS, 400, true, 2),
            Self::SerifBoldItalic => {
                bundled("serif bold italic", LIBERTINUS, 700, true, 3)
            }
            Self::SerifSemibold => bundled("serif semibold", LIBERTINUS, 600, false, 4),
            Self::Roman => bundled("roman", MODERN, 400, false, 9),
            Self::RomanBold => bundled("roman bold", MODERN, 700, false, 10),
            Self::RomanItalic => bundled("roman italic", MODERN, 400, true, 11),
            Self::Sans => noto("sans", 400, false, notosans::REGULAR_TTF),
            Self::SansBold => noto("sans bold", 700, false, notosans::BOLD_TTF),
            Self::SansItalic => noto("sans italic", 400, true, notosans::ITALIC_TTF),
            Self::Broad => broad("broad", 400, Place::Asked(dejavu::sans::regular)),
            Self::BroadBold => broad("broad bold", 700, Place::Asked(dejavu::sans::bold)),
            Self::MonoBold => bundled("mono bold", MONO, 700, false, 13),
            Self::Mono => bundled("mono", MONO, 400, false, 16),
            Self::Devanagari => Card {
                name: "devanagari",
                family: "Noto Sans Devanagari",
                weight: 400,
                italic: false,
                place: Place::Asked(|| uzor_fonts::NOTO_SANS_DEVANAGARI),
            },
        }
    }

    /// The parsed font; `None` only if the bytes were no font, which a test rules out.
    pub(super) fn loaded(self) -> Option<&'static Loaded> {
        static FONTS: [OnceLock<Option<Loaded>>; Face::COUNT] =
            [const { OnceLock::new() }; Face::COUNT];
        FONTS
            .get(self as usize)?
            .get_or_init(|| Loaded::read(self.bytes(), 0).ok())
            .as_ref()
    }
}

/// A character that by Unicode's `Default_Ignorable_Code_Point` draws nothing (joiners,
/// direction marks, variation selectors).
pub(super) fn invisible(letter: char) -> bool {
    matches!(letter,
        '\u{00AD}' | '\u{034F}' | '\u{061C}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}'
        | '\u{2060}'..='\u{206F}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}'
        | '\u{E0000}'..='\u{E0FFF}')
}

/// Emoji and other pictures, by Unicode block: Miscellaneous Symbols to Dingbats, and the
/// pictographs of plane 1 (Unicode Standard, Blocks.txt, from memory).
pub fn picture(letter: char) -> bool {
    matches!(letter, '\u{2600}'..='\u{27BF}' | '\u{2B00}'..='\u{2BFF}' | '\u{1F000}'..='\u{1FAFF}')
}
