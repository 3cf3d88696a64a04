//! Everything that would make one cutter follow, or do without it.

use super::tune::{Tuned, tune};
use super::{Case, boundaries};
use crate::curve::{Origin, Point};
use crate::dish::Dish;
use crate::feasibility::{Swap, SwapRow};
use crate::finding::{Code, Finding, nearest, plain};
use crate::model::{Cutter, CutterKind, Shop};
use crate::reach::{Low, Softened, soften, soften_recess};

/// A boundary a cutter works on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Work {
    /// The outline, from outside.
    Outline,
    /// The recess of this number, from inside.
    Recess(usize),
}

/// Another cutter of the rack.
#[derive(Clone, Debug, PartialEq)]
pub struct Other {
    /// Its id.
    pub id: String,
    /// DC, mm.
    pub diameter: f64,
}

/// One cutter against one dish, with every way out.
#[derive(Clone, Debug)]
pub struct Mend {
    /// The recipe's key.
    pub recipe: String,
    /// The cutter's id.
    pub id: String,
    /// Its kind.
    pub kind: CutterKind,
    /// DC, mm.
    pub diameter: f64,
    /// The radius that counts, mm.
    pub radius: f64,
    /// `outline` or `recess`.
    pub job: &'static str,
    /// The tightest place; `None` where nothing limits a cutter.
    pub low: Option<Low>,
    /// It follows everything as drawn.
    pub follows: bool,
    /// Width of the dish now, mm.
    pub width: f64,
    /// The largest cutter of the rack that follows everything and is long enough.
    pub largest: Option<Other>,
    /// The width at which it would follow, everything scaled, mm; `None` where no size helps.
    pub smallest_width: Option<f64>,
    /// The inside fillet (or recess corner) that would do, mm; `None` where it would leave a
    /// waist the cutter cannot pass, or could not be made sure of.
    pub fillet: Option<f64>,
    /// The nearest edges it follows; empty where it follows as drawn or they could not be
    /// made sure of.
    pub softened: Vec<Softened>,
    /// What each parameter alone can do; empty where it follows as drawn.
    pub tuned: Vec<Tuned>,
}

impl Mend {
    /// The greatest departure of the softened edges, mm, and where.
    pub fn departure(&self) -> Option<(f64, Point)> {
        let all = self.softened.iter().map(|soft| (soft.departure, soft.at));
        all.max_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// Area the softened edges gain, mm²; negative where a recess loses it.
    pub fn area(&self) -> f64 {
        self.softened.iter().map(|soft| soft.area).sum()
    }
}

/// The ways out for one cutter of the rack; `swap` is what was found about the dish.
pub fn mend(
    case: &Case<'_>,
    dish: &Dish,
    swap: &Swap,
    id: &str,
) -> Result<Mend, Box<Finding>> {
    let Some(cutter) = case.shop.cutters.iter().find(|cutter| cutter.id() == id) else {
        return Err(Box::new(not_on_rack(case.shop, dish, id)));
    };
    let Some(row) = swap.rows.iter().find(|row| row.id == id) else {
        return Err(Box::new(no_work(cutter, dish)));
    };
    let softened = if row.follows { Vec::new() } else { all_softened(dish, cutter) };
    let fillet = !softened.is_empty() && softened.iter().all(|soft| soft.bridges == 0);
    let outline = cutter.kind().cuts_outlines();
    let radii = boundaries(dish, cutter).into_iter().map(|(_, c)| c);
    let needed = radii.fold(0.0, f64::max);
    Ok(Mend {
        recipe: swap.recipe.clone(),
        id: id.to_owned(),
        kind: row.kind,
        diameter: row.diameter,
        radius: row.radius,
        job: row.job.word(),
        low: if outline { swap.outside } else { swap.inside },
        follows: row.follows,
        width: swap.width,
        largest: largest(swap, row),
        smallest_width: row.smallest_width,
        fillet: fillet.then_some(needed),
        softened,
        tuned: if row.follows { Vec::new() } else { tune(case, cutter) },
    })
}

fn largest(swap: &Swap, row: &SwapRow) -> Option<Other> {
    let fit = |other: &&SwapRow| {
        other.job == row.job && other.follows && other.clearance.clears()
    };
    // Rows of a job come from large to small.
    let other = swap.rows.iter().find(fit)?;
    Some(Other { id: other.id.clone(), diameter: other.diameter })
}

/// All edges softened, or none where one of them could not be.
pub(super) fn all_softened(dish: &Dish, cutter: &Cutter) -> Vec<Softened> {
    let origin = Origin::default();
    let one = |(work, c): (Work, f64)| match work {
        Work::Outline => soften(&dish.outline, c, origin),
        Work::Recess(index) => {
            soften_recess(&dish.recesses.get(index)?.region, c, origin)
        }
    };
    boundaries(dish, cutter)
        .into_iter()
        .map(one)
        .collect::<Option<_>>()
        .unwrap_or_default()
}

fn not_on_rack(shop: &Shop, dish: &Dish, id: &str) -> Finding {
    let ids: Vec<&str> = shop.cutters.iter().map(Cutter::id).collect();
    let message = format!("there is no cutter `{}` on the rack", plain(id));
    let finding = Finding::stop(Code::CutterNotOnRack, message)
        .from(dish.source.clone())
        .expected(format!("one of {}", ids.join(", ")));
    match nearest(id, ids.iter().copied()) {
        Some(near) => finding.help(format!("did you mean `{near}`?")),
        None => finding.help("name one of these, or add the cutter to the shop file"),
    }
}

fn no_work(cutter: &Cutter, dish: &Dish) -> Finding {
    let why = if cutter.kind().carves_recesses() {
        "carves recesses, and this dish has none"
    } else {
        "neither cuts dishes out nor carves recesses"
    };
    let message = format!("{} {} {why}", cutter.kind().word(), cutter.id());
    Finding::stop(Code::CutterNotOnRack, message)
        .from(dish.source.clone())
        .expected("an end mill, a compression bit, a bowl bit or a ball nose")
        .help("name a cutter that `treen swap` lists for this dish")
}
