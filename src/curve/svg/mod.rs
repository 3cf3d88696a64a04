//! Outlines from SVG path data and SVG files, and into such files.
//!
//! A file is screened before it is unfolded: nothing in it may run, point outside itself or
//! grow without bound. No file and no network is ever read here.

mod screen;
mod write;

pub use write::{area_data, drawing, line_data, number};

use super::piece::Origin;
use super::primitive::{DrawFault, placed};
use super::region::{Region, RegionFault};
use crate::units::brief;
use kurbo::{Affine, BezPath, PathEl, Point, Vec2};
use usvg::tiny_skia_path::{PathSegment, Point as SkiaPoint};

/// Most bytes of path data.
const LONGEST_DATA: usize = 60_000;
/// Most segments in one file.
const MOST_SEGMENTS: usize = 20_000;

/// SVG path data as a path, taken as written: y up, mm.
pub fn path_data(d: &str) -> Result<BezPath, DrawFault> {
    let expected = "SVG path data such as `M0 0 L50 0 L50 30 Z`";
    if d.len() > LONGEST_DATA {
        let what = format!("the path data has {} bytes", d.len());
        return Err(DrawFault::new(what, format!("at most {LONGEST_DATA} bytes")));
    }
    let path = BezPath::from_svg(d)
        .map_err(|error| DrawFault::new(format!("the path data: {error}"), expected))?;
    if path.segments().next().is_none() {
        return Err(DrawFault::new("the path data draws nothing", expected));
    }
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) | PathEl::LineTo(p) => placed(p)?,
            PathEl::QuadTo(p, q) => [p, q].into_iter().try_for_each(placed)?,
            PathEl::CurveTo(p, q, r) => [p, q, r].into_iter().try_for_each(placed)?,
            PathEl::ClosePath => {}
        }
    }
    Ok(path)
}

/// The area an SVG file fills, turned y up, scaled to a width in mm, centred at the origin.
/// Outer contours run counter-clockwise, holes clockwise. Strokes do not count.
pub fn file_outline(text: &str, width: f64) -> Result<BezPath, DrawFault> {
    if !(width > 0.0 && width <= super::COORDINATE_LIMIT) {
        return Err(DrawFault::new(
            format!("the width is {} mm", brief(width)),
            format!("more than 0 and at most {} mm", super::COORDINATE_LIMIT),
        ));
    }
    let document = screen::screened(text)?;
    let tree = usvg::Tree::from_xmltree(&document, &usvg::Options::default()).map_err(
        |error| DrawFault::new(format!("not a usable SVG file: {error}"), "an SVG file"),
    )?;
    let mut filled = Filled::default();
    filled.group(tree.root())?;
    let area = filled.area.as_ref().ok_or_else(|| filled.nothing())?;
    let bounds = area.bounds();
    if bounds.width() < 1e-6 {
        return Err(filled.nothing());
    }
    let scale = width / bounds.width();
    let middle = bounds.center().to_vec2();
    let affine = Affine::scale_non_uniform(scale, -scale) * Affine::translate(-middle);
    let path = area.transformed(affine).path();
    let reach = bounds.height() * scale / 2.0;
    placed(Point::new(0.0, reach)).map(|()| path)
}

/// What is filled so far.
#[derive(Default)]
struct Filled {
    area: Option<Region>,
    stroked: usize,
    segments: usize,
}

impl Filled {
    fn group(&mut self, group: &usvg::Group) -> Result<(), DrawFault> {
        let hidden = [
            (group.clip_path().is_some(), "a clip path"),
            (group.mask().is_some(), "a mask"),
            (!group.filters().is_empty(), "a filter"),
        ];
        if let Some((_, what)) = hidden.into_iter().find(|(there, _)| *there) {
            return Err(DrawFault::new(
                format!("the SVG file uses {what}"),
                "plain filled shapes, without clip paths, masks and filters",
            ));
        }
        for node in group.children() {
            match node {
                usvg::Node::Group(inner) => self.group(inner)?,
                usvg::Node::Path(path) => self.path(path)?,
                usvg::Node::Image(_) | usvg::Node::Text(_) => {}
            }
        }
        Ok(())
    }

    fn path(&mut self, path: &usvg::Path) -> Result<(), DrawFault> {
        let Some(fill) = path.fill().filter(|fill| fill.opacity().get() > 0.0) else {
            self.stroked += usize::from(path.stroke().is_some());
            return Ok(());
        };
        if !path.is_visible() {
            return Ok(());
        }
        let drawn = in_place(path);
        self.segments += drawn.elements().len();
        if self.segments > MOST_SEGMENTS {
            return Err(DrawFault::new(
                format!("the SVG file has more than {MOST_SEGMENTS} segments"),
                "a simple outline",
            ));
        }
        let region = match fill.rule() {
            usvg::FillRule::NonZero => Region::filled(&drawn, Origin(0)),
            usvg::FillRule::EvenOdd => Region::filled_odd(&drawn, Origin(0)),
        };
        match region {
            Ok(region) => {
                self.area = Some(match &self.area {
                    Some(area) => area.unite(&region),
                    None => region,
                });
                Ok(())
            }
            Err(RegionFault::Empty) => Ok(()),
            Err(RegionFault::NotFinite) => Err(DrawFault::new(
                "a coordinate in the SVG file is too large or not finite",
                "coordinates of at most 100000",
            )),
        }
    }

    fn nothing(&self) -> DrawFault {
        let what = if self.stroked > 0 {
            "nothing in the SVG file is filled; its shapes are only stroked lines"
        } else {
            "nothing in the SVG file is filled"
        };
        DrawFault::new(what, "at least one filled shape with an area")
    }
}

/// A path in the file's own coordinates.
fn in_place(path: &usvg::Path) -> BezPath {
    let t = path.abs_transform();
    let affine = Affine::new([t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from));
    let at = |p: SkiaPoint| affine * Vec2::new(f64::from(p.x), f64::from(p.y)).to_point();
    path.data()
        .segments()
        .map(|segment| match segment {
            PathSegment::MoveTo(p) => PathEl::MoveTo(at(p)),
            PathSegment::LineTo(p) => PathEl::LineTo(at(p)),
            PathSegment::QuadTo(p, q) => PathEl::QuadTo(at(p), at(q)),
            PathSegment::CubicTo(p, q, r) => PathEl::CurveTo(at(p), at(q), at(r)),
            PathSegment::Close => PathEl::ClosePath,
        })
        .collect()
}
