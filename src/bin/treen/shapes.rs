//! `treen shapes`: the library as a table, on one sheet, or one shape in full.

use crate::Outcome;
use crate::args::ShapesArgs;
use crate::inputs::{neighbour, settings, the_recipe, the_shop};
use crate::output::{Output, answer};
use crate::table::table;
use std::io;
use std::path::Path;
use treen::batch::{
    Folder, Library, Loaded, Surveyed, WrittenFile, gallery, shape_files, shape_json,
    shapes_json, survey, watch,
};
use treen::feasibility::SwapRow;
use treen::finding::{Code, Finding, Severity, Source, SourceFile, worst};
use treen::intake::{demo, orders_yaml};
use treen::model::Shop;
use treen::units::{DisplayUnit, Mm, trimmed};

pub(crate) fn run(args: &ShapesArgs, out: Output) -> io::Result<Outcome> {
    if let Some(finding) = args.from.as_deref().and_then(no_folder) {
        out.refuse(&[finding])?;
        return Ok(Outcome::BadInput);
    }
    // A shop beside the recipes, or beside the folder `shapes` they lie in.
    let place = match (&args.from, &args.name) {
        (Some(folder), _) => Some(folder.join("recipe.yaml")),
        (None, Some(name)) => neighbour(name),
        (None, None) => None,
    };
    let shop = the_shop(args.shop.as_deref(), place.as_deref());
    let Some(the_shop) = shop.value else {
        out.refuse(&shop.findings)?;
        return Ok(Outcome::BadInput);
    };
    out.findings(&shop.findings)?;
    match &args.name {
        None => all(args, &the_shop, out),
        Some(name) if args.watch => watched(args, name, &the_shop, out),
        Some(name) => one(args, name, &the_shop, out),
    }
}

/// Says that there is no such folder.
fn no_folder(folder: &Path) -> Option<Finding> {
    if folder.is_dir() {
        return None;
    }
    let label = folder.display().to_string();
    let finding = Finding::stop(Code::UnreadableFile, "there is no such folder")
        .from(Source::whole(&SourceFile::new(label, "")))
        .expected("a folder with recipes, or a workspace with `shapes/` in it")
        .help("check its name, or leave `--from` out for the built-in shapes");
    Some(finding)
}

/// The recipes asked for.
fn library(args: &ShapesArgs) -> Library {
    args.from.as_deref().map_or_else(Library::built_in, Library::within)
}

fn all(args: &ShapesArgs, shop: &Shop, out: Output) -> io::Result<Outcome> {
    let shapes = survey(&library(args), shop);
    for shape in shapes.iter().filter(|shape| shape.examined.dish.is_none()) {
        out.findings(&shape.examined.findings)?;
    }
    let written = match &args.out {
        Some(folder) if args.gallery => on_one_sheet(&shapes, shop, folder),
        _ => Ok(Vec::new()),
    };
    let files = match written {
        Ok(files) => files,
        Err(finding) => return broken(*finding, out),
    };
    if out.json {
        answer(&shapes_json(&shapes))?;
    } else {
        answer(&listed(&shapes, shop.house.unit))?;
    }
    told(&files, args.out.as_deref(), out)?;
    Ok(shapes.iter().map(outcome).max().unwrap_or(Outcome::AllWell))
}

/// The gallery, with the invented names of the demo.
fn on_one_sheet(
    shapes: &[Surveyed],
    shop: &Shop,
    folder: &Path,
) -> Result<Vec<WrittenFile>, Box<Finding>> {
    let list = orders_yaml("built-in orders.yaml", demo::ORDERS).value;
    let orders = list.map(|list| list.orders).unwrap_or_default();
    // Short ones stay legible where the dishes are small.
    let short = |name: &&str| name.chars().count() <= 9;
    let names = orders.iter().map(|order| order.name.as_str()).filter(short);
    let names: Vec<&str> = names.collect();
    gallery(shapes, &names, shop, &Folder::create(folder, &|| ())?)
}

fn one(args: &ShapesArgs, name: &Path, shop: &Shop, out: Output) -> io::Result<Outcome> {
    let shape = match loaded(args, name) {
        Ok((key, loaded, set)) => Surveyed::of(&key, loaded, set, shop),
        Err(finding) => {
            out.refuse(&[*finding])?;
            return Ok(Outcome::BadInput);
        }
    };
    let Some(recipe) = shape.recipe.as_ref().filter(|_| shape.size().is_some()) else {
        out.refuse(&shape.examined.findings)?;
        return Ok(Outcome::BadInput);
    };
    let write = |folder: &Path| {
        Folder::create(folder, &|| ())
            .and_then(|folder| shape_files(&shape, shop, &folder))
    };
    let files = match args.out.as_deref().map(write).transpose() {
        Ok(files) => files.unwrap_or_default(),
        Err(finding) => return broken(*finding, out),
    };
    if out.json {
        answer(&shape_json(&shape))?;
    } else {
        answer(&described(&shape, recipe, shop.house.unit))?;
    }
    out.findings(&shape.examined.findings)?;
    told(&files, args.out.as_deref(), out)?;
    Ok(outcome(&shape))
}

/// Draws the shape now and after every save. A file that cannot be drawn leaves the last
/// picture as it is, and says why.
fn watched(
    args: &ShapesArgs,
    name: &Path,
    shop: &Shop,
    out: Output,
) -> io::Result<Outcome> {
    if !name.is_file() {
        let label = name.display().to_string();
        let finding =
            Finding::stop(Code::UnreadableFile, "there is no such file to watch")
                .from(Source::whole(&SourceFile::new(label, "")))
                .expected("a recipe file")
                .help("`treen new DIR` writes the built-in shapes as files");
        out.refuse(&[finding])?;
        return Ok(Outcome::BadInput);
    }
    let mut ended = Ok(Outcome::AllWell);
    let watching = watch(name, &mut |text| {
        let drawn = match text {
            Ok(_) => one(args, name, shop, out),
            Err(finding) => {
                out.refuse(std::slice::from_ref(finding)).map(|()| Outcome::BadInput)
            }
        };
        let goes_on = drawn.is_ok();
        ended = drawn;
        goes_on
    });
    match watching {
        Ok(()) => ended,
        Err(finding) => broken(*finding, out),
    }
}

type Asked = (String, Loaded, Vec<treen::model::Setting>);

/// The recipe of a name: of the folder asked for, a file, or built in.
fn loaded(args: &ShapesArgs, name: &Path) -> Result<Asked, Box<Finding>> {
    let set = settings(&args.set)?;
    let key = name.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    if args.from.is_none() {
        return Ok((key, the_recipe(name), set));
    }
    let library = library(args);
    let key = name.display().to_string();
    match library.load(&key) {
        Some(loaded) => Ok((key, loaded, set)),
        None => Err(Box::new(library.missing(&key))),
    }
}

fn broken(finding: Finding, out: Output) -> io::Result<Outcome> {
    out.refuse(&[finding])?;
    Ok(Outcome::Broken)
}

fn told(files: &[WrittenFile], folder: Option<&Path>, out: Output) -> io::Result<()> {
    let Some(folder) = folder.filter(|_| !files.is_empty()) else { return Ok(()) };
    let names: Vec<&str> = files.iter().map(|file| file.path.as_str()).collect();
    out.tell(&format!("\n{} in {}\n", names.join(", "), folder.display()))
}

fn outcome(shape: &Surveyed) -> Outcome {
    if shape.examined.dish.is_none() {
        Outcome::BadInput
    } else if worst(&shape.examined.findings) == Some(Severity::Stop) {
        Outcome::SomeStopped
    } else {
        Outcome::AllWell
    }
}

fn listed(shapes: &[Surveyed], unit: DisplayUnit) -> String {
    let head = [
        "shape",
        "title",
        "themes",
        "size",
        "cut out with",
        "hollowed with",
        "minutes",
        "parameters",
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    rows.extend(shapes.iter().map(|shape| {
        let recipe = shape.recipe.as_ref();
        vec![
            shape.key.clone(),
            recipe.map_or_else(|| "cannot be read".to_owned(), |r| r.title.clone()),
            recipe.map(|r| r.themes.join(", ")).unwrap_or_default(),
            size(shape, unit),
            shape.outline_cutter().map_or_else(|| "-".to_owned(), |row| row.id.clone()),
            hollowed(shape),
            shape.minutes().map_or_else(|| "-".to_owned(), whole_minutes),
            recipe.map(|r| r.parameters.len().to_string()).unwrap_or_default(),
        ]
    }));
    table(&rows)
}

fn hollowed(shape: &Surveyed) -> String {
    let text = |(row, share): (&SwapRow, f64)| format!("{}, {}", row.id, percent(share));
    shape.recess_cutter().map_or_else(|| "-".to_owned(), text)
}

fn whole_minutes(minutes: f64) -> String {
    trimmed(minutes.ceil())
}

/// Rounded down, so that 100 % is all of it.
fn percent(share: f64) -> String {
    format!("{} %", trimmed((share * 1000.0 + 1e-6).floor() / 10.0))
}

fn size(shape: &Surveyed, unit: DisplayUnit) -> String {
    let Some([width, height]) = shape.size() else { return "-".to_owned() };
    let (whole, word): (fn(f64) -> f64, _) = match unit {
        DisplayUnit::Mm => (f64::round, "mm"),
        DisplayUnit::Inch => (|mm| (mm / 25.4 * 10.0).round() / 10.0, "in"),
    };
    format!("{} x {} {word}", trimmed(whole(width)), trimmed(whole(height)))
}

fn described(
    shape: &Surveyed,
    recipe: &treen::model::Recipe,
    unit: DisplayUnit,
) -> String {
    let about = match recipe.about.trim() {
        "" => String::new(),
        about => format!("{about}\n"),
    };
    let notes: String = recipe
        .notes
        .iter()
        .fold(String::new(), |text, note| text + "note: " + note + "\n");
    let show = |row: &SwapRow| {
        let across = Mm::new(row.diameter).map_or_else(String::new, |mm| mm.show(unit));
        format!("{} ({} {across})", row.id, row.kind.word())
    };
    let none = || "no cutter on the rack".to_owned();
    let recess = shape.recess_cutter().map_or_else(none, |(row, share)| {
        format!("{}, {} of it", show(row), percent(share))
    });
    let time = shape.minutes().map_or_else(String::new, |minutes| {
        format!("minutes: {}, without a name (estimated)\n", whole_minutes(minutes))
    });
    let mut rows =
        vec![["parameter", "default", "range", "about"].map(str::to_owned).to_vec()];
    rows.extend(
        recipe
            .parameters
            .iter()
            .map(|p| vec![p.name.clone(), p.default_text(), p.range(), p.about.clone()]),
    );
    format!(
        "{}: {}\n{about}themes: {}\nsize: {}\ncut out with: {}\nhollowed with: {recess}\n{time}{notes}\n{}",
        shape.key,
        recipe.title,
        recipe.themes.join(", "),
        size(shape, unit),
        shape.outline_cutter().map_or_else(none, show),
        table(&rows)
    )
}
