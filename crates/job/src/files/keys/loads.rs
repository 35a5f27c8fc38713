//! What a fit says of loads: the loads, which act together, what cannot happen, what must hold, and the proof test.

use super::fit::AXIS;
use super::*;

/// What a load is called in everyday words: how it comes on, and how it is usually met, follow from it.
pub const LOAD_KINDS: &[&str] = &[
    "push", "pull", "lean", "twist", "hit", "jam", "drop", "shake", "carry",
];

const AT: Takes = Takes::Either(&[Takes::Name(Of::PlaceOrSupport), THREE_LENGTHS]);

pub(super) const LOAD: Takes = Takes::Table(&[
    must(
        "kind",
        Takes::Word(LOAD_KINDS),
        "what happens, in a word; what is not said below follows from it",
        "\"push\"",
    ),
    may("force", FORCE, "how hard", "\"250 N\""),
    may(
        "mass",
        MASS,
        "instead of a force: what its weight is; for a drop: what falls",
        "\"1.6 kg\"",
    ),
    may(
        "toward",
        AXIS,
        "which way the part is pushed by it; down when a mass says how hard",
        "\"-x\"",
    ),
    may("moment", MOMENT, "how hard it is turned", "\"5 N m\""),
    may(
        "about",
        AXIS,
        "the axis it is turned about, counter-clockwise looking against it",
        "\"z\"",
    ),
    may(
        "at",
        AT,
        "where it acts: the support, a named place, or x, y, z; the support when absent",
        "\"support\"",
    ),
    may(
        "holes",
        Takes::List {
            of: &HOLE,
            least: 1,
            most: 12,
        },
        "instead of the support: the part's holes that it comes in by",
        "[\"g1\", \"g2\"]",
    ),
    may("height", LENGTH, "for a drop: how far it falls", "\"0.5 m\""),
    may(
        "factor",
        Takes::Number,
        "how much more it is at its worst than when still; the usual of its kind when absent",
        "1.5",
    ),
    may(
        "sudden",
        Takes::Flag,
        "does it come all at once? the usual of its kind when absent",
        "true",
    ),
    may(
        "both_ways",
        Takes::Flag,
        "does it act the other way too? the usual of its kind when absent",
        "true",
    ),
    may(
        "per_day",
        Takes::Number,
        "how many times a day; without it nothing is said of how long it lasts",
        "2000",
    ),
]);

pub(super) const TOGETHER: Takes = Takes::List {
    of: &Takes::Name(Of::Load),
    least: 2,
    most: 50,
};

pub(super) const NEVER: &[Key] = &[
    may(
        "drop",
        Takes::Text,
        "why it cannot be dropped",
        "\"it is chained to the bench\"",
    ),
    may(
        "jam",
        Takes::Text,
        "why it cannot catch on anything",
        "\"nothing near it moves\"",
    ),
];

pub(super) const LIMITS: &[Key] = &[
    may("mass", MASS, "the heaviest the bare part may be", "\"0.9 kg\""),
    may(
        "moves",
        LENGTH,
        "how far the support may move under load",
        "\"3 mm\"",
    ),
    may(
        "turns",
        ANGLE,
        "how far the support may turn under load",
        "\"2 deg\"",
    ),
    may(
        "times_yield",
        Takes::Number,
        "yield strength over stress, at least; 3 when absent",
        "3",
    ),
    may(
        "times_ultimate",
        Takes::Number,
        "ultimate strength over stress, at least; 5 when absent",
        "5",
    ),
    may(
        "times_sudden",
        Takes::Number,
        "yield strength over stress for a sudden load, at least; 2 when absent",
        "2",
    ),
    may("years", Takes::Number, "how many years it must last", "5"),
    may(
        "least_hz",
        Takes::Number,
        "the lowest frequency that it may swing at, in Hz",
        "20",
    ),
];

pub(super) const PROOF: Takes = Takes::Table(&[
    may("force", FORCE, "how hard it was pulled", "\"50 N\""),
    may(
        "mass",
        MASS,
        "instead of a force: what was hung on it",
        "\"5 kg\"",
    ),
    may(
        "toward",
        AXIS,
        "which way it was pulled; down when a mass was hung",
        "\"-z\"",
    ),
    may(
        "at",
        AT,
        "where it was pulled: the support, a named place, or x, y, z; the support when absent",
        "\"support\"",
    ),
    must("read", LENGTH, "how far it moved", "\"1.8 mm\""),
    may(
        "along",
        AXIS,
        "which way the movement was read; as it was pulled when absent",
        "\"-z\"",
    ),
    may(
        "where",
        AT,
        "where the movement was read; where it was pulled when absent",
        "\"support\"",
    ),
    may("with", INSTRUMENT, "the instrument", "\"caliper\""),
]);
