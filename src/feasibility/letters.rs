//! What can go wrong within a name, told by letter.

use crate::curve::{BezPath, Curve, Drawn as _, Point};
use crate::dish::{Dish, NameCut};
use crate::finding::{Code, Finding, RemedyKind, plain};
use crate::lettering::{Gap, LEAST_WOOD, Pen};
use crate::model::{Cutter, CutterKind, NameStyle, Shop};
use crate::units::trimmed;

/// Strokes nearer than this are said to touch elsewhere, mm.
const TOUCHING: f64 = 0.05;

/// A cutter this much off the width of a stroke still makes it, mm.
const SAME_WIDTH: f64 = 0.05;

pub(super) fn check(
    dish: &Dish,
    name: &NameCut,
    shop: &Shop,
    findings: &mut Vec<Finding>,
) {
    // The wood between raised letters is cut away.
    if name.style != NameStyle::Raised {
        gap(dish, name, findings);
    }
    if name.style == NameStyle::Line {
        one_pass(name, shop, findings);
    }
}

/// A cutter makes the strokes of a name in one pass: as wide as they are, a ball nose sunk to
/// its full width.
pub fn cuts_lines(cutter: &Cutter, name: &NameCut) -> bool {
    let wide = match cutter.kind() {
        CutterKind::EndMill => true,
        CutterKind::BallNose => name.depth >= cutter.diameter() / 2.0 - SAME_WIDTH,
        CutterKind::BowlBit
        | CutterKind::CompressionBit
        | CutterKind::VBit
        | CutterKind::RoundOverBit => false,
    };
    wide && name.pen.is_some_and(|pen| (cutter.diameter() - pen).abs() <= SAME_WIDTH)
}

/// The best of the cutters that make the strokes of a name in one pass: of equals a ball nose.
pub fn line_cutter<'s>(cutters: &'s [Cutter], name: &NameCut) -> Option<&'s Cutter> {
    let pen = name.pen?;
    let off = |cutter: &Cutter| (cutter.diameter() - pen).abs();
    let flat = |cutter: &Cutter| u8::from(cutter.kind() == CutterKind::EndMill);
    cutters
        .iter()
        .filter(|cutter| cuts_lines(cutter, name))
        .min_by(|a, b| off(a).total_cmp(&off(b)).then(flat(a).cmp(&flat(b))))
}

/// There is a cutter as wide as the strokes.
fn one_pass(name: &NameCut, shop: &Shop, findings: &mut Vec<Finding>) {
    let Some(pen) = name.pen.filter(|_| line_cutter(&shop.cutters, name).is_none())
    else {
        return;
    };
    let mut finding = Finding::stop(
        Code::CutterNotOnRack,
        format!(
            "no end mill or ball nose on the rack makes strokes of {} mm, {} mm deep, in one pass",
            trimmed((pen * 1e3).round() / 1e3),
            trimmed((name.depth * 1e3).round() / 1e3)
        ),
    )
    .from(name.source.clone())
    .expected("a cutter as wide as the strokes; a ball nose must sink by half its diameter");
    let suits =
        |width: f64| (Pen::FINEST..=Pen::BROADEST).contains(&(width / name.height));
    let near = shop
        .cutters
        .iter()
        .filter(|c| c.kind() == CutterKind::EndMill && suits(c.diameter()))
        .min_by(|a, b| (a.diameter() - pen).abs().total_cmp(&(b.diameter() - pen).abs()));
    if let Some(cutter) = near {
        let width = cutter.diameter();
        let text =
            format!("`stroke: {} mm` is as wide as {}", trimmed(width), cutter.id());
        finding = finding.remedy(RemedyKind::Parameter, text, Some(width));
    }
    findings.push(finding.help("`style: vee` cuts strokes of any width"));
}

/// The narrowest wood between strokes, within a letter or between two.
fn gap(dish: &Dish, name: &NameCut, findings: &mut Vec<Finding>) {
    let Some(Gap { width: have, at, letters }) = name.wood else { return };
    if !(TOUCHING..LEAST_WOOD).contains(&have) {
        return;
    }
    let height = name.height * LEAST_WOOD / have;
    let text = format!(
        "the wood {} is {} mm wide and may break out",
        between(dish, name, letters),
        trimmed((have * 100.0).floor() / 100.0)
    );
    let mut finding = Finding::warn(Code::LettersTooClose, text)
        .at(at.x, at.y)
        .from(name.source.clone())
        .have_need(have, LEAST_WOOD);
    finding = if let Some(pen) = name.pen {
        // Strokes thinner by what is lacking leave at least that much more between them.
        let pen = ((pen - (LEAST_WOOD - have)) * 10.0).floor() / 10.0;
        let text = format!("`stroke: {} mm` leaves enough", trimmed(pen));
        if pen > Pen::FINEST * name.height {
            finding.remedy(RemedyKind::Parameter, text, Some(pen))
        } else {
            finding.help("make the letters taller")
        }
    } else {
        let high = (height * 10.0).ceil() / 10.0;
        let text = format!("letters {} mm high leave enough", trimmed(high));
        finding.remedy(RemedyKind::Parameter, text, Some(high))
    };
    findings.push(finding);
}

/// `the e of "Noelle"`: the letter nearest to a place.
pub(super) fn within(dish: &Dish, name: &NameCut, at: Point) -> String {
    match nearest(name, at) {
        Some(letter) => {
            format!("the {} of \"{}\"", plain(letter), plain(&dish.person))
        }
        None => format!("\"{}\"", plain(&dish.person)),
    }
}

/// The letter nearest to a place of a name, as people call it.
pub fn letter_at(name: &NameCut, at: Point) -> Option<String> {
    nearest(name, at).map(plain)
}

/// Where wood stands that these letters have on its sides.
fn between(dish: &Dish, name: &NameCut, letters: [usize; 2]) -> String {
    let told = |number: usize| {
        let text = name.letters.get(number).map(|(text, _)| text.as_str());
        plain(text.unwrap_or_default())
    };
    let person = plain(&dish.person);
    match letters {
        [one, other] if one == other => format!("in the {} of \"{person}\"", told(one)),
        [one, other] => {
            format!("between the {} and the {} of \"{person}\"", told(one), told(other))
        }
    }
}

/// The letter nearest to a place.
fn nearest(name: &NameCut, at: Point) -> Option<&str> {
    let far = |path: &BezPath| {
        let near =
            path.segments().map(|s| Curve::from_segment(s).nearest(at).distance(at));
        near.fold(f64::INFINITY, f64::min)
    };
    let letters = name.letters.iter();
    letters
        .filter(|(_, path)| path.bounding_box().inflate(1.0, 1.0).contains(at))
        .min_by(|a, b| far(&a.1).total_cmp(&far(&b.1)))
        .map(|(text, _)| text.as_str())
}
