//! A region as an SVG file in true millimetres.

use crate::curve::Curve;
use crate::curve::Region;
use kurbo::Point;
use std::f64::consts::PI;
use std::fmt::Write as _;

/// The region as an SVG file: one filled path, 1 mm of the region 1 mm of the drawing, its
/// arcs kept as arcs, coordinates rounded to a ten-thousandth of a mm.
pub fn drawing(region: &Region) -> String {
    let bounds = region.bounds();
    let at =
        |p: Point| format!("{} {}", number(p.x - bounds.x0), number(bounds.y1 - p.y));
    let mut data = String::new();
    for contour in region.contours() {
        let Some(first) = contour.pieces().first() else { continue };
        add(&mut data, format_args!("M{}", at(first.curve.start())));
        for piece in contour.pieces() {
            match &piece.curve {
                Curve::Line(line) => add(&mut data, format_args!("L{}", at(line.p1))),
                Curve::Arc(arc) => {
                    // Up is down in SVG, so what ran counter-clockwise is drawn "negative".
                    let large = u8::from(arc.sweep().abs() > PI);
                    let sweep = u8::from(!arc.ccw);
                    let r = number(arc.radius);
                    add(
                        &mut data,
                        format_args!("A{r} {r} 0 {large} {sweep} {}", at(arc.b)),
                    );
                }
                Curve::Cubic(c) => {
                    let (p, q, r) = (at(c.p1), at(c.p2), at(c.p3));
                    add(&mut data, format_args!("C{p} {q} {r}"));
                }
            }
        }
        data.push('Z');
    }
    let (w, h) = (number(bounds.width()), number(bounds.height()));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" \
         viewBox=\"0 0 {w} {h}\">\n<path fill-rule=\"evenodd\" d=\"{data}\"/>\n</svg>\n"
    )
}

fn add(data: &mut String, text: std::fmt::Arguments<'_>) {
    // Writing to a String cannot fail.
    let _ = data.write_fmt(text);
}

/// To a ten-thousandth of a mm, never -0.
fn number(value: f64) -> String {
    let near = (value * 1e4).round() / 1e4;
    let near = if near == 0.0 { 0.0 } else { near };
    format!("{near}")
}
