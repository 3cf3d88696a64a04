//! A form, an order and a shop become one dish.

use super::name::name;
use super::{Dish, GrooveCut, RecessCut};
use crate::finding::{Checked, Code, Finding, RemedyKind, plain};
use crate::model::{Order, Shop, Wood};
use crate::shape::Form;
use crate::units::{Mm, trimmed};

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
        grain: form.grain,
        parameters: form.parameters.clone(),
        asked: order.set.iter().map(|setting| setting.name.clone()).collect(),
        quantity: order.quantity,
        note: order.note.clone(),
        date: order.date.clone(),
        manner: order.manner,
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
    shop.woods.iter().find(|wood| wood.name == **wanted).ok_or_else(|| {
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
