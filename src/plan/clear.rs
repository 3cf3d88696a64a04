//! Whether the chosen cutters come down to name, details and edges without nut, shank or
//! body meeting wood, and what would do where they do not.

use super::groove::{groove_depth, vee_depth};
use super::{Operation, Plan, Work};
use crate::dish::{Dish, GrooveCut, NameCut};
use crate::feasibility::{Carving, Obstacle, Part, Tips, clearance, obstacles};
use crate::finding::{Code, Finding, RemedyKind, Source};
use crate::model::{Cutter, CutterKind, NameStyle, Shop};
use crate::units::{hundredths_down, hundredths_up, trimmed};

/// Letters shallower than this are not offered, mm.
const SHALLOWEST: f64 = 0.3;

/// What stands in the way of name and edges: recess and cut-out are looked at with their swap
/// rows, details groove by groove.
pub(super) fn in_the_way(dish: &Dish, plan: &Plan, shop: &Shop) -> Vec<Finding> {
    let mut findings = Vec::new();
    for operation in &plan.operations {
        let Some(cutter) = shop.cutters.iter().find(|c| c.id() == operation.cutter)
        else {
            continue;
        };
        match operation.work {
            Work::Name => {
                if let Some(name) = &dish.name {
                    findings.extend(letters(dish, shop, name, cutter));
                }
            }
            Work::RecessEdge | Work::OuterEdge => {
                findings.extend(edge(dish, shop, operation, cutter));
            }
            Work::Recess | Work::RecessCorners | Work::Details | Work::CutOut => {}
        }
    }
    findings
}

/// One carving and the cutters of the rack that could do it.
struct Case<'a> {
    dish: &'a Dish,
    shop: &'a Shop,
    /// In words, e.g. `the name`.
    what: &'static str,
    cutter: &'a Cutter,
    carving: Carving<'a>,
    /// The others, each with its depth below the surface, mm.
    others: Vec<(&'a Cutter, f64)>,
    source: &'a Source,
}

/// Depth of the letters below their surface with one cutter, mm; `None` for a cutter that
/// does not carve them.
pub(super) fn letter_depth(name: &NameCut, cutter: &Cutter) -> Option<f64> {
    let fine = name.thinnest.is_none_or(|(width, _)| cutter.narrowest() <= width + 1e-6);
    match (name.style, cutter.kind()) {
        (NameStyle::Vee, CutterKind::VBit) if fine => {
            Some(vee_depth(cutter, name.widest).min(name.depth))
        }
        (NameStyle::Sunk, CutterKind::EndMill) if fine => Some(name.depth),
        _ => None,
    }
}

fn letters<'a>(
    dish: &'a Dish,
    shop: &'a Shop,
    name: &'a NameCut,
    cutter: &'a Cutter,
) -> Vec<Finding> {
    let own = letter_depth(name, cutter).unwrap_or(name.depth);
    let case = Case {
        dish,
        shop,
        what: "the name",
        cutter,
        carving: Carving { tips: Tips::Within(&name.region), on: name.on, own },
        others: others(shop, cutter, |c| letter_depth(name, c)),
        source: &name.source,
    };
    case.findings()
}

/// What stands in the way of one groove with the cutter chosen for it.
pub(super) fn groove_in_the_way(
    dish: &Dish,
    shop: &Shop,
    groove: &GrooveCut,
    (cutter, own): (&Cutter, f64),
) -> Vec<Finding> {
    let case = Case {
        dish,
        shop,
        what: "a detail",
        cutter,
        carving: Carving { tips: Tips::Along(&groove.line), on: groove.on, own },
        others: others(shop, cutter, |c| groove_depth(c, groove).ok()),
        source: &groove.source,
    };
    case.findings()
}

fn others<'a>(
    shop: &'a Shop,
    not: &Cutter,
    depth: impl Fn(&Cutter) -> Option<f64>,
) -> Vec<(&'a Cutter, f64)> {
    let rest = shop.cutters.iter().filter(|c| c.id() != not.id());
    rest.filter_map(|c| Some((c, depth(c)?))).collect()
}

/// A round-over bit goes down by its radius only.
fn edge(
    dish: &Dish,
    shop: &Shop,
    operation: &Operation,
    cutter: &Cutter,
) -> Option<Finding> {
    let room = clearance(cutter, operation.depth, shop);
    let have = room.allowed.filter(|_| !room.within_stick_out())?;
    let out = hundredths_up(operation.depth + shop.house.collet_margin.get());
    Some(
        Finding::stop(
            Code::CutDeeperThanStickout,
            format!(
                "{} {} works {} mm below the board's top for the {}; it may work {} mm",
                cutter.kind().word(),
                cutter.id(),
                trimmed(operation.depth),
                operation.work.word(),
                trimmed(have)
            ),
        )
        .from(dish.source.clone())
        .have_need(have, operation.depth)
        .remedy(RemedyKind::Depth, stick_out(out), Some(out)),
    )
}

impl Case<'_> {
    fn findings(&self) -> Vec<Finding> {
        let found = obstacles(self.dish, self.shop, self.cutter, &self.carving);
        found.iter().map(|obstacle| self.finding(obstacle)).collect()
    }

    fn finding(&self, obstacle: &Obstacle) -> Finding {
        let code = match obstacle.part {
            Part::NutOnSurface => Code::CutDeeperThanStickout,
            Part::NutOnRim => Code::ColletNutHitsRim,
            Part::Body => Code::CutterTouchesWall,
            Part::Shank => Code::CutDeeperThanFlute,
        };
        let finding = Finding::stop(code, self.message(obstacle))
            .from(self.source.clone())
            .have_need(obstacle.have, obstacle.need);
        let finding = match obstacle.at {
            Some(at) => finding.at(at.x, at.y),
            None => finding,
        };
        self.remedies(finding, obstacle)
    }

    fn message(&self, obstacle: &Obstacle) -> String {
        let Obstacle { have, need, .. } = *obstacle;
        let (have, need) = (round(have), round(need));
        let who = format!("{} {}", self.cutter.kind().word(), self.cutter.id());
        let floor = self.dish.surface_depth(self.carving.on);
        let depth = round(floor + self.carving.own);
        let out = round(self.cutter.stick_out().unwrap_or(0.0));
        let what = self.what;
        match obstacle.part {
            Part::NutOnSurface => format!(
                "{who} goes {need} mm into the wood for {what}; it may go {have} mm (stick-out less the collet margin)"
            ),
            Part::NutOnRim => format!(
                "{who} stands out {out} mm and works {depth} mm below the board's top for {what}: the collet nut is in the recess, and its tip comes within {have} mm of the rim; nut and margin take {need} mm"
            ),
            Part::Body => format!(
                "{who} is {need} mm wide from its axis above the floor of the recess, and for {what} its tip comes within {have} mm of the wall"
            ),
            Part::Shank => format!(
                "{who} goes {need} mm into the wood for {what}; its flutes are {have} mm, the shank rubs above"
            ),
        }
    }

    fn remedies(&self, mut finding: Finding, obstacle: &Obstacle) -> Finding {
        if let Some((other, _)) = self.others.iter().find(|other| self.clears(other)) {
            let text = format!("{} carves it and clears the wood", other.id());
            finding = finding.remedy(RemedyKind::Cutter, text, Some(other.diameter()));
        }
        let nut = matches!(obstacle.part, Part::NutOnRim | Part::NutOnSurface);
        if nut {
            let floor = self.dish.surface_depth(self.carving.on);
            let margin = self.shop.house.collet_margin.get();
            let out = hundredths_up(floor + self.carving.own + margin);
            finding = finding.remedy(RemedyKind::Depth, stick_out(out), Some(out));
        }
        if obstacle.part == Part::NutOnRim {
            finding = self.shallower(finding);
        }
        if self.dish.name.is_some() && self.what == "the name" {
            let depth = hundredths_down(obstacle.own);
            if depth >= SHALLOWEST {
                let text = format!("`depth: {} mm` for the name", trimmed(depth));
                finding = finding.remedy(RemedyKind::Depth, text, Some(depth));
            }
        }
        if matches!(obstacle.part, Part::Body | Part::NutOnRim) {
            let away = hundredths_up(obstacle.need - obstacle.have);
            let text = format!("keep it {} mm farther from the wall", trimmed(away));
            finding = finding.remedy(RemedyKind::Edit, text, Some(away));
        }
        finding
    }

    /// A recess so shallow that the nut stays above the board.
    fn shallower(&self, finding: Finding) -> Finding {
        let margin = self.shop.house.collet_margin.get();
        let out = self.cutter.stick_out().unwrap_or(0.0) - margin;
        let depth = out - self.carving.own;
        let thickness = self.dish.wood.thickness.get();
        let kept =
            self.dish.recesses.iter().map(|r| r.floor).fold(f64::INFINITY, f64::min);
        if depth <= 0.0 || depth >= thickness {
            return finding;
        }
        let (floor, board) =
            (hundredths_up(thickness - depth), hundredths_down(kept + depth));
        finding
            .remedy(
                RemedyKind::Depth,
                format!("keep a floor of {} mm", trimmed(floor)),
                Some(floor),
            )
            .remedy(
                RemedyKind::Depth,
                format!("use a board of at most {} mm", trimmed(board)),
                Some(board),
            )
    }

    fn clears(&self, (cutter, own): &(&Cutter, f64)) -> bool {
        let carving = Carving { own: *own, ..self.carving };
        obstacles(self.dish, self.shop, cutter, &carving).is_empty()
    }
}

fn stick_out(out: f64) -> String {
    format!("a stick-out of {} mm, measured, would do", trimmed(out))
}

fn round(mm: f64) -> String {
    trimmed((mm * 100.0).round() / 100.0)
}
