//! Outlines from SVG path data and SVG files.

use super::primitive::{DrawFault, placed};
use kurbo::{BezPath, PathEl};

/// Most bytes of path data.
const LONGEST_DATA: usize = 200_000;

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
