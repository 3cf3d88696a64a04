//! The steps of a drawing, first to last.

use super::draft::Draft;
use super::repeat::joined;
use crate::curve::primitive::DrawFault;
use crate::curve::{Origin, Piece, Point, Region};
use crate::finding::{Code, Finding, Source};
use crate::model::{Formula, Recipe, Shape, Step, Verb};
use crate::reach;
use crate::units::trimmed;

/// A working of `reach`: a region, a length in mm, the origin of new arcs.
type Working = fn(&Region, f64, Origin) -> Option<Region>;

impl Draft<'_> {
    /// The outside of the dish: one part with an area.
    pub(super) fn outline(&mut self, recipe: &Recipe) -> Option<Region> {
        self.begin();
        let outline = self.steps(&recipe.outline)?;
        if outline.parts() <= 1 {
            return Some(outline);
        }
        let parts = outline.parts();
        let piece = smallest_part(&outline);
        let place = piece.map_or(Point::ORIGIN, |piece| piece.curve.start());
        let source = piece
            .and_then(|piece| self.source(piece.origin))
            .unwrap_or_else(|| recipe.source.clone());
        self.say(
            Finding::stop(
                Code::LoosePiece,
                format!("the outline falls into {parts} separate pieces"),
            )
            .at(place.x, place.y)
            .from(source)
            .have_need(f64::from(u32::try_from(parts).unwrap_or(u32::MAX)), 1.0)
            .expected("one piece of wood")
            .help("move the pieces until they overlap, or `grow` the smaller one"),
        );
        None
    }

    /// The area after all steps; a finding if nothing is left.
    pub(super) fn steps(&mut self, steps: &[Step]) -> Option<Region> {
        let mut area = Region::default();
        let mut whole = true;
        let mut emptied = None;
        // Shapes added one after the other are joined in one go.
        let adds = |a: &Step, b: &Step| [a, b].iter().all(|s| added(s).is_some());
        for group in steps.chunk_by(adds) {
            let had = !area.is_empty();
            match self.apart(|draft| draft.group(group, &area)) {
                Some(next) => area = next,
                None => whole = false,
            }
            if had && area.is_empty() {
                emptied = group.last();
            }
        }
        if whole && area.is_empty() {
            let step = emptied.or(steps.last());
            self.nothing_left(step.map(|step| &step.source));
        }
        Some(area).filter(|area| whole && !area.is_empty())
    }

    /// The area after one step, or after several that add.
    fn group(&mut self, steps: &[Step], area: &Region) -> Option<Region> {
        let shapes: Vec<&Shape> = steps.iter().filter_map(added).collect();
        if let ([step], []) = (steps, shapes.as_slice()) {
            return self.step(step, area);
        }
        let drawn: Vec<Option<Region>> =
            shapes.into_iter().map(|s| self.apart(|draft| draft.region(s))).collect();
        let mut regions = drawn.into_iter().collect::<Option<Vec<_>>>()?;
        if !area.is_empty() {
            regions.insert(0, area.clone());
        }
        joined(regions)
    }

    fn nothing_left(&mut self, source: Option<&Source>) {
        let finding =
            Finding::stop(Code::EmptyOutline, "the drawing has no area left here")
                .expected("an outline with an area")
                .help("start with a shape to `add`, and cut, keep, shrink or round less");
        self.say(match source {
            Some(source) => finding.from(source.clone()),
            None => finding,
        });
    }

    fn step(&mut self, step: &Step, area: &Region) -> Option<Region> {
        let source = &step.source;
        let next = match &step.verb {
            Verb::Add(shape) => area.unite(&self.region(shape)?),
            Verb::Cut(shape) => area.cut(&self.region(shape)?),
            Verb::Keep(shape) => area.keep(&self.region(shape)?),
            Verb::Place(placing) => area.transformed(self.placing(placing)?),
            Verb::Fillet { inside, outside } => {
                let outer = self.fillet(outside.as_ref(), "the outside fillet")?;
                let inner = self.fillet(inside.as_ref(), "the inside fillet")?;
                // Inside last: its radius is what the cutter must follow.
                let rounded = self.worked(area, outer, reach::opening, source)?;
                self.worked(&rounded, inner, reach::closing, source)?
            }
            Verb::Grow(by) => {
                let by = self.radius(by, "the growth")?;
                self.worked(area, by, reach::grow, source)?
            }
            Verb::Shrink(by) => {
                let by = self.radius(by, "the shrinkage")?;
                self.worked(area, by, reach::shrink, source)?
            }
        };
        self.within(next, source)
    }

    fn fillet(&mut self, radius: Option<&Formula>, of: &str) -> Option<f64> {
        radius.map_or(Some(0.0), |radius| self.radius(radius, of))
    }

    /// One working of `reach`; new arcs come from the step.
    pub(super) fn worked(
        &mut self,
        area: &Region,
        by: f64,
        how: Working,
        source: &Source,
    ) -> Option<Region> {
        if by <= 0.0 || area.is_empty() {
            return Some(area.clone());
        }
        let origin = self.origin(source);
        let result = how(area, by, origin);
        if result.is_none() {
            let fault = DrawFault::new(
                format!(
                    "rounding or moving the edge by {} mm could not be made sure of",
                    trimmed(by)
                ),
                "an edge that can be worked out exactly",
            );
            self.coded(
                Code::DrawingFault,
                fault,
                source,
                "change the radius or the drawing a little",
            );
        }
        result
    }
}

/// The shape a step adds.
fn added(step: &Step) -> Option<&Shape> {
    if let Verb::Add(shape) = &step.verb { Some(shape) } else { None }
}

/// A piece of the edge of the smallest separate part.
fn smallest_part(region: &Region) -> Option<&Piece> {
    region
        .contours()
        .iter()
        .filter(|contour| contour.signed_area() > 0.0)
        .min_by(|a, b| a.signed_area().total_cmp(&b.signed_area()))
        .and_then(|contour| contour.pieces().first())
}
