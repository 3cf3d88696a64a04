//! The outline tinted by the largest cutter of the rack that follows each stretch, and the
//! recess by the largest that reaches each part.

use super::block::Block;
use super::color::{Color, INK, TINT, WHITE};
use super::hollowed::{self, Hollowed, percent};
use super::labels::Labels;
use super::mark::Anchor;
use super::scale::Scale;
use super::style::{FIGURE, HEADING, Pen, SMALL};
use super::view::View;
use crate::curve::Rect;
use crate::dish::Dish;
use crate::feasibility::{Job, Swap};
use crate::model::Shop;
use crate::reach::{Profile, Trace};
use crate::units::{DisplayUnit, Mm};

/// Anchors of the colour map cividis, dark to light: J. R. Nuñez, C. R. Anderton, R. S.
/// Renslow, "Optimizing colormaps with consideration for color vision deficiency", PLOS ONE
/// 13, 2018 (values from memory); between them linearly.
const CIVIDIS: [Color; 5] = [
    Color::new([0x00, 0x20, 0x4D]),
    Color::new([0x41, 0x4D, 0x6B]),
    Color::new([0x7C, 0x7B, 0x78]),
    Color::new([0xBC, 0xAF, 0x6F]),
    Color::new([0xFF, 0xEA, 0x46]),
];

/// How stretches are drawn, largest cutter first, so that they differ without colour: width
/// of the line, of the ink under it, mm, and dashes.
const LINES: [(f64, f64, &[f64]); 8] = [
    (0.18, 0.25, &[]),
    (0.35, 0.5, &[]),
    (0.5, 0.7, &[]),
    (0.5, 0.7, &[2.4, 1.2]),
    (0.5, 0.7, &[0.3, 1.1]),
    (0.5, 0.7, &[4.8, 1.2]),
    (0.5, 0.7, &[4.8, 1.1, 0.3, 1.1]),
    (0.5, 0.7, &[1.2, 1.2]),
];

/// Dashes of what no cutter follows.
const NONE: &[f64] = &[0.9, 1.3];

/// The words over the picture, mm.
const HEAD: f64 = HEADING.height * 1.25 + 3.0;
/// From one line of the key to the next, mm.
const PITCH: f64 = 5.0;
/// Width of the key, mm.
const KEY: f64 = 66.0;
/// Between picture and key, mm.
const GAP: f64 = 6.0;
/// Between the two parts of the key, mm.
const APART: f64 = 1.5;
/// Around the picture for numbers beside it, mm.
const AROUND: f64 = 7.0;

/// One size of cutter: its radius and the ids of that size.
struct Size<'s> {
    diameter: f64,
    ids: Vec<&'s str>,
}

/// Sizes that cut out, large to small: those long enough for it, or all where none is.
fn sizes(swap: &Swap) -> Vec<Size<'_>> {
    let all = || swap.rows.iter().filter(|row| row.job == Job::Outline);
    let any = all().any(|row| row.clearance.clears());
    let mut sizes: Vec<Size<'_>> = Vec::new();
    for row in all().filter(|row| !any || row.clearance.clears()) {
        match sizes.iter_mut().find(|s| (s.diameter - row.diameter).abs() < 1e-9) {
            Some(size) => size.ids.push(&row.id),
            None => sizes.push(Size { diameter: row.diameter, ids: vec![&row.id] }),
        }
    }
    sizes
}

/// The least height of the picture, mm: that of its key.
pub(super) fn least(swap: &Swap) -> f64 {
    let lines = u32::try_from(sizes(swap).len()).unwrap_or(u32::MAX);
    let key = PITCH * f64::from(lines.saturating_add(1));
    let hollow = hollowed::least(swap);
    HEAD + key + if hollow > 0.0 { hollow + APART } else { 0.0 }
}

/// The picture in a room of so many mm; nothing where no cutter cuts out, or none fits.
pub(super) fn tinted(
    swap: &Swap,
    (dish, shop): (&Dish, &Shop),
    (width, height): (f64, f64),
    unit: DisplayUnit,
) -> Option<Block> {
    let sizes = sizes(swap);
    if sizes.is_empty() || height < least(swap) {
        return None;
    }
    let (w, h) = dish.size();
    let room = [width - KEY - GAP - AROUND, height - HEAD - AROUND];
    let scale = Scale::largest([w, h], room);
    let factor = scale.factor();
    if w * factor > room[0] || h * factor > room[1] {
        return None;
    }
    let radii: Vec<f64> = sizes.iter().map(|size| size.diameter / 2.0).collect();
    let cap = radii.iter().fold(1.0, |a: f64, &b| a.max(b)) + 1.0;
    let traces = Profile::outside(&dish.outline, cap).follow_map(&radii);
    let hollowed = Hollowed::of(swap, dish, shop);
    let all = HEAD + h * factor + AROUND;
    let mut block = Block::space(all);
    let title = format!(
        "How far each size follows the edge{} ({})",
        if hollowed.is_some() { " and reaches into the recess" } else { "" },
        scale.ratio()
    );
    block.text_in((0.0, HEADING.height), Anchor::Start, width, (HEADING, &title));
    let left = ((room[0] - w * factor) / 2.0).max(0.0) + AROUND / 2.0;
    let view = View::new(dish.outline.bounds(), scale, (left, HEAD + AROUND / 2.0));
    block.fill(view.region(&dish.outline), TINT);
    if let Some(hollowed) = &hollowed {
        hollowed.fill(&mut block, dish, &view);
    }
    for trace in &traces {
        stroke(&mut block, view.path(&trace.path), (trace.largest, sizes.len()));
    }
    let mut keys = vec![key(&sizes, &traces, unit)];
    if let Some(hollowed) = &hollowed {
        let frame = Rect::new(0.0, HEAD, width - KEY - GAP, HEAD + h * factor + AROUND);
        let mut labels = Labels::new(&block, frame, view.frame.center(), Vec::new());
        hollowed.mark(&mut block, &mut labels, &view);
        keys.push(hollowed.key(KEY, unit));
    }
    let keys = Block::stack(keys, APART);
    block.height = all.max(HEAD + keys.height);
    block.put(keys, (width - KEY, HEAD).into());
    Some(block)
}

/// The tint of the size of this place among so many: dark for the largest.
pub(super) fn tint(place: usize, count: usize) -> Color {
    #[expect(clippy::cast_precision_loss, reason = "a rack holds few sizes")]
    let share = if count < 2 { 0.0 } else { place as f64 / (count - 1) as f64 };
    let along = share * 4.0;
    let (mut color, mut from) = (CIVIDIS[0], 0.0);
    for pair in CIVIDIS.windows(2) {
        let &[a, b] = pair else { continue };
        if along >= from {
            color = a.toward(b, (along - from).min(1.0));
        }
        from += 1.0;
    }
    color
}

fn stroke(
    block: &mut Block,
    path: crate::curve::BezPath,
    (largest, count): (Option<usize>, usize),
) {
    let Some(place) = largest else {
        block.stroke(path.clone(), Pen::new(WHITE, 0.7));
        block.stroke(path, Pen::new(INK, 0.7).dashed(NONE));
        return;
    };
    let (width, under, dash) = LINES[place.min(LINES.len() - 1)];
    block.stroke(path.clone(), Pen::new(INK, under));
    block.stroke(path, Pen::new(tint(place, count), width).dashed(dash));
}

/// The scale in sizes of cutters, with the share of the edge each is the largest for.
fn key(sizes: &[Size<'_>], traces: &[Trace], unit: DisplayUnit) -> Block {
    const LINE: f64 = 12.0;
    let all: f64 = traces.iter().map(|trace| trace.length).sum();
    let share = |largest: Option<usize>| {
        let own = traces.iter().filter(|trace| trace.largest == largest);
        let length: f64 = own.map(|trace| trace.length).sum();
        percent(length / all.max(1e-9))
    };
    let mut block = Block::default();
    let mut line = |largest: Option<usize>, said: &str| {
        let y = block.height + FIGURE.height;
        let mut path = crate::curve::BezPath::new();
        path.move_to((0.0, y - FIGURE.height / 2.0));
        path.line_to((LINE, y - FIGURE.height / 2.0));
        stroke(&mut block, path, (largest, sizes.len()));
        block.text_in((LINE + 2.5, y), Anchor::Start, 37.0, (SMALL, said));
        block.text((KEY, y), Anchor::End, FIGURE, &share(largest));
        block.height += PITCH;
    };
    for (place, size) in sizes.iter().enumerate() {
        let diameter =
            Mm::new(size.diameter).map_or_else(String::new, |mm| mm.show(unit));
        line(Some(place), &format!("{diameter}: {}", size.ids.join(", ")));
    }
    line(None, "none on the rack");
    block
}
