//! One order or one recipe from model to files; many pieces of work side by side.

use super::approval::{approval_json, held};
use super::digest::Digest;
use super::disk::{Folder, WrittenFile};
use super::event::Stage;
use super::examine::{Compared, Examined, compare, examine, specimen};
use super::files::Used;
use super::job::Job;
use super::library::Loaded;
use super::outcome::{Outcome, Status, SwapCard};
use super::planned::planned;
use super::record::Record;
use super::row::{Facts, Made, of_card, of_order};
use crate::dish::Dish;
use crate::export::{Chapter, ExportFault, pdf, png, svg, template_svg, turn};
use crate::feasibility::Pins;
use crate::finding::{Code, Finding, Source, SourceFile};
use crate::model::{Approval, Order, Recipe, Shop, Work};
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
    key: Option<Digest>,
    finding: Finding,
) -> Made<Outcome<'_>> {
    let failed = Examined::failed(order, vec![finding]);
    finished(order, failed, key, Drawn::nothing(None))
}

/// The sheets of an order.
struct Drawn<'a> {
    files: Vec<WrittenFile>,
    /// What its customer said.
    said: Option<&'a Approval>,
    status: Status,
    /// The mark of its proof.
    version: Option<String>,
}

impl<'a> Drawn<'a> {
    fn nothing(said: Option<&'a Approval>) -> Self {
        Self { files: Vec::new(), said, status: Status::Error, version: None }
    }
}

/// What the work is done for, and who is told of its stages.
pub(super) struct Bench<'a> {
    pub(super) job: &'a Job<'a>,
    pub(super) record: &'a Record<'a>,
    pub(super) passed: &'a dyn Fn(Stage),
}

impl Bench<'_> {
    /// How its pages are written.
    fn form(&self) -> Form<'_> {
        let Self { job, passed, .. } = self;
        Form { out: job.out, dpi: job.dpi.unwrap_or(DPI), passed }
    }
}

/// One order from recipe to files.
pub(super) fn outcome<'a>(
    bench: &Bench<'_>,
    order: &'a Order,
    loaded: Option<&Loaded>,
    key: Option<Digest>,
) -> Made<Outcome<'a>> {
    let Bench { job, record, passed } = bench;
    let said = job.approvals.of(&order.id);
    let Some(loaded) = loaded else {
        return broken(order, key, job.library.unknown(order));
    };
    let Some(recipe) = &loaded.recipe else {
        let examined = Examined::failed(order, loaded.findings.clone());
        return finished(order, examined, key, Drawn::nothing(said));
    };
    let mut examined = examine(recipe, order, job.shop, job.pins);
    held(&mut examined, order, said, job.shop);
    passed(Stage::Examined);
    let Some((dish, report, plan)) = &examined.dish else {
        return finished(order, examined, key, Drawn::nothing(said));
    };
    let mut proof = sheet::proof(dish, report, plan, job.shop);
    if let Some(dpi) = job.dpi {
        proof.print_at(dpi);
    }
    let version = proof.version.clone();
    let pages = sheet::bench(dish, report, plan, job.shop);
    let form = bench.form();
    passed(Stage::Laid);
    let mut files = Vec::new();
    let sheets = [("proof", std::slice::from_ref(&proof)), ("bench", &pages)];
    let written = record.begin().and_then(|()| {
        for (what, pages) in sheets {
            let name = format!("{}-{what}", order.id);
            files.extend(paged(&form, &name, pages)?);
        }
        files.extend(turned(job, dish, &proof)?);
        passed(Stage::Turned);
        let drawing = template_svg(&sheet::template(dish));
        passed(Stage::Svg);
        let name = format!("{}-cutting.svg", order.id);
        files.push(job.out.write(&name, drawing.as_bytes())?);
        passed(Stage::Stored);
        Ok(())
    });
    let mut status = Status::of(&examined.findings);
    let mut key = key;
    if let Err(finding) = written {
        examined.findings.push(*finding);
        (status, key) = (Status::Error, None);
    }
    finished(order, examined, key, Drawn { files, said, status, version })
}

fn finished<'a>(
    order: &'a Order,
    examined: Examined,
    key: Option<Digest>,
    Drawn { files, said, status, version }: Drawn<'_>,
) -> Made<Outcome<'a>> {
    let plan = examined.dish.as_ref().map(|(.., plan)| plan);
    let mut cutters: BTreeMap<&'static str, String> = BTreeMap::new();
    for cut in plan.iter().flat_map(|plan| plan.operations.iter()) {
        let ids = cutters.entry(cut.work.word()).or_default();
        ids.push_str(if ids.is_empty() { "" } else { ", " });
        ids.push_str(&cut.cutter);
    }
    let near = |mm: f64| (mm * 1000.0).round() / 1000.0;
    let size = examined.dish.as_ref().map(|(dish, ..)| dish.size());
    let facts = Facts {
        key,
        used: &examined.used,
        plan: plan.map(planned),
        cutters: &cutters,
        version: version.as_deref(),
        files,
        approval: approval_json(said),
    };
    let outcome = Outcome {
        order,
        status,
        files: facts.files.len(),
        cut_out: cutters.get(Work::CutOut.word()).map(|ids| ids.as_str().into()),
        minutes: plan.map(|plan| near(plan.minutes())),
        size: size.map(|(width, height)| (near(width), near(height))),
        findings: Box::default(),
    };
    of_order(outcome, examined.findings, facts)
}

/// Pages as SVG and PNG each, the second one on with its number, and as one PDF.
fn paged(
    form: &Form<'_>,
    name: &str,
    pages: &[Sheet],
) -> Result<Vec<WrittenFile>, Box<Finding>> {
    let mut files = Vec::new();
    for (number, page) in (1..).zip(pages) {
        let number = if number > 1 { format!("-{number}") } else { String::new() };
        files.extend(written(form, &format!("{name}{number}"), page)?);
    }
    let title = pages.first().map(|page| page.title.as_str()).unwrap_or_default();
    let bound = pdf(title, &[Chapter { title, pages }]);
    let bound = bound.map_err(|fault| unwritten(&format!("{name}.pdf"), &fault))?;
    (form.passed)(Stage::Pdf);
    files.push(form.out.write(&format!("{name}.pdf"), &bound)?);
    (form.passed)(Stage::Stored);
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

pub(super) fn unwritten(file: &str, fault: &ExportFault) -> Box<Finding> {
    let place = Source::whole(&SourceFile::new(file, ""));
    Box::new(Finding::stop(Code::Internal, fault.to_string()).from(place))
}

/// Usual resolution of PNG files, dots per inch.
pub(super) const DPI: f64 = 150.0;

/// How pages are written, and who is told of the stages.
pub(super) struct Form<'a> {
    pub(super) out: &'a Folder,
    pub(super) dpi: f64,
    pub(super) passed: &'a dyn Fn(Stage),
}

/// A page as SVG and PNG.
pub(super) fn written(
    form: &Form<'_>,
    name: &str,
    page: &Sheet,
) -> Result<[WrittenFile; 2], Box<Finding>> {
    let text = svg(page).map_err(|fault| unwritten(&format!("{name}.svg"), &fault))?;
    (form.passed)(Stage::Svg);
    let picture =
        png(page, form.dpi).map_err(|fault| unwritten(&format!("{name}.png"), &fault))?;
    (form.passed)(Stage::Png);
    let drawing = form.out.write(&format!("{name}.svg"), text.as_bytes())?;
    let picture = form.out.write(&format!("{name}.png"), &picture)?;
    (form.passed)(Stage::Stored);
    Ok([drawing, picture])
}

/// The swap card of a recipe as it is, without an order's values.
pub(super) fn card<'a>(
    bench: &Bench<'_>,
    name: &'a str,
    recipe: &Recipe,
    key: Option<Digest>,
) -> Made<SwapCard<'a>> {
    let Bench { job, record, passed } = bench;
    let order = specimen(recipe, Vec::new());
    let compared = compare(recipe, &order, job.shop, &Pins::default());
    passed(Stage::Examined);
    let write = || swap_pages(&compared, job.shop, &bench.form());
    let written = record.begin().and_then(|()| write());
    let (files, findings) = match written {
        Ok(files) => (files, Vec::new()),
        Err(finding) => (Vec::new(), vec![*finding]),
    };
    let card = SwapCard { recipe: name, files: files.len(), findings };
    of_card(card, key, files, &compared.used)
}

/// A recipe that has no swap card, and perhaps why.
pub(super) fn no_card(name: &str, findings: Vec<Finding>) -> Made<SwapCard<'_>> {
    let card = SwapCard { recipe: name, files: 0, findings };
    of_card(card, None, Vec::new(), &Used::new())
}

/// Writes the swap card of a dish; nothing for one that cannot be drawn.
pub fn swap_files(
    compared: &Compared,
    shop: &Shop,
    out: &Folder,
) -> Result<Vec<WrittenFile>, Box<Finding>> {
    swap_pages(compared, shop, &Form { out, dpi: DPI, passed: &|_| () })
}

fn swap_pages(
    compared: &Compared,
    shop: &Shop,
    form: &Form<'_>,
) -> Result<Vec<WrittenFile>, Box<Finding>> {
    let Some((dish, report)) = &compared.dish else { return Ok(Vec::new()) };
    let page = sheet::swap_card(&report.swap, dish, shop);
    (form.passed)(Stage::Laid);
    written(form, &format!("swap-{}", compared.recipe), &page).map(Vec::from)
}
