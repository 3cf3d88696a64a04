//! What the bench sheet says beside figures. What the proof says is in `tongue.rs`.

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
