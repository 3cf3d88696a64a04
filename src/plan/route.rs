//! The moves of each cut.

use super::cutout::cut_out;
use super::edging::tip;
use super::estimate::{ROUGH, share};
use super::groove::groove_depth;
use super::ground::along_middle;
use super::moves::{Course, Route};
use super::passes::{
    BEYOND_UPCUT, Entry, LAST, along, enter, first_pass, levels, stepdown,
};
use super::pocket::{Layer, clear};
use super::ring::Ring;
use super::speed::rates;
use super::tabs::{Off, Tabs, off_neck};
use super::time::{Limits, seconds};
use super::{Operation, Plan, written};
use crate::curve::{BezPath, Origin, Point, Region};
use crate::dish::{Dish, RecessCut};
use crate::feasibility::{Job, Report};
use crate::finding::{Code, Finding, RemedyKind};
use crate::model::{Cutter, Shop, Work};
use crate::reach::{Profile, grow, shrink};
use crate::units::trimmed;

/// Where a second cutter follows it goes this far into what is already cut, mm.
const OVERLAP: f64 = 0.5;
/// What is left no deeper than this is nothing, mm.
const NOTHING: f64 = 0.002;

/// What the moves are laid for.
#[derive(Clone, Copy)]
pub(super) struct Task<'a> {
    pub dish: &'a Dish,
    pub report: &'a Report,
    pub shop: &'a Shop,
    /// The cutter that carves the recess first, where there is one.
    pub first: Option<&'a Cutter>,
    /// The cutter that clears the ground of the name first, where there is one.
    pub of_name: Option<&'a Cutter>,
}

/// Lays the moves of every cut of a plan and times them; what is said about them.
pub(super) fn lay(
    plan: &mut Plan,
    dish: &Dish,
    report: &Report,
    shop: &Shop,
) -> Vec<Finding> {
    let cutter = |id: &str| shop.cutters.iter().find(|cutter| cutter.id() == id);
    let [first, of_name] = [Work::Recess, Work::Name].map(|work| {
        let mut cuts = plan.operations.iter();
        cuts.find(|op| op.work == work).and_then(|op| cutter(&op.cutter))
    });
    let task = Task { dish, report, shop, first, of_name };
    let mut findings = Vec::new();
    for operation in &mut plan.operations {
        let Some(cutter) = cutter(&operation.cutter) else { continue };
        let Some((route, tabs)) = route(&task, operation, cutter) else { continue };
        operation.minutes = minutes(&route, cutter, shop);
        let (passes, each) = if operation.work == Work::Details {
            deepest_groove(dish, operation, cutter)
        } else {
            (route.levels.len(), deepest_pass(dish, operation.work, &route))
        };
        operation.passes = u32::try_from(passes).unwrap_or(u32::MAX);
        operation.each = Some(each);
        operation.steps = steps(dish, operation.work, cutter);
        operation.route = Some(route);
        if operation.work == Work::CutOut {
            findings.extend(upcut(cutter));
            findings.extend(few_tabs(dish, &tabs));
            plan.tabs = tabs.all;
        }
    }
    findings
}

/// The deepest of the passes, mm.
fn deepest_pass(dish: &Dish, work: Work, route: &Route) -> f64 {
    let lettered = matches!(work, Work::Name | Work::NameCorners);
    let name = dish.name.as_ref().filter(|_| lettered);
    let mut above = name.map_or(0.0, |name| dish.surface_depth(name.on));
    let mut most = 0.0_f64;
    for level in &route.levels {
        most = most.max(level - above);
        above = *level;
    }
    most
}

/// Passes of the groove that takes most of them, and the deepest pass of all grooves, mm:
/// those of one cutter may begin at several surfaces and end at several depths.
fn deepest_groove(dish: &Dish, operation: &Operation, cutter: &Cutter) -> (usize, f64) {
    let grooves = operation.grooves.iter().filter_map(|index| dish.grooves.get(*index));
    let own = grooves.filter_map(|groove| groove_depth(cutter, groove).ok());
    let split = own.map(|own| levels(own, stepdown(cutter), None));
    split.fold((0, 0.0_f64), |(passes, each), levels| {
        // Evenly split: the first is as deep as any.
        (passes.max(levels.len()), each.max(levels.first().copied().unwrap_or(0.0)))
    })
}

/// The steps of an area that is cleared, above and in the last layer, mm.
fn steps(dish: &Dish, work: Work, cutter: &Cutter) -> Option<[f64; 2]> {
    let fine = share(cutter).min(0.5) * cutter.diameter();
    match work {
        Work::Recess | Work::RecessCorners => {
            Some([coarse_step(cutter, share(cutter)), fine])
        }
        Work::Name | Work::NameCorners => {
            let name = dish.name.as_ref()?;
            let cleared = name.style.pocketed() && !along_middle(name, cutter);
            cleared.then_some([fine, fine])
        }
        Work::Details | Work::RecessEdge | Work::OuterEdge | Work::CutOut => None,
    }
}

/// Minutes to carve the recess with a cutter at a stepover of the last pass (share of DC).
pub(super) fn floor_minutes(
    dish: &Dish,
    cutter: &Cutter,
    shop: &Shop,
    share: f64,
) -> Option<f64> {
    let mut course = Course::above(dish.outline.bounds().center());
    let depths = recess(&mut course, dish, cutter, share)?;
    Some(minutes(&course.done(depths), cutter, shop))
}

/// Minutes of a cutter's moves.
fn minutes(route: &Route, cutter: &Cutter, shop: &Shop) -> f64 {
    let limits = Limits::of(&rates(cutter, &shop.machine), &shop.machine);
    seconds(route, &limits) / 60.0
}

/// Minutes to carve with a cutter what the one before it left of the recess.
pub(super) fn corner_minutes(
    dish: &Dish,
    (report, shop): (&Report, &Shop),
    first: &Cutter,
    cutter: &Cutter,
) -> Option<f64> {
    let task = Task { dish, report, shop, first: Some(first), of_name: None };
    let bounds = dish.outline.bounds();
    let mut course = Course::above(Point::new(bounds.x0, bounds.y0));
    let depths = corners(&mut course, &task, cutter)?;
    Some(minutes(&course.done(depths), cutter, shop))
}

/// Minutes to clear the ground of the name with a cutter, all of it or what the one before it
/// left.
pub(super) fn ground_minutes(
    dish: &Dish,
    shop: &Shop,
    first: Option<&Cutter>,
    cutter: &Cutter,
) -> Option<f64> {
    let bounds = dish.outline.bounds();
    let mut course = Course::above(Point::new(bounds.x0, bounds.y0));
    let name = (dish, dish.name.as_ref()?);
    let depths = match first {
        Some(first) => written::corners(&mut course, name, first, cutter)?,
        None => written::name(&mut course, name, cutter)?,
    };
    Some(minutes(&course.done(depths), cutter, shop))
}

/// A compression bit whose first pass has to be deeper than its stepdown.
fn upcut(cutter: &Cutter) -> Option<Finding> {
    let (first, step) = (first_pass(cutter)?, stepdown(cutter));
    if first <= step + 1e-9 {
        return None;
    }
    let finding = Finding::warn(
        Code::FirstPassAboveUpcut,
        format!(
            "{} cuts up over its lowest {} mm, so its first pass is {} mm deep; its stepdown is {} mm",
            cutter.id(),
            trimmed(first - BEYOND_UPCUT),
            trimmed(first),
            trimmed(step)
        ),
    );
    let text = format!(
        "`stepdown: {} mm`, if the cutter's maker allows it; else cut out with an end mill",
        trimmed(first)
    );
    Some(finding.from(cutter.spec().source.clone()).have_need(step, first).remedy(
        RemedyKind::Depth,
        text,
        Some(first),
    ))
}

/// Fewer tabs than there should be.
fn few_tabs(dish: &Dish, tabs: &Tabs) -> Option<Finding> {
    let (have, wanted) = (tabs.all.len(), tabs.wanted);
    if have >= wanted {
        return None;
    }
    let message = if have == 0 {
        "no place along the outline takes two holding tabs: hold the dish by tape or screws in its waste"
            .to_owned()
    } else {
        format!(
            "only {have} of {wanted} holding tabs find a place along the outline: hold the dish by tape or screws in its waste as well"
        )
    };
    let number = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    let finding = Finding::note(Code::NoPlaceForTabs, message)
        .from(dish.outline_source(dish.outline.bounds().center()))
        .have_need(number(have), number(wanted))
        .help("a larger dish, or gentler curves, leaves room for tabs");
    Some(finding)
}

/// The moves of one cut and the tabs it leaves; `None` where they could not be made sure of.
pub(super) fn route(
    task: &Task<'_>,
    operation: &Operation,
    cutter: &Cutter,
) -> Option<(Route, Tabs)> {
    let dish = task.dish;
    let bounds = dish.outline.bounds();
    let mut course = Course::above(Point::new(bounds.x0, bounds.y0));
    let depths = match operation.work {
        Work::CutOut => return cut_out(dish, cutter, task.shop, &task.off(operation)),
        Work::Recess => recess(&mut course, dish, cutter, share(cutter))?,
        Work::RecessCorners => corners(&mut course, task, cutter)?,
        Work::Details => details(&mut course, dish, operation, cutter),
        Work::Name => written::name(&mut course, (dish, dish.name.as_ref()?), cutter)?,
        Work::NameCorners => {
            let name = (dish, dish.name.as_ref()?);
            written::corners(&mut course, name, task.of_name?, cutter)?
        }
        Work::OuterEdge => {
            let way = grow(&dish.outline, tip(cutter), Origin::default())?;
            edges(&mut course, &climbing(&way), cutter, operation.depth)
        }
        Work::RecessEdge => {
            let mut rings = Vec::new();
            for recess in &dish.recesses {
                let way = shrink(&recess.region, tip(cutter), Origin::default())?;
                rings.extend(way.contours().iter().map(Ring::of));
            }
            edges(&mut course, &rings, cutter, operation.depth)
        }
    };
    Some((course.done(depths), Tabs::default()))
}

impl Task<'_> {
    /// Where holding tabs must not be.
    fn off(&self, operation: &Operation) -> Vec<Off> {
        let rows = self.report.swap.rows.iter();
        let row = rows
            .filter(|row| row.job == Job::Outline)
            .find(|row| row.id == operation.cutter);
        let mut off: Vec<Off> = row
            .map(|row| row.leftovers.iter().map(|l| (l.at, l.mouth + l.depth)).collect())
            .unwrap_or_default();
        if let Some(neck) = self.report.neck {
            off.extend([Some(neck.at), neck.across].into_iter().flatten().map(off_neck));
        }
        off
    }
}

/// Coarse layers down to a last fine one.
fn layers(depth: f64, step: f64) -> Vec<Layer> {
    let mut layers = Vec::new();
    if depth > 2.0 * LAST {
        let coarse = levels(depth - LAST, step, None);
        layers.extend(coarse.into_iter().map(|depth| Layer { depth, fine: false }));
    }
    layers.push(Layer { depth, fine: true });
    layers
}

/// Every recess with the cutter that clears, at a stepover of the last pass (share of DC).
pub(super) fn recess(
    course: &mut Course,
    dish: &Dish,
    cutter: &Cutter,
    share: f64,
) -> Option<Vec<f64>> {
    let mut depths = Vec::new();
    for recess in &dish.recesses {
        let radius = cutter.surface_radius(recess.depth);
        let room = shrink(&recess.region, radius, Origin::default())?;
        depths.extend(hollow(course, &room, (recess, cutter), share)?);
    }
    Some(depths)
}

fn hollow(
    course: &mut Course,
    room: &Region,
    (recess, cutter): (&RecessCut, &Cutter),
    share: f64,
) -> Option<Vec<f64>> {
    let d = cutter.diameter();
    let layers = layers(recess.depth, stepdown(cutter));
    let steps = [coarse_step(cutter, share), share.min(0.5) * d];
    clear(course, (room, cutter), steps, (0.0, &layers))?;
    Some(layers.into_iter().map(|layer| layer.depth).collect())
}

/// The step of all layers above the last, mm: never farther than the flat under the cutter
/// reaches, so that nothing stands between two rings; under a round end so far that what
/// stands is less than the last layer takes.
fn coarse_step(cutter: &Cutter, share: f64) -> f64 {
    let corner = cutter.corner_radius();
    let flat = cutter.radius() - corner;
    let round = (2.0 * corner * LAST - LAST * LAST).max(0.0).sqrt();
    let most = if flat > LAST { flat } else { flat + round };
    (ROUGH.max(share) * cutter.diameter()).min(most)
}

/// What the first cutter left, with a smaller one.
fn corners(course: &mut Course, task: &Task<'_>, cutter: &Cutter) -> Option<Vec<f64>> {
    let mut depths = Vec::new();
    for recess in &task.dish.recesses {
        let radius = cutter.surface_radius(recess.depth);
        let room = shrink(&recess.region, radius, Origin::default())?;
        let first = task.first.map_or(f64::INFINITY, |c| c.surface_radius(recess.depth));
        let left = Profile::inside(&recess.region, first + 1.0).leftovers(first)?;
        for place in left.into_iter().filter(|place| place.depth > NOTHING) {
            let about = grow(&place.region, radius + OVERLAP, Origin::default())?;
            let room = room.keep(&about);
            depths.extend(hollow(course, &room, (recess, cutter), share(cutter))?);
        }
    }
    Some(depths)
}

/// The grooves of one cutter along their middle.
fn details(
    course: &mut Course,
    dish: &Dish,
    operation: &Operation,
    cutter: &Cutter,
) -> Vec<f64> {
    let mut depths = Vec::new();
    for groove in operation.grooves.iter().filter_map(|index| dish.grooves.get(*index)) {
        let Ok(own) = groove_depth(cutter, groove) else { continue };
        let top = -dish.surface_depth(groove.on);
        depths.extend(trace(course, &groove.line, cutter, (top, own)));
    }
    depths
}

/// Along the middle of a stroke from a surface at `top` (0 or less) down to `own` below it.
pub(super) fn trace(
    course: &mut Course,
    middle: &BezPath,
    cutter: &Cutter,
    (top, own): (f64, f64),
) -> Vec<f64> {
    let mut depths = Vec::new();
    for line in Ring::lines(middle) {
        let mut line = line.begun_near(course.here().plan());
        let mut above = top;
        for level in levels(own, stepdown(cutter), None) {
            let entry = Entry::of(cutter, above, top - level);
            above = top - level;
            depths.push(level - top);
            line = if line.closed || !entry.straight {
                let ring = if line.closed { line } else { line.there_and_back() };
                let ring = enter(course, &ring, entry);
                along(course, &ring, above);
                ring
            } else {
                enter(course, &line, entry);
                along(course, &line, above);
                line.reversed()
            };
        }
    }
    depths
}

/// Once along each edge.
fn edges(course: &mut Course, rings: &[Ring], cutter: &Cutter, depth: f64) -> Vec<f64> {
    for ring in rings {
        let ring = ring.begun_near(course.here().plan());
        let ring = enter(course, &ring, Entry::of(cutter, 0.0, -depth));
        along(course, &ring, -depth);
    }
    vec![depth]
}

/// Round wood to be kept, on the right of the way.
fn climbing(way: &Region) -> Vec<Ring> {
    way.contours().iter().map(|contour| Ring::of(contour).reversed()).collect()
}
