//! All pages of an order list in one file.

use super::approval::held;
use super::disk::WrittenFile;
use super::examine::examine;
use super::forms::{findings, text};
use super::job::Job;
use super::outcome::Status;
use super::run::{internal, side_by_side, unwritten};
use crate::export::{Binder, Chapter, printed};
use crate::finding::Finding;
use crate::model::Order;
use crate::sheet::{self, Mark, Sheet};
use serde_json::json;

/// So many orders are drawn before their pages are bound and forgotten.
const AT_ONCE: usize = 16;

/// What a book is called.
const NAME: &str = "book.pdf";

/// Which pages of each order go into a book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Inside {
    /// What customers see.
    Proofs,
    /// What the maker works from.
    Bench,
    /// Both, the proof first.
    Both,
}

/// A book that was written.
#[derive(Clone, Debug)]
pub struct Bound {
    /// Its file.
    pub file: WrittenFile,
    /// How many pages it has.
    pub pages: usize,
    /// Orders in it.
    pub orders: usize,
    /// Ids of orders that could not be drawn, with why.
    pub missing: Vec<(String, Vec<Finding>)>,
    /// The worst of all orders.
    pub status: Status,
}

/// The answer of `treen book`; `said` is what was found in the list and the shop.
pub fn book_json(bound: &Bound, said: &[Finding]) -> String {
    let missing = bound.missing.iter();
    let missing: Vec<_> =
        missing.map(|(id, why)| json!({ "id": id, "findings": findings(why) })).collect();
    text(&json!({
        "file": { "path": bound.file.path, "sha256": bound.file.sha256 },
        "pages": bound.pages,
        "orders": bound.orders,
        "missing": missing,
        "findings": findings(said),
    }))
}

/// One order's chapter: its bookmark, pages, status; findings where there are no pages.
type Drawn = Result<(String, Vec<Sheet>, Status), Vec<Finding>>;

/// Binds the pages of every order, in the order of the list, with a bookmark for each. `told`
/// hears how many more orders are done.
pub fn book(
    job: &Job<'_>,
    inside: Inside,
    told: &dyn Fn(usize),
) -> Result<Bound, Box<Finding>> {
    let recipes = job.library.load_for(job.orders);
    let mut binder = Binder::new("Proofs and bench sheets", true);
    let (mut missing, mut orders, mut status) = (Vec::new(), 0, Status::Ok);
    for some in job.orders.orders.chunks(AT_ONCE) {
        let drawn = side_by_side(some, job.threads, |order| {
            let loaded = recipes.loaded(&order.recipe);
            match loaded {
                Some(loaded) => match &loaded.recipe {
                    Some(recipe) => chapter(job, inside, (recipe, order)),
                    None => Err(loaded.findings.clone()),
                },
                None => Err(vec![job.library.unknown(order)]),
            }
        });
        for (order, result) in some.iter().zip(drawn) {
            let result =
                result.unwrap_or_else(|why| Err(vec![internal(&why, &order.source)]));
            match result {
                Ok((title, pages, ended)) => {
                    binder
                        .add(&Chapter { title: &title, pages: &pages })
                        .map_err(|fault| unwritten(NAME, &fault))?;
                    status = status.max(ended);
                    orders += 1;
                }
                Err(findings) => {
                    missing.push((order.id.clone(), findings));
                    status = Status::Error;
                }
            }
        }
        told(some.len());
    }
    let pages = binder.pages();
    let bytes = binder.finish().map_err(|fault| unwritten(NAME, &fault))?;
    Ok(Bound { file: job.out.write(NAME, &bytes)?, pages, orders, missing, status })
}

fn chapter(
    job: &Job<'_>,
    inside: Inside,
    (recipe, order): (&crate::model::Recipe, &Order),
) -> Drawn {
    let mut examined = examine(recipe, order, job.shop, job.pins);
    held(&mut examined, order, job.approvals.of(&order.id), job.shop);
    let Some((dish, report, plan)) = &examined.dish else {
        return Err(examined.findings);
    };
    let mut pages = Vec::new();
    if inside != Inside::Bench {
        pages.push(sheet::proof(dish, report, plan, job.shop));
    }
    if inside != Inside::Proofs {
        pages.extend(sheet::bench(dish, report, plan, job.shop));
    }
    // Painted here, where others paint beside it.
    for mark in pages.iter().flat_map(|page| &page.layers).flat_map(|layer| &layer.marks)
    {
        if let Mark::Picture(picture) = mark {
            printed(picture).map_err(|fault| vec![*unwritten(NAME, &fault)])?;
        }
    }
    let title = format!("{}: {}, {}", order.id, order.name, dish.title);
    Ok((title, pages, Status::of(&examined.findings)))
}
