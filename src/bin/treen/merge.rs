//! `treen merge`: the parts of a batch joined into one folder.

use crate::Outcome;
use crate::args::MergeArgs;
use crate::output::{Output, answer};
use crate::proof::{former, waiting};
use std::io;
use treen::batch::{Merged, Status, merge, merge_json};
use treen::finding::{Finding, plain};

pub(crate) fn run(args: &MergeArgs, out: Output) -> io::Result<Outcome> {
    let own = std::slice::from_ref(&args.out);
    let folders = if args.folders.is_empty() { own } else { &args.folders };
    let merged = match merge(folders, &args.out, &|| waiting(&args.out, out)) {
        Ok(merged) => merged,
        Err(findings) => {
            out.refuse(&findings)?;
            let broke = |finding: &Finding| finding.code.broke();
            let broke = findings.iter().any(broke);
            return Ok(if broke { Outcome::Broken } else { Outcome::BadInput });
        }
    };
    if out.json {
        answer(&merge_json(&merged))?;
    }
    let folder = plain(&args.out.display().to_string());
    out.tell(&told(&merged, &folder))?;
    Ok(ended(&merged))
}

fn told(merged: &Merged, folder: &str) -> String {
    let counts = merged.orders.iter();
    let counts = counts.map(|(status, count)| format!("{count} {}", status.word()));
    let counts: Vec<String> = counts.collect();
    let (dishes, minutes) = merged.time;
    format!(
        "{} parts, {} orders ({}): {} sheet files, {} swap card files and manifest.json in {folder}\n\
         {dishes} dishes take about {minutes:.0} min at the machine, tool changes counted (estimated)\n{}",
        merged.parts,
        merged.orders.values().sum::<usize>(),
        counts.join(", "),
        merged.sheet_files,
        merged.card_files,
        former(&merged.former),
    )
}

/// As a run of the whole list would have ended.
fn ended(merged: &Merged) -> Outcome {
    match merged.orders.keys().max() {
        _ if merged.broke => Outcome::Broken,
        Some(Status::Error) => Outcome::BadInput,
        Some(Status::Stop) => Outcome::SomeStopped,
        Some(Status::Ok | Status::Warn) | None => Outcome::AllWell,
    }
}
