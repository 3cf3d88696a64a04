//! One order or one recipe from model to files; many pieces of work side by side.

use super::disk::{Folder, WrittenFile};
use super::examine::{Compared, Examined, compare, examine, specimen};
use super::files::Used;
use super::job::Job;
use super::library::Loaded;
use super::outcome::{Outcome, Status, SwapCard};
use super::planned::planned;
use super::record::Record;
use super::row::{Facts, Made, of_card, of_order};
use crate::dish::Dish;
use crate::export::{Chapter, ExportFault, pdf, png, svg, turn};
use crate::feasibility::Pins;
use crate::finding::{Code, Finding, Source, SourceFile};
use crate::model::{Order, Recipe, Shop};
use crate::sheet::{self, Sheet};
use rayon::prelude::*;
use std::any::Any;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Stack of a worker, bytes: room for the deepest input that is let in.
const STACK: usize = 16 * 1024 * 1024;

/// Runs the same work on every item on so many threads (0: as many as the machine has) and
/// gives the results in the order of the items. A panic in one becomes its message and
/// leaves the others alone.
pub fn side_by_side<I: Sync, T: Send>(
    items: &[I],
    threads: usize,
    work: impl Fn(&I) -> T + Sync,
) -> Vec<Result<T, String>> {
    let guarded = |item: &I| {
        catch_unwind(AssertUnwindSafe(|| work(item))).map_err(|panic| message(&*panic))
    };
    let threads = threads.min(items.len().max(1));
    let builder = rayon::ThreadPoolBuilder::new().num_threads(threads).stack_size(STACK);
    match builder.build() {
        Ok(pool) => pool.install(|| items.par_iter().map(guarded).collect()),
        // Without threads the work is done here, one after the other.
        Err(_) => items.iter().map(guarded).collect(),
    }
}

fn message(panic: &(dyn Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| panic.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no reason given".to_owned())
}

pub(super) fn internal(why: &str, place: &Source) -> Finding {
    Finding::stop(Code::Internal, format!("something that should not happen did: {why}"))
        .from(place.clone())
        .help("the other dishes are not affected; please report it with this recipe")
}

/// An order that could not be done.
pub(super) fn broken(
    order: &Order,
    key: Option<&str>,
    finding: Finding,
) -> Made<Outcome> {
    let failed = Examined::failed(order, vec![finding]);
    finished(order, failed, key, Drawn::nothing())
}

/// The sheets of an order.
struct Drawn {
    files: Vec<WrittenFile>,
    status: Status,
    /// The mark of its proof.
    version: Option<String>,
}

impl Drawn {
    fn nothing() -> Self {
        Self { files: Vec::new(), status: Status::Error, version: None }
    }
}

/// One order from recipe to files.
pub(super) fn outcome(
    job: &Job<'_>,
    record: &Record<'_>,
    order: &Order,
    loaded: Option<&Loaded>,
    key: Option<&str>,
) -> Made<Outcome> {
    let Some(loaded) = loaded else {
        return broken(order, key, job.library.unknown(order));
    };
    let Some(recipe) = &loaded.recipe else {
        let examined = Examined::failed(order, loaded.findings.clone());
        return finished(order, examined, key, Drawn::nothing());
    };
    let mut examined = examine(recipe, order, job.shop, job.pins);
    let Some((dish, report, plan)) = &examined.dish else {
        return finished(order, examined, key, Drawn::nothing());
    };
    let proof = sheet::proof(dish, report, plan, job.shop);
    let version = proof.version.clone();
    let bench = sheet::bench(dish, report, plan, job.shop);
    let mut files = Vec::new();
    let sheets = [("proof", std::slice::from_ref(&proof)), ("bench", &bench)];
    let written = record.begin().and_then(|()| {
        for (what, pages) in sheets {
            let name = format!("{}-{what}", order.id);
            files.extend(paged(job.out, &name, pages, job.dpi)?);
        }
        files.extend(turned(job, dish, &proof)?);
        Ok(())
    });
    let mut status = Status::of(&examined.findings);
    let mut key = key;
    if let Err(finding) = written {
        examined.findings.push(*finding);
        (status, key) = (Status::Error, None);
    }
    finished(order, examined, key, Drawn { files, status, version })
}

fn finished(
    order: &Order,
    examined: Examined,
    key: Option<&str>,
    Drawn { files, status, version }: Drawn,
) -> Made<Outcome> {
    let plan = examined.dish.as_ref().map(|(.., plan)| plan);
    let mut cutters: BTreeMap<String, String> = BTreeMap::new();
    for cut in plan.iter().flat_map(|plan| plan.operations.iter()) {
        let ids = cutters.entry(cut.work.word().to_owned()).or_default();
        ids.push_str(if ids.is_empty() { "" } else { ", " });
        ids.push_str(&cut.cutter);
    }
    let near = |mm: f64| (mm * 1000.0).round() / 1000.0;
    let size = examined.dish.as_ref().map(|(dish, ..)| dish.size());
    let facts = Facts { key, used: &examined.used, plan: plan.map(planned), files };
    let outcome = Outcome {
        id: order.id.clone(),
        name: order.name.clone(),
        recipe: order.recipe.clone(),
        status,
        files: facts.files.len(),
        cutters,
        minutes: plan.map(|plan| near(plan.minutes())),
        size: size.map(|(width, height)| (near(width), near(height))),
        quantity: order.quantity,
        version,
        findings: examined.findings,
    };
    of_order(outcome, order, facts)
}

/// Pages as SVG and PNG each, the second one on with its number, and as one PDF.
fn paged(
    out: &Folder,
    name: &str,
    pages: &[Sheet],
    dpi: f64,
) -> Result<Vec<WrittenFile>, Box<Finding>> {
    let mut files = Vec::new();
    for (number, page) in (1..).zip(pages) {
        let number = if number > 1 { format!("-{number}") } else { String::new() };
        files.extend(written(out, &format!("{name}{number}"), page, dpi)?);
    }
    let title = pages.first().map(|page| page.title.as_str()).unwrap_or_default();
    let bound = pdf(title, &[Chapter { title, pages }]);
    let bound = bound.map_err(|fault| unwritten(&format!("{name}.pdf"), &fault))?;
    files.push(out.write(&format!("{name}.pdf"), &bound)?);
    Ok(files)
}

/// The dish to be turned on a screen, where its proof shows it painted.
fn turned(
    job: &Job<'_>,
    dish: &Dish,
    proof: &Sheet,
) -> Result<Option<WrittenFile>, Box<Finding>> {
    let Some(turning) = sheet::turning(dish, proof, job.shop) else {
        return Ok(None);
    };
    let name = format!("{}-proof.html", dish.id);
    let page = turn(&turning).map_err(|fault| unwritten(&name, &fault))?;
    job.out.write(&name, page.as_bytes()).map(Some)
}

fn unwritten(file: &str, fault: &ExportFault) -> Box<Finding> {
    let place = Source::whole(&SourceFile::new(file, ""));
    Box::new(Finding::stop(Code::Internal, fault.to_string()).from(place))
}

/// A page as SVG and PNG.
pub(super) fn written(
    out: &Folder,
    name: &str,
    page: &Sheet,
    dpi: f64,
) -> Result<[WrittenFile; 2], Box<Finding>> {
    let text = svg(page).map_err(|fault| unwritten(&format!("{name}.svg"), &fault))?;
    let picture =
        png(page, dpi).map_err(|fault| unwritten(&format!("{name}.png"), &fault))?;
    let drawing = out.write(&format!("{name}.svg"), text.as_bytes())?;
    Ok([drawing, out.write(&format!("{name}.png"), &picture)?])
}

/// The swap card of a recipe as it is, without an order's values.
pub(super) fn card(
    job: &Job<'_>,
    record: &Record<'_>,
    recipe: &Recipe,
    key: Option<&str>,
) -> Made<SwapCard> {
    let order = specimen(recipe, Vec::new());
    let compared = compare(recipe, &order, job.shop, &Pins::default());
    let written =
        record.begin().and_then(|()| swap_files(&compared, job.shop, job.out, job.dpi));
    let (files, findings) = match written {
        Ok(files) => (files, Vec::new()),
        Err(finding) => (Vec::new(), vec![*finding]),
    };
    let card = SwapCard { recipe: recipe.key.clone(), files: files.len(), findings };
    of_card(card, key, files, &compared.used)
}

/// A recipe that has no swap card, and perhaps why.
pub(super) fn no_card(key: &str, findings: Vec<Finding>) -> Made<SwapCard> {
    let card = SwapCard { recipe: key.to_owned(), files: 0, findings };
    of_card(card, None, Vec::new(), &Used::new())
}

/// Writes the swap card of a dish; nothing for one that cannot be drawn.
pub fn swap_files(
    compared: &Compared,
    shop: &Shop,
    out: &Folder,
    dpi: f64,
) -> Result<Vec<WrittenFile>, Box<Finding>> {
    let Some((dish, report)) = &compared.dish else { return Ok(Vec::new()) };
    let page = sheet::swap_card(&report.swap, dish, shop);
    written(out, &format!("swap-{}", compared.recipe), &page, dpi).map(Vec::from)
}
