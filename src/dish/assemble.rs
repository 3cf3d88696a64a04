//! A form, an order and a shop become one dish.

use super::{Dish, GrooveCut, NameCut, RecessCut};
use crate::curve::{Origin, Region};
use crate::finding::{Checked, Code, Finding, RemedyKind, plain};
use crate::lettering::{Face, Fit, FitFault, Fitted, Letters, fit};
use crate::model::{NameStyle, Order, Shop, Surface, Wood};
use crate::reach::Profile;
use crate::shape::{Form, NameForm};
use crate::units::{Mm, trimmed};

/// Depth limit of a name in `vee` letters unless the recipe says otherwise, mm.
const VEE_DEPTH: f64 = 2.5;

/// Depth of `sunk` letters unless the recipe says otherwise, mm.
const SUNK_DEPTH: f64 = 1.5;

/// Letters nearer than this touch, mm.
const TOUCHING: f64 = 0.05;

/// No stroke is wider than this, mm.
const WIDEST_STROKE: f64 = 60.0;

/// Puts a form, an order's name and a wood of the shop together. Without a value only when
/// the wood is not there or nothing can be carved from it; a name that cannot be laid out is
/// a finding, and the dish comes without it.
pub fn assemble(form: &Form, order: &Order, shop: &Shop) -> Checked<Dish> {
    let wood = match wood(order, shop) {
        Ok(wood) => wood.clone(),
        Err(finding) => return Checked::failed(*finding),
    };
    let mut findings = Vec::new();
    let recesses = recesses(form, &wood, shop, &mut findings);
    if !findings.is_empty() {
        return Checked { value: None, findings };
    }
    let mut dish = Dish {
        id: order.id.clone(),
        person: order.name.clone(),
        recipe: form.recipe.clone(),
        title: form.title.clone(),
        notes: form.notes.clone(),
        parameters: form.parameters.clone(),
        quantity: order.quantity,
        note: order.note.clone(),
        date: order.date.clone(),
        wood,
        outline: form.outline.clone(),
        outline_sources: form.outline_sources.clone(),
        rim: form.rim.and_then(Mm::new),
        recesses,
        name: None,
        grooves: grooves(form),
        outer_round: form.outer_round.and_then(Mm::new),
        recess_round: form.recess_round.and_then(Mm::new),
        source: form.source.clone(),
    };
    if let Some(area) = form.name.as_ref().filter(|_| !order.name.trim().is_empty()) {
        dish.name = name(&dish, area, shop, &mut findings);
    }
    Checked { value: Some(dish), findings }
}

fn wood<'s>(order: &Order, shop: &'s Shop) -> Result<&'s Wood, Box<Finding>> {
    let Some(wanted) = &order.wood else {
        return shop.woods.first().ok_or_else(|| {
            let finding = Finding::stop(Code::UnknownWood, "the shop has no wood")
                .from(order.source.clone())
                .help("add one under `woods:` in the shop file");
            Box::new(finding)
        });
    };
    shop.woods.iter().find(|wood| wood.name == *wanted).ok_or_else(|| {
        let names: Vec<&str> = shop.woods.iter().map(|wood| wood.name.as_str()).collect();
        let finding = Finding::stop(
            Code::UnknownWood,
            format!("the shop has no wood called `{}`", plain(wanted)),
        )
        .from(order.wood_source.clone())
        .expected(format!("one of {}", names.join(", ")));
        Box::new(match crate::finding::nearest(wanted, names.iter().copied()) {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding.help("name one of these, or add the wood to the shop file"),
        })
    })
}

fn recesses(
    form: &Form,
    wood: &Wood,
    shop: &Shop,
    findings: &mut Vec<Finding>,
) -> Vec<RecessCut> {
    let thickness = wood.thickness.get();
    let mut cuts = Vec::with_capacity(form.recesses.len());
    for recess in &form.recesses {
        let floor = recess.keep_floor.unwrap_or(shop.house.floor.get());
        let depth = thickness - floor;
        if depth <= 0.0 {
            findings.push(
                Finding::stop(
                    Code::StockTooSmall,
                    format!(
                        "a floor of {} mm leaves nothing to carve in {}, {} mm thick",
                        trimmed(floor),
                        wood.name,
                        trimmed(thickness)
                    ),
                )
                .from(recess.source.clone())
                .have_need(thickness, floor)
                .remedy(
                    RemedyKind::Depth,
                    format!("keep a floor of {} mm", trimmed(shop.house.floor.get())),
                    Some(shop.house.floor.get()),
                ),
            );
            continue;
        }
        let (region, source) = (recess.region.clone(), recess.source.clone());
        cuts.push(RecessCut { region, depth, floor, source });
    }
    cuts
}

fn grooves(form: &Form) -> Vec<GrooveCut> {
    form.grooves
        .iter()
        .map(|groove| GrooveCut {
            line: groove.line.clone(),
            width: groove.width,
            depth: groove.depth,
            on: groove.on,
            with: groove.with.clone(),
            source: groove.source.clone(),
        })
        .collect()
}

fn name(
    dish: &Dish,
    area: &NameForm,
    shop: &Shop,
    findings: &mut Vec<Finding>,
) -> Option<NameCut> {
    let wanted = area.face.as_deref();
    let carved = Some(Letters::Face(Face::CARVED));
    let Some(letters) = wanted.map_or(carved, Letters::named) else {
        findings.push(unknown_face(wanted.unwrap_or_default(), area));
        return None;
    };
    let how =
        Fit { letters, most: area.height, least: shop.house.letter.get().min(area.height) };
    let fitted = match fit(&dish.person, how, &area.baseline) {
        Ok(fitted) => fitted,
        Err(fault) => {
            findings.push(no_place(&dish.person, fault, area, shop));
            return None;
        }
    };
    if !fitted.missing.is_empty() {
        findings.push(missing(&dish.person, &fitted.missing, area));
    }
    if let Some(gap) = fitted.gap.filter(|gap| gap.width < TOUCHING) {
        findings.push(
            Finding::warn(
                Code::LettersTooClose,
                format!(
                    "letters {} and {} of \"{}\" touch",
                    gap.after + 1,
                    gap.after + 2,
                    plain(&dish.person)
                ),
            )
            .at(gap.at.x, gap.at.y)
            .from(area.source.clone())
            .have_need(gap.width, TOUCHING)
            .help("another `face` for the name may space them wider"),
        );
    }
    let region = fitted.region(Origin::default()).ok()?;
    within_area(dish, area, &region, findings);
    Some(cut(dish, area, region, &fitted))
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
        NameStyle::Sunk => SUNK_DEPTH.min(below / 2.0),
    };
    let depth = area.depth.unwrap_or(usual);
    let profile = Profile::inside(&region, WIDEST_STROKE);
    let thinnest = profile.thinnest().map(|low| (low.radius * 2.0, low.at));
    NameCut {
        widest: profile.highest_reach() * 2.0,
        thinnest,
        region,
        baseline: area.baseline.clone(),
        height: fitted.height,
        style: area.style,
        on: area.on,
        depth,
        floor: below - depth,
        source: area.source.clone(),
    }
}

/// The letters lie where they are carved: on the floor inside a recess, on the rim outside.
fn within_area(
    dish: &Dish,
    area: &NameForm,
    letters: &Region,
    findings: &mut Vec<Finding>,
) {
    const NOTHING: f64 = 0.01; // mm²
    let mut hollow = Region::default();
    for recess in &dish.recesses {
        hollow = hollow.unite(&recess.region);
    }
    let (outside, what) = match area.on {
        Surface::Floor if hollow.is_empty() => (letters.cut(&dish.outline), "the dish"),
        Surface::Floor => (letters.cut(&hollow), "the recess"),
        Surface::Rim => (letters.cut(&dish.outline.cut(&hollow)), "the rim"),
    };
    let have = outside.area();
    if have <= NOTHING {
        return;
    }
    let at = outside.bounds().center();
    findings.push(
        Finding::stop(
            Code::NameDoesNotFit,
            format!(
                "\"{}\" reaches outside {what} by {} mm²",
                plain(&dish.person),
                trimmed((have * 10.0).ceil() / 10.0)
            ),
        )
        .at(at.x, at.y)
        .from(area.source.clone())
        .have_need(have, 0.0)
        .help("make the name's `height` smaller, or move or shorten its `along`"),
    );
}

fn unknown_face(wanted: &str, area: &NameForm) -> Finding {
    let names: Vec<&str> = Letters::names().collect();
    let finding = Finding::stop(
        Code::UnknownWord,
        format!("no built-in face is called `{}`", plain(wanted)),
    )
    .from(area.source.clone())
    .expected(format!("one of {}", names.join(", ")));
    match crate::finding::nearest(wanted, names.iter().copied()) {
        Some(near) => finding.help(format!("did you mean `{near}`?")),
        None => finding.help("name one of these, or leave `face` out"),
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

fn missing(person: &str, letters: &[char], area: &NameForm) -> Finding {
    let list: Vec<String> = letters
        .iter()
        .map(|c| format!("{} (U+{:04X})", plain(&c.to_string()), *c as u32))
        .collect();
    let supply: Vec<&str> = Letters::names()
        .filter(|name| {
            Letters::named(name).is_some_and(|face| letters.iter().all(|&c| face.writes(c)))
        })
        .collect();
    let finding = Finding::stop(
        Code::MissingLetter,
        if letters.is_empty() {
            format!("nothing of \"{}\" can be carved", plain(person))
        } else {
            format!(
                "the face has no letter for {} in \"{}\"",
                list.join(", "),
                plain(person)
            )
        },
    )
    .from(area.source.clone());
    if supply.is_empty() || letters.is_empty() {
        finding.help("write the name with letters the built-in faces have")
    } else {
        finding.help(format!(
            "`face: {}` has {}",
            supply[0],
            if letters.len() == 1 { "it" } else { "them" }
        ))
    }
}
