//! Every key of the three files, said once: what it takes, whether it must be there, what it means, an example. The
//! reader checks files against these tables, the JSON Schema is made from them, and so is the reference in
//! docs/files.md; so the three cannot drift apart.

/// One key of a table.
#[derive(Debug)]
pub struct Key {
    /// As written in the file.
    pub name: &'static str,
    /// What its value may be.
    pub takes: Takes,
    /// Must it be there?
    pub must: bool,
    /// What it means, one sentence.
    pub says: &'static str,
    /// A value, as it would be written after `=`; empty for tables.
    pub example: &'static str,
}

/// What a value may be.
#[derive(Debug)]
pub enum Takes {
    /// Words for people.
    Text,
    /// true or false.
    Flag,
    /// A plain number.
    Number,
    /// A whole number.
    Whole,
    /// A quantity or a sum on measures.
    Sum(Kind),
    /// The name of something, or a new name: letters, digits, underscore.
    Name,
    /// A line through two points, "A-B".
    Line,
    /// A screw thread.
    Thread,
    /// Metal and thickness.
    Stock,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A direction: "x", "-z", or three numbers.
    Direction,
    /// "round 1/2 in", "chamfer 5 mm", "notch 5 mm".
    Corner,
    /// So many of the same, in brackets.
    List {
        /// Each.
        of: &'static Takes,
        /// At least.
        least: usize,
        /// At most.
        most: usize,
    },
    /// Two of different kinds, in brackets.
    Pair(&'static Takes, &'static Takes),
    /// A table with fixed keys.
    Table(&'static [Key]),
    /// A table that is known by its leading key: exactly one of these shapes.
    Shapes(&'static [Shape]),
    /// Tables or values under names of the user's own.
    Named {
        /// What each holds.
        of: &'static Takes,
        /// What the name is: "a point", "A-B".
        key: NameOf,
    },
    /// Any of these, told apart by type.
    Either(&'static [Takes]),
}

/// What the names of a [`Takes::Named`] table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameOf {
    /// A new or known name.
    Thing,
    /// An edge or line, "A-B".
    Line,
}

/// A form of a table, known by a leading key that no other form has.
#[derive(Debug)]
pub struct Shape {
    /// The key that tells it.
    pub lead: &'static str,
    /// All its keys, the leading one among them.
    pub keys: &'static [Key],
}

/// Of what a quantity is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// mm, in, ...
    Length,
    /// deg
    Angle,
    /// kg, lb
    Mass,
    /// Whatever the measure is of.
    Any,
}

const fn must(name: &'static str, takes: Takes, says: &'static str, example: &'static str) -> Key {
    Key {
        name,
        takes,
        must: true,
        says,
        example,
    }
}

const fn may(name: &'static str, takes: Takes, says: &'static str, example: &'static str) -> Key {
    Key {
        name,
        takes,
        must: false,
        says,
        example,
    }
}

const LENGTH: Takes = Takes::Sum(Kind::Length);
const ANGLE: Takes = Takes::Sum(Kind::Angle);
const NAME: Takes = Takes::Name;
const LINE: Takes = Takes::Line;
const TWO_NAMES: Takes = Takes::List {
    of: &NAME,
    least: 2,
    most: 2,
};
const THREE_NAMES: Takes = Takes::List {
    of: &NAME,
    least: 3,
    most: 3,
};
const TWO_LINES: Takes = Takes::List {
    of: &LINE,
    least: 2,
    most: 2,
};
const TWO_LENGTHS: Takes = Takes::List {
    of: &LENGTH,
    least: 2,
    most: 2,
};
const THREE_LENGTHS: Takes = Takes::List {
    of: &LENGTH,
    least: 3,
    most: 3,
};
const PLACE: Takes = Takes::Either(&[NAME, THREE_LENGTHS]);
const SIDE: Takes = Takes::Word(&["left", "right"]);
const UNITS: Takes = Takes::Word(&["mm", "cm", "m", "in", "ft"]);
const HAND: Takes = Takes::Word(&["right", "left"]);
const MOST_POINTS: usize = 2000;

const WITH: Key = may(
    "with",
    NAME,
    "the instrument of its numbers, when not the one of [survey]",
    "\"caliper\"",
);
const EXACT: Key = may(
    "exact",
    Takes::Flag,
    "meant, not measured: its numbers are never adjusted",
    "true",
);

const POINT_SHAPES: &[Shape] = &[
    Shape {
        lead: "at",
        keys: &[
            must("at", TWO_LENGTHS, "across and up", "[\"1 in\", \"2-1/2 in\"]"),
            WITH,
            EXACT,
        ],
    },
    Shape {
        lead: "toward",
        keys: &[
            must("from", NAME, "where the baseline starts", "\"A\""),
            must("toward", NAME, "a point that the baseline runs toward", "\"B\""),
            must("along", LENGTH, "how far along it", "\"2 in\""),
            may(
                "off",
                LENGTH,
                "how far off it, to the left; to the right when negative",
                "\"3/8 in\"",
            ),
            WITH,
            EXACT,
        ],
    },
    Shape {
        lead: "reach",
        keys: &[
            must("from", NAME, "where it is measured from", "\"A\""),
            must("reach", LENGTH, "how far away", "\"50 mm\""),
            must(
                "angle",
                ANGLE,
                "in which direction, counter-clockwise",
                "\"30 deg\"",
            ),
            may(
                "of",
                LINE,
                "the line that the angle starts from; straight to the right when absent",
                "\"A-B\"",
            ),
            WITH,
            EXACT,
        ],
    },
    Shape {
        lead: "swing",
        keys: &[
            must(
                "swing",
                Takes::List {
                    of: &Takes::Pair(&NAME, &LENGTH),
                    least: 2,
                    most: 2,
                },
                "two centres, each with the length swung from it",
                "[[\"A\", \"3-3/4 in\"], [\"B\", \"5 in\"]]",
            ),
            must(
                "side",
                SIDE,
                "which crossing of the arcs, looking from the first centre to the second",
                "\"left\"",
            ),
            WITH,
            EXACT,
        ],
    },
    Shape {
        lead: "where",
        keys: &[must(
            "where",
            TWO_LINES,
            "two lines; the point is where they cross",
            "[\"A-C\", \"D-B\"]",
        )],
    },
    Shape {
        lead: "foot",
        keys: &[
            must("foot", NAME, "the point to drop square from", "\"C\""),
            must("on", LINE, "the line to drop onto", "\"A-B\""),
        ],
    },
    Shape {
        lead: "middle",
        keys: &[must(
            "middle",
            TWO_NAMES,
            "the point half way between two",
            "[\"A\", \"B\"]",
        )],
    },
    Shape {
        lead: "mirror",
        keys: &[
            must("mirror", NAME, "the point to mirror", "\"C\""),
            must("over", LINE, "the line to mirror it over", "\"A-B\""),
        ],
    },
    Shape {
        lead: "tangent",
        keys: &[
            must("tangent", NAME, "the point that the tangent starts from", "\"P\""),
            must("round", NAME, "the circle's centre", "\"C\""),
            must("radius", LENGTH, "the circle's radius", "\"20 mm\""),
            must(
                "side",
                SIDE,
                "which of the two tangents, looking from the point to the centre",
                "\"left\"",
            ),
            WITH,
            EXACT,
        ],
    },
];

const READ: Key = must(
    "read",
    Takes::Sum(Kind::Any),
    "what the instrument showed",
    "\"2-1/32 in\"",
);
const READING_WITH: Key = may(
    "with",
    NAME,
    "the instrument, when not the one of [survey]",
    "\"tape\"",
);
const HOOK: Key = may("hook", Takes::Flag, "taken from the hook end of a tape", "true");

const READING_SHAPES: &[Shape] = &[
    Shape {
        lead: "between",
        keys: &[
            must(
                "between",
                TWO_NAMES,
                "the distance of two points",
                "[\"A\", \"D\"]",
            ),
            READ,
            READING_WITH,
            HOOK,
        ],
    },
    Shape {
        lead: "corner",
        keys: &[
            must(
                "corner",
                THREE_NAMES,
                "the angle at the middle one of three points",
                "[\"A\", \"B\", \"C\"]",
            ),
            READ,
            READING_WITH,
        ],
    },
    Shape {
        lead: "off",
        keys: &[
            must(
                "off",
                NAME,
                "the point whose square distance from a line was read",
                "\"C\"",
            ),
            must(
                "line",
                LINE,
                "that line; distances to its left are positive",
                "\"A-B\"",
            ),
            READ,
            READING_WITH,
            HOOK,
        ],
    },
    Shape {
        lead: "lines",
        keys: &[
            must(
                "lines",
                TWO_LINES,
                "the angle between two lines",
                "[\"A-B\", \"C-D\"]",
            ),
            READ,
            READING_WITH,
        ],
    },
    Shape {
        lead: "edges",
        keys: &[
            must(
                "edges",
                TWO_NAMES,
                "two holes, measured edge to edge",
                "[\"m1\", \"m2\"]",
            ),
            must(
                "across",
                Takes::Word(&["near", "far"]),
                "between the nearest or the farthest edges",
                "\"near\"",
            ),
            READ,
            READING_WITH,
        ],
    },
];

const MEASURE_TABLE: Takes = Takes::Table(&[
    may(
        "value",
        Takes::Sum(Kind::Any),
        "its value, or a sum on other measures",
        "\"2-3/8 in\"",
    ),
    may("fit", Takes::Flag, "a fit may give its own value", "true"),
    may(
        "ask",
        Takes::Text,
        "the question put to the person it is for",
        "\"How far out must the pad sit?\"",
    ),
    may(
        "solve",
        Takes::Flag,
        "found so that the part meets its mounts and support",
        "true",
    ),
    may(
        "between",
        Takes::List {
            of: &Takes::Sum(Kind::Any),
            least: 2,
            most: 2,
        },
        "the least and the most it may be",
        "[\"5 deg\", \"40 deg\"]",
    ),
]);

const ARC_SHAPES: &[Shape] = &[
    Shape {
        lead: "via",
        keys: &[must(
            "via",
            NAME,
            "a third point that the arc goes through",
            "\"P\"",
        )],
    },
    Shape {
        lead: "radius",
        keys: &[
            must("radius", LENGTH, "the arc's radius", "\"2 in\""),
            must(
                "bows",
                SIDE,
                "the side the arc bows to, looking along the edge as named",
                "\"left\"",
            ),
        ],
    },
];

const RELIEF: Takes = Takes::Either(&[
    Takes::Word(&["auto", "none"]),
    Takes::Table(&[
        must("width", LENGTH, "width of the slot, along the crease", "\"5 mm\""),
        must("past", LENGTH, "how far it goes past the bend", "\"3 mm\""),
    ]),
]);

const BEND_LINE: Key = must(
    "line",
    Takes::Either(&[TWO_NAMES, LINE]),
    "the two ends of the crease, as [\"D\", \"E\"] or \"D-E\"",
    "[\"D\", \"E\"]",
);

const BEND_SHAPES: &[Shape] = &[
    Shape {
        lead: "bent",
        keys: &[
            BEND_LINE,
            must("bent", ANGLE, "the angle bent through: 0 is flat", "\"90 deg\""),
            must(
                "way",
                Takes::Word(&["up", "down"]),
                "toward you or away, looking at the marked face",
                "\"up\"",
            ),
            may(
                "radius",
                LENGTH,
                "inside radius, when not the one of [plate]",
                "\"3/16 in\"",
            ),
            may(
                "relief",
                RELIEF,
                "how an end inside the plate is freed",
                "\"auto\"",
            ),
        ],
    },
    Shape {
        lead: "between_legs",
        keys: &[
            BEND_LINE,
            must(
                "between_legs",
                ANGLE,
                "the angle left between the legs: 180 is flat",
                "\"135 deg\"",
            ),
            must(
                "way",
                Takes::Word(&["up", "down"]),
                "toward you or away, looking at the marked face",
                "\"up\"",
            ),
            may(
                "radius",
                LENGTH,
                "inside radius, when not the one of [plate]",
                "\"3/16 in\"",
            ),
            may(
                "relief",
                RELIEF,
                "how an end inside the plate is freed",
                "\"auto\"",
            ),
        ],
    },
];

const HOLE_AT: Key = must(
    "at",
    Takes::Either(&[NAME, TWO_LENGTHS]),
    "the centre: a point, or across and up, which makes a point of the hole's own name",
    "\"H1\"",
);

const HOLE_SHAPES: &[Shape] = &[
    Shape {
        lead: "dia",
        keys: &[HOLE_AT, must("dia", LENGTH, "the diameter", "\"8.5 mm\"")],
    },
    Shape {
        lead: "for",
        keys: &[
            HOLE_AT,
            must(
                "for",
                Takes::Thread,
                "the screw that goes through or into it; never scaled",
                "\"5/16-18\"",
            ),
            may(
                "clearance",
                Takes::Word(&["close", "normal", "loose", "tapped"]),
                "how it takes the screw; normal when absent",
                "\"normal\"",
            ),
        ],
    },
];

const WINDOW_EXTRA_INSET: Key = may("inset", LENGTH, "moved in by this all round", "\"3/8 in\"");
const WINDOW_EXTRA_CORNERS: Key = may("corners", LENGTH, "radius of its corners", "\"1/4 in\"");

const WINDOW_SHAPES: &[Shape] = &[
    Shape {
        lead: "inside",
        keys: &[
            must(
                "inside",
                Takes::List {
                    of: &NAME,
                    least: 3,
                    most: MOST_POINTS,
                },
                "its corners in order",
                "[\"P\", \"Q\", \"R\", \"S\"]",
            ),
            WINDOW_EXTRA_INSET,
            WINDOW_EXTRA_CORNERS,
        ],
    },
    Shape {
        lead: "panel",
        keys: &[
            must("panel", NAME, "the panel whose shape it takes", "\"arm\""),
            must("inset", LENGTH, "moved in by this all round", "\"3/8 in\""),
            WINDOW_EXTRA_CORNERS,
        ],
    },
];

const MARK_SHAPES: &[Shape] = &[
    Shape {
        lead: "text",
        keys: &[
            must("text", Takes::Text, "the words to scribe", "\"this side up\""),
            must("at", NAME, "where the first letter starts", "\"T\""),
            may("height", LENGTH, "height of a capital", "\"6 mm\""),
        ],
    },
    Shape {
        lead: "line",
        keys: &[must("line", TWO_NAMES, "a scribed line", "[\"A\", \"B\"]")],
    },
];

const VERSION: Key = must("gusset", Takes::Whole, "the version of this file's form; 1", "1");
const FILE_UNITS: Key = may("units", UNITS, "the unit of a bare number in this file", "\"in\"");

/// design.toml
pub const DESIGN: &[Key] = &[
    VERSION,
    must(
        "title",
        Takes::Text,
        "what the part is called",
        "\"Push-hoe forearm bracket\"",
    ),
    may(
        "about",
        Takes::Text,
        "what it is for, in your words",
        "\"Joins a forearm cuff to a hoe.\"",
    ),
    may(
        "revision",
        Takes::Text,
        "which version of the design this is",
        "\"A\"",
    ),
    FILE_UNITS,
    may(
        "hand",
        HAND,
        "the hand it is drawn for; a fit for the other hand gets the mirrored part",
        "\"right\"",
    ),
    may(
        "measures",
        Takes::Named {
            of: &Takes::Either(&[Takes::Sum(Kind::Any), MEASURE_TABLE]),
            key: NameOf::Thing,
        },
        "lengths and angles with names, for use in sums",
        "",
    ),
    may(
        "card",
        Takes::Table(&[must(
            "thickness",
            LENGTH,
            "thickness of the card the pattern was folded from",
            "\"0.5 mm\"",
        )]),
        "the card of the mock-up",
        "",
    ),
    must(
        "plate",
        Takes::Table(&[
            must(
                "stock",
                Takes::Stock,
                "metal and thickness",
                "\"5052-H32 3/16 in\"",
            ),
            may(
                "lines_on",
                Takes::Word(&["marked face", "middle", "far face"]),
                "which face of the plate the card's lines are; the marked face when absent",
                "\"marked face\"",
            ),
            may(
                "radius",
                LENGTH,
                "inside radius of every bend that states none",
                "\"5 mm\"",
            ),
            may(
                "still",
                NAME,
                "the panel that stays still while the others are folded",
                "\"base\"",
            ),
        ]),
        "the plate it is cut from",
        "",
    ),
    may(
        "survey",
        Takes::Table(&[must(
            "with",
            NAME,
            "the instrument of every reading that names none",
            "\"tape\"",
        )]),
        "how the mock-up was measured",
        "",
    ),
    must(
        "points",
        Takes::Named {
            of: &Takes::Either(&[TWO_LENGTHS, Takes::Shapes(POINT_SHAPES)]),
            key: NameOf::Thing,
        },
        "the points of the mock-up, each found from others or from the axes",
        "",
    ),
    may(
        "readings",
        Takes::List {
            of: &Takes::Shapes(READING_SHAPES),
            least: 0,
            most: 20_000,
        },
        "further readings, which correct the rest and show a slip",
        "",
    ),
    must(
        "outline",
        Takes::Table(&[
            must(
                "through",
                Takes::List {
                    of: &NAME,
                    least: 2,
                    most: MOST_POINTS,
                },
                "the corners of the outside edge, in order, either way round",
                "[\"A\", \"B\", \"C\"]",
            ),
            may(
                "corners",
                Takes::Named {
                    of: &Takes::Corner,
                    key: NameOf::Thing,
                },
                "what is done to a corner",
                "{ B = \"round 1/2 in\" }",
            ),
            may(
                "arcs",
                Takes::Named {
                    of: &Takes::Shapes(ARC_SHAPES),
                    key: NameOf::Line,
                },
                "edges that are arcs",
                "{ \"B-C\" = { via = \"P\" } }",
            ),
        ]),
        "the outside edge of the mock-up",
        "",
    ),
    may(
        "bends",
        Takes::Named {
            of: &Takes::Shapes(BEND_SHAPES),
            key: NameOf::Thing,
        },
        "the creases",
        "",
    ),
    may(
        "holes",
        Takes::Named {
            of: &Takes::Shapes(HOLE_SHAPES),
            key: NameOf::Thing,
        },
        "round holes",
        "",
    ),
    may(
        "slots",
        Takes::Named {
            of: &Takes::Table(&[
                must("from", NAME, "centre of one round end", "\"P\""),
                must("to", NAME, "centre of the other", "\"Q\""),
                must("width", LENGTH, "across the slot", "\"10 mm\""),
            ]),
            key: NameOf::Thing,
        },
        "slots with round ends",
        "",
    ),
    may(
        "windows",
        Takes::Named {
            of: &Takes::Shapes(WINDOW_SHAPES),
            key: NameOf::Thing,
        },
        "larger openings",
        "",
    ),
    may(
        "panels",
        Takes::Named {
            of: &NAME,
            key: NameOf::Thing,
        },
        "names of panels, each by a point that lies in it",
        "",
    ),
    may(
        "seams",
        Takes::Named {
            of: &Takes::Table(&[
                must(
                    "edges",
                    TWO_LINES,
                    "two edges that meet; the first point of one comes to the first of the other",
                    "[\"A-B\", \"C-D\"]",
                ),
                may("gap", LENGTH, "the largest gap the weld may fill", "\"1 mm\""),
            ]),
            key: NameOf::Thing,
        },
        "edges that are welded together after folding",
        "",
    ),
    may(
        "marks",
        Takes::Named {
            of: &Takes::Shapes(MARK_SHAPES),
            key: NameOf::Thing,
        },
        "what is scribed",
        "",
    ),
];

const AXIS: Takes = Takes::Direction;

const MOUNT_TABLE: Takes = Takes::Table(&[
    must(
        "kind",
        Takes::Word(&["tapped hole", "through hole", "slot", "clamp"]),
        "what the equipment has there",
        "\"tapped hole\"",
    ),
    may(
        "hole",
        NAME,
        "the hole or slot of the part that comes here",
        "\"m1\"",
    ),
    may(
        "holes",
        TWO_NAMES,
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
            key: NameOf::Thing,
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
                must("between", TWO_NAMES, "two places", "[\"P\", \"Q\"]"),
                must("read", LENGTH, "the distance read", "\"7-1/2 in\""),
                may("with", NAME, "the instrument", "\"tape\""),
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
                    of: &NAME,
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
        Takes::Table(&[may(
            "mass",
            Takes::Sum(Kind::Mass),
            "the heaviest the bare part may be",
            "\"0.9 kg\"",
        )]),
        "limits on the part",
        "",
    ),
];

/// shop.toml
pub const SHOP: &[Key] = &[
    VERSION,
    may("title", Takes::Text, "the shop's name", "\"Back shed\""),
    FILE_UNITS,
    may(
        "stock",
        Takes::List {
            of: &Takes::Table(&[
                must(
                    "plate",
                    Takes::Stock,
                    "metal and thickness",
                    "\"5052-H32 3/16 in\"",
                ),
                must(
                    "size",
                    TWO_LENGTHS,
                    "width and length of the sheet or remnant",
                    "[\"24 in\", \"48 in\"]",
                ),
                may("measured", LENGTH, "its thickness by caliper", "\"4.72 mm\""),
            ]),
            least: 0,
            most: 1000,
        },
        "sheets and remnants at hand",
        "",
    ),
    may(
        "cutter",
        Takes::Table(&[
            must(
                "process",
                Takes::Word(&["plasma", "oxy", "laser", "waterjet", "router", "saw and drill"]),
                "how plate is cut here",
                "\"plasma\"",
            ),
            may("kerf", LENGTH, "width of the cut", "\"1.6 mm\""),
            may(
                "least_hole",
                Takes::Number,
                "the least hole it cuts well, in thicknesses",
                "1.5",
            ),
        ]),
        "the cutter",
        "",
    ),
    may(
        "bender",
        Takes::Table(&[
            must(
                "process",
                Takes::Word(&["brake", "folder", "vice"]),
                "how plate is bent here",
                "\"brake\"",
            ),
            may(
                "die",
                LENGTH,
                "V opening of the die, when always the same one",
                "\"32 mm\"",
            ),
        ]),
        "the bending tools",
        "",
    ),
    may(
        "neutral",
        Takes::List {
            of: &Takes::Table(&[
                must("metal", Takes::Text, "the metal", "\"5052-H32\""),
                must("thickness", LENGTH, "its thickness", "\"3/16 in\""),
                must("radius", LENGTH, "the inside radius", "\"7 mm\""),
                must("k", Takes::Number, "the K-factor found for it", "0.42"),
            ]),
            least: 0,
            most: 1000,
        },
        "this shop's own K-factors",
        "",
    ),
    may(
        "strips",
        Takes::List {
            of: &Takes::Table(&[
                must(
                    "plate",
                    Takes::Stock,
                    "metal and thickness",
                    "\"5052-H32 3/16 in\"",
                ),
                must("thickness", LENGTH, "thickness by caliper", "\"4.75 mm\""),
                must("radius", LENGTH, "inside radius that came", "\"7.1 mm\""),
                must("bent", ANGLE, "angle bent through, measured", "\"90 deg\""),
                must("flat", LENGTH, "length of the strip before bending", "\"150 mm\""),
                must(
                    "legs",
                    TWO_LENGTHS,
                    "both outside legs, to the sharp corner",
                    "[\"79.6 mm\", \"79.5 mm\"]",
                ),
                may("tool", Takes::Text, "the tool it was bent with", "\"32 mm die\""),
                may("date", Takes::Text, "when", "\"2026-03-02\""),
            ]),
            least: 0,
            most: 1000,
        },
        "test strips that were bent and measured",
        "",
    ),
    may(
        "instruments",
        Takes::Named {
            of: &Takes::Table(&[
                must(
                    "sd",
                    Takes::Sum(Kind::Any),
                    "standard deviation of one reading",
                    "\"0.4 mm\"",
                ),
                may(
                    "per_length",
                    Takes::Number,
                    "added for each unit of length read",
                    "0.0002",
                ),
            ]),
            key: NameOf::Thing,
        },
        "how sure this shop's instruments are",
        "",
    ),
    may(
        "handbook",
        Takes::List {
            of: &Takes::Table(&[
                must("table", Takes::Text, "the handbook table", "\"metal_properties\""),
                must("row", Takes::Text, "the row", "\"5052-H32 density\""),
                must("column", Takes::Text, "the column", "\"value\""),
                must(
                    "value",
                    Takes::Either(&[Takes::Number, Takes::Text]),
                    "the value to use instead",
                    "2680",
                ),
                may(
                    "source",
                    Takes::Text,
                    "where it comes from",
                    "\"mill certificate\"",
                ),
            ]),
            least: 0,
            most: 1000,
        },
        "rows of the handbook that this shop knows better",
        "",
    ),
];
