//! The faces a recipe asks for.

use super::draft::Draft;
use crate::curve::primitive::DrawFault;
use crate::finding::{Code, nearest};
use crate::lettering::{Choice, Face, Font, Fonts, Letters};
use crate::model::{FaceWord, WantedFace};

impl Draft<'_> {
    /// What the faces asked for give: the first writes, the others lend. `Some(None)` where
    /// none is asked for, `None` with a finding where one is not there.
    #[expect(clippy::option_option, reason = "none asked for and not there differ")]
    pub(super) fn faces(&mut self, wanted: &[WantedFace]) -> Option<Option<Choice>> {
        let found: Vec<Option<Letters>> =
            wanted.iter().map(|face| self.face(face)).collect();
        let found = found.into_iter().collect::<Option<Vec<_>>>()?;
        let hand = matches!(found.first(), Some(Letters::Hand(_)));
        let mut fonts: Vec<Font> = Vec::new();
        for (letters, wanted) in found.into_iter().zip(wanted).skip(usize::from(hand)) {
            match letters {
                Letters::Fonts(one) => fonts.push(one.first),
                Letters::Hand(_) => {
                    let what = "the hand lends no letters to a face";
                    let fault = DrawFault::new(what, "the hand first, then faces");
                    let help = "name `hand` first or leave it out";
                    self.coded(Code::DrawingFault, fault, &wanted.source, help);
                    return None;
                }
            }
        }
        let lenders = if fonts.is_empty() { Vec::new() } else { fonts.split_off(1) };
        let fonts = fonts.pop().map(|first| Letters::Fonts(Fonts { first, lenders }));
        Some(match (hand, fonts) {
            (true, otherwise) => Some(Choice { letters: Letters::USUAL_HAND, otherwise }),
            (false, Some(letters)) => Some(Choice { letters, otherwise: None }),
            (false, None) => None,
        })
    }

    fn face(&mut self, wanted: &WantedFace) -> Option<Letters> {
        match &wanted.face {
            FaceWord::Named(name) => self.named(name, wanted),
            FaceWord::File { .. } | FaceWord::Family { .. } => {
                let font = (self.load).font(&wanted.face);
                let font = font.map_err(|fault| {
                    let expected = "a font in TrueType or OpenType form beside the recipe, or \
                                    a family that is installed";
                    let what = DrawFault::new(fault.what, expected);
                    self.coded(Code::FontFault, what, &wanted.source, &fault.help);
                });
                let first = font.ok()?;
                Some(Letters::Fonts(Fonts { first, lenders: Vec::new() }))
            }
        }
    }

    /// The hand or a built-in face by name.
    fn named(&mut self, name: &str, wanted: &WantedFace) -> Option<Letters> {
        let letters = Letters::named(name);
        if letters.is_none() {
            let names: Vec<&str> = Letters::names().collect();
            let near = nearest(name, names.iter().copied());
            let help =
                near.map_or("choose one of these".to_owned(), |n| format!("write `{n}`"));
            let what = format!("there is no face `{name}`");
            let fault = DrawFault::new(what, format!("one of `{}`", names.join("`, `")));
            self.coded(Code::UnknownWord, fault, &wanted.source, &help);
        }
        letters
    }

    /// What a text is drawn in where a recipe asks for these faces.
    pub(super) fn letters(
        &mut self,
        wanted: &[WantedFace],
        text: &str,
    ) -> Option<Letters> {
        let choice = self.faces(wanted)?;
        Some(choice.map_or(Face::CARVED.into(), |choice| choice.of(text).clone()))
    }
}
