//! Mass of the finished dish, its blank and price, and how the wood moves with the seasons.

use super::{Plan, Work, groove_depth};
use crate::curve::{Curve, Region};
use crate::dish::{Dish, NameCut};
use crate::finding::{Code, Finding, RemedyKind};
use crate::model::{Cutter, CutterKind, Grain, NameStyle, Shop};
use crate::units::{Mm, trimmed};
use std::f64::consts::{FRAC_PI_4, PI};

/// Change of moisture from a dry to a damp season indoors, %: common practice, no source.
pub const SEASON: f64 = 4.0;

/// The wood of one dish. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct WoodBill {
    /// Volume of the finished dish, mm³.
    pub volume: f64,
    /// Its mass at 12 % moisture, kg, where the density is known.
    pub mass: Option<f64>,
    /// The board it is cut from: along x, along y, thickness, with room for clamps around.
    pub blank: [f64; 3],
    /// Price of that board in the shop's own currency, where a price per m³ is known.
    pub price: Option<f64>,
    /// The species whose figures were taken.
    pub species: Option<&'static str>,
    /// Width across the grain; where the recipe does not say which way it runs, the shorter
    /// side, for boards run along the longer one.
    pub across: f64,
    /// By how much that width changes over a season.
    pub movement: Option<Movement>,
}

/// Change of the width across the grain over [`SEASON`] % of moisture, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Movement {
    /// In a flat-sawn board.
    pub flat: f64,
    /// In a quarter-sawn board.
    pub quarter: f64,
}

/// ΔD = DI·C·(MF − MI), mm: width in mm, coefficient per % moisture, change of moisture in %;
/// from 6 to 14 % (Wood Handbook, FPL-GTR-190, chapter 13, Table 13-5).
pub fn movement(width: f64, coefficient: f64, change: f64) -> f64 {
    width * coefficient * change
}

/// Wood taken by a hollow, mm³: plan area A mm², length L of its edge mm, how many more outer
/// edges than inner ones n, depth h mm, radius r of the corner at its floor mm.
///
/// With e(z) = r − √(r² − (r − z)²) the inset of the wall at a height z above the floor, less
/// what is left of it at the surface, the volume is ∫ A − L·e + n·π·e² dz (J. Steiner's
/// formula for moved edges; true while the edge nowhere bends more tightly than e).
pub fn hollow((area, edge, n): (f64, f64, f64), depth: f64, corner: f64) -> f64 {
    let (r, h) = (corner.max(0.0), depth.min(corner.max(0.0)));
    let u = r - h;
    let root = (r * r - u * u).max(0.0).sqrt();
    // ∫ √(r² − u²) du from r − h to r
    let circle = if r > 0.0 {
        r * r / 2.0 * (std::f64::consts::FRAC_PI_2 - (u / r).asin()) - u * root / 2.0
    } else {
        0.0
    };
    let once = r * h - circle;
    let twice = 2.0 * r * r * h - 2.0 * r * circle - (r.powi(3) - u.powi(3)) / 3.0;
    let top = r - root;
    let first = once - top * h;
    let second = twice - 2.0 * top * once + top * top * h;
    area * depth - edge * first + n * PI * second
}

/// Wood taken by rounding an edge, mm³: length L of the edge in plan, n as in [`hollow`], the
/// radius, and whether the wood lies inside the edge (+1) or outside of it (−1).
///
/// The section taken is r²(1 − π/4), its centroid r (10 − 3π)/(12 − 3π) from the edge (Pappus).
pub fn rounded_off(edge: f64, n: f64, radius: f64, side: f64) -> f64 {
    let section = radius * radius * (1.0 - FRAC_PI_4);
    let centroid = radius * (10.0 - 3.0 * PI) / (12.0 - 3.0 * PI);
    section * (edge - side * 2.0 * PI * n * centroid)
}

/// Outer edges less inner ones.
fn turns(region: &Region) -> f64 {
    region.contours().iter().map(|c| c.signed_area().signum()).sum()
}

/// Everything about the wood of a dish as planned.
pub(super) fn bill(dish: &Dish, plan: &Plan, shop: &Shop) -> WoodBill {
    let thickness = dish.wood.thickness.get();
    let whole = dish.outline.area() * thickness;
    let taken = hollows(dish, plan, shop)
        + edges(dish)
        + letters(dish, plan, shop)
        + details(dish, plan, shop);
    let volume = (whole - taken).max(0.0);
    let species = dish.wood.species;
    let density = dish.wood.density.or(species.map(crate::model::Species::density));
    let (width, height) = dish.size();
    let margin = 2.0 * shop.house.margin.get();
    let blank = [width + margin, height + margin, thickness];
    let across = match dish.grain {
        Some(Grain::X) => height,
        Some(Grain::Y) => width,
        None => width.min(height),
    };
    WoodBill {
        volume,
        mass: density.map(|density| volume * 1e-9 * density),
        blank,
        price: dish.wood.price.map(|price| blank.iter().product::<f64>() * 1e-9 * price),
        species: species.map(|species| species.name),
        across,
        movement: species.map(|species| Movement {
            flat: movement(across, species.tangential, SEASON),
            quarter: movement(across, species.radial, SEASON),
        }),
    }
}

fn cutter<'s>(plan: &Plan, work: Work, shop: &'s Shop) -> Option<&'s Cutter> {
    let id = &plan.operations.iter().find(|op| op.work == work)?.cutter;
    shop.cutters.iter().find(|cutter| cutter.id() == id)
}

/// The corner at the floor is that of the cutter that clears.
fn hollows(dish: &Dish, plan: &Plan, shop: &Shop) -> f64 {
    let corner = cutter(plan, Work::Recess, shop).map_or(0.0, Cutter::corner_radius);
    let each = dish.recesses.iter().map(|recess| {
        let region = &recess.region;
        let size = (region.area(), region.perimeter(), turns(region));
        hollow(size, recess.depth, corner)
    });
    each.sum()
}

fn edges(dish: &Dish) -> f64 {
    let off = |region: &Region, radius: Option<Mm>, side: f64| {
        let radius = radius.map_or(0.0, Mm::get);
        rounded_off(region.perimeter(), turns(region), radius, side)
    };
    let recesses = dish.recesses.iter().map(|r| off(&r.region, dish.recess_round, -1.0));
    off(&dish.outline, dish.outer_round, 1.0) + recesses.sum::<f64>()
}

/// Letters as strokes of one even width, 2 A / perimeter.
fn letters(dish: &Dish, plan: &Plan, shop: &Shop) -> f64 {
    let Some(name) = &dish.name else { return 0.0 };
    let Some(cutter) = cutter(plan, Work::Name, shop) else { return 0.0 };
    let area = name.ground().area();
    match name.style {
        NameStyle::Sunk | NameStyle::Raised | NameStyle::Line => area * name.depth,
        NameStyle::Vee => area * vee_middle(name, cutter) / 2.0,
    }
}

/// How deep a V-letter is in the middle of a stroke of even width, mm.
fn vee_middle(name: &NameCut, cutter: &Cutter) -> f64 {
    let width = 2.0 * name.region.area() / name.region.perimeter().max(1e-9);
    cutter.height_at(width / 2.0).map_or(name.depth, |depth| depth.min(name.depth))
}

fn details(dish: &Dish, plan: &Plan, shop: &Shop) -> f64 {
    let cuts = plan.operations.iter().filter(|op| op.work == Work::Details);
    cuts.flat_map(|op| {
        let cutter = shop.cutters.iter().find(|cutter| cutter.id() == op.cutter);
        op.grooves.iter().filter_map(move |index| {
            let groove = dish.grooves.get(*index)?;
            let cutter = cutter?;
            let depth = groove_depth(cutter, groove).ok()?;
            let line = groove.line.segments();
            let length: f64 =
                line.map(|segment| Curve::from_segment(segment).length()).sum();
            Some(length * section(cutter, groove.width, depth))
        })
    })
    .sum()
}

/// Area of a groove's section, mm².
fn section(cutter: &Cutter, width: f64, depth: f64) -> f64 {
    if cutter.kind() == CutterKind::VBit {
        return f64::midpoint(width, cutter.narrowest()) * depth;
    }
    let r = cutter.corner_radius();
    if r <= 0.0 {
        return width * depth;
    }
    // A circular segment of height h, and a straight part above it.
    let h = depth.min(r);
    let segment = r * r * ((r - h) / r).acos() - (r - h) * (2.0 * r * h - h * h).sqrt();
    segment + width * (depth - h)
}

/// A note where the dish moves by more than the house rule.
pub(super) fn moves(bill: &WoodBill, dish: &Dish, shop: &Shop) -> Option<Finding> {
    let Movement { flat, quarter } = bill.movement?;
    let most = shop.house.movement.get();
    if flat <= most {
        return None;
    }
    let near = |mm: f64| trimmed((mm * 10.0).round() / 10.0);
    let width = bill.across * most / flat;
    let message = format!(
        "{} mm across the grain of {} swell or shrink by {} mm when its moisture changes by {} % (flat-sawn; {} mm quarter-sawn)",
        near(bill.across),
        bill.species.unwrap_or("this wood"),
        near(flat),
        trimmed(SEASON),
        near(quarter)
    );
    Some(
        Finding::note(Code::WoodMoves, message)
            .from(dish.wood.source.clone())
            .have_need(flat, most)
            .remedy(
                RemedyKind::Width,
                format!("{} mm across the grain stay within {} mm", near(width), trimmed(most)),
                Some(width),
            )
            .help("take a quarter-sawn board, let it rest in the room it is used in, seal both faces alike"),
    )
}
