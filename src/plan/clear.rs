//! Whether a cutter comes down to name and details without nut, shank or body meeting
//! wood, and what would do where none does.

use super::carved::fitted;
use super::groove::{SAME_SIZE, SAME_WIDTH, groove_depth, nearest};
use crate::dish::{Dish, GrooveCut, NameCut};
use crate::feasibility::{Carving, Obstacle, Part, Tips, obstacles, shallower_recess};
use crate::finding::{Code, Finding, RemedyKind, Severity, Source};
use crate::model::{Cutter, CutterKind, NameStyle, Shop};
use crate::units::{hundredths_down, hundredths_up, trimmed};

/// Letters shallower than this are not offered, mm.
const SHALLOWEST: f64 = 0.3;

/// The name carved to a depth below its surface, mm.
pub(super) fn letters(name: &NameCut, own: f64) -> Carving<'_> {
    let tips = match name.style {
        NameStyle::Line => Tips::Along(&name.centers),
        NameStyle::Vee | NameStyle::Sunk | NameStyle::Raised => {
            Tips::Within(name.ground())
        }
    };
    Carving { tips, on: name.on, own }
}

/// A groove carved to a depth below its surface, mm.
pub(super) fn groove(groove: &GrooveCut, own: f64) -> Carving<'_> {
    let tips = Tips::Along(std::slice::from_ref(&groove.line));
    Carving { tips, on: groove.on, own }
}

/// Nothing known keeps a cutter from a carving; else what does, in words.
pub(super) fn free(
    dish: &Dish,
    shop: &Shop,
    cutter: &Cutter,
    carving: &Carving<'_>,
) -> Result<(), String> {
    let found = obstacles(dish, shop, cutter, carving);
    found.first().map_or(Ok(()), |obstacle| Err(reason(cutter, obstacle)))
}

fn reason(cutter: &Cutter, obstacle: &Obstacle) -> String {
    let [have, need] = [obstacle.have, obstacle.need].map(round);
    match obstacle.part {
        Part::NutOnSurface => format!(
            "it would go {need} mm into the wood; it stands out {} mm less the collet margin",
            round(cutter.stick_out().unwrap_or_default())
        ),
        Part::NutOnRim => format!(
            "its collet nut would be down in the recess, where its tip comes within {have} mm of the rim; nut and margin take {need} mm"
        ),
        Part::Body => format!(
            "above the floor of the recess it is {need} mm wide from its axis, and its tip comes within {have} mm of the wall"
        ),
        Part::Shank => format!(
            "it would go {need} mm into the wood; its flutes are {have} mm long and its shank is no narrower"
        ),
    }
}

/// What stands in the way of the cutter chosen for the name; another may clear.
pub(super) fn of_name(
    dish: &Dish,
    shop: &Shop,
    name: &NameCut,
    (cutter, own): (&Cutter, f64),
    other: Option<&Cutter>,
) -> Vec<Finding> {
    let carving = letters(name, own);
    let (what, source) = ("the name", &name.source);
    Case { dish, shop, what, cutter, carving, other, source }.findings()
}

/// What stands in the way of a groove no cutter comes down to, told of the one that would
/// suit it best.
pub(super) fn of_groove(dish: &Dish, shop: &Shop, cut: &GrooveCut) -> Vec<Finding> {
    let suits = |cutter: &&Cutter| match cutter.kind() {
        CutterKind::VBit => 1.0 + (cutter.angle() - 60.0).abs(),
        CutterKind::BowlBit
        | CutterKind::BallNose
        | CutterKind::EndMill
        | CutterKind::CompressionBit
        | CutterKind::RoundOverBit => (cutter.diameter() - cut.width).abs() / SAME_WIDTH,
    };
    let able = shop.cutters.iter().filter(|c| groove_depth(c, cut).is_ok());
    let best = able.min_by(|a, b| suits(a).total_cmp(&suits(b)));
    let Some((cutter, own)) = best.and_then(|c| Some((c, groove_depth(c, cut).ok()?)))
    else {
        return Vec::new();
    };
    groove_case(dish, shop, cut, (cutter, own)).findings()
}

/// Why the cutter that a groove asks for, although on the rack, does not carve it; told
/// without weight where another stands in.
pub(super) fn of_wanted(
    dish: &Dish,
    shop: &Shop,
    cut: &GrooveCut,
    stands_in: Option<&str>,
) -> Option<Finding> {
    let wanted = cut.with.as_ref()?;
    let there =
        nearest(&shop.cutters, cut, |i| groove_depth(&shop.cutters[i], cut).is_ok())
            .filter(|there| there.off <= SAME_SIZE)?;
    let cutter = &shop.cutters[there.cutter];
    let own = groove_depth(cutter, cut).ok()?;
    let case = groove_case(dish, shop, cut, (cutter, own));
    let mut finding = case.findings().into_iter().next().or_else(|| {
        let why = fitted(dish, cut, cutter, shop).err()?;
        Some(Finding::note(Code::FloorTooThin, case.message(&why)))
    })?;
    let then = match stands_in {
        Some(id) => format!("{id} stands in"),
        None => "the rest of the rack was looked at".to_owned(),
    };
    finding.severity = Severity::Note;
    finding.source = Some(wanted.source.clone());
    finding.message = format!("{}; {then}", finding.message);
    Some(finding)
}

fn groove_case<'a>(
    dish: &'a Dish,
    shop: &'a Shop,
    cut: &'a GrooveCut,
    (cutter, own): (&'a Cutter, f64),
) -> Case<'a> {
    let (what, source, other) = ("a detail", &cut.source, None);
    let carving = groove(cut, own);
    Case { dish, shop, what, cutter, carving, other, source }
}

/// One carving and the cutter it is held against.
struct Case<'a> {
    dish: &'a Dish,
    shop: &'a Shop,
    /// In words, e.g. `the name`.
    what: &'static str,
    cutter: &'a Cutter,
    carving: Carving<'a>,
    /// Another cutter of the rack that can do it.
    other: Option<&'a Cutter>,
    source: &'a Source,
}

impl Case<'_> {
    fn findings(&self) -> Vec<Finding> {
        let found = obstacles(self.dish, self.shop, self.cutter, &self.carving);
        found.iter().map(|obstacle| self.finding(obstacle)).collect()
    }

    fn finding(&self, obstacle: &Obstacle) -> Finding {
        let code = match obstacle.part {
            Part::NutOnSurface => Code::CutDeeperThanStickout,
            Part::NutOnRim => Code::ColletNutHitsRim,
            Part::Body => Code::CutterTouchesWall,
            Part::Shank => Code::CutDeeperThanFlute,
        };
        let message = self.message(&reason(self.cutter, obstacle));
        let finding = Finding::stop(code, message)
            .from(self.source.clone())
            .have_need(obstacle.have, obstacle.need);
        let finding = match obstacle.at {
            Some(at) => finding.at(at.x, at.y),
            None => finding,
        };
        self.remedies(finding, obstacle)
    }

    fn message(&self, why: &str) -> String {
        let (kind, id) = (self.cutter.kind().word(), self.cutter.id());
        format!("{kind} {id} cannot carve {}: {why}", self.what)
    }

    fn remedies(&self, mut finding: Finding, obstacle: &Obstacle) -> Finding {
        if let Some(other) = self.other {
            let text = format!("{} carves it and clears the wood", other.id());
            finding = finding.remedy(RemedyKind::Cutter, text, Some(other.diameter()));
        }
        let nut = matches!(obstacle.part, Part::NutOnRim | Part::NutOnSurface);
        if nut {
            let floor = self.dish.surface_depth(self.carving.on);
            let margin = self.shop.house.collet_margin.get();
            let out = hundredths_up(floor + self.carving.own + margin);
            finding = finding.remedy(RemedyKind::Depth, stick_out(out), Some(out));
        }
        if obstacle.part == Part::NutOnRim {
            finding = self.shallower(finding);
        }
        if self.dish.name.is_some() && self.what == "the name" {
            let depth = hundredths_down(obstacle.own);
            if depth >= SHALLOWEST {
                let text = format!("`depth: {} mm` for the name", trimmed(depth));
                finding = finding.remedy(RemedyKind::Depth, text, Some(depth));
            }
        }
        if matches!(obstacle.part, Part::Body | Part::NutOnRim) {
            let away = hundredths_up(obstacle.need - obstacle.have);
            let text = format!("keep it {} mm farther from the wall", trimmed(away));
            finding = finding.remedy(RemedyKind::Edit, text, Some(away));
        }
        finding
    }

    /// A recess so shallow that the nut stays above the board.
    fn shallower(&self, finding: Finding) -> Finding {
        let margin = self.shop.house.collet_margin.get();
        let out = self.cutter.stick_out().unwrap_or(0.0) - margin;
        shallower_recess(finding, self.dish, out - self.carving.own)
    }
}

pub(super) fn stick_out(out: f64) -> String {
    format!("a stick-out of {} mm, measured, would do", trimmed(out))
}

fn round(mm: f64) -> String {
    trimmed((mm * 100.0).round() / 100.0)
}
