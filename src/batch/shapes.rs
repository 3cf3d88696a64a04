//! The JSON of `treen shapes`.

use super::forms::{findings, text};
use super::survey::Surveyed;
use crate::feasibility::SwapRow;
use crate::finding::rounded;
use crate::model::{Parameter, ParameterKind, Recipe};
use serde_json::{Value, json};

/// The JSON Schema of what `treen shapes --json` prints (draft 2020-12).
pub const SHAPES_SCHEMA: &str = include_str!("../../shapes/schema/shapes.json");

/// One shape, for `treen shapes NAME`.
pub fn shape_json(shape: &Surveyed) -> String {
    text(&surveyed(shape))
}

/// All shapes, for `treen shapes`.
pub fn shapes_json(shapes: &[Surveyed]) -> String {
    text(&json!({ "shapes": shapes.iter().map(surveyed).collect::<Vec<_>>() }))
}

fn surveyed(shape: &Surveyed) -> Value {
    let recipe = shape.recipe.as_ref();
    let word = |of: fn(&Recipe) -> &String| recipe.map_or("", |recipe| of(recipe));
    let words = |of: fn(&Recipe) -> &Vec<String>| recipe.map_or(&[][..], |r| of(r));
    let parameters = recipe.map_or(&[][..], |recipe| &recipe.parameters);
    let cutter = |row: &SwapRow| json!({ "id": row.id, "kind": row.kind.word(), "diameter_mm": rounded(row.diameter) });
    let recess = shape.recess_cutter().map(|(row, share)| {
        let mut value = cutter(row);
        value["share"] = json!(rounded(share));
        value
    });
    json!({
        "key": shape.key,
        "title": word(|recipe| &recipe.title),
        "about": word(|recipe| &recipe.about),
        "themes": words(|recipe| &recipe.themes),
        "notes": words(|recipe| &recipe.notes),
        "size_mm": shape.size().map(|size| size.map(rounded)),
        "outline_cutter": shape.outline_cutter().map(cutter),
        "recess_cutter": recess,
        "minutes": shape.minutes().map(rounded),
        "parameters": parameters.iter().map(parameter).collect::<Vec<_>>(),
        "findings": findings(&shape.examined.findings),
    })
}

fn parameter(parameter: &Parameter) -> Value {
    match &parameter.kind {
        ParameterKind::Number { default, min, max, length } => json!({
            "name": parameter.name, "about": parameter.about, "default": default,
            "min": min, "max": max, "unit": if *length { Some("mm") } else { None },
        }),
        ParameterKind::Text { default, from_name } => json!({
            "name": parameter.name, "about": parameter.about, "default": default,
            "from_name": from_name,
        }),
    }
}
