//! Reading inputs, and writing files whole or not at all.

use crate::finding::{Code, Finding, Source, SourceFile};
use crate::intake::{LARGEST, text};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::fs::File;
use std::io::{self, Read, Write as _};
use std::path::{Component, Path, PathBuf};

/// The text of an input file; a finding names the file as the path was given.
pub fn read(path: &Path) -> Result<String, Box<Finding>> {
    let label = path.display().to_string();
    let bytes =
        bytes(path, LARGEST).map_err(|error| Box::new(unreadable(&label, &error)))?;
    text(&label, &bytes)
}

/// At most one byte more than the most there may be, which is enough to refuse it.
fn bytes(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let most = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
    File::open(path)?.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn unreadable(label: &str, error: &io::Error) -> Finding {
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
        return Err("the file must lie beside the recipe or below it".to_owned());
    }
    Ok(folder.join(path))
}

/// A file that was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenFile {
    /// Its name in the output folder.
    pub path: String,
    /// SHA-256 of its bytes (FIPS 180-4), in lower-case hexadecimal.
    pub sha256: String,
}

/// The output folder. Nothing is written outside of it.
#[derive(Clone, Debug)]
pub struct Folder(PathBuf);

impl Folder {
    /// Makes the folder if it is not there.
    pub fn create(path: &Path) -> Result<Self, Box<Finding>> {
        std::fs::create_dir_all(path)
            .map_err(|error| Box::new(unwritable(&path.display().to_string(), &error)))?;
        Ok(Self(path.to_path_buf()))
    }

    /// The folder's path.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// Writes a file whole or not at all: under a temporary name first, then renamed.
    pub fn write(&self, name: &str, bytes: &[u8]) -> Result<WrittenFile, Box<Finding>> {
        let path = self.0.join(name);
        let label = path.display().to_string();
        if !plain(name) {
            let finding = Finding::stop(Code::BadId, "not a plain file name")
                .from(Source::whole(&SourceFile::new(label, "")));
            return Err(Box::new(finding));
        }
        let part = self.0.join(format!(".{name}.part"));
        let written = write_through(&part, &path, bytes);
        if let Err(error) = written {
            // The part may not be there; either way nothing is left half-written.
            let _ = std::fs::remove_file(&part);
            return Err(Box::new(unwritable(&label, &error)));
        }
        Ok(WrittenFile { path: name.to_owned(), sha256: hash(bytes) })
    }
}

/// One name, no way up or down.
fn plain(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    let one =
        matches!(parts.next(), Some(Component::Normal(_))) && parts.next().is_none();
    one && !name.contains(['/', '\\'])
}

fn write_through(part: &Path, path: &Path, bytes: &[u8]) -> io::Result<()> {
    match std::fs::remove_file(part) {
        Ok(()) => {}
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        Err(error) => return Err(error),
    }
    // A new file only: a link of that name put there meanwhile is not followed.
    let mut file = File::create_new(part)?;
    file.write_all(bytes)?;
    drop(file);
    std::fs::rename(part, path)
}

fn unwritable(label: &str, error: &io::Error) -> Finding {
    let said = [
        (io::ErrorKind::PermissionDenied, "permission denied"),
        (io::ErrorKind::StorageFull, "the disk is full"),
        (io::ErrorKind::ReadOnlyFilesystem, "the file system is read-only"),
        (io::ErrorKind::AlreadyExists, "a file of that name is in the way"),
        (io::ErrorKind::NotADirectory, "a file of that name is in the way"),
        (io::ErrorKind::IsADirectory, "a folder of that name is in the way"),
    ];
    let known = said.iter().find(|(kind, _)| *kind == error.kind());
    let why = known.map_or("the system refused", |(_, why)| *why);
    Finding::stop(Code::UnwritableFile, format!("cannot be written: {why}"))
        .from(Source::whole(&SourceFile::new(label, "")))
        .help("name another folder, or make room in this one")
}

fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}
