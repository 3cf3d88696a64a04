//! The stable words for everything that may be found.

macro_rules! codes {
    ($($variant:ident $word:literal $explanation:literal;)+) => {
        /// A stable kebab-case word for one kind of finding.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Code {
            $(#[doc = $explanation] $variant,)+
        }

        impl Code {
            /// Every code, in the order of this file.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];

            /// The word printed for it.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)+ }
            }

            /// The code of a word, as written in lower case.
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|code| code.word() == word)
            }

            /// What it means, why it matters and what to do, for `treen explain`.
            pub const fn explanation(self) -> &'static str {
                match self { $(Self::$variant => $explanation,)+ }
            }
        }
    };
}

codes! {
    OutlineTooTight "outline-too-tight"
        "The outline has an inside corner or a gap that is narrower than the profile cutter, so the cutter leaves wood there.";
    RecessCornerUnreached "recess-corner-unreached"
        "A corner of the recess is tighter than every recess cutter that could carve it, so wood stays in the corner.";
    RecessNeedsSmallerCutter "recess-needs-smaller-cutter"
        "The largest recess cutter does not reach everywhere; a smaller one on the rack can follow after it.";
    SeparatePlunge "separate-plunge"
        "The cutter fits into this part only by plunging there again: the passage to it is narrower than the cutter.";
    NeckTooThin "neck-too-thin"
        "The wood is narrower here than the house rule allows and may break in use.";
    RimTooThin "rim-too-thin"
        "The wood between recess and outline is thinner than the house rule allows, or the border of a panel beside an edge is thinner than it is high.";
    FloorTooThin "floor-too-thin"
        "The wood left below a recess or a carved name is thinner than the house rule allows.";
    CutDeeperThanStickout "cut-deeper-than-stickout"
        "The cut is deeper than what stands out of the collet less the collet margin, so the nut would touch the wood.";
    CutDeeperThanFlute "cut-deeper-than-flute"
        "The cut is deeper than the flutes are long, so the shank rubs on the wall.";
    ColletNutHitsRim "collet-nut-hits-rim"
        "The tip works so deep in a recess that the collet nut is below the face of the board, and it comes nearer to the rim than its radius and the collet margin.";
    CutterTouchesWall "cutter-touches-wall"
        "Above its tip the cutter is wider than the room to the wall of the recess beside it, or its tip wider than the groove it runs in, so it would cut or rub there.";
    EdgeDeeperThanRecess "edge-deeper-than-recess"
        "The round asked for at the recess's edge reaches down to the floor of the recess or to the curve at the foot of its wall, so the tip of its bit would cut there.";
    StrokeTooThinForCutter "stroke-too-thin-for-cutter"
        "The thinnest stroke of the name is narrower than the narrowest groove the cutter makes.";
    LetterGapTooNarrow "letter-gap-too-narrow"
        "Between raised letters, or within one, there are gaps that the finest end mill does not come into, so wood stays in them as high as the letters.";
    ThinLetter "thin-letter"
        "A stroke of a raised letter stands higher than it is thick and may break off: common practice, no source.";
    LetterCornersRound "letter-corners-round"
        "Corners of sunk letters, or of the ground around raised ones, come out as round as the end mill that cuts them.";
    LettersTooClose "letters-too-close"
        "Two strokes of the name touch, or the wood between them is so thin that it may break out.";
    NameDoesNotFit "name-does-not-fit"
        "The name does not fit into its area at the least letter height of the house.";
    MissingLetter "missing-letter"
        "No face has a letter for a character of the name, or another face than the one asked for lends it.";
    SharpTip "sharp-tip"
        "The outline ends in an acute tip that should be rounded for small hands.";
    StockTooSmall "stock-too-small"
        "The board or the machine's travel is smaller than the dish needs.";
    LoosePiece "loose-piece"
        "The outline falls into several pieces, so the dish would not hold together.";
    CutterNotOnRack "cutter-not-on-rack"
        "No cutter of the kind this cut needs is on the rack, or a named cutter is not.";
    CutterRefused "cutter-refused"
        "A cutter asked for by name cannot do this work on this dish.";
    CutterAskedFor "cutter-asked-for"
        "What a cutter asked for by name costs in minutes and tool changes against the free choice.";
    StepoverTooCoarse "stepover-too-coarse"
        "The last pass over the floor steps over by more than is usual, so cusps or ridges may be seen and felt.";
    FirstPassAboveUpcut "first-pass-above-upcut"
        "The first pass of a compression bit must go deeper than its up-cut part, or the top edge tears; that is more than its stepdown.";
    NoPlaceForTabs "no-place-for-tabs"
        "Along the outline there is no room for as many holding tabs as it should have, clear of tight curves, leftovers and the thinnest neck.";
    WoodMoves "wood-moves"
        "The dish is wide across the grain, so it swells and shrinks with the seasons by more than the house rule.";
    UnreadableFile "unreadable-file"
        "A file could not be read, or is not text in UTF-8.";
    YamlSyntax "yaml-syntax"
        "The text is not valid YAML.";
    CsvSyntax "csv-syntax"
        "The text is not valid CSV, or a row has another number of fields than the head.";
    InputTooLarge "input-too-large"
        "The input is larger, deeper or unfolds to more than anything written by hand; it was not read further.";
    UnknownKey "unknown-key"
        "A key that this kind of file does not have.";
    DuplicateKey "duplicate-key"
        "The same key is written twice in one place.";
    MissingKey "missing-key"
        "A key that must be there is not.";
    WrongType "wrong-type"
        "A value is of another kind than its key takes.";
    UnknownWord "unknown-word"
        "A word that is not one of those allowed here.";
    BadUnit "bad-unit"
        "A length or angle that cannot be read.";
    BadNumber "bad-number"
        "A number that is NaN, infinite or out of its range.";
    OutOfRange "out-of-range"
        "A parameter lies outside the range its recipe states.";
    UnknownParameter "unknown-parameter"
        "An order sets a parameter that its recipe does not have.";
    FormulaSyntax "formula-syntax"
        "A formula that cannot be read.";
    UnknownName "unknown-name"
        "A formula uses a name that is neither a parameter nor a `let`.";
    FormulaCycle "formula-cycle"
        "Names in `let` are defined by each other in a circle.";
    FormulaValue "formula-value"
        "A formula gives NaN or infinity.";
    BadCutter "bad-cutter"
        "The dimensions of a cutter contradict each other.";
    UnknownRecipe "unknown-recipe"
        "An order names a recipe that is not in the library nor beside the orders.";
    UnknownWood "unknown-wood"
        "An order names a wood that the shop does not have.";
    DuplicateId "duplicate-id"
        "Two orders, cutters or woods share one name.";
    BadId "bad-id"
        "An order's id cannot serve as a file name.";
    SelfCrossing "self-crossing"
        "A drawn curve crosses itself.";
    EmptyOutline "empty-outline"
        "The drawing has no area.";
    OpenOutline "open-outline"
        "A curve that must be closed is open.";
    RecessVanishes "recess-vanishes"
        "The recess has no area left.";
    RecessOutsideOutline "recess-outside-outline"
        "The recess reaches beyond the outline.";
    DrawingFault "drawing-fault"
        "A drawing operation cannot be carried out with these numbers.";
    SvgFault "svg-fault"
        "An SVG file cannot serve as an outline.";
    FontFault "font-fault"
        "A font that a recipe asks for is not there, or is none to write with.";
    PartUnfit "part-unfit"
        "A part of a batch is missing, there twice, cut off, or made from something else than the others, so they cannot be joined.";
    ChangedSinceApproval "changed-since-approval"
        "The dish is another than the one whose proof the customer approved; it is to be shown and approved again.";
    ChangeAsked "change-asked"
        "The customer asked for a change of this very proof, and nothing has been changed since.";
    UnknownOrder "unknown-order"
        "No proof of an order of that id is in the folder.";
    NothingToApprove "nothing-to-approve"
        "A dish that cannot be made as drawn cannot be approved.";
    UnwritableFile "unwritable-file"
        "An output file or folder could not be written; nothing is left half-written.";
    NoPage "no-page"
        "The local page could not be opened: another program has its port, or the system refused.";
    Internal "internal"
        "Something that should not happen did; the dish was left out and the rest went on.";
}

impl Code {
    /// Whether it speaks of a disk that failed or of a bug, not of an input.
    pub const fn broke(self) -> bool {
        matches!(self, Self::Internal | Self::UnwritableFile | Self::NoPage)
    }
}
