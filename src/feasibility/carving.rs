//! The name and the details against the cutters that render them.

use super::ground::Ground;
use crate::curve::Curve;
use crate::dish::{Dish, NameCut};
use crate::finding::{Code, Finding, RemedyKind};
use crate::lettering::{Letters, strokes};
use crate::model::{Cutter, CutterKind, NameStyle, Shop, Surface};
use crate::units::trimmed;

pub(super) fn check(
    dish: &Dish,
    (ground, shop): (Option<&Ground>, &Shop),
    findings: &mut Vec<Finding>,
) {
    if let Some(name) = &dish.name {
        super::letters::check(dish, name, shop, findings);
        stroke(dish, name, shop, findings);
        if let Some(ground) = ground {
            super::ground::check(dish, name, (ground, shop), findings);
        }
        below(name, shop, findings);
    }
    grooves(dish, shop, findings);
}

/// Cutters for a name in one style.
fn carves(style: NameStyle, cutter: &Cutter) -> bool {
    match style {
        NameStyle::Vee => cutter.kind() == CutterKind::VBit,
        NameStyle::Sunk | NameStyle::Raised => cutter.kind() == CutterKind::EndMill,
        NameStyle::Line => {
            matches!(cutter.kind(), CutterKind::EndMill | CutterKind::BallNose)
        }
    }
}

fn stroke(dish: &Dish, name: &NameCut, shop: &Shop, findings: &mut Vec<Finding>) {
    let rack: Vec<&Cutter> =
        shop.cutters.iter().filter(|c| carves(name.style, c)).collect();
    let kind = match name.style {
        NameStyle::Vee => "v-bit",
        NameStyle::Sunk | NameStyle::Raised => "end mill",
        NameStyle::Line => "end mill or ball nose",
    };
    let Some(finest) = rack.iter().min_by(|a, b| a.narrowest().total_cmp(&b.narrowest()))
    else {
        findings.push(
            Finding::stop(
                Code::CutterNotOnRack,
                format!("no {kind} on the rack to carve the name"),
            )
            .from(name.source.clone())
            .expected(format!("a {kind} in the shop file"))
            .help("add one under `cutters:`, or choose another `style` for the name"),
        );
        return;
    };
    let carved = matches!(name.style, NameStyle::Vee | NameStyle::Sunk);
    let Some((have, at)) = name.thinnest.filter(|_| carved) else { return };
    let need = finest.narrowest();
    if have >= need - 1e-6 {
        return;
    }
    let height = name.height * need / have;
    let mut finding = Finding::stop(
        Code::StrokeTooThinForCutter,
        format!(
            "the thinnest stroke of {} is {} mm; {} cuts no narrower than {} mm",
            super::letters::within(dish, name, at),
            trimmed((have * 1e3).round() / 1e3),
            finest.id(),
            trimmed(need)
        ),
    )
    .at(at.x, at.y)
    .from(name.source.clone())
    .have_need(have, need)
    .remedy(
        RemedyKind::Parameter,
        format!(
            "letters {} mm high have strokes wide enough",
            trimmed((height * 10.0).ceil() / 10.0)
        ),
        Some(height),
    )
    .remedy(
        RemedyKind::Cutter,
        format!(
            "a {kind} that cuts {} mm or narrower renders every letter",
            trimmed((have * 100.0).floor() / 100.0)
        ),
        Some(have),
    );
    if let Some((letters, thin)) = broader(dish, name, need) {
        let text = format!(
            "`face: {}` has strokes of {} mm at this height",
            letters.name(),
            trimmed((thin * 100.0).floor() / 100.0)
        );
        finding = finding.remedy(RemedyKind::Edit, text, None);
    }
    let vee = shop
        .cutters
        .iter()
        .any(|c| c.kind() == CutterKind::VBit && c.narrowest() <= have);
    if name.style == NameStyle::Sunk {
        let size = (have * 100.0).floor() / 100.0;
        let text = format!("an end mill of {} mm goes into it", trimmed(size));
        finding = finding.remedy(RemedyKind::Cutter, text, Some(size));
    }
    if name.style == NameStyle::Sunk && vee {
        finding = finding.help("`style: vee` renders strokes of any width");
    }
    findings.push(finding);
}

/// Other letters whose strokes are wide enough at the name's height, and their thinnest, mm.
fn broader(dish: &Dish, name: &NameCut, need: f64) -> Option<(Letters, f64)> {
    let room: f64 =
        name.baseline.segments().map(|s| Curve::from_segment(s).length()).sum();
    let bold = ["sans bold", "serif bold", Letters::HAND, "broad bold"];
    bold.into_iter().filter_map(Letters::named).find_map(|letters| {
        let (thin, long) = strokes(&dish.person, &letters, name.height)?;
        (thin >= need && long <= room).then_some((letters, thin))
    })
}

/// Wood left below the name: half the house's least floor at least.
fn below(name: &NameCut, shop: &Shop, findings: &mut Vec<Finding>) {
    let need = match name.on {
        Surface::Floor => shop.house.floor.get() / 2.0,
        Surface::Rim => shop.house.floor.get(),
    };
    if name.floor >= need - 1e-9 {
        return;
    }
    let depth = (name.depth + name.floor - need).max(0.0);
    findings.push(
        Finding::warn(
            Code::FloorTooThin,
            format!(
                "only {} mm of wood stay below the name; at least {} mm should (half the least floor where it is carved in one)",
                trimmed(name.floor),
                trimmed(need)
            ),
        )
        .from(name.source.clone())
        .have_need(name.floor, need)
        .remedy(RemedyKind::Depth, format!("`depth: {} mm` for the name", trimmed(depth)), Some(depth)),
    );
}

fn grooves(dish: &Dish, shop: &Shop, findings: &mut Vec<Finding>) {
    let finest = shop
        .cutters
        .iter()
        .filter(|c| cuts_grooves(c))
        .min_by(|a, b| a.narrowest().total_cmp(&b.narrowest()));
    for groove in &dish.grooves {
        let Some(finest) = finest else {
            findings.push(
                Finding::stop(
                    Code::CutterNotOnRack,
                    "no cutter on the rack carves grooves",
                )
                .from(groove.source.clone())
                .expected("a v-bit, ball nose or end mill in the shop file")
                .help("add one under `cutters:`"),
            );
            return;
        };
        let need = finest.narrowest();
        if groove.width < need - 1e-6 {
            findings.push(
                Finding::stop(
                    Code::StrokeTooThinForCutter,
                    format!(
                        "a detail groove is {} mm wide; the finest cutter, {}, makes {} mm",
                        trimmed(groove.width),
                        finest.id(),
                        trimmed(need)
                    ),
                )
                .from(groove.source.clone())
                .have_need(groove.width, need)
                .remedy(RemedyKind::Parameter, format!("`width: {} mm`", trimmed(need)), Some(need)),
            );
        }
    }
}

/// Cutters that make a groove in one pass along its line.
fn cuts_grooves(cutter: &Cutter) -> bool {
    matches!(cutter.kind(), CutterKind::VBit | CutterKind::BallNose | CutterKind::EndMill)
}
