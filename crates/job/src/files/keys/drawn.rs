//! The parts of design.toml that have forms of their own: points, readings, arcs, bends, holes, windows, marks.

use super::*;

pub(super) const WITH: Key = may(
    "with",
    INSTRUMENT,
    "the instrument of its numbers, when not the one of [survey]",
    "\"caliper\"",
);
pub(super) const EXACT: Key = may(
    "exact",
    Takes::Flag,
    "meant, not measured: its numbers are never adjusted",
    "true",
);

pub(super) const POINT_SHAPES: &[Shape] = &[
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
            must("from", POINT, "where the baseline starts", "\"A\""),
            must("toward", POINT, "a point that the baseline runs toward", "\"B\""),
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
            must("from", POINT, "where it is measured from", "\"A\""),
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
                    of: &Takes::Pair(&POINT, &LENGTH),
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
            must("foot", POINT, "the point to drop square from", "\"C\""),
            must("on", LINE, "the line to drop onto", "\"A-B\""),
        ],
    },
    Shape {
        lead: "middle",
        keys: &[must(
            "middle",
            TWO_POINTS,
            "the point half way between two",
            "[\"A\", \"B\"]",
        )],
    },
    Shape {
        lead: "mirror",
        keys: &[
            must("mirror", POINT, "the point to mirror", "\"C\""),
            must("over", LINE, "the line to mirror it over", "\"A-B\""),
        ],
    },
    Shape {
        lead: "tangent",
        keys: &[
            must(
                "tangent",
                POINT,
                "the point that the tangent starts from",
                "\"P\"",
            ),
            must("round", POINT, "the circle's centre", "\"C\""),
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

pub(super) const READ: Key = must(
    "read",
    Takes::Sum(Kind::Any),
    "what the instrument showed",
    "\"2-1/32 in\"",
);
pub(super) const READING_WITH: Key = may(
    "with",
    INSTRUMENT,
    "the instrument, when not the one of [survey]",
    "\"tape\"",
);
pub(super) const HOOK: Key = may("hook", Takes::Flag, "taken from the hook end of a tape", "true");

pub(super) const READING_SHAPES: &[Shape] = &[
    Shape {
        lead: "between",
        keys: &[
            must(
                "between",
                TWO_POINTS,
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
                THREE_POINTS,
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
                POINT,
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
                TWO_HOLES,
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

pub(super) const MEASURE_TABLE: Takes = Takes::Table(&[
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

pub(super) const ARC_SHAPES: &[Shape] = &[
    Shape {
        lead: "via",
        keys: &[must(
            "via",
            POINT,
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

pub(super) const RELIEF: Takes = Takes::Either(&[
    Takes::Word(&["auto", "none"]),
    Takes::Table(&[
        must("width", LENGTH, "width of the slot, along the crease", "\"5 mm\""),
        must("past", LENGTH, "how far it goes past the bend", "\"3 mm\""),
    ]),
]);

pub(super) const BEND_LINE: Key = must(
    "line",
    Takes::Either(&[TWO_POINTS, LINE]),
    "the two ends of the crease, as [\"D\", \"E\"] or \"D-E\"",
    "[\"D\", \"E\"]",
);

pub(super) const BEND_SHAPES: &[Shape] = &[
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

pub(super) const HOLE_AT: Key = must(
    "at",
    Takes::Either(&[POINT, TWO_LENGTHS]),
    "the centre: a point, or across and up, which makes a point of the hole's own name",
    "\"H1\"",
);

pub(super) const HOLE_SHAPES: &[Shape] = &[
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

pub(super) const WINDOW_EXTRA_INSET: Key = may("inset", LENGTH, "moved in by this all round", "\"3/8 in\"");
pub(super) const WINDOW_EXTRA_CORNERS: Key = may("corners", LENGTH, "radius of its corners", "\"1/4 in\"");

pub(super) const WINDOW_SHAPES: &[Shape] = &[
    Shape {
        lead: "inside",
        keys: &[
            must(
                "inside",
                Takes::List {
                    of: &POINT,
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
            must(
                "panel",
                Takes::Name(Of::Panel),
                "the panel whose shape it takes",
                "\"arm\"",
            ),
            must("inset", LENGTH, "moved in by this all round", "\"3/8 in\""),
            WINDOW_EXTRA_CORNERS,
        ],
    },
];

pub(super) const MARK_SHAPES: &[Shape] = &[
    Shape {
        lead: "text",
        keys: &[
            must("text", Takes::Text, "the words to scribe", "\"this side up\""),
            must("at", POINT, "where the first letter starts", "\"T\""),
            may("height", LENGTH, "height of a capital", "\"6 mm\""),
        ],
    },
    Shape {
        lead: "line",
        keys: &[must("line", TWO_POINTS, "a scribed line", "[\"A\", \"B\"]")],
    },
];
