//! A dish while it is drawn: values in scope, places of origin, findings so far.

use super::Loader;
use super::values::Values;
use crate::curve::primitive::DrawFault;
use crate::curve::{COORDINATE_LIMIT, Origin, Point, Region};
use crate::finding::{Code, Finding, Source};
use crate::model::{Formula, Point as Place};
use crate::units::brief;
use std::collections::BTreeSet;

/// No fillet, rim or moved edge is larger, mm.
const LARGEST_RADIUS: f64 = 1_000.0;

/// A dish while it is drawn. A `None` from any method means that a finding says why.
pub(super) struct Draft<'a> {
    pub(super) values: &'a Values,
    pub(super) load: Loader<'a>,
    /// Pieces of curve made by rings and rows so far.
    pub(super) copied: usize,
    /// How deep in groups and repeats.
    pub(super) depth: u32,
    /// Names whose values went into the part being drawn.
    used: BTreeSet<String>,
    origins: Vec<Source>,
    findings: Vec<Finding>,
}

impl<'a> Draft<'a> {
    /// Nothing drawn yet.
    pub(super) fn new(
        values: &'a Values,
        load: Loader<'a>,
        findings: Vec<Finding>,
    ) -> Self {
        let (used, origins) = (BTreeSet::new(), Vec::new());
        Self { values, load, copied: 0, depth: 0, used, origins, findings }
    }

    /// The places of origin, and everything found.
    pub(super) fn done(self) -> (Vec<Source>, Vec<Finding>) {
        (self.origins, self.findings)
    }

    /// A new origin for what is drawn at a place.
    pub(super) fn origin(&mut self, source: &Source) -> Origin {
        if self.origins.last() != Some(source) {
            self.origins.push(source.clone());
        }
        Origin(u32::try_from(self.origins.len().saturating_sub(1)).unwrap_or(u32::MAX))
    }

    /// The place an origin stands for.
    pub(super) fn source(&self, origin: Origin) -> Option<Source> {
        self.origins.get(origin.0 as usize).cloned()
    }

    /// Draws a part with a memory of its own of the names used; afterwards the names are
    /// those of the part and of what was drawn before.
    pub(super) fn apart<T>(&mut self, part: impl FnOnce(&mut Self) -> T) -> T {
        let before = std::mem::take(&mut self.used);
        let drawn = part(self);
        self.used.extend(before);
        drawn
    }

    /// Begins a part that has nothing to do with what was drawn before.
    pub(super) fn begin(&mut self) {
        self.used.clear();
    }

    /// The parameters that the part at hand was drawn from, in a sentence.
    pub(super) fn drawn_from(&self) -> Option<String> {
        self.values.told(&self.used)
    }

    /// Adds a finding, with the parameters that its part was drawn from.
    pub(super) fn say(&mut self, finding: Finding) {
        let finding = match self.drawn_from() {
            Some(told) => finding.help(told),
            None => finding,
        };
        if !self.findings.contains(&finding) {
            self.findings.push(finding);
        }
    }

    /// Adds a finding for what cannot be drawn at a place.
    pub(super) fn fault(&mut self, fault: DrawFault, source: &Source) {
        self.coded(Code::DrawingFault, fault, source, "change the numbers here");
    }

    /// The same with another code and another way out.
    pub(super) fn coded(
        &mut self,
        code: Code,
        fault: DrawFault,
        source: &Source,
        help: &str,
    ) {
        self.say(
            Finding::stop(code, fault.what)
                .from(source.clone())
                .expected(fault.expected)
                .help(help),
        );
    }

    /// The value, or a finding at its place.
    pub(super) fn drawn<T>(
        &mut self,
        result: Result<T, DrawFault>,
        source: &Source,
    ) -> Option<T> {
        result.map_err(|fault| self.fault(fault, source)).ok()
    }

    /// A formula's value; always finite.
    pub(super) fn number(&mut self, formula: &Formula) -> Option<f64> {
        self.used.extend(formula.names());
        formula.value(&self.values.names).map_err(|finding| self.say(*finding)).ok()
    }

    /// A formula's value, or another where there is no formula.
    pub(super) fn number_or(
        &mut self,
        formula: Option<&Formula>,
        or: f64,
    ) -> Option<f64> {
        formula.map_or(Some(or), |formula| self.number(formula))
    }

    /// A length above zero and below [`LARGEST_RADIUS`].
    pub(super) fn length(&mut self, formula: &Formula, of: &str) -> Option<f64> {
        let value = self.number(formula)?;
        if value > 0.0 && value <= LARGEST_RADIUS {
            return Some(value);
        }
        let fault = DrawFault::new(
            format!("{of} is {} mm", brief(value)),
            format!("more than 0 and at most {LARGEST_RADIUS} mm"),
        );
        self.fault(fault, formula.source());
        None
    }

    /// A length from zero to [`LARGEST_RADIUS`].
    pub(super) fn radius(&mut self, formula: &Formula, of: &str) -> Option<f64> {
        let value = self.number(formula)?;
        if (0.0..=LARGEST_RADIUS).contains(&value) {
            return Some(value);
        }
        let fault = DrawFault::new(
            format!("{of} is {} mm", brief(value)),
            format!("0 to {LARGEST_RADIUS} mm"),
        );
        self.fault(fault, formula.source());
        None
    }

    /// A point of the recipe.
    pub(super) fn point(&mut self, place: &Place) -> Option<Point> {
        let (x, y) = (self.number(&place.x), self.number(&place.y));
        Some(Point::new(x?, y?))
    }

    /// A point of the recipe, the origin where there is none.
    pub(super) fn point_or_origin(&mut self, place: Option<&Place>) -> Option<Point> {
        place.map_or(Some(Point::ORIGIN), |place| self.point(place))
    }

    /// The region if it lies within the workshop.
    pub(super) fn within(&mut self, region: Region, source: &Source) -> Option<Region> {
        let bounds = region.bounds();
        let far = [bounds.x0, bounds.y0, bounds.x1, bounds.y1];
        if far.iter().all(|value| value.abs() <= COORDINATE_LIMIT) {
            return Some(region);
        }
        let fault = DrawFault::new(
            "the drawing leaves the workshop",
            format!("coordinates of at most {COORDINATE_LIMIT} mm"),
        );
        self.fault(fault, source);
        None
    }
}
