//! What is said about the rounding of an edge.

use super::carved::round;
use super::clear::stick_out;
use super::edging::{SAME_ROUND, edge, shallowest, tip, too_tight};
use super::{Plan, Work};
use crate::dish::Dish;
use crate::feasibility::clearance;
use crate::finding::{Code, Finding, RemedyKind, Severity};
use crate::model::{Cutter, CutterKind, Shop};
use crate::units::{hundredths_down, hundredths_up, trimmed};

/// An edge that is asked to be round: why no bit rounds it, or what its bit meets.
pub(super) fn of_edge(
    dish: &Dish,
    shop: &Shop,
    plan: &Plan,
    work: Work,
) -> Option<Finding> {
    let (radius, _) = edge(dish, work)?;
    let off = |bit: &Cutter| (bit.corner_radius() - radius).abs();
    let bits = shop.cutters.iter().filter(|c| c.kind() == CutterKind::RoundOverBit);
    let nearest = bits.min_by(|a, b| off(a).total_cmp(&off(b)));
    let Some(bit) = nearest.filter(|bit| off(bit) <= SAME_ROUND) else {
        return Some(no_round(dish, radius, work, nearest));
    };
    let case = Case { dish, shop, plan, work, bit, radius };
    if plan.operations.iter().any(|op| op.work == work) {
        return case.foot();
    }
    case.floor()
        .or_else(|| case.too_short())
        .or_else(|| case.corner())
        .or_else(|| case.groove())
}

fn no_round(dish: &Dish, radius: f64, work: Work, nearest: Option<&Cutter>) -> Finding {
    let message = format!(
        "no round-over bit of {} mm on the rack for the {}; it is rounded by hand",
        trimmed(radius),
        work.word()
    );
    let finding = Finding::note(Code::CutterNotOnRack, message).from(dish.source.clone());
    match nearest {
        Some(bit) => finding.remedy(
            RemedyKind::Cutter,
            format!("{} makes {} mm", bit.id(), trimmed(bit.corner_radius())),
            Some(bit.corner_radius()),
        ),
        None => finding.help("add a round-over bit under `cutters:` in the shop file"),
    }
}

/// A bit of the right radius at an edge.
struct Case<'a> {
    dish: &'a Dish,
    shop: &'a Shop,
    plan: &'a Plan,
    work: Work,
    bit: &'a Cutter,
    /// Of the round, mm.
    radius: f64,
}

impl Case<'_> {
    fn bit(&self) -> String {
        format!("{} {}", self.bit.kind().word(), self.bit.id())
    }

    /// A note at the recess for its edge, at the recipe for the outer one.
    fn finding(&self, code: Code, message: String) -> Finding {
        let recess = self.dish.recesses.first().map(|recess| &recess.source);
        let place = recess.filter(|_| self.work == Work::RecessEdge);
        Finding::note(code, message).from(place.unwrap_or(&self.dish.source).clone())
    }

    fn floor(&self) -> Option<Finding> {
        let deep = shallowest(self.dish).filter(|_| self.work == Work::RecessEdge)?;
        if deep >= self.radius - 1e-9 {
            return None;
        }
        let message = format!(
            "{} would go {} mm deep at the recess edge; the recess is only {} mm deep, so the edge is left as it is",
            self.bit(),
            round(self.radius),
            round(deep)
        );
        let most = hundredths_down(deep);
        let mut finding = self.finding(Code::EdgeDeeperThanRecess, message);
        finding.severity = Severity::Warn;
        Some(finding.have_need(deep, self.radius).remedy(
            RemedyKind::Edit,
            format!("a round of at most {} mm, or a deeper recess", trimmed(most)),
            Some(most),
        ))
    }

    fn too_short(&self) -> Option<Finding> {
        let room = clearance(self.bit, self.radius, self.shop);
        let have = room.allowed.filter(|_| !room.within_stick_out())?;
        let out = hundredths_up(self.radius + self.shop.house.collet_margin.get());
        let message = format!(
            "{} works {} mm below the board's top for the {}; it may work {} mm, so it is rounded by hand",
            self.bit(),
            trimmed(self.radius),
            self.work.word(),
            trimmed(have)
        );
        let finding = Finding::note(Code::CutDeeperThanStickout, message)
            .from(self.dish.source.clone());
        Some(finding.have_need(have, self.radius).remedy(
            RemedyKind::Depth,
            stick_out(out),
            Some(out),
        ))
    }

    /// The tip does not come into a corner of the recess.
    fn corner(&self) -> Option<Finding> {
        let tip = tip(self.bit);
        let have = too_tight(self.dish, self.shop, tip)
            .filter(|_| self.work == Work::RecessEdge)?;
        let message = format!(
            "the tip of {}, {} mm wide, does not come into a corner of the recess, which has a radius of {} mm: the recess edge is rounded by hand",
            self.bit(),
            round(2.0 * tip),
            round(have)
        );
        let least = hundredths_up(tip);
        let finding = self.finding(Code::RecessCornerUnreached, message);
        Some(finding.have_need(have, tip).remedy(
            RemedyKind::Fillet,
            format!("`corners: {} mm` in the recess lets it come round", trimmed(least)),
            Some(least),
        ))
    }

    /// The tip does not go into the groove of the cut-out.
    fn groove(&self) -> Option<Finding> {
        if self.work != Work::OuterEdge {
            return None;
        }
        let need = 2.0 * tip(self.bit);
        let used = self.plan.operations.iter().find(|op| op.work == Work::CutOut)?;
        let message = format!(
            "the tip of {}, {} mm wide, does not go into the groove of {} mm that {} cuts round the dish: the outer edge is rounded by hand",
            self.bit(),
            round(need),
            round(used.diameter),
            used.cutter
        );
        let finding = self.finding(Code::CutterTouchesWall, message);
        Some(finding.have_need(used.diameter, need).remedy(
            RemedyKind::Cutter,
            format!(
                "cut out with {} mm or more, or round with a narrower tip",
                round(need)
            ),
            Some(need),
        ))
    }

    /// The tip meets the curve that a recess cutter leaves at the foot of the wall.
    fn foot(&self) -> Option<Finding> {
        let deep = shallowest(self.dish).filter(|_| self.work == Work::RecessEdge)?;
        let carves = |work| matches!(work, Work::Recess | Work::RecessCorners);
        let corner = self.plan.operations.iter().filter(|op| carves(op.work));
        let corner = corner
            .filter_map(|op| self.shop.cutters.iter().find(|c| c.id() == op.cutter))
            .map(Cutter::corner_radius)
            .fold(0.0, f64::max)
            .min(deep);
        let free = deep - corner;
        let below = self.radius - free;
        if below <= 1e-9 {
            return None;
        }
        let into = corner - (corner * corner - below * below).max(0.0).sqrt();
        let message = format!(
            "{} works {} mm deep at the recess edge, where the foot of the wall begins to curve at {} mm: its tip takes up to {} mm off the curve",
            self.bit(),
            round(self.radius),
            round(free),
            round(into)
        );
        let deeper = hundredths_up(self.radius + corner);
        let mut finding = self.finding(Code::EdgeDeeperThanRecess, message);
        finding.severity = Severity::Warn;
        Some(finding.have_need(free, self.radius).remedy(
            RemedyKind::Depth,
            format!("a recess {} mm deep, or a smaller round", trimmed(deeper)),
            Some(deeper),
        ))
    }
}
