//! shop.toml: a test strip that was bent and measured.

use super::*;

/// A row of `[[strips]]`.
pub(super) const STRIPS: &[Key] = &[
    must(
        "plate",
        Takes::Stock,
        "metal and thickness",
        "\"5052-H32 3/16 in\"",
    ),
    must("thickness", LENGTH, "thickness by caliper", "\"4.75 mm\""),
    may(
        "radius",
        LENGTH,
        "inside radius that came, by a radius gauge; this or expects",
        "\"7.1 mm\"",
    ),
    may(
        "expects",
        LENGTH,
        "inside radius that the tool should leave, where none was gauged",
        "\"6.4 mm\"",
    ),
    must("bent", ANGLE, "angle bent through, measured", "\"90 deg\""),
    may(
        "loaded",
        ANGLE,
        "angle it was bent through under load, before the tool let go",
        "\"92 deg\"",
    ),
    must("flat", LENGTH, "length of the strip before bending", "\"150 mm\""),
    must(
        "legs",
        TWO_LENGTHS,
        "both outside legs, to the sharp corner",
        "[\"79.6 mm\", \"79.5 mm\"]",
    ),
    may(
        "tool",
        Takes::Text,
        "the tool it was bent with: its name here, as V 24 die",
        "\"V 24 die\"",
    ),
    may(
        "grain",
        Takes::Word(&["along", "across"]),
        "how the line of the bend lay to the way the sheet was rolled",
        "\"across\"",
    ),
    may("date", Takes::Text, "when", "\"2026-03-02\""),
];
