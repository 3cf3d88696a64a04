//! The ground of a name, which an end mill pockets flat: sunk letters, or the panel around
//! raised ones. What each end mill leaves of it, told by letter.

use super::letters::within;
use crate::curve::{BezPath, Contour, Curve, Point, Region};
use crate::dish::{Dish, NameCut, Panel};
use crate::finding::{Code, Finding, RemedyKind, plain};
use crate::model::{Cutter, CutterKind, Shop, Surface};
use crate::reach::{Leftover, Niche, Profile, wall};
use crate::units::{Mm, Tolerance, hundredths_up, trimmed};

/// A corner or dead end filled deeper than this share of the letters' height is a gap the
/// cutter does not come into: our judgement, by looking at filled letters.
const DEEP: f64 = 1.0 / 3.0;

/// Corners no deeper than this share of the letters' height stay as sharp to the eye: our
/// judgement, by looking at rounded letters.
const SHARP: f64 = 0.05;

/// A letter bounds a place if it comes so near to its edge, mm.
const TOUCHES: f64 = 0.02;

/// Sizes looked at for one that comes in everywhere, as steps from a cutter's own down to
/// nothing.
const SIZES: u32 = 20;

/// At most so many places are named.
const NAMED: usize = 4;

/// What the end mills of a rack leave of the ground of a name.
#[derive(Clone, Debug)]
pub struct Ground {
    /// Large to small; of equals in the order of the rack.
    pub rows: Vec<GroundRow>,
    /// Height of the letters, mm.
    height: f64,
}

/// What one end mill leaves.
#[derive(Clone, Debug)]
pub struct GroundRow {
    /// Index on the rack.
    pub cutter: usize,
    /// Its radius, mm.
    pub radius: f64,
    /// Everything, deepest first; `None` where it could not be told apart.
    pub left: Option<Vec<Leftover>>,
    /// Places it does not come into.
    pub gaps: usize,
}

impl GroundRow {
    /// The deepest of what it leaves, mm; without end where that could not be told.
    pub fn deepest(&self) -> f64 {
        let Some(left) = &self.left else { return f64::INFINITY };
        left.iter().map(|left| left.depth).fold(0.0, f64::max)
    }

    /// Area of what it leaves, mm²; without end where that could not be told.
    pub fn area_left(&self) -> f64 {
        let Some(left) = &self.left else { return f64::INFINITY };
        left.iter().map(|left| left.area).sum()
    }
}

impl Ground {
    /// The ground of a name against a rack; `None` for a name that has none.
    pub fn of(name: &NameCut, shop: &Shop) -> Option<Self> {
        if !name.style.pocketed() {
            return None;
        }
        let mills: Vec<(usize, &Cutter)> = shop
            .cutters
            .iter()
            .enumerate()
            .filter(|(_, cutter)| cutter.kind() == CutterKind::EndMill)
            .collect();
        let radii: Vec<f64> = mills.iter().map(|(_, cutter)| cutter.radius()).collect();
        let (height, sanding) = (name.height, shop.house.sanding.get());
        let rows = mills.iter().zip(left_by(name.ground(), &radii)).map(
            |(&(cutter, mill), left)| GroundRow {
                cutter,
                radius: mill.radius(),
                gaps: gaps(left.as_deref(), (height, sanding)),
                left,
            },
        );
        let mut rows: Vec<GroundRow> = rows.collect();
        rows.sort_by(|a, b| b.radius.total_cmp(&a.radius));
        Some(Self { rows, height })
    }

    /// The finest end mill.
    pub fn finest(&self) -> Option<&GroundRow> {
        self.rows.last()
    }

    /// A cutter renders the letters: it comes in wherever the finest does, and its corners
    /// are as sharp to the eye as can be had.
    pub fn renders(&self, row: &GroundRow) -> bool {
        let Some(finest) = self.finest() else { return false };
        let most = finest.deepest().max(SHARP * self.height);
        row.gaps <= finest.gaps && row.deepest() <= most + 1e-9
    }
}

fn left_by(ground: &Region, radii: &[f64]) -> Vec<Option<Vec<Leftover>>> {
    let largest = radii.iter().copied().fold(0.0, f64::max);
    Profile::inside(ground, largest + 1.0).leftovers_of_each(radii)
}

/// It is more than a corner that stays round; what may be sanded away is nothing.
fn is_gap(left: &Leftover, (height, sanding): (f64, f64)) -> bool {
    let shut = matches!(left.niche, Niche::Hole | Niche::Neck);
    left.depth > sanding && (shut || left.depth > DEEP * height)
}

fn gaps(left: Option<&[Leftover]>, sizes: (f64, f64)) -> usize {
    left.map_or(usize::MAX, |all| all.iter().filter(|l| is_gap(l, sizes)).count())
}

/// What is said of letters whose ground is pocketed.
pub(super) fn check(
    dish: &Dish,
    name: &NameCut,
    (ground, shop): (&Ground, &Shop),
    findings: &mut Vec<Finding>,
) {
    let finest = ground.finest().map(|row| (row, &shop.cutters[row.cutter]));
    // Strokes thinner than the cutter are told of already.
    let told = |cutter: &Cutter| {
        let least = cutter.diameter() - Tolerance::REACH.get();
        let wide = |width: f64| width >= least;
        let thin = name.thinnest.is_some_and(|(width, _)| !wide(width));
        name.panel.is_none() && (thin || name.pen.is_some_and(wide))
    };
    if let Some((row, cutter)) = finest.filter(|(_, cutter)| !told(cutter)) {
        findings.extend(narrow(dish, name, (row, cutter), shop));
    }
    if let Some(panel) = &name.panel {
        findings.extend(thin(dish, name));
        findings.extend(border(dish, name, panel));
    }
}

/// Gaps between raised letters, or strokes of sunk ones, that the finest end mill does not
/// come into.
fn narrow(
    dish: &Dish,
    name: &NameCut,
    (row, cutter): (&GroundRow, &Cutter),
    shop: &Shop,
) -> Option<Finding> {
    let sizes = (name.height, shop.house.sanding.get());
    let person = plain(&dish.person);
    let size = trimmed((cutter.diameter() * 1e3).round() / 1e3);
    let (code, what) = match name.panel {
        Some(_) => (Code::LetterGapTooNarrow, "gaps"),
        None => (Code::StrokeTooThinForCutter, "strokes"),
    };
    let Some(left) = &row.left else {
        let message = format!(
            "what {} leaves of the letters of \"{person}\" could not be told",
            cutter.id()
        );
        return Some(
            Finding::stop(code, message)
                .from(name.source.clone())
                .help("another `height` or `face` for the name"),
        );
    };
    let shut: Vec<&Leftover> = left.iter().filter(|l| is_gap(l, sizes)).collect();
    let deepest = shut.first()?;
    let message = format!(
        "{} ({size} mm), the finest end mill, does not come into {what} {} of \"{person}\"",
        cutter.id(),
        places(name, &shut),
    );
    let finding = Finding::stop(code, message)
        .at(deepest.at.x, deepest.at.y)
        .from(name.source.clone());
    Some(comes_in(finding, name, cutter, shop))
}

/// The cutter that comes in everywhere, and the height at which this one does.
fn comes_in(finding: Finding, name: &NameCut, cutter: &Cutter, shop: &Shop) -> Finding {
    let (radius, sanding) = (cutter.radius(), shop.house.sanding.get());
    let shares: Vec<f64> =
        (1..SIZES).rev().map(|k| f64::from(k) / f64::from(SIZES)).collect();
    let radii: Vec<f64> = shares.iter().map(|share| share * radius).collect();
    let left = left_by(name.ground(), &radii);
    // Letters k times as high are to a cutter as these are to one k times as fine.
    let first = |sanding: &dyn Fn(f64) -> f64| {
        let mut tried = shares.iter().zip(&left);
        let done = tried
            .find(|(share, l)| gaps(l.as_deref(), (name.height, sanding(**share))) == 0);
        done.map(|(share, _)| *share)
    };
    let finer = first(&|_| sanding);
    let have = finer.map_or(0.0, |share| 2.0 * share * radius);
    let mut finding = finding.have_need(have, cutter.diameter());
    if finer.is_some() {
        let size = (have * 100.0).floor() / 100.0;
        let text = format!("an end mill of {} mm comes in everywhere", trimmed(size));
        finding = finding.remedy(RemedyKind::Cutter, text, Some(size));
    }
    if let Some(share) = first(&|share| sanding * share) {
        let high = (name.height / share * 10.0).ceil() / 10.0;
        let text =
            format!("it comes in everywhere with letters {} mm high", trimmed(high));
        finding = finding.remedy(RemedyKind::Parameter, text, Some(high));
    }
    if let Some(need) = name.panel.as_ref().and_then(|p| way_round(p, cutter.diameter()))
    {
        let text = format!(
            "`panel: {{margin: {} mm}}` lets it pass along the border",
            trimmed(need)
        );
        finding = finding.remedy(RemedyKind::Parameter, text, Some(need));
    }
    finding.help("`style: vee` renders strokes and gaps of any width")
}

/// The margin with which a cutter passes all along the border of a panel, where it does not;
/// mm. Corners rounder than the margin come nearer to the corners of the ink than that.
fn way_round(panel: &Panel, diameter: f64) -> Option<f64> {
    let off = (panel.corner - diameter).max(0.0);
    let need = diameter.max(panel.corner - off / std::f64::consts::SQRT_2);
    (panel.margin < need).then(|| ((need * 10.0).floor() + 1.0) / 10.0)
}

/// `the e (2), between the N and the o and 3 more places`.
fn places(name: &NameCut, left: &[&Leftover]) -> String {
    let mut said: Vec<(String, usize)> = Vec::new();
    for left in left {
        let words = place(name, left);
        match said.iter_mut().find(|(known, _)| *known == words) {
            Some((_, count)) => *count += 1,
            None => said.push((words, 1)),
        }
    }
    let rest: usize = said.iter().skip(NAMED).map(|(_, count)| count).sum();
    let named: Vec<String> = said
        .into_iter()
        .take(NAMED)
        .map(
            |(words, count)| {
                if count > 1 { format!("{words} ({count} places)") } else { words }
            },
        )
        .collect();
    let named = named.join(", ");
    match rest {
        0 => named,
        1 => format!("{named} and 1 more place"),
        more => format!("{named} and {more} more places"),
    }
}

/// `in the e`, `between the N and the o`, `beside the N`.
fn place(name: &NameCut, left: &Leftover) -> String {
    let letter = |index: &usize| plain(&name.letters[*index].0);
    match touching(name, &left.region).as_slice() {
        [] => "at the border of the panel".to_owned(),
        [only] => format!("in the {}", letter(only)),
        [one, other, ..] => {
            format!("between the {} and the {}", letter(one), letter(other))
        }
    }
}

/// The letters that bound a place, in reading order.
fn touching(name: &NameCut, place: &Region) -> Vec<usize> {
    let points: Vec<Point> = place
        .contours()
        .iter()
        .flat_map(Contour::pieces)
        .flat_map(|piece| [0.0, 0.5].map(|t| piece.curve.eval(t)))
        .collect();
    let touches = |path: &BezPath| {
        path.segments().map(Curve::from_segment).any(|curve| {
            let about = curve.bounds().inflate(TOUCHES, TOUCHES);
            points
                .iter()
                .any(|p| about.contains(*p) && curve.nearest(*p).distance(*p) < TOUCHES)
        })
    };
    let letters = name.letters.iter().enumerate();
    letters.filter(|(_, (_, path))| touches(path)).map(|(index, _)| index).collect()
}

/// A stroke that stands higher than it is thick.
fn thin(dish: &Dish, name: &NameCut) -> Option<Finding> {
    let need = name.depth;
    let (have, at) = name.thinnest.filter(|(have, _)| *have < need - 1e-6)?;
    let down = |mm: f64| trimmed((mm * 100.0).floor() / 100.0);
    let message = format!(
        "the thinnest stroke of {} is {} mm thick and stands {} mm high: it may break off",
        within(dish, name, at),
        down(have),
        trimmed((need * 100.0).round() / 100.0),
    );
    let height = (name.height * need / have * 10.0).ceil() / 10.0;
    let mut finding = Finding::warn(Code::ThinLetter, message)
        .at(at.x, at.y)
        .from(name.source.clone())
        .have_need(have, need);
    let depth = (have * 100.0).floor() / 100.0;
    if depth > 0.0 {
        let text = format!("`depth: {} mm` for the name", down(have));
        finding = finding.remedy(RemedyKind::Depth, text, Some(depth));
    }
    let text = format!("letters {} mm high have strokes thick enough", trimmed(height));
    Some(finding.remedy(RemedyKind::Parameter, text, Some(height)))
}

/// The border of a panel on the rim beside an edge of the dish: as thick as it is high at
/// least, beyond what is rounded off.
fn border(dish: &Dish, name: &NameCut, panel: &Panel) -> Option<Finding> {
    if name.on != Surface::Rim {
        return None;
    }
    let round = |radius: Option<Mm>| name.depth + radius.map_or(0.0, Mm::get);
    let recesses = dish
        .recesses
        .iter()
        .map(|recess| ("the recess", &recess.region, round(dish.recess_round)));
    let edges = std::iter::once(("the outline", &dish.outline, round(dish.outer_round)));
    let thin = edges.chain(recesses).filter_map(|(what, edge, need)| {
        let (have, at) = wall(&panel.outline, edge)?;
        (have > 0.0 && have < need - 1e-6).then_some((what, have, need, at))
    });
    let (what, have, need, at) =
        thin.max_by(|a, b| (a.2 - a.1).total_cmp(&(b.2 - b.1)))?;
    let message = format!(
        "the border between the panel of \"{}\" and {what} is {} mm thick and stands {} mm high; beyond what is rounded off it should be as thick as it is high",
        plain(&dish.person),
        trimmed((have * 100.0).floor() / 100.0),
        trimmed((name.depth * 100.0).round() / 100.0),
    );
    let away = hundredths_up(need - have);
    Some(
        Finding::warn(Code::RimTooThin, message)
            .at(at.x, at.y)
            .from(name.source.clone())
            .have_need(have, need)
            .remedy(
                RemedyKind::Edit,
                format!("keep the panel {} mm farther from it", trimmed(away)),
                Some(away),
            )
            .help("a smaller `margin` of the panel or `height` of the name, or another `along`"),
    )
}
