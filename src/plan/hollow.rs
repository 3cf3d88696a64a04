//! Ways to carve the recess and to cut the dish out: from the swap table.

use super::estimate::{cleared, followed, share};
use super::{Able, Choice, Cut, Refused, Stage, Step};
use crate::dish::Dish;
use crate::feasibility::{Clearance, Job, Report, SwapRow};
use crate::model::{Pins, Shop, Work};
use crate::units::trimmed;

/// The recess and how its cutters may be combined.
struct Recess<'a> {
    shop: &'a Shop,
    rows: Vec<&'a SwapRow>,
    area: f64,
    edge: f64,
    cut: Cut,
}

/// One cutter that does everything, or a large one that clears and a smaller one after it.
pub(super) fn recess(dish: &Dish, report: &Report, shop: &Shop, pins: &Pins) -> Stage {
    if dish.recesses.is_empty() {
        return Stage::default();
    }
    let rows: Vec<&SwapRow> =
        report.swap.rows.iter().filter(|row| row.job == Job::Recess).collect();
    let depth = dish.recesses.iter().map(|recess| recess.depth).fold(0.0, f64::max);
    let sum = |of: fn(&crate::curve::Region) -> f64| -> f64 {
        dish.recesses.iter().map(|recess| of(&recess.region)).sum()
    };
    let recess = Recess {
        shop,
        rows,
        area: sum(crate::curve::Region::area),
        edge: sum(crate::curve::Region::perimeter),
        cut: Cut::from_top(depth),
    };
    let (clears, follows) = (recess.clearing(), recess.following());
    let [first, second] = [Work::Recess, Work::RecessCorners].map(|work| pins.of(work));
    let asked = |pin: Option<&crate::model::Pin>, row: &SwapRow| {
        pin.is_none_or(|pin| pin.cutter == row.id)
    };
    let mut ways = Vec::new();
    for row in recess.rows.iter().filter(|row| clears_half(row, recess.area).is_ok()) {
        if !asked(first, row) {
            continue;
        }
        if row.usable() && asked(second, row) {
            ways.push(vec![recess.clear(row)]);
        }
        // A cutter that does it all is followed only where the maker insists.
        if row.usable() && second.is_none() {
            continue;
        }
        let after = recess.rows.iter().filter(|other| {
            other.usable() && other.cutter != row.cutter && asked(second, other)
        });
        ways.extend(after.map(|other| recess.pair(row, other)));
    }
    Stage { choices: vec![clears, follows], ways }
}

/// A cutter clears what it enters: more than half of the recess, as far as can be told.
fn clears_half(row: &SwapRow, area: f64) -> Result<(), String> {
    long_enough(row.clearance)?;
    if row.unsure && !row.follows {
        return Err("what it would leave could not be told".to_owned());
    }
    let left = row.area_left();
    if left < area / 2.0 {
        return Ok(());
    }
    let share = (left / area * 1000.0).round() / 10.0;
    Err(format!("it does not enter {} % of the recess", trimmed(share.min(100.0))))
}

/// Whether the tool is long enough, in words.
pub(super) fn long_enough(clearance: Clearance) -> Result<(), String> {
    let round = |mm: f64| trimmed((mm * 100.0).round() / 100.0);
    if !clearance.within_stick_out() {
        return Err(format!(
            "it would work {} mm deep; it stands out {} mm less the collet margin",
            round(clearance.depth),
            round(clearance.allowed.unwrap_or(clearance.depth)),
        ));
    }
    if !clearance.within_flutes() {
        return Err(format!(
            "it would work {} mm deep; its flutes are {} mm long and its shank is no narrower",
            round(clearance.depth),
            round(clearance.flutes.unwrap_or(clearance.depth)),
        ));
    }
    Ok(())
}

/// Whether a cutter can go everywhere, in words.
fn goes_everywhere(row: &SwapRow, shop: &Shop) -> Result<(), String> {
    if !row.sandable {
        if row.unsure {
            return Err("it does not follow, and what it would leave could not be told"
                .to_owned());
        }
        let sanding = shop.house.sanding.get();
        let count = row.leftovers.iter().filter(|left| left.depth > sanding).count();
        return Err(format!(
            "it leaves wood in {count} place{}, up to {} mm deep ({} mm may be sanded away)",
            if count == 1 { "" } else { "s" },
            trimmed((row.deepest() * 1000.0).round() / 1000.0),
            trimmed(sanding),
        ));
    }
    long_enough(row.clearance)
}

impl Recess<'_> {
    fn clear(&self, row: &SwapRow) -> Step {
        let cutter = &self.shop.cutters[row.cutter];
        let size = ((self.area - row.area_left()).max(0.0), self.edge);
        let minutes = cleared(cutter, self.shop, size, self.cut, share(cutter));
        self.step(Work::Recess, row, minutes)
    }

    /// The places the larger cutter left, then once along their mouths.
    fn follow(&self, after: Option<&SwapRow>, row: &SwapRow) -> Step {
        let cutter = &self.shop.cutters[row.cutter];
        let (mut area, mut edge, mut places) = (self.area, self.edge, 1.0);
        if let Some(left) = after.map(|after| &after.leftovers) {
            area = left.iter().map(|l| l.area).sum();
            edge = left.iter().map(|l| l.mouth + 2.0 * l.depth).sum();
            places = f64::from(u32::try_from(left.len()).unwrap_or(u32::MAX));
        }
        let minutes = cleared(cutter, self.shop, (area, edge), self.cut, share(cutter));
        // Every place but the first is entered anew.
        let plunge = super::speed::rates(cutter, &self.shop.machine).plunge;
        let again = (places - 1.0).max(0.0) * self.cut.own / plunge;
        self.step(Work::RecessCorners, row, minutes + again)
    }

    fn pair(&self, row: &SwapRow, other: &SwapRow) -> Vec<Step> {
        vec![self.clear(row), self.follow(Some(row), other)]
    }

    const fn step(&self, work: Work, row: &SwapRow, minutes: f64) -> Step {
        Step { work, cutter: row.cutter, cut: self.cut, minutes, grooves: Vec::new() }
    }

    fn clearing(&self) -> Choice {
        let judge =
            |row: &SwapRow| clears_half(row, self.area).map(|()| self.clear(row).minutes);
        judged(Work::Recess, &self.rows, judge)
    }

    fn following(&self) -> Choice {
        let judge = |row: &SwapRow| {
            goes_everywhere(row, self.shop).map(|()| self.follow(None, row).minutes)
        };
        judged(Work::RecessCorners, &self.rows, judge)
    }
}

/// Rows of the swap table told apart, in the order of the rack.
fn judged(
    work: Work,
    rows: &[&SwapRow],
    judge: impl Fn(&SwapRow) -> Result<f64, String>,
) -> Choice {
    let mut rows = rows.to_vec();
    rows.sort_by_key(|row| row.cutter);
    let mut choice = Choice::of(work);
    for row in rows {
        choice.add(&row.id, judge(row));
    }
    choice
}

impl Choice {
    /// Nothing looked at yet.
    pub(super) const fn of(work: Work) -> Self {
        Self {
            work,
            able: Vec::new(),
            refused: Vec::new(),
            chosen: Vec::new(),
            pinned: false,
        }
    }

    /// A cutter that takes so many minutes, or why it cannot.
    pub(super) fn add(&mut self, id: &str, verdict: Result<f64, String>) {
        let cutter = id.to_owned();
        match verdict {
            Ok(minutes) => self.able.push(Able { cutter, minutes }),
            Err(reason) => self.refused.push(Refused { cutter, reason }),
        }
    }
}

/// Every cutter that goes round the whole outline.
pub(super) fn cut_out(dish: &Dish, report: &Report, shop: &Shop, pins: &Pins) -> Stage {
    let rows: Vec<&SwapRow> =
        report.swap.rows.iter().filter(|row| row.job == Job::Outline).collect();
    let cut = Cut::from_top(dish.wood.thickness.get() + shop.house.overcut.get());
    let length = dish.outline.perimeter();
    let minutes = |row: &SwapRow| followed(&shop.cutters[row.cutter], shop, length, cut);
    let pin = pins.of(Work::CutOut);
    let ways = rows
        .iter()
        .filter(|row| row.usable() && pin.is_none_or(|pin| pin.cutter == row.id))
        .map(|row| {
            let (work, cutter) = (Work::CutOut, row.cutter);
            vec![Step { work, cutter, cut, minutes: minutes(row), grooves: Vec::new() }]
        })
        .collect();
    let judge = |row: &SwapRow| goes_everywhere(row, shop).map(|()| minutes(row));
    Stage { choices: vec![judged(Work::CutOut, &rows, judge)], ways }
}
