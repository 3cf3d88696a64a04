//! Text made to fit: cleaned, wrapped, shrunk, cut.

use super::style::{HEIGHTS, Style};
use crate::lettering::{Face, Fonts, width};

/// What ends a text that had to be cut.
const ELLIPSIS: &str = "…";

/// What stands for characters that no built-in face can write.
const UNWRITABLE: &str = "[?]";

/// Rounding in sums of widths, mm.
const SLACK: f64 = 1e-6;

/// Every character one the face can write or borrow, white space single, nothing invisible.
pub(super) fn clean(text: &str, face: Face) -> String {
    let fonts = Fonts::of(face);
    let mut out = String::new();
    let mut lacking = false;
    for word in text.split(|c: char| c.is_whitespace() || c.is_control()) {
        if word.is_empty() {
            continue;
        }
        if !out.is_empty() {
            out.push(' ');
        }
        for letter in word.chars() {
            let there = fonts.supplier(letter).is_some();
            if there && !turns_text(letter) {
                out.push(letter);
            } else if !there && !lacking {
                out.push_str(UNWRITABLE);
            }
            lacking = !there;
        }
    }
    out
}

/// Characters that change the direction of text around them.
pub(super) fn turns_text(letter: char) -> bool {
    matches!(letter, '\u{061C}' | '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}'
        | '\u{2066}'..='\u{2069}')
}

/// The text in lines no wider than `room` mm, at most so many.
pub(super) fn wrapped(text: &str, style: Style, room: f64, most: usize) -> Vec<String> {
    let text = clean(text, style.face);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        for part in broken(word, style, room) {
            let longer =
                if line.is_empty() { part.clone() } else { format!("{line} {part}") };
            if fits(&longer, style, room) || line.is_empty() {
                line = longer;
            } else {
                lines.push(std::mem::replace(&mut line, part));
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            *last = cut(&format!("{last} {ELLIPSIS}"), style, room);
        }
    }
    lines
}

/// A word in parts that each fit.
fn broken(word: &str, style: Style, room: f64) -> Vec<String> {
    if fits(word, style, room) {
        return vec![word.to_owned()];
    }
    let mut parts = vec![String::new()];
    for letter in word.chars() {
        let Some(last) = parts.last_mut() else { break };
        let longer = format!("{last}{letter}");
        if fits(&longer, style, room) || last.is_empty() {
            *last = longer;
        } else {
            parts.push(letter.to_string());
        }
    }
    parts
}

/// The text at the greatest height up to the style's at which it fits; at the least height it
/// is cut.
pub(super) fn shrunk(text: &str, style: Style, room: f64) -> (Style, String) {
    let text = clean(text, style.face);
    let heights = HEIGHTS.iter().rev().copied().filter(|height| *height <= style.height);
    let mut smallest = style;
    for height in heights {
        smallest = Style { height, ..style };
        if fits(&text, smallest, room) {
            return (smallest, text);
        }
    }
    let text = cut(&text, smallest, room);
    (smallest, text)
}

/// The text, or as much of it as fits with an ellipsis.
fn cut(text: &str, style: Style, room: f64) -> String {
    if fits(text, style, room) {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let start: String = kept.iter().collect();
        let shorter = format!("{}{ELLIPSIS}", start.trim_end_matches([' ', '…']));
        if fits(&shorter, style, room) {
            return shorter;
        }
    }
    String::new()
}

fn fits(text: &str, style: Style, room: f64) -> bool {
    width(text, style.face, style.height) <= room + SLACK
}
