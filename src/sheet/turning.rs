//! What stands beside a dish that is turned on a screen.

use super::mark::{Mark, Sheet};
use super::painting::Picture;
use super::tongue::Tongue;
use super::wrap::turns_text;
use crate::dish::Dish;
use crate::model::Shop;

/// A dish to look at from all sides, and what is said beside it.
#[derive(Clone, Debug)]
pub struct Turning<'a> {
    /// The language of all this (BCP 47).
    pub language: &'static str,
    /// What the window is called.
    pub title: String,
    /// Who the dish is for, else what it is.
    pub heading: String,
    /// What it is and of which wood.
    pub about: String,
    /// Labels and values, in the order they are told.
    pub facts: Vec<(String, String)>,
    /// The dish in words, for who does not see it.
    pub described: String,
    /// How it is turned by hand and by key.
    pub hint: &'static str,
    /// What is told of each turn: `{lean}` and `{turn}` stand for degrees.
    pub told: &'static str,
    /// What a picture on a screen does not show.
    pub notice: &'static str,
    /// The dish as the proof shows it.
    pub picture: &'a Picture,
}

/// The dish of a proof to be turned; nothing if the proof shows none.
pub fn turning<'a>(dish: &Dish, proof: &'a Sheet, shop: &Shop) -> Option<Turning<'a>> {
    let mut marks = proof.layers.iter().flat_map(|layer| &layer.marks);
    let picture = marks.find_map(|mark| match mark {
        Mark::Picture(picture) => Some(picture.as_ref()),
        Mark::Path(_) | Mark::Text(_) => None,
    })?;
    let tongue = Tongue::of(dish.manner, shop);
    let words = tongue.words;
    let told = tongue.told(dish);
    let mut described = told.filled(&words.turning.described);
    if dish.name.is_some() && !dish.person.is_empty() {
        described = format!("{described} {}", told.filled(&words.turning.carved));
    }
    Some(Turning {
        language: proof.language,
        title: plain(&proof.title),
        heading: plain(told.heading),
        about: plain(&told.what()),
        facts: facts(dish, proof, tongue),
        described: plain(&described),
        hint: &words.turning.hint,
        told: &words.turning.told,
        notice: &words.turning.notice,
        picture,
    })
}

fn facts(dish: &Dish, proof: &Sheet, tongue: Tongue) -> Vec<(String, String)> {
    let words = tongue.words;
    let (sizes, foot) = (&words.sizes, &words.foot);
    let (width, height) = dish.size();
    let mut facts = vec![(&foot.order, dish.id.clone())];
    if !dish.person.is_empty() {
        facts.push((&foot.name, dish.person.clone()));
    }
    facts.push((&sizes.width, tongue.length(width)));
    facts.push((&sizes.height, tongue.length(height)));
    facts.push((&sizes.thickness, tongue.length(dish.wood.thickness.get())));
    if let Some(recess) = dish.recesses.first() {
        facts.push((&sizes.hollow, tongue.length(recess.depth)));
    }
    facts.push((&sizes.wood, words.wood(&dish.wood.name).to_owned()));
    facts.extend(proof.version.clone().map(|mark| (&foot.version, mark)));
    facts.into_iter().map(|(label, value)| (label.clone(), plain(&value))).collect()
}

/// Text without what turns the text around it.
fn plain(text: &str) -> String {
    text.chars().filter(|letter| !turns_text(*letter)).collect()
}
