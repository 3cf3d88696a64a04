//! The recess tinted by the largest cutter of the rack that reaches each part.

use super::block::{Block, paragraph, rectangle};
use super::color::{Color, INK, WHITE};
use super::figures::{area, bare};
use super::frame::WIDTH;
use super::labels::{Labels, Shape};
use super::mark::Anchor;
use super::style::{FIGURE, LABEL, Pen, SMALL, Style};
use super::tint::tint;
use super::view::View;
use crate::curve::{Point, Region};
use crate::dish::Dish;
use crate::feasibility::{Job, Swap, SwapRow, pair_of, recess_pair};
use crate::lettering::Face;
use crate::model::Shop;
use crate::units::{DisplayUnit, Mm};

/// From one line of the key to the next, mm.
const PITCH: f64 = 4.4;
/// A line of figures under a line of the key, mm.
const UNDER: f64 = 2.9;
/// At most so many places of a cutter are marked, the largest.
const MARKED: usize = 10;
/// A part smaller than this share of the recess is rounding.
const NOTHING: f64 = 1e-6;

/// What one size of cutter reaches and no larger one does.
struct Band<'s> {
    diameter: f64,
    ids: Vec<&'s str>,
    regions: Vec<Region>,
    area: f64,
    /// Its places, largest first.
    spots: Vec<(Point, f64)>,
}

/// The recess by the sizes of cutters that are long enough, large to small.
pub(super) struct Hollowed<'s> {
    bands: Vec<Band<'s>>,
    /// All recesses, mm².
    area: f64,
}

/// The sizes that carve the recess and are long enough, large to small, each with its rows.
fn sizes(swap: &Swap) -> Vec<Vec<&SwapRow>> {
    let mut sizes: Vec<Vec<&SwapRow>> = Vec::new();
    let rows = swap.rows.iter();
    for row in rows.filter(|row| row.job == Job::Recess && row.clearance.clears()) {
        match sizes.iter_mut().find(|size| (size[0].radius - row.radius).abs() < 1e-9) {
            Some(size) => size.push(row),
            None => sizes.push(vec![row]),
        }
    }
    sizes.sort_by(|a, b| b[0].radius.total_cmp(&a[0].radius));
    sizes
}

/// Height of the key at most, mm.
pub(super) fn least(swap: &Swap) -> f64 {
    let lines = sizes(swap).len();
    if lines == 0 {
        return 0.0;
    }
    let lines = f64::from(u32::try_from(lines).unwrap_or(u32::MAX));
    PITCH * (lines + 2.0) + UNDER * lines
}

impl<'s> Hollowed<'s> {
    /// What each size reaches; `None` where no cutter is long enough for a recess, or where
    /// the parts could not be made sure of.
    pub(super) fn of(swap: &'s Swap, dish: &Dish, shop: &Shop) -> Option<Self> {
        let sizes = sizes(swap);
        let largest = sizes.first()?[0].cutter;
        let mut bands = Vec::new();
        let mut before = largest;
        for (place, rows) in sizes.into_iter().enumerate() {
            let cutter = rows[0].cutter;
            let pair = pair_of(dish, shop, before, (place > 0).then_some(cutter))?;
            let mut spots: Vec<(Point, f64)> =
                pair.reached.iter().flat_map(|reached| reached.spots.clone()).collect();
            spots.sort_by(|a, b| b.1.total_cmp(&a.1));
            let own = pair.reached.into_iter();
            let regions: Vec<Region> = if place == 0 {
                own.map(|reached| reached.by_first).collect()
            } else {
                own.map(|reached| reached.by_second).collect()
            };
            bands.push(Band {
                diameter: rows[0].diameter,
                ids: rows.iter().map(|row| row.id.as_str()).collect(),
                area: regions.iter().map(Region::area).sum(),
                regions,
                spots,
            });
            before = cutter;
        }
        let area = dish.recesses.iter().map(|recess| recess.region.area()).sum();
        Some(Self { bands, area })
    }

    fn color(&self, place: usize) -> Color {
        tint(place, self.bands.len()).toward(WHITE, 0.35)
    }

    /// Fills the recesses.
    pub(super) fn fill(&self, block: &mut Block, dish: &Dish, view: &View) {
        let edge = Pen::new(INK, 0.18);
        for recess in &dish.recesses {
            block.fill(view.region(&recess.region), WHITE);
        }
        for (place, band) in self.bands.iter().enumerate() {
            for region in band.regions.iter().filter(|region| !region.is_empty()) {
                let path = view.region(region);
                block.shape(path, self.color(place), Pen::new(INK, 0.13));
            }
        }
        for recess in &dish.recesses {
            block.stroke(view.region(&recess.region), edge);
        }
    }

    /// Marks the places a smaller cutter has to go to by its number in the key.
    pub(super) fn mark(&self, block: &mut Block, labels: &mut Labels, view: &View) {
        for (number, band) in (1..).zip(&self.bands).skip(1) {
            for (at, _) in band.spots.iter().take(MARKED) {
                let sign = (Shape::Recess, format!("{number}"));
                labels.add(block, view.point(*at), (sign.0, &sign.1));
            }
        }
    }

    /// The key: each size with its share of the recess, area and places.
    pub(super) fn key(&self, width: f64, unit: DisplayUnit) -> Block {
        const SWATCH: [f64; 2] = [12.0, 2.4];
        let mut block = Block::default();
        block.text_in(
            (0.0, FIGURE.height),
            Anchor::Start,
            width,
            (LABEL, "in the recess"),
        );
        block.height += PITCH;
        let mut line = |(color, sign): (Color, &str),
                        said: &str,
                        share: f64,
                        under: Option<&str>| {
            let y = block.height;
            let swatch = rectangle(0.0, y - 0.2, SWATCH[0], SWATCH[1]);
            block.shape(swatch, color, Pen::new(INK, 0.13));
            let y = y + FIGURE.height;
            let number = Style::new(Face::SansBold, FIGURE.height);
            block.text((14.5, y), Anchor::Start, number, sign);
            block.text_in((17.0, y), Anchor::Start, 36.5, (SMALL, said));
            block.text((width, y), Anchor::End, FIGURE, &percent(share));
            if let Some(under) = under {
                let style = SMALL.quiet();
                block.text_in((17.0, y + UNDER), Anchor::Start, 36.5, (style, under));
                block.height += UNDER;
            }
            block.height += PITCH;
        };
        let mut rest = self.area;
        for (place, band) in self.bands.iter().enumerate() {
            rest -= band.area;
            let diameter =
                Mm::new(band.diameter).map_or_else(String::new, |mm| mm.show(unit));
            let said = format!("{diameter}: {}", band.ids.join(", "));
            let under = (!band.spots.is_empty()).then(|| {
                format!("{} in {}", area(band.area, unit), places(band.spots.len()))
            });
            let sign = (self.color(place), format!("{}", place + 1));
            line((sign.0, &sign.1), &said, band.area / self.area, under.as_deref());
        }
        line((WHITE, ""), "none on the rack", rest / self.area, None);
        block
    }
}

/// Which cutter has to follow the one that clears, and where; nothing where none has to.
pub(super) fn followed(
    swap: &Swap,
    dish: &Dish,
    shop: &Shop,
    unit: DisplayUnit,
) -> Option<Block> {
    let pair = recess_pair(dish, shop, swap)?;
    let id = |index: usize| shop.cutters.get(index).map(crate::model::Cutter::id);
    let (first, second) = (id(pair.first)?, id(pair.second?)?);
    let all: f64 = dish.recesses.iter().map(|recess| recess.region.area()).sum();
    let words = format!(
        "{first} clears; {second} has to follow it in {}: {}, {} of the recess.",
        places(pair.spots()),
        area(pair.area_left(), unit),
        percent(pair.area_left() / all),
    );
    Some(paragraph(&words, SMALL, WIDTH, 2))
}

fn places(count: usize) -> String {
    if count == 1 { "1 place".to_owned() } else { format!("{count} places") }
}

/// A share of a whole in words that never round to all or none.
pub(super) fn percent(share: f64) -> String {
    match share * 100.0 {
        none if none <= NOTHING * 100.0 => "0 %".to_owned(),
        little if little < 0.1 => "<0.1 %".to_owned(),
        most if (99.9..100.0 * (1.0 - NOTHING)).contains(&most) => ">99.9 %".to_owned(),
        some => format!("{} %", bare(some.min(100.0), 1)),
    }
}
