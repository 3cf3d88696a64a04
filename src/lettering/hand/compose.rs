//! Letters with their marks.

use super::alphabet::{Part, alphabet};
use crate::curve::{Affine, BezPath, Drawn as _, Point, Rect, Vec2};
use unicode_normalization::UnicodeNormalization as _;

/// White between a letter and its mark, in letter units.
const CLEAR: f64 = 12.0;

/// Marks above stand at least as high as those of a letter without ascender.
const X_HEIGHT: f64 = 62.0;

/// Letters that take others' strokes do so this deep at most.
const DEEPEST: usize = 4;

/// The horn of ơ and ư.
const HORN: char = '\u{31B}';
/// The ogonek.
const OGONEK: char = '\u{328}';

/// A letter as strokes, and where its marks go.
#[derive(Clone, Debug, Default)]
pub(super) struct Glyph {
    /// Centre lines, one point for a dot.
    pub(super) strokes: Vec<BezPath>,
    top: Option<f64>,
    bottom: Option<f64>,
    horn: Option<Point>,
    tail: Option<Point>,
}

/// The hand can write this character, whole or as a letter and its marks.
pub(in crate::lettering) fn writes(letter: char) -> bool {
    let alphabet = alphabet();
    alphabet.letters.contains_key(&letter)
        || is_mark(letter)
        || std::iter::once(letter).nfd().enumerate().all(|(at, part)| {
            if at == 0 { alphabet.letters.contains_key(&part) } else { is_mark(part) }
        })
}

/// It is a mark the hand can place.
pub(super) fn is_mark(mark: char) -> bool {
    let alphabet = alphabet();
    [&alphabet.above, &alphabet.below, &alphabet.joined]
        .iter()
        .any(|marks| marks.contains_key(&mark))
}

/// A letter and the marks that follow it, for a pen of some width in letter units. `None`
/// if the letter is not there; marks that are not are left out.
pub(super) fn compose(letter: char, marks: &[char], pen: f64) -> Option<Glyph> {
    composed(letter, marks, pen, 0)
}

fn composed(letter: char, marks: &[char], pen: f64, deep: usize) -> Option<Glyph> {
    if deep > DEEPEST {
        return None;
    }
    let alphabet = alphabet();
    let over = marks.iter().any(|mark| alphabet.above.contains_key(mark));
    let base = if over { undotted(letter) } else { letter };
    let Some(parts) = alphabet.letters.get(&base) else {
        let mut spelt = std::iter::once(base).nfd();
        let first = spelt.next().filter(|first| *first != base)?;
        let all: Vec<char> = spelt.chain(marks.iter().copied()).collect();
        return composed(first, &all, pen, deep + 1);
    };
    let mut glyph = Glyph::default();
    for part in parts {
        match part {
            Part::As(text) => {
                let mut letters = text.chars();
                let (first, rest) = (letters.next()?, letters.collect::<Vec<_>>());
                let other = composed(first, &rest, pen, deep + 1)?;
                let strokes = std::mem::take(&mut glyph.strokes);
                glyph = Glyph { strokes, ..other.clone() };
                glyph.strokes.extend(other.strokes);
            }
            Part::Top(x) => glyph.top = Some(*x),
            Part::Bottom(x) => glyph.bottom = Some(*x),
            Part::Horn(at) => glyph.horn = Some(*at),
            Part::Tail(at) => glyph.tail = Some(*at),
            Part::Stroke(stroke) => glyph.strokes.push(stroke.clone()),
        }
    }
    Some(marked(glyph, marks, pen))
}

/// Letters that lose their dot under a mark (Unicode's `Soft_Dotted`).
fn undotted(letter: char) -> char {
    match letter {
        'i' | '\u{456}' => 'ı',
        'j' | '\u{458}' => 'ȷ',
        other => other,
    }
}

/// Puts marks above and below, each clear of what is there by the pen and some white.
fn marked(mut glyph: Glyph, marks: &[char], pen: f64) -> Glyph {
    let alphabet = alphabet();
    let bare = bounds(&glyph.strokes);
    let middle = bare.center().x;
    let (mut top, mut foot) = (bare.y1.max(X_HEIGHT), bare.y0.min(0.0));
    for mark in marks {
        let by = if let Some(strokes) = alphabet.above.get(mark) {
            let own = bounds(strokes);
            let rise = top + pen + CLEAR - own.y0;
            top = rise + own.y1;
            Some((strokes, Vec2::new(glyph.top.unwrap_or(middle), rise)))
        } else if let Some(strokes) = alphabet.below.get(mark) {
            let own = bounds(strokes);
            let drop = foot - pen - CLEAR - own.y1;
            foot = drop + own.y0;
            Some((strokes, Vec2::new(glyph.bottom.unwrap_or(middle), drop)))
        } else if let Some(strokes) = alphabet.joined.get(mark) {
            let under = Point::new(glyph.bottom.unwrap_or(middle), 0.0);
            let at = match *mark {
                HORN => glyph.horn.unwrap_or(Point::new(bare.x1, bare.y1)),
                OGONEK => glyph.tail.unwrap_or(Point::new(bare.x1, 0.0)),
                _ => under,
            };
            foot = foot.min(at.y + bounds(strokes).y0);
            Some((strokes, at.to_vec2()))
        } else {
            None
        };
        if let Some((strokes, by)) = by {
            let moved =
                strokes.iter().map(|stroke| Affine::translate(by) * stroke.clone());
            glyph.strokes.extend(moved);
        }
    }
    glyph
}

/// The box around centre lines.
pub(super) fn bounds(strokes: &[BezPath]) -> Rect {
    strokes
        .iter()
        .map(|stroke| match stroke.elements() {
            [crate::curve::PathEl::MoveTo(at)] => Rect::from_points(*at, *at),
            _ => stroke.bounding_box(),
        })
        .reduce(|a, b| a.union(b))
        .unwrap_or(Rect::ZERO)
}
