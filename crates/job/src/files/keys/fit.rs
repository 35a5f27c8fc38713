//! fits/NAME.toml

use super::*;

pub(super) const AXIS: Takes = Takes::Direction;

/// How a bolt or screw is made and tightened: of a mount, and of the support.
const GRADE: Key = may(
    "grade",
    Takes::Text,
    "the grade marked on its head; without it its strength is not checked",
    "\"8.8\"",
);
const TORQUE: Key = may(
    "torque",
    MOMENT,
    "what it is tightened to; without it no clamping is counted on",
    "\"20 N m\"",
);
const WASHER: Key = may(
    "washer",
    LENGTH,
    "outside diameter of the washer under its head; the handbook's when absent",
    "\"24 mm\"",
);

const MOUNT_TABLE: Takes = Takes::Table(&[
    must(
        "kind",
        Takes::Word(&["tapped hole", "through hole", "slot", "clamp"]),
        "what the equipment has there",
        "\"tapped hole\"",
    ),
    may(
        "hole",
        Takes::Name(Of::HoleOrSlot),
        "the hole or slot of the part that comes here",
        "\"m1\"",
    ),
    may(
        "unused",
        Takes::Flag,
        "the part is not fastened here, and could be: `gusset hold` tries what one more bolt would help",
        "true",
    ),
    may(
        "holes",
        TWO_HOLES,
        "for a clamp: its two holes",
        "[\"c1\", \"c2\"]",
    ),
    must(
        "at",
        PLACE,
        "the middle of the seat on the equipment: x, y, z, or a named place",
        "[\"0 mm\", \"0 mm\", \"0 mm\"]",
    ),
    must(
        "axis",
        AXIS,
        "the direction out of the seat, toward the plate",
        "\"y\"",
    ),
    must("for", Takes::Thread, "the bolt", "\"5/16-18\""),
    may(
        "dia",
        LENGTH,
        "for a through hole: its diameter in the equipment",
        "\"8.5 mm\"",
    ),
    may(
        "width",
        LENGTH,
        "for a slot: its width in the equipment",
        "\"8.5 mm\"",
    ),
    may("length", LENGTH, "for a slot: its length over all", "\"20 mm\""),
    may(
        "along",
        AXIS,
        "for a slot or clamp: the direction of its length",
        "\"x\"",
    ),
    may("apart", LENGTH, "for a clamp: from bolt to bolt", "\"40 mm\""),
    may(
        "gap",
        LENGTH,
        "the largest gap at the seat that tightening may close",
        "\"0.5 mm\"",
    ),
    may(
        "tilt",
        ANGLE,
        "the largest tilt of the plate against the seat",
        "\"1 deg\"",
    ),
    GRADE,
    TORQUE,
    WASHER,
    may(
        "seat",
        LENGTH,
        "how wide the flat is that the plate rests on, about the bolt; as the washer when absent",
        "\"30 mm\"",
    ),
    may(
        "metal",
        Takes::Text,
        "for a tapped hole: the metal that the thread is in",
        "\"6061-T6\"",
    ),
    may(
        "depth",
        LENGTH,
        "for a tapped hole: how deep the bolt goes into the thread",
        "\"12 mm\"",
    ),
]);

const KEEP_OUT_SHAPES: &[Shape] = &[
    Shape {
        lead: "box",
        keys: &[
            must(
                "box",
                THREE_LENGTHS,
                "its sizes along x, y and z",
                "[\"32 mm\", \"22 mm\", \"20 mm\"]",
            ),
            must("at", PLACE, "its middle", "[\"25 mm\", \"0 mm\", \"0 mm\"]"),
            may("clear", LENGTH, "the least distance to keep", "\"3 mm\""),
        ],
    },
    Shape {
        lead: "cylinder",
        keys: &[
            must("cylinder", LENGTH, "its radius; flat ends", "\"15 mm\""),
            must(
                "from",
                PLACE,
                "the middle of one end",
                "[\"0 mm\", \"0 mm\", \"0 mm\"]",
            ),
            must(
                "to",
                PLACE,
                "the middle of the other",
                "[\"0 mm\", \"0 mm\", \"300 mm\"]",
            ),
            may("clear", LENGTH, "the least distance to keep", "\"3 mm\""),
        ],
    },
    Shape {
        lead: "capsule",
        keys: &[
            must("capsule", LENGTH, "its radius; round ends", "\"45 mm\""),
            must(
                "from",
                PLACE,
                "the middle of one end",
                "[\"0 mm\", \"0 mm\", \"0 mm\"]",
            ),
            must(
                "to",
                PLACE,
                "the middle of the other",
                "[\"0 mm\", \"0 mm\", \"300 mm\"]",
            ),
            may("clear", LENGTH, "the least distance to keep", "\"3 mm\""),
        ],
    },
    Shape {
        lead: "beyond",
        keys: &[
            must(
                "beyond",
                PLACE,
                "a point of the plane that must not be passed",
                "[\"0 mm\", \"0 mm\", \"-60 mm\"]",
            ),
            must("toward", AXIS, "into the side that must stay free", "\"-z\""),
            may("clear", LENGTH, "the least distance to keep", "\"3 mm\""),
        ],
    },
];

const SUPPORT_STIFF: &[Key] = &[
    may(
        "along",
        Takes::Sum(Kind::Stiffness),
        "the force that moves it by so much, any way",
        "\"400 N/mm\"",
    ),
    may(
        "about",
        Takes::Sum(Kind::TurnStiffness),
        "the moment that turns it by so much, about any axis",
        "\"25 N m/deg\"",
    ),
];

/// fits/NAME.toml
pub const FIT: &[Key] = &[
    VERSION,
    must(
        "title",
        Takes::Text,
        "whom or what this fit is for",
        "\"Right arm, 28.6 mm handle\"",
    ),
    FILE_UNITS,
    may(
        "hand",
        HAND,
        "the hand it is for; the design's when absent",
        "\"left\"",
    ),
    must(
        "care",
        Takes::Table(&[
            must(
                "purpose",
                Takes::Text,
                "what the part is used for, in your words",
                "\"Pushing a wheel hoe.\"",
            ),
            must("weight", Takes::Flag, "does anyone's weight hang on it?", "false"),
            must(
                "held",
                Takes::Flag,
                "could it hold someone under water or to something that moves?",
                "true",
            ),
            must(
                "control",
                Takes::Word(&["no", "beside another", "only"]),
                "does it steer, brake or fire anything, and is it the only thing that does?",
                "\"no\"",
            ),
            must(
                "feels",
                Takes::Flag,
                "can the person feel the skin it touches?",
                "true",
            ),
            must(
                "release",
                Takes::Flag,
                "can the other hand let go of it in two seconds?",
                "true",
            ),
            may(
                "onto",
                Takes::Text,
                "what it is bolted, clamped or welded to",
                "\"the handle tube of a wheel hoe\"",
            ),
        ]),
        "five questions that come before geometry",
        "",
    ),
    may(
        "measures",
        Takes::Named {
            of: &Takes::Sum(Kind::Any),
            key: NameOf::Known(Of::Measure),
        },
        "values for the measures that the design leaves to a fit",
        "",
    ),
    may(
        "places",
        Takes::Named {
            of: &Takes::Either(&[
                THREE_LENGTHS,
                Takes::Table(&[must(
                    "rough",
                    THREE_LENGTHS,
                    "about where it is; the place readings correct it",
                    "[\"100 mm\", \"0 mm\", \"50 mm\"]",
                )]),
            ]),
            key: NameOf::Thing,
        },
        "named places on the equipment",
        "",
    ),
    may(
        "place_readings",
        Takes::List {
            of: &Takes::Table(&[
                must(
                    "between",
                    Takes::List {
                        of: &Takes::Name(Of::Place),
                        least: 2,
                        most: 2,
                    },
                    "two places",
                    "[\"P\", \"Q\"]",
                ),
                must("read", LENGTH, "the distance read", "\"7-1/2 in\""),
                may("with", INSTRUMENT, "the instrument", "\"tape\""),
            ]),
            least: 0,
            most: 2000,
        },
        "distances between places, which find the rough ones",
        "",
    ),
    may(
        "mounts",
        Takes::Named {
            of: &MOUNT_TABLE,
            key: NameOf::Thing,
        },
        "where the part is fastened",
        "",
    ),
    may(
        "support",
        Takes::Table(&[
            must(
                "holes",
                Takes::List {
                    of: &HOLE,
                    least: 2,
                    most: 12,
                },
                "the part's holes for it, in order along its length",
                "[\"p1\", \"p2\"]",
            ),
            must(
                "at",
                PLACE,
                "where the middle of those holes must sit",
                "[\"-30 mm\", \"60.3 mm\", \"117.5 mm\"]",
            ),
            may("pitch", ANGLE, "tipped back, toward -x", "\"25 deg\""),
            may(
                "toe",
                ANGLE,
                "then turned in, counter-clockwise seen from above",
                "\"12 deg\"",
            ),
            may(
                "roll",
                ANGLE,
                "before both, rolled about its own length",
                "\"0 deg\"",
            ),
            may("apart", LENGTH, "its own holes, first to last", "\"40 mm\""),
            may("for", Takes::Thread, "the screw of its holes", "\"M6\""),
            may("allowed", LENGTH, "how far off it may sit", "\"3 mm\""),
            may("allowed_turn", ANGLE, "how far it may be turned", "\"2 deg\""),
            GRADE,
            TORQUE,
            WASHER,
            may(
                "stiff",
                Takes::Table(SUPPORT_STIFF),
                "how it gives between its holes and the body; rigid when absent",
                "{ along = \"400 N/mm\", about = \"25 N m/deg\" }",
            ),
            may(
                "mass",
                MASS,
                "what it weighs, with everything that rides on it",
                "\"0.6 kg\"",
            ),
        ]),
        "what carries the body: where it must sit and how it must face",
        "",
    ),
    may(
        "keep_outs",
        Takes::Named {
            of: &Takes::Shapes(KEEP_OUT_SHAPES),
            key: NameOf::Thing,
        },
        "spaces that the part must stay clear of",
        "",
    ),
    may(
        "limits",
        Takes::Table(loads::LIMITS),
        "limits on the part, and what it must hold",
        "",
    ),
    may("down", AXIS, "which way is down; -z when absent", "\"-z\""),
    may(
        "loads",
        Takes::Named {
            of: &loads::LOAD,
            key: NameOf::Thing,
        },
        "what the part carries",
        "",
    ),
    may(
        "together",
        Takes::Named {
            of: &loads::TOGETHER,
            key: NameOf::Thing,
        },
        "loads that act at the same time; each also acts alone, and the part's own weight always",
        "[\"push\", \"lean\"]",
    ),
    may(
        "never",
        Takes::Table(loads::NEVER),
        "why a drop or a jam cannot happen, where none is under [loads]",
        "",
    ),
    may(
        "proof",
        Takes::List {
            of: &loads::PROOF,
            least: 0,
            most: 200,
        },
        "readings of the test on the bench, which correct how stiff it is taken to be",
        "",
    ),
];
