//! What a recipe asks for from outside: files beside it, fonts that are installed.

use super::disk;
use crate::finding::{nearest, plain};
use crate::lettering::Font;
use crate::model::FaceWord;
use crate::shape::{Files, NoFont};
use fontdb::{Database, FaceInfo, Style};
use std::path::Path;
use std::sync::OnceLock;

/// The files beside a recipe, in this folder or below, and the fonts of the system.
#[derive(Clone, Copy, Debug)]
pub(super) struct Beside<'a>(pub(super) Option<&'a Path>);

impl Files for Beside<'_> {
    fn svg(&self, file: &str) -> Result<String, String> {
        disk::beside(self.0, file)
    }

    fn font(&self, wanted: &FaceWord) -> Result<Font, NoFont> {
        match wanted {
            FaceWord::File { file, index } => {
                let name = match index {
                    0 => format!("{{file: {}}}", plain(file)),
                    _ => format!("{{file: {}, index: {index}}}", plain(file)),
                };
                let bytes = disk::font(self.0, file);
                bytes.and_then(|bytes| Font::read(name, bytes, *index)).map_err(|why| {
                    let what = format!("`{}`: {why}", plain(file));
                    let help = "name another font file, or a built-in face";
                    NoFont { what, help: help.to_owned() }
                })
            }
            FaceWord::Family { family, weight, italic } => {
                installed(family, weight.class(), *italic)
            }
            FaceWord::Named(name) => Err(NoFont {
                what: format!("there is no face `{}`", plain(name)),
                help: "name a built-in face".to_owned(),
            }),
        }
    }
}

/// A font of the system by its family. The system is searched once, and only when a recipe
/// asks.
fn installed(family: &str, weight: u16, italic: bool) -> Result<Font, NoFont> {
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
    let read = match bytes {
        Some((bytes, index)) => Font::read(name, bytes, index),
        None => Err("its file cannot be read".to_owned()),
    };
    read.map_err(|why| NoFont {
        what: format!("`{}`: {why}", plain(family)),
        help: "name another family, or a built-in face".to_owned(),
    })
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
