//! The log of a run: a line whenever work begins or ends, with the seconds since the start.

use std::fs::File;
use std::io::Write;
use std::path::Path;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;
use treen::batch::{Event, Subject, event_json};
use treen::finding::{Code, Finding, Source, SourceFile};

/// A log that goes on at the end of its file.
pub(crate) struct Log {
    start: Instant,
    /// Put away when it can be written no more.
    file: Mutex<Option<File>>,
}

impl Log {
    pub(crate) fn open(path: &Path) -> Result<Self, Box<Finding>> {
        let file = File::options().create(true).append(true).open(path);
        let file = file.map_err(|error| {
            let what = format!("the log cannot be written: {}", error.kind());
            let finding = Finding::stop(Code::UnwritableFile, what)
                .from(Source::whole(&SourceFile::new(path.display().to_string(), "")))
                .help("name another file after `--log`");
            Box::new(finding)
        })?;
        Ok(Self { start: Instant::now(), file: Mutex::new(Some(file)) })
    }

    pub(crate) fn note(&self, subject: Subject<'_>, event: Event) {
        let mut file = self.file.lock().unwrap_or_else(PoisonError::into_inner);
        let line = event_json(self.start.elapsed().as_secs_f64(), subject, event);
        if file.as_mut().is_some_and(|file| file.write_all(line.as_bytes()).is_err()) {
            *file = None;
        }
    }

    /// Whether every line could be written.
    pub(crate) fn whole(&self) -> bool {
        self.file.lock().unwrap_or_else(PoisonError::into_inner).is_some()
    }
}
