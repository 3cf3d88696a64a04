//! Ways to carve details and the name.

use super::clear::{free, letters as lettered};
use super::estimate::{cleared, followed, share};
use super::groove::{Nearest, SAME_WIDTH, groove_depth, nearest, vee_depth};
use super::{Choice, Cut, Stage, Step};
use crate::curve::{BezPath, Curve};
use crate::dish::{Dish, GrooveCut, NameCut};
use crate::feasibility::{Report, cuts_lines, line_cutter};
use crate::model::{Cutter, CutterKind, NameStyle, Pin, Pins, Shop, Surface, Work};
use crate::units::trimmed;

/// A V-bit that has to go deeper than this many times a groove's own depth is left alone
/// where nobody asks for it.
const DEEPER: f64 = 2.0;

/// Of the ways to share several kinds of grooves among cutters so many are looked at.
const MOST_WAYS: usize = 512;

pub(super) fn round(mm: f64) -> String {
    trimmed((mm * 100.0).round() / 100.0)
}

/// Cutters of the kinds that do a work, in the order of the rack.
pub(super) fn rack(shop: &Shop, work: Work) -> impl Iterator<Item = (usize, &Cutter)> {
    let does = move |(_, c): &(usize, &Cutter)| work.kinds().contains(&c.kind());
    shop.cutters.iter().enumerate().filter(does)
}

/// Every way to share the grooves among cutters that make them.
pub(super) fn details(dish: &Dish, shop: &Shop, pins: &Pins) -> Stage {
    if dish.grooves.is_empty() {
        return Stage::default();
    }
    let pin = pins.of(Work::Details);
    let fits: Vec<Fits> =
        dish.grooves.iter().map(|groove| all_fitted(dish, groove, shop)).collect();
    let each: Vec<Vec<Step>> = (0..dish.grooves.len())
        .map(|index| candidates((dish, index), &fits[index], shop, pin))
        .filter(|candidates| !candidates.is_empty())
        .collect();
    let mut choice = Choice::of(Work::Details);
    for (index, cutter) in rack(shop, Work::Details) {
        let steps = each.iter().flatten().filter(|step| step.cutter == index);
        let minutes: Vec<f64> = steps.map(|step| step.minutes).collect();
        let verdict = if minutes.is_empty() {
            Err(why_not(dish, &fits, index))
        } else {
            Ok(minutes.iter().sum())
        };
        choice.add(cutter.id(), verdict);
    }
    let mut ways: Vec<Vec<Step>> = vec![Vec::new()];
    for candidates in each {
        let mut next: Vec<Vec<Step>> = Vec::new();
        for way in &ways {
            for step in &candidates {
                let way = with(way, step);
                if !next.contains(&way) {
                    next.push(way);
                }
            }
        }
        // Alike grooves give alike ways; what is left out is the least like the first.
        next.truncate(MOST_WAYS);
        ways = next;
    }
    ways.retain(|way| !way.is_empty());
    let turned: Vec<Vec<Step>> =
        ways.iter().filter(|way| way.len() > 1).flat_map(|way| rotations(way)).collect();
    ways.extend(turned);
    Stage { choices: vec![choice], ways }
}

/// A way with one more groove; a cutter that is in it already carves this one too.
fn with(way: &[Step], step: &Step) -> Vec<Step> {
    let mut way = way.to_vec();
    match way.iter_mut().find(|known| known.cutter == step.cutter) {
        Some(known) => {
            known.cut = known.cut.deeper(step.cut);
            known.minutes += step.minutes;
            known.grooves.extend(&step.grooves);
        }
        None => way.push(step.clone()),
    }
    way.sort_by_key(|step| step.cutter);
    way
}

/// The same cuts with each one first and each other one last.
fn rotations(way: &[Step]) -> Vec<Vec<Step>> {
    let mut all = Vec::new();
    for first in 0..way.len() {
        for last in (0..way.len()).filter(|last| *last != first) {
            let mut turned = vec![way[first].clone()];
            let between = (0..way.len()).filter(|at| *at != first && *at != last);
            turned.extend(between.map(|at| way[at].clone()));
            turned.push(way[last].clone());
            all.push(turned);
        }
    }
    all
}

/// The cutters for one groove: the one pinned; else the one the recipe asks for or the nearest
/// to it; else those exactly as wide; else V-bits that need not go too deep.
fn candidates(
    (dish, index): (&Dish, usize),
    fits: &Fits,
    shop: &Shop,
    pin: Option<&Pin>,
) -> Vec<Step> {
    let groove = &dish.grooves[index];
    let length = length(std::slice::from_ref(&groove.line));
    let step = |(index, fitted): (usize, &Result<Cut, String>)| {
        let cut = *fitted.as_ref().ok()?;
        let minutes = followed(&shop.cutters[index], shop, length, cut);
        let (work, cutter) = (Work::Details, index);
        Some(Step { work, cutter, cut, minutes, grooves: Vec::new() })
    };
    let mut steps: Vec<Step> = fits.iter().enumerate().filter_map(step).collect();
    let cutter = |step: &Step| &shop.cutters[step.cutter];
    if let Some(pin) = pin {
        steps.retain(|step| cutter(step).id() == pin.cutter);
    } else if let Some(Nearest { cutter, .. }) =
        nearest(&shop.cutters, groove, |index| fits[index].is_ok())
    {
        steps.retain(|step| step.cutter == cutter);
    } else {
        let exact = |step: &Step| {
            cutter(step).kind() != CutterKind::VBit && {
                (cutter(step).diameter() - groove.width).abs() < SAME_WIDTH
            }
        };
        let shallow = |step: &Step| {
            cutter(step).kind() == CutterKind::VBit
                && step.cut.own <= DEEPER * groove.depth + 1e-9
        };
        let any = steps.clone();
        if steps.iter().any(exact) {
            steps.retain(exact);
        } else if steps.iter().any(shallow) {
            steps.retain(shallow);
        } else {
            let off = |step: &&Step| (cutter(step).angle() - 60.0).abs();
            let best = any.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
            steps = best.cloned().into_iter().collect();
        }
    }
    for step in &mut steps {
        step.grooves = vec![index];
    }
    steps
}

/// The cutter nearest to the one a groove asks for that also comes down to it.
pub(super) fn wanted(dish: &Dish, groove: &GrooveCut, shop: &Shop) -> Option<Nearest> {
    let fits = |index: usize| fitted(dish, groove, &shop.cutters[index], shop).is_ok();
    nearest(&shop.cutters, groove, fits)
}

/// What each cutter of the rack makes of one groove.
type Fits = Vec<Result<Cut, String>>;

fn all_fitted(dish: &Dish, groove: &GrooveCut, shop: &Shop) -> Fits {
    shop.cutters.iter().map(|cutter| fitted(dish, groove, cutter, shop)).collect()
}

/// How deep a cutter goes for a groove; else why it cannot make it.
pub(super) fn fitted(
    dish: &Dish,
    groove: &GrooveCut,
    cutter: &Cutter,
    shop: &Shop,
) -> Result<Cut, String> {
    let own = groove_depth(cutter, groove)?;
    let cut = Cut { depth: dish.surface_depth(groove.on) + own, own };
    let below = match groove.on {
        Surface::Floor => {
            dish.recesses.iter().map(|r| r.floor).fold(f64::INFINITY, f64::min)
        }
        Surface::Rim => dish.wood.thickness.get(),
    };
    let least = shop.house.floor.get() / 2.0;
    if below - own < least {
        return Err(format!(
            "it would go {} mm deep and leave {} mm of wood; {} mm should stay",
            round(own),
            round((below - own).max(0.0)),
            round(least)
        ));
    }
    free(dish, shop, cutter, &super::clear::groove(groove, own))?;
    Ok(cut)
}

/// Why a cutter carves none of the grooves: the reason at the first it fails at.
fn why_not(dish: &Dish, fits: &[Fits], cutter: usize) -> String {
    let reasons = fits.iter().map(|fits| fits[cutter].clone());
    let failed = reasons.clone().find_map(Result::err);
    failed.unwrap_or_else(|| {
        let own = reasons.flatten().map(|cut| cut.own).fold(0.0, f64::max);
        let asked = dish.grooves.iter().find_map(|groove| groove.with.as_ref());
        match asked {
            Some(wanted) => format!("the recipe asks for a {}", wanted.words()),
            None => format!("it would go {} mm deep; another suits better", round(own)),
        }
    })
}

/// Length of lines, mm.
fn length(lines: &[BezPath]) -> f64 {
    let segments = lines.iter().flat_map(BezPath::segments);
    segments.map(|segment| Curve::from_segment(segment).length()).sum()
}

/// How a cutter renders the name.
struct Rendered {
    cut: Cut,
    /// It comes down there without meeting wood; else why not.
    free: Result<(), String>,
    /// Why it is only taken where no other does better.
    lacks: Option<String>,
}

/// What a cutter makes of the name, whether or not it comes down there; else why nothing.
fn rendered(
    dish: &Dish,
    name: &NameCut,
    cutter: &Cutter,
    (report, shop): (&Report, &Shop),
) -> Result<Rendered, String> {
    let (own, lacks) = match name.style {
        NameStyle::Vee => vee(name, cutter)?,
        NameStyle::Sunk => {
            of_kind(cutter, CutterKind::EndMill)?;
            thin_enough(name, cutter)?;
            (name.depth, rounds_off(report, cutter, shop))
        }
        NameStyle::Raised => return Err("the panel is cleared instead".to_owned()),
        NameStyle::Line if cuts_lines(cutter, name) => {
            let best = line_cutter(&shop.cutters, name);
            let other = best.filter(|best| best.id() != cutter.id());
            (
                name.depth,
                other.map(|best| format!("{} suits the strokes better", best.id())),
            )
        }
        NameStyle::Line => {
            return Err(format!(
                "it does not make strokes of {} mm, {} mm deep, in one pass",
                round(name.pen.unwrap_or_default()),
                round(name.depth)
            ));
        }
    };
    let depth = dish.surface_depth(name.on) + own;
    let free = free(dish, shop, cutter, &lettered(name, own));
    Ok(Rendered { cut: Cut { depth, own }, free, lacks })
}

/// Why a finer end mill is taken before this one for sunk letters, if one is.
fn rounds_off(report: &Report, cutter: &Cutter, shop: &Shop) -> Option<String> {
    let ground = report.ground.as_ref()?;
    let row = ground.rows.iter().find(|r| shop.cutters[r.cutter].id() == cutter.id())?;
    (!ground.renders(row)).then(|| {
        format!(
            "it leaves corners of the letters up to {} mm deep; a finer one comes farther in",
            round(row.deepest())
        )
    })
}

pub(super) fn of_kind(cutter: &Cutter, kind: CutterKind) -> Result<(), String> {
    if cutter.kind() == kind {
        return Ok(());
    }
    Err(format!("the letters are carved with a cutter of the kind `{}`", kind.word()))
}

fn thin_enough(name: &NameCut, cutter: &Cutter) -> Result<(), String> {
    let need = cutter.narrowest();
    match name.thinnest {
        Some((width, _)) if need > width + 1e-6 => Err(format!(
            "it cuts no narrower than {} mm; the thinnest stroke is {} mm",
            round(need),
            round(width)
        )),
        Some(_) | None => Ok(()),
    }
}

/// The depth of V-letters, and why the widest strokes come out flat, if they do.
fn vee(name: &NameCut, cutter: &Cutter) -> Result<(f64, Option<String>), String> {
    of_kind(cutter, CutterKind::VBit)?;
    thin_enough(name, cutter)?;
    let whole = vee_depth(cutter, name.widest);
    let full = whole <= name.depth && cutter.diameter() >= name.widest;
    let lacks = || {
        format!(
            "its widest stroke would be cut short at {} mm and flat; another reaches the full depth",
            round(name.depth)
        )
    };
    Ok((whole.min(name.depth), (!full).then(lacks)))
}

/// The name: bits that reach the full depth of the widest stroke before those that leave a
/// flat; where none comes down to it, those that nothing but the wood is in the way of.
pub(super) fn name(dish: &Dish, report: &Report, shop: &Shop, pins: &Pins) -> Stage {
    let Some(name) = &dish.name else { return Stage::default() };
    if name.panel.is_some() {
        return super::ground::panel(dish, report, shop, pins);
    }
    let pin = pins.of(Work::Name);
    let found: Vec<(usize, &Cutter, Result<Rendered, String>)> = rack(shop, Work::Name)
        .map(|(index, cutter)| {
            (index, cutter, rendered(dish, name, cutter, (report, shop)))
        })
        .collect();
    let full = |r: &Rendered| r.lacks.is_none() && r.free.is_ok();
    let any_full = found.iter().any(|(_, _, r)| r.as_ref().is_ok_and(full));
    let mut choice = Choice::of(Work::Name);
    let (mut ways, mut short) = (Vec::new(), Vec::new());
    for (index, cutter, rendered) in found {
        let verdict = rendered.and_then(|r| {
            let minutes = letters(name, cutter, shop, r.cut);
            let (work, cut) = (Work::Name, r.cut);
            let step = Step { work, cutter: index, cut, minutes, grooves: Vec::new() };
            let asked = pin.is_none_or(|pin| pin.cutter == cutter.id());
            if let Err(why) = r.free {
                short.extend(asked.then(|| vec![step]));
                return Err(why);
            }
            let pinned = pin.is_some() && asked;
            if let Some(lacks) = r.lacks.filter(|_| any_full && !pinned) {
                return Err(lacks);
            }
            ways.extend(asked.then(|| vec![step]));
            Ok(minutes)
        });
        choice.add(cutter.id(), verdict);
    }
    let ways = if ways.is_empty() { short } else { ways };
    Stage { choices: vec![choice], ways }
}

/// Minutes for the letters: V-letters along both sides of their strokes, sunk ones cleared,
/// lines followed.
fn letters(name: &NameCut, cutter: &Cutter, shop: &Shop, cut: Cut) -> f64 {
    let edge = name.region.perimeter();
    match name.style {
        NameStyle::Vee => followed(cutter, shop, edge, cut),
        NameStyle::Line => followed(cutter, shop, length(&name.centers), cut),
        NameStyle::Sunk | NameStyle::Raised => {
            cleared(cutter, shop, (name.region.area(), edge), cut, share(cutter))
        }
    }
}
