//! `[cutter]` of shop.toml, the kerf tests beside it, and what a cut costs.

use super::*;

/// The ways of cutting.
const PROCESSES: Takes = Takes::Word(&["plasma", "oxy", "laser", "waterjet", "router", "saw and drill"]);
const SPEED: Takes = Takes::Rate(Rate::Speed);
const TIME: Takes = Takes::Rate(Rate::Time);
const NUMBER: Takes = Takes::Number;
const TEXT: Takes = Takes::Text;
/// A number, or the least and the most of it.
const RANGE: Takes = Takes::Either(&[
    NUMBER,
    Takes::List {
        of: &NUMBER,
        least: 2,
        most: 2,
    },
]);
const TWO_WORDS: Takes = Takes::List {
    of: &TEXT,
    least: 2,
    most: 2,
};

const LEADS: &[Key] = &[
    may(
        "kinds",
        Takes::List {
            of: &Takes::Word(&["arc", "line"]),
            least: 1,
            most: 2,
        },
        "the kinds of lead to try, the best first",
        "[\"arc\", \"line\"]",
    ),
    may(
        "angle",
        ANGLE,
        "between a straight lead and the edge ahead",
        "\"45 deg\"",
    ),
    may("in", LENGTH, "length of the lead-in in thin plate", "\"3 mm\""),
    may(
        "in_thicknesses",
        Takes::Number,
        "what the lead-in is longer in thick plate, in thicknesses",
        "1.0",
    ),
    may("least", LENGTH, "no lead-in is shorter", "\"1.5 mm\""),
    may(
        "over_run",
        LENGTH,
        "how far the cut goes on past its start",
        "\"1 mm\"",
    ),
    may("out", LENGTH, "length of the lead-out", "\"2 mm\""),
];

const TABLE: &[Key] = &[
    may(
        "size",
        TWO_LENGTHS,
        "how far the torch reaches, x and y",
        "[\"1250 mm\", \"1250 mm\"]",
    ),
    may(
        "slats",
        LENGTH,
        "from slat to slat; 0 where the sheet lies on a board",
        "\"60 mm\"",
    ),
    may(
        "slats_run",
        Takes::Word(&["x", "y"]),
        "which way the slats run",
        "\"y\"",
    ),
    may(
        "first_slat",
        LENGTH,
        "where the first slat stands, from the table's corner",
        "\"30 mm\"",
    ),
    may(
        "clamps",
        Takes::List {
            of: &Takes::Table(&[
                may("name", Takes::Text, "what the clamp is called", "\"left clamp\""),
                must(
                    "from",
                    TWO_LENGTHS,
                    "its corner nearest the table's, x and y",
                    "[\"0 mm\", \"0 mm\"]",
                ),
                must(
                    "to",
                    TWO_LENGTHS,
                    "the corner across from that",
                    "[\"40 mm\", \"60 mm\"]",
                ),
            ]),
            least: 0,
            most: 100,
        },
        "what stands on the table and must stay clear",
        "",
    ),
    may(
        "sheet_at",
        TWO_LENGTHS,
        "where the lower left corner of the sheet lies on the table",
        "[\"0 mm\", \"0 mm\"]",
    ),
];

const CHART: &[Key] = &[
    must(
        "metal",
        Takes::Word(&["aluminium", "steel", "stainless"]),
        "the metal of this line of the chart",
        "\"steel\"",
    ),
    must("thickness", LENGTH, "the thickness of this line", "\"3 mm\""),
    must("feed", SPEED, "the feed while cutting", "\"3800 mm/min\""),
    may("delay", TIME, "the wait for the pierce", "\"0.4 s\""),
    may("pierce_height", LENGTH, "the height while piercing", "\"3.8 mm\""),
    may("cut_height", LENGTH, "the height while cutting", "\"1.5 mm\""),
    may(
        "source",
        Takes::Text,
        "where this line stands",
        "\"the machine's book, page 31\"",
    ),
];

const PROGRAM: &[Key] = &[
    may(
        "comments",
        Takes::Word(&["brackets", "semicolon", "none"]),
        "how words for people stand in the program",
        "\"brackets\"",
    ),
    may(
        "units",
        Takes::Word(&["mm", "in"]),
        "the unit of the program's numbers",
        "\"mm\"",
    ),
    may("decimals", Takes::Whole, "digits after the point", "4"),
    may(
        "centres",
        Takes::Word(&["from start", "absolute"]),
        "what I and J of an arc mean",
        "\"from start\"",
    ),
    may(
        "quarter_arcs",
        Takes::Flag,
        "the machine takes no arc longer than a quarter turn",
        "true",
    ),
    may(
        "torch",
        TWO_WORDS,
        "the words for torch on and off",
        "[\"M3\", \"M5\"]",
    ),
    may(
        "waits",
        Takes::Word(&["program", "machine"]),
        "who waits for the pierce",
        "\"program\"",
    ),
    may(
        "heights",
        Takes::Word(&["program", "machine"]),
        "who moves the torch up and down",
        "\"program\"",
    ),
    may(
        "height_control",
        TWO_WORDS,
        "the words that let the height control follow and hold",
        "[\"M64 P1\", \"M65 P1\"]",
    ),
    may("line_numbers", Takes::Whole, "step of the line numbers", "10"),
    may(
        "kerf_by",
        Takes::Word(&["path", "machine table", "machine width"]),
        "who shifts the path by half the kerf",
        "\"path\"",
    ),
    may(
        "kerf_row",
        Takes::Whole,
        "the row of the machine's table that holds the kerf",
        "1",
    ),
    may(
        "end",
        Takes::Word(&["M2", "M30"]),
        "the word that ends the program",
        "\"M2\"",
    ),
];

const RATES: &[Key] = &[
    may("money", Takes::Text, "what the money is called", "\"EUR\""),
    may("shop_hour", RANGE, "an hour in the shop", "[20, 30]"),
    may(
        "burning_minute",
        RANGE,
        "gas and power for a minute of cutting",
        "[0.1, 0.3]",
    ),
    may("set", RANGE, "one set of consumables", "[6, 9]"),
    may(
        "set_pierces",
        RANGE,
        "the pierces that wear out a set",
        "[150, 300]",
    ),
    may(
        "set_minutes",
        RANGE,
        "the minutes of cutting that wear out a set",
        "[60, 120]",
    ),
    may("plate_kg", RANGE, "a kilogram of plate", "[5, 8]"),
];

pub(super) const CUTTER: &[Key] = &[
    must("process", PROCESSES, "how plate is cut here", "\"plasma\""),
    may("kerf", LENGTH, "width of the cut", "\"1.6 mm\""),
    may(
        "least_hole",
        Takes::Number,
        "the least hole it cuts well, in thicknesses",
        "1.5",
    ),
    may(
        "square_side",
        Takes::Word(&["right", "left"]),
        "the side of the cut that comes out square, along the travel",
        "\"right\"",
    ),
    may("outside", Takes::Table(LEADS), "leads of outside edges", ""),
    may("inside", Takes::Table(LEADS), "leads of holes and windows", ""),
    may(
        "puddle",
        LENGTH,
        "how far round a pierce the plate is spoilt",
        "\"2 mm\"",
    ),
    may(
        "small_hole",
        Takes::Number,
        "up to this many thicknesses a hole is small and cut slower",
        "3",
    ),
    may(
        "hole_feed",
        Takes::Number,
        "the feed in small holes, as a share of the feed",
        "0.6",
    ),
    may(
        "leave_to_drill",
        LENGTH,
        "what is left on each side for a drill that takes the burnt edge",
        "\"0.8 mm\"",
    ),
    may(
        "size_class",
        Takes::Whole,
        "class of ISO 9013 that sizes come out in: 1 or 2",
        "2",
    ),
    may(
        "marks",
        Takes::Table(&[
            must("feed", SPEED, "feed of the marks", "\"5000 mm/min\""),
            must(
                "tick",
                LENGTH,
                "length of the mark at each end of a bend",
                "\"6 mm\"",
            ),
            may(
                "words",
                TWO_WORDS,
                "the words that put the marker on and off; without them marks are made by hand",
                "[\"M64 P2\", \"M65 P2\"]",
            ),
        ]),
        "the machine marks the plate without cutting through",
        "",
    ),
    may(
        "travel",
        Takes::Table(&[
            may("height", LENGTH, "height between cuts", "\"10 mm\""),
            may("speed", SPEED, "speed between cuts", "\"10000 mm/min\""),
            may(
                "acceleration",
                Takes::Rate(Rate::Acceleration),
                "how quickly it gets there",
                "\"1500 mm/s2\"",
            ),
        ]),
        "how the torch moves between cuts",
        "",
    ),
    may("table", Takes::Table(TABLE), "the table", ""),
    may(
        "zero",
        Takes::Either(&[
            Takes::Word(&["lower left", "lower right", "upper left", "upper right"]),
            TWO_LENGTHS,
        ]),
        "the corner of the sheet where zero is set, or a place on the table",
        "\"lower left\"",
    ),
    may(
        "chart",
        Takes::List {
            of: &Takes::Table(CHART),
            least: 0,
            most: 200,
        },
        "the machine's own cut chart, which goes before the handbook's",
        "",
    ),
    may(
        "program",
        Takes::Table(PROGRAM),
        "how the controller is spoken to",
        "",
    ),
    may(
        "rates",
        Takes::Table(RATES),
        "what things cost here, each a number or its range",
        "",
    ),
];

pub(super) const KERFS: &[Key] = &[
    must(
        "plate",
        Takes::Stock,
        "metal and thickness",
        "\"5052-H32 3/16 in\"",
    ),
    must("pitch", LENGTH, "from slot to slot of the test comb", "\"12 mm\""),
    must(
        "teeth",
        THREE_LENGTHS,
        "the three teeth by caliper",
        "[\"10.42 mm\", \"10.40 mm\", \"10.45 mm\"]",
    ),
    may("date", Takes::Text, "when", "\"2026-03-02\""),
];
