//! Recesses, the name's place, grooves and round-overs.

use super::draft::Draft;
use super::form::{Form, GrooveForm, NameForm, PanelForm, RecessForm};
use crate::curve::primitive::DrawFault;
use crate::curve::{BezPath, Curve, Drawn as _, Point, Region};
use crate::finding::{Code, Finding, RemedyKind, Source};
use crate::model::{
    Formula, Groove, Line, NameArea, Recess, RecessForm as Drawing, Recipe, Surface,
};
use crate::reach;
use crate::units::{brief, trimmed};

/// Letters may become so narrow, as a share of their width, unless the recipe says otherwise.
const CONDENSE: f64 = 0.85;

/// No letters look well narrower than this.
const NARROWEST: f64 = 0.6;

/// A recess may reach beyond the outline by so much, mm²: rounding.
const SLACK: f64 = 0.01;

/// A rim to begin with where a recipe has none, mm (common practice, no source).
const USUAL_RIM: f64 = 10.0;

impl Draft<'_> {
    /// Every recess that could be drawn.
    pub(super) fn recesses(
        &mut self,
        recipe: &Recipe,
        outline: &Region,
        rim: Option<f64>,
    ) -> Vec<RecessForm> {
        let has_rim = recipe.rim.is_some();
        recipe
            .recesses
            .iter()
            .filter_map(|recess| {
                self.begin();
                let keep_floor =
                    self.optional(recess.keep_floor.as_ref(), "the floor to keep");
                let region = match &recess.form {
                    Drawing::Drawn(steps) => self.steps(steps),
                    Drawing::FollowOutline if has_rim => {
                        self.following(outline, rim?, &recess.source)
                    }
                    Drawing::FollowOutline => self.no_rim(&recess.source),
                };
                let region = self.cornered(region?, recess)?;
                self.contained(&region, outline, &recess.source)?;
                let source = recess.source.clone();
                Some(RecessForm { region, keep_floor: keep_floor?, source })
            })
            .collect()
    }

    /// `Some(None)` where there is no formula.
    #[expect(clippy::option_option, reason = "failed, absent and present differ")]
    fn optional(&mut self, formula: Option<&Formula>, of: &str) -> Option<Option<f64>> {
        formula.map_or(Some(None), |formula| self.length(formula, of).map(Some))
    }

    fn no_rim(&mut self, source: &Source) -> Option<Region> {
        let finding = Finding::stop(
            Code::MissingKey,
            "the recess follows the outline, but the recipe states no `rim`",
        )
        .from(source.clone())
        .expected("`rim:` with the width of the wood around the recess")
        .remedy(
            RemedyKind::Edit,
            "add `rim: 10 mm` to the recipe",
            Some(USUAL_RIM),
        );
        self.say(finding);
        None
    }

    fn following(
        &mut self,
        outline: &Region,
        rim: f64,
        source: &Source,
    ) -> Option<Region> {
        let region = self.worked(outline, rim, reach::shrink, source)?;
        if region.is_empty() {
            let message = format!(
                "nothing is left for the recess inside a rim of {} mm",
                trimmed(rim)
            );
            self.vanished(message, "make the rim narrower or the dish larger", source);
            return None;
        }
        Some(region)
    }

    fn cornered(&mut self, region: Region, recess: &Recess) -> Option<Region> {
        let Some(formula) = &recess.corners else { return Some(region) };
        let radius = self.radius(formula, "the corner radius of the recess")?;
        let rounded = self.worked(&region, radius, reach::opening, &recess.source)?;
        if rounded.is_empty() {
            let message = format!(
                "the recess is nowhere wide enough for corners of {} mm",
                trimmed(radius)
            );
            self.vanished(message, "make `corners` smaller", formula.source());
            return None;
        }
        Some(rounded)
    }

    fn vanished(&mut self, message: String, help: &str, source: &Source) {
        self.say(
            Finding::stop(Code::RecessVanishes, message)
                .from(source.clone())
                .expected("a recess with an area")
                .help(help),
        );
    }

    fn contained(
        &mut self,
        region: &Region,
        outline: &Region,
        source: &Source,
    ) -> Option<()> {
        let beyond = region.cut(outline);
        if beyond.area() <= SLACK {
            return Some(());
        }
        let place = beyond.bounds().center();
        let message = format!(
            "the recess reaches beyond the outline by {} mm²",
            trimmed(beyond.area())
        );
        self.say(
            Finding::stop(Code::RecessOutsideOutline, message)
                .at(place.x, place.y)
                .from(source.clone())
                .expected("a recess within the outline")
                .help("make the recess smaller, move it, or let it `follow: outline`"),
        );
        None
    }

    /// Where the name goes.
    pub(super) fn name(&mut self, area: &NameArea, recipe: &Recipe) -> Option<NameForm> {
        if area.on == Surface::Floor && recipe.recesses.is_empty() {
            let fault = DrawFault::new(
                "the name stands on the floor, but the recipe has no recess",
                "`on: rim`, or a recess",
            );
            self.coded(Code::DrawingFault, fault, &area.source, "write `on: rim`");
            return None;
        }
        self.begin();
        let baseline = self.trace(&area.along, &area.source);
        let height = self.length(&area.height, "the height of the name");
        let depth = self.optional(area.depth.as_ref(), "the depth of the name");
        let stroke = self.optional(area.stroke.as_ref(), "the stroke of the name");
        let margin = self.optional(area.panel.margin.as_ref(), "the margin of the panel");
        let corner = area.panel.corner.as_ref();
        let corner = corner.map_or(Some(None), |corner| {
            self.radius(corner, "the corner radius of the panel").map(Some)
        });
        let choice = self.faces(&area.face);
        let condense = self.condense(area.condense.as_ref());
        let lines = self.name_lines(area.lines.as_ref());
        Some(NameForm {
            on: area.on,
            baseline: baseline?,
            height: height?,
            style: area.style,
            letters: choice?,
            stroke: stroke?,
            depth: depth?,
            panel: PanelForm { margin: margin?, corner: corner? },
            condense: condense?,
            lines: lines?,
            drawn_from: self.drawn_from(),
            source: area.source.clone(),
        })
    }

    /// How narrow letters may become.
    fn condense(&mut self, formula: Option<&Formula>) -> Option<f64> {
        let Some(formula) = formula else { return Some(CONDENSE) };
        let share = self.number(formula)?;
        if (NARROWEST..=1.0).contains(&share) {
            return Some(share);
        }
        let fault = DrawFault::new(
            format!("letters narrowed to {} of their width", brief(share)),
            format!("{NARROWEST} to 1; 1 keeps them as drawn"),
        );
        self.coded(Code::BadNumber, fault, formula.source(), "correct `condense`");
        None
    }

    /// Into how many lines a name may be split.
    fn name_lines(&mut self, formula: Option<&Formula>) -> Option<u32> {
        let Some(formula) = formula else { return Some(1) };
        let count = self.number(formula)?;
        if let Some(lines) =
            [1_u32, 2].into_iter().find(|n| (f64::from(*n) - count).abs() < 1e-9)
        {
            return Some(lines);
        }
        let fault = DrawFault::new(
            format!("a name in {} lines", brief(count)),
            "1 or 2; with 2 a long name is split at a space or a hyphen",
        );
        self.coded(Code::BadNumber, fault, formula.source(), "correct `lines`");
        None
    }

    /// Every groove that could be drawn.
    pub(super) fn grooves(&mut self, grooves: &[Groove]) -> Vec<GrooveForm> {
        grooves
            .iter()
            .filter_map(|groove| {
                self.begin();
                let line = self.trace(&groove.along, &groove.source);
                let width = self.length(&groove.width, "the width of the groove");
                let depth =
                    self.optional(groove.depth.as_ref(), "the depth of the groove");
                let width = width?;
                Some(GrooveForm {
                    line: line?,
                    width,
                    depth: depth?.unwrap_or(width / 2.0),
                    on: groove.on,
                    with: groove.with.clone(),
                    source: groove.source.clone(),
                })
            })
            .collect()
    }

    /// Says where a groove leaves the surface it is carved in.
    pub(super) fn grooves_on_wood(&mut self, form: &Form) {
        self.begin();
        for groove in &form.grooves {
            let Some(point) = off_surface(groove, form) else { continue };
            let what = match groove.on {
                Surface::Floor => "a detail leaves the floor of the recess",
                Surface::Rim => "a detail leaves the rim",
            };
            self.say(
                Finding::warn(Code::DrawingFault, what)
                    .at(point.x, point.y)
                    .from(groove.source.clone())
                    .expected("a line on the wood it is carved in")
                    .help("move or shorten the line, or say `on: floor` or `on: rim`"),
            );
        }
    }

    /// A line to write or carve along.
    fn trace(&mut self, line: &Line, source: &Source) -> Option<BezPath> {
        match line {
            Line::Shape(shape) => self.line(shape),
            Line::Straight(from, to) => {
                let (from, to) = (self.point(from), self.point(to));
                let (from, to) = (from?, to?);
                if from.distance(to) < 0.1 {
                    let fault = DrawFault::new(
                        "the line has no length",
                        "two points that differ",
                    );
                    self.fault(fault, source);
                    return None;
                }
                let mut path = BezPath::new();
                path.move_to(from);
                path.line_to(to);
                Some(path)
            }
        }
    }

    /// A round-over radius; zero is none.
    pub(super) fn round(&mut self, radius: Option<&Formula>) -> Option<f64> {
        self.begin();
        self.radius(radius?, "the round-over").filter(|radius| *radius > 0.0)
    }
}

/// A point of a groove that lies beyond the surface it is carved in.
fn off_surface(groove: &GrooveForm, form: &Form) -> Option<Point> {
    const STEPS: u32 = 4;
    let outline = form.outline.path();
    let hollows: Vec<BezPath> = form.recesses.iter().map(|r| r.region.path()).collect();
    let hollow = |point: Point| hollows.iter().any(|path| path.contains(point));
    let beyond = |point: &Point| match groove.on {
        Surface::Floor => !hollow(*point),
        Surface::Rim => hollow(*point) || !outline.contains(*point),
    };
    groove
        .line
        .segments()
        .flat_map(|segment| {
            let curve = Curve::from_segment(segment);
            (0..=STEPS).map(move |i| curve.eval(f64::from(i) / f64::from(STEPS)))
        })
        .find(beyond)
}
