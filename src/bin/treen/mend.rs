//! `treen mend`: what would make one cutter follow one dish.

use crate::Outcome;
use crate::args::MendArgs;
use crate::inputs::{Subject, subject};
use crate::output::{Output, answer};
use crate::table::table;
use std::io;
use std::path::Path;
use treen::batch::{Folder, compare, mend_json, mended, side_by_side, specimen};
use treen::curve::svg::drawing;
use treen::feasibility::Pins;
use treen::finding::{Code, Finding, Source, SourceFile};
use treen::mend::{Mend, Tuned};
use treen::units::{DisplayUnit, Mm, trimmed};

pub(crate) fn run(args: &MendArgs, out: Output) -> io::Result<Outcome> {
    let read = subject(&args.recipe, args.shop.as_deref(), &args.set);
    let Subject { recipe, shop, set, findings } = match read {
        Ok(subject) => subject,
        Err(findings) => return refused(&findings, Outcome::BadInput, out),
    };
    out.findings(&findings)?;
    let order = specimen(&recipe, set);
    let done = side_by_side(std::slice::from_ref(&order), 1, |order| {
        let compared = compare(&recipe, order, &shop, &Pins::default());
        let mended = mended(&recipe, order, &shop, &compared, &args.cutter);
        (compared.findings, mended)
    });
    let mend = match done.into_iter().next() {
        Some(Ok((_, Some(Ok(mend))))) => mend,
        Some(Ok((_, Some(Err(finding))))) => {
            return refused(&[*finding], Outcome::BadInput, out);
        }
        Some(Ok((findings, None))) => return refused(&findings, Outcome::BadInput, out),
        Some(Err(_)) | None => {
            let finding =
                Finding::stop(Code::Internal, "something that should not happen did")
                    .from(order.source);
            return refused(&[finding], Outcome::Broken, out);
        }
    };
    if let Some(path) = &args.write
        && let Err((finding, outcome)) = write(path, &mend)
    {
        return refused(&[*finding], outcome, out);
    }
    if out.json {
        answer(&mend_json(&mend))?;
    } else {
        answer(&text(&mend, shop.house.unit))?;
    }
    if let Some(path) = &args.write {
        out.tell(&format!("\nwritten: {}\n", path.display()))?;
    }
    Ok(if mend.follows { Outcome::AllWell } else { Outcome::SomeStopped })
}

fn refused(findings: &[Finding], outcome: Outcome, out: Output) -> io::Result<Outcome> {
    out.refuse(findings)?;
    Ok(outcome)
}

/// Writes the softened edge; there must be one, and only one.
fn write(path: &Path, mend: &Mend) -> Result<(), (Box<Finding>, Outcome)> {
    let said = |code: Code, what: String, help: &str| {
        let file = SourceFile::new(path.display().to_string(), "");
        let finding = Finding::stop(code, what).from(Source::whole(&file)).help(help);
        (Box::new(finding), Outcome::BadInput)
    };
    let region = match mend.softened.as_slice() {
        [soft] => &soft.region,
        [] if mend.follows => {
            let what = format!("nothing to write: {} follows as drawn", mend.id);
            return Err(said(Code::UnwritableFile, what, "leave `--write` out"));
        }
        [] => {
            let what = format!("no softened {} could be made sure of", mend.job);
            return Err(said(
                Code::UnwritableFile,
                what,
                "try a slightly smaller cutter, or round the drawing with `fillet`",
            ));
        }
        [_, _, ..] => {
            let what = "the dish has several recesses, one file cannot tell them apart";
            return Err(said(
                Code::UnwritableFile,
                what.to_owned(),
                "round them with `corners` in the recipe",
            ));
        }
    };
    let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
        let what = "this is not the name of a file".to_owned();
        return Err(said(Code::UnwritableFile, what, "name a file, e.g. `soft.svg`"));
    };
    let parent = path.parent().filter(|parent| !parent.as_os_str().is_empty());
    Folder::create(parent.unwrap_or(Path::new(".")), &|| ())
        .and_then(|folder| folder.write(name, drawing(region).as_bytes()))
        .map(|_| ())
        .map_err(|finding| (finding, Outcome::Broken))
}

fn show(mm: f64, unit: DisplayUnit) -> String {
    Mm::new(mm).map_or_else(|| "-".to_owned(), |mm| mm.show(unit))
}

/// Rounded away from too little, as a width must not fall short.
fn at_least(mm: f64, unit: DisplayUnit) -> String {
    show((mm * 100.0 - 1e-6).ceil() / 100.0, unit)
}

fn text(mend: &Mend, unit: DisplayUnit) -> String {
    let reach = mend.low.map_or_else(
        || "nothing limits a cutter".to_owned(),
        |low| format!("its reach is {}", show(low.radius, unit)),
    );
    let does = if mend.follows { "follows" } else { "does not follow" };
    let head = format!(
        "{}: {} {} ({}) {does} the {}: {reach}, {} needed\n",
        mend.recipe,
        mend.kind.word(),
        mend.id,
        show(mend.diameter, unit),
        mend.job,
        show(mend.radius, unit),
    );
    if mend.follows {
        return head;
    }
    let row = |cells: [String; 3]| cells.to_vec();
    let mut rows = vec![row(["way out", "value", "what it means"].map(str::to_owned))];
    rows.extend(rounds(mend, unit).map(row));
    rows.extend(mend.tuned.iter().map(|tuned| row(tuned_row(tuned, unit))));
    format!("{head}\n{}", table(&rows))
}

/// The ways out that need no other values.
fn rounds(mend: &Mend, unit: DisplayUnit) -> impl Iterator<Item = [String; 3]> {
    let none = || "none".to_owned();
    let cutter = match &mend.largest {
        Some(other) => [
            format!("use {}", other.id),
            show(other.diameter, unit),
            "the largest on the rack that follows".to_owned(),
        ],
        None => {
            ["another cutter".to_owned(), none(), "none on the rack follows".to_owned()]
        }
    };
    let width = match mend.smallest_width {
        Some(width) => [
            "a wider dish".to_owned(),
            at_least(width, unit),
            format!("everything scaled; now {}", show(mend.width, unit)),
        ],
        None => [
            "a wider dish".to_owned(),
            none(),
            "a corner stays sharp at any size".to_owned(),
        ],
    };
    let key = if mend.job == "outline" { "fillet: {inside}" } else { "corners" };
    let fillet = match mend.fillet {
        Some(radius) => [
            format!("`{key}`"),
            show(radius, unit),
            "the radius at which it does".to_owned(),
        ],
        None => [
            format!("`{key}`"),
            none(),
            "a fillet of its radius is not enough".to_owned(),
        ],
    };
    let soft = match mend.departure() {
        Some((departure, at)) => [
            format!("a softened {}", mend.job),
            show(departure, unit),
            format!(
                "greatest departure, at [{}, {}]; area {} mm²",
                trimmed((at.x * 10.0).round() / 10.0),
                trimmed((at.y * 10.0).round() / 10.0),
                signed(mend.area()),
            ),
        ],
        None => [
            format!("a softened {}", mend.job),
            none(),
            "none could be made sure of".to_owned(),
        ],
    };
    [cutter, width, fillet, soft].into_iter()
}

fn signed(area: f64) -> String {
    let near = (area * 10.0).round() / 10.0;
    if near > 0.0 { format!("+{}", trimmed(near)) } else { trimmed(near) }
}

fn tuned_row(tuned: &Tuned, unit: DisplayUnit) -> [String; 3] {
    let number =
        |value: f64| if tuned.length { show(value, unit) } else { trimmed(value) };
    let range = format!("{} to {}", number(tuned.min), number(tuned.max));
    let name = format!("set `{}`", tuned.name);
    match tuned.value {
        Some(value) => {
            let now = number(tuned.present);
            [name, number(value), format!("alone; now {now}, may be {range}")]
        }
        None => [
            name,
            "none".to_owned(),
            format!("no value found from {range} that does it alone"),
        ],
    }
}
