//! A recipe: one themed dish with parameters, as written by its author.

use super::face::WantedFace;
use super::formula::Formula;
use super::name::NameArea;
use super::wanted::WantedCutter;
use crate::finding::Source;
use crate::units::trimmed;
use std::path::PathBuf;

/// One themed dish with parameters.
#[derive(Clone, Debug)]
pub struct Recipe {
    /// The word orders name it by: the file's name without ending.
    pub key: String,
    /// What people call the dish.
    pub title: String,
    /// One or two sentences about it; may be empty.
    pub about: String,
    /// Theme words, for grouping.
    pub themes: Vec<String>,
    /// Remarks for the bench sheet: grain direction, weak spots.
    pub notes: Vec<String>,
    /// Which way the grain runs; `None` for along the longer side.
    pub grain: Option<Grain>,
    /// In the order written.
    pub parameters: Vec<Parameter>,
    /// Named intermediate values, in an order in which each uses only earlier names.
    pub lets: Vec<(String, Formula)>,
    /// Steps that draw the outline, first to last. Never empty.
    pub outline: Vec<Step>,
    /// Width of the rim between outline and recess, mm.
    pub rim: Option<Formula>,
    /// Hollows carved from above.
    pub recesses: Vec<Recess>,
    /// Where a name goes.
    pub name: Option<NameArea>,
    /// Carved detail grooves.
    pub details: Vec<Groove>,
    /// Round-overs.
    pub edges: Edges,
    /// The folder that `svg: {file}` paths are relative to.
    pub folder: Option<PathBuf>,
    /// The whole recipe, for findings without a narrower place.
    pub source: Source,
}

/// Which way the grain of the board runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grain {
    /// Along x, left to right.
    X,
    /// Along y, upward.
    Y,
}

/// A number or word that an order may change.
#[derive(Clone, Debug)]
pub struct Parameter {
    /// The name formulas use.
    pub name: String,
    /// What it may be.
    pub kind: ParameterKind,
    /// What it does, for people; may be empty.
    pub about: String,
    /// Where it is written.
    pub source: Source,
}

impl Parameter {
    /// The default value, as shown to people.
    pub fn default_text(&self) -> String {
        match &self.kind {
            ParameterKind::Number { default, length, .. } => {
                format!("{}{}", trimmed(*default), unit(*length))
            }
            ParameterKind::Text { default, .. } => default.clone(),
        }
    }

    /// The values it takes, as shown to people.
    pub fn range(&self) -> String {
        match &self.kind {
            ParameterKind::Number { min, max, length, .. } => {
                format!("{} to {}{}", trimmed(*min), trimmed(*max), unit(*length))
            }
            ParameterKind::Text { from_name: true, .. } => {
                "text; else the name's first letter".to_owned()
            }
            ParameterKind::Text { .. } => "text".to_owned(),
        }
    }
}

const fn unit(length: bool) -> &'static str {
    if length { " mm" } else { "" }
}

/// The values a parameter takes.
#[derive(Clone, Debug, PartialEq)]
pub enum ParameterKind {
    /// A number with its range; `length` tells whether it is millimetres.
    Number {
        /// Used when an order does not say.
        default: f64,
        /// Least allowed value.
        min: f64,
        /// Greatest allowed value.
        max: f64,
        /// It is a length in mm (shown with a unit).
        length: bool,
    },
    /// A text, for letter outlines.
    Text {
        /// Used when an order does not say.
        default: String,
        /// An order that does not say gets the first letter of its name.
        from_name: bool,
    },
}

/// A point in dish coordinates: x right, y up, mm.
#[derive(Clone, Debug)]
pub struct Point {
    /// To the right.
    pub x: Formula,
    /// Up.
    pub y: Formula,
}

/// One step of a drawing.
#[derive(Clone, Debug)]
pub struct Step {
    /// What it does.
    pub verb: Verb,
    /// Where it is written.
    pub source: Source,
}

/// What a step does to the area drawn so far.
#[derive(Clone, Debug)]
pub enum Verb {
    /// Joins a shape to it.
    Add(Shape),
    /// Takes a shape away.
    Cut(Shape),
    /// Keeps only what also lies in a shape.
    Keep(Shape),
    /// Moves, turns, scales or mirrors it.
    Place(Placing),
    /// Rounds its corners to exactly these radii (mm).
    Fillet {
        /// Corners turned inward, where the cutter enters.
        inside: Option<Formula>,
        /// Corners turned outward.
        outside: Option<Formula>,
    },
    /// Moves the edge outward by so many mm.
    Grow(Formula),
    /// Moves the edge inward by so many mm.
    Shrink(Formula),
}

/// A movement of a shape.
#[derive(Clone, Debug)]
pub enum Placing {
    /// By so many mm right and up.
    Move(Point),
    /// Counter-clockwise by degrees about a point.
    Turn {
        /// Degrees.
        angle: Formula,
        /// The fixed point; the origin if absent.
        about: Option<Point>,
    },
    /// By factors about a point.
    Scale {
        /// Factors right and up.
        by: Point,
        /// The fixed point; the origin if absent.
        about: Option<Point>,
    },
    /// Across an axis.
    Mirror(Mirror),
}

/// Which way a mirror swaps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mirror {
    /// Left and right: the y axis is the mirror.
    LeftRight,
    /// Up and down: the x axis is the mirror.
    UpDown,
}

/// A primitive and how it is placed.
#[derive(Clone, Debug)]
pub struct Shape {
    /// What is drawn.
    pub primitive: Primitive,
    /// Applied first to last.
    pub placing: Vec<Placing>,
    /// Where it is written.
    pub source: Source,
}

/// What can be drawn. All lengths mm, all angles degrees. A `None` centre is the origin.
#[derive(Clone, Debug)]
pub enum Primitive {
    /// A circle.
    Circle {
        /// Its middle.
        center: Option<Point>,
        /// Its radius.
        radius: Formula,
    },
    /// An ellipse with axes right and up.
    Ellipse {
        /// Its middle.
        center: Option<Point>,
        /// Half axes right and up.
        radii: Point,
    },
    /// A rectangle, corners rounded if asked.
    Rectangle {
        /// Its middle.
        center: Option<Point>,
        /// Width and height.
        size: Point,
        /// Corner radius.
        radius: Option<Formula>,
    },
    /// A closed polygon.
    Polygon {
        /// Three or more.
        points: Vec<Point>,
    },
    /// A star with straight edges.
    Star {
        /// Its middle.
        center: Option<Point>,
        /// Number of tips, two or more after rounding.
        points: Formula,
        /// Radius of the tips.
        outer: Formula,
        /// Radius of the notches.
        inner: Formula,
    },
    /// A flower: distance from the centre is `radius + depth * cos(count * t)`.
    Petals {
        /// Its middle.
        center: Option<Point>,
        /// Number of petals.
        count: Formula,
        /// Mean radius.
        radius: Formula,
        /// Half the difference between tip and valley radius.
        depth: Formula,
    },
    /// |x/a|^n + |y/b|^n = 1.
    Superellipse {
        /// Its middle.
        center: Option<Point>,
        /// Half axes a and b.
        radii: Point,
        /// The exponent n, 0.5 to 20.
        exponent: Formula,
    },
    /// A smooth curve through points (Hobby 1986), with corners at chosen ones.
    Spline {
        /// Two or more (three if closed).
        through: Vec<Point>,
        /// Joins the last to the first.
        closed: bool,
        /// Indices of points at which the curve may turn sharply.
        corners: Vec<usize>,
        /// Tension, 0.75 to 10; 1 when absent.
        tension: Option<Formula>,
        /// Goes back through the mirror images of the points, last to first.
        mirror: Option<Mirror>,
    },
    /// Part of a circle, a line: what stands on it has its head outside or inside.
    Arc {
        /// Middle of the circle.
        center: Option<Point>,
        /// Its radius.
        radius: Formula,
        /// Direction of the arc's middle; 0 points right.
        middle: Formula,
        /// Degrees from end to end.
        span: Formula,
        /// Runs counter-clockwise, so that heads are inside.
        inside: bool,
    },
    /// An even spiral about a centre: the radius grows with the angle.
    Spiral {
        /// Its middle.
        center: Option<Point>,
        /// Radius at the start.
        from: Formula,
        /// Radius at the end.
        to: Formula,
        /// Turns, counter-clockwise; clockwise when negative.
        turns: Formula,
        /// Direction of the start, degrees from the x axis; 0 if absent.
        start: Option<Formula>,
    },
    /// SVG path data, y up.
    Path {
        /// The path data as written.
        d: String,
    },
    /// The filled area of an SVG file, turned y up, centred, scaled to a width.
    Svg {
        /// The path as written, relative to the recipe's folder.
        file: String,
        /// Width in mm after scaling.
        width: Formula,
    },
    /// The outline of a text.
    Letter {
        /// What is written.
        text: Text,
        /// Its middle: half a capital's height above the baseline.
        center: Option<Point>,
        /// Height of a capital letter in mm.
        height: Formula,
        /// The faces asked for; the bold one if there are none.
        face: Vec<WantedFace>,
    },
    /// Copies around a centre, each turned outward.
    Ring {
        /// How many.
        count: Formula,
        /// How far the copies' origin lies from the centre.
        radius: Formula,
        /// The centre.
        center: Option<Point>,
        /// Direction of the first copy, degrees from the x axis; 0 if absent.
        start: Option<Formula>,
        /// The angle between first and last copy's next, degrees; 360 if absent.
        sweep: Option<Formula>,
        /// What is copied, drawn about the origin pointing right.
        of: Box<Shape>,
    },
    /// Copies in a straight row.
    Row {
        /// How many.
        count: Formula,
        /// From one copy to the next.
        step: Point,
        /// What is copied.
        of: Box<Shape>,
    },
    /// A shape and its mirror image.
    Pair {
        /// Across which axis.
        mirror: Mirror,
        /// What is mirrored.
        of: Box<Shape>,
    },
    /// Steps drawn on their own, then used as one shape.
    Group {
        /// First to last.
        steps: Vec<Step>,
    },
}

/// A text in a drawing.
#[derive(Clone, Debug)]
pub enum Text {
    /// As written.
    Literal(String),
    /// The value of a text parameter.
    Parameter(String),
}

/// A hollow.
#[derive(Clone, Debug)]
pub struct Recess {
    /// Its area seen from above.
    pub form: RecessForm,
    /// Floor thickness to keep below it, mm; the house's least floor if absent.
    pub keep_floor: Option<Formula>,
    /// Rounds its corners so that a cutter of this radius reaches everywhere, mm.
    pub corners: Option<Formula>,
    /// Where it is written.
    pub source: Source,
}

/// The area of a recess.
#[derive(Clone, Debug)]
pub enum RecessForm {
    /// The outline, moved inward by the rim.
    FollowOutline,
    /// Drawn on its own.
    Drawn(Vec<Step>),
}

/// Where on the dish something is carved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// On the floor of the recess.
    Floor,
    /// On the rim (or the face of a dish without recess).
    Rim,
}

/// A line to write or carve along.
#[derive(Clone, Debug)]
pub enum Line {
    /// Straight from one point to another.
    Straight(Point, Point),
    /// Along a drawn shape's edge.
    Shape(Shape),
}

/// A carved detail.
#[derive(Clone, Debug)]
pub struct Groove {
    /// Its centre line.
    pub along: Line,
    /// Width at the surface, mm.
    pub width: Formula,
    /// Depth, mm; half the width if absent.
    pub depth: Option<Formula>,
    /// The cutter that suits it, where the author says so.
    pub with: Option<WantedCutter>,
    /// Floor or rim.
    pub on: Surface,
    /// Where it is written.
    pub source: Source,
}

/// Round-over radii in mm.
#[derive(Clone, Debug, Default)]
pub struct Edges {
    /// Around the outline.
    pub outer: Option<Formula>,
    /// Around the recesses.
    pub recess: Option<Formula>,
}
