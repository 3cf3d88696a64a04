//! Copies around a centre, in a row and across a mirror.

use super::draft::Draft;
use super::placing::mirrored;
use crate::curve::primitive::{DrawFault, count};
use crate::curve::{Affine, BezPath, Region, Vec2};
use crate::finding::Source;
use crate::model::{Primitive, Shape};

/// Most pieces of curve in the copies of one dish.
const MOST_PIECES: usize = 40_000;

impl Draft<'_> {
    /// The joined areas of all copies.
    pub(super) fn repeated(&mut self, shape: &Shape) -> Option<Region> {
        let (of, maps) = self.copies(shape)?;
        let one = self.nested(&shape.source, |draft| draft.region(of))?;
        self.afford(one.path().elements().len(), maps.len(), &shape.source)?;
        let mut copies = Vec::new();
        for map in maps {
            copies.push(self.within(one.transformed(map), &shape.source)?);
        }
        joined(copies)
    }

    /// The paths of all copies.
    pub(super) fn repeated_line(&mut self, shape: &Shape) -> Option<BezPath> {
        let (of, maps) = self.copies(shape)?;
        let one = self.nested(&shape.source, |draft| draft.line(of))?;
        self.afford(one.elements().len(), maps.len(), &shape.source)?;
        Some(maps.into_iter().flat_map(|map| map * one.clone()).collect())
    }

    #[expect(clippy::wildcard_enum_match_arm, reason = "the other shapes stand alone")]
    fn copies<'s>(&mut self, shape: &'s Shape) -> Option<(&'s Shape, Vec<Affine>)> {
        match &shape.primitive {
            Primitive::Ring { count: number, radius, center, start, sweep, of } => {
                let number = self.number(number);
                let radius = self.number(radius);
                let center = self.point_or_origin(center.as_ref());
                let start = self.number_or(start.as_ref(), 0.0);
                let sweep = self.number_or(sweep.as_ref(), 360.0);
                let number = self.how_many(number?, &shape.source)?;
                let (center, radius) = (center?.to_vec2(), radius?);
                let (start, sweep) = (start?, sweep?);
                let map = |i: u32| {
                    let degrees = start + sweep * f64::from(i) / f64::from(number);
                    Affine::translate(center)
                        * Affine::rotate(degrees.rem_euclid(360.0).to_radians())
                        * Affine::translate(Vec2::new(radius, 0.0))
                };
                Some((of, (0..number).map(map).collect()))
            }
            Primitive::Row { count: number, step, of } => {
                let number = self.number(number);
                let step = self.point(step)?.to_vec2();
                let number = self.how_many(number?, &shape.source)?;
                let map = |i: u32| Affine::translate(step * f64::from(i));
                Some((of, (0..number).map(map).collect()))
            }
            Primitive::Pair { mirror, of } => {
                Some((of, vec![Affine::IDENTITY, mirrored(*mirror)]))
            }
            _ => None,
        }
    }

    fn how_many(&mut self, number: f64, source: &Source) -> Option<u32> {
        self.drawn(count("copies", number, 1), source)
    }

    /// Counts the pieces that so many copies make.
    fn afford(&mut self, pieces: usize, copies: usize, source: &Source) -> Option<()> {
        self.copied = self.copied.saturating_add(pieces.saturating_mul(copies));
        if self.copied <= MOST_PIECES {
            return Some(());
        }
        let fault = DrawFault::new(
            "the copies make too many pieces of curve",
            format!("at most {MOST_PIECES} in all"),
        );
        self.fault(fault, source);
        None
    }
}

/// All of them in one, a few at a time so that what is hidden inside is soon gone.
pub(super) fn joined(mut regions: Vec<Region>) -> Option<Region> {
    const AT_ONCE: usize = 8;
    while regions.len() > 1 {
        regions = regions.chunks(AT_ONCE).map(Region::united).collect();
    }
    regions.pop()
}
