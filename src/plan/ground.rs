//! Ways to clear the panel around raised letters, and what the cutters make of a name whose
//! ground is pocketed.

use super::carved::{of_kind, rack, round};
use super::clear::{free, letters};
use super::estimate::{cleared, share};
use super::{Choice, Cut, Plan, Stage, Step, Work};
use crate::curve::{Origin, Region};
use crate::dish::{Dish, NameCut, Panel};
use crate::feasibility::{Ground, GroundRow, Report};
use crate::finding::{Code, Finding, Severity, plain};
use crate::model::{Cutter, CutterKind, Pin, Pins, Shop};
use crate::reach::opening;
use crate::units::{Tolerance, trimmed};

/// Wood in a corner that reaches farther than this share of the letters' height is plain to
/// see: our judgement, by looking at filled letters.
const PLAIN: f64 = 0.15;

/// A panel and what the end mills leave of it.
struct Clearing<'a> {
    dish: &'a Dish,
    name: &'a NameCut,
    panel: &'a Panel,
    ground: &'a Ground,
    shop: &'a Shop,
    cut: Cut,
}

/// One end mill that does everything, or a large one that clears and a smaller one after it.
pub(super) fn panel(dish: &Dish, report: &Report, shop: &Shop, pins: &Pins) -> Stage {
    let parts = dish
        .name
        .as_ref()
        .and_then(|name| Some((name, name.panel.as_ref()?, report.ground.as_ref()?)));
    let Some((name, panel, ground)) = parts else { return Stage::default() };
    let depth = dish.surface_depth(name.on) + name.depth;
    let cut = Cut { depth, own: name.depth };
    let clearing = Clearing { dish, name, panel, ground, shop, cut };
    let free: Vec<Result<(), String>> =
        ground.rows.iter().map(|row| clearing.free(row)).collect();
    let choices =
        [Work::Name, Work::NameCorners].map(|work| clearing.choice(work, &free)).to_vec();
    let ways = clearing.ways(&free, pins);
    Stage { choices, ways }
}

impl Clearing<'_> {
    fn cutter(&self, row: &GroundRow) -> &Cutter {
        &self.shop.cutters[row.cutter]
    }

    fn free(&self, row: &GroundRow) -> Result<(), String> {
        let carving = letters(self.name, self.cut.own);
        free(self.dish, self.shop, self.cutter(row), &carving)
    }

    /// It comes into more than half of the panel.
    fn clears(&self, row: &GroundRow) -> Result<(), String> {
        let (left, area) = (row.area_left(), self.panel.ground.area());
        if left < area / 2.0 || self.ground.renders(row) {
            return Ok(());
        }
        if left.is_infinite() {
            return Err("what it would leave could not be told".to_owned());
        }
        let share = (left / area * 1000.0).round() / 10.0;
        Err(format!("it does not enter {} % of the panel", trimmed(share.min(100.0))))
    }

    fn follows(&self, row: &GroundRow) -> Result<(), String> {
        if self.ground.renders(row) {
            return Ok(());
        }
        let count = row.left.as_ref().map_or(0, Vec::len);
        Err(format!(
            "it leaves wood in {count} place{} between the letters, up to {} mm deep; a finer one comes farther in",
            if count == 1 { "" } else { "s" },
            round(row.deepest()),
        ))
    }

    fn choice(&self, work: Work, free: &[Result<(), String>]) -> Choice {
        let mut choice = Choice::of(work);
        for (index, cutter) in rack(self.shop, work) {
            let row = self.ground.rows.iter().zip(free).find(|(r, _)| r.cutter == index);
            let verdict = of_kind(cutter, CutterKind::EndMill).and_then(|()| {
                let Some((row, free)) = row else { return Ok(0.0) };
                let step = if work == Work::Name {
                    self.clears(row)?;
                    self.clear(row)
                } else {
                    self.follows(row)?;
                    self.follow(None, row)
                };
                free.clone().map(|()| step.minutes)
            });
            choice.add(cutter.id(), verdict);
        }
        choice
    }

    fn ways(&self, free: &[Result<(), String>], pins: &Pins) -> Vec<Vec<Step>> {
        let [first, second] = [Work::Name, Work::NameCorners].map(|work| pins.of(work));
        let asked = |pin: Option<&Pin>, row: &GroundRow| {
            pin.is_none_or(|pin| pin.cutter == self.cutter(row).id())
        };
        let rows = || self.ground.rows.iter().zip(free);
        let able = |row: &GroundRow| self.ground.renders(row);
        let (mut ways, mut short) = (Vec::new(), Vec::new());
        for (row, free) in rows().filter(|(row, _)| asked(first, row)) {
            let alone = able(row) && asked(second, row);
            if free.is_err() {
                short.extend(alone.then(|| vec![self.clear(row)]));
                continue;
            }
            if alone {
                ways.push(vec![self.clear(row)]);
            }
            if self.clears(row).is_err() || able(row) && second.is_none() {
                continue;
            }
            let after = rows().filter(|(other, free)| {
                let finer = other.radius < row.radius - 1e-9;
                finer && able(other) && free.is_ok() && asked(second, other)
            });
            ways.extend(
                after.map(|(other, _)| {
                    vec![self.clear(row), self.follow(Some(row), other)]
                }),
            );
        }
        if ways.is_empty() { short } else { ways }
    }

    fn clear(&self, row: &GroundRow) -> Step {
        let ground = &self.panel.ground;
        let area = ground.area() - row.area_left().min(ground.area());
        self.step(Work::Name, row, (area, ground.perimeter()))
    }

    /// The places the larger cutter left, once along their mouths.
    fn follow(&self, after: Option<&GroundRow>, row: &GroundRow) -> Step {
        let ground = &self.panel.ground;
        let left = after.and_then(|after| after.left.as_ref());
        let size = left.map_or((ground.area(), ground.perimeter()), |left| {
            let area = left.iter().map(|l| l.area).sum();
            (area, left.iter().map(|l| l.mouth + 2.0 * l.depth).sum())
        });
        self.step(Work::NameCorners, row, size)
    }

    fn step(&self, work: Work, row: &GroundRow, size: (f64, f64)) -> Step {
        let cutter = self.cutter(row);
        let minutes = cleared(cutter, self.shop, size, self.cut, share(cutter));
        Step { work, cutter: row.cutter, cut: self.cut, minutes, grooves: Vec::new() }
    }
}

/// A pen is as wide as a cutter: its letters are cut along their middle.
pub(super) fn along_middle(name: &NameCut, cutter: &Cutter) -> bool {
    let same = |pen: f64| (pen - cutter.diameter()).abs() <= Tolerance::REACH.get();
    !name.centers.is_empty() && name.panel.is_none() && name.pen.is_some_and(same)
}

/// What is cut away of the surface a name lies in, where its ground is pocketed: all that the
/// last of its cutters comes into. `None` for other names, where no cutter was chosen, or
/// where it could not be made sure of.
pub fn pocketed(dish: &Dish, plan: &Plan, shop: &Shop) -> Option<Region> {
    let name = dish.name.as_ref().filter(|name| name.style.pocketed())?;
    let cutter = last(plan, shop)?;
    if along_middle(name, cutter) {
        return Some(name.region.clone());
    }
    opening(name.ground(), cutter.radius(), Origin::default())
}

/// The cutter that works last on the ground of the name.
fn last<'s>(plan: &Plan, shop: &'s Shop) -> Option<&'s Cutter> {
    let works =
        |op: &&super::Operation| matches!(op.work, Work::Name | Work::NameCorners);
    let id = &plan.operations.iter().rfind(works)?.cutter;
    shop.cutters.iter().find(|cutter| cutter.id() == id)
}

/// The corners of sunk letters, or around raised ones, that stay round.
pub(super) fn corners(
    dish: &Dish,
    (plan, report): (&Plan, &Report),
    shop: &Shop,
) -> Option<Finding> {
    let (name, ground) = (dish.name.as_ref()?, report.ground.as_ref()?);
    let cutter = last(plan, shop)?;
    let row = ground.rows.iter().find(|r| shop.cutters[r.cutter].id() == cutter.id())?;
    let sanding = shop.house.sanding.get();
    let left: Vec<_> =
        row.left.as_ref()?.iter().filter(|left| left.depth > sanding).collect();
    let deepest = left.first()?;
    let hundredth = |mm: f64| trimmed((mm * 100.0).ceil() / 100.0);
    let message = format!(
        "{} leaves wood in {} corner{} of \"{}\", at most {} mm deep (in {})",
        cutter.id(),
        left.len(),
        if left.len() == 1 { "" } else { "s" },
        plain(&dish.person),
        hundredth(deepest.depth),
        crate::feasibility::letter_at(name, deepest.at)
            .map_or_else(|| "the panel".to_owned(), |letter| format!("the {letter}")),
    );
    let grave = deepest.depth > PLAIN * name.height;
    let severity = if grave { Severity::Warn } else { Severity::Note };
    Some(
        Finding::new(severity, Code::LetterCornersRound, message)
            .at(deepest.at.x, deepest.at.y)
            .from(name.source.clone())
            .have_need(deepest.depth, sanding)
            .help("a finer end mill, or `face: hand` with its round ends, leaves less"),
    )
}
