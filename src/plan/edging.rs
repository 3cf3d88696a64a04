//! Ways to round the edges, and their place in the order of the work.
//!
//! The tip of a round-over bit runs below the round and does not cut, so it needs wood cleared
//! beside the edge. At a recess that is the recess. At the outline it is the groove of the
//! cut-out: the outer edge is rounded after it, while the tabs hold the dish, by a bit whose tip
//! is no wider than that groove. The recess's edge is then rounded beside it, with the same bit.

use super::carved::{rack, round};
use super::estimate::followed;
use super::hollow::{cut_out, long_enough};
use super::{Choice, Cut, Refused, Stage, Step};
use crate::dish::Dish;
use crate::feasibility::{Report, clearance};
use crate::model::{Cutter, Pins, Shop, Work};
use crate::reach::Profile;
use crate::units::{Mm, Tolerance};

/// A round-over bit serves another radius that differs by less, mm.
pub(super) const SAME_ROUND: f64 = 0.3;

/// Radius of the tip of a round-over bit, mm: so far its axis keeps off the edge it rounds.
pub(super) fn tip(bit: &Cutter) -> f64 {
    bit.radius_at(0.0)
}

/// A bit's tip goes into the groove that another cutter cuts.
fn fits_groove(bit: &Cutter, groove: &Cutter) -> bool {
    2.0 * tip(bit) <= groove.diameter() + Tolerance::REACH.get()
}

/// The cut-out and the edges, in the order they are made in.
pub(super) fn finishing(
    dish: &Dish,
    report: &Report,
    shop: &Shop,
    pins: &Pins,
) -> Vec<Stage> {
    let cut = cut_out(dish, report, shop, pins);
    let inner = rounded(dish, Work::RecessEdge, shop, pins);
    let mut outer = rounded(dish, Work::OuterEdge, shop, pins);
    let mut ways = Vec::new();
    for (groove, bit) in
        cut.ways.iter().flat_map(|cut| outer.ways.iter().map(move |outer| (cut, outer)))
    {
        let fits = |a: &Step, b: &Step| {
            fits_groove(&shop.cutters[b.cutter], &shop.cutters[a.cutter])
        };
        if !groove.iter().all(|a| bit.iter().all(|b| fits(a, b))) {
            continue;
        }
        let none = [Vec::new()];
        let between = if inner.ways.is_empty() { &none[..] } else { &inner.ways };
        ways.extend(between.iter().map(|inner| [&groove[..], inner, bit].concat()));
    }
    if ways.is_empty() {
        let widest = cut.ways.iter().flatten().map(|step| &shop.cutters[step.cutter]);
        let widest = widest.max_by(|a, b| a.diameter().total_cmp(&b.diameter()));
        no_groove(&mut outer, widest, shop);
        return vec![inner, outer, cut];
    }
    let choices = [cut.choices, inner.choices, outer.choices].concat();
    vec![Stage { choices, ways }]
}

/// The outer edge is left to the hand where no groove takes the tip of its bit.
fn no_groove(outer: &mut Stage, groove: Option<&Cutter>, shop: &Shop) {
    outer.ways.clear();
    for choice in &mut outer.choices {
        let able: Vec<String> = choice.able.drain(..).map(|able| able.cutter).collect();
        let bits = shop.cutters.iter().filter(|c| able.iter().any(|id| id == c.id()));
        choice.refused.extend(bits.map(|bit| Refused {
            cutter: bit.id().to_owned(),
            reason: groove.map_or_else(
                || {
                    "nothing cuts the groove beside the edge that its tip runs in"
                        .to_owned()
                },
                |groove| narrow(bit, groove),
            ),
        }));
        let place = |r: &Refused| shop.cutters.iter().position(|c| c.id() == r.cutter);
        choice.refused.sort_by_key(place);
    }
}

fn narrow(bit: &Cutter, groove: &Cutter) -> String {
    format!(
        "its tip, {} mm wide, does not go into the groove of {} mm that {} cuts round the dish",
        round(2.0 * tip(bit)),
        round(groove.diameter()),
        groove.id()
    )
}

/// The radius and length of an edge that is rounded, mm.
pub(super) fn edge(dish: &Dish, work: Work) -> Option<(f64, f64)> {
    let recesses = || dish.recesses.iter().map(|recess| recess.region.perimeter()).sum();
    let (radius, length) = match work {
        Work::RecessEdge => (dish.recess_round, recesses()),
        Work::OuterEdge => (dish.outer_round, dish.outline.perimeter()),
        Work::Recess
        | Work::RecessCorners
        | Work::Details
        | Work::Name
        | Work::NameCorners
        | Work::CutOut => (None, 0.0),
    };
    radius.map(Mm::get).filter(|radius| *radius > 0.0).map(|radius| (radius, length))
}

/// The tightest corner of the recesses that a tip does not come into, as its radius in mm.
pub(super) fn too_tight(dish: &Dish, shop: &Shop, radius: f64) -> Option<f64> {
    let sanding = shop.house.sanding.get();
    dish.recesses.iter().find_map(|recess| {
        let profile = Profile::inside(&recess.region, radius + 1.0);
        let low = profile.lowest_reach()?;
        if low.radius >= radius - Tolerance::REACH.get() {
            return None;
        }
        let deepest = profile
            .leftovers(radius)
            .map(|left| left.iter().map(|leftover| leftover.depth).fold(0.0, f64::max));
        deepest.is_none_or(|deepest| deepest > sanding).then_some(low.radius)
    })
}

/// The tip comes into every corner of the recesses.
fn comes_round(dish: &Dish, shop: &Shop, work: Work, bit: &Cutter) -> Result<(), String> {
    if work != Work::RecessEdge {
        return Ok(());
    }
    too_tight(dish, shop, tip(bit)).map_or(Ok(()), |corner| {
        Err(format!(
            "its tip, {} mm wide, does not come into a corner of the recess, which has a radius of {} mm",
            round(2.0 * tip(bit)),
            round(corner)
        ))
    })
}

/// The tip of a round-over bit, at the foot of the round, stays over the floor.
fn over_floor(dish: &Dish, work: Work, radius: f64) -> Result<(), String> {
    let deep =
        shallowest(dish).filter(|deep| work == Work::RecessEdge && *deep < radius - 1e-9);
    deep.map_or(Ok(()), |deep| {
        let [radius, deep] = [radius, deep].map(round);
        Err(format!(
            "its tip would go {radius} mm deep; the recess is only {deep} mm deep"
        ))
    })
}

/// Depth of the shallowest recess, mm.
pub(super) fn shallowest(dish: &Dish) -> Option<f64> {
    dish.recesses.iter().map(|recess| recess.depth).min_by(f64::total_cmp)
}

/// Round-over bits of the radius asked for.
fn rounded(dish: &Dish, work: Work, shop: &Shop, pins: &Pins) -> Stage {
    let Some((radius, length)) = edge(dish, work) else { return Stage::default() };
    let cut = Cut::from_top(radius);
    let pin = pins.of(work);
    let off = |cutter: &Cutter| (cutter.corner_radius() - radius).abs();
    let least = rack(shop, work).map(|(_, c)| off(c)).fold(f64::INFINITY, f64::min);
    let (mut choice, mut ways) = (Choice::of(work), Vec::new());
    for (index, cutter) in rack(shop, work) {
        let same = off(cutter) <= SAME_ROUND;
        let pinned = pin.is_some_and(|pin| pin.cutter == cutter.id());
        let nearest = off(cutter) <= least + 1e-9 || pinned;
        let verdict = if !same {
            let has = round(cutter.corner_radius());
            Err(format!("it rounds {has} mm; {} mm are asked for", round(radius)))
        } else if !nearest {
            Err(format!("another is nearer to {} mm", round(radius)))
        } else {
            let minutes = followed(cutter, shop, length, cut);
            over_floor(dish, work, radius)
                .and_then(|()| long_enough(clearance(cutter, cut.depth, shop)))
                .and_then(|()| comes_round(dish, shop, work, cutter))
                .map(|()| minutes)
        };
        if let Ok(minutes) = verdict
            && pin.is_none_or(|_| pinned)
        {
            ways.push(vec![Step {
                work,
                cutter: index,
                cut,
                minutes,
                grooves: Vec::new(),
            }]);
        }
        choice.add(cutter.id(), verdict);
    }
    Stage { choices: vec![choice], ways }
}
