//! By what a file is known again: what the system tells of it.

use std::fs::Metadata;

/// Its place on the disk, its length and the times of its last changes as the system keeps them
/// (POSIX.1-2017, `sys/stat.h`: `st_dev`, `st_ino`, `st_size`, `st_mtim`, `st_ctim`). Whoever
/// writes to a file later changes the last of these.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stamp([i64; 7]);

impl Stamp {
    #[cfg(unix)]
    pub(super) fn of(data: &Metadata) -> Self {
        use std::os::unix::fs::MetadataExt;
        let [device, node, length] =
            [data.dev(), data.ino(), data.len()].map(u64::cast_signed);
        let [modified, changed] =
            [[data.mtime(), data.mtime_nsec()], [data.ctime(), data.ctime_nsec()]];
        Self([device, node, length, modified[0], modified[1], changed[0], changed[1]])
    }

    /// Elsewhere place and time of the last change to what is told of a file are not to be had.
    #[cfg(not(unix))]
    pub(super) fn of(data: &Metadata) -> Self {
        let modified = data.modified().ok();
        let since = modified.and_then(|it| it.duration_since(std::time::UNIX_EPOCH).ok());
        let [seconds, parts] = since.map_or([0, 0], |since| {
            [since.as_secs().cast_signed(), i64::from(since.subsec_nanos())]
        });
        Self([0, 0, data.len().cast_signed(), seconds, parts, 0, 0])
    }

    /// All of it, where that tells a file from what is later written in its place: not where
    /// times are whole seconds.
    pub(super) const fn exact(&self) -> Option<&[i64; 7]> {
        let [.., modified, _, changed] = self.0;
        if cfg!(unix) && (modified != 0 || changed != 0) { Some(&self.0) } else { None }
    }
}
