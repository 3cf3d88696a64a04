//! Shapes of a recipe as paths and as areas.

use super::draft::Draft;
use super::placing::{carried, mirrored};
use crate::curve::primitive::{
    DrawFault, arc, circle, ellipse, petals, polygon, rectangle, spiral, star,
    superellipse,
};
use crate::curve::spline::{Spline, through};
use crate::curve::svg::{file_outline, path_data};
use crate::curve::{
    Affine, BezPath, PathEl, Point, Region, RegionFault, Vec2, first_crossing,
};
use crate::finding::{Code, Finding, Source};
use crate::model::{Formula, Mirror, Point as Place, Primitive, Shape, Text, WantedFace};

/// Groups and repeats may be nested so deep.
const DEEPEST: u32 = 24;

impl Draft<'_> {
    /// The area of a shape in place.
    pub(super) fn region(&mut self, shape: &Shape) -> Option<Region> {
        let map = self.placed(&shape.placing);
        let region = self.unplaced_region(shape, map.unwrap_or_default())?;
        let moved =
            if shape.placing.is_empty() { region } else { region.transformed(map?) };
        self.within(moved, &shape.source)
    }

    /// The path of a shape in place, for lines to write or carve along.
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "the other shapes are paths of their own"
    )]
    pub(super) fn line(&mut self, shape: &Shape) -> Option<BezPath> {
        let map = self.placed(&shape.placing);
        let path = match &shape.primitive {
            Primitive::Ring { .. } | Primitive::Row { .. } | Primitive::Pair { .. } => {
                self.repeated_line(shape)
            }
            Primitive::Group { steps } => {
                self.nested(&shape.source, |draft| draft.steps(steps)).map(|r| r.path())
            }
            _ => self.path(&shape.primitive, &shape.source),
        };
        Some(map? * path?)
    }

    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "the other shapes are paths of their own"
    )]
    fn unplaced_region(&mut self, shape: &Shape, map: Affine) -> Option<Region> {
        let source = &shape.source;
        match &shape.primitive {
            Primitive::Ring { .. } | Primitive::Row { .. } | Primitive::Pair { .. } => {
                self.repeated(shape)
            }
            Primitive::Group { steps } => self.nested(source, |draft| draft.steps(steps)),
            primitive => {
                let path = self.path(primitive, source)?;
                self.drawn_by_hand(primitive, &path, map, source)?;
                self.filled(&path, source)
            }
        }
    }

    /// Runs a part one level deeper.
    pub(super) fn nested<T>(
        &mut self,
        source: &Source,
        part: impl FnOnce(&mut Self) -> Option<T>,
    ) -> Option<T> {
        if self.depth >= DEEPEST {
            let what = "groups and repeats are nested too deeply";
            self.fault(DrawFault::new(what, format!("at most {DEEPEST} levels")), source);
            return None;
        }
        self.depth += 1;
        let result = part(self);
        self.depth -= 1;
        result
    }

    /// The area a path encloses.
    pub(super) fn filled(&mut self, path: &BezPath, source: &Source) -> Option<Region> {
        let origin = self.origin(source);
        match Region::filled(path, origin) {
            Ok(region) => Some(region),
            Err(RegionFault::Empty) => {
                let fault =
                    DrawFault::new("the shape has no area", "a shape with an area");
                self.fault(fault, source);
                None
            }
            Err(RegionFault::NotFinite) => {
                let fault = DrawFault::new(
                    "the shape leaves the workshop",
                    format!(
                        "coordinates of at most {} mm",
                        crate::curve::COORDINATE_LIMIT
                    ),
                );
                self.fault(fault, source);
                None
            }
        }
    }

    /// Curves drawn point by point must close and must not cross themselves.
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "the other shapes are drawn by rule"
    )]
    fn drawn_by_hand(
        &mut self,
        primitive: &Primitive,
        path: &BezPath,
        map: Affine,
        source: &Source,
    ) -> Option<()> {
        let what = match primitive {
            Primitive::Spline { closed: false, .. } => {
                self.open("the spline", "write `closed: true`", source);
                return None;
            }
            Primitive::Arc { .. } => {
                self.open("the arc", "carve it as a groove, or write along it", source);
                return None;
            }
            Primitive::Spiral { .. } => {
                self.open("the spiral", "carve it as a groove, or draw a spline", source);
                return None;
            }
            Primitive::Spline { .. } => "the spline",
            Primitive::Polygon { .. } => "the polygon",
            Primitive::Path { .. } => "the path",
            _ => return Some(()),
        };
        if let Primitive::Path { .. } = primitive
            && !ends_meet(path)
        {
            self.open("the path", "end each part of the path data with `Z`", source);
            return None;
        }
        let Some(point) = first_crossing(path) else { return Some(()) };
        let [x, y] = carried(map, point);
        self.say(
            Finding::stop(Code::SelfCrossing, format!("{what} crosses itself"))
                .at(x, y)
                .from(source.clone())
                .expected("a curve that does not cross itself")
                .help(
                    "move the points near the crossing apart, or draw two shapes and `add` \
                     one to the other",
                ),
        );
        None
    }

    fn open(&mut self, what: &str, help: &str, source: &Source) {
        let fault = DrawFault::new(format!("{what} is open"), "a closed curve");
        self.coded(Code::OpenOutline, fault, source, help);
    }

    /// A shape that is not made of others, as a path.
    fn path(&mut self, primitive: &Primitive, source: &Source) -> Option<BezPath> {
        match primitive {
            Primitive::Circle { .. }
            | Primitive::Ellipse { .. }
            | Primitive::Rectangle { .. }
            | Primitive::Star { .. }
            | Primitive::Petals { .. }
            | Primitive::Superellipse { .. }
            | Primitive::Arc { .. }
            | Primitive::Spiral { .. } => self.centred(primitive, source),
            Primitive::Polygon { points } => {
                let points = self.points(points)?;
                self.drawn(polygon(&points), source)
            }
            Primitive::Spline { through: list, closed, corners, tension, mirror } => {
                let points = self.points(list);
                let tension = self.number_or(tension.as_ref(), 1.0)?;
                let (points, corners) = match mirror {
                    Some(mirror) => both_sides(&points?, corners, *closed, *mirror),
                    None => (points?, corners.clone()),
                };
                let spline = Spline {
                    through: &points,
                    closed: *closed,
                    corners: &corners,
                    tension,
                };
                self.drawn(through(&spline), source)
            }
            Primitive::Path { d } => self.drawn(path_data(d), source),
            Primitive::Svg { file, width } => {
                let width = self.number(width)?;
                self.svg(file, width, source)
            }
            Primitive::Letter { text, center, height, face } => {
                let center = self.point_or_origin(center.as_ref());
                let height = self.length(height, "the height of the letter")?;
                self.letter(text, face, height, source)
                    .map(|path| {
                        Affine::translate(center.unwrap_or_default().to_vec2()) * path
                    })
                    .filter(|_| center.is_some())
            }
            Primitive::Ring { .. }
            | Primitive::Row { .. }
            | Primitive::Pair { .. }
            | Primitive::Group { .. } => None,
        }
    }

    /// Shapes about a centre.
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "the other shapes are not about a centre"
    )]
    fn centred(&mut self, primitive: &Primitive, source: &Source) -> Option<BezPath> {
        let path = match primitive {
            Primitive::Circle { center, radius } => {
                let (center, radius) =
                    (self.center(center.as_ref()), self.number(radius));
                circle(center?, radius?)
            }
            Primitive::Ellipse { center, radii } => {
                let (center, radii) = (self.center(center.as_ref()), self.point(radii));
                radii
                    .map(|radii| ellipse(center.unwrap_or_default(), radii.x, radii.y))?
            }
            Primitive::Rectangle { center, size, radius } => {
                let (center, size) = (self.center(center.as_ref()), self.point(size));
                let radius = self.number_or(radius.as_ref(), 0.0)?;
                let size = size?;
                rectangle(center?, size.x, size.y, radius)
            }
            Primitive::Star { center, points, outer, inner } => {
                let center = self.center(center.as_ref());
                let [points, outer, inner] = self.three([points, outer, inner])?;
                star(center?, points, outer, inner)
            }
            Primitive::Petals { center, count, radius, depth } => {
                let center = self.center(center.as_ref());
                let [count, radius, depth] = self.three([count, radius, depth])?;
                petals(center?, count, radius, depth)
            }
            Primitive::Superellipse { center, radii, exponent } => {
                let (center, radii) = (self.center(center.as_ref()), self.point(radii));
                let exponent = self.number(exponent)?;
                let radii = radii?;
                superellipse(center?, radii.x, radii.y, exponent)
            }
            Primitive::Arc { center, radius, middle, span, inside } => {
                let center = self.center(center.as_ref());
                let [radius, middle, span] = self.three([radius, middle, span])?;
                arc(center?, radius, [middle, span], *inside)
            }
            Primitive::Spiral { center, from, to, turns, start } => {
                let center = self.center(center.as_ref());
                let start = self.number_or(start.as_ref(), 0.0);
                let [from, to, turns] = self.three([from, to, turns])?;
                spiral(center?, [from, to], turns, start?)
            }
            _ => return None,
        };
        self.drawn(path, source)
    }

    fn center(&mut self, center: Option<&Place>) -> Option<Point> {
        self.point_or_origin(center)
    }

    fn three(&mut self, formulas: [&Formula; 3]) -> Option<[f64; 3]> {
        let [a, b, c] = formulas.map(|formula| self.number(formula));
        Some([a?, b?, c?])
    }

    fn points(&mut self, places: &[Place]) -> Option<Vec<Point>> {
        // Every point is looked at, so that every fault is found.
        let points: Vec<Option<Point>> =
            places.iter().map(|place| self.point(place)).collect();
        points.into_iter().collect()
    }

    fn svg(&mut self, file: &str, width: f64, source: &Source) -> Option<BezPath> {
        let outline = (self.load)
            .svg(file)
            .map_err(|why| {
                DrawFault::new(
                    format!("`{file}`: {why}"),
                    "an SVG file beside the recipe, below its folder",
                )
            })
            .and_then(|text| file_outline(&text, width));
        let help = "use an SVG file with plain filled shapes, saved without scripts, links \
                    and entities";
        outline.map_err(|fault| self.coded(Code::SvgFault, fault, source, help)).ok()
    }

    /// A text in outline, the middle of its capitals at the origin: half the height above the
    /// baseline, midway between the leftmost and the rightmost point.
    fn letter(
        &mut self,
        text: &Text,
        face: &[WantedFace],
        height: f64,
        source: &Source,
    ) -> Option<BezPath> {
        let text = match text {
            Text::Literal(text) => text,
            Text::Parameter(name) => {
                self.values.texts.get(name).map_or("", String::as_str)
            }
        };
        let face = self.letters(face, text)?;
        let written = face.write(text, height);
        for missing in &written.missing {
            self.say(
                Finding::stop(
                    Code::MissingLetter,
                    format!("no face has a letter for `{missing}`"),
                )
                .from(source.clone())
                .expected("letters that a face has")
                .help("choose another letter"),
            );
        }
        for (other, text) in &written.borrowed {
            let what = format!(
                "the face `{}` lacks \"{text}\": drawn in `{}`",
                face.name(),
                other.name()
            );
            self.say(
                Finding::note(Code::MissingLetter, what)
                    .from(source.clone())
                    .help(format!("`face: {}` says so", other.name())),
            );
        }
        let path: BezPath = written.glyphs.iter().flatten().collect();
        if path.elements().is_empty() {
            if written.missing.is_empty() {
                let fault =
                    DrawFault::new("the text draws nothing", "one letter or more");
                self.fault(fault, source);
            }
            return None;
        }
        let [left, right] = written.ink().unwrap_or_default();
        let middle = Vec2::new(f64::midpoint(left, right), height / 2.0);
        Some(Affine::translate(-middle) * path)
    }
}

/// Every part of a path ends where it starts, or says that it closes.
fn ends_meet(path: &BezPath) -> bool {
    let (mut start, mut at, mut open) = (Point::ORIGIN, Point::ORIGIN, false);
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => {
                if open && at.distance(start) > 1e-6 {
                    return false;
                }
                (start, at, open) = (p, p, false);
            }
            PathEl::ClosePath => (at, open) = (start, false),
            PathEl::LineTo(p) | PathEl::QuadTo(_, p) | PathEl::CurveTo(_, _, p) => {
                (at, open) = (p, true);
            }
        }
    }
    !open || at.distance(start) <= 1e-6
}

/// Points and their mirror images, last to first, with their corners. A point on the mirror
/// is taken once.
fn both_sides(
    points: &[Point],
    corners: &[usize],
    closed: bool,
    mirror: Mirror,
) -> (Vec<Point>, Vec<usize>) {
    let map = mirrored(mirror);
    let turned = |point: &Point| map * *point;
    let on_mirror = |point: Option<&Point>| {
        point.is_some_and(|point| point.distance(turned(point)) < 1e-6)
    };
    let once_last = usize::from(on_mirror(points.last()));
    let once_first = usize::from(closed && on_mirror(points.first()));
    let back = points.iter().skip(once_first).rev().skip(once_last).map(turned);
    let all: Vec<Point> = points.iter().copied().chain(back).collect();
    let image = |corner: &usize| (2 * points.len()).checked_sub(1 + once_last + corner);
    let images = corners.iter().filter_map(image).filter(|image| *image < all.len());
    let corners = corners.iter().copied().chain(images).collect();
    (all, corners)
}
