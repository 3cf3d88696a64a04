//! What a recipe asks for from outside: files beside it, fonts that are installed.

use super::digest::Digest;
use super::given;
use crate::finding::{nearest, plain};
use crate::lettering::Font;
use crate::model::FaceWord;
use crate::shape::{Files, NoFont};
use fontdb::{Database, FaceInfo, Style};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Mutex, OnceLock, PoisonError};

/// Something from outside that a recipe asked for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asked {
    /// An SVG file beside the recipe.
    Svg(String),
    /// A font file beside the recipe, and which font of it.
    Font(String, u32),
    /// A font that is installed: family, weight as OpenType counts, slanted.
    Family(String, u16, bool),
}

/// What was asked for and the digest of what came, or of why nothing came.
pub type Used = BTreeMap<Asked, Digest>;

/// The files beside a recipe, in this folder or below, and the fonts of the system. What is
/// asked for is noted.
#[derive(Debug)]
pub(super) struct Beside<'a> {
    folder: Option<&'a Path>,
    used: Mutex<Used>,
}

impl<'a> Beside<'a> {
    pub(super) fn new(folder: Option<&'a Path>) -> Self {
        Self { folder, used: Mutex::default() }
    }

    /// Everything asked for so far.
    pub(super) fn used(self) -> Used {
        self.used.into_inner().unwrap_or_else(PoisonError::into_inner)
    }

    fn note(&self, asked: Asked, sha256: Digest) {
        let mut used = self.used.lock().unwrap_or_else(PoisonError::into_inner);
        used.insert(asked, sha256);
    }
}

/// The digest of what a recipe in this folder would be given now.
pub(super) fn present(folder: Option<&Path>, asked: &Asked) -> Digest {
    match asked {
        Asked::Svg(file) => of_text(&given::beside(folder, file)),
        Asked::Font(file, index) => of_font(&font_file(folder, file, *index)),
        Asked::Family(family, weight, italic) => {
            of_font(&installed(family, *weight, *italic))
        }
    }
}

fn of_text(text: &Result<String, String>) -> Digest {
    match text {
        Ok(text) => Digest::of_parts(["text", text]),
        Err(why) => Digest::of_parts(["none", why]),
    }
}

fn of_font(font: &Result<FontBytes, NoFont>) -> Digest {
    match font {
        Ok(font) => {
            let index = font.index.to_string();
            Digest::of_parts([
                b"font",
                font.name.as_bytes(),
                index.as_bytes(),
                &font.bytes,
            ])
        }
        Err(none) => Digest::of_parts(["none", &none.what, &none.help]),
    }
}

/// A font not yet looked into.
struct FontBytes {
    name: String,
    bytes: Vec<u8>,
    index: u32,
}

impl Files for Beside<'_> {
    fn svg(&self, file: &str) -> Result<String, String> {
        let text = given::beside(self.folder, file);
        self.note(Asked::Svg(file.to_owned()), of_text(&text));
        text
    }

    fn font(&self, wanted: &FaceWord) -> Result<Font, NoFont> {
        let (asked, found, shown) = match wanted {
            FaceWord::File { file, index } => {
                let found = font_file(self.folder, file, *index);
                (Asked::Font(file.clone(), *index), found, file)
            }
            FaceWord::Family { family, weight, italic } => {
                let weight = weight.class();
                let found = installed(family, weight, *italic);
                (Asked::Family(family.clone(), weight, *italic), found, family)
            }
            FaceWord::Named(name) => {
                return Err(NoFont {
                    what: format!("there is no face `{}`", plain(name)),
                    help: "name a built-in face".to_owned(),
                });
            }
        };
        self.note(asked, of_font(&found));
        let FontBytes { name, bytes, index } = found?;
        Font::read(name, bytes, index).map_err(|why| unread(shown, &why, wanted))
    }
}

fn unread(shown: &str, why: &str, wanted: &FaceWord) -> NoFont {
    let another =
        if matches!(wanted, FaceWord::Family { .. }) { "family" } else { "font file" };
    NoFont {
        what: format!("`{}`: {why}", plain(shown)),
        help: format!("name another {another}, or a built-in face"),
    }
}

fn font_file(folder: Option<&Path>, file: &str, index: u32) -> Result<FontBytes, NoFont> {
    let name = match index {
        0 => format!("{{file: {}}}", plain(file)),
        _ => format!("{{file: {}, index: {index}}}", plain(file)),
    };
    let bytes = given::font(folder, file).map_err(|why| {
        let help = "name another font file, or a built-in face";
        NoFont { what: format!("`{}`: {why}", plain(file)), help: help.to_owned() }
    })?;
    Ok(FontBytes { name, bytes, index })
}

/// A font of the system by its family. The system is searched once, and only when a recipe
/// asks.
fn installed(family: &str, weight: u16, italic: bool) -> Result<FontBytes, NoFont> {
    static SYSTEM: OnceLock<Database> = OnceLock::new();
    let system = SYSTEM.get_or_init(|| {
        let mut system = Database::new();
        system.load_system_fonts();
        system
    });
    let mut named: Vec<&FaceInfo> =
        system.faces().filter(|info| called(info, family)).collect();
    // The order in which a disk lists its files is no order.
    named.sort_by_key(|info| (info.post_script_name.clone(), place(info), info.index));
    if named.is_empty() {
        return Err(unknown(system, family));
    }
    let suits = |info: &&&FaceInfo| {
        info.weight.0 == weight && (info.style != Style::Normal) == italic
    };
    let Some(info) = named.iter().find(suits) else {
        return Err(not_so(&named, family));
    };
    let bytes = system.with_face_data(info.id, |bytes, index| (bytes.to_vec(), index));
    let slanted = if italic { ", italic: true" } else { "" };
    let name =
        format!("{{family: {}, weight: {}{slanted}}}", plain(family), word(weight));
    let (bytes, index) = bytes.ok_or_else(|| NoFont {
        what: format!("`{}`: its file cannot be read", plain(family)),
        help: "name another family, or a built-in face".to_owned(),
    })?;
    Ok(FontBytes { name, bytes, index })
}

fn called(info: &FaceInfo, family: &str) -> bool {
    let wanted = family.trim().to_lowercase();
    info.families.iter().any(|(name, _)| name.to_lowercase() == wanted)
}

fn place(info: &FaceInfo) -> String {
    match &info.source {
        fontdb::Source::File(path) => path.display().to_string(),
        fontdb::Source::Binary(_) => String::new(),
    }
}

/// The word recipes have for a weight; its number where they have none.
fn word(weight: u16) -> String {
    let words = crate::model::FaceWeight::WORDS;
    let known = words.iter().find(|(_, known)| known.class() == weight);
    known.map_or_else(|| weight.to_string(), |(word, _)| (*word).to_owned())
}

fn unknown(system: &Database, family: &str) -> NoFont {
    let all = system.faces().flat_map(|info| info.families.iter());
    let mut names: Vec<&str> = all.map(|(name, _)| name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let help = match nearest(family, names.iter().copied()) {
        Some(near) => format!("did you mean `{}`?", plain(near)),
        None => "install it, name its file (`{file: …}`), or a built-in face".to_owned(),
    };
    NoFont { what: format!("no family `{}` is installed", plain(family)), help }
}

/// The family is there, but not of that weight and slant.
fn not_so(named: &[&FaceInfo], family: &str) -> NoFont {
    let kind = |info: &&FaceInfo| {
        let slanted = if info.style == Style::Normal { "" } else { " italic" };
        format!("{}{slanted}", word(info.weight.0))
    };
    let mut kinds: Vec<String> = named.iter().map(kind).collect();
    kinds.sort();
    kinds.dedup();
    NoFont {
        what: format!("`{}` is not installed in that weight and slant", plain(family)),
        help: format!("it is there in {}", kinds.join(", ")),
    }
}
