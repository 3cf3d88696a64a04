//! The cutting drawing: what each operation leaves at the surface, at full size, a layer each.

use super::color::{Color, INK, QUIET, okabe_ito};
use crate::curve::{BezPath, PathEl, Rect, Region};
use crate::dish::{Dish, NameCut};
use crate::lettering::body;
use crate::units::Mm;

/// A dish as lines to cut along, in its own millimetres, y up.
#[derive(Clone, Debug)]
pub struct Template {
    /// What it is.
    pub title: String,
    /// What the drawing covers: all layers together.
    pub bounds: Rect,
    /// One for each operation, in working order, the outline first.
    pub layers: Vec<Plane>,
}

/// The lines of one operation.
#[derive(Clone, Debug)]
pub struct Plane {
    /// A word of our own, once in a drawing: lower case letters, digits and hyphens.
    pub name: String,
    /// What it is, with its depth.
    pub title: String,
    /// The colour it is drawn in.
    pub color: Color,
    /// What is drawn.
    pub lines: Lines,
}

/// Boundaries of areas, or lines that a cutter's middle follows.
#[derive(Clone, Debug)]
pub enum Lines {
    /// Closed, as drawn by the recipe: no cutter is taken off.
    Areas(Region),
    /// Open where the recipe draws them open.
    Middles(BezPath),
}

/// The cutting drawing of a dish, as its recipe draws it: no allowance for any cutter.
pub fn template(dish: &Dish) -> Template {
    let mut layers = vec![Plane {
        name: "outline".to_owned(),
        title: format!("Outline, through {}", shown(dish.wood.thickness.get())),
        color: INK,
        lines: Lines::Areas(dish.outline.clone()),
    }];
    for (number, recess) in (1..).zip(&dish.recesses) {
        let name =
            if number > 1 { format!("recess-{number}") } else { "recess".to_owned() };
        let title = format!("Recess, {} deep", shown(recess.depth));
        let lines = Lines::Areas(recess.region.clone());
        layers.push(Plane { name, title, color: okabe_ito::BLUE, lines });
    }
    if let Some(name) = &dish.name {
        layers.extend(named(name));
    }
    layers.extend(details(dish));
    layers.retain(|layer| match &layer.lines {
        Lines::Areas(region) => !region.is_empty(),
        Lines::Middles(lines) => !lines.elements().is_empty(),
    });
    let bounds = layers.iter().fold(dish.outline.bounds(), |all, layer| {
        all.union(match &layer.lines {
            Lines::Areas(region) => region.bounds(),
            Lines::Middles(lines) => lines.control_box(),
        })
    });
    let title = super::frame::title(dish, "cutting drawing");
    Template { title, bounds, layers }
}

fn named(name: &NameCut) -> Vec<Plane> {
    let color = okabe_ito::VERMILION;
    let depth = shown(name.depth);
    let mut layers = Vec::new();
    if let Some(panel) = &name.panel {
        layers.push(Plane {
            name: "panel".to_owned(),
            title: format!("Panel round the name, {depth} deep"),
            color,
            lines: Lines::Areas(panel.outline.clone()),
        });
    }
    let title = match name.panel {
        Some(_) => "Name, letters that stand in the panel".to_owned(),
        None => format!("Name, at most {depth} deep"),
    };
    let lines = Lines::Areas(name.region.clone());
    layers.push(Plane { name: "name".to_owned(), title, color, lines });
    let middles = name.centers.iter().flat_map(BezPath::elements);
    layers.push(Plane {
        name: "name-middles".to_owned(),
        title: "Name, middle of the pen".to_owned(),
        color: QUIET,
        lines: Lines::Middles(middles.copied().collect()),
    });
    layers
}

fn details(dish: &Dish) -> [Plane; 2] {
    let bodies: Vec<Region> = dish
        .grooves
        .iter()
        .map(|groove| body(&strokes(&groove.line), groove.width))
        .collect();
    let middles = dish.grooves.iter().flat_map(|groove| groove.line.elements());
    [
        Plane {
            name: "details".to_owned(),
            title: "Details, their width at the surface".to_owned(),
            color: okabe_ito::GREEN,
            lines: Lines::Areas(Region::united(&bodies)),
        },
        Plane {
            name: "detail-middles".to_owned(),
            title: "Details, middle of the groove".to_owned(),
            color: QUIET,
            lines: Lines::Middles(middles.copied().collect()),
        },
    ]
}

/// Each line for itself; one without length as its point.
fn strokes(lines: &BezPath) -> Vec<BezPath> {
    let mut strokes: Vec<BezPath> = Vec::new();
    for element in lines.elements() {
        if matches!(element, PathEl::MoveTo(_)) {
            strokes.push(BezPath::new());
        }
        if let Some(stroke) = strokes.last_mut() {
            stroke.push(*element);
        }
    }
    for stroke in &mut strokes {
        let size = stroke.control_box();
        if size.width().max(size.height()) < 1e-9 {
            stroke.truncate(1);
        }
    }
    strokes
}

fn shown(mm: f64) -> String {
    Mm::new((mm * 1000.0).round() / 1000.0).unwrap_or(Mm::ZERO).to_string()
}
