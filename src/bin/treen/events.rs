//! Lines of JSON while a batch runs, on the standard output or in a log, with the time that
//! stages take. Only here is a clock looked at: the manifest is the same whatever the time.

use crate::output::{Output, answer};
use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, Write};
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Instant;
use treen::batch::{
    Batch, Event, Job, Stage, Subject, Timings, event_json, finished_json, refused_json,
    started_json,
};
use treen::finding::{Code, Finding, Source, SourceFile};
use treen::page::Page;

/// Who hears of a run.
pub(crate) struct Events<'a> {
    start: Instant,
    out: Output,
    /// Shows it to browsers, where that is asked for.
    page: Option<&'a Page>,
    heard: Mutex<Heard>,
}

/// What was heard so far.
#[derive(Default)]
struct Heard {
    /// Goes on at the end of its file; put away when it can be written no more.
    log: Option<File>,
    /// Why lines could not be written, if so.
    log_fault: bool,
    out_fault: Option<io::Error>,
    /// When each piece of work under way was last heard of, and its stages.
    under_way: BTreeMap<(&'static str, String), (Instant, Timings)>,
    all: Timings,
}

impl<'a> Events<'a> {
    /// Lines to the standard output where JSON is asked for.
    pub(crate) fn new(out: Output, page: Option<&'a Page>) -> Self {
        Self { start: Instant::now(), out, page, heard: Mutex::default() }
    }

    /// Lines to a log as well.
    pub(crate) fn open(&self, path: &Path) -> Result<(), Box<Finding>> {
        let file = File::options().create(true).append(true).open(path);
        let file = file.map_err(|error| {
            let what = format!("the log cannot be written: {}", error.kind());
            let finding = Finding::stop(Code::UnwritableFile, what)
                .from(Source::whole(&SourceFile::new(path.display().to_string(), "")))
                .help("name another file after `--log`");
            Box::new(finding)
        })?;
        self.heard().log = Some(file);
        Ok(())
    }

    pub(crate) fn started(&self, job: &Job<'_>) {
        self.page.into_iter().for_each(|page| page.started(job));
        self.put(&mut self.heard(), &started_json(job));
    }

    pub(crate) fn note(&self, subject: Subject<'_>, event: Event<'_>) {
        let now = Instant::now();
        self.page.into_iter().for_each(|page| page.note(subject, event));
        let (kind, id) = subject.named();
        let name = (kind, id.to_owned());
        let mut heard = self.heard();
        let timings = match event {
            Event::Begun => {
                heard.under_way.insert(name, (now, Timings::new()));
                Timings::new()
            }
            Event::Passed(stage) => return heard.passed(&name, stage, now),
            Event::Kept(_) | Event::Ended(_) => {
                heard.under_way.remove(&name).unwrap_or((now, Timings::new())).1
            }
        };
        for (stage, time) in &timings {
            *heard.all.entry(*stage).or_default() += time;
        }
        if let Some(line) = event_json(self.seconds(), subject, event, &timings) {
            self.put(&mut heard, &line);
        }
    }

    pub(crate) fn finished(&self, batch: &Batch<'_>) {
        self.page.into_iter().for_each(Page::finished);
        let mut heard = self.heard();
        let line = finished_json(self.seconds(), batch, &heard.all);
        self.put(&mut heard, &line);
    }

    /// Says why a run cannot be carried out, or not to its end.
    pub(crate) fn refused(&self, why: &[Finding]) -> io::Result<()> {
        self.page.into_iter().for_each(|page| page.refused(why));
        self.put(&mut self.heard(), &refused_json(self.seconds(), why));
        self.out.findings(why)?;
        self.told()
    }

    /// Whether every line could be written.
    pub(crate) fn told(&self) -> io::Result<()> {
        let mut heard = self.heard();
        if std::mem::take(&mut heard.log_fault) {
            self.out.say("the log could not be written to its end\n")?;
        }
        heard.out_fault.take().map_or(Ok(()), Err)
    }

    fn put(&self, heard: &mut Heard, line: &str) {
        let log = heard.log.as_mut();
        if log.is_some_and(|file| file.write_all(line.as_bytes()).is_err()) {
            (heard.log, heard.log_fault) = (None, true);
        }
        if self.out.json && heard.out_fault.is_none() {
            heard.out_fault = answer(line).err();
        }
    }

    fn seconds(&self) -> f64 {
        self.start.elapsed().as_secs_f64()
    }

    fn heard(&self) -> MutexGuard<'_, Heard> {
        self.heard.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Heard {
    fn passed(&mut self, name: &(&'static str, String), stage: Stage, now: Instant) {
        if let Some((last, timings)) = self.under_way.get_mut(name) {
            let took = now.duration_since(*last).as_secs_f64();
            *timings.entry(stage).or_default() += took;
            *last = now;
        }
    }
}
