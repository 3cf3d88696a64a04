//! Watching one file that a person is writing.

use super::disk::read;
use crate::finding::{Code, Finding, Source, SourceFile};
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

/// A save is over when nothing has happened for so long: editors write a file in several
/// steps, or write another and rename it.
const QUIET: Duration = Duration::from_millis(120);

/// Calls `changed` with the file's text, or with why it cannot be read, at once and then
/// whenever either is another than before, until it answers `false`. The folder is watched,
/// not the file, so that a file deleted or renamed in saving is not lost from sight.
pub fn watch(
    path: &Path,
    changed: &mut dyn FnMut(Result<&str, &Finding>) -> bool,
) -> Result<(), Box<Finding>> {
    let failed = |error: notify::Error| {
        let label = path.display().to_string();
        let finding =
            Finding::stop(Code::UnreadableFile, format!("cannot be watched: {error}"))
                .from(Source::whole(&SourceFile::new(label, "")))
                .help("run the command again without `--watch` after each change");
        Box::new(finding)
    };
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        Some(_) | None => Path::new("."),
    };
    let (sender, events) = channel();
    let mut watcher: RecommendedWatcher =
        notify::recommended_watcher(sender).map_err(failed)?;
    watcher.watch(folder, RecursiveMode::NonRecursive).map_err(failed)?;
    let mut seen = None;
    loop {
        let now = read(path);
        if seen.as_ref() != Some(&now) {
            if !changed(now.as_deref().map_err(|finding| &**finding)) {
                return Ok(());
            }
            seen = Some(now);
        }
        if settled(&events, path).is_none() {
            return Ok(());
        }
    }
}

/// Waits until the file was touched and then left alone; `None` when nothing more can come.
fn settled(events: &Receiver<notify::Result<Event>>, path: &Path) -> Option<()> {
    while !touches(&events.recv().ok()?, path) {}
    loop {
        match events.recv_timeout(QUIET) {
            Ok(_) => {}
            Err(RecvTimeoutError::Timeout) => return Some(()),
            Err(RecvTimeoutError::Disconnected) => return None,
        }
    }
}

/// Reading is no change; an error may hide one.
fn touches(event: &notify::Result<Event>, path: &Path) -> bool {
    let Ok(event) = event else { return true };
    let same = |other: &std::path::PathBuf| other.file_name() == path.file_name();
    !matches!(event.kind, EventKind::Access(_)) && event.paths.iter().any(same)
}
