//! Names cut along their centre lines, and what is said of letters that do not come out.

use treen::batch::{Examined, examine, specimen};
use treen::feasibility::Pins;
use treen::finding::{Code, Finding, RemedyKind, Severity};
use treen::intake::{recipe, shop};
use treen::plan::Work;

const RACK: &str = "cutters:\n  \
    - {id: vee-60, kind: v-bit, diameter: 12, angle: 60, stick_out: 30}\n  \
    - {id: end-3, kind: end mill, diameter: 3.175, cutting_length: 12, stick_out: 25}\n  \
    - {id: end-6, kind: end mill, diameter: 6, cutting_length: 25, stick_out: 40}\n  \
    - {id: ball-2, kind: ball nose, diameter: 2, cutting_length: 8, stick_out: 25}\n\
    woods: [{name: ash, thickness: 20}]\nhouse: {letter: 6}\n";

/// A plain disc with a name on it.
fn named(person: &str, name: &str) -> Examined {
    named_with(RACK, person, name)
}

fn named_with(rack: &str, person: &str, name: &str) -> Examined {
    let shop = shop("shop.yaml", rack);
    let shop = shop.value.unwrap_or_else(|| panic!("{:?}", shop.findings));
    let text = format!(
        "title: Test\noutline: [{{circle: {{radius: 90}}}}]\n\
         name: {{on: rim, along: [[-70, 0], [70, 0]], {name}}}\n"
    );
    let read = recipe("test.yaml", &text, "test", None);
    let recipe = read.value.unwrap_or_else(|| panic!("{:?}", read.findings));
    let mut order = specimen(&recipe, Vec::new());
    person.clone_into(&mut order.name);
    examine(&recipe, &order, &shop, &Pins::default())
}

/// The pen of the name, its height, and the cutter and depth of its cut, mm.
fn cut(examined: &Examined) -> (f64, f64, String, f64) {
    let (dish, .., plan) = examined.dish.as_ref().expect("drawn");
    let name = dish.name.as_ref().expect("a name");
    let op = plan.operations.iter().find(|op| op.work == Work::Name).expect("it is cut");
    (name.pen.expect("a pen"), name.height, op.cutter.clone(), op.depth)
}

fn said(examined: &Examined, code: Code) -> Option<&Finding> {
    examined.findings.iter().find(|finding| finding.code == code)
}

#[test]
fn the_pen_is_as_wide_as_a_cutter_that_suits_the_height() {
    for (height, pen, cutter) in
        [(24.0, 3.175, "end-3"), (15.0, 2.0, "ball-2"), (50.0, 6.0, "end-6")]
    {
        let examined = named("Ida", &format!("height: {height}, style: line"));
        let found = cut(&examined);
        assert_eq!(found.2, cutter, "{height}: {found:?}");
        assert!((found.0 - pen).abs() < 1e-12, "{height}: {found:?}");
        // As deep as half the width, so that a ball nose is as wide as the stroke.
        assert!((found.3 - pen / 2.0).abs() < 1e-9, "{height}: {found:?}");
    }
}

#[test]
fn a_name_that_shrinks_gets_a_finer_pen() {
    let (pen, height, cutter, _) = cut(&named("Maximiliane", "height: 30, style: line"));
    assert!(height < 24.0, "it shrank to {height}");
    assert!(pen / height < 0.165, "{pen} at {height}");
    assert!(cutter == "end-3" || cutter == "ball-2", "{cutter}");
}

#[test]
fn a_stroke_no_cutter_makes_is_a_stop_with_one_that_does() {
    let examined = named("Ida", "height: 24, style: line, stroke: 2.6");
    let finding =
        said(&examined, Code::CutterNotOnRack).expect("no cutter is 2.6 mm wide");
    assert_eq!(finding.severity, Severity::Stop);
    let width = finding.remedies[0].value.expect("a width");
    let again = named("Ida", &format!("height: 24, style: line, stroke: {width}"));
    assert!(said(&again, Code::CutterNotOnRack).is_none(), "{width} does it");
}

#[test]
fn letters_without_a_centre_line_are_not_cut_along_it() {
    let examined = named("Ida", "height: 24, style: line, face: serif");
    let finding =
        said(&examined, Code::DrawingFault).expect("a serif has no centre line");
    assert_eq!(finding.severity, Severity::Stop);
    assert!(finding.message.contains("serif"), "{}", finding.message);
}

#[test]
fn thin_wood_is_told_by_letter_and_its_remedy_holds() {
    let wording = "height: 7, style: line, stroke: 1.2";
    let examined = named("Noelle", wording);
    let finding = said(&examined, Code::LettersTooClose)
        .unwrap_or_else(|| panic!("{:?}", examined.findings));
    assert!(finding.message.contains("the e of \"Noelle\""), "{}", finding.message);
    let (have, need) = (finding.have.expect("a width"), finding.need.expect("a least"));
    assert!(have < need && have > 0.05, "{have} of {need}");
    let stroke = finding.remedies[0].value.expect("a stroke");
    let again = named("Noelle", &format!("height: 7, style: line, stroke: {stroke}"));
    assert!(said(&again, Code::LettersTooClose).is_none(), "stroke {stroke}");
}

#[test]
fn what_cannot_be_written_is_named_with_what_can() {
    let picture = named("Ana😀", "height: 24, face: hand");
    let finding = said(&picture, Code::MissingLetter).expect("a picture");
    assert!(finding.message.contains("U+1F600"), "{}", finding.message);
    assert!(finding.remedies[0].text.contains("picture"), "{:?}", finding.remedies);
    let other = named("Դավիթ", "height: 24, face: hand");
    let finding = said(&other, Code::MissingLetter).expect("no Armenian in the hand");
    assert!(finding.remedies[0].text.contains("`face: "), "{:?}", finding.remedies);
}

#[test]
fn the_hand_is_sunk_and_carved_too() {
    let sunk = named("Zoë", "height: 24, style: sunk, face: hand");
    assert_eq!(cut(&sunk).2, "end-3");
    let carved = named("Zoë", "height: 24, style: vee, face: hand");
    let (pen, height, cutter, _) = cut(&carved);
    assert_eq!(cutter, "vee-60");
    assert!((pen / height - 0.12).abs() < 1e-9, "{pen} at {height}");
}

/// A V-bit whose tip is wider than the hairlines of a face: each way out that is offered is
/// taken, and the finding goes.
#[test]
fn a_tip_too_flat_for_hairlines_gets_ways_out_that_hold() {
    let rack = RACK.replace("angle: 60,", "angle: 60, tip_flat: 0.9,");
    let code = Code::StrokeTooThinForCutter;
    let name = "height: 16, style: vee, face: roman";
    let examined = named_with(&rack, "Noelle", name);
    let finding = said(&examined, code).expect("hairlines");
    assert_eq!(finding.severity, Severity::Stop);
    assert!(finding.message.contains(" of \"Noelle\" is "), "{}", finding.message);
    let kinds: Vec<RemedyKind> = finding.remedies.iter().map(|r| r.kind).collect();
    let wanted = [RemedyKind::Parameter, RemedyKind::Cutter, RemedyKind::Edit];
    assert_eq!(kinds, wanted, "{:?}", finding.remedies);
    let value = |at: usize| finding.remedies[at].value.expect("a number");
    let tall = name.replace("height: 16", &format!("height: {}", value(0) + 0.001));
    assert!(said(&named_with(&rack, "Noelle", &tall), code).is_none(), "{tall}");
    let finer = rack.replace("tip_flat: 0.9", &format!("tip_flat: {}", value(1) - 0.001));
    assert!(said(&named_with(&finer, "Noelle", name), code).is_none(), "{finer}");
    let text = &finding.remedies[2].text;
    let face = text.split('`').nth(1).expect("a face in marks");
    let bold = name.replace("face: roman", face);
    assert!(said(&named_with(&rack, "Noelle", &bold), code).is_none(), "{bold}");
}
