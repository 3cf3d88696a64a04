//! Wood left: necks, rims, floors, tips and the board.

use super::LARGEST_DISC;
use crate::curve::{Point, Region};
use crate::dish::Dish;
use crate::finding::{Code, Finding, RemedyKind, Severity, Source};
use crate::model::Shop;
use crate::reach::{Low, thinnest, wall};
use crate::units::{Mm, hundredths_down, trimmed};

/// Checks necks, rims and floors; gives back the thinnest neck, as a disc.
pub(super) fn check(
    dish: &Dish,
    shop: &Shop,
    findings: &mut Vec<Finding>,
) -> Option<Low> {
    let neck = thinnest(&dish.outline, LARGEST_DISC);
    narrow(dish, shop, neck.map(|low| low.radius * 2.0), findings);
    if let Some(low) = neck {
        let (have, need) = (low.radius * 2.0, shop.house.neck.get());
        if have < need {
            findings.push(thin(
                dish,
                (Code::NeckTooThin, "the wood is only"),
                (have, need),
                low.at,
            ));
        }
    }
    rims(dish, shop, findings);
    findings.extend(rounds(dish, shop, neck));
    floors(dish, shop, findings);
    tips(dish, findings);
    neck
}

/// A dish that is nowhere wider than a neck may be has none, and is too thin all over.
fn narrow(dish: &Dish, shop: &Shop, neck: Option<f64>, findings: &mut Vec<Finding>) {
    let (width, height) = dish.size();
    let (have, need) = (width.min(height), shop.house.neck.get());
    if have < need && neck.is_none_or(|neck| neck > have) {
        let at = dish.outline.bounds().center();
        let what = (Code::NeckTooThin, "the whole dish is only");
        findings.push(thin(dish, what, (have, need), at));
    }
}

fn thin(
    dish: &Dish,
    (code, what): (Code, &str),
    (have, need): (f64, f64),
    at: Point,
) -> Finding {
    let (width, _) = dish.size();
    let size = width * need / have.max(1e-3);
    Finding::warn(
        code,
        format!(
            "{what} {} mm wide here; the house rule asks for {} mm",
            trimmed(have),
            trimmed(need)
        ),
    )
    .at(at.x, at.y)
    .from(dish.outline_source(at))
    .have_need(have, need)
    .remedy(
        RemedyKind::Width,
        format!(
            "make the dish {} mm wide: everything scaled, it is thick enough",
            trimmed(size)
        ),
        Some(size),
    )
}

fn rims(dish: &Dish, shop: &Shop, findings: &mut Vec<Finding>) {
    let need = shop.house.rim.get();
    for (index, recess) in dish.recesses.iter().enumerate() {
        let mut neighbours: Vec<(&Region, &str)> =
            vec![(&dish.outline, "the rim is only")];
        neighbours.extend(
            dish.recesses[index + 1..]
                .iter()
                .map(|r| (&r.region, "the wall between two recesses is only")),
        );
        for (other, what) in neighbours {
            let Some((have, at)) = wall(&recess.region, other) else { continue };
            if have >= need - 1e-3 {
                continue;
            }
            let mut finding = thin(dish, (Code::RimTooThin, what), (have, need), at)
                .from(recess.source.clone());
            if dish.rim.is_some() {
                finding = finding.remedy(
                    RemedyKind::Parameter,
                    format!("`rim: {} mm` in the recipe", trimmed(need)),
                    Some(need),
                );
            }
            findings.push(finding);
        }
    }
}

/// Two rounds that meet over wood narrower than both together: no flat stays between them, and
/// its top comes out lower than the board's.
fn rounds(dish: &Dish, shop: &Shop, neck: Option<Low>) -> Vec<Finding> {
    let radius = |round: Option<Mm>| round.map_or(0.0, Mm::get);
    let (outer, inner) = (radius(dish.outer_round), radius(dish.recess_round));
    let mut found = Vec::new();
    let mut meet = |code,
                    what: &str,
                    (have, rounds): (f64, [f64; 2]),
                    (at, source): (Point, &Source)| {
        let need = rounds[0] + rounds[1];
        if have >= need - 1e-3 {
            return;
        }
        let lower = lowered(have, rounds);
        // What is lost by less than is sanded away is only worth knowing.
        let grave = lower > shop.house.sanding.get();
        let severity = if grave { Severity::Warn } else { Severity::Note };
        let message = format!(
            "{what} is {} mm wide here; the rounds of its two edges take {} mm together and leave its top {} mm lower",
            trimmed((have * 1e3).round() / 1e3),
            trimmed(need),
            trimmed((lower * 1e3).round() / 1e3)
        );
        let most = hundredths_down(have / 2.0);
        found.push(
            Finding::new(severity, code, message)
                .at(at.x, at.y)
                .from(source.clone())
                .have_need(have, need)
                .remedy(
                    RemedyKind::Edit,
                    format!("rounds of at most {} mm each, or wider wood", trimmed(most)),
                    Some(most),
                ),
        );
    };
    for (index, recess) in dish.recesses.iter().enumerate() {
        if inner > 0.0
            && let Some((have, at)) = wall(&recess.region, &dish.outline)
        {
            meet(
                Code::RimTooThin,
                "the rim",
                (have, [outer, inner]),
                (at, &recess.source),
            );
        }
        for other in dish.recesses[index + 1..].iter().filter(|_| inner > 0.0) {
            if let Some((have, at)) = wall(&recess.region, &other.region) {
                meet(
                    Code::RimTooThin,
                    "the wall between two recesses",
                    (have, [inner; 2]),
                    (at, &recess.source),
                );
            }
        }
    }
    if let Some(low) = neck.filter(|_| outer > 0.0) {
        let source = dish.outline_source(low.at);
        meet(
            Code::NeckTooThin,
            "the wood",
            (2.0 * low.radius, [outer; 2]),
            (low.at, &source),
        );
    }
    found
}

/// How much lower than the board two rounds meet over wood of a width, mm: where both quarter
/// circles are equally deep.
fn lowered(width: f64, [first, second]: [f64; 2]) -> f64 {
    let drop = |radius: f64, from_edge: f64| {
        let left = (radius - from_edge).clamp(0.0, radius);
        radius - (radius * radius - left * left).sqrt()
    };
    let (mut near, mut far) = (0.0, width);
    for _ in 0..60 {
        let middle = f64::midpoint(near, far);
        if drop(first, middle) > drop(second, width - middle) {
            near = middle;
        } else {
            far = middle;
        }
    }
    drop(first, near).max(drop(second, width - near))
}

fn floors(dish: &Dish, shop: &Shop, findings: &mut Vec<Finding>) {
    let need = shop.house.floor.get();
    for recess in &dish.recesses {
        if recess.floor >= need - 1e-9 {
            continue;
        }
        let severity = if recess.floor <= 0.0 { Severity::Stop } else { Severity::Warn };
        findings.push(
            Finding::new(
                severity,
                Code::FloorTooThin,
                format!(
                    "the floor kept is {} mm; the house rule asks for {} mm",
                    trimmed(recess.floor),
                    trimmed(need)
                ),
            )
            .from(recess.source.clone())
            .have_need(recess.floor, need)
            .remedy(
                RemedyKind::Depth,
                format!("`keep_floor: {} mm`", trimmed(need)),
                Some(need),
            ),
        );
    }
}

/// Corners turned away whose wood is sharper than 60 degrees.
fn tips(dish: &Dish, findings: &mut Vec<Finding>) {
    const SHARP: f64 = 120.0;
    for contour in dish.outline.contours() {
        let pieces = contour.pieces();
        for (index, piece) in pieces.iter().enumerate() {
            let next = &pieces[(index + 1) % pieces.len()];
            let (a, b) = (piece.curve.tangent(1.0), next.curve.tangent(0.0));
            let turned = a.cross(b).atan2(a.dot(b)).to_degrees();
            if turned <= SHARP {
                continue;
            }
            let at = piece.curve.end();
            findings.push(
                Finding::warn(
                    Code::SharpTip,
                    format!(
                        "the outline ends in a tip of {} degrees; small hands and mouths meet it",
                        trimmed((180.0 - turned).round())
                    ),
                )
                .at(at.x, at.y)
                .from(dish.outline_source(at))
                .have_need(180.0 - turned, 180.0 - SHARP)
                .remedy(
                    RemedyKind::Fillet,
                    "round it: `fillet: {outside: 3 mm}` in the outline",
                    Some(3.0),
                ),
            );
        }
    }
}

/// The machine's travel and the board's thickness.
pub(super) fn stock(dish: &Dish, shop: &Shop, findings: &mut Vec<Finding>) {
    let (width, height) = dish.size();
    let [right, back, _] = shop.machine.travel;
    let fits = |w: f64, h: f64| w <= right.get() && h <= back.get();
    if fits(width, height) || fits(height, width) {
        return;
    }
    let share = (right.get().max(back.get()) / width.max(height))
        .min(right.get().min(back.get()) / width.min(height));
    findings.push(
        Finding::stop(
            Code::StockTooSmall,
            format!(
                "the dish is {} x {} mm; the machine travels {} x {} mm",
                trimmed((width * 10.0).round() / 10.0),
                trimmed((height * 10.0).round() / 10.0),
                trimmed(right.get()),
                trimmed(back.get())
            ),
        )
        .from(dish.source.clone())
        .have_need(right.get().max(back.get()), width.max(height))
        .remedy(
            RemedyKind::Width,
            format!(
                "make it at most {} mm wide",
                trimmed((width * share * 10.0).floor() / 10.0)
            ),
            Some((width * share * 10.0).floor() / 10.0),
        ),
    );
}
