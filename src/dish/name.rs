//! The name of a dish: its letters chosen, laid out and measured.

use super::{Dish, NameCut, panel};
use crate::curve::Region;
use crate::finding::{Code, Finding, RemedyKind, plain};
use crate::lettering::{
    Face, Fit, FitFault, Fitted, Gauge, LEAST_WOOD, Letters, Pen, fit, picture,
};
use crate::model::{Cutter, CutterKind, NameStyle, Shop, Surface};
use crate::shape::NameForm;
use crate::units::trimmed;

/// Depth limit of a name in `vee` letters unless the recipe says otherwise, mm.
const VEE_DEPTH: f64 = 2.5;

/// Depth of `sunk` letters unless the recipe says otherwise, mm.
const SUNK_DEPTH: f64 = 1.5;

/// Letters nearer than this touch, mm.
const TOUCHING: f64 = 0.05;

/// Outside a surface by less than this is rounding, mm².
pub(super) const NOTHING: f64 = 0.01;

/// The name laid out and carved on a dish, or why not.
pub(super) fn name(
    dish: &Dish,
    area: &NameForm,
    shop: &Shop,
    findings: &mut Vec<Finding>,
) -> Option<NameCut> {
    let letters = letters(&dish.person, area, findings)?;
    let asked = panel::Asked { area, letters: &letters, shop };
    let within = panel::line(area, findings)?;
    let area = within.as_ref().unwrap_or(area);
    let least = shop.house.letter.get().min(area.height);
    let fitted = match laid(&dish.person, (area, &letters), least, shop) {
        Ok(fitted) => fitted,
        Err(fault) => {
            let long = matches!(fault, FitFault::TooLong { .. });
            let mut finding = no_place(&dish.person, fault, area, shop);
            let split = NameForm { lines: 2, ..area.clone() };
            if long && laid(&dish.person, (&split, &letters), least, shop).is_ok() {
                let text = "`lines: 2` holds it, split in two".to_owned();
                finding = finding.remedy(RemedyKind::Parameter, text, Some(2.0));
            }
            findings.push(with_parameters(finding, area));
            return None;
        }
    };
    if !fitted.missing.is_empty() {
        findings.push(missing(&dish.person, &fitted.missing, area));
    }
    findings.extend(borrowed(dish, &fitted, area));
    if let Some(gap) = fitted.gap.filter(|gap| gap.width < TOUCHING) {
        findings.push(
            Finding::warn(
                Code::LettersTooClose,
                format!(
                    "the {} and the {} of \"{}\" touch",
                    called(&fitted, gap.letters[0]),
                    called(&fitted, gap.letters[1]),
                    plain(&dish.person)
                ),
            )
            .at(gap.at.x, gap.at.y)
            .from(area.source.clone())
            .have_need(gap.width, TOUCHING)
            .help("another `face` for the name may space them wider"),
        );
    }
    let region = fitted.region().ok()?;
    let panel = panel::around(dish, (asked, area), &region, findings)?;
    if panel.is_none() {
        within_area(dish, area, &region, findings);
    }
    Some(NameCut { panel, ..cut(dish, area, region, &fitted) })
}

/// What the name is written in. Lines need letters that have a centre line: the hand, which
/// also has strokes as wide as an end mill.
fn letters(
    person: &str,
    area: &NameForm,
    findings: &mut Vec<Finding>,
) -> Option<Letters> {
    let line = area.style == NameStyle::Line;
    let Some(choice) = &area.letters else {
        return Some(match area.style {
            NameStyle::Line | NameStyle::Sunk => Letters::USUAL_HAND,
            NameStyle::Vee => Face::CARVED.into(),
            NameStyle::Raised => Face::SansBold.into(),
        });
    };
    let letters = if line { &choice.letters } else { choice.of(person) };
    if let (true, Letters::Fonts(_)) = (line, letters) {
        let what =
            format!("letters of `{}` have no centre line to cut along", letters.name());
        findings.push(
            Finding::stop(Code::DrawingFault, what)
                .from(area.source.clone())
                .expected("letters drawn with a pen for `style: line`")
                .help("write `face: hand`, or `style: vee`"),
        );
        return None;
    }
    if *letters != choice.letters {
        let what = format!(
            "the hand lacks letters of \"{}\": written in `{}`",
            plain(person),
            letters.name()
        );
        findings.push(
            Finding::note(Code::MissingLetter, what)
                .from(area.source.clone())
                .help("look at the proof"),
        );
    }
    Some(letters.clone())
}

/// The name on its line. A pen without a stated width is as wide as a cutter that fits the
/// letters' height, so it is chosen again when the height turns out less.
pub(super) fn laid(
    person: &str,
    (area, letters): (&NameForm, &Letters),
    least: f64,
    shop: &Shop,
) -> Result<Fitted, FitFault> {
    let gap = between(area.style, shop);
    let lay = |letters| {
        let how = Fit {
            letters,
            most: area.height,
            least,
            condense: area.condense,
            gap,
            apart: gap,
            lines: area.lines,
        };
        fit(person, &how, &area.baseline)
    };
    if !matches!(letters, Letters::Hand(_)) {
        return lay(letters.clone());
    }
    let mut pen =
        area.stroke.map_or_else(|| suiting(area.style, area.height, shop), Pen::Width);
    for _ in 0..3 {
        let fitted = lay(Letters::Hand(pen))?;
        let again = suiting(area.style, fitted.height, shop);
        if area.stroke.is_some() || again == pen || suits(pen, fitted.height) {
            return Ok(fitted);
        }
        pen = again;
    }
    lay(Letters::Hand(pen))
}

/// What letters set closer or narrowed leave between them, mm: enough wood, and not by a hair;
/// between raised ones room for the finest end mill.
fn between(style: NameStyle, shop: &Shop) -> f64 {
    const HAIR: f64 = 0.01;
    let mills = shop.cutters.iter().filter(|c| c.kind() == CutterKind::EndMill);
    let finest = mills.map(Cutter::diameter).filter(|_| style == NameStyle::Raised);
    finest.min_by(f64::total_cmp).unwrap_or(LEAST_WOOD) + HAIR
}

/// The pen is neither too fine nor too broad for letters of some height.
fn suits(pen: Pen, height: f64) -> bool {
    (Pen::FINEST..=Pen::BROADEST).contains(&(pen.width(height) / height))
}

/// As wide as the cutter of the rack nearest to the best width; that width itself where the
/// depth follows the width, or where no cutter comes near.
fn suiting(style: NameStyle, height: f64, shop: &Shop) -> Pen {
    let best = Pen::USUAL * height;
    let widths = shop.cutters.iter().filter(|cutter| match style {
        NameStyle::Vee | NameStyle::Raised => false,
        NameStyle::Sunk => cutter.kind() == CutterKind::EndMill,
        NameStyle::Line => {
            matches!(cutter.kind(), CutterKind::EndMill | CutterKind::BallNose)
        }
    });
    widths
        .map(Cutter::diameter)
        .min_by(|a, b| (a - best).abs().total_cmp(&(b - best).abs()))
        .map(Pen::Width)
        .filter(|pen| suits(*pen, height))
        .unwrap_or(Pen::Share(Pen::USUAL))
}

/// A letter as people call it.
fn called(fitted: &Fitted, at: usize) -> String {
    fitted.texts.get(at).map_or_else(|| format!("letter {}", at + 1), |text| plain(text))
}

fn cut(dish: &Dish, area: &NameForm, region: Region, fitted: &Fitted) -> NameCut {
    let below = match area.on {
        Surface::Floor => {
            dish.recesses.iter().map(|r| r.floor).fold(f64::INFINITY, f64::min)
        }
        Surface::Rim => dish.wood.thickness.get(),
    };
    let below = if below.is_finite() { below } else { dish.wood.thickness.get() };
    let usual = match area.style {
        NameStyle::Vee => VEE_DEPTH.min(below / 2.0),
        NameStyle::Sunk | NameStyle::Raised => SUNK_DEPTH.min(below / 2.0),
        // A ball nose is as wide as the stroke only from half that depth on.
        NameStyle::Line => {
            fitted.pen.map_or(SUNK_DEPTH, |pen| pen / 2.0).min(below / 2.0)
        }
    };
    let depth = area.depth.unwrap_or(usual);
    let Gauge { thinnest, wood } = fitted.gauge(&region);
    let widest = match (area.style, fitted.pen) {
        (NameStyle::Line, Some(pen)) => pen,
        _ => fitted.widest(&region),
    };
    NameCut {
        thinnest,
        widest,
        wood,
        letters: fitted.by_letter(),
        centers: fitted.centers.concat(),
        pen: fitted.pen,
        region,
        baseline: area.baseline.clone(),
        height: fitted.height,
        tracking: fitted.tracking,
        condensed: fitted.condensed,
        lines: fitted.lines,
        style: area.style,
        panel: None,
        on: area.on,
        depth,
        floor: below - depth,
        source: area.source.clone(),
    }
}

/// The hollows together.
fn hollow(dish: &Dish) -> Region {
    let hollows: Vec<Region> = dish.recesses.iter().map(|r| r.region.clone()).collect();
    Region::united(&hollows)
}

/// What something on a surface must lie in, and what that is called.
pub(super) fn surface(dish: &Dish, on: Surface) -> (Region, &'static str) {
    let hollow = hollow(dish);
    match on {
        Surface::Floor if hollow.is_empty() => (dish.outline.clone(), "the dish"),
        Surface::Floor => (hollow, "the recess"),
        Surface::Rim => (dish.outline.cut(&hollow), "the rim"),
    }
}

/// The letters lie where they are carved: on the floor inside a recess, on the rim outside.
fn within_area(
    dish: &Dish,
    area: &NameForm,
    letters: &Region,
    findings: &mut Vec<Finding>,
) {
    let (surface, what) = surface(dish, area.on);
    let whose = format!("\"{}\"", plain(&dish.person));
    if let Some(finding) = outside((letters, &whose), (&surface, what), area) {
        let help = "make the name's `height` smaller, or move or shorten its `along`";
        findings.push(with_parameters(finding.help(help), area));
    }
}

/// A region and whose it is, where it leaves a surface and what that is called.
pub(super) fn outside(
    (region, whose): (&Region, &str),
    (surface, what): (&Region, &str),
    area: &NameForm,
) -> Option<Finding> {
    if region.lies_within(surface) {
        return None;
    }
    let outside = region.cut(surface);
    let have = outside.area();
    if have <= NOTHING {
        return None;
    }
    let at = outside.bounds().center();
    let much = trimmed((have * 10.0).ceil() / 10.0);
    let message = format!("{whose} reaches outside {what} by {much} mm²");
    let finding = Finding::stop(Code::NameDoesNotFit, message).at(at.x, at.y);
    Some(finding.from(area.source.clone()).have_need(have, 0.0))
}

/// The finding with the parameters that the name's place comes from.
pub(super) fn with_parameters(finding: Finding, area: &NameForm) -> Finding {
    match &area.drawn_from {
        Some(told) => finding.help(told.clone()),
        None => finding,
    }
}

fn no_place(person: &str, fault: FitFault, area: &NameForm, shop: &Shop) -> Finding {
    let person = plain(person);
    match fault {
        FitFault::TooLong { have, need, height, .. } => Finding::stop(
            Code::NameDoesNotFit,
            format!(
                "\"{person}\" needs {} mm at the least letter height of {} mm; its line is {} mm long",
                trimmed((need * 10.0).ceil() / 10.0),
                trimmed(shop.house.letter.get()),
                trimmed((have * 10.0).floor() / 10.0)
            ),
        )
        .from(area.source.clone())
        .have_need(have, need)
        .remedy(
            RemedyKind::Parameter,
            format!("a line of {} mm holds it", trimmed((need * 10.0).ceil() / 10.0)),
            Some(need),
        )
        .remedy(
            RemedyKind::Parameter,
            format!("letters {} mm high fit, if the house allows them", trimmed((height * 10.0).floor() / 10.0)),
            Some(height),
        ),
        FitFault::NothingDrawn(missing) => self::missing(&person, &missing, area),
        FitFault::NoBaseline => Finding::stop(Code::DrawingFault, "the name's line has no length")
            .from(area.source.clone())
            .expected("two different points, or a curve")
            .help("write for example `along: [[-40, 0], [40, 0]]`"),
        FitFault::BadHeight => Finding::stop(Code::BadNumber, "the name's height is not above zero")
            .from(area.source.clone())
            .expected("a height such as `18 mm`")
            .help("correct `height`"),
    }
}

/// What is written in another face than the one asked for.
fn borrowed(dish: &Dish, fitted: &Fitted, area: &NameForm) -> Option<Finding> {
    let (face, _) = fitted.borrowed.first()?;
    let said: Vec<String> = fitted
        .borrowed
        .iter()
        .map(|(face, text)| format!("\"{}\" in `{}`", plain(text.trim()), face.name()))
        .collect();
    let finding = Finding::note(
        Code::MissingLetter,
        format!(
            "the face lacks letters of \"{}\": written {}",
            plain(&dish.person),
            said.join(", ")
        ),
    )
    .from(area.source.clone());
    Some(if dish.person.chars().all(|letter| face.writes(letter)) {
        finding.help(format!("`face: {}` writes the whole name alike", face.name()))
    } else {
        finding.help("no one face has them all; look at the proof")
    })
}

fn missing(person: &str, letters: &[char], area: &NameForm) -> Finding {
    let list: Vec<String> = letters.iter().map(|c| shown(*c)).collect();
    let finding = Finding::stop(
        Code::MissingLetter,
        if letters.is_empty() {
            format!("nothing of \"{}\" can be carved", plain(person))
        } else {
            format!(
                "no face has a letter for {} in \"{}\"",
                list.join(", "),
                plain(person)
            )
        },
    )
    .from(area.source.clone());
    let all = |face: &Letters| letters.iter().all(|&c| face.writes(c));
    match suppliers(area).find(all) {
        Some(face) if !letters.is_empty() => finding.help(format!(
            "`face: {}` has {}",
            face.name(),
            if letters.len() == 1 { "it" } else { "them" }
        )),
        _ => letters.iter().fold(finding, |finding, &letter| {
            if picture(letter) {
                return finding.help(format!(
                    "{} is a picture, not a letter: leave it out, or draw it under `details`",
                    shown(letter)
                ));
            }
            match suppliers(area).find(|face| face.writes(letter)) {
                Some(face) => finding
                    .help(format!("`face: {}` has {}", face.name(), shown(letter))),
                None => finding.help(format!(
                    "no built-in face has {}: write the name with letters they have",
                    shown(letter)
                )),
            }
        }),
    }
}

/// A character and its code point.
fn shown(letter: char) -> String {
    format!("{} (U+{:04X})", plain(&letter.to_string()), u32::from(letter))
}

/// What might write a letter instead, in the order in which it is offered; lines can only
/// be cut along letters of the hand.
fn suppliers(area: &NameForm) -> impl Iterator<Item = Letters> {
    let line = area.style == NameStyle::Line;
    Letters::names()
        .filter_map(Letters::named)
        .filter(move |letters| !line || matches!(letters, Letters::Hand(_)))
}
