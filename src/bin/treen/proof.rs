//! `treen proof`: a proof sheet and a bench sheet for every order.

use crate::Outcome;
use crate::args::ProofArgs;
use crate::events::Events;
use crate::inputs::given;
use crate::output::{Output, answer};
use crate::table::table;
use etcetera::{BaseStrategy, choose_base_strategy};
use indicatif::{ProgressBar, ProgressStyle};
use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};
use treen::batch::{
    Batch, Before, Event, Folder, Job, Status, page_json, proof, watch_list,
};
use treen::finding::{Finding, Severity, plain, report, short, worst as graver};
use treen::model::Order;
use treen::page::Page;

pub(crate) fn run(args: &ProofArgs, out: Output) -> io::Result<Outcome> {
    let page = match args.page.map(|port| Page::open(&folder(args), port)).transpose() {
        Ok(page) => page,
        Err(finding) => {
            Events::new(out, None).refused(&[*finding])?;
            return Ok(Outcome::Broken);
        }
    };
    if let Some(page) = &page {
        answer(&page_line(page, out))?;
    }
    let ended = match args.orders.as_deref().filter(|_| args.watch) {
        None => once(args, page.as_ref(), out)?,
        Some(list) => watched(list, args, page.as_ref(), out)?,
    };
    if page.is_some() {
        out.tell("the page stays open until Ctrl-C\n")?;
        loop {
            std::thread::park();
        }
    }
    Ok(ended)
}

/// Where the page is found; whoever asks for little asked for the page all the same.
fn page_line(page: &Page, out: Output) -> String {
    if out.json { page_json(&page.url()) } else { format!("page: {}\n", page.url()) }
}

/// The folder to write to: that of a part lies in it.
fn folder(args: &ProofArgs) -> PathBuf {
    args.part.map_or_else(|| args.out.clone(), |it| args.out.join(it.folder()))
}

/// Makes the sheets now and whenever something they are made from is saved. What cannot be
/// read leaves the sheets as they are, and says why.
fn watched(
    list: &Path,
    args: &ProofArgs,
    page: Option<&Page>,
    out: Output,
) -> io::Result<Outcome> {
    let mut ended = Ok(Outcome::AllWell);
    let written: Vec<&Path> =
        [Some(args.out.as_path()), args.log.as_deref()].into_iter().flatten().collect();
    let watching = watch_list(list, args.shop.as_deref(), &written, &mut || {
        ended = once(args, page, out);
        ended.is_ok()
    });
    match watching {
        Ok(()) => ended,
        Err(finding) => {
            Events::new(out, page).refused(&[*finding])?;
            Ok(Outcome::Broken)
        }
    }
}

fn once(args: &ProofArgs, page: Option<&Page>, out: Output) -> io::Result<Outcome> {
    let events = Events::new(out, page);
    let refused = |findings: &[Finding], outcome| {
        events.refused(findings)?;
        Ok(outcome)
    };
    if let Err(finding) = args.log.as_deref().map_or(Ok(()), |path| events.open(path)) {
        return refused(&[*finding], Outcome::Broken);
    }
    let given = given(args.orders.as_deref(), args.shop.as_deref(), &args.pins);
    let given = match given {
        Ok(given) => given,
        Err(findings) => return refused(&findings, Outcome::BadInput),
    };
    out.findings(&given.findings)?;
    let spoiled = graver(&given.findings) == Some(Severity::Stop);
    if spoiled && args.tidy {
        out.say("nothing is removed as long as a row of the list cannot be read\n")?;
    }
    let path = folder(args);
    let out_folder = match Folder::create(&path, &|| waiting(&path, out)) {
        Ok(folder) => match cache() {
            Some(cache) => folder.remembered(&cache),
            None => folder,
        },
        Err(finding) => return refused(&[*finding], Outcome::Broken),
    };
    let job = Job {
        dpi: args.dpi.map(f64::from),
        // A row that cannot be read may be an order whose sheets are to stay.
        earlier: Before { fresh: args.fresh, tidy: args.tidy && !spoiled },
        part: args.part,
        ..given.job(&out_folder, args.threads)
    };
    let batch = match with_progress(&job, &events, out) {
        Ok(batch) => batch,
        Err(finding) => return refused(&[*finding], Outcome::Broken),
    };
    remarks(&batch, out)?;
    summary(&batch, &job, out)?;
    events.told()?;
    let rows = if spoiled { Outcome::BadInput } else { Outcome::AllWell };
    Ok(worst(&batch).max(rows))
}

/// The folder for what may be lost (XDG Base Directory Specification), if there is one.
fn cache() -> Option<PathBuf> {
    choose_base_strategy().ok().map(|folders| folders.cache_dir().join("treen"))
}

/// Says that another run has a folder.
pub(crate) fn waiting(path: &Path, out: Output) {
    let folder = plain(&path.display().to_string());
    // Whoever does not hear it waits all the same.
    let _ = out.say(&format!("another run writes to {folder}: waiting for its end\n"));
}

fn with_progress<'a>(
    job: &Job<'a>,
    events: &Events<'_>,
    out: Output,
) -> Result<Batch<'a>, Box<Finding>> {
    let count = u64::try_from(job.steps()).unwrap_or(0);
    let bar = if out.watched() { ProgressBar::new(count) } else { ProgressBar::hidden() };
    let style =
        ProgressStyle::with_template("{bar:40} {pos} of {len}, {per_sec}, {eta} left");
    bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
    events.started(job);
    let batch = proof(job, &|subject, event| {
        events.note(subject, event);
        if matches!(event, Event::Kept(_) | Event::Ended(_)) {
            bar.inc(1);
        }
    });
    bar.finish_and_clear();
    if let Ok(batch) = &batch {
        events.finished(batch);
    }
    batch
}

/// Errors in full, what else must be looked at in a line each. What several dishes share is
/// said once.
fn remarks(batch: &Batch<'_>, out: Output) -> io::Result<()> {
    let mut said: BTreeSet<String> = BTreeSet::new();
    for outcome in &batch.outcomes {
        let fresh: Vec<Finding> = outcome
            .findings
            .iter()
            .filter(|finding| finding.severity > Severity::Note)
            .filter(|finding| !said.contains(&short(finding)))
            .cloned()
            .collect();
        said.extend(outcome.findings.iter().map(short));
        if fresh.is_empty() {
            continue;
        }
        let Order { id, name, recipe, .. } = outcome.order;
        out.say(&format!("{id} ({}, {recipe})\n", plain(name)))?;
        if outcome.status == Status::Error {
            out.say(&report(&fresh))?;
        } else {
            for finding in &fresh {
                out.say(&format!("  {}\n", short(finding)))?;
            }
        }
    }
    let cards: Vec<Finding> =
        batch.cards.iter().flat_map(|card| card.findings.clone()).collect();
    out.findings(&cards)
}

fn summary(batch: &Batch<'_>, job: &Job<'_>, out: Output) -> io::Result<()> {
    if !out.tells() {
        return Ok(());
    }
    let head = ["order", "name", "recipe", "wood", "size", "cut out with", "status"];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for outcome in &batch.outcomes {
        let order = outcome.order;
        let wood = job.shop.wood_for(order).unwrap_or_default();
        let size =
            outcome.size.map(|(width, height)| format!("{width:.0} x {height:.0} mm"));
        let cutter = outcome.cut_out.as_deref();
        rows.push(vec![
            order.id.clone(),
            plain(&order.name),
            plain(&order.recipe),
            plain(wood),
            size.unwrap_or_else(|| "-".to_owned()),
            cutter.unwrap_or("-").to_owned(),
            outcome.status.word().to_owned(),
        ]);
    }
    out.tell(&table(&rows))?;
    let sheets: usize = batch.outcomes.iter().map(|outcome| outcome.files).sum();
    let cards: usize = batch.cards.iter().map(|card| card.files).sum();
    let folder = plain(&job.out.path().display().to_string());
    out.tell(&format!(
        "\n{} orders: {sheets} sheet files, {cards} swap card files and manifest.json in \
         {folder}\n",
        batch.outcomes.len()
    ))?;
    out.tell(&earlier(batch))?;
    out.tell(&machine_time(batch))?;
    let stopped = batch.outcomes.iter().any(|outcome| outcome.status >= Status::Stop);
    if stopped {
        out.tell("`treen check` says how to mend what stands in the way.\n")?;
    }
    Ok(())
}

/// What was taken over from earlier runs, and what is left of them.
fn earlier(batch: &Batch<'_>) -> String {
    let kept = match batch.kept {
        0 => String::new(),
        kept => format!("{kept} of the orders were there already, made from the same\n"),
    };
    let gone = listed(&batch.gone, "that no order had any more were removed");
    [kept, gone, former(&batch.former)].concat()
}

/// Files of earlier runs that no order has now.
pub(crate) fn former(files: &[String]) -> String {
    listed(files, "are of no order any more (`--tidy` removes those off the list)")
}

fn listed(files: &[String], said: &str) -> String {
    if files.is_empty() {
        return String::new();
    }
    let lines = files.iter().map(|path| format!("  {}", plain(path)));
    let lines: Vec<String> = lines.collect();
    format!("{} files {said}:\n{}\n", files.len(), lines.join("\n"))
}

/// What the dishes that can be made take at the machine.
fn machine_time(batch: &Batch<'_>) -> String {
    let (dishes, total) = batch.machine_time();
    let each = || batch.outcomes.iter().filter_map(treen::batch::Outcome::minutes);
    let (least, most) =
        (each().fold(f64::INFINITY, f64::min), each().fold(0.0, f64::max));
    let (low, high) = (format!("{least:.0}"), format!("{most:.0}"));
    match dishes {
        0 => String::new(),
        1 => format!(
            "1 dish takes about {total:.0} min at the machine, tool changes counted (estimated)\n"
        ),
        _ => {
            let span = if low == high { low } else { format!("{low} to {high}") };
            format!(
                "{dishes} dishes take about {total:.0} min at the machine, {span} min each, tool \
                 changes counted (estimated)\n"
            )
        }
    }
}

/// The worst of the batch. An order with an input that cannot be read is bad input; a panic
/// or a file that cannot be written is worse.
fn worst(batch: &Batch<'_>) -> Outcome {
    let broke = |finding: &Finding| finding.code.broke();
    let cards = batch.cards.iter().any(|card| card.findings.iter().any(broke));
    let ended = |outcome: &treen::batch::Outcome<'_>| match outcome.status {
        Status::Ok | Status::Warn => Outcome::AllWell,
        Status::Stop => Outcome::SomeStopped,
        Status::Error if outcome.findings.iter().any(broke) => Outcome::Broken,
        Status::Error => Outcome::BadInput,
    };
    let orders = batch.outcomes.iter().map(ended).max().unwrap_or(Outcome::AllWell);
    if cards { Outcome::Broken } else { orders }
}
