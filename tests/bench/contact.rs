//! Contact sheets: every name of the list on A4 pages, as it is cut, for the eye.

use std::fs;
use std::path::Path;
use treen::curve::{Affine, BezPath, Point};
use treen::export::png;
use treen::lettering::{Choice, Face, Fit, Letters, fit};
use treen::sheet::{A4, Anchor, Color, Drawn, Layer, Mark, Sheet, Stroke, Text, Way};

/// Columns and rows of a page.
const PLACES: [usize; 2] = [3, 13];
/// Around the places, mm.
const MARGIN: f64 = 12.0;
/// Height of a capital letter, mm, where there is room.
const TALL: f64 = 9.0;
/// Dots an inch.
const DENSITY: f64 = 150.0;

/// Writes the pages of names (each with its language) in letters to a folder; letters that
/// lack a character leave the whole name to the face for carving. Returns how many pages.
pub(crate) fn sheets(
    names: &[(&str, &str)],
    letters: &Letters,
    folder: &Path,
) -> Result<usize, String> {
    fs::create_dir_all(folder).map_err(|fault| fault.to_string())?;
    let otherwise = Some(Letters::from(Face::CARVED));
    let choice = Choice { letters: letters.clone(), otherwise };
    let pages = names.chunks(PLACES[0] * PLACES[1]);
    for (number, page) in pages.clone().enumerate() {
        let marks =
            page.iter().enumerate().flat_map(|(at, name)| place(at, *name, &choice));
        let sheet = Sheet {
            title: format!("Names in {}, page {}", letters.name(), number + 1),
            language: "en",
            version: None,
            size: A4,
            margin: MARGIN,
            paper: Color::new([255, 255, 255]),
            layers: vec![Layer {
                name: "names",
                marks: marks.collect(),
                parts: Vec::new(),
            }],
        };
        let bytes = png(&sheet, DENSITY).map_err(|fault| format!("{fault:?}"))?;
        let file = format!("{}-{:02}.png", letters.name().replace(' ', "-"), number + 1);
        fs::write(folder.join(file), bytes).map_err(|fault| fault.to_string())?;
    }
    Ok(pages.len())
}

/// A name in its place on a page, its language below it.
fn place(at: usize, (language, name): (&str, &str), choice: &Choice) -> Vec<Mark> {
    let across = (A4[0] - 2.0 * MARGIN) / PLACES[0] as f64;
    let down = (A4[1] - 2.0 * MARGIN) / PLACES[1] as f64;
    let left = MARGIN + (at % PLACES[0]) as f64 * across;
    let foot = MARGIN + ((at / PLACES[0]) as f64 + 0.72) * down;
    let mut line = BezPath::new();
    line.move_to((0.0, 0.0));
    line.line_to((across - 6.0, 0.0));
    let letters = choice.of(name).clone();
    let own = letters == choice.letters;
    let how = Fit {
        letters,
        most: TALL,
        least: 3.0,
        condense: 0.85,
        gap: 0.3,
        apart: 0.0,
        lines: 1,
    };
    let onto =
        Affine::translate((left + 3.0, foot)) * Affine::scale_non_uniform(1.0, -1.0);
    let mut marks = Vec::new();
    let mut said = if own { language.to_owned() } else { format!("{language} *") };
    match fit(name, &how, &line) {
        Ok(fitted) => {
            for letter in fitted.letters {
                let fill = Some(Color::new([40, 30, 24]));
                let path = onto * letter;
                marks.push(Mark::Path(Drawn { path, fill, stroke: None, clip: None }));
            }
            if !fitted.missing.is_empty() {
                said = format!("{said}, lacks {:?}", fitted.missing);
            }
        }
        Err(fault) => said = format!("{said}: {fault:?}"),
    }
    let (color, width) = (Color::new([214, 206, 196]), 0.1);
    let stroke = Some(Stroke { color, width, dash: Vec::new() });
    marks.push(Mark::Path(Drawn { path: onto * line, fill: None, stroke, clip: None }));
    marks.push(Mark::Text(Text {
        at: Point::new(left + 3.0, foot + 5.5),
        anchor: Anchor::Start,
        way: Way::Right,
        height: 1.8,
        face: Face::ALL[0],
        color: Color::new([120, 110, 100]),
        text: said,
    }));
    marks
}
