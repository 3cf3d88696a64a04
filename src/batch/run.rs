//! Many orders side by side, collected in the order of the list.

use super::disk::{Folder, WrittenFile};
use super::examine::{Compared, Examined, compare, examine, specimen};
use super::library::{Library, Loaded};
use super::outcome::{Outcome, Status, SwapCard};
use crate::export::{Chapter, ExportFault, pdf, png, svg};
use crate::feasibility::Pins;
use crate::finding::{Code, Finding, Source, SourceFile};
use crate::model::{Order, OrderList, Shop};
use crate::sheet::{self, Sheet};
use rayon::prelude::*;
use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Stack of a worker, bytes: room for the deepest input that is let in.
const STACK: usize = 16 * 1024 * 1024;

/// A batch to run.
#[derive(Clone, Copy, Debug)]
pub struct Job<'a> {
    /// The names to make.
    pub orders: &'a OrderList,
    /// The shop they are made in.
    pub shop: &'a Shop,
    /// Cutters the maker insists on; they overrule the orders' and the shop's.
    pub pins: &'a Pins,
    /// Where recipes are found.
    pub library: &'a Library,
    /// Where files go.
    pub out: &'a Folder,
    /// Resolution of the PNG files, dots per inch.
    pub dpi: f64,
    /// Number of workers; 0 for as many as the machine has.
    pub threads: usize,
}

/// What became of a batch.
#[derive(Clone, Debug)]
pub struct Batch {
    /// One per order, in the order of the list.
    pub outcomes: Vec<Outcome>,
    /// One per recipe, in the order of first use.
    pub cards: Vec<SwapCard>,
}

impl Batch {
    /// The dishes that can be made, and the minutes they take one after the other, tool changes
    /// counted (estimated).
    pub fn machine_time(&self) -> (u32, f64) {
        let made = self.outcomes.iter().filter_map(|o| Some((o.quantity, o.minutes()?)));
        made.fold((0, 0.0), |(dishes, total), (quantity, minutes)| {
            (dishes + quantity, total + f64::from(quantity) * minutes)
        })
    }
}

impl Job<'_> {
    /// How many times `step` is called: once per order and once per recipe.
    pub fn steps(&self) -> usize {
        self.orders.orders.len() + self.orders.recipes().len()
    }
}

enum Task<'a> {
    Order(&'a Order),
    Card(&'a str),
}

enum Done {
    Order(Outcome),
    Card(SwapCard),
}

/// Makes every order's sheets and every recipe's swap card. An order that fails, even by a
/// panic, says so in its outcome and the others go on. `step` is called after each.
pub fn proof(job: &Job<'_>, step: &(dyn Fn() + Sync)) -> Batch {
    let recipes = job.library.load_for(job.orders);
    let orders = job.orders.orders.iter().map(Task::Order);
    let cards = job.orders.recipes().into_iter().map(Task::Card);
    let tasks: Vec<Task<'_>> = orders.chain(cards).collect();
    let results = side_by_side(&tasks, job.threads, |task| {
        let done = match task {
            Task::Order(order) => {
                let loaded = recipes.get(order.recipe.as_str()).and_then(Option::as_ref);
                Done::Order(outcome(job, order, loaded))
            }
            Task::Card(key) => {
                let loaded = recipes.get(key).and_then(Option::as_ref);
                Done::Card(card(job, key, loaded))
            }
        };
        step();
        done
    });
    let mut batch = Batch { outcomes: Vec::new(), cards: Vec::new() };
    for (task, result) in tasks.iter().zip(results) {
        match (result, task) {
            (Ok(Done::Order(outcome)), _) => batch.outcomes.push(outcome),
            (Ok(Done::Card(card)), _) => batch.cards.push(card),
            (Err(why), Task::Order(order)) => {
                batch.outcomes.push(broken(order, internal(&why, &order.source)));
            }
            (Err(why), Task::Card(key)) => {
                let place = Source::whole(&SourceFile::new(*key, ""));
                let findings = vec![internal(&why, &place)];
                batch.cards.push(SwapCard {
                    recipe: (*key).to_owned(),
                    files: Vec::new(),
                    findings,
                });
            }
        }
    }
    batch
}

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

fn broken(order: &Order, finding: Finding) -> Outcome {
    finished(order, Examined::failed(order, vec![finding]), Vec::new(), Status::Error)
}

/// One order from recipe to files.
fn outcome(job: &Job<'_>, order: &Order, loaded: Option<&Loaded>) -> Outcome {
    let Some(loaded) = loaded else { return broken(order, job.library.unknown(order)) };
    let Some(recipe) = &loaded.recipe else {
        let examined = Examined::failed(order, loaded.findings.clone());
        return finished(order, examined, Vec::new(), Status::Error);
    };
    let mut examined = examine(recipe, order, job.shop, job.pins);
    let Some((dish, report, plan)) = &examined.dish else {
        return finished(order, examined, Vec::new(), Status::Error);
    };
    let proof = vec![sheet::proof(dish, report, plan, job.shop)];
    let bench = sheet::bench(dish, report, plan, job.shop);
    let mut files = Vec::new();
    let written =
        [("proof", proof), ("bench", bench)].iter().try_for_each(|(what, pages)| {
            let name = format!("{}-{what}", order.id);
            files.extend(paged(job.out, &name, pages, job.dpi)?);
            Ok::<(), Box<Finding>>(())
        });
    let mut status = Status::of(&examined.findings);
    if let Err(finding) = written {
        examined.findings.push(*finding);
        status = Status::Error;
    }
    finished(order, examined, files, status)
}

fn finished(
    order: &Order,
    examined: Examined,
    files: Vec<WrittenFile>,
    status: Status,
) -> Outcome {
    let plan = examined.dish.as_ref().map(|(.., plan)| Box::new(plan.clone()));
    let cutters = plan.iter().flat_map(|plan| plan.operations.iter());
    let size = examined.dish.as_ref().map(|(dish, ..)| dish.size());
    Outcome {
        id: order.id.clone(),
        name: order.name.clone(),
        recipe: order.recipe.clone(),
        status,
        files,
        cutters: cutters.map(|cut| (cut.work.word(), cut.cutter.clone())).collect(),
        plan,
        size,
        quantity: order.quantity,
        findings: examined.findings,
    }
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
    let text = svg(page);
    let picture =
        png(&text, dpi).map_err(|fault| unwritten(&format!("{name}.png"), &fault))?;
    let drawing = out.write(&format!("{name}.svg"), text.as_bytes())?;
    Ok([drawing, out.write(&format!("{name}.png"), &picture)?])
}

/// The swap card of a recipe as it is, without an order's values.
fn card(job: &Job<'_>, key: &str, loaded: Option<&Loaded>) -> SwapCard {
    let mut card =
        SwapCard { recipe: key.to_owned(), files: Vec::new(), findings: Vec::new() };
    let Some(recipe) = loaded.and_then(|loaded| loaded.recipe.as_ref()) else {
        return card;
    };
    let order = specimen(recipe, Vec::new());
    let compared = compare(recipe, &order, job.shop, &Pins::default());
    match swap_files(&compared, job.shop, job.out, job.dpi) {
        Ok(files) => card.files = files,
        Err(finding) => card.findings.push(*finding),
    }
    card
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
