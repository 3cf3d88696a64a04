//! Files known again without being read: what was seen of a file and its digest, under a seal.
//!
//! A seal is a digest of a file's digest and of what the system tells of it (`stamp.rs`). Seals
//! stand one after the other in a file of a cache folder; where they cannot be read or
//! written, files are read instead, and nothing else is lost.

use super::digest::{Digest, Hash};
use super::stamp::Stamp;
use std::fs::{self, File, Metadata};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, SystemTime};

/// Half of a SHA-256: enough that no two are alike by chance.
type Seal = u128;

/// Most bytes of a file of seals. A full one takes the place of the one before it.
const MOST: u64 = 4 << 20;

/// Seals kept back before they are written, bytes.
const HELD: usize = 4096;

/// Times of files are this exact everywhere: a file read sooner after its last change could
/// change once more without showing it.
const EXACT: Duration = Duration::from_secs(2);

/// The seals of a cache folder, or none.
#[derive(Debug, Default)]
pub(super) struct Seals {
    folder: Option<PathBuf>,
    kept: Mutex<Kept>,
}

#[derive(Debug, Default)]
struct Kept {
    /// Sorted; read when first asked for.
    known: Option<Vec<Seal>>,
    /// Not yet written.
    fresh: Vec<u8>,
}

impl Seals {
    /// Those in a folder, which need not be there yet.
    pub(super) fn within(folder: &Path) -> Self {
        Self { folder: Some(folder.to_path_buf()), kept: Mutex::default() }
    }

    /// Whether a file that the system tells this of had this digest when it was last seen.
    pub(super) fn hold(&self, data: &Metadata, sha256: Digest) -> bool {
        let Some(folder) = &self.folder else { return false };
        let Some(seal) = seal(data, sha256) else { return false };
        let mut kept = self.kept();
        let known = kept.known.get_or_insert_with(|| known(folder));
        known.binary_search(&seal).is_ok()
    }

    /// Remembers the digest of a file that was just written, as the system tells of it now and
    /// did before it got its name.
    pub(super) fn written(&self, [before, now]: [&Metadata; 2], sha256: Digest) {
        let same =
            before.len() == now.len() && before.modified().ok() == now.modified().ok();
        if same {
            self.put(now, sha256);
        }
    }

    /// Remembers the digest of a file that was just read, as the system told of it before and
    /// tells now.
    pub(super) fn read(&self, [before, now]: [&Metadata; 2], sha256: Digest) {
        let same = Stamp::of(before) == Stamp::of(now);
        #[expect(
            clippy::disallowed_methods,
            reason = "tells whether a file is read again, not what is written"
        )]
        let clock = SystemTime::now();
        let age = now.modified().ok().and_then(|time| clock.duration_since(time).ok());
        if same && age.is_some_and(|age| age > EXACT) {
            self.put(now, sha256);
        }
    }

    fn put(&self, data: &Metadata, sha256: Digest) {
        if self.folder.is_none() {
            return;
        }
        let Some(seal) = seal(data, sha256) else { return };
        let mut kept = self.kept();
        kept.fresh.extend(seal.to_be_bytes());
        if kept.fresh.len() >= HELD {
            self.write(&mut kept);
        }
    }

    /// Writes those kept back; what cannot be written is forgotten.
    fn write(&self, kept: &mut Kept) {
        let fresh = std::mem::take(&mut kept.fresh);
        if let Some(folder) = self.folder.as_ref().filter(|_| !fresh.is_empty()) {
            let _ = append(folder, &fresh);
        }
    }

    fn kept(&self) -> MutexGuard<'_, Kept> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for Seals {
    fn drop(&mut self) {
        self.write(&mut self.kept());
    }
}

/// The file of seals, and the full one before it.
fn files(folder: &Path) -> [PathBuf; 2] {
    ["seals", "seals-before"].map(|name| folder.join(name))
}

/// All seals there are, sorted. What was cut off or is none is the seal of no file.
fn known(folder: &Path) -> Vec<Seal> {
    let mut known = Vec::new();
    for path in files(folder) {
        let mut bytes = Vec::new();
        if let Ok(file) = File::open(path) {
            let _ = file.take(2 * MOST).read_to_end(&mut bytes);
        }
        let (seals, _) = bytes.as_chunks();
        known.extend(seals.iter().map(|seal| Seal::from_be_bytes(*seal)));
    }
    known.sort_unstable();
    known
}

fn append(folder: &Path, seals: &[u8]) -> std::io::Result<()> {
    fs::create_dir_all(folder)?;
    let [path, before] = files(folder);
    let mut file = File::options().create(true).append(true).open(&path)?;
    let length = file.metadata()?.len();
    if length >= MOST {
        fs::rename(&path, before)?;
        file = File::options().create(true).append(true).open(&path)?;
    } else if !length.is_multiple_of(16) {
        // A write was cut off: the next seal begins where one begins.
        file.write_all(&[0; 16][..16 - (length % 16) as usize])?;
    }
    file.write_all(seals)
}

/// `None` where the system tells too little.
fn seal(data: &Metadata, sha256: Digest) -> Option<Seal> {
    let mut mark = Hash::new();
    let stamp = Stamp::of(data);
    stamp.exact()?.iter().for_each(|part| mark.add(&part.to_le_bytes()));
    mark.add(sha256.to_string().as_bytes());
    Some(mark.finish().half())
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "files are spoiled here on purpose")]
mod tests {
    use super::*;

    fn of(bytes: &str) -> Digest {
        Digest::of(bytes.as_bytes())
    }

    /// Asks anew, as another run does.
    fn held(folder: &Path, file: &Path, sha256: Digest) -> bool {
        let data = fs::metadata(file).expect("it is there");
        Seals::within(folder).hold(&data, sha256)
    }

    fn sealed(folder: &Path, file: &Path, sha256: Digest) {
        let data = fs::metadata(file).expect("it is there");
        Seals::within(folder).written([&data, &data], sha256);
    }

    #[cfg(unix)]
    #[test]
    fn a_file_is_known_again_until_anything_of_it_changes() {
        let dir = tempfile::tempdir().expect("a folder");
        let (folder, file) = (dir.path().join("a/b"), dir.path().join("file"));
        fs::write(&file, "as it was").expect("written");
        assert!(!held(&folder, &file, of("12")), "nobody has seen it");
        sealed(&folder, &file, of("12"));
        assert!(held(&folder, &file, of("12")));
        assert!(!held(&folder, &file, of("13")), "of other bytes");
        let times = fs::metadata(&file).expect("there").modified().expect("a time");
        std::thread::sleep(Duration::from_millis(20));
        fs::write(&file, "as it IS!").expect("written");
        let again = File::options().write(true).open(&file).expect("there");
        again.set_modified(times).expect("set back");
        assert!(!held(&folder, &file, of("12")), "same length, same time, other bytes");
        let copy = dir.path().join("copy");
        fs::copy(&file, &copy).expect("copied");
        sealed(&folder, &file, of("14"));
        assert!(held(&folder, &file, of("14")) && !held(&folder, &copy, of("14")));
    }

    #[cfg(unix)]
    #[test]
    fn a_file_just_changed_is_read_again() {
        let dir = tempfile::tempdir().expect("a folder");
        let file = dir.path().join("file");
        fs::write(&file, "new").expect("written");
        let data = || fs::metadata(&file).expect("there");
        Seals::within(dir.path()).read([&data(), &data()], of("12"));
        assert!(!held(dir.path(), &file, of("12")), "it could change once more unseen");
        let long_ago = SystemTime::now() - Duration::from_millis(3_600_001);
        let again = File::options().write(true).open(&file).expect("there");
        let before = data();
        again.set_modified(long_ago).expect("set back");
        Seals::within(dir.path()).read([&before, &data()], of("12"));
        assert!(!held(dir.path(), &file, of("12")), "it changed while it was read");
        Seals::within(dir.path()).read([&data(), &data()], of("12"));
        assert!(held(dir.path(), &file, of("12")));
    }

    #[cfg(unix)]
    #[test]
    fn a_spoiled_or_full_file_of_seals_costs_no_more_than_seals() {
        let dir = tempfile::tempdir().expect("a folder");
        let file = dir.path().join("file");
        fs::write(&file, "as it was").expect("written");
        let [path, before] = files(dir.path());
        fs::write(&path, "cut off").expect("written");
        sealed(dir.path(), &file, of("12"));
        assert!(held(dir.path(), &file, of("12")), "it begins where a seal begins");
        fs::write(&path, vec![7; MOST as usize]).expect("written");
        assert!(!held(dir.path(), &file, of("12")));
        sealed(dir.path(), &file, of("12"));
        assert!(held(dir.path(), &file, of("12")));
        let long = |path: &Path| fs::metadata(path).expect("there").len();
        assert_eq!([long(&path), long(&before)], [16, MOST]);
    }
}
