//! Reading what a batch is given.

use crate::finding::{Code, Finding, Source, SourceFile};
use crate::intake::{LARGEST, text};
use std::collections::BTreeSet;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// The text of an input file; a finding names the file as the path was given.
pub fn read(path: &Path) -> Result<String, Box<Finding>> {
    text(&path.display().to_string(), &read_bytes(path, LARGEST)?)
}

/// The bytes of an input file, at most one more than the most there may be.
pub(super) fn read_bytes(path: &Path, most: usize) -> Result<Vec<u8>, Box<Finding>> {
    let label = path.display().to_string();
    bytes(path, most).map_err(|error| Box::new(unreadable(&label, &error)))
}

/// Every input that was read or looked for since the program began, by the path it was read
/// by. Only who watches asks; more than he needs does no harm.
static INPUTS: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// The inputs so far.
pub(super) fn inputs() -> BTreeSet<PathBuf> {
    INPUTS.lock().unwrap_or_else(PoisonError::into_inner).clone()
}

/// The bytes of an input.
fn bytes(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    INPUTS.lock().unwrap_or_else(PoisonError::into_inner).insert(path.to_path_buf());
    limited(path, most)
}

/// At most one byte more than the most there may be, which is enough to refuse it.
pub(super) fn limited(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let most = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
    File::open(path)?.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

pub(super) fn unreadable(label: &str, error: &io::Error) -> Finding {
    let said = [
        (io::ErrorKind::NotFound, "there is no such file", "check its name and folder"),
        (
            io::ErrorKind::PermissionDenied,
            "the file may not be read",
            "change its permissions",
        ),
        (io::ErrorKind::IsADirectory, "this is a folder", "name a file in it"),
    ];
    let known = said.iter().find(|(kind, ..)| *kind == error.kind());
    let (what, help) = known.map_or(
        ("the file cannot be read", "check the disk and try again"),
        |(_, what, help)| (*what, *help),
    );
    Finding::stop(Code::UnreadableFile, what)
        .from(Source::whole(&SourceFile::new(label, "")))
        .help(help)
}

/// The text of a file that a recipe names.
pub(super) fn beside(folder: Option<&Path>, file: &str) -> Result<String, String> {
    read(&below(folder, file)?).map_err(|finding| finding.message)
}

/// The bytes of a font file that a recipe names.
pub(super) fn font(folder: Option<&Path>, file: &str) -> Result<Vec<u8>, String> {
    let path = below(folder, file)?;
    let bytes =
        bytes(&path, LARGEST_FONT).map_err(|error| unreadable(file, &error).message)?;
    if bytes.len() > LARGEST_FONT {
        return Err(format!("the file is larger than {} MiB", LARGEST_FONT >> 20));
    }
    Ok(bytes)
}

/// Most bytes of a font file; those of Chinese, Japanese and Korean are the largest.
const LARGEST_FONT: usize = 64 << 20;

/// A file that a recipe names: beside the recipe or below, never elsewhere.
fn below(folder: Option<&Path>, file: &str) -> Result<PathBuf, String> {
    let folder = folder.ok_or("a built-in recipe has no files beside it")?;
    let path = Path::new(file);
    let below = path.components().all(|part| matches!(part, Component::Normal(_)));
    if !below {
        return Err("the file must lie beside the one that names it, or below".to_owned());
    }
    Ok(folder.join(path))
}
