//! Names whose ground is pocketed: raised letters in their panel, sunk letters.

use crate::routes::{Grid, along, edge};
use crate::sheets::in_order;
use std::f64::consts::PI;
use treen::batch::{Examined, examine, specimen};
use treen::curve::{Point, Region};
use treen::dish::{Dish, NameCut};
use treen::feasibility::Pins;
use treen::finding::{Code, Finding, Severity};
use treen::intake::{demo, recipe, shop};
use treen::model::{Cutter, NameStyle, Pin, Shop};
use treen::plan::{Operation, Pace, Plan, Work, pocketed};
use treen::sheet::{bench, proof};

/// A rack with end mills of these diameters, mm.
pub(crate) fn rack(mills: &[f64]) -> Shop {
    let mills: Vec<String> = mills
        .iter()
        .map(|d| {
            format!(
                "  - {{id: end-{d}, kind: end mill, diameter: {d}, cutting_length: 25, stick_out: 40}}\n"
            )
        })
        .collect();
    let mills = mills.concat();
    let text = format!(
        "cutters:\n{mills}  - {{id: vee-60, kind: v-bit, diameter: 12, angle: 60, stick_out: 30}}\n\
         woods: [{{name: ash, thickness: 20, density: 600}}]\nhouse: {{letter: 6, floor: 5}}\n"
    );
    let shop = shop("shop.yaml", &text);
    shop.value.unwrap_or_else(|| panic!("{:?}", shop.findings))
}

/// A plain disc with a name on it.
pub(crate) fn named(person: &str, name: &str, shop: &Shop) -> Examined {
    let text = format!(
        "title: Test\noutline: [{{circle: {{radius: 150}}}}]\nname: {{on: rim, {name}}}\n"
    );
    let read = recipe("test.yaml", &text, "test", None);
    let recipe = read.value.unwrap_or_else(|| panic!("{:?}", read.findings));
    let mut order = specimen(&recipe, Vec::new());
    person.clone_into(&mut order.name);
    examine(&recipe, &order, shop, &Pins::default())
}

const LINE: &str = "along: [[-110, 0], [110, 0]]";

fn parts(examined: &Examined) -> (&Dish, &NameCut, &Plan) {
    let (dish, _, plan) = examined.dish.as_ref().expect("drawn");
    let name = dish.name.as_ref().unwrap_or_else(|| panic!("{:?}", examined.findings));
    (dish, name, plan)
}

fn said(examined: &Examined, code: Code) -> Option<&Finding> {
    examined.findings.iter().find(|finding| finding.code == code)
}

/// A value that a finding offers in words that hold some others.
fn offered(finding: &Finding, words: &str) -> f64 {
    let remedy = finding.remedies.iter().find(|remedy| remedy.text.contains(words));
    let remedy = remedy.unwrap_or_else(|| panic!("{words}: {:?}", finding.remedies));
    remedy.value.expect("a value")
}

#[test]
fn the_panel_is_the_ink_and_its_margin_with_round_corners() {
    let how =
        format!("{LINE}, height: 30, style: raised, panel: {{margin: 7, corner: 4}}");
    let examined = named("I", &how, &rack(&[1.0, 3.0, 6.0]));
    let (dish, name, plan) = parts(&examined);
    let panel = name.panel.as_ref().expect("a panel");
    let (ink, frame) = (name.region.bounds(), panel.outline.bounds());
    assert!((ink.height() - 30.0).abs() < 0.05, "a capital is as high as asked for");
    for (a, b) in [(ink.x0, frame.x0), (ink.y0, frame.y0)] {
        assert!((a - 7.0 - b).abs() < 1e-6, "{frame:?} about {ink:?}");
    }
    for (a, b) in [(ink.x1, frame.x1), (ink.y1, frame.y1)] {
        assert!((a + 7.0 - b).abs() < 1e-6, "{frame:?} about {ink:?}");
    }
    // A rectangle with round corners, closed form.
    let plate = frame.width() * frame.height() - (4.0 - PI) * 16.0;
    assert!((panel.outline.area() - plate).abs() < 0.01, "{}", panel.outline.area());
    let ground = plate - name.region.area();
    assert!((panel.ground.area() - ground).abs() < 0.01, "{}", panel.ground.area());
    assert!((name.depth - 1.5).abs() < 1e-9 && (name.floor - 18.5).abs() < 1e-9);
    // What is taken away: the panel to its depth and nothing of the letter.
    let volume = plan.wood.as_ref().expect("a bill").volume;
    let want = dish.outline.area() * 20.0 - ground * 1.5;
    assert!((volume - want).abs() < 0.1, "{volume} of {want}");
}

#[test]
fn a_panel_bends_with_its_line_and_keeps_its_margin() {
    let shop = rack(&[1.0]);
    let arcs = [
        "through: [[-80, 0], [0, 30], [80, 0]]",
        "through: [[-80, 20], [0, -12], [80, 20]]",
    ];
    for arc in arcs {
        let how = format!(
            "along: {{spline: {{{arc}}}}}, height: 22, style: raised, panel: {{margin: 5, corner: 1.2}}"
        );
        let examined = named("Annegret", &how, &shop);
        let (_, name, _) = parts(&examined);
        let panel = name.panel.as_ref().expect("a panel");
        assert!(name.region.cut(&panel.outline).area() < 1e-6, "letters in their panel");
        let border = Grid::of(&edge(&panel.outline, 0.05), 8.0);
        let ink = edge(&name.region, 0.2);
        let least = ink.iter().map(|p| border.nearest(*p)).fold(f64::INFINITY, f64::min);
        assert!((4.9..5.1).contains(&least), "{arc}: a margin of {least} mm");
        // It bends: a straight plate about the same letters is much larger.
        let frame = panel.outline.bounds();
        assert!(panel.outline.area() < 0.8 * frame.area(), "{arc}");
    }
}

#[test]
fn corners_that_cut_into_the_letters_are_a_stop_with_the_radius_that_does_not() {
    let how = |corner: f64| {
        format!(
            "{LINE}, height: 30, style: raised, panel: {{margin: 3, corner: {corner}}}"
        )
    };
    let shop = rack(&[1.0]);
    let examined = named("HH", &how(14.0), &shop);
    let finding = said(&examined, Code::DrawingFault)
        .unwrap_or_else(|| panic!("{:?}", examined.findings));
    let corner = offered(finding, "corner");
    let again = named("HH", &how(corner), &shop);
    assert!(said(&again, Code::DrawingFault).is_none(), "{corner} mm do");
    assert!(parts(&again).1.panel.is_some());
}

#[test]
fn gaps_too_narrow_are_told_by_letter_and_both_remedies_hold() {
    let how = |height: f64| format!("{LINE}, height: {height}, style: raised");
    let shop = rack(&[3.0]);
    let examined = named("Noelle", &how(20.0), &shop);
    let finding = said(&examined, Code::LetterGapTooNarrow)
        .unwrap_or_else(|| panic!("{:?}", examined.findings));
    assert_eq!(finding.severity, Severity::Stop);
    for words in ["end-3 (3 mm)", "in the e", "of \"Noelle\""] {
        assert!(finding.message.contains(words), "{words}: {}", finding.message);
    }
    let (have, need) = (finding.have.expect("a size"), finding.need.expect("a size"));
    assert!(have < need && (need - 3.0).abs() < 1e-9, "{have} of {need}");
    let finer = offered(finding, "an end mill of");
    assert!((0.5..3.0).contains(&finer), "{finer}");
    let again = named("Noelle", &how(20.0), &rack(&[finer]));
    assert!(said(&again, Code::LetterGapTooNarrow).is_none(), "{finer} mm comes in");
    let high = offered(finding, "mm high");
    assert!(high > 20.0, "{high}");
    let again = named("Noelle", &how(high), &shop);
    assert!((parts(&again).1.height - high).abs() < 1e-6, "there is room for {high} mm");
    assert!(said(&again, Code::LetterGapTooNarrow).is_none(), "{high} mm do");
}

#[test]
fn a_margin_narrower_than_the_cutter_is_a_gap_with_the_margin_that_does() {
    let how = |margin: f64| {
        format!("{LINE}, height: 40, style: raised, panel: {{margin: {margin}}}")
    };
    let shop = rack(&[3.0]);
    let examined = named("I", &how(2.0), &shop);
    let finding = said(&examined, Code::LetterGapTooNarrow).expect("no way round");
    let margin = offered(finding, "margin");
    let again = named("I", &how(margin), &shop);
    assert!(said(&again, Code::LetterGapTooNarrow).is_none(), "{margin} mm do");
}

#[test]
fn a_stroke_that_stands_higher_than_it_is_thick_may_break() {
    let how = |depth: f64| {
        format!("{LINE}, height: 30, style: raised, face: serif, depth: {depth}")
    };
    let shop = rack(&[0.5]);
    let examined = named("Hanna", &how(3.0), &shop);
    let finding = said(&examined, Code::ThinLetter).expect("hairlines");
    let (have, need) = (finding.have.expect("a width"), finding.need.expect("a least"));
    assert!(have < need && (need - 3.0).abs() < 1e-9, "{have} of {need}");
    let depth = offered(finding, "depth");
    assert!(said(&named("Hanna", &how(depth), &shop), Code::ThinLetter).is_none());
}

#[test]
fn a_panel_beyond_its_surface_is_a_stop_with_the_margin_that_fits() {
    let shop = rack(&[1.0]);
    let how = |margin: f64| {
        format!(
            "along: [[-60, 118], [60, 118]], height: 16, style: raised, panel: {{margin: {margin}}}"
        )
    };
    let examined = named("Ida", &how(16.0), &shop);
    let finding = said(&examined, Code::NameDoesNotFit)
        .unwrap_or_else(|| panic!("{:?}", examined.findings));
    assert_eq!(finding.severity, Severity::Stop);
    assert!(finding.message.contains("the panel of \"Ida\""), "{}", finding.message);
    let margin = offered(finding, "margin");
    assert!(said(&named("Ida", &how(margin), &shop), Code::NameDoesNotFit).is_none());
    assert!(
        said(&named("Ida", &how(margin + 0.3), &shop), Code::NameDoesNotFit).is_some()
    );
}

#[test]
fn a_border_thinner_than_it_is_high_is_told_with_its_width() {
    let shop = rack(&[1.0]);
    let mut told = 0;
    for step in 0..12 {
        let y = 126.0 + f64::from(step) * 0.3;
        let how = format!(
            "along: [[-60, {y}], [60, {y}]], height: 16, style: raised, depth: 2"
        );
        let examined = named("Ida", &how, &shop);
        let (dish, name, _) = parts(&examined);
        let panel = name.panel.as_ref().expect("a panel");
        let rim = Grid::of(&edge(&dish.outline, 0.02), 12.0);
        let least = edge(&panel.outline, 0.02)
            .iter()
            .map(|p| if dish.outline.contains(*p) { rim.nearest(*p) } else { 0.0 })
            .fold(f64::INFINITY, f64::min);
        if let Some(finding) = said(&examined, Code::RimTooThin) {
            told += 1;
            let have = finding.have.expect("a width");
            assert!((have - least).abs() < 0.01, "{y}: {have} mm said, {least} measured");
            assert!((finding.need.expect("a least") - 2.0).abs() < 1e-9);
            let away = offered(finding, "farther");
            assert!(have + away >= 2.0, "{have} and {away}");
        } else {
            assert!(!(0.02..1.98).contains(&least), "{y}: {least} mm and nothing said");
        }
    }
    assert!(told >= 2, "told {told} times");
}

#[test]
fn the_maker_may_insist_on_the_cutters_of_a_panel() {
    let shop = rack(&[1.0, 3.0, 6.0]);
    let text = format!(
        "title: Test\noutline: [{{circle: {{radius: 150}}}}]\n\
         name: {{on: rim, {LINE}, height: 30, style: raised}}\n"
    );
    let read = recipe("test.yaml", &text, "test", None).value.expect("readable");
    let mut order = specimen(&read, Vec::new());
    "Noelle".clone_into(&mut order.name);
    let asked = |work: Work, id: &str| {
        let mut pins = Pins::default();
        let source = order.source.clone();
        pins.set(Pin { work, cutter: id.to_owned(), source });
        examine(&read, &order, &shop, &pins)
    };
    let first = asked(Work::Name, "end-6");
    let (.., plan) = parts(&first);
    assert_eq!(cuts(plan, &shop)[0].1.id(), "end-6");
    let refused = asked(Work::NameCorners, "end-6");
    let finding = said(&refused, Code::CutterRefused).expect("it does not come in");
    assert_eq!(finding.severity, Severity::Stop);
    assert!(finding.message.contains("it leaves wood"), "{}", finding.message);
}

#[test]
fn a_short_mill_in_a_deep_recess_is_told_for_the_whole_panel() {
    let text = "cutters:\n\
        - {id: mill, kind: end mill, diameter: 1.5, cutting_length: 6, stick_out: 14}\n\
        - {id: bowl, kind: bowl bit, diameter: 12, corner_radius: 2, cutting_length: 14, stick_out: 40}\n\
        - {id: out, kind: end mill, diameter: 6, cutting_length: 25, stick_out: 40}\n\
        woods: [{name: ash, thickness: 20}]\nhouse: {letter: 6, floor: 5}\nmachine: {collet_nut: 30}\n";
    let shop = shop("shop.yaml", text);
    let shop = shop.value.unwrap_or_else(|| panic!("{:?}", shop.findings));
    let at = |y: f64| {
        let text = format!(
            "title: Test\noutline: [{{circle: {{radius: 90}}}}]\nrim: 12\n\
             recess: {{follow: outline, keep_floor: 5 mm}}\n\
             name: {{on: floor, along: [[-40, {y}], [40, {y}]], height: 16, style: raised}}\n"
        );
        let read = recipe("test.yaml", &text, "test", None);
        let read = read.value.unwrap_or_else(|| panic!("{:?}", read.findings));
        let mut order = specimen(&read, Vec::new());
        "Ida".clone_into(&mut order.name);
        examine(&read, &order, &shop, &Pins::default())
    };
    let near = at(-62.0);
    assert!(said(&near, Code::ColletNutHitsRim).is_some(), "{:?}", near.findings);
    let middle = at(-8.0);
    assert!(said(&middle, Code::ColletNutHitsRim).is_none(), "{:?}", middle.findings);
}

#[test]
fn sheets_of_raised_and_sunk_names_are_in_order() {
    let shop = rack(&[1.0, 3.0]);
    for style in ["raised", "sunk", "raised, face: hand"] {
        let examined =
            named("Ingeborg", &format!("{LINE}, height: 24, style: {style}"), &shop);
        let (dish, report, plan) = examined.dish.as_ref().expect("drawn");
        in_order(style, &proof(dish, report, plan, &shop));
        for page in bench(dish, report, plan, &shop) {
            in_order(style, &page);
        }
    }
}

fn cuts<'p>(plan: &'p Plan, shop: &'p Shop) -> Vec<(&'p Operation, &'p Cutter)> {
    let named = |op: &&Operation| matches!(op.work, Work::Name | Work::NameCorners);
    let cutter = |op: &Operation| shop.cutters.iter().find(|c| c.id() == op.cutter);
    let cuts = plan.operations.iter().filter(named);
    cuts.map(|op| (op, cutter(op).expect("on the rack"))).collect()
}

/// Holds every place of the tip in the wood against all points of the edge of the ground: the
/// disc of the cutter stays within it. What the discs of all cuts miss at the full depth of
/// what can be cut is told in mm.
fn held(examined: &Examined, shop: &Shop, what: &str) -> f64 {
    let (dish, name, plan) = parts(examined);
    let ground = name.ground();
    let edges = Grid::of(&edge(ground, 0.01), 4.0);
    let floor = dish.surface_depth(name.on) + name.depth;
    let mut covered: Vec<(Grid, f64)> = Vec::new();
    for (operation, cutter) in cuts(plan, shop) {
        let route =
            operation.route.as_ref().unwrap_or_else(|| panic!("{what}: no moves"));
        let mut deepest = Vec::new();
        let mut places = 0;
        for passage in route.passages().filter(|p| p.step.pace != Pace::Traverse) {
            for place in along(&passage, 0.1) {
                if place.z > -dish.surface_depth(name.on) - 1e-6 {
                    continue;
                }
                places += 1;
                assert!(
                    ground.contains(place.plan()),
                    "{what}: {place:?} is off the ground"
                );
                // Half the spacing of the points may be added to the true distance.
                let away = edges.nearest(place.plan());
                assert!(
                    away >= cutter.radius() - 0.002,
                    "{what}: {} comes within {away} mm at {place:?}",
                    cutter.id()
                );
                if place.z < -floor + 1e-6 {
                    deepest.push(place.plan());
                }
            }
        }
        assert!(places > 50, "{what}: {} cuts in {places} places", cutter.id());
        assert!((route.depth() - floor).abs() < 1e-6, "{what}: {} deep", route.depth());
        covered.push((Grid::of(&deepest, 4.0), cutter.radius()));
    }
    let cut = pocketed(dish, plan, shop).expect("what is cut away");
    missed(&cut, &covered)
}

/// How far from any disc the worst point of a region is, looked at every 0.4 mm, mm.
fn missed(cut: &Region, covered: &[(Grid, f64)]) -> f64 {
    let frame = cut.bounds();
    let count = |length: f64| (length / 0.4) as u32;
    let mut worst = 0.0_f64;
    for i in 0..=count(frame.width()) {
        for j in 0..=count(frame.height()) {
            let p =
                Point::new(frame.x0 + 0.4 * f64::from(i), frame.y0 + 0.4 * f64::from(j));
            if cut.contains(p) {
                let miss = covered.iter().map(|(grid, r)| grid.nearest(p) - r);
                worst = worst.max(miss.fold(f64::INFINITY, f64::min));
            }
        }
    }
    worst
}

#[test]
fn no_move_cuts_a_raised_letter_or_beyond_the_panel_and_all_else_is_cleared() {
    let shop = rack(&[1.0, 3.0]);
    let line = format!("{LINE}, height: 24, style: raised");
    let arc = "along: {spline: {through: [[-90, 0], [0, 25], [90, 0]]}}, height: 20, style: raised";
    let hand = format!("{LINE}, height: 26, style: raised, face: hand");
    for (person, how) in
        [("Noelle", line.as_str()), ("Zoë", &line), ("Ágnes", arc), ("Bob", &hand)]
    {
        let examined = named(person, how, &shop);
        let what = format!("{person}, {how}");
        let stops = examined.findings.iter().filter(|f| f.severity == Severity::Stop);
        assert_eq!(stops.count(), 0, "{what}: {:?}", examined.findings);
        let miss = held(&examined, &shop, &what);
        println!("{what}: {miss:.4} mm missed");
        assert!(miss <= 0.01, "{what}: {miss} mm are missed");
    }
}

#[test]
fn sunk_letters_are_cut_as_far_as_the_mill_comes_and_no_farther() {
    let shop = rack(&[1.0, 3.0]);
    let set = "height: 28, style: sunk, face: sans bold";
    // Letters of the hand are as wide as the cutter: it follows their middle.
    let hand = "height: 24, style: sunk";
    for (person, how) in [("Milo", set), ("Ömer", set), ("Freya", hand)] {
        let examined = named(person, &format!("{LINE}, {how}"), &shop);
        let what = format!("{person}, {how}");
        let (dish, name, plan) = parts(&examined);
        let cuts = cuts(plan, &shop);
        assert_eq!(cuts.len(), 1, "{what}");
        let cut = pocketed(dish, plan, &shop).expect("what is cut away");
        let lost = name.region.area() - cut.area();
        if name.pen.is_some() {
            assert!(lost.abs() < 0.01, "{what}: {lost} mm² stay");
            continue;
        }
        // The opening by the cutter leaves corners and no more.
        assert!((0.0..0.05 * name.region.area()).contains(&lost), "{what}: {lost} mm²");
        let round = said(&examined, Code::LetterCornersRound).expect("sharp corners");
        assert!(round.message.contains(cuts[0].1.id()), "{}", round.message);
        let miss = held(&examined, &shop, &what);
        assert!(miss <= 0.01, "{what}: {miss} mm are missed");
    }
}

#[test]
fn a_large_mill_clears_and_a_fine_one_follows_where_that_is_quicker() {
    let how = format!("{LINE}, height: 30, style: raised, panel: {{margin: 25}}");
    let shop = rack(&[1.0, 6.0]);
    let examined = named("Noelle", &how, &shop);
    let (.., plan) = parts(&examined);
    let chosen: Vec<(Work, &str)> = cuts(plan, &shop)
        .into_iter()
        .map(|(op, cutter)| (op.work, cutter.id()))
        .collect();
    assert_eq!(chosen, [(Work::Name, "end-6"), (Work::NameCorners, "end-1")]);
    let alone = named("Noelle", &how, &rack(&[1.0]));
    let minutes = |examined: &Examined, shop: &Shop| -> f64 {
        let (.., plan) = parts(examined);
        cuts(plan, shop).iter().map(|(op, _)| op.minutes + plan.tool_change).sum()
    };
    let fine = rack(&[1.0]);
    assert!(minutes(&examined, &shop) < minutes(&alone, &fine), "the pair is quicker");
    let miss = held(&examined, &shop, "a pair");
    assert!(miss <= 0.01, "{miss} mm are missed");
}

/// Every shape of the library with its name in every style: nothing breaks, and where nothing
/// is in the way there is a name with its moves.
#[test]
fn every_shape_takes_every_style() {
    let mut shop = demo_shop();
    shop.cutters.extend(rack(&[1.5]).cutters.into_iter().take(1));
    let (mut made, mut seen) = (std::collections::BTreeMap::new(), 0);
    for (key, text) in demo::RECIPES {
        for (word, style) in [
            ("vee", NameStyle::Vee),
            ("sunk", NameStyle::Sunk),
            ("raised", NameStyle::Raised),
            ("line", NameStyle::Line),
        ] {
            let text = text.replace("style: vee", &format!("style: {word}"));
            let Some(recipe) = recipe(key, &text, key, None).value else {
                panic!("{key} in {word} is not read");
            };
            let Some(area) = &recipe.name else { continue };
            assert_eq!(area.style, style, "{key}");
            let mut order = specimen(&recipe, Vec::new());
            "Mira".clone_into(&mut order.name);
            let examined = examine(&recipe, &order, &shop, &Pins::default());
            let (dish, _, plan) = examined.dish.as_ref().expect("drawn");
            seen += 1;
            let stop = examined.findings.iter().find(|f| f.severity == Severity::Stop);
            if let Some(stop) = stop {
                println!("{key} in {word}: {}", stop.message);
                continue;
            }
            *made.entry(word).or_insert(0) += 1;
            assert!(dish.name.is_some(), "{key} in {word}: a name");
            let cut = plan.operations.iter().find(|op| op.work == Work::Name);
            let route = cut.and_then(|op| op.route.as_ref());
            assert!(route.is_some_and(|r| r.length(Pace::Cut) > 10.0), "{key} in {word}");
        }
    }
    println!("{made:?} of {seen}");
    assert!(seen >= 160, "{seen} dishes");
    for word in ["vee", "sunk", "raised", "line"] {
        assert!(made[word] * 4 > seen / 4 * 2, "{word}: {made:?}");
    }
}

fn demo_shop() -> Shop {
    shop("shop.yaml", demo::SHOP).value.expect("the demo's shop")
}
