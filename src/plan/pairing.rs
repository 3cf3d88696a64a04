//! What is said about the cutters a plan carves the recesses with.

use super::{Plan, Work};
use crate::dish::Dish;
use crate::feasibility::{Job, Pair, Report};
use crate::finding::{Code, Finding, RemedyKind};
use crate::model::{Cutter, Shop};
use crate::units::trimmed;

/// The recesses and the cutters of a plan.
pub(super) struct Paired<'a> {
    pub dish: &'a Dish,
    pub shop: &'a Shop,
    pub report: &'a Report,
    pub plan: &'a Plan,
    pub pair: &'a Pair,
}

impl<'a> Paired<'a> {
    pub(super) fn findings(&self) -> Vec<Finding> {
        let first = &self.shop.cutters[self.pair.first];
        let second = self.pair.second.map(|index| &self.shop.cutters[index]);
        let mut found = Vec::new();
        if let Some(second) = second {
            found.extend(self.shared(first, second));
        }
        found.extend(self.separate(first));
        found
    }

    /// The first cutter leaves places to the second.
    fn shared(&self, first: &Cutter, second: &Cutter) -> Option<Finding> {
        let low = self.report.swap.inside?;
        let (count, left) = (self.pair.spots(), self.pair.area_left());
        let area: f64 = self.dish.recesses.iter().map(|r| r.region.area()).sum();
        let row = self
            .report
            .swap
            .rows
            .iter()
            .find(|row| row.job == Job::Recess && row.cutter == self.pair.first)?;
        let message = format!(
            "{} {} does not reach {count} place{} of the recess ({} mm², {} % of it); {} follows after it",
            first.kind().word(),
            first.id(),
            if count == 1 { "" } else { "s" },
            trimmed((left * 10.0).round() / 10.0),
            trimmed((left / area * 1e4).round() / 100.0),
            second.id(),
        );
        let narrowest = &self.dish.recesses[self.report.swap.narrowest];
        let mut finding = Finding::note(Code::RecessNeedsSmallerCutter, message)
            .at(low.at.x, low.at.y)
            .from(narrowest.source.clone())
            .have_need(low.radius, row.radius);
        if let Some(alone) = self.alone() {
            let text = format!("{} alone reaches everywhere", alone.id());
            finding = finding.remedy(RemedyKind::Cutter, text, Some(alone.diameter()));
        }
        let text = format!(
            "`corners: {} mm` in the recess lets {} do all of it",
            trimmed(row.radius),
            first.id()
        );
        Some(finding.remedy(RemedyKind::Fillet, text, Some(row.radius)))
    }

    /// The quickest of those that carve the recesses by themselves, as far as estimated.
    fn alone(&self) -> Option<&'a Cutter> {
        let able = |work: Work| {
            let choice = self.plan.choices.iter().find(|choice| choice.work == work);
            choice.map(|choice| choice.able.as_slice()).unwrap_or_default()
        };
        let everywhere = able(Work::RecessCorners);
        let quickest = able(Work::Recess)
            .iter()
            .filter(|one| everywhere.iter().any(|other| other.cutter == one.cutter))
            .min_by(|a, b| a.minutes.total_cmp(&b.minutes))?;
        self.shop.cutters.iter().find(|c| c.id() == quickest.cutter)
    }

    /// Parts of a recess that the first cutter reaches only by plunging there again.
    fn separate(&self, first: &Cutter) -> Vec<Finding> {
        let mut found = Vec::new();
        for (recess, reached) in self.dish.recesses.iter().zip(&self.pair.reached) {
            let parts = reached.by_first.parts();
            if parts <= recess.region.parts() {
                continue;
            }
            let message = format!(
                "{} {} fits into {parts} separate parts of the recess: it must plunge into each",
                first.kind().word(),
                first.id()
            );
            let mut finding = Finding::note(Code::SeparatePlunge, message)
                .from(recess.source.clone())
                .help("a smaller cutter passes between them");
            let outer = reached.by_first.contours().iter();
            let smallest = outer
                .filter(|contour| contour.signed_area() > 0.0)
                .min_by(|a, b| a.signed_area().total_cmp(&b.signed_area()));
            if let Some(at) = smallest.map(|contour| contour.bounds().center()) {
                finding = finding.at(at.x, at.y);
            }
            found.push(finding);
        }
        found
    }
}
