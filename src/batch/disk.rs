//! Writing files whole or not at all.

use super::digest::{Digest, Hash};
use super::given::{limited, unreadable};
use super::seals::Seals;
use super::stamp::Stamp;
use crate::finding::{Code, Finding, Source, SourceFile};
use std::fs::{File, Metadata, TryLockError};
use std::io::{self, BufWriter, Read};
use std::path::{Component, Path, PathBuf};

/// A file that was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenFile {
    /// Its name in the output folder.
    pub path: String,
    /// The digest of its bytes.
    pub sha256: Digest,
}

/// The output folder. Nothing is written outside of it, and as long as this value is there no
/// other run writes into it.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
    /// The folder itself, locked; none where the system has no such locks.
    lock: Option<File>,
    seals: Seals,
}

impl Folder {
    /// Makes the folder if it is not there. Where another run has it, `waiting` is called and
    /// then waited until that has ended.
    pub fn create(path: &Path, waiting: &dyn Fn()) -> Result<Self, Box<Finding>> {
        let folder = Self::unlocked(path)?;
        Ok(Self { lock: locked(path, waiting), ..folder })
    }

    /// The same folder, whose files are known again by what a cache folder tells of them: those
    /// that nobody has written to since are not read to see that they are as they were. The
    /// cache folder need not be there, and may go at any time.
    #[must_use]
    pub fn remembered(self, cache: &Path) -> Self {
        Self { seals: Seals::within(cache), ..self }
    }

    /// A folder to read from, which no run writes to as long as this value is there.
    pub(super) fn existing(path: &Path) -> Result<Self, Box<Finding>> {
        let label = path.display().to_string();
        let folder =
            File::open(path).map_err(|error| Box::new(unreadable(&label, &error)))?;
        if let Err(TryLockError::WouldBlock) = folder.try_lock_shared() {
            let finding = Finding::stop(Code::UnreadableFile, "a run still writes to it")
                .from(Source::whole(&SourceFile::new(label, "")))
                .help("wait for its end");
            return Err(Box::new(finding));
        }
        let seals = Seals::default();
        Ok(Self { path: path.to_path_buf(), lock: Some(folder), seals })
    }

    /// A folder to look into whatever runs write to it; made if it is not there.
    pub(super) fn unlocked(path: &Path) -> Result<Self, Box<Finding>> {
        std::fs::create_dir_all(path)
            .map_err(|error| Box::new(unwritable(&path.display().to_string(), &error)))?;
        Ok(Self { path: path.to_path_buf(), lock: None, seals: Seals::default() })
    }

    /// The folder's path.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes a file whole or not at all: under a temporary name first, then renamed.
    pub fn write(&self, name: &str, bytes: &[u8]) -> Result<WrittenFile, Box<Finding>> {
        let sha256 = Digest::of(bytes);
        let (file, before) = self.put(name, &mut |out| out.write_all(bytes))?;
        if let Ok(now) = file.metadata() {
            self.seals.written([&before, &now], sha256);
        }
        Ok(WrittenFile { path: name.to_owned(), sha256 })
    }

    /// The same for what is not in memory as a whole.
    pub(super) fn write_with(
        &self,
        name: &str,
        write: &mut dyn FnMut(&mut dyn io::Write) -> io::Result<()>,
    ) -> Result<File, Box<Finding>> {
        self.put(name, write).map(|(file, _)| file)
    }

    /// The file, and what the system told of it before it got its name.
    fn put(
        &self,
        name: &str,
        write: &mut dyn FnMut(&mut dyn io::Write) -> io::Result<()>,
    ) -> Result<(File, Metadata), Box<Finding>> {
        let path = self.path.join(name);
        if !plain(name) {
            let finding = Finding::stop(Code::BadId, "not a plain file name")
                .from(Source::whole(&SourceFile::new(path.display().to_string(), "")));
            return Err(Box::new(finding));
        }
        let part = self.path.join(format!(".{name}{PART}"));
        write_through(&part, &path, write).map_err(|error| {
            // The part may not be there; either way nothing is left half-written.
            let _ = std::fs::remove_file(&part);
            self.unwritten(name, &error)
        })
    }

    /// Says why a file could not be written.
    pub(super) fn unwritten(&self, name: &str, error: &io::Error) -> Box<Finding> {
        Box::new(unwritable(&self.path.join(name).display().to_string(), error))
    }

    /// Sees to it that files renamed so far stay so if the power fails; `name` is what is
    /// about to rely on it.
    pub(super) fn settle(&self, name: &str) -> Result<(), Box<Finding>> {
        let Some(folder) = &self.lock else { return Ok(()) };
        match folder.sync_all() {
            // Some file systems have nothing to do for a folder and say so.
            Err(error) if error.kind() == io::ErrorKind::InvalidInput => Ok(()),
            settled => settled.map_err(|error| self.unwritten(name, &error)),
        }
    }

    /// The bytes of a file of this folder.
    pub(super) fn read(&self, name: &str) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        self.open(name)?.read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    /// A file of this folder, to be read.
    pub(super) fn open(&self, name: &str) -> io::Result<File> {
        File::open(self.path.join(name))
    }

    /// The same, or why it cannot be read.
    pub(super) fn text(&self, name: &str) -> Result<Vec<u8>, Box<Finding>> {
        self.read(name).map_err(|error| {
            Box::new(unreadable(&self.path.join(name).display().to_string(), &error))
        })
    }

    /// Whether a file is here as it was written.
    pub(super) fn holds(&self, file: &WrittenFile) -> bool {
        self.digest_of(&file.path, [file.sha256].into_iter()).is_some()
    }

    /// The one of some digests that a file has now. It is read once at most.
    pub(super) fn digest_of(
        &self,
        name: &str,
        mut digests: impl Iterator<Item = Digest> + Clone,
    ) -> Option<Digest> {
        let place = plain(name).then(|| self.path.join(name))?;
        let before = place.metadata().ok().filter(Metadata::is_file)?;
        let sealed = |sha256: &Digest| self.seals.hold(&before, *sha256);
        if let Some(sha256) = digests.clone().find(sealed) {
            return Some(sha256);
        }
        let mut file = File::open(place).ok()?;
        let found = hash_all(&mut file).ok()?;
        let sha256 = digests.find(|sha256| *sha256 == found)?;
        if let Ok(now) = file.metadata() {
            self.seals.read([&before, &now], sha256);
        }
        Some(sha256)
    }

    /// Takes over a file of another folder, whole or not at all: as a second name of the same
    /// bytes where the system allows it, else as a copy.
    pub(super) fn take(&self, from: &Self, name: &str) -> Result<(), Box<Finding>> {
        let (there, part) =
            (from.path.join(name), self.path.join(format!(".{name}{PART}")));
        let path = self.path.join(name);
        let linked = plain(name)
            && gone(std::fs::remove_file(&part)).is_ok()
            && std::fs::hard_link(&there, &part).is_ok();
        if linked && std::fs::rename(&part, &path).is_ok() {
            // Where both names are of the same bytes already, renaming leaves them be.
            return gone(std::fs::remove_file(&part))
                .map_err(|error| self.unwritten(name, &error));
        }
        let bytes = from.text(name)?;
        self.write(name, &bytes).map(|_| ())
    }

    /// The bytes of a file that lies in this folder itself and is as it was written.
    pub(super) fn vouched(&self, file: &WrittenFile) -> Option<Vec<u8>> {
        let path = self.path.join(&file.path);
        let here = plain(&file.path) && path.symlink_metadata().ok()?.is_file();
        let bytes = here.then(|| limited(&path, LARGEST_SHOWN).ok()).flatten()?;
        (Digest::of(&bytes) == file.sha256).then_some(bytes)
    }

    /// By what a file of this folder is known again.
    pub(super) fn stamp(&self, name: &str) -> Option<Stamp> {
        self.path.join(name).metadata().ok().as_ref().map(Stamp::of)
    }

    /// Removes a file of this folder if it is there.
    pub(super) fn remove(&self, name: &str) -> io::Result<()> {
        let path = self.path.join(name);
        // A folder for reading only would not even let go of what is not there.
        let there = plain(name) && path.symlink_metadata().is_ok();
        if there { gone(std::fs::remove_file(path)) } else { Ok(()) }
    }

    /// Removes what runs that were cut off left under temporary names.
    pub(super) fn clear(&self) {
        let entries = std::fs::read_dir(&self.path).into_iter().flatten().flatten();
        let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
        for name in names.filter(|name| is_part(name)) {
            // Where this is not allowed nothing can be written either, and that is told.
            let _ = self.remove(&name);
        }
    }
}

/// Most bytes of a file of an output folder that is shown whole.
const LARGEST_SHOWN: usize = 64 << 20;

/// The end of temporary names.
const PART: &str = ".part";

/// A temporary name of a file that batches write.
fn is_part(name: &str) -> bool {
    let whole = name.strip_prefix('.').and_then(|rest| rest.strip_suffix(PART));
    let end = whole.and_then(|whole| Path::new(whole).extension()?.to_str());
    end.is_some_and(|end| {
        ["svg", "png", "pdf", "html", "json", "json-seq"].contains(&end)
    })
}

/// The folder, locked for this run; other programs that only read it are not hindered.
fn locked(path: &Path, waiting: &dyn Fn()) -> Option<File> {
    let folder = File::open(path).ok()?;
    match folder.try_lock() {
        Err(TryLockError::WouldBlock) => {
            waiting();
            // Without a lock the run goes on as it would on a system that has none.
            let _ = folder.lock();
        }
        Ok(()) | Err(TryLockError::Error(_)) => {}
    }
    Some(folder)
}

fn hash_all(file: &mut File) -> io::Result<Digest> {
    let mut mark = Hash::new();
    let mut bytes = vec![0; 1 << 16];
    loop {
        match file.read(&mut bytes)? {
            0 => return Ok(mark.finish()),
            count => mark.add(bytes.get(..count).unwrap_or_default()),
        }
    }
}

/// One name, no way up or down.
fn plain(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    let one =
        matches!(parts.next(), Some(Component::Normal(_))) && parts.next().is_none();
    one && !name.contains(['/', '\\'])
}

fn write_through(
    part: &Path,
    path: &Path,
    write: &mut dyn FnMut(&mut dyn io::Write) -> io::Result<()>,
) -> io::Result<(File, Metadata)> {
    gone(std::fs::remove_file(part))?;
    // A new file only: a link of that name put there meanwhile is not followed.
    let file = File::options().read(true).write(true).create_new(true).open(part)?;
    let mut out = BufWriter::new(file);
    write(&mut out)?;
    let file = out.into_inner().map_err(io::IntoInnerError::into_error)?;
    // The bytes must have arrived before the name tells that they have.
    file.sync_data()?;
    let data = file.metadata()?;
    std::fs::rename(part, path)?;
    Ok((file, data))
}

/// What was to go away and was not there is gone.
fn gone(removed: io::Result<()>) -> io::Result<()> {
    match removed {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        removed => removed,
    }
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
