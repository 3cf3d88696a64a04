//! Watching what a person is writing: one file, or all that an order list is made from.

use super::given::{inputs, read};
use crate::finding::{Code, Finding, Source, SourceFile};
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
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
    let (sender, events) = channel();
    let mut watcher: RecommendedWatcher = notify::recommended_watcher(changes_to(sender))
        .map_err(|error| failed(path, &error))?;
    watcher
        .watch(folder(path), RecursiveMode::NonRecursive)
        .map_err(|error| failed(path, &error))?;
    let mut seen = None;
    loop {
        let now = read(path);
        if seen.as_ref() != Some(&now) {
            if !changed(now.as_deref().map_err(|finding| &**finding)) {
                return Ok(());
            }
            seen = Some(now);
        }
        if settled(&events, &|event| touches(event, path)).is_none() {
            return Ok(());
        }
    }
}

/// Calls `changed` at once and then whenever something was saved in the folder of a list or
/// below it, in that of its shop, or elsewhere if it was read, until it answers `false`. What
/// happens to what is written itself, files and folders, and to files that editors keep for
/// themselves, is no save.
pub fn watch_list(
    list: &Path,
    shop: Option<&Path>,
    written: &[&Path],
    changed: &mut dyn FnMut() -> bool,
) -> Result<(), Box<Finding>> {
    let (sender, events) = channel();
    let watcher = notify::recommended_watcher(changes_to(sender))
        .map_err(|error| failed(list, &error))?;
    let mut place = Place { watcher, folders: Vec::new(), files: BTreeSet::new() };
    place.folder(list, RecursiveMode::Recursive).map_err(|error| failed(list, &error))?;
    if let Some(shop) = shop {
        let added = place.folder(shop, RecursiveMode::NonRecursive);
        added.map_err(|error| failed(shop, &error))?;
    }
    while changed() {
        place.add(&inputs());
        let written: Vec<PathBuf> =
            written.iter().filter_map(|path| path.canonicalize().ok()).collect();
        let saved = |event: &notify::Result<Event>| {
            let Ok(event) = event else { return true };
            let own = |path: &PathBuf| written.iter().any(|own| path.starts_with(own));
            event.paths.iter().any(|path| !own(path) && place.counts(path))
        };
        if settled(&events, &saved).is_none() {
            break;
        }
    }
    Ok(())
}

/// Where saves are looked for.
struct Place {
    watcher: RecommendedWatcher,
    /// Folders in which everything counts; with what is below, or without.
    folders: Vec<(PathBuf, RecursiveMode)>,
    /// Files elsewhere that were read; nothing else in their folders counts.
    files: BTreeSet<PathBuf>,
}

impl Place {
    /// Takes in the folder of a file; in full, as events name it so.
    fn folder(&mut self, file: &Path, mode: RecursiveMode) -> notify::Result<()> {
        let folder = folder(file).canonicalize().map_err(notify::Error::io)?;
        self.watcher.watch(&folder, mode)?;
        self.folders.push((folder, mode));
        Ok(())
    }

    /// Takes in files that lie elsewhere: by the name they were read by and, where that is a
    /// link, where it leads to.
    fn add(&mut self, files: &BTreeSet<PathBuf>) {
        for file in files {
            let named = folder(file).canonicalize().ok();
            let named = named.and_then(|folder| Some(folder.join(file.file_name()?)));
            for file in [named, file.canonicalize().ok()].into_iter().flatten() {
                let folder = folder(&file).to_path_buf();
                let known = self.files.iter().any(|it| it.parent() == Some(&folder));
                if self.within(&file) || !self.files.insert(file) || known {
                    continue;
                }
                // What cannot be watched is seen with the next save of what can.
                let _ = self.watcher.watch(&folder, RecursiveMode::NonRecursive);
            }
        }
    }

    fn within(&self, path: &Path) -> bool {
        self.folders.iter().any(|(folder, mode)| match mode {
            RecursiveMode::Recursive => path.starts_with(folder),
            RecursiveMode::NonRecursive => path.parent() == Some(folder),
        })
    }

    /// Whether a change of a file is a save.
    fn counts(&self, path: &Path) -> bool {
        let inside = self.within(path) && !kept_aside(path);
        inside || self.files.contains(path)
    }
}

/// Whether an editor keeps a file for itself: hidden, or a copy from before.
fn kept_aside(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    name.starts_with('.') || name.ends_with('~')
}

fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        Some(_) | None => Path::new("."),
    }
}

pub(super) fn failed(path: &Path, error: &notify::Error) -> Box<Finding> {
    let label = path.display().to_string();
    let finding =
        Finding::stop(Code::UnreadableFile, format!("cannot be watched: {error}"))
            .from(Source::whole(&SourceFile::new(label, "")))
            .help("run the command again without `--watch` after each change");
    Box::new(finding)
}

/// Passes on what is a change. Reading is none: whoever reads in a folder all the time would
/// otherwise keep a save from ever being over.
fn changes_to(sender: Sender<notify::Result<Event>>) -> impl Fn(notify::Result<Event>) {
    move |event| {
        let read = event.as_ref().is_ok_and(|it| matches!(it.kind, EventKind::Access(_)));
        if !read {
            // Where nobody listens any more there is nobody to tell.
            let _ = sender.send(event);
        }
    }
}

/// Waits until something that counts has happened and then nothing more; `None` when nothing
/// more can come.
fn settled(
    events: &Receiver<notify::Result<Event>>,
    counts: &dyn Fn(&notify::Result<Event>) -> bool,
) -> Option<()> {
    while !counts(&events.recv().ok()?) {}
    loop {
        match events.recv_timeout(QUIET) {
            Ok(_) => {}
            Err(RecvTimeoutError::Timeout) => return Some(()),
            Err(RecvTimeoutError::Disconnected) => return None,
        }
    }
}

/// An error may hide a change.
fn touches(event: &notify::Result<Event>, path: &Path) -> bool {
    let Ok(event) = event else { return true };
    let same = |other: &PathBuf| other.file_name() == path.file_name();
    event.paths.iter().any(same)
}
