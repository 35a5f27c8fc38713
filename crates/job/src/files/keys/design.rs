//! design.toml

use super::drawn::*;
use super::*;

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
                Takes::Name(Of::Panel),
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
            INSTRUMENT,
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
                    of: &POINT,
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
                    key: NameOf::Known(Of::Point),
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
                must("from", POINT, "centre of one round end", "\"P\""),
                must("to", POINT, "centre of the other", "\"Q\""),
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
            of: &POINT,
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
                may(
                    "throat",
                    LENGTH,
                    "the weld from its root to its face, where it is thinnest",
                    "\"2.5 mm\"",
                ),
                may(
                    "leg",
                    LENGTH,
                    "instead of the throat: the side of an even fillet weld",
                    "\"3.5 mm\"",
                ),
                may(
                    "sides",
                    Takes::Word(&["one", "both"]),
                    "welded from one side or from both; one when absent",
                    "\"one\"",
                ),
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
