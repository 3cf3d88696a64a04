//! `treen book`: the pages of an order list in one PDF.

use crate::Outcome;
use crate::args::{BookArgs, Pages};
use crate::inputs::given;
use crate::output::{Output, answer};
use crate::proof::waiting;
use indicatif::ProgressBar;
use std::io;
use treen::batch::{Bound, Folder, Inside, Job, Status, book, book_json};
use treen::finding::{Severity, plain, report, worst};

pub(crate) fn run(args: &BookArgs, out: Output) -> io::Result<Outcome> {
    let given = given(args.orders.as_deref(), args.shop.as_deref(), &args.pins);
    let given = match given {
        Ok(given) => given,
        Err(findings) => {
            out.refuse(&findings)?;
            return Ok(Outcome::BadInput);
        }
    };
    out.findings(&given.findings)?;
    let folder = plain(&args.out.display().to_string());
    let bound =
        Folder::create(&args.out, &|| waiting(&args.out, out)).and_then(|folder| {
            drawn(&given.job(&folder, args.threads), inside(args.only), out)
        });
    let bound = match bound {
        Ok(bound) => bound,
        Err(finding) => {
            out.refuse(&[*finding])?;
            return Ok(Outcome::Broken);
        }
    };
    if out.json {
        answer(&book_json(&bound, &given.findings))?;
    }
    for (id, why) in &bound.missing {
        out.say(&format!("{} is not in the book:\n", plain(id)))?;
        out.say(&report(why))?;
    }
    let Bound { file, pages, orders, .. } = &bound;
    out.tell(&format!("{orders} orders on {pages} pages: {folder}/{}\n", file.path))?;
    let rows = worst(&given.findings) == Some(Severity::Stop);
    Ok(match bound.status {
        Status::Error => Outcome::BadInput,
        _ if rows => Outcome::BadInput,
        Status::Stop => Outcome::SomeStopped,
        Status::Ok | Status::Warn => Outcome::AllWell,
    })
}

const fn inside(only: Option<Pages>) -> Inside {
    match only {
        Some(Pages::Proof) => Inside::Proofs,
        Some(Pages::Bench) => Inside::Bench,
        None => Inside::Both,
    }
}

fn drawn(
    job: &Job<'_>,
    inside: Inside,
    out: Output,
) -> Result<Bound, Box<treen::finding::Finding>> {
    let count = u64::try_from(job.orders.orders.len()).unwrap_or(0);
    let bar = if out.watched() { ProgressBar::new(count) } else { ProgressBar::hidden() };
    let bound = book(job, inside, &|more| bar.inc(u64::try_from(more).unwrap_or(0)));
    bar.finish_and_clear();
    bound
}
