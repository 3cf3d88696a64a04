//! A text in runs of one direction, one script and one font, as they stand from left to right.
//!
//! Directions are those of the Unicode Bidirectional Algorithm (Unicode Standard Annex #9),
//! scripts those of Annex #24: what belongs to every script goes with the letter before it.

use super::face::invisible;
use super::font::{Font, Fonts};
use unicode_bidi::{BidiInfo, Level};
use unicode_normalization::UnicodeNormalization as _;
use unicode_script::{Script, UnicodeScript as _};

/// Part of a text, in the order in which it is read.
#[derive(Clone, Debug)]
pub(super) struct Run {
    pub text: String,
    pub font: Font,
    pub script: Script,
    /// Written from right to left.
    pub backward: bool,
}

/// What can be written of a text, in runs from left to right: each letter in the first
/// of the fonts that has it and its marks. The rest goes to `missing`.
pub(super) fn runs(text: &str, fonts: &Fonts, missing: &mut Vec<char>) -> Vec<Run> {
    let kept = kept(text, fonts, missing);
    let mut runs = Vec::new();
    let directed = BidiInfo::new(&kept, None);
    for paragraph in &directed.paragraphs {
        let (levels, stretches) =
            directed.visual_runs(paragraph, paragraph.range.clone());
        for stretch in stretches {
            let level = levels.get(stretch.start).copied().unwrap_or(Level::ltr());
            let text = kept.get(stretch).unwrap_or_default();
            let mut parts = of_one_script(text, fonts, level.is_rtl());
            if level.is_rtl() {
                parts.reverse();
            }
            runs.extend(parts);
        }
    }
    runs
}

/// What can be written of a text, composed: letters some font has, with those of their marks
/// that the same font has; the rest goes to `missing`.
fn kept(text: &str, fonts: &Fonts, missing: &mut Vec<char>) -> String {
    let composed: String = text.nfc().collect();
    let mut kept = String::new();
    for cluster in clusters(&composed) {
        let has = |letter: &char| fonts.supplier(*letter).is_some();
        // Marks without their letter would go to the one before.
        let based = cluster.chars().next().is_some_and(|base| has(&base));
        let letters: String = cluster.chars().filter(has).collect();
        let writer = writer(&letters, None, fonts).filter(|_| based);
        for letter in cluster.chars() {
            match &writer {
                Some(writer) if writer.writes(letter) => kept.push(letter),
                Some(_) | None if invisible(letter) => {}
                Some(_) | None => missing.push(letter),
            }
        }
    }
    kept
}

/// Who writes a letter with its marks: the first font that has them all, else the first that
/// has the letter.
fn writer(cluster: &str, before: Option<Font>, fonts: &Fonts) -> Option<Font> {
    let has = |font: &Font| cluster.chars().all(|letter| font.writes(letter));
    let base = cluster.chars().next()?;
    let mut all = before.into_iter().chain(fonts.all());
    all.find(has).or_else(|| fonts.supplier(base))
}

/// Part of a text of one direction, cut where script or font change, in reading order.
fn of_one_script(text: &str, fonts: &Fonts, backward: bool) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for cluster in clusters(text) {
        let script = cluster.chars().map(|c| c.script()).find(|script| proper(*script));
        // A space or a hyphen stays with the letters before it.
        let before = runs.last().map(|run| run.font.clone());
        let before = before.filter(|_| script.is_none());
        let font = writer(cluster, before, fonts).unwrap_or_else(|| fonts.first.clone());
        match runs.last_mut() {
            Some(run)
                if run.font == font
                    && script.is_none_or(|s| s == run.script || !proper(run.script)) =>
            {
                run.text.push_str(cluster);
                run.script = script.unwrap_or(run.script);
            }
            Some(_) | None => {
                let script = script.unwrap_or(Script::Common);
                runs.push(Run { text: cluster.to_owned(), font, script, backward });
            }
        }
    }
    runs
}

/// A script of its own, not what belongs to all.
fn proper(script: Script) -> bool {
    !matches!(script, Script::Common | Script::Inherited | Script::Unknown)
}

/// Letters with the marks and joiners that follow them.
fn clusters(text: &str) -> impl Iterator<Item = &str> {
    let follows = |letter: char| {
        unicode_normalization::char::is_combining_mark(letter) || invisible(letter)
    };
    let mut rest = text;
    std::iter::from_fn(move || {
        let (_, first) = rest.char_indices().next().map(|(at, c)| (at, c.len_utf8()))?;
        let end = rest
            .char_indices()
            .skip(1)
            .find(|(_, letter)| !follows(*letter))
            .map_or(rest.len(), |(at, _)| at);
        let (cluster, after) = rest.split_at_checked(end.max(first))?;
        rest = after;
        Some(cluster)
    })
}
