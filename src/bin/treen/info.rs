//! Commands that only tell: shapes, schemas, explanations, completions, the manual page.

use crate::Outcome;
use crate::args::{Args, Kind};
use crate::output::{Output, answer};
use crate::table::table;
use clap::CommandFactory;
use clap_complete::Shell;
use std::io;
use treen::batch::{Library, shape_json, shapes_json};
use treen::finding::{Code, nearest, plain};
use treen::intake::{FileKind, schema as schema_of};
use treen::model::{Parameter, ParameterKind, Recipe};
use treen::units::trimmed;

/// The built-in shapes, or one of them in full.
pub(crate) fn shapes(name: Option<&str>, out: Output) -> io::Result<Outcome> {
    let library = Library::built_in();
    let load = |key: &str| library.load(key).and_then(|loaded| loaded.recipe);
    let Some(name) = name else {
        let recipes: Vec<Recipe> =
            library.keys().iter().filter_map(|key| load(key)).collect();
        if out.json {
            answer(&shapes_json(&recipes))?;
        } else {
            answer(&listed(&recipes))?;
        }
        return Ok(Outcome::AllWell);
    };
    let Some(recipe) = load(name) else {
        out.refuse(&[library.missing(name)])?;
        return Ok(Outcome::BadInput);
    };
    if out.json {
        answer(&shape_json(&recipe))?;
    } else {
        answer(&described(&recipe))?;
    }
    Ok(Outcome::AllWell)
}

fn listed(recipes: &[Recipe]) -> String {
    let mut rows =
        vec![["shape", "title", "themes", "parameters"].map(str::to_owned).to_vec()];
    rows.extend(recipes.iter().map(|recipe| {
        let names: Vec<&str> =
            recipe.parameters.iter().map(|p| p.name.as_str()).collect();
        vec![
            recipe.key.clone(),
            recipe.title.clone(),
            recipe.themes.join(", "),
            names.join(", "),
        ]
    }));
    table(&rows)
}

fn described(recipe: &Recipe) -> String {
    let head = format!("{}: {}\n", recipe.key, recipe.title);
    let about = match recipe.about.trim() {
        "" => String::new(),
        about => format!("{about}\n"),
    };
    let themes = format!("themes: {}\n", recipe.themes.join(", "));
    let notes: String = recipe
        .notes
        .iter()
        .fold(String::new(), |text, note| text + "note: " + note + "\n");
    let mut rows =
        vec![["parameter", "default", "range", "about"].map(str::to_owned).to_vec()];
    rows.extend(recipe.parameters.iter().map(parameter));
    format!("{head}{about}{themes}{notes}\n{}", table(&rows))
}

fn parameter(parameter: &Parameter) -> Vec<String> {
    let (default, range) = match &parameter.kind {
        ParameterKind::Number { default, min, max, length } => {
            let unit = if *length { " mm" } else { "" };
            let ends = [min, max].map(|end| trimmed(*end));
            (
                format!("{}{unit}", trimmed(*default)),
                format!("{} to {}{unit}", ends[0], ends[1]),
            )
        }
        ParameterKind::Text { default, from_name: true } => {
            (default.clone(), "text; else the name's first letter".to_owned())
        }
        ParameterKind::Text { default, .. } => (default.clone(), "text".to_owned()),
    };
    vec![parameter.name.clone(), default, range, parameter.about.clone()]
}

pub(crate) fn schema(kind: Kind) -> io::Result<Outcome> {
    answer(schema_of(match kind {
        Kind::Recipe => FileKind::Recipe,
        Kind::Shop => FileKind::Shop,
        Kind::Orders => FileKind::Orders,
    }))?;
    Ok(Outcome::AllWell)
}

/// What a code means, or all codes.
pub(crate) fn explain(code: Option<&str>, out: Output) -> io::Result<Outcome> {
    let Some(word) = code else {
        let rows: Vec<Vec<String>> = Code::ALL
            .iter()
            .map(|code| vec![code.word().to_owned(), code.explanation().to_owned()])
            .collect();
        answer(&table(&rows))?;
        return Ok(Outcome::AllWell);
    };
    if let Some(code) = Code::from_word(&word.to_lowercase()) {
        answer(&format!("{}\n\n{}\n", code.word(), code.explanation()))?;
        return Ok(Outcome::AllWell);
    }
    let near = nearest(word, Code::ALL.iter().map(|code| code.word()));
    let hint = near.map_or_else(
        || "`treen explain` lists all codes".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    // There is no JSON form of an explanation, so the complaint is text as well.
    let out = Output { json: false, ..out };
    out.say(&format!("no finding has the code `{}`\nhelp: {hint}\n", plain(word)))?;
    Ok(Outcome::BadInput)
}

pub(crate) fn completions(shell: Shell) -> io::Result<Outcome> {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "treen", &mut text);
    answer(&String::from_utf8_lossy(&text))?;
    Ok(Outcome::AllWell)
}

pub(crate) fn man() -> io::Result<Outcome> {
    let mut text = Vec::new();
    clap_mangen::Man::new(Args::command()).render(&mut text)?;
    answer(&String::from_utf8_lossy(&text))?;
    Ok(Outcome::AllWell)
}
