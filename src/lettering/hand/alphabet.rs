//! The letters as drawn in `shapes/letters/hand.yaml`.

use super::knots::{number, stroke};
use crate::curve::{BezPath, Point};
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Letters and marks by their character.
#[derive(Debug, Default)]
pub(super) struct Alphabet {
    /// What each letter is made of.
    pub(super) letters: BTreeMap<char, Vec<Part>>,
    /// Marks over a letter: centred on x = 0, their foot at their least y.
    pub(super) above: BTreeMap<char, Vec<BezPath>>,
    /// Marks under a letter.
    pub(super) below: BTreeMap<char, Vec<BezPath>>,
    /// Marks that grow out of a letter, from the origin.
    pub(super) joined: BTreeMap<char, Vec<BezPath>>,
    /// Lines that could not be read; a test holds them to be none.
    pub(super) unread: Vec<String>,
}

/// One line of a letter.
#[derive(Debug)]
pub(super) enum Part {
    /// The strokes of another letter and its marks.
    As(String),
    /// Where marks above stand.
    Top(f64),
    /// Where marks below stand.
    Bottom(f64),
    /// Where a horn joins.
    Horn(Point),
    /// Where an ogonek joins.
    Tail(Point),
    /// A centre line.
    Stroke(BezPath),
}

type Written = BTreeMap<String, BTreeMap<String, Vec<String>>>;

/// The alphabet, read when first asked for.
pub(super) fn alphabet() -> &'static Alphabet {
    static READ: OnceLock<Alphabet> = OnceLock::new();
    READ.get_or_init(|| {
        let text = include_str!("../../../shapes/letters/hand.yaml");
        match serde_yaml::from_str::<Written>(text) {
            Ok(written) => read(written),
            Err(error) => {
                Alphabet { unread: vec![error.to_string()], ..Alphabet::default() }
            }
        }
    })
}

fn read(written: Written) -> Alphabet {
    let mut alphabet = Alphabet::default();
    for (kind, entries) in written {
        for (key, lines) in entries {
            let mut chars = key.chars();
            let (Some(letter), None) = (chars.next(), chars.next()) else {
                alphabet.unread.push(key);
                continue;
            };
            if kind == "letters" {
                let parts = lines.iter().filter_map(|line| {
                    let part = part(line);
                    alphabet.unread.extend(part.is_none().then(|| line.clone()));
                    part
                });
                let parts = parts.collect();
                alphabet.letters.insert(letter, parts);
                continue;
            }
            let strokes: Vec<BezPath> =
                lines.iter().filter_map(|line| stroke(line)).collect();
            if strokes.len() < lines.len() {
                alphabet.unread.push(key);
            }
            match kind.as_str() {
                "above" => alphabet.above.insert(letter, strokes),
                "below" => alphabet.below.insert(letter, strokes),
                "joined" => alphabet.joined.insert(letter, strokes),
                _ => {
                    alphabet.unread.push(kind.clone());
                    None
                }
            };
        }
    }
    alphabet
}

fn part(line: &str) -> Option<Part> {
    let (word, rest) = line.split_once(' ')?;
    match word {
        "as" => Some(Part::As(rest.to_owned())),
        "top" => Some(Part::Top(number(rest)?)),
        "bottom" => Some(Part::Bottom(number(rest)?)),
        "horn" => Some(Part::Horn(place(rest)?)),
        "tail" => Some(Part::Tail(place(rest)?)),
        _ => Some(Part::Stroke(stroke(line)?)),
    }
}

fn place(words: &str) -> Option<Point> {
    let (x, y) = words.split_once(' ')?;
    Some(Point::new(number(x)?, number(y)?))
}
