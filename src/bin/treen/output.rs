//! Where words go: answers to the standard output, findings to the standard error.

use std::io::{self, IsTerminal, Write};
use treen::batch::check_json;
use treen::finding::{Finding, report};

/// How to print.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Output {
    /// Answers are JSON.
    pub(crate) json: bool,
    /// Only what must be looked at.
    pub(crate) quiet: bool,
}

impl Output {
    pub(crate) const fn new(json: bool, quiet: bool) -> Self {
        Self { json, quiet }
    }

    /// Text for people: not with `--json`, not with `--quiet`.
    pub(crate) fn tell(self, text: &str) -> io::Result<()> {
        if self.tells() { answer(text) } else { Ok(()) }
    }

    /// Whether anyone is told.
    pub(crate) const fn tells(self) -> bool {
        !self.json && !self.quiet
    }

    /// Findings in the long form; with `--json` they are part of the answer instead.
    pub(crate) fn findings(self, findings: &[Finding]) -> io::Result<()> {
        if self.json { Ok(()) } else { self.say(&report(findings)) }
    }

    /// Findings that end a run: with `--json` they are the whole answer.
    pub(crate) fn refuse(self, findings: &[Finding]) -> io::Result<()> {
        if self.json {
            answer(&check_json(&[], findings))
        } else {
            self.findings(findings)
        }
    }

    /// Text for people on the standard error.
    pub(crate) fn say(self, text: &str) -> io::Result<()> {
        if self.json {
            return Ok(());
        }
        io::stderr().lock().write_all(text.as_bytes())
    }

    /// Progress is drawn only where someone watches.
    pub(crate) fn watched(self) -> bool {
        !self.json && !self.quiet && io::stderr().is_terminal()
    }
}

/// An answer, printed whatever the options.
pub(crate) fn answer(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()
}

/// The last word when nothing else works.
pub(crate) fn complain(text: &str) {
    // There is no one left to tell if this fails.
    let _ = writeln!(io::stderr(), "treen: {text}");
}
