//! Saying a finding in one breath, and values that come with findings.

use super::{Code, Finding, Related, Remedy, RemedyKind, Severity, Source};

impl Finding {
    /// A finding with nothing but its sentence.
    pub fn new(severity: Severity, code: Code, message: impl Into<String>) -> Self {
        Self {
            code,
            severity,
            message: bounded(message.into()),
            at: None,
            source: None,
            have: None,
            need: None,
            expected: None,
            related: Vec::new(),
            remedies: Vec::new(),
        }
    }

    /// Something that cannot be made or read as it is.
    pub fn stop(code: Code, message: impl Into<String>) -> Self {
        Self::new(Severity::Stop, code, message)
    }

    /// Something to look at first.
    pub fn warn(code: Code, message: impl Into<String>) -> Self {
        Self::new(Severity::Warn, code, message)
    }

    /// Something worth knowing.
    pub fn note(code: Code, message: impl Into<String>) -> Self {
        Self::new(Severity::Note, code, message)
    }

    /// The place on the dish, mm.
    #[must_use]
    pub const fn at(mut self, x: f64, y: f64) -> Self {
        self.at = Some([x, y]);
        self
    }

    /// The place in the file.
    #[must_use]
    pub fn from(mut self, source: Source) -> Self {
        self.source = Some(source);
        self
    }

    /// What there is and what would be needed, in one unit.
    #[must_use]
    pub const fn have_need(mut self, have: f64, need: f64) -> Self {
        self.have = Some(have);
        self.need = Some(need);
        self
    }

    /// What would be right here, e.g. ``one of `center`, `radius` ``.
    #[must_use]
    pub fn expected(mut self, what: impl Into<String>) -> Self {
        self.expected = Some(bounded(what.into()));
        self
    }

    /// Another place that belongs to it, e.g. where a key was written first.
    #[must_use]
    pub fn related(mut self, source: Source, text: impl Into<String>) -> Self {
        self.related.push(Related { source, text: bounded(text.into()) });
        self
    }

    /// One more way out; the best comes first.
    #[must_use]
    pub fn remedy(
        mut self,
        kind: RemedyKind,
        text: impl Into<String>,
        value: Option<f64>,
    ) -> Self {
        self.remedies.push(Remedy { kind, text: bounded(text.into()), value });
        self
    }

    /// A way out that changes the text of an input.
    #[must_use]
    pub fn help(self, text: impl Into<String>) -> Self {
        self.remedy(RemedyKind::Edit, text, None)
    }
}

/// Most characters of a sentence; what an input makes longer is left out of its middle.
const LONGEST: usize = 600;

/// A sentence that can be read, whatever an input put into it.
fn bounded(text: String) -> String {
    if text.len() <= LONGEST || text.chars().count() <= LONGEST {
        return text;
    }
    let (head, tail) = (LONGEST * 3 / 4, LONGEST / 4 - 1);
    let end = text.chars().rev().take(tail).collect::<Vec<_>>().into_iter().rev();
    text.chars().take(head).chain(['…']).chain(end).collect()
}

/// What could be built, and everything that was found on the way.
#[derive(Clone, Debug)]
pub struct Checked<T> {
    /// `None` when a finding stands in the way.
    pub value: Option<T>,
    /// In the order found.
    pub findings: Vec<Finding>,
}

impl<T> Checked<T> {
    /// A value about which there is nothing to say.
    pub const fn fine(value: T) -> Self {
        Self { value: Some(value), findings: Vec::new() }
    }

    /// No value, for one reason.
    pub fn failed(finding: Finding) -> Self {
        Self { value: None, findings: vec![finding] }
    }

    /// The value, kept only if no finding is a `stop`.
    pub fn unless_stopped(value: Option<T>, findings: Vec<Finding>) -> Self {
        let stopped = worst(&findings) == Some(Severity::Stop);
        Self { value: value.filter(|_| !stopped), findings }
    }

    /// The same findings with another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Checked<U> {
        Checked { value: self.value.map(change), findings: self.findings }
    }
}

/// The gravest severity, `None` without findings.
pub fn worst(findings: &[Finding]) -> Option<Severity> {
    findings.iter().map(|finding| finding.severity).max()
}

/// The candidate most like the word, if one is like it at all.
pub fn nearest<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let lower = word.to_lowercase();
    let allowed = (lower.chars().count() / 3).clamp(1, 4);
    candidates
        .into_iter()
        .filter(|candidate| candidate.len() < 200 && lower.len() < 200)
        .map(|candidate| {
            let distance = strsim::damerau_levenshtein(&lower, &candidate.to_lowercase());
            (distance, candidate)
        })
        .filter(|(distance, candidate)| {
            let longer = lower.starts_with(candidate) && candidate.len() > 2;
            *distance <= allowed || longer
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}
