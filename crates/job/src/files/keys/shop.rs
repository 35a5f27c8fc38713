//! shop.toml

use super::bender::BENDER;
use super::cutter::{CUTTER, KERFS};
use super::strips::STRIPS;
use super::*;

/// Corners of a piece, each its x and y.
const CORNERS: Takes = Takes::List {
    of: &TWO_LENGTHS,
    least: 3,
    most: 500,
};

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
                may(
                    "name",
                    Takes::Text,
                    "what this one is called",
                    "\"offcut by the door\"",
                ),
                may(
                    "outline",
                    CORNERS,
                    "corners of an odd piece, from its lower left",
                    "[[\"0 mm\", \"0 mm\"], [\"300 mm\", \"0 mm\"], [\"0 mm\", \"200 mm\"]]",
                ),
                may(
                    "gone",
                    Takes::List {
                        of: &CORNERS,
                        least: 0,
                        most: 1000,
                    },
                    "corners of each place that is cut away already",
                    "[[[\"5 mm\", \"5 mm\"], [\"95 mm\", \"5 mm\"], [\"95 mm\", \"65 mm\"]]]",
                ),
                may(
                    "grain",
                    Takes::Word(&["x", "y"]),
                    "the way the sheet was rolled",
                    "\"x\"",
                ),
            ]),
            least: 0,
            most: 1000,
        },
        "sheets and remnants at hand",
        "",
    ),
    may("cutter", Takes::Table(CUTTER), "the cutter", ""),
    may(
        "kerfs",
        Takes::List {
            of: &Takes::Table(KERFS),
            least: 0,
            most: 1000,
        },
        "kerf tests that were cut and measured",
        "",
    ),
    may("bender", Takes::Table(BENDER), "the bending tools", ""),
    may(
        "welder",
        Takes::Table(&[
            must(
                "process",
                Takes::Word(&["MIG", "TIG", "stick"]),
                "how plate is welded here",
                "\"TIG\"",
            ),
            may("filler", Takes::Text, "the filler metal", "\"5356\""),
        ]),
        "the welder",
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
            of: &Takes::Table(STRIPS),
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
