//! Every key of the three files, said once: what it takes, whether it must be there, what it means, an example. The
//! reader checks files against these tables, the JSON Schema is made from them, and so is the reference in
//! docs/files.md; so the three cannot drift apart.

pub(crate) mod bender;
mod cutter;
mod design;
mod drawn;
mod fit;
mod found;
mod loads;
mod shop;
mod strips;
mod told;

pub use design::DESIGN;
pub use fit::FIT;
pub(crate) use found::takes_at;
pub use loads::LOAD_KINDS;
pub use shop::SHOP;
pub use told::keys_json;

use super::rate::Rate;

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
    /// A speed, a time or an acceleration.
    Rate(Rate),
    /// The name of something that is said elsewhere: letters, digits, underscore.
    Name(Of),
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

/// What is named by a [`Takes::Name`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// A point of the mock-up; a hole that is placed by numbers makes one of its own name.
    Point,
    /// A round hole.
    Hole,
    /// A round hole or a slot.
    HoleOrSlot,
    /// A panel that was given a name.
    Panel,
    /// An instrument, of the shop's own or of the handbook.
    Instrument,
    /// A measure of the design.
    Measure,
    /// A place on the equipment.
    Place,
    /// A place on the equipment, or the support.
    PlaceOrSupport,
    /// A load.
    Load,
}

/// What the names of a [`Takes::Named`] table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameOf {
    /// A new name.
    Thing,
    /// The name of something that is said elsewhere.
    Known(Of),
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
    /// N, lbf
    Force,
    /// N m, lbf ft
    Moment,
    /// N/mm, lbf/in
    Stiffness,
    /// N m/deg
    TurnStiffness,
    /// N/mm, of what a length stands or carries
    PerLength,
    /// Whatever the measure is of.
    Any,
}
pub(super) const fn must(name: &'static str, takes: Takes, says: &'static str, example: &'static str) -> Key {
    Key {
        name,
        takes,
        must: true,
        says,
        example,
    }
}

pub(super) const fn may(name: &'static str, takes: Takes, says: &'static str, example: &'static str) -> Key {
    Key {
        name,
        takes,
        must: false,
        says,
        example,
    }
}

pub(super) const LENGTH: Takes = Takes::Sum(Kind::Length);
pub(super) const ANGLE: Takes = Takes::Sum(Kind::Angle);
pub(super) const FORCE: Takes = Takes::Sum(Kind::Force);
pub(super) const MOMENT: Takes = Takes::Sum(Kind::Moment);
pub(super) const MASS: Takes = Takes::Sum(Kind::Mass);
pub(super) const POINT: Takes = Takes::Name(Of::Point);
pub(super) const HOLE: Takes = Takes::Name(Of::Hole);
pub(super) const INSTRUMENT: Takes = Takes::Name(Of::Instrument);
pub(super) const LINE: Takes = Takes::Line;
pub(super) const TWO_POINTS: Takes = Takes::List {
    of: &POINT,
    least: 2,
    most: 2,
};
pub(super) const THREE_POINTS: Takes = Takes::List {
    of: &POINT,
    least: 3,
    most: 3,
};
pub(super) const TWO_HOLES: Takes = Takes::List {
    of: &HOLE,
    least: 2,
    most: 2,
};
pub(super) const TWO_LINES: Takes = Takes::List {
    of: &LINE,
    least: 2,
    most: 2,
};
pub(super) const TWO_LENGTHS: Takes = Takes::List {
    of: &LENGTH,
    least: 2,
    most: 2,
};
pub(super) const THREE_LENGTHS: Takes = Takes::List {
    of: &LENGTH,
    least: 3,
    most: 3,
};
pub(super) const PLACE: Takes = Takes::Either(&[Takes::Name(Of::Place), THREE_LENGTHS]);
pub(super) const SIDE: Takes = Takes::Word(&["left", "right"]);
pub(super) const UNITS: Takes = Takes::Word(&["mm", "cm", "m", "in", "ft"]);
pub(super) const HAND: Takes = Takes::Word(&["right", "left"]);
/// The most points of an outline.
pub const MOST_POINTS: usize = 2000;

pub(super) const VERSION: Key = must("gusset", Takes::Whole, "the version of this file's form; 1", "1");
pub(super) const FILE_UNITS: Key = may("units", UNITS, "the unit of a bare number in this file", "\"in\"");
