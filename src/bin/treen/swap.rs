//! `treen swap`: one dish against every cutter of the rack.

use crate::Outcome;
use crate::args::SwapArgs;
use crate::inputs::{Subject, subject};
use crate::output::{Output, answer};
use crate::table::table;
use std::io;
use std::path::PathBuf;
use treen::batch::{Folder, compare, side_by_side, specimen, swap_files, swap_json};
use treen::feasibility::{Pins, Swap, SwapRow};
use treen::finding::{Code, Finding, Severity, worst};
use treen::model::Shop;
use treen::units::{DisplayUnit, Mm};

pub(crate) fn run(args: &SwapArgs, out: Output) -> io::Result<Outcome> {
    let read = subject(&args.recipe, args.shop.as_deref(), &args.set);
    let Subject { recipe, shop, set, findings } = match read {
        Ok(subject) => subject,
        Err(findings) => return refused(&findings, Outcome::BadInput, out),
    };
    out.findings(&findings)?;
    let order = specimen(&recipe, set);
    let compared = side_by_side(std::slice::from_ref(&order), 1, |order| {
        compare(&recipe, order, &shop, &Pins::default())
    });
    let Some(Ok(compared)) = compared.into_iter().next() else {
        let finding =
            Finding::stop(Code::Internal, "something that should not happen did")
                .from(order.source);
        return refused(&[finding], Outcome::Broken, out);
    };
    let Some((_, report)) = &compared.dish else {
        return refused(&compared.findings, Outcome::BadInput, out);
    };
    // The card comes first, so that an answer is either the table or what went wrong.
    let write = |path: &PathBuf| {
        Folder::create(path, &|| ())
            .and_then(|folder| swap_files(&compared, &shop, &folder))
    };
    let files = match args.out.as_ref().map(write).transpose() {
        Ok(files) => files.unwrap_or_default(),
        Err(finding) => return refused(&[*finding], Outcome::Broken, out),
    };
    if out.json {
        answer(&swap_json(&report.swap))?;
    } else {
        answer(&text(&report.swap, &shop))?;
    }
    if !files.is_empty() {
        let names: Vec<&str> = files.iter().map(|file| file.path.as_str()).collect();
        out.tell(&format!("\nwritten: {}\n", names.join(", ")))?;
    }
    let stopped = worst(&compared.findings) == Some(Severity::Stop);
    Ok(if stopped { Outcome::SomeStopped } else { Outcome::AllWell })
}

fn refused(findings: &[Finding], outcome: Outcome, out: Output) -> io::Result<Outcome> {
    out.refuse(findings)?;
    Ok(outcome)
}

fn text(swap: &Swap, shop: &Shop) -> String {
    let unit = shop.house.unit;
    let reach =
        |low: Option<f64>| low.map_or_else(|| "no limit".to_owned(), |r| show(r, unit));
    let head = format!(
        "{}: {} wide; reach of the outline from outside {}, of the recess from inside {}\n\n",
        swap.recipe,
        show(swap.width, unit),
        reach(swap.outside.as_ref().map(|low| low.radius)),
        reach(swap.inside.as_ref().map(|low| low.radius)),
    );
    let titles = [
        "job",
        "cutter",
        "kind",
        "diameter",
        "follows",
        "leftovers",
        "deepest",
        "area left",
        "follows from width",
    ];
    let mut rows = vec![titles.map(str::to_owned).to_vec()];
    rows.extend(swap.rows.iter().map(|row| cells(row, unit)));
    format!("{head}{}", table(&rows))
}

fn show(mm: f64, unit: DisplayUnit) -> String {
    Mm::new(mm).map_or_else(|| "-".to_owned(), |mm| mm.show(unit))
}

fn cells(row: &SwapRow, unit: DisplayUnit) -> Vec<String> {
    let follows = match (row.follows, row.tie, row.sandable) {
        (true, true, _) => "just",
        (true, false, _) => "yes",
        (false, _, true) => "no, sand",
        (false, _, false) => "no",
    };
    let left = !row.leftovers.is_empty();
    let dash = || "-".to_owned();
    let width = row.smallest_width.map(|width| show(width, unit));
    vec![
        row.job.word().to_owned(),
        row.id.clone(),
        row.kind.word().to_owned(),
        show(row.diameter, unit),
        follows.to_owned(),
        if row.unsure { "unsure".to_owned() } else { row.leftovers.len().to_string() },
        if left { show(row.deepest(), unit) } else { dash() },
        if left { format!("{:.1} mm²", row.area_left()) } else { dash() },
        width.unwrap_or_else(|| if row.follows { dash() } else { "no width".to_owned() }),
    ]
}
