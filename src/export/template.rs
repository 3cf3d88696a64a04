//! The cutting drawing as SVG: true millimetres, a named group for each operation.

use super::svg::{escaped, paint};
use crate::sheet::{Lines, Plane, Point, Template, area_data, line_data, number};
use std::fmt::Write as _;

/// Width of the lines, mm: seen on a screen, thin enough to tell where they run.
const HAIR: &str = "0.1";

/// A cutting drawing as SVG text: width and height in mm, one user unit a millimetre, nothing
/// filled. Layers are groups with the operation's name as `id` and what it is as `title`. The
/// same drawing gives the same bytes.
pub fn template_svg(template: &Template) -> String {
    let bounds = template.bounds;
    let corner = Point::new(bounds.x0, bounds.y1);
    let [width, height] = [bounds.width(), bounds.height()].map(number);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" \
         height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" xml:lang=\"en\">\n\
         <title>{}</title>\n",
        escaped(&template.title)
    );
    for layer in &template.layers {
        write_plane(&mut out, layer, corner);
    }
    out.push_str("</svg>\n");
    out
}

fn write_plane(out: &mut String, plane: &Plane, corner: Point) {
    let data = match &plane.lines {
        Lines::Areas(region) => area_data(region, corner),
        Lines::Middles(lines) => line_data(lines, corner),
    };
    // Writing to a String cannot fail.
    let _ = write!(
        out,
        "<g id=\"{}\" fill=\"none\"{} stroke-width=\"{HAIR}\">\n\
         <title>{}</title>\n<path d=\"{data}\"/>\n</g>\n",
        escaped(&plane.name),
        paint("stroke", plane.color),
        escaped(&plane.title),
    );
}
