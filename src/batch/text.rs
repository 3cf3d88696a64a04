//! A text on the disk that is written at its end and read in parts, where it is needed.

use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom, Write};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// A file as it was opened: it stays the same when its name goes to another.
#[derive(Debug)]
pub(super) struct Text(Mutex<File>);

impl Text {
    pub(super) const fn of(file: File) -> Self {
        Self(Mutex::new(file))
    }

    /// So many bytes of it.
    pub(super) fn part(&self, at: u64, length: usize) -> io::Result<Vec<u8>> {
        let mut file = self.file();
        let mut bytes = vec![0; length];
        file.seek(SeekFrom::Start(at))?;
        file.read_exact(&mut bytes)?;
        Ok(bytes)
    }

    /// Puts bytes at its end, and says where they begin.
    pub(super) fn append(&self, bytes: &[u8]) -> io::Result<u64> {
        let mut file = self.file();
        let start = file.seek(SeekFrom::End(0))?;
        file.write_all(bytes)?;
        Ok(start)
    }

    /// Has it read from its start.
    pub(super) fn through<T>(&self, read: impl FnOnce(&mut BufReader<&File>) -> T) -> T {
        let mut file = self.file();
        // Where this fails reading fails as well.
        let _ = file.rewind();
        read(&mut BufReader::new(&file))
    }

    fn file(&self) -> MutexGuard<'_, File> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
