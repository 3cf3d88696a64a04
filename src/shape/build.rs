//! From a recipe and values to its form.

use super::Loader;
use super::draft::Draft;
use super::form::Form;
use super::values::{Values, values};
use crate::finding::{Checked, Finding};
use crate::model::{Recipe, Setting};

/// Draws a recipe with the values an order sets. `person` gives the letter of a text
/// parameter that takes it from the name; it may be empty.
pub fn build(
    recipe: &Recipe,
    settings: &[Setting],
    person: &str,
    load: Loader<'_>,
) -> Checked<Form> {
    let checked = values(recipe, settings, person);
    match checked.value {
        Some(values) => drawn(recipe, &values, load, checked.findings),
        None => Checked { value: None, findings: checked.findings },
    }
}

fn drawn(
    recipe: &Recipe,
    values: &Values,
    load: Loader<'_>,
    findings: Vec<Finding>,
) -> Checked<Form> {
    let mut draft = Draft::new(values, load, findings);
    let outline = draft.outline(recipe);
    let rim = recipe.rim.as_ref().and_then(|rim| draft.length(rim, "the rim"));
    let recesses = match &outline {
        Some(outline) => draft.recesses(recipe, outline, rim),
        None => Vec::new(),
    };
    let name = recipe.name.as_ref().and_then(|area| draft.name(area, recipe));
    let grooves = draft.grooves(&recipe.details);
    let outer_round = draft.round(recipe.edges.outer.as_ref());
    let recess_round = draft.round(recipe.edges.recess.as_ref());
    let mut form = outline.map(|outline| Form {
        recipe: recipe.key.clone(),
        title: recipe.title.clone(),
        notes: recipe.notes.clone(),
        grain: recipe.grain,
        outline,
        outline_sources: Vec::new(),
        rim,
        recesses,
        name,
        grooves,
        outer_round,
        recess_round,
        parameters: values.shown.clone(),
        source: recipe.source.clone(),
    });
    if let Some(form) =
        form.as_ref().filter(|f| f.recesses.len() == recipe.recesses.len())
    {
        draft.grooves_on_wood(form);
    }
    let (origins, findings) = draft.done();
    if let Some(form) = &mut form {
        form.outline_sources = origins;
    }
    Checked::unless_stopped(form, findings)
}
