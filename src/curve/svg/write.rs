//! Regions and lines as SVG path data, and as an SVG file in true millimetres.

use crate::curve::Curve;
use crate::curve::Region;
use kurbo::{BezPath, PathEl, Point};
use std::f64::consts::FRAC_PI_4;
use std::fmt::Write as _;

/// Arcs are written in parts no longer than this, radians: near half a circle the rounding of
/// the ends would move the middle, and some readers make one cubic of a quarter.
const SPAN: f64 = FRAC_PI_4;

/// The region as an SVG file: one filled path, 1 mm of the region 1 mm of the drawing, its
/// arcs kept as arcs, coordinates rounded to a ten-thousandth of a mm.
pub fn drawing(region: &Region) -> String {
    let bounds = region.bounds();
    let data = area_data(region, Point::new(bounds.x0, bounds.y1));
    let (w, h) = (number(bounds.width()), number(bounds.height()));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" \
         viewBox=\"0 0 {w} {h}\">\n<path fill-rule=\"evenodd\" d=\"{data}\"/>\n</svg>\n"
    )
}

/// The boundaries of a region as path data, every one closed, arcs kept as arcs: mm, y down,
/// from an upper left corner, to a ten-thousandth of a mm.
pub fn area_data(region: &Region, corner: Point) -> String {
    let at = |p: Point| placed(p, corner);
    let mut data = String::new();
    for contour in region.contours() {
        let Some(first) = contour.pieces().first() else { continue };
        add(&mut data, format_args!("M{}", at(first.curve.start())));
        for piece in contour.pieces() {
            match &piece.curve {
                Curve::Line(line) => add(&mut data, format_args!("L{}", at(line.p1))),
                Curve::Arc(arc) => {
                    // Up is down in SVG, so what ran counter-clockwise is drawn "negative".
                    let sweep = u8::from(!arc.ccw);
                    let r = number(arc.radius);
                    let parts = (arc.sweep().abs() / SPAN).ceil().max(1.0);
                    let mut end = 1.0;
                    while end <= parts {
                        let to = if end < parts {
                            piece.curve.eval(end / parts)
                        } else {
                            arc.b
                        };
                        add(&mut data, format_args!("A{r} {r} 0 0 {sweep} {}", at(to)));
                        end += 1.0;
                    }
                }
                Curve::Cubic(c) => {
                    let (p, q, r) = (at(c.p1), at(c.p2), at(c.p3));
                    add(&mut data, format_args!("C{p} {q} {r}"));
                }
            }
        }
        data.push('Z');
    }
    data
}

/// Lines as path data, in the same way. A point alone is a line of no length.
pub fn line_data(path: &BezPath, corner: Point) -> String {
    let at = |p: Point| placed(p, corner);
    let mut data = String::new();
    let mut alone = None;
    for element in path.elements() {
        if let (Some(p), PathEl::MoveTo(_)) = (alone, element) {
            add(&mut data, format_args!("L{}", at(p)));
        }
        alone = None;
        match *element {
            PathEl::MoveTo(p) => {
                add(&mut data, format_args!("M{}", at(p)));
                alone = Some(p);
            }
            PathEl::LineTo(p) => add(&mut data, format_args!("L{}", at(p))),
            PathEl::QuadTo(a, p) => {
                add(&mut data, format_args!("Q{} {}", at(a), at(p)));
            }
            PathEl::CurveTo(a, b, p) => {
                add(&mut data, format_args!("C{} {} {}", at(a), at(b), at(p)));
            }
            PathEl::ClosePath => data.push('Z'),
        }
    }
    if let Some(p) = alone {
        add(&mut data, format_args!("L{}", at(p)));
    }
    data
}

fn placed(p: Point, corner: Point) -> String {
    format!("{} {}", number(p.x - corner.x), number(corner.y - p.y))
}

fn add(data: &mut String, text: std::fmt::Arguments<'_>) {
    // Writing to a String cannot fail.
    let _ = data.write_fmt(text);
}

/// To a ten-thousandth of a mm, never -0.
pub fn number(value: f64) -> String {
    let near = (value * 1e4).round() / 1e4;
    let near = if near == 0.0 { 0.0 } else { near };
    format!("{near}")
}
