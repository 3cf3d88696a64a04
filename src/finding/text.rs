//! Findings as text for people: the long form with the line shown, and the short form.

use super::{Finding, Source};
use crate::units::trimmed;
use std::fmt::Write;

/// Most characters of a line that are shown.
const WIDTH: usize = 100;
/// Most characters of a sentence that are shown, spelled out as it is.
const SENTENCE: usize = 600;

/// Several lines, the last one ended: what, where with the line shown, what was expected,
/// how to mend it.
pub fn long(finding: &Finding) -> String {
    let mut out = format!("{}\n", headline(finding));
    let gutter = finding.source.as_ref().map_or(1, |s| s.line.to_string().len());
    if let Some(source) = &finding.source {
        excerpt(&mut out, source, "here", gutter);
    }
    for related in &finding.related {
        excerpt(&mut out, &related.source, &related.text, gutter);
    }
    facts(&mut out, finding, gutter);
    for remedy in &finding.remedies {
        line(&mut out, format_args!("help: {}", plainly(&remedy.text, SENTENCE)));
    }
    out
}

/// All findings in the long form, an empty line between.
pub fn report(findings: &[Finding]) -> String {
    let parts: Vec<String> = findings.iter().map(long).collect();
    parts.join("\n")
}

/// One line without an end: place, severity, code, sentence.
pub fn short(finding: &Finding) -> String {
    let place = finding.source.as_ref().map(|s| format!("{}: ", position(s)));
    format!("{}{}", place.unwrap_or_default(), headline(finding))
}

/// Text from outside made harmless for a terminal: control characters and those that change
/// the direction of writing are spelled out.
pub fn plain(text: &str) -> String {
    text.chars().fold(String::with_capacity(text.len()), |mut out, c| {
        if harmless(c) {
            out.push(c);
        } else {
            out.extend(c.escape_default());
        }
        out
    })
}

/// The same of which so much is shown: a character may be spelled out in ten.
fn plainly(text: &str, most: usize) -> String {
    let whole = plain(text);
    if whole.chars().count() <= most {
        return whole;
    }
    whole.chars().take(most).chain(['…']).collect()
}

fn harmless(c: char) -> bool {
    !c.is_control()
        && !matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

fn headline(finding: &Finding) -> String {
    let (severity, code) = (finding.severity.word(), finding.code.word());
    format!("{severity}[{code}]: {}", plainly(&finding.message, SENTENCE))
}

fn position(source: &Source) -> String {
    let label = plain(&source.file.label);
    match (source.line, source.column) {
        (0, _) => label,
        (line, 0) => format!("{label}:{line}"),
        (line, column) => format!("{label}:{line}:{column}"),
    }
}

fn excerpt(out: &mut String, source: &Source, mark: &str, gutter: usize) {
    line(out, format_args!("{:gutter$}--> {}", "", position(source)));
    let Some(text) = source.line_text() else { return };
    let (shown, before, marks) = window(text, source);
    line(out, format_args!("{:gutter$} |", ""));
    line(out, format_args!("{:>gutter$} | {}", source.line, shown.trim_end()));
    if source.column > 0 {
        let carets = "^".repeat(marks);
        line(
            out,
            format_args!("{:gutter$} | {:before$}{carets} {}", "", "", plain(mark)),
        );
    }
}

/// The part of a line around the place: the text, the characters before the mark, and the
/// length of the mark.
fn window(text: &str, source: &Source) -> (String, usize, usize) {
    let all: Vec<char> = text.chars().collect();
    let start = (source.column.max(1) as usize - 1).min(all.len());
    let from = if all.len() > WIDTH { start.saturating_sub(WIDTH / 3) } else { 0 };
    let to = (from + WIDTH).min(all.len());
    let end = (start + source.length.max(1) as usize).min(to);
    let spell = |range: std::ops::Range<usize>| {
        let part: String = all.get(range).unwrap_or_default().iter().collect();
        plainly(&part.replace('\t', " "), WIDTH)
    };
    let head = format!("{}{}", if from > 0 { "…" } else { "" }, spell(from..start));
    let middle = spell(start..end);
    let tail = format!("{}{}", spell(end..to), if to < all.len() { "…" } else { "" });
    let (before, marks) = (head.chars().count(), middle.chars().count().max(1));
    (format!("{head}{middle}{tail}"), before, marks)
}

fn facts(out: &mut String, finding: &Finding, gutter: usize) {
    if let Some([x, y]) = finding.at {
        let (x, y) = (trimmed(x), trimmed(y));
        line(out, format_args!("{:gutter$} = at: x {x}, y {y} mm", ""));
    }
    match (finding.have.map(trimmed), finding.need.map(trimmed)) {
        (Some(have), Some(need)) => {
            line(out, format_args!("{:gutter$} = have: {have}, need: {need}", ""));
        }
        (Some(have), None) => line(out, format_args!("{:gutter$} = have: {have}", "")),
        (None, Some(need)) => line(out, format_args!("{:gutter$} = need: {need}", "")),
        (None, None) => {}
    }
    if let Some(expected) = &finding.expected {
        line(
            out,
            format_args!("{:gutter$} = expected: {}", "", plainly(expected, SENTENCE)),
        );
    }
}

fn line(out: &mut String, text: std::fmt::Arguments<'_>) {
    // Writing to a String cannot fail.
    let _ = writeln!(out, "{text}");
}
