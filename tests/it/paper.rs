//! Marks to SVG and PNG: true sizes, plain text, the same bytes.

use crate::golden;
use crate::sample::{Case, boat, painted};
use treen::curve::{BezPath, Point};
use treen::export::{Chapter, pdf, per_metre, png, svg};
use treen::lettering::{Face, Fonts, width};
use treen::sheet::{
    A4, Anchor, Color, Drawn, Layer, Mark, Sheet, Stroke, Text, Way, bench, proof,
};

const BLACK: Color = Color::new([0, 0, 0]);

fn page(size: [f64; 2], marks: Vec<Mark>) -> Sheet {
    Sheet {
        title: "A test".to_owned(),
        language: "en",
        version: None,
        size,
        margin: 0.0,
        paper: Color::new([255, 255, 255]),
        layers: vec![Layer { name: "test", marks, parts: Vec::new() }],
    }
}

fn line(from: (f64, f64), to: (f64, f64), width: f64) -> Mark {
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(to);
    let stroke = Some(Stroke { color: BLACK, width, dash: Vec::new() });
    Mark::Path(Drawn { path, fill: None, stroke, clip: None })
}

fn area(path: BezPath, clip: Option<BezPath>) -> Mark {
    Mark::Path(Drawn { path, fill: Some(BLACK), stroke: None, clip })
}

fn square(x: f64, y: f64, side: f64) -> BezPath {
    let mut path = BezPath::new();
    path.move_to((x, y));
    path.line_to((x + side, y));
    path.line_to((x + side, y + side));
    path.line_to((x, y + side));
    path.close_path();
    path
}

fn text(words: &str, face: Face) -> Text {
    Text {
        at: Point::new(10.0, 30.0),
        anchor: Anchor::Start,
        way: Way::Right,
        height: 10.0,
        face,
        color: BLACK,
        text: words.to_owned(),
    }
}

struct Picture {
    info: png::Info<'static>,
    rgb: Vec<u8>,
}

fn decoded(bytes: &[u8]) -> Picture {
    let mut reader =
        png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("a PNG head");
    let mut rgb = vec![0; reader.output_buffer_size().expect("a size")];
    reader.next_frame(&mut rgb).expect("its pixels");
    Picture { info: reader.info().clone(), rgb }
}

impl Picture {
    /// Left, top, right, bottom of what is darker than the paper by half, pixels.
    fn ink(&self) -> Option<[usize; 4]> {
        let wide = self.info.width as usize;
        let dark = self.rgb.chunks_exact(3).enumerate().filter(|(_, p)| p[0] < 128);
        dark.map(|(i, _)| [i % wide, i / wide, i % wide + 1, i / wide + 1]).reduce(
            |a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])],
        )
    }
}

#[test]
fn sizes_in_pixels_follow_css() {
    // CSS Values and Units 3, absolute lengths: 1 in = 25.4 mm = 96 px = 72 pt.
    for (id, mm, per_inch) in
        [("CSSPX-210", 210.0, 96.0), ("CSSPX-420", 420.0, 96.0), ("PT-297", 297.0, 72.0)]
    {
        let picture =
            decoded(&png(&page([mm, 10.0], Vec::new()), per_inch).expect("drawn"));
        let want = golden::value(id);
        assert!((f64::from(picture.info.width) - want).abs() <= 0.5, "{id}: {want}");
    }
}

#[test]
fn a_picture_states_its_resolution() {
    // PNG specification, pHYs: pixels per unit, unit 1 = metre; 1 in = 0.0254 m exactly.
    for (id, dpi) in [("PHYS-72", 72.0), ("PHYS-96", 96.0), ("PHYS-300", 300.0)] {
        let picture = decoded(&png(&page([20.0, 20.0], Vec::new()), dpi).expect("drawn"));
        let dims = picture.info.pixel_dims.expect("pHYs");
        let want = golden::value(id).round();
        assert!((f64::from(dims.xppu) - want).abs() < 1e-9, "{id}: {}", dims.xppu);
        assert_eq!(dims.xppu, dims.yppu, "{id}: square pixels");
        assert!(matches!(dims.unit, png::Unit::Meter), "{id}: per metre");
    }
    assert_eq!(per_metre(150.0), Ok(5906), "150 dpi, PNG specification by hand");
    assert_eq!(per_metre(600.0), Ok(23_622), "600 dpi");
    assert!(per_metre(0.0).is_err() && per_metre(f64::NAN).is_err(), "no resolution");
}

#[test]
fn sheets_carry_their_size_in_millimetres() {
    let empty = page(A4, Vec::new());
    let text = svg(&empty).expect("drawn");
    assert!(
        text.contains("width=\"210mm\" height=\"297mm\" viewBox=\"0 0 210 297\""),
        "{text}"
    );
    // ISO 216 A4 at 150 dpi: 210 / 25.4 * 150 = 1240.2, 297 / 25.4 * 150 = 1753.9.
    let picture = decoded(&png(&empty, 150.0).expect("drawn"));
    assert_eq!([picture.info.width, picture.info.height], [1240, 1754], "A4");
    assert_eq!(picture.info.color_type, png::ColorType::Rgb, "opaque colour");
}

#[test]
fn a_line_of_100_mm_is_100_mm_long() {
    for dpi in [72.0_f64, 96.0, 150.0, 300.0] {
        let filled = area(square(20.0, 20.0, 100.0), None);
        let picture = decoded(&png(&page(A4, vec![filled]), dpi).expect("drawn"));
        let [x0, y0, x1, y1] = picture.ink().expect("drawn");
        let want = (100.0 * dpi / 25.4).round();
        #[expect(clippy::cast_precision_loss, reason = "a few thousand pixels")]
        let got = [(x1 - x0) as f64, (y1 - y0) as f64];
        for side in got {
            assert!((side - want).abs() <= 1.0, "{dpi} dpi: {side} px for {want}");
        }
    }
}

#[test]
fn strokes_are_as_wide_as_they_say() {
    // 2 mm at 254 dpi is 20 pixels.
    let marks = vec![line((10.0, 20.0), (60.0, 20.0), 2.0)];
    let picture = decoded(&png(&page([70.0, 40.0], marks), 254.0).expect("drawn"));
    let [x0, y0, x1, y1] = picture.ink().expect("drawn");
    assert_eq!(y1 - y0, 20, "2 mm wide");
    // Round ends add half a width on each side: 52 mm, the last pixel of each is under half.
    assert!((519..=520).contains(&(x1 - x0)), "with round ends: {}", x1 - x0);
}

#[test]
fn a_clip_hides_what_lies_outside() {
    let marks = vec![area(square(10.0, 10.0, 40.0), Some(square(20.0, 20.0, 10.0)))];
    let picture = decoded(&png(&page([60.0, 60.0], marks), 254.0).expect("drawn"));
    assert_eq!(picture.ink(), Some([200, 200, 300, 300]), "10 mm square at 20 mm");
}

#[test]
fn measured_widths_are_the_drawn_widths() {
    // usvg shapes the same text on its own: two independent paths to one width.
    for face in Face::ALL {
        let words = "HAVING fifty Łódź 12.5 mmH";
        let mark = text(words, face);
        let measured = width(words, face, mark.height);
        let wide = page([measured + 40.0, 45.0], vec![Mark::Text(mark)]);
        let picture = decoded(&png(&wide, 127.0).expect("drawn"));
        let [x0, y0, x1, _] = picture.ink().expect("drawn");
        #[expect(clippy::cast_precision_loss, reason = "a few hundred pixels")]
        let (drawn, top) = ((x1 - x0) as f64 / 5.0, 30.0 - y0 as f64 / 5.0);
        let written = treen::lettering::write_in(words, &Fonts::of(face), 10.0);
        let [left, right] = written.ink().expect("it draws");
        assert!(
            (drawn - (right - left)).abs() < 0.5,
            "{face:?}: {drawn} for {}",
            right - left
        );
        assert!(top > 9.5, "{face:?}: capitals are 10 mm tall, marks more: {top}");
    }
}

#[test]
fn capitals_on_paper_are_as_tall_as_they_say() {
    for face in Face::ALL {
        let wide = page([60.0, 45.0], vec![Mark::Text(text("HHH", face))]);
        let picture = decoded(&png(&wide, 254.0).expect("drawn"));
        let [_, y0, _, y1] = picture.ink().expect("drawn");
        assert!((99..=102).contains(&(y1 - y0)), "{face:?}: {} tenths of a mm", y1 - y0);
    }
}

#[test]
fn a_line_of_text_is_the_same_wherever_it_stands() {
    // 254 dpi: 10 pixels a mm.
    let drawn = |x: f64, y: f64| {
        let mark =
            Text { at: Point::new(x, y), ..text("Łódź gjpq", Face::SerifItalic) };
        let sheet = page([120.0, 60.0], vec![Mark::Text(mark)]);
        let picture = decoded(&png(&sheet, 254.0).expect("drawn"));
        let [x0, y0, x1, y1] = picture.ink().expect("drawn");
        let row = |y: usize| (y * 1200 + x0) * 3..(y * 1200 + x1) * 3;
        let rows: Vec<u8> =
            (y0..y1).flat_map(|y| picture.rgb[row(y)].iter().copied()).collect();
        ([x0, y0], [x1 - x0, y1 - y0], rows)
    };
    let (at, size, rows) = drawn(10.02, 30.07);
    for (right, down) in [(0, 0), (7, 0), (0, 3), (250, 111)] {
        let [x, y] = [right, down].map(f64::from);
        let moved = drawn(10.02 + x / 10.0, 30.07 + y / 10.0);
        let by = [at[0] + right as usize, at[1] + down as usize];
        assert_eq!((moved.0, moved.1), (by, size), "moved by {right}, {down} pixels");
        assert!(moved.2 == rows, "moved by {right}, {down} pixels it looks another way");
    }
}

#[test]
fn marks_lie_over_each_other_in_their_order() {
    let words = || Mark::Text(text("HHH", Face::Sans));
    let white = Some(Color::new([255; 3]));
    let cover = || {
        let path = square(5.0, 15.0, 40.0);
        Mark::Path(Drawn { path, fill: white, stroke: None, clip: None })
    };
    let ink = |marks: Vec<Mark>| {
        decoded(&png(&page([60.0, 60.0], marks), 254.0).expect("drawn")).ink()
    };
    let alone = ink(vec![words()]);
    assert!(alone.is_some(), "it is written");
    assert_eq!(ink(vec![cover(), words()]), alone, "text over an area");
    assert_eq!(ink(vec![words(), cover()]), None, "an area over text");
    assert_eq!(
        ink(vec![words(), cover(), words()]),
        alone,
        "text over an area over text"
    );
    let apart = line((50.0, 55.0), (55.0, 55.0), 1.0);
    let [_, _, x1, y1] = ink(vec![words(), cover(), apart]).expect("a line is left");
    assert_eq!((x1, y1), (555, 555), "only the line is left");
}

#[test]
fn text_takes_its_colour_and_how_much_shows_through() {
    let color = Color::new([200, 40, 0]).at(0.5);
    let mark = Text { color, height: 40.0, ..text("I", Face::MonoBold) };
    let sheet = page([60.0, 60.0], vec![Mark::Text(mark)]);
    let picture = decoded(&png(&sheet, 254.0).expect("drawn"));
    // Half of 255 and half of each part, a level of rounding apart.
    let want = [227, 147, 127];
    let close = |pixel: &&[u8]| {
        pixel.iter().zip(want).all(|(value, want)| value.abs_diff(want) <= 1)
    };
    let found = picture.rgb.chunks_exact(3).filter(close).count();
    assert!(found > 10_000, "{found} pixels of the stem");
}

#[test]
fn text_that_runs_off_the_page_is_cut_at_its_edges() {
    for at in [(-15.0, 4.0), (50.0, 62.0), (-300.0, 30.0), (30.0, 900.0)] {
        for way in [Way::Right, Way::Up] {
            let mark = Text { at: at.into(), way, ..text("HHHH", Face::Sans) };
            let inside = mark.extent();
            let seen = inside[0] < 60.0 && inside[2] > 0.0 && inside[1] < 60.0;
            let sheet = page([60.0, 60.0], vec![Mark::Text(mark)]);
            let ink = decoded(&png(&sheet, 254.0).expect("drawn")).ink();
            assert_eq!(ink.is_some(), seen && inside[3] > 0.0, "{at:?} {way:?}: {ink:?}");
        }
    }
}

#[test]
fn text_up_the_page_is_read_from_the_right() {
    let mut mark = text("HHHH", Face::Sans);
    mark.way = Way::Up;
    mark.at = Point::new(30.0, 80.0);
    let [x0, y0, x1, y1] = mark.extent();
    let picture =
        decoded(&png(&page([60.0, 90.0], vec![Mark::Text(mark)]), 254.0).expect("drawn"));
    let ink = picture.ink().expect("drawn");
    #[expect(clippy::cast_precision_loss, reason = "a few hundred pixels")]
    let ink = ink.map(|pixels| pixels as f64 / 10.0);
    let inside = ink[0] >= x0 - 0.2 && ink[1] >= y0 && ink[2] <= x1 && ink[3] <= y1;
    assert!(inside, "drawn {ink:?}, said {:?}", [x0, y0, x1, y1]);
    assert!(ink[3] - ink[1] > 2.0 * (ink[2] - ink[0]), "it runs up");
}

#[test]
fn words_from_outside_stay_words() {
    let words = "<b>&amp; ]]> \"'\u{1}\u{fffe} \u{1f994}";
    let text = svg(&page([80.0, 40.0], vec![Mark::Text(text(words, Face::Serif))]))
        .expect("drawn");
    let tree = usvg::Tree::from_str(&text, &usvg::Options::default());
    assert!(tree.is_ok(), "still well-formed: {text}");
    assert!(
        !text.contains("<b>") && !text.contains("]]>"),
        "nothing of it is markup: {text}"
    );
    assert!(
        text.contains("&lt;b&gt;&amp;amp; ]]&gt; &quot;&#39;"),
        "all of it is there: {text}"
    );
    assert!(text.contains('\u{1f994}'), "the hedgehog too");
    assert!(!text.contains('\u{1}') && !text.contains('\u{fffe}'), "XML forbids these");
}

#[test]
fn a_text_states_its_length_for_faces_that_stand_in() {
    // SVG 1.1, 10.5: textLength is the length the author measured; a viewer without the face
    // fits its own to it.
    let mark = text("Figures", Face::SerifSemibold);
    let measured = mark.width();
    let text = svg(&page([80.0, 40.0], vec![Mark::Text(mark)])).expect("drawn");
    let after = text.split("textLength=\"").nth(1).expect("the attribute");
    let stated: f64 =
        after.split('"').next().and_then(|n| n.parse().ok()).expect("a number");
    assert!((stated - measured).abs() <= 0.0005, "{stated} for {measured}");
}

#[test]
fn numbers_are_short_and_never_odd() {
    let marks = vec![line((-0.000_04, 1.0 / 3.0), (1e-9, 2.0 / 3.0), 0.25)];
    let text = svg(&page([10.0, 10.0], marks)).expect("drawn");
    assert!(text.contains("d=\"M0 0.333L0 0.667\""), "to 0.001, no minus zero: {text}");
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    let case = Case::of(boat("Zoë"));
    let one = || proof(&case.dish, &case.report, &case.plan, &case.shop);
    let (first, second) = (one(), one());
    assert_eq!(svg(&first), svg(&second), "SVG");
    assert_eq!(png(&first, 60.0), png(&second, 60.0), "PNG");
}

#[test]
fn pictures_of_no_size_or_too_many_pixels_are_refused() {
    for dpi in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e9] {
        assert!(png(&page(A4, Vec::new()), dpi).is_err(), "{dpi} dpi");
    }
}

/// Ends of the horizontal lines of 100 mm in a drawing of ours: left, right, height.
fn hundreds(text: &str) -> Vec<[f64; 3]> {
    let lines = text.split(" d=\"M").skip(1).filter_map(|rest| {
        let (from, to) = rest.split('"').next()?.split_once('L')?;
        let two = |text: &str| -> Option<[f64; 2]> {
            let (x, y) = text.split_once(' ')?;
            Some([x.parse().ok()?, y.parse().ok()?])
        };
        let ([x0, y0], [x1, y1]) = (two(from)?, two(to)?);
        ((x1 - x0 - 100.0).abs() < 0.05 && y0.to_bits() == y1.to_bits())
            .then_some([x0, x1, y0])
    });
    lines.collect()
}

#[test]
fn the_scale_bar_of_a_proof_measures_100_mm() {
    let case = Case::of(boat("Zoë"));
    let sheet = proof(&case.dish, &case.report, &case.plan, &case.shop);
    let text = svg(&sheet).expect("drawn");
    let found = hundreds(&text);
    let [[x0, x1, y]] = found[..] else { panic!("one bar: {found:?}") };
    assert!((x1 - x0 - 100.0).abs() < 1e-9, "{x0} to {x1} user units of one mm");
    for dpi in [150.0, 300.0, 600.0] {
        let file = decoded(&png(&sheet, dpi).expect("drawn"));
        let per_mm = f64::from(file.info.pixel_dims.expect("pHYs").xppu) / 1000.0;
        let wide = file.info.width as usize;
        // Below the line only the marks of its ends go on.
        let row = ((y + 0.4) * dpi / 25.4) as usize;
        let dark = |column: usize| {
            let value = file.rgb[3 * (row * wide + column)];
            f64::from(file.rgb[0].saturating_sub(value))
        };
        let [left, right] = [x0, x1].map(|end| {
            let [from, to] = [end - 1.0, end + 1.0].map(|mm| (mm * dpi / 25.4) as usize);
            let weight: f64 = (from..to).map(dark).sum();
            assert!(weight > 50.0, "a mark at {end} mm, {dpi} dpi");
            (from..to).map(|at| (at as f64 + 0.5) * dark(at)).sum::<f64>() / weight
        });
        let measured = (right - left) / per_mm;
        assert!((measured - 100.0).abs() < 0.02, "{measured} mm at {dpi} dpi");
    }
}

#[test]
fn the_painted_dish_is_the_same_in_every_form() {
    let case = Case::of(boat("Zoë"));
    let sheet = proof(&case.dish, &case.report, &case.plan, &case.shop);
    let picture = painted(&sheet);
    // 254 dpi: ten pixels to the mm.
    let file = decoded(&png(&sheet, 254.0).expect("drawn"));
    let place = picture.place;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few thousand pixels"
    )]
    let [left, top, wide, high] = [place.x0, place.y0, place.width(), place.height()]
        .map(|mm| (mm * 10.0) as usize);
    #[expect(clippy::cast_precision_loss, reason = "a few thousand pixels")]
    let corner = Point::new(left as f64 / 10.0, top as f64 / 10.0);
    let painted = picture.painter(corner, 0.1, [wide, high]).all();
    // Nothing is drawn over the middle of the dish; the grid begins at the same pixel.
    let row = high / 2;
    let from = 3 * ((top + row) * file.info.width as usize + left);
    let inside = 3 * wide / 4..3 * wide * 3 / 4;
    let drawn = &file.rgb[from..from + 3 * wide];
    let want = &painted[3 * row * wide..3 * (row + 1) * wide];
    assert!(drawn[inside.clone()] == want[inside], "PNG: the same pixels");

    let (painter, place) = picture.print();
    let text = svg(&sheet).expect("drawn");
    let image = text.split("<image ").nth(1).expect("a picture");
    let wanted = [
        ("x=\"", place.x0),
        (" y=\"", place.y0),
        (" width=\"", place.width()),
        (" height=\"", place.height()),
    ];
    for (name, want) in wanted {
        let value = image.split(name).nth(1).and_then(|rest| rest.split('"').next());
        let value: f64 = value.and_then(|v| v.parse().ok()).expect("a number");
        assert!((value - want).abs() <= 0.0005, "{name} {value} for {want}");
    }
    // A JPEG begins with FF D8 FF (ITU-T T.81, B.1.1.3), in base 64 (RFC 4648) /9j/.
    assert!(image.contains("data:image/jpeg;base64,/9j/"), "a JPEG");

    let pages = [sheet.clone()];
    let book = pdf("Zoë", &[Chapter { title: "Zoë", pages: &pages }]).expect("written");
    let book = String::from_utf8_lossy(&book);
    // ISO 32000-1, 7.4.8 and 8.9.5.
    assert!(book.contains("/DCTDecode"), "the same JPEG");
    for (name, side) in ["/Width", "/Height"].into_iter().zip(painter.size()) {
        assert!(book.contains(&format!("{name} {side}")), "{name} {side}");
    }
}

#[test]
fn a_printed_picture_is_as_fine_as_asked() {
    let case = Case::of(boat("Zoë"));
    let mut sheet = proof(&case.dish, &case.report, &case.plan, &case.shop);
    // No fewer pixels than asked for, whole ones between lines 50 to the inch, 400 at most.
    for (dpi, fine) in [(20.0, 50.0), (130.0, 150.0), (300.0, 300.0), (1200.0, 400.0)] {
        sheet.print_at(dpi);
        let (painter, place) = painted(&sheet).print();
        let [wide, high] = painter.size();
        #[expect(clippy::cast_precision_loss, reason = "a few thousand pixels")]
        let found = [wide as f64 / place.width(), high as f64 / place.height()];
        for per_mm in found {
            assert!((per_mm * 25.4 - fine).abs() < 0.1, "{dpi}: {}", per_mm * 25.4);
        }
        let pages = [sheet.clone()];
        let file = pdf("Zoë", &[Chapter { title: "Zoë", pages: &pages }]).expect("made");
        let file = String::from_utf8_lossy(&file);
        assert!(file.contains(&format!("/Width {wide}")), "{dpi}: {wide} wide");
    }
}

/// What an SVG reader that is not ours measures of a group: width and height in mm.
fn measured(tree: &usvg::Tree, id: &str) -> [f64; 2] {
    let node = tree.node_by_id(id).unwrap_or_else(|| panic!("a group `{id}`"));
    let bounds = node.abs_bounding_box();
    [bounds.width(), bounds.height()].map(|px| f64::from(px) / 96.0 * 25.4)
}

#[test]
fn the_bench_sheet_has_a_group_for_each_operation() {
    let case = Case::of(boat("Zoë"));
    let sheets = bench(&case.dish, &case.report, &case.plan, &case.shop);
    let text = svg(sheets.first().expect("a page")).expect("drawn");
    let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).expect("read");
    let dish = &case.dish;
    let name = dish.name.as_ref().expect("named");
    let recess = &dish.recesses.first().expect("hollow").region;
    let [width, _] = measured(&tree, "drawings-outline");
    let scale = width / dish.outline.bounds().width();
    let parts = [("outline", &dish.outline), ("recess", recess)];
    for (part, region) in parts {
        let [width, height] = measured(&tree, &format!("drawings-{part}"));
        let own = region.bounds();
        assert!((width - own.width() * scale).abs() < 0.02, "{part}: {width} mm wide");
        assert!((height - own.height() * scale).abs() < 0.02, "{part}: {height} mm tall");
        assert!(text.contains(&format!("<title>{part}</title>")), "{part} has a label");
    }
    // The line it stands on may be longer than the name.
    let [_, height] = measured(&tree, "drawings-name");
    assert!(height >= name.region.bounds().height() * scale - 0.02, "{height} mm tall");
    for part in ["details", "sizes", "section-line"] {
        assert!(tree.node_by_id(&format!("drawings-{part}")).is_some(), "{part}");
    }
}

#[test]
fn groups_of_a_sheet_have_names_of_their_own() {
    let Case { dish, report, plan, shop } = Case::of(boat("Zoë"));
    let pages = bench(&dish, &report, &plan, &shop);
    for page in pages.iter().chain([&proof(&dish, &report, &plan, &shop)]) {
        let text = svg(page).expect("drawn");
        let ids = text.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next());
        let mut ids: Vec<&str> = ids.collect();
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert!(count > 6 && ids.len() == count, "{}: {ids:?}", page.title);
        let groups = text.matches("<g ").count();
        assert_eq!(groups, text.matches("</g>").count(), "{}", page.title);
        assert_eq!(groups, text.matches("\n<title>").count() - 1, "{}", page.title);
    }
}

#[test]
fn text_stands_on_lines_150_to_the_inch() {
    let Case { dish, report, plan, shop } = Case::of(boat("Zoë"));
    let page = proof(&dish, &report, &plan, &shop);
    let marks = page.layers.iter().flat_map(|layer| &layer.marks);
    let mut lines = marks.filter_map(|mark| match mark {
        Mark::Text(text) if text.way == Way::Right => Some(text.at.y / 25.4 * 150.0),
        Mark::Path(_) | Mark::Text(_) | Mark::Picture(_) => None,
    });
    // Rounded down, as by programs that put letters on whole pixels, it is the same line.
    assert!(lines.all(|line| line - line.floor() < 0.05), "off the lines");
}
