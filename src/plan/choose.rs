//! The cutter for each work, with reasons: every way is looked at, the best is taken.

use super::best::best;
use super::carved::{details, name, wanted};
use super::clear::{of_groove, of_name, of_wanted};
use super::edging::finishing;
use super::estimate::{cleared, passes, share};
use super::groove::{SAME_SIZE, not_as_asked};
use super::ground::corners;
use super::hollow::recess;
use super::pairing::Paired;
use super::rounding::of_edge;
use super::route::{floor_minutes, lay};
use super::speed::rates;
use super::{
    Asked, Choice, Cut, Operation, Plan, Stage, Step, Work, asked, finish, timed, wood,
};
use crate::curve::Region;
use crate::dish::{Dish, NameCut};
use crate::feasibility::{Pair, Report, pair_of};
use crate::finding::{Checked, Code, Finding};
use crate::model::{Cutter, Pins, Shop, Surface};
use crate::units::{Mm, trimmed};

/// Chooses the cutters: of all sets that can do everything the one that takes the least time,
/// tool changes counted (see [`best`] for ties). Work that no cutter can do is left out; what
/// `check` did not say about it already is a finding. The cutters the maker insists on are
/// in the report.
pub fn choose(dish: &Dish, report: &Report, shop: &Shop) -> Checked<Plan> {
    let mut plan = chosen(dish, report, shop, &report.pins);
    plan.pair = reached(dish, &plan, shop);
    let mut told = Told { dish, shop, findings: Vec::new() };
    told.about(&plan, report);
    let laid = lay(&mut plan, dish, report, shop);
    if !report.pins.all().is_empty() {
        let mut free = chosen(dish, report, shop, &Pins::default());
        lay(&mut free, dish, report, shop);
        let cost = asked::cost(&plan, &free);
        told.asked(&cost, &plan, &report.pins);
        plan.asked = Some(cost);
    }
    told.findings.extend(laid);
    plan.finish = floor(dish, &plan, shop);
    told.findings.extend(coarse(&plan, shop));
    let bill = wood::bill(dish, &plan, shop);
    told.findings.extend(wood::moves(&bill, dish, shop));
    plan.wood = Some(bill);
    Checked { value: Some(plan), findings: told.findings }
}

/// The best plan with some pins.
fn chosen(dish: &Dish, report: &Report, shop: &Shop, pins: &Pins) -> Plan {
    let mut stages = vec![
        recess(dish, report, shop, pins),
        details(dish, shop, pins),
        name(dish, report, shop, pins),
    ];
    stages.extend(finishing(dish, report, shop, pins));
    if let Some(recess) = stages.first_mut() {
        timed::time(&mut recess.ways, dish, report, shop);
    }
    if dish.name.as_ref().is_some_and(|name| name.panel.is_some()) {
        timed::time(&mut stages[2].ways, dish, report, shop);
    }
    let leg = |step: &Step| {
        (step.cutter, shop.cutters[step.cutter].diameter(), timed::cost(step, shop))
    };
    let legs: Vec<Vec<Vec<super::Leg>>> = stages
        .iter()
        .map(|stage| stage.ways.iter().map(|way| way.iter().map(leg).collect()).collect())
        .collect();
    let mut plan = Plan { tool_change: shop.machine.tool_change, ..Plan::default() };
    for (Stage { choices, ways }, way) in
        stages.into_iter().zip(best(&legs, shop.machine.tool_change))
    {
        let way = way.and_then(|way| ways.get(way).cloned()).unwrap_or_default();
        plan.choices.extend(choices.into_iter().map(|mut choice| {
            timed::retold(&mut choice, &ways, &way, shop);
            let steps = way.iter().filter(|step| step.work == choice.work);
            let ids = steps.map(|step| shop.cutters[step.cutter].id().to_owned());
            let pinned = pins.of(choice.work).is_some();
            Choice { chosen: ids.collect(), pinned, ..choice }
        }));
        plan.operations.extend(way.into_iter().map(|step| operation(step, shop)));
    }
    plan
}

fn operation(step: Step, shop: &Shop) -> Operation {
    let cutter = &shop.cutters[step.cutter];
    Operation {
        work: step.work,
        cutter: cutter.id().to_owned(),
        cutter_text: format!(
            "{} {}",
            cutter.kind().word(),
            Mm::new(cutter.diameter()).unwrap_or(Mm::ZERO).show(shop.house.unit)
        ),
        diameter: cutter.diameter(),
        stick_out: cutter.stick_out(),
        depth: step.cut.depth,
        passes: passes(cutter, step.cut.own),
        each: None,
        steps: None,
        rates: rates(cutter, &shop.machine),
        minutes: step.minutes,
        grooves: step.grooves,
        route: None,
    }
}

/// The cutter of a work in the plan.
fn cutter_of<'s>(plan: &Plan, work: Work, shop: &'s Shop) -> Option<&'s Cutter> {
    let id = &plan.operations.iter().find(|op| op.work == work)?.cutter;
    shop.cutters.iter().find(|cutter| cutter.id() == id)
}

/// What the cutters chosen for the recesses reach.
fn reached(dish: &Dish, plan: &Plan, shop: &Shop) -> Option<Pair> {
    let used = |work: Work| {
        let id = &plan.operations.iter().find(|op| op.work == work)?.cutter;
        shop.cutters.iter().position(|cutter| cutter.id() == id)
    };
    pair_of(dish, shop, used(Work::Recess)?, used(Work::RecessCorners))
}

/// A cutter that can do a work, whether or not it is chosen.
fn able<'s>(plan: &Plan, work: Work, shop: &'s Shop) -> Option<&'s Cutter> {
    let id = &plan.choices.iter().find(|c| c.work == work)?.able.first()?.cutter;
    shop.cutters.iter().find(|cutter| cutter.id() == id)
}

/// The table of stepovers for the cutter that clears the recess.
fn floor(dish: &Dish, plan: &Plan, shop: &Shop) -> Vec<finish::Finish> {
    let Some(cutter) = cutter_of(plan, Work::Recess, shop) else { return Vec::new() };
    let of = |what: fn(&Region) -> f64| -> f64 {
        dish.recesses.iter().map(|recess| what(&recess.region)).sum()
    };
    let size = (of(Region::area), of(Region::perimeter));
    let depth = dish.recesses.iter().map(|recess| recess.depth).fold(0.0, f64::max);
    let minutes = |share: f64| {
        floor_minutes(dish, cutter, shop, share)
            .unwrap_or_else(|| cleared(cutter, shop, size, Cut::from_top(depth), share))
    };
    finish::table(cutter, share(cutter), shop, minutes)
}

/// Only what the shop states can be too coarse.
fn coarse(plan: &Plan, shop: &Shop) -> Option<Finding> {
    let cutter = cutter_of(plan, Work::Recess, shop)?;
    cutter.spec().stepover?;
    finish::coarse(cutter, &plan.finish)
}

/// What is said about a plan.
struct Told<'a> {
    dish: &'a Dish,
    shop: &'a Shop,
    findings: Vec<Finding>,
}

impl Told<'_> {
    fn about(&mut self, plan: &Plan, report: &Report) {
        self.refused(plan, &report.pins);
        if let Some(pair) = &plan.pair {
            let (dish, shop) = (self.dish, self.shop);
            self.findings.extend(Paired { dish, shop, report, plan, pair }.findings());
        }
        self.name(plan, report);
        self.details(plan, &report.pins);
        for work in [Work::RecessEdge, Work::OuterEdge] {
            self.findings.extend(of_edge(self.dish, self.shop, plan, work));
        }
        for operation in plan.operations.iter().filter(|op| op.stick_out.is_none()) {
            let id = &operation.cutter;
            let known = self.findings.iter().any(|f| f.message.contains(id.as_str()));
            let cutter = self.shop.cutters.iter().find(|cutter| cutter.id() == id);
            if let Some(cutter) = cutter.filter(|_| !known) {
                self.findings.push(unmeasured(cutter));
            }
        }
    }

    fn refused(&mut self, plan: &Plan, pins: &Pins) {
        self.findings.extend(asked::refused(pins, &plan.choices, self.shop));
    }

    /// The cost of pins, where they could be followed.
    fn asked(&mut self, cost: &Asked, plan: &Plan, pins: &Pins) {
        let done = |work: Work| plan.operations.iter().any(|op| op.work == work);
        let followed = |(work, id): &(Work, String)| {
            id.is_empty()
                || match work {
                    // A corner cutter left out because the one asked for needs none is no refusal.
                    Work::RecessCorners => done(Work::Recess),
                    // An edge without a groove wide enough for its bit is told of by itself.
                    Work::OuterEdge => done(Work::CutOut),
                    Work::NameCorners => done(Work::Name),
                    Work::Recess
                    | Work::Details
                    | Work::Name
                    | Work::RecessEdge
                    | Work::CutOut => done(*work),
                }
        };
        if cost.free.iter().all(followed) {
            let free = |work: Work| cost.free.iter().any(|(other, _)| *other == work);
            let lost = free(Work::OuterEdge) && !done(Work::OuterEdge);
            self.findings.extend(asked::told(cost, pins, lost));
        }
    }

    fn name(&mut self, plan: &Plan, report: &Report) {
        let Some(name) = &self.dish.name else { return };
        if let Some(pair) = plan.pair.as_ref().filter(|_| name.on == Surface::Floor) {
            self.on_the_flat(name, pair);
        }
        for work in [Work::Name, Work::NameCorners] {
            let operation = plan.operations.iter().find(|op| op.work == work);
            if let Some((operation, cutter)) =
                operation.zip(cutter_of(plan, work, self.shop))
            {
                let own = operation.depth - self.dish.surface_depth(name.on);
                let other = able(plan, work, self.shop);
                let found = of_name(self.dish, self.shop, name, (cutter, own), other);
                self.findings.extend(found);
            }
        }
        self.findings.extend(corners(self.dish, (plan, report), self.shop));
    }

    /// Letters on the floor stay clear of the curve that the corners of the recess's cutters
    /// leave along the walls: they lie on the floor that comes out flat.
    fn on_the_flat(&mut self, name: &NameCut, pair: &Pair) {
        const NOTHING: f64 = 0.5; // mm²
        let cutter = &self.shop.cutters[pair.first];
        let mut flat = Region::default();
        for reached in &pair.reached {
            flat = flat.unite(&reached.flat);
        }
        let off = name.outline().cut(&flat);
        if off.area() <= NOTHING {
            return;
        }
        let at = off.bounds().center();
        self.findings.push(
            Finding::warn(
                Code::NameDoesNotFit,
                format!(
                    "{} mm² of the {} run up the curve of {} mm that {} leaves along the wall",
                    trimmed((off.area() * 10.0).round() / 10.0),
                    if name.panel.is_some() { "panel" } else { "letters" },
                    trimmed(cutter.corner_radius()),
                    cutter.id()
                ),
            )
            .at(at.x, at.y)
            .from(name.source.clone())
            .have_need(off.area(), 0.0)
            .help(format!(
                "a smaller `height`, a shorter `along`, {}or a recess cutter with a smaller corner radius",
                if name.panel.is_some() { "a smaller `margin` of the panel, " } else { "" }
            )),
        );
    }

    /// Details whose cutter is not the one the recipe asks for, and those none can carve.
    fn details(&mut self, plan: &Plan, pins: &Pins) {
        let carved = |index: usize| {
            let mut details = plan.operations.iter();
            details.any(|op| op.work == Work::Details && op.grooves.contains(&index))
        };
        let free = pins.of(Work::Details).is_none();
        let mut said = false;
        for (index, groove) in self.dish.grooves.iter().enumerate() {
            if let Some(asked) = groove.with.as_ref().filter(|_| free) {
                let near = wanted(self.dish, groove, self.shop);
                let known = |f: &Finding| f.source.as_ref() == Some(&asked.source);
                let other = near.as_ref().is_none_or(|near| near.off > SAME_SIZE);
                if other && !self.findings.iter().any(known) {
                    let id = near.map(|near| self.shop.cutters[near.cutter].id());
                    let why = of_wanted(self.dish, self.shop, groove, id);
                    self.findings.push(why.unwrap_or_else(|| not_as_asked(asked, id)));
                }
            }
            if free && !said && !carved(index) && self.makes(groove) {
                said = true;
                let mut found = of_groove(self.dish, self.shop, groove);
                if found.is_empty() {
                    found.push(uncarved(plan).from(groove.source.clone()));
                }
                self.findings.extend(found);
            }
        }
    }

    /// Some cutter on the rack would make a groove if it were long enough and the wood thick
    /// enough; where none would, `check` has said so.
    fn makes(&self, groove: &crate::dish::GrooveCut) -> bool {
        self.shop.cutters.iter().any(|c| super::groove_depth(c, groove).is_ok())
    }
}

/// No cutter carves some detail; the reasons are those of the choice.
fn uncarved(plan: &Plan) -> Finding {
    let choice = plan.choices.iter().find(|choice| choice.work == Work::Details);
    let reasons = choice.map(|choice| choice.refused.as_slice()).unwrap_or_default();
    let finding =
        Finding::stop(Code::CutterNotOnRack, "no cutter on the rack carves this detail");
    match reasons.first() {
        Some(first) => finding.help(format!("{}: {}", first.cutter, first.reason)),
        None => finding.help("add a v-bit or ball nose under `cutters:`"),
    }
}

fn unmeasured(cutter: &Cutter) -> Finding {
    Finding::note(
        Code::CutDeeperThanStickout,
        format!(
            "how far {} stands out of the collet is not in the shop file, so its depth was not checked",
            cutter.id()
        ),
    )
    .from(cutter.spec().source.clone())
    .help("measure it and write `stick_out`, or write `overall_length` and `insertion`")
}
