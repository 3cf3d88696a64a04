//! The cutter for each work: the largest that can do it, a smaller one after it where needed.

use super::groove::{SAME_SIZE, nearest, not_as_asked, vee_depth};
use super::{Operation, Plan, Work};
use crate::curve::{Origin, Region};
use crate::dish::{Dish, GrooveCut, NameCut};
use crate::feasibility::{Job, Report, clearance, line_cutter};
use crate::finding::{Checked, Code, Finding, RemedyKind};
use crate::model::{Cutter, CutterKind, NameStyle, Shop, Surface};
use crate::reach::shrink;
use crate::units::{Mm, trimmed};

/// Spindle speed where the shop does not narrow it down, 1/min (common practice, no source).
const USUAL_SPEED: f64 = 18_000.0;

/// A round-over bit serves another radius that differs by less, mm.
const SAME_ROUND: f64 = 0.3;

/// Chooses the cutters. Work that no cutter can do is left out; what `check` did not say
/// about it already is a finding.
pub fn choose(dish: &Dish, report: &Report, shop: &Shop) -> Checked<Plan> {
    let mut plan = Plan::default();
    let mut findings = Vec::new();
    let mut bench = Bench { shop, plan: &mut plan, findings: &mut findings };
    bench.recess(dish, report);
    bench.details(dish);
    if let Some(name) = &dish.name {
        bench.name(dish, name);
    }
    bench.rounds(dish);
    bench.cut_out(dish, report);
    Checked { value: Some(plan), findings }
}

/// How deep a cut goes, mm.
#[derive(Clone, Copy)]
struct Cut {
    /// Below the top of the board.
    depth: f64,
    /// Below the surface it starts from.
    own: f64,
}

impl Cut {
    const fn from_top(depth: f64) -> Self {
        Self { depth, own: depth }
    }

    fn deeper(self, other: Self) -> Self {
        Self { depth: self.depth.max(other.depth), own: self.own.max(other.own) }
    }
}

struct Bench<'b> {
    shop: &'b Shop,
    plan: &'b mut Plan,
    findings: &'b mut Vec<Finding>,
}

impl<'b> Bench<'b> {
    fn recess(&mut self, dish: &Dish, report: &Report) {
        let Some((largest, best)) = report.swap.recess_pair(area(dish)) else { return };
        let depth = dish.recesses.iter().map(|recess| recess.depth).fold(0.0, f64::max);
        let clearing = &self.shop.cutters[largest.cutter];
        self.push(Work::Recess, clearing, Cut::from_top(depth));
        if let Some(name) = dish.name.as_ref().filter(|name| name.on == Surface::Floor) {
            self.on_the_flat(dish, name, clearing);
        }
        if let Some(best) = best {
            let cutter = &self.shop.cutters[best.cutter];
            self.push(Work::RecessCorners, cutter, Cut::from_top(depth));
        }
    }

    /// Letters on the floor stay clear of the curve that the clearing cutter's corner leaves
    /// along the walls: the flat of the floor is the recess moved inward by that radius.
    fn on_the_flat(&mut self, dish: &Dish, name: &NameCut, cutter: &Cutter) {
        const NOTHING: f64 = 0.5; // mm²
        let corner = cutter.corner_radius();
        let mut flat = Region::default();
        for recess in &dish.recesses {
            let Some(inner) = shrink(&recess.region, corner, Origin::default()) else {
                return;
            };
            flat = flat.unite(&inner);
        }
        let off = name.region.cut(&flat);
        if off.area() <= NOTHING {
            return;
        }
        let at = off.bounds().center();
        self.findings.push(
            Finding::warn(
                Code::NameDoesNotFit,
                format!(
                    "{} mm² of the letters run up the curve of {} mm that {} leaves along the wall",
                    trimmed((off.area() * 10.0).round() / 10.0),
                    trimmed(corner),
                    cutter.id()
                ),
            )
            .at(at.x, at.y)
            .from(name.source.clone())
            .have_need(off.area(), 0.0)
            .help("a smaller `height`, a shorter `along`, or a recess cutter with a smaller corner radius"),
        );
    }

    fn details(&mut self, dish: &Dish) {
        let mut used: Vec<(usize, Cut)> = Vec::new();
        for groove in &dish.grooves {
            let asked = self.asked_for(groove);
            let Some((index, own)) = asked.or_else(|| self.groove_cutter(groove)) else {
                continue;
            };
            let cut = Cut { depth: dish.surface_depth(groove.on) + own, own };
            match used.iter_mut().find(|(other, _)| *other == index) {
                Some((_, deepest)) => *deepest = deepest.deeper(cut),
                None => used.push((index, cut)),
            }
        }
        for (index, cut) in used {
            self.push(Work::Details, &self.shop.cutters[index], cut);
        }
    }

    /// The cutter the recipe asks for, or the nearest to it that makes the groove; where there
    /// is none, or another size stands in, that is said.
    fn asked_for(&mut self, groove: &GrooveCut) -> Option<(usize, f64)> {
        let wanted = groove.with.as_ref()?;
        let near = nearest(&self.shop.cutters, groove);
        let known = |finding: &Finding| finding.source.as_ref() == Some(&wanted.source);
        let stands_in = near.as_ref().is_none_or(|near| near.off > SAME_SIZE);
        if stands_in && !self.findings.iter().any(known) {
            let id = near.as_ref().map(|near| self.shop.cutters[near.cutter].id());
            self.findings.push(not_as_asked(wanted, id));
        }
        near.map(|near| (near.cutter, near.depth))
    }

    /// A cutter exactly as wide as the groove, else a V-bit sunk to that width, the one of
    /// 60 degrees or the nearest to it first; with the depth it works at, mm.
    fn groove_cutter(&self, groove: &GrooveCut) -> Option<(usize, f64)> {
        let cutters = || self.shop.cutters.iter().enumerate();
        let exact = cutters().find(|(_, c)| {
            matches!(c.kind(), CutterKind::BallNose | CutterKind::EndMill)
                && (c.diameter() - groove.width).abs() < 0.05
        });
        if let Some((index, _)) = exact {
            return Some((index, groove.depth));
        }
        let mut bits: Vec<(usize, &Cutter)> = cutters()
            .filter(|(_, c)| {
                c.kind() == CutterKind::VBit && c.narrowest() <= groove.width
            })
            .filter(|(_, c)| vee_depth(c, groove.width).is_finite())
            .collect();
        bits.sort_by(|a, b| {
            (a.1.angle() - 60.0).abs().total_cmp(&(b.1.angle() - 60.0).abs())
        });
        let (index, bit) = bits.first()?;
        Some((*index, vee_depth(bit, groove.width)))
    }

    fn name(&mut self, dish: &Dish, name: &NameCut) {
        let chosen = match name.style {
            NameStyle::Vee => self.vee_bit(name),
            NameStyle::Sunk => self
                .shop
                .cutters
                .iter()
                .filter(|c| {
                    c.kind() == CutterKind::EndMill
                        && name
                            .thinnest
                            .is_none_or(|(width, _)| c.diameter() <= width + 1e-6)
                })
                .max_by(|a, b| a.diameter().total_cmp(&b.diameter())),
            NameStyle::Line => line_cutter(&self.shop.cutters, name),
        };
        let Some(cutter) = chosen else { return };
        let own = match name.style {
            NameStyle::Vee => vee_depth(cutter, name.widest).min(name.depth),
            NameStyle::Sunk | NameStyle::Line => name.depth,
        };
        let depth = dish.surface_depth(name.on) + own;
        self.push(Work::Name, cutter, Cut { depth, own });
        self.long_enough(cutter, depth, name);
    }

    /// The finest V-bit that reaches the widest stroke's full depth within the limit; when
    /// none does, the bluntest, which leaves a flat at the limit.
    fn vee_bit(&self, name: &NameCut) -> Option<&'b Cutter> {
        let fits = |c: &&Cutter| {
            c.kind() == CutterKind::VBit
                && name.thinnest.is_none_or(|(width, _)| c.narrowest() <= width + 1e-6)
        };
        let shop: &'b Shop = self.shop;
        let bits = || shop.cutters.iter().filter(fits);
        bits()
            .filter(|c| {
                vee_depth(c, name.widest) <= name.depth && c.diameter() >= name.widest
            })
            .min_by(|a, b| a.angle().total_cmp(&b.angle()))
            .or_else(|| bits().max_by(|a, b| a.angle().total_cmp(&b.angle())))
    }

    /// The bit reaches down to a name inside a recess.
    fn long_enough(&mut self, cutter: &Cutter, depth: f64, name: &NameCut) {
        let room = clearance(cutter, depth, self.shop);
        if room.clears() {
            return;
        }
        let have = room.allowed.unwrap_or(depth);
        self.findings.push(
            Finding::stop(
                Code::CutDeeperThanStickout,
                format!(
                    "{} {} works {} mm below the board's top for the name; it may work {} mm",
                    cutter.kind().word(),
                    cutter.id(),
                    trimmed((depth * 100.0).round() / 100.0),
                    trimmed(have)
                ),
            )
            .from(name.source.clone())
            .have_need(have, depth)
            .remedy(
                RemedyKind::Depth,
                format!("a stick-out of {} mm, measured, would do", trimmed(((depth + self.shop.house.collet_margin.get()) * 100.0).ceil() / 100.0)),
                Some(depth + self.shop.house.collet_margin.get()),
            ),
        );
    }

    fn rounds(&mut self, dish: &Dish) {
        for (radius, work) in
            [(dish.recess_round, Work::RecessEdge), (dish.outer_round, Work::OuterEdge)]
        {
            let Some(radius) = radius.map(Mm::get).filter(|r| *r > 0.0) else { continue };
            let bits = || {
                self.shop.cutters.iter().filter(|c| c.kind() == CutterKind::RoundOverBit)
            };
            let near = |c: &&Cutter| (c.corner_radius() - radius).abs();
            let best = bits().min_by(|a, b| near(a).total_cmp(&near(b)));
            match best {
                Some(bit) if near(&bit) <= SAME_ROUND => {
                    self.push(work, bit, Cut::from_top(radius));
                }
                other => {
                    let by_hand = no_round(dish, radius, work, other);
                    self.findings.push(by_hand);
                }
            }
        }
    }

    fn cut_out(&mut self, dish: &Dish, report: &Report) {
        let rows = || report.swap.rows.iter().filter(|row| row.job == Job::Outline);
        let pinned = report.pinned.as_ref();
        let chosen = match pinned {
            Some(id) => rows().find(|row| row.id == *id),
            None => rows().find(|row| row.usable()),
        };
        if let Some(row) = chosen.filter(|row| row.usable()) {
            let depth = dish.wood.thickness.get() + self.shop.house.overcut.get();
            self.push(Work::CutOut, &self.shop.cutters[row.cutter], Cut::from_top(depth));
        }
    }

    fn push(&mut self, work: Work, cutter: &Cutter, cut: Cut) {
        let operation = operation(work, cutter, cut, self.shop);
        if operation.stick_out.is_none() {
            let known = self.findings.iter().any(|f| f.message.contains(cutter.id()));
            if !known {
                self.findings.push(unmeasured(cutter));
            }
        }
        self.plan.operations.push(operation);
    }
}

fn operation(work: Work, cutter: &Cutter, cut: Cut, shop: &Shop) -> Operation {
    let spec = cutter.spec();
    let step = spec.stepdown.map_or(cutter.radius(), Mm::get).max(0.1);
    let [least, most] = shop.machine.spindle;
    let speed = USUAL_SPEED.clamp(least, most.max(least));
    let feed = spec
        .chip_load
        .map(|load| (speed * f64::from(spec.flutes) * load).min(shop.machine.feed));
    Operation {
        work,
        cutter: cutter.id().to_owned(),
        cutter_text: format!(
            "{} {}",
            cutter.kind().word(),
            Mm::new(cutter.diameter()).unwrap_or(Mm::ZERO).show(shop.house.unit)
        ),
        diameter: cutter.diameter(),
        stick_out: cutter.stick_out(),
        depth: cut.depth,
        passes: (cut.own / step - 1e-9).ceil().max(1.0) as u32,
        speed: Some(speed),
        feed,
    }
}

fn area(dish: &Dish) -> f64 {
    dish.recesses.iter().map(|recess| recess.region.area()).sum()
}

fn no_round(dish: &Dish, radius: f64, work: Work, nearest: Option<&Cutter>) -> Finding {
    let finding = Finding::note(
        Code::CutterNotOnRack,
        format!(
            "no round-over bit of {} mm on the rack for the {}; it is rounded by hand",
            trimmed(radius),
            work.word()
        ),
    )
    .from(dish.source.clone());
    match nearest {
        Some(bit) => finding.remedy(
            RemedyKind::Cutter,
            format!("{} makes {} mm", bit.id(), trimmed(bit.corner_radius())),
            Some(bit.corner_radius()),
        ),
        None => finding.help("add a round-over bit under `cutters:` in the shop file"),
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
