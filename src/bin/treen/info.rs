//! Commands that only tell: schemas, explanations, completions, the manual page.

use crate::Outcome;
use crate::args::{Args, Kind};
use crate::output::{Output, answer};
use crate::table::table;
use clap::CommandFactory;
use clap_complete::Shell;
use std::io;
use treen::batch::{EVENTS_SCHEMA, SHAPES_SCHEMA};
use treen::finding::{Code, nearest, plain};
use treen::intake::{APPROVALS_SCHEMA, FileKind, schema as schema_of};

pub(crate) fn schema(kind: Kind) -> io::Result<Outcome> {
    answer(match kind {
        Kind::Recipe => schema_of(FileKind::Recipe),
        Kind::Shop => schema_of(FileKind::Shop),
        Kind::Orders => schema_of(FileKind::Orders),
        Kind::Shapes => SHAPES_SCHEMA,
        Kind::Events => EVENTS_SCHEMA,
        Kind::Approvals => APPROVALS_SCHEMA,
    })?;
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
