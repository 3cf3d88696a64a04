//! Sheets: what is on them stays in its place, in true millimetres.

use crate::sample::{Case, boat, notched, painted, the_shop};
use std::path::Path;
use treen::batch::{Library, examine};
use treen::curve::Drawn as _;
use treen::export::{png, svg};
use treen::finding::{Code, Finding, RemedyKind, Severity, Source, SourceFile};
use treen::intake::{demo, orders_yaml};
use treen::plan::{closest, standing};
use treen::sheet::{
    A4, HEIGHTS, Layer, Mark, Scale, Sheet, Stroke, Text, WIDTHS, bench, proof,
    side_views, swap_card,
};
use treen::units::DisplayUnit;

/// All sheets of a case.
fn sheets(case: &Case) -> Vec<(&'static str, Sheet)> {
    let Case { dish, report, plan, shop } = case;
    let mut sheets = vec![
        ("proof", proof(dish, report, plan, shop)),
        ("swap", swap_card(&report.swap, dish, shop)),
    ];
    let pages = bench(dish, report, plan, shop);
    assert!((1..=2).contains(&pages.len()), "{} pages", pages.len());
    sheets.extend(["bench", "bench-2"].into_iter().zip(pages));
    sheets
}

/// Writes a sheet where a person can look at it.
pub(crate) fn look(name: &str, sheet: &Sheet) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let text = svg(sheet).expect("drawn");
    std::fs::write(folder.join(format!("{name}.svg")), &text).expect("written");
    let picture = png(sheet, 150.0).expect("drawn");
    std::fs::write(folder.join(format!("{name}.png")), picture).expect("written");
}

fn texts(sheet: &Sheet) -> Vec<&Text> {
    let marks = sheet.layers.iter().flat_map(|layer| &layer.marks);
    marks
        .filter_map(|mark| match mark {
            Mark::Text(text) => Some(text),
            Mark::Path(_) | Mark::Picture(_) => None,
        })
        .collect()
}

fn words(sheet: &Sheet) -> String {
    texts(sheet).iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join("\n")
}

/// Text inside the margins, no two texts over each other, heights and widths members of
/// their series.
pub(crate) fn in_order(name: &str, sheet: &Sheet) {
    const SLACK: f64 = 0.01;
    let texts = texts(sheet);
    assert!(!texts.is_empty(), "{name} says something");
    let [width, height] = sheet.size;
    for text in &texts {
        let [x0, y0, x1, y1] = text.extent();
        let inside = x0 >= sheet.margin - SLACK
            && y0 >= sheet.margin - SLACK
            && x1 <= width - sheet.margin + SLACK
            && y1 <= height - sheet.margin + SLACK;
        assert!(
            inside,
            "{name}: `{}` leaves the margins: {:?}",
            text.text,
            text.extent()
        );
        let member = HEIGHTS.iter().any(|h| (h - text.height).abs() < 1e-9);
        assert!(member, "{name}: `{}` is {} mm tall", text.text, text.height);
    }
    for text in &texts {
        let figure = text.text.starts_with(|c: char| c.is_ascii_digit() || c == '−');
        let cut = text.text.ends_with('…') && figure && !text.text.contains(' ');
        assert!(!cut, "{name}: the figure `{}` is cut", text.text);
    }
    for (i, a) in texts.iter().enumerate() {
        for b in texts.iter().skip(i + 1) {
            let (p, q) = (a.extent(), b.extent());
            let apart = p[2] <= q[0] + SLACK
                || q[2] <= p[0] + SLACK
                || p[3] <= q[1] + SLACK
                || q[3] <= p[1] + SLACK;
            assert!(apart, "{name}: `{}` {p:?} lies over `{}` {q:?}", a.text, b.text);
        }
    }
    lines_in_series(name, &sheet.layers);
}

/// ISO 128 widths, but for carved grooves, which are drawn as wide as they are.
fn lines_in_series(name: &str, layers: &[Layer]) {
    let drawn = layers.iter().filter(|layer| !matches!(layer.name, "dish" | "drawings"));
    for mark in drawn.flat_map(|layer| &layer.marks) {
        let Mark::Path(path) = mark else { continue };
        let Some(stroke) = &path.stroke else { continue };
        let member = WIDTHS.iter().any(|w| (w - stroke.width).abs() < 1e-9);
        assert!(member, "{name}: a line is {} mm wide", stroke.width);
    }
}

/// Everything at once that makes a page full.
fn crowded(notches: u32) -> Case {
    let mut dish = notched("Maximiliane Rosa", notches);
    dish.note =
        Some("Please carve it as deep as you dare, for she is not gentle. ".repeat(4));
    dish.date = Some("2026-07-10, before noon".to_owned());
    for i in 0..12 {
        let name = format!("a_rather_long_parameter_{i}");
        dish.asked.push(name.clone());
        dish.parameters.push((name, format!("{i} mm")));
    }
    let mut case = Case::of(dish);
    let file = SourceFile::new("orders.yaml", "");
    for i in 0..12_u32 {
        let angle = f64::from(i);
        let message = format!(
            "the {i}th thing to say about this dish is long enough to need \
             more than one line on the page, whatever the face it is written in may be"
        );
        let finding = Finding::warn(Code::NeckTooThin, message)
            .at(80.0 * angle.cos(), 50.0 * angle.sin())
            .from(Source::whole(&file))
            .remedy(
                RemedyKind::Width,
                "make the dish 312.5 mm wide or wider",
                Some(312.5),
            );
        case.report.findings.push(finding);
    }
    case
}

#[test]
fn text_stays_in_its_place_on_ordinary_dishes() {
    for name in ["", "Jo", "Zoë", "Maximiliane Rosa"] {
        let case = Case::of(boat(name));
        for (kind, sheet) in sheets(&case) {
            in_order(&format!("{kind} for `{name}`"), &sheet);
            look(&format!("boat-{}-{kind}", name.len()), &sheet);
        }
    }
}

#[test]
fn text_stays_in_its_place_on_crowded_pages() {
    for notches in [3, 26] {
        let case = crowded(notches);
        for (kind, sheet) in sheets(&case) {
            in_order(&format!("{kind} with {notches} notches"), &sheet);
            look(&format!("crowded-{notches}-{kind}"), &sheet);
        }
    }
}

/// The orders of the demo as they come out, by id.
pub(crate) fn demo_cases() -> Vec<(String, Case)> {
    let orders =
        orders_yaml("orders.yaml", demo::ORDERS).value.expect("the demo's orders");
    let shop = the_shop();
    let library = Library::built_in();
    let case = |order: &treen::model::Order| {
        let loaded = library.load(&order.recipe).expect("a recipe");
        let recipe = loaded.recipe.expect("a sound recipe");
        let examined =
            examine(&recipe, order, &shop, &treen::feasibility::Pins::default());
        let (dish, report, plan) = examined.dish.expect("a dish");
        (order.id.clone(), Case { dish, report, plan, shop: shop.clone() })
    };
    orders.orders.iter().map(case).collect()
}

#[test]
fn text_stays_in_its_place_on_the_demo() {
    for (id, case) in demo_cases() {
        for (kind, sheet) in sheets(&case) {
            in_order(&format!("{kind} of {id}"), &sheet);
        }
    }
}

/// Every cut of the demo from the side, six to a page.
#[test]
fn side_views_stay_in_their_place_on_the_demo() {
    for (id, case) in demo_cases() {
        let Case { dish, plan, shop, .. } = &case;
        let standings: Vec<_> = plan
            .operations
            .iter()
            .filter_map(|op| Some((op.work, standing(dish, op, shop)?)))
            .collect();
        assert_eq!(standings.len(), plan.operations.len(), "{id}: one for each cut");
        for (number, some) in standings.chunks(6).enumerate() {
            let page = side_views(some, (dish.wood.tone, shop.house.unit));
            in_order(&format!("side views of {id}"), &page);
            look(&format!("side-{id}-{number}"), &page);
        }
        let (work, nearest) = closest(dish, plan, shop).expect("every length is known");
        let room =
            nearest.above_board().expect("known").max(nearest.beside().unwrap_or(0.0));
        assert!(room >= nearest.margin - 1e-9, "{id}, {}: {room}", work.word());
    }
}

#[test]
fn inch_shops_get_inches() {
    let mut case = Case::of(boat("Zoë"));
    case.shop.house.unit = DisplayUnit::Inch;
    for (kind, sheet) in sheets(&case) {
        in_order(&format!("{kind} in inches"), &sheet);
        assert!(words(&sheet).contains(" in"), "{kind} shows inches");
        look(&format!("inch-{kind}"), &sheet);
    }
    let page = proof(&case.dish, &case.report, &case.plan, &case.shop);
    let width = texts(&page).into_iter().find(|text| text.text.ends_with("in"));
    assert!(width.is_some(), "overall sizes in inches");
}

#[test]
fn big_and_small_dishes_are_drawn_in_order() {
    for factor in [0.3, 0.7, 1.3, 1.6, 4.0] {
        let mut dish = boat("Jo");
        let scale = treen::curve::Affine::scale(factor);
        dish.outline = dish.outline.transformed(scale);
        for recess in &mut dish.recesses {
            recess.region = recess.region.transformed(scale);
        }
        if let Some(name) = &mut dish.name {
            name.region = name.region.transformed(scale);
            name.baseline.apply_affine(scale);
        }
        let case = Case::of(dish);
        for (kind, sheet) in sheets(&case) {
            in_order(&format!("{kind} at {factor}"), &sheet);
            look(&format!("size-{factor}-{kind}"), &sheet);
        }
    }
}

#[test]
fn nothing_is_drawn_beyond_the_paper() {
    // A groove and a name that reach far outside a small dish.
    let mut dish = boat("Maximiliane Rosa");
    let small = treen::curve::Affine::scale(0.2);
    dish.outline = dish.outline.transformed(small);
    for recess in &mut dish.recesses {
        recess.region = recess.region.transformed(small);
    }
    let case = Case::of(dish);
    for (kind, sheet) in sheets(&case) {
        look(&format!("beyond-{kind}"), &sheet);
        for mark in sheet.layers.iter().flat_map(|layer| &layer.marks) {
            let Mark::Path(drawn) = mark else { continue };
            let shown = drawn.clip.as_ref().unwrap_or(&drawn.path).control_box();
            let edge = sheet.margin - 6.0;
            let inside = shown.x0 >= edge
                && shown.y0 >= edge
                && shown.x1 <= sheet.size[0] - edge
                && shown.y1 <= sheet.size[1] - edge;
            assert!(inside, "{kind}: something is drawn at {shown:?}");
        }
    }
}

#[test]
fn hostile_words_do_not_break_a_page() {
    let mut dish = boat("<b>&\"'");
    dish.title = "]]> & </svg><script>".to_owned();
    dish.note = Some("a\u{0}b\u{1b}[31m \u{202e}sdrawkcab 👩‍👩‍👧‍👦 ]]> \n\n\t end".to_owned());
    dish.asked.push("W".repeat(200));
    dish.parameters.push(("W".repeat(200), "M".repeat(200)));
    dish.id = "x".repeat(200);
    let case = Case::of(dish);
    for (kind, sheet) in sheets(&case) {
        in_order(&format!("hostile {kind}"), &sheet);
        let text = svg(&sheet).expect("drawn");
        assert!(!text.contains("]]>"), "{kind}: no end of a CDATA section");
        assert!(!text.contains("<script"), "{kind}: no element from outside");
        assert!(
            !text.chars().any(|c| c.is_control() && c != '\n'),
            "{kind}: no controls"
        );
        assert!(!text.contains('\u{202e}'), "{kind}: no turned text");
        png(&sheet, 40.0).expect("it still is an SVG");
    }
}

#[test]
fn a_stop_is_told_to_the_customer_in_plain_words() {
    let case = Case::of(notched("Zoë", 5));
    let stopped = case.report.findings.iter().any(|f| f.severity == Severity::Stop);
    assert!(stopped, "sharp notches stop the dish");
    let page = words(&proof(&case.dish, &case.report, &case.plan, &case.shop));
    assert!(page.contains("Not yet: this dish cannot be made as drawn"), "{page}");
    assert!(page.contains("narrower than the tool"), "the reason: {page}");
    assert!(!page.contains("Yes, please make it"), "nothing to approve: {page}");
    let mut fine = case;
    fine.report.findings.clear();
    let page = words(&proof(&fine.dish, &fine.report, &fine.plan, &fine.shop));
    assert!(!page.contains("Not yet"), "and silent otherwise");
    assert!(page.contains("Yes, please make it"), "there is something to approve");
}

#[test]
fn no_sheet_says_safe() {
    for (kind, sheet) in sheets(&Case::of(boat("Zoë"))) {
        assert!(
            !words(&sheet).to_lowercase().contains("safe"),
            "{kind} says what was checked"
        );
    }
}

#[test]
fn the_date_comes_from_the_order_alone() {
    let mut dish = boat("Zoë");
    let page =
        |case: &Case| words(&proof(&case.dish, &case.report, &case.plan, &case.shop));
    let without = page(&Case::of(dish.clone()));
    dish.date = Some("2026-07-10".to_owned());
    let with = page(&Case::of(dish));
    assert!(with.contains("2026-07-10"), "as given");
    assert!(!without.contains("2026"), "none if not given");
}

#[test]
fn every_leftover_of_the_cutter_shown_is_listed_or_counted() {
    let case = Case::of(notched("Jo", 5));
    let page = &bench(&case.dish, &case.report, &case.plan, &case.shop)[0];
    for letter in ["A", "B", "C", "D", "E"] {
        let count = texts(page).iter().filter(|text| text.text == letter).count();
        assert!(
            count >= 2,
            "{letter} is in the table and in the plan, seen {count} times"
        );
    }
    // Without the groove of a cut-out nothing takes the tip of a round-over bit either.
    let undone = "No cutter on the rack for: outer edge, cut-out";
    assert!(words(page).contains(undone), "said plainly");
}

#[test]
fn scales_are_those_of_iso_5455() {
    // ISO 5455:1979, reductions (from memory): 1:2, 1:5, 1:10, …; there is no 1:2.5.
    let room = [100.0, 100.0];
    for (size, words) in [
        (100.0, "SCALE 1:1"),
        (100.1, "SCALE 1:2"),
        (200.0, "SCALE 1:2"),
        (201.0, "SCALE 1:5"),
        (500.5, "SCALE 1:10"),
        (1900.0, "SCALE 1:20"),
    ] {
        assert_eq!(Scale::largest([size, 10.0], room).designation(), words, "{size} mm");
        assert_eq!(
            Scale::largest([10.0, size], room).designation(),
            words,
            "{size} mm tall"
        );
    }
}

#[test]
fn pages_are_iso_216_a4() {
    // ISO 216: A4 is 210 mm by 297 mm; sides in the ratio 1 to √2 within rounding.
    assert_eq!(A4.map(|side| format!("{side}")), ["210", "297"], "A4");
    assert!(
        (A4[1] / A4[0] - 2_f64.sqrt()).abs() < 0.5 / 210.0,
        "the ratio of the series"
    );
    for (kind, sheet) in sheets(&Case::of(boat("Zoë"))) {
        assert!(sheet.size == A4, "{kind} is A4");
    }
}

#[test]
fn the_dish_is_painted_at_the_scale_stated() {
    // Wood is darker than paper and than the shade beside it: its width in pixels of 0.2 mm
    // is that of the dish over the scale's number.
    let case = Case::of(boat("Zoë"));
    let page = proof(&case.dish, &case.report, &case.plan, &case.shop);
    assert!(words(&page).contains("SCALE 1:2"), "half size");
    let picture = painted(&page);
    let size = [picture.place.width(), picture.place.height()].map(|mm| mm / 0.2);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few hundred pixels"
    )]
    let size = size.map(|count| count.ceil() as usize);
    let pixels = picture.painter(picture.place.origin(), 0.2, size).all();
    // The shade on the paper is grey; wood is far from it.
    let wood = |rgb: &[u8]| i32::from(rgb[0]) - i32::from(rgb[2]) > 25;
    let widest = pixels.chunks(3 * size[0]).map(|row| {
        let columns: Vec<usize> =
            (0..size[0]).filter(|&column| wood(&row[3 * column..])).collect();
        columns.last().zip(columns.first()).map_or(0, |(last, first)| last + 1 - first)
    });
    #[expect(clippy::cast_precision_loss, reason = "a few hundred pixels")]
    let widest = widest.max().unwrap_or(0) as f64 * 0.2;
    let want = case.dish.size().0 / 2.0;
    assert!((widest - want).abs() < 0.41, "painted {widest} mm wide for {want}");
}

/// In print without colour each size still has a line of its own, and the tints grow lighter
/// from the largest to the smallest, as those of cividis do (Nuñez, Anderton, Renslow 2018).
#[test]
fn sizes_on_the_card_are_told_apart_without_colour() {
    const SIZES: [u32; 8] = [12, 10, 8, 6, 5, 4, 3, 2];
    let cutters =
        SIZES.map(|mm| format!("{{id: end-{mm}, kind: end mill, diameter: {mm} mm}}"));
    let shop =
        treen::intake::shop("shop.yaml", &format!("cutters: [{}]", cutters.join(", ")));
    let shop = shop.value.expect("a shop");
    let dish = notched("", 9);
    let report =
        treen::feasibility::check(&dish, &shop, &treen::feasibility::Pins::default());
    let card = swap_card(&report.swap, &dish, &shop);
    in_order("swap-many-sizes", &card);
    let layer = card.layers.iter().find(|layer| layer.name == "tinted").expect("drawn");
    // Lines of the key are level and 12 mm long: the ink below, then the tint.
    let key: Vec<&Stroke> = layer
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Path(path) => path.stroke.as_ref().filter(|_| {
                let line = path.path.bounding_box();
                (line.width() - 12.0).abs() < 1e-9 && line.height() < 1e-9
            }),
            Mark::Text(_) | Mark::Picture(_) => None,
        })
        .collect();
    let lines: Vec<&[&Stroke]> = key.chunks(2).collect();
    assert_eq!(lines.len(), SIZES.len() + 1, "a line for each size, and for none");
    let sign = |line: &[&Stroke]| {
        line.iter().map(|it| (it.width.to_bits(), format!("{:?}", it.dash))).collect()
    };
    let signs: Vec<Vec<(u64, String)>> = lines.iter().map(|line| sign(line)).collect();
    for (i, sign) in signs.iter().enumerate() {
        assert!(!signs[..i].contains(sign), "line {i} is drawn like another: {sign:?}");
    }
    let light = |line: &&[&Stroke]| line[1].color.luminance();
    let light: Vec<f64> = lines.iter().take(SIZES.len()).map(light).collect();
    assert!(light.windows(2).all(|pair| pair[1] > pair[0] + 0.01), "{light:?}");
}

/// The outline is drawn in stretches of every size that is the largest to follow somewhere,
/// each in its own tint, and the shares in the key add up.
#[test]
fn the_card_shows_how_far_each_size_follows() {
    let Case { dish, report, shop, .. } = Case::of(notched("", 9));
    let card = swap_card(&report.swap, &dish, &shop);
    look("swap-tinted", &card);
    in_order("swap-tinted", &card);
    let said = words(&card);
    assert!(said.contains("How far each size follows the edge"), "{said}");
    let layer = card.layers.iter().find(|layer| layer.name == "tinted").expect("drawn");
    let texts = layer.marks.iter().filter_map(|mark| match mark {
        Mark::Text(text) => Some(text.text.as_str()),
        Mark::Path(_) | Mark::Picture(_) => None,
    });
    // The shares of the edge come before those of the recess.
    let shares: Vec<f64> = texts
        .take_while(|text| *text != "in the recess")
        .filter_map(|text| text.strip_suffix(" %")?.parse().ok())
        .collect();
    assert_eq!(shares.len(), 4, "three sizes and none: {shares:?}");
    assert!(shares.iter().all(|share| *share > 0.0), "sharp notches: {shares:?}");
    assert!((shares.iter().sum::<f64>() - 100.0).abs() < 0.3, "{shares:?}");
    // Ends of cividis (Nuñez, Anderton, Renslow 2018): dark for the largest, light for the least.
    for rgb in [[0x00, 0x20, 0x4D], [0xFF, 0xEA, 0x46]] {
        let drawn = layer.marks.iter().any(|mark| match mark {
            Mark::Path(path) => path.stroke.as_ref().is_some_and(|s| s.color.rgb == rgb),
            Mark::Text(_) | Mark::Picture(_) => false,
        });
        assert!(drawn, "no line in {rgb:?}");
    }
}
