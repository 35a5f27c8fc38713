//! `[bender]` of shop.toml: what plate is bent with here, machine by machine and tool by tool.

use super::*;

/// No machine's book asks for more corners of a section; each costs time at every bend that is tried.
pub(crate) const MOST_CORNERS: usize = 200;
/// More pieces than these are no set that anyone puts side by side.
const MOST_PIECES: usize = 60;
const MOST_MACHINES: usize = 10;
const MOST_TOOLS: usize = 60;

const NUMBER: Takes = Takes::Number;
const TEXT: Takes = Takes::Text;
const PER_LENGTH: Takes = Takes::Sum(Kind::PerLength);
const PIECES: Takes = Takes::List {
    of: &LENGTH,
    least: 1,
    most: MOST_PIECES,
};

/// What is not said here is as the starter set has it.
const LIKE: Key = may(
    "like",
    Takes::Word(&["starter"]),
    "what is not said of this one is taken as the starter set has it",
    "\"starter\"",
);

/// A corner of a section: across and up, or these with what is done to it.
const CORNER_AT: Takes = Takes::Either(&[
    TWO_LENGTHS,
    Takes::Table(&[
        must(
            "at",
            TWO_LENGTHS,
            "the corner, across and up",
            "[\"12 mm\", \"44 mm\"]",
        ),
        must("corner", Takes::Corner, "what is done to it", "\"round 2 mm\""),
    ]),
]);

const DRAWN: Takes = Takes::List {
    of: &CORNER_AT,
    least: 3,
    most: MOST_CORNERS,
};

const BLOCK: Shape = Shape {
    lead: "from",
    keys: &[
        must(
            "from",
            TWO_LENGTHS,
            "one corner of a plain bar, across and up",
            "[\"-30 mm\", \"0 mm\"]",
        ),
        must(
            "to",
            TWO_LENGTHS,
            "the corner across from that",
            "[\"60 mm\", \"400 mm\"]",
        ),
    ],
};

const DRAWING: Shape = Shape {
    lead: "dxf",
    keys: &[
        must("dxf", TEXT, "a drawing beside shop.toml", "\"punch.dxf\""),
        may(
            "units",
            Takes::Word(&["mm", "in"]),
            "the unit of its numbers, where the drawing does not say it",
            "\"mm\"",
        ),
        may(
            "piece",
            Takes::Whole,
            "which of its closed shapes, the largest being 1",
            "1",
        ),
        may(
            "zero",
            TWO_LENGTHS,
            "the place in the drawing that is 0, 0 of the section",
            "[\"42 mm\", \"17 mm\"]",
        ),
    ],
};

const LEANING: Shape = Shape {
    lead: "foot",
    keys: &[
        must(
            "foot",
            LENGTH,
            "how much of the finger lies on the plate",
            "\"90 mm\"",
        ),
        must(
            "lean",
            ANGLE,
            "how far its front leans back from upright",
            "\"34 deg\"",
        ),
    ],
};

/// A section: the name of a drawing, corners, a plain bar, or a drawing with what it leaves open.
const SECTION: Takes = Takes::Either(&[TEXT, DRAWN, Takes::Shapes(&[BLOCK, DRAWING])]);
const FINGER: Takes = Takes::Either(&[TEXT, DRAWN, Takes::Shapes(&[BLOCK, DRAWING, LEANING])]);

const CAPACITY: Takes = Takes::Table(&[
    may("steel", LENGTH, "the thickest steel", "\"1.5 mm\""),
    may("stainless", LENGTH, "the thickest stainless", "\"1 mm\""),
    may("aluminium", LENGTH, "the thickest aluminium", "\"2 mm\""),
]);

pub(crate) const BRAKE: &[Key] = &[
    must("name", TEXT, "what the brake is called", "\"the old brake\""),
    LIKE,
    may("length", LENGTH, "the longest bend", "\"1250 mm\""),
    may(
        "between_uprights",
        LENGTH,
        "between the uprights; a wider part goes only so deep as the throat",
        "\"1050 mm\"",
    ),
    may(
        "throat",
        LENGTH,
        "from the bend line back to the uprights",
        "\"200 mm\"",
    ),
    may("force", FORCE, "what it presses with", "\"300 kN\""),
    may(
        "daylight",
        LENGTH,
        "from bed to ram with the ram up and no tools",
        "\"320 mm\"",
    ),
    may("stroke", LENGTH, "how far the ram comes down", "\"100 mm\""),
    may(
        "ram",
        SECTION,
        "section of the ram: 0, 0 where the punch seats, upward; x to the back",
        "{ from = [\"-30 mm\", \"0 mm\"], to = [\"60 mm\", \"400 mm\"] }",
    ),
    may(
        "bed",
        SECTION,
        "section of the bed: 0, 0 where the die stands, downward",
        "{ from = [\"-14 mm\", \"0 mm\"], to = [\"14 mm\", \"-600 mm\"] }",
    ),
    may(
        "gauge",
        TWO_LENGTHS,
        "the nearest and the farthest that the back gauge stands from the bend line",
        "[\"6 mm\", \"500 mm\"]",
    ),
];

const STRAIGHT: &[Key] = &[
    must(
        "blade",
        LENGTH,
        "thickness of the blade over the nose",
        "\"11 mm\"",
    ),
    must(
        "up_to",
        LENGTH,
        "the blade is so thin up to this height",
        "\"60 mm\"",
    ),
    must("seat", LENGTH, "thickness at the seat", "\"26 mm\""),
];

const RELIEVED: &[Key] = &[
    must(
        "set_back",
        LENGTH,
        "how far the front of the neck stands behind the nose",
        "\"12 mm\"",
    ),
    must("neck", LENGTH, "thickness of the neck", "\"26 mm\""),
    must(
        "hollow",
        TWO_LENGTHS,
        "the neck is set back between these heights",
        "[\"44 mm\", \"62 mm\"]",
    ),
    must("seat", LENGTH, "thickness at the seat", "\"26 mm\""),
    must("seat_high", LENGTH, "height of the seat", "\"14 mm\""),
];

const LENGTH_OF_TOOL: Key = may("length", LENGTH, "its length, when it is one piece", "\"300 mm\"");
const LENGTHS_OF_TOOL: Key = may(
    "lengths",
    PIECES,
    "its pieces, which are put side by side, each once",
    "[\"10 mm\", \"15 mm\", \"20 mm\", \"100 mm\", \"300 mm\"]",
);
const STANDS: Key = must("stands", PER_LENGTH, "the most force it stands", "\"1000 N/mm\"");

pub(crate) const PUNCH: &[Key] = &[
    must("name", TEXT, "what the punch is called", "\"long nose 85\""),
    must("angle", ANGLE, "between the flanks of its nose", "\"85 deg\""),
    must("nose", LENGTH, "radius of its nose", "\"1 mm\""),
    may(
        "height",
        LENGTH,
        "from nose to seat; a drawn section says it by itself",
        "\"100 mm\"",
    ),
    may(
        "profile",
        SECTION,
        "its section: nose at 0, 0, upward; x to the back",
        "\"punch.dxf\"",
    ),
    may(
        "straight",
        Takes::Table(STRAIGHT),
        "its section by numbers: straight above the nose",
        "{ blade = \"11 mm\", up_to = \"60 mm\", seat = \"26 mm\" }",
    ),
    may(
        "relieved",
        Takes::Table(RELIEVED),
        "its section by numbers: cut away in front of a neck that leans back",
        "{ set_back = \"12 mm\", neck = \"26 mm\", hollow = [\"44 mm\", \"62 mm\"], seat = \"26 mm\", seat_high = \"14 mm\" }",
    ),
    may(
        "turned",
        Takes::Flag,
        "it is put up the other way round: front to the back",
        "true",
    ),
    LENGTH_OF_TOOL,
    LENGTHS_OF_TOOL,
    STANDS,
];

pub(crate) const DIE: &[Key] = &[
    must("name", TEXT, "what the die is called", "\"V 16\""),
    must(
        "opening",
        LENGTH,
        "the V's opening between its shoulders",
        "\"16 mm\"",
    ),
    must("angle", ANGLE, "between the faces of the V", "\"85 deg\""),
    must("shoulder", LENGTH, "radius of the shoulders", "\"1.5 mm\""),
    may(
        "height",
        LENGTH,
        "from top to foot; a drawn section says it by itself",
        "\"60 mm\"",
    ),
    may("width", LENGTH, "its width, when it is a plain bar", "\"26 mm\""),
    may(
        "profile",
        SECTION,
        "its section, with or without the V: middle of the V's top at 0, 0, downward",
        "[[\"-15 mm\", \"0 mm\"], [\"-30 mm\", \"-60 mm\"], [\"30 mm\", \"-60 mm\"], [\"15 mm\", \"0 mm\"]]",
    ),
    LENGTH_OF_TOOL,
    LENGTHS_OF_TOOL,
    STANDS,
];

pub(crate) const FOLDER: &[Key] = &[
    must("name", TEXT, "what the folder is called", "\"pan folder\""),
    LIKE,
    may("length", LENGTH, "the longest bend", "\"610 mm\""),
    may(
        "fingers",
        PIECES,
        "widths of its fingers; one for a straight edge",
        "[\"25 mm\", \"50 mm\", \"75 mm\", \"100 mm\"]",
    ),
    may(
        "finger_depth",
        LENGTH,
        "from the plate to the clamping beam: sides up to this high pass",
        "\"100 mm\"",
    ),
    may(
        "finger",
        FINGER,
        "section of a finger: nose at 0, 0, upward; x to the back",
        "{ foot = \"90 mm\", lean = \"34 deg\" }",
    ),
    may(
        "beam",
        SECTION,
        "section of the clamping beam, from the same 0, 0",
        "{ from = [\"60 mm\", \"100 mm\"], to = [\"150 mm\", \"200 mm\"] }",
    ),
    may(
        "bed",
        SECTION,
        "section of the bed, its top at 0",
        "{ from = [\"0 mm\", \"0 mm\"], to = [\"300 mm\", \"-200 mm\"] }",
    ),
    may(
        "apron",
        SECTION,
        "section of the apron at rest, its top at 0, in front of the bed",
        "{ from = [\"-0.5 mm\", \"0 mm\"], to = [\"-110 mm\", \"-12 mm\"] }",
    ),
    may("lift", LENGTH, "how far the clamp lifts", "\"45 mm\""),
    may("nose", LENGTH, "radius of the fingers' nose", "\"1 mm\""),
    may("swing", ANGLE, "how far the apron swings", "\"120 deg\""),
    may(
        "capacity",
        CAPACITY,
        "the thickest it folds over its whole length; a metal that is not there is not folded",
        "{ steel = \"1.5 mm\", aluminium = \"2 mm\", stainless = \"1 mm\" }",
    ),
    may(
        "least_clamped",
        LENGTH,
        "the least that must lie under the fingers, from the bend line",
        "\"12 mm\"",
    ),
    may(
        "least_swung",
        LENGTH,
        "the least that the apron takes hold of, from the bend line",
        "\"8 mm\"",
    ),
];

pub(crate) const VICE: &[Key] = &[
    must("name", TEXT, "what the vice is called", "\"bench vice\""),
    LIKE,
    may(
        "jaws",
        PIECES,
        "lengths of the angle jaws and blocks to bend over",
        "[\"30 mm\", \"50 mm\", \"80 mm\"]",
    ),
    may(
        "deep",
        LENGTH,
        "how much of a leg goes between the jaws, from the bend line: there the screw begins, and a longer leg goes past it to one side",
        "\"80 mm\"",
    ),
    may(
        "body",
        LENGTH,
        "how wide the body of the vice is along the bend; 0 where the jaws are held so that nothing stands about them; when not said, as a common vice",
        "\"125 mm\"",
    ),
    may(
        "body_out",
        LENGTH,
        "how far each half of the body stands out behind its jaw; when not said, as a common vice",
        "\"60 mm\"",
    ),
    may(
        "body_under",
        LENGTH,
        "how far under the bend line the body begins, as the jaws stand up out of it; when not said, as a common vice",
        "\"12 mm\"",
    ),
    may(
        "screw",
        LENGTH,
        "how wide the screw and its slide are along the bend, in the middle of the body; when not said, as a common vice",
        "\"40 mm\"",
    ),
    may(
        "inner",
        SECTION,
        "section of the jaw inside the bend: its edge at 0, 0, over the clamped leg",
        "{ from = [\"0 mm\", \"0 mm\"], to = [\"40 mm\", \"25 mm\"] }",
    ),
    may(
        "outer",
        SECTION,
        "section of the jaw outside the bend, its face at 0 against the plate",
        "{ from = [\"2 mm\", \"0 mm\"], to = [\"40 mm\", \"-25 mm\"] }",
    ),
    may("nose", LENGTH, "radius of the inner jaw's edge", "\"2 mm\""),
    may("swing", ANGLE, "how far a leg is drawn over", "\"100 deg\""),
    may(
        "capacity",
        CAPACITY,
        "the thickest that a hand draws over in a bend of the length under drawn",
        "{ steel = \"3.2 mm\", aluminium = \"5 mm\", stainless = \"2 mm\" }",
    ),
    may(
        "drawn",
        LENGTH,
        "the bend length that the capacity is for",
        "\"75 mm\"",
    ),
    may(
        "least_clamped",
        LENGTH,
        "the least that must be between the jaws, from the bend line",
        "\"15 mm\"",
    ),
    may(
        "least_drawn",
        LENGTH,
        "the least that a hammer with a block draws over, from the bend line",
        "\"15 mm\"",
    ),
];

pub(crate) const AWAY: &[Key] = &[
    LIKE,
    may("length", LENGTH, "the longest bend that it makes", "\"2500 mm\""),
    may(
        "capacity",
        CAPACITY,
        "the thickest that it bends",
        "{ steel = \"10 mm\", aluminium = \"10 mm\", stainless = \"8 mm\" }",
    ),
    may(
        "least_leg",
        NUMBER,
        "the least leg to the outside of the other, in thicknesses, the inside radius on top",
        "4",
    ),
    may(
        "largest_bend",
        ANGLE,
        "the most that it bends through",
        "\"150 deg\"",
    ),
];

const fn several(keys: &'static Takes, most: usize) -> Takes {
    Takes::List {
        of: keys,
        least: 0,
        most,
    }
}

pub(super) const BENDER: &[Key] = &[
    must(
        "process",
        Takes::Word(&["brake", "folder", "vice"]),
        "how plate is bent here",
        "\"brake\"",
    ),
    may(
        "tools",
        Takes::Word(&["starter"]),
        "the tools are, or are beside those said below, like the starter set's: a small brake, folder or vice of common shapes",
        "\"starter\"",
    ),
    may(
        "die",
        LENGTH,
        "V opening of the die, when always the same one",
        "\"32 mm\"",
    ),
    may(
        "gauge_to",
        Takes::Word(&["middle", "tangent"]),
        "what stop distances are given to on the cards: the middle of the bend or its nearer tangent line; when not said, the middle on a brake and the tangent line on a folder and in a vice",
        "\"middle\"",
    ),
    may(
        "brakes",
        several(&Takes::Table(BRAKE), MOST_MACHINES),
        "press brakes; each takes every punch and die below",
        "",
    ),
    may(
        "punches",
        several(&Takes::Table(PUNCH), MOST_TOOLS),
        "punches of the brakes, each with one of profile, straight and relieved",
        "",
    ),
    may(
        "dies",
        several(&Takes::Table(DIE), MOST_TOOLS),
        "V dies of the brakes, each with a profile or a width",
        "",
    ),
    may(
        "folders",
        several(&Takes::Table(FOLDER), MOST_MACHINES),
        "folders, with fingers or one straight edge",
        "",
    ),
    may(
        "vices",
        several(&Takes::Table(VICE), MOST_MACHINES),
        "bench vices with angle jaws",
        "",
    ),
    may(
        "away",
        Takes::Table(AWAY),
        "a shop that takes bends in: what it does and does not do",
        "",
    ),
];
