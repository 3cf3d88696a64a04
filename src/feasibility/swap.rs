//! The swap table: one dish against every cutter of the rack, in one pass.

use super::clearance::{Clearance, clearance};
use super::{LARGEST_DISC, follows, outside};
use crate::dish::Dish;
use crate::model::{Cutter, CutterKind, Shop};
use crate::reach::{Leftover, Low, Profile};

/// The boundary a row of the swap table is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Job {
    /// Cutting the dish out along its outline.
    Outline,
    /// Carving the recess.
    Recess,
}

impl Job {
    /// As printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Outline => "outline",
            Self::Recess => "recess",
        }
    }
}

/// The same dish against every cutter of the rack.
#[derive(Clone, Debug)]
pub struct Swap {
    /// The recipe's key.
    pub recipe: String,
    /// Width of the dish, mm.
    pub width: f64,
    /// The outline's reach from outside; `None` when nothing limits it.
    pub outside: Option<Low>,
    /// The reach from inside of the narrowest recess.
    pub inside: Option<Low>,
    /// Which recess that is.
    pub narrowest: usize,
    /// Outline cutters, then recess cutters, each from large to small.
    pub rows: Vec<SwapRow>,
}

/// One cutter against one boundary.
#[derive(Clone, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is printed as a word of its own")]
pub struct SwapRow {
    /// The cutter's id.
    pub id: String,
    /// Its kind.
    pub kind: CutterKind,
    /// DC, mm.
    pub diameter: f64,
    /// The radius that counts: DC/2, or less where a recess is shallower than the corner
    /// radius; mm.
    pub radius: f64,
    /// What it would do.
    pub job: Job,
    /// It follows everything.
    pub follows: bool,
    /// It follows, but by less than the tolerance.
    pub tie: bool,
    /// What it leaves, deepest first.
    pub leftovers: Vec<Leftover>,
    /// The width of the dish at which it would follow everything, mm; `None` where no size
    /// helps (a sharp corner).
    pub smallest_width: Option<f64>,
    /// The deepest leftover is within the sanding allowance (also true when it follows).
    pub sandable: bool,
    /// Whether the tool is long enough.
    pub clearance: Clearance,
    /// Index of the cutter on the rack.
    pub cutter: usize,
    /// The leftovers could not be told apart: nothing is claimed beyond `follows`.
    pub unsure: bool,
}

impl SwapRow {
    /// It can do the job: it follows, or leaves no more than is sanded away, and it is long
    /// enough as far as the shop tells.
    pub fn usable(&self) -> bool {
        self.sandable && self.clearance.clears()
    }

    /// Area of all leftovers, mm².
    pub fn area_left(&self) -> f64 {
        self.leftovers.iter().map(|l| l.area).sum()
    }

    /// Depth of the deepest leftover, mm.
    pub fn deepest(&self) -> f64 {
        self.leftovers.first().map_or(0.0, |l| l.depth)
    }
}

/// One boundary to be followed.
struct Task {
    job: Job,
    profile: Profile,
    low: Option<Low>,
    depth: f64,
}

pub(super) fn fill(dish: &Dish, shop: &Shop) -> Swap {
    let profile = outside(dish);
    let out = Task {
        job: Job::Outline,
        low: profile.lowest_reach(),
        profile,
        depth: dish.wood.thickness.get() + shop.house.overcut.get(),
    };
    let mut recesses: Vec<Task> = dish
        .recesses
        .iter()
        .map(|recess| {
            let profile = Profile::inside(&recess.region, LARGEST_DISC);
            let low = profile.lowest_reach();
            Task { job: Job::Recess, low, profile, depth: recess.depth }
        })
        .collect();
    let reach = |low: Option<Low>| low.map_or(f64::INFINITY, |l| l.radius);
    let narrowest = (0..recesses.len())
        .min_by(|&a, &b| reach(recesses[a].low).total_cmp(&reach(recesses[b].low)))
        .unwrap_or(0);
    let (width, _) = dish.size();
    let inside = recesses.get(narrowest).and_then(|task| task.low);
    let mut swap = Swap {
        recipe: dish.recipe.clone(),
        width,
        outside: out.low,
        inside,
        narrowest,
        rows: Vec::new(),
    };
    let mut out = [out];
    rows(shop, width, &mut out, CutterKind::cuts_outlines, &mut swap.rows);
    rows(shop, width, &mut recesses, CutterKind::carves_recesses, &mut swap.rows);
    swap
}

fn rows(
    shop: &Shop,
    width: f64,
    tasks: &mut [Task],
    does: fn(CutterKind) -> bool,
    rows: &mut Vec<SwapRow>,
) {
    if tasks.is_empty() {
        return;
    }
    let mut order: Vec<usize> =
        (0..shop.cutters.len()).filter(|&i| does(shop.cutters[i].kind())).collect();
    order.sort_by(|&a, &b| {
        shop.cutters[b].diameter().total_cmp(&shop.cutters[a].diameter()).then(a.cmp(&b))
    });
    for index in order {
        rows.push(row(shop, (index, &shop.cutters[index]), width, tasks));
    }
}

fn row(
    shop: &Shop,
    (index, cutter): (usize, &Cutter),
    width: f64,
    tasks: &mut [Task],
) -> SwapRow {
    let deepest = tasks.iter().map(|task| task.depth).fold(0.0, f64::max);
    let mut row = SwapRow {
        id: cutter.id().to_owned(),
        kind: cutter.kind(),
        diameter: cutter.diameter(),
        radius: cutter.radius(),
        job: tasks[0].job,
        follows: true,
        tie: false,
        leftovers: Vec::new(),
        smallest_width: Some(0.0),
        sandable: true,
        clearance: clearance(cutter, deepest, shop),
        cutter: index,
        unsure: false,
    };
    for task in tasks {
        against(&mut row, cutter, width, task);
    }
    row.leftovers.sort_by(|a, b| b.depth.total_cmp(&a.depth));
    row.sandable =
        row.follows || !row.unsure && row.deepest() <= shop.house.sanding.get();
    row
}

fn against(row: &mut SwapRow, cutter: &Cutter, width: f64, task: &mut Task) {
    let c = match task.job {
        Job::Outline => cutter.radius(),
        Job::Recess => cutter.surface_radius(task.depth),
    };
    row.radius = row.radius.min(c);
    let reach = task.low.map_or(f64::INFINITY, |low| low.radius);
    let (enough, tie) = follows(reach, c);
    row.tie |= enough && tie;
    row.smallest_width = match row.smallest_width {
        Some(_) if reach < 1e-6 => None,
        Some(size) => Some(size.max(width * c / reach)),
        None => None,
    };
    if enough {
        return;
    }
    row.follows = false;
    match task.profile.leftovers(c) {
        Some(leftovers) => row.leftovers.extend(leftovers),
        None => row.unsure = true,
    }
}
