//! The panel of raised letters: drawn around them, and held to the surface it lies in.

use super::name::{NOTHING, laid, outside, surface, with_parameters};
use super::{Dish, Panel};
use crate::curve::Region;
use crate::finding::{Code, Finding, RemedyKind, plain};
use crate::lettering::{Letters, panel, shortened};
use crate::model::{NameStyle, Shop};
use crate::shape::{NameForm, PanelForm};
use crate::units::trimmed;

/// From the letters to the edge of their panel unless the recipe says otherwise: a share of
/// the greatest height of the letters, and at least so many mm.
const MARGIN: (f64, f64) = (0.25, 4.0);

/// Radius of the corners of a panel unless the recipe says otherwise, mm; no more than its
/// margin, so that the letters keep that margin from them too.
const CORNER: f64 = 5.0;

/// Narrower margins are not offered, mm.
const NARROWEST: f64 = 1.0;

fn corner(area: &NameForm, margin: f64) -> f64 {
    area.panel.corner.unwrap_or(CORNER.min(margin))
}

fn margin(area: &NameForm) -> f64 {
    area.panel.margin.unwrap_or((MARGIN.0 * area.height).max(MARGIN.1))
}

/// Raised letters lie on their line so that their panel ends where it does: the name's place
/// with a line that much shorter, `Some(None)` for other letters. Without a value where no
/// line would be left.
#[expect(clippy::option_option, reason = "not raised and no line left differ")]
pub(super) fn line(
    area: &NameForm,
    findings: &mut Vec<Finding>,
) -> Option<Option<NameForm>> {
    if area.style != NameStyle::Raised {
        return Some(None);
    }
    if let Some(baseline) = shortened(&area.baseline, margin(area)) {
        return Some(Some(NameForm { baseline, ..area.clone() }));
    }
    let finding = Finding::stop(
        Code::NameDoesNotFit,
        format!(
            "the name's line is no longer than the margins of its panel, {} mm at each end",
            trimmed(margin(area))
        ),
    )
    .from(area.source.clone())
    .help("make `along` longer, or the panel's `margin` smaller");
    findings.push(with_parameters(finding, area));
    None
}

/// The panel around raised letters; `Some(None)` for other letters, without a value where it
/// cannot be drawn.
#[expect(clippy::option_option, reason = "not raised and not drawn differ")]
pub(super) fn around(
    dish: &Dish,
    (asked, area): (Asked<'_>, &NameForm),
    letters: &Region,
    findings: &mut Vec<Finding>,
) -> Option<Option<Panel>> {
    if area.style != NameStyle::Raised {
        return Some(None);
    }
    let margin = margin(area);
    let Some(outline) = drawn(area, letters, margin) else {
        let finding =
            area.panel.corner.filter(|corner| *corner > 2.0 * margin).map_or_else(
                || too_bent(area),
                |corner| too_round(dish, area, (corner, margin)),
            );
        findings.push(with_parameters(finding, area));
        return None;
    };
    within_surface(dish, asked, &outline, findings);
    let ground = outline.cut(letters);
    let corner = corner(area, margin);
    Some(Some(Panel { outline, ground, margin, corner }))
}

fn too_bent(area: &NameForm) -> Finding {
    Finding::stop(
        Code::DrawingFault,
        "the name's line bends so tightly that no panel can be drawn along it",
    )
    .from(area.source.clone())
    .expected("a line that bends more gently than the panel is high")
    .help("straighten `along`, or make `height` or the panel's `margin` smaller")
}

/// Corners so round that they cut into the letters.
fn too_round(dish: &Dish, area: &NameForm, (corner, margin): (f64, f64)) -> Finding {
    let most = (margin * 10.0).floor() / 10.0;
    Finding::stop(
        Code::DrawingFault,
        format!(
            "corners of {} mm on the panel cut into the letters of \"{}\"",
            trimmed(corner),
            plain(&dish.person)
        ),
    )
    .from(area.source.clone())
    .have_need(corner, most)
    .remedy(
        RemedyKind::Parameter,
        format!("`corner: {} mm` stays clear of them", trimmed(most)),
        Some(most),
    )
}

/// The panel with a margin; it holds all of the letters.
fn drawn(area: &NameForm, letters: &Region, margin: f64) -> Option<Region> {
    panel(letters, &area.baseline, margin, corner(area, margin))
        .filter(|panel| letters.cut(panel).area() <= NOTHING)
}

fn within_surface(
    dish: &Dish,
    asked: Asked<'_>,
    outline: &Region,
    findings: &mut Vec<Finding>,
) {
    let area = asked.area;
    let (surface, what) = surface(dish, area.on);
    let whose = format!("the panel of \"{}\"", plain(&dish.person));
    let Some(mut finding) = outside((outline, &whose), (&surface, what), area) else {
        return;
    };
    if let Some(margin) = widest(dish, asked, &surface) {
        let text = format!("`panel: {{margin: {} mm}}` stays within it", trimmed(margin));
        finding = finding.remedy(RemedyKind::Parameter, text, Some(margin));
    }
    let finding =
        finding.help("make the name's `height` smaller, or move or shorten its `along`");
    findings.push(with_parameters(finding, area));
}

/// The widest margin, to 0.1 mm, with which the panel lies within a surface; the name is laid
/// again for each that is tried, as its line grows where the margin shrinks.
fn widest(dish: &Dish, asked: Asked<'_>, surface: &Region) -> Option<f64> {
    let lies = |margin: f64| {
        asked
            .again(dish, margin)
            .is_some_and(|panel| panel.cut(surface).area() <= NOTHING)
    };
    let (mut low, mut high) = (NARROWEST, margin(asked.area));
    if high <= low || !lies(low) {
        return None;
    }
    while high - low > 0.05 {
        let middle = f64::midpoint(low, high);
        if lies(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    let margin = (low * 10.0).floor() / 10.0;
    lies(margin).then_some(margin)
}

/// The name as the recipe asks for it.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    /// Its place.
    pub area: &'a NameForm,
    pub letters: &'a Letters,
    pub shop: &'a Shop,
}

impl Asked<'_> {
    /// The panel with another margin.
    fn again(&self, dish: &Dish, margin: f64) -> Option<Region> {
        let panel = PanelForm { margin: Some(margin), ..self.area.panel };
        let area = NameForm { panel, ..self.area.clone() };
        let area = line(&area, &mut Vec::new())??;
        let least = self.shop.house.letter.get().min(area.height);
        let fitted = laid(&dish.person, (&area, self.letters), least, self.shop).ok()?;
        drawn(&area, &fitted.region().ok()?, margin)
    }
}
