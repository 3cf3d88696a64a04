//! A text in runs of one direction, one script and one face, as they stand from left to right.
//!
//! Directions are those of the Unicode Bidirectional Algorithm (Unicode Standard Annex #9),
//! scripts those of Annex #24: what belongs to every script goes with the letter before it.

use super::face::{Face, invisible};
use unicode_bidi::{BidiInfo, Level};
use unicode_normalization::UnicodeNormalization as _;
use unicode_script::{Script, UnicodeScript as _};

/// Part of a text, in the order in which it is read.
#[derive(Clone, Debug)]
pub(super) struct Run {
    pub text: String,
    pub face: Face,
    pub script: Script,
    /// Written from right to left.
    pub backward: bool,
}

/// What can be written of a text, in runs from left to right: each letter in `face`, or in the
/// first of its [substitutes](Face::substitutes) that has it and its marks. The rest goes to
/// `missing`.
pub(super) fn runs(text: &str, face: Face, missing: &mut Vec<char>) -> Vec<Run> {
    let kept = kept(text, face, missing);
    let mut runs = Vec::new();
    let directed = BidiInfo::new(&kept, None);
    for paragraph in &directed.paragraphs {
        let (levels, stretches) =
            directed.visual_runs(paragraph, paragraph.range.clone());
        for stretch in stretches {
            let level = levels.get(stretch.start).copied().unwrap_or(Level::ltr());
            let text = kept.get(stretch).unwrap_or_default();
            let mut parts = of_one_script(text, face, level.is_rtl());
            if level.is_rtl() {
                parts.reverse();
            }
            runs.extend(parts);
        }
    }
    runs
}

/// What can be written of a text, composed: letters some face has, with those of their marks
/// that the same face has; the rest goes to `missing`.
fn kept(text: &str, face: Face, missing: &mut Vec<char>) -> String {
    let composed: String = text.nfc().collect();
    let mut kept = String::new();
    for cluster in clusters(&composed) {
        let has = |letter: &char| supplier(face, *letter).is_some();
        // Marks without their letter would go to the one before.
        let based = cluster.chars().next().is_some_and(|base| has(&base));
        let letters: String = cluster.chars().filter(has).collect();
        let writer = writer(&letters, None, face).filter(|_| based);
        for letter in cluster.chars() {
            match writer {
                Some(writer) if writer.writes(letter) => kept.push(letter),
                Some(_) | None if invisible(letter) => {}
                Some(_) | None => missing.push(letter),
            }
        }
    }
    kept
}

/// Who writes a letter with its marks: the first face that has them all, else the first that
/// has the letter.
fn writer(cluster: &str, before: Option<Face>, face: Face) -> Option<Face> {
    let mut all = before.into_iter().chain([face]).chain(face.substitutes());
    let has = |face: &Face| cluster.chars().all(|letter| face.writes(letter));
    let base = cluster.chars().next()?;
    all.find(has).or_else(|| supplier(face, base))
}

/// Who writes a character: the face itself or one of its substitutes.
fn supplier(face: Face, letter: char) -> Option<Face> {
    std::iter::once(face).chain(face.substitutes()).find(|face| face.writes(letter))
}

/// Part of a text of one direction, cut where script or face change, in reading order.
fn of_one_script(text: &str, face: Face, backward: bool) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for cluster in clusters(text) {
        let script = cluster.chars().map(|c| c.script()).find(|script| proper(*script));
        // A space or a hyphen stays with the letters before it.
        let before = runs.last().map(|run| run.face).filter(|_| script.is_none());
        let face = writer(cluster, before, face).unwrap_or(face);
        match runs.last_mut() {
            Some(run)
                if run.face == face
                    && script.is_none_or(|s| s == run.script || !proper(run.script)) =>
            {
                run.text.push_str(cluster);
                run.script = script.unwrap_or(run.script);
            }
            Some(_) | None => {
                let script = script.unwrap_or(Script::Common);
                runs.push(Run { text: cluster.to_owned(), face, script, backward });
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
