//! What the sheets say in our own words: for the customer, for the bench.

use crate::finding::Code;

/// Why a dish cannot be made as drawn, for somebody who has never seen a router.
pub(super) fn reason(code: Code) -> &'static str {
    let known = REASONS.iter().find(|(codes, _)| codes.contains(&code));
    known.map_or("The drawing needs a change first.", |(_, words)| words)
}

const REASONS: [(&[Code], &str); 17] = [
    (
        &[Code::OutlineTooTight],
        "A corner or gap of the outline is narrower than the tool that cuts it out.",
    ),
    (
        &[Code::RecessCornerUnreached, Code::RecessNeedsSmallerCutter],
        "A corner of the hollow is tighter than the tools that carve it.",
    ),
    (&[Code::SeparatePlunge], "A part of the hollow is cut off from the rest."),
    (&[Code::NeckTooThin], "The wood would be so narrow in one place that it may break."),
    (&[Code::RimTooThin], "The rim would be too thin in one place."),
    (&[Code::FloorTooThin], "The floor would be too thin."),
    (
        &[Code::CutDeeperThanStickout, Code::CutDeeperThanFlute],
        "The dish is deeper than the tools can work.",
    ),
    (
        &[Code::StrokeTooThinForCutter],
        "The finest strokes of the name are thinner than the tool that carves them.",
    ),
    (
        &[Code::LetterGapTooNarrow],
        "Gaps between the raised letters are narrower than the tool that clears them.",
    ),
    (&[Code::LettersTooClose], "Letters of the name touch each other."),
    (
        &[Code::NameDoesNotFit],
        "The name is too long for its place at a size that can be carved.",
    ),
    (&[Code::MissingLetter], "The lettering lacks a character of the name."),
    (&[Code::SharpTip], "A tip of the outline is too sharp for small hands."),
    (&[Code::StockTooSmall], "The dish is larger than the board or the machine."),
    (&[Code::LoosePiece], "The outline falls into pieces that do not hold together."),
    (&[Code::CutterNotOnRack], "The workshop has no tool for one of the cuts."),
    (
        &[Code::RecessVanishes, Code::RecessOutsideOutline],
        "The hollow and the outline do not go together at this size.",
    ),
];

/// How to look after a dish.
pub(super) const CARE: [&str; 3] = [
    "Wash by hand in warm water with a little mild soap, wipe dry and let it stand on edge to \
     air. No soaking, no dishwasher, no oven, no microwave.",
    "The finish keeps water and stains out; renew it when the wood looks dry and pale. Only \
     use a finish whose maker says it is for contact with food, let it cure for the whole time \
     its maker states, and follow its maker wherever this sheet says otherwise.",
    "Some oils come from nuts: walnut oil above all. Tell us of any allergy before we finish \
     the dish.",
];

/// What was and was not checked.
pub(super) const GEOMETRY_ONLY: &str = "What was checked is geometry: sizes, thicknesses and \
     whether the tools can follow the shape. Nothing here is a statement about materials, \
     finishes or the law. Dishes are outside the United States small-parts rule for toys (16 \
     CFR 1501.3(e)); other rules for children’s and food-contact articles may apply where the \
     dish is sold or used. Colours and grain are drawn, not photographed: every board differs.";

/// Before the first cut.
pub(super) const CHECKLIST: [&str; 7] = [
    "First dish of a new recipe or a new cutter: in scrap.",
    "Board flat and dry, no loose knots or checks; thickness measured.",
    "Clamps and screws outside every cut and the collet nut’s path.",
    "Each cutter measured; depth tried with the real bit in an off-cut.",
    "Tabs or tape: the dish cannot come loose in the last pass.",
    "Edges, tips and leftovers broken by hand, smooth to a thumb.",
    "Finish for food contact by its maker’s word, fully cured.",
];

/// While it runs.
pub(super) const CAUTIONS: [&str; 7] = [
    "Eye and hearing protection on.",
    "Extraction on; a mask that suits fine wood dust.",
    "Hands, sleeves, hair and cords away from a turning cutter.",
    "Never reach in to clear chips: stop, and wait for standstill.",
    "Stay beside a running machine; change cutters with its power off.",
    "Small parts and off-cuts can be thrown: hold them or leave a web.",
    "Speed and feed are starting points: confirm them with the cutter’s chart.",
];

/// Last line of the bench sheet.
pub(super) const FIRST: &str = "Local codes and the instructions of the makers of machine, \
     cutters, glue and finish come before anything on this sheet.";
