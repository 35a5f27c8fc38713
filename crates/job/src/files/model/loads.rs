//! What a fit says of loads.

use super::*;

/// What a load is called in everyday words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LoadKind {
    /// Steady, away from the body.
    Push,
    /// Steady, toward the body.
    Pull,
    /// Steady, to one side.
    Lean,
    /// A turn.
    Twist,
    /// A blow.
    Hit,
    /// It catches on something and stops at once.
    Jam,
    /// It falls, and lands on the part.
    Drop,
    /// To and fro.
    Shake,
    /// A weight that rests on it.
    Carry,
}

impl LoadKind {
    /// Every kind, in the order of the words in the keys.
    pub const ALL: [Self; 9] = [
        Self::Push,
        Self::Pull,
        Self::Lean,
        Self::Twist,
        Self::Hit,
        Self::Jam,
        Self::Drop,
        Self::Shake,
        Self::Carry,
    ];

    /// As it is written.
    pub fn word(self) -> &'static str {
        match self {
            Self::Push => "push",
            Self::Pull => "pull",
            Self::Lean => "lean",
            Self::Twist => "twist",
            Self::Hit => "hit",
            Self::Jam => "jam",
            Self::Drop => "drop",
            Self::Shake => "shake",
            Self::Carry => "carry",
        }
    }

    /// The kind of this word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// `[loads.push]`
#[derive(Debug, Clone, PartialEq)]
pub struct LoadDef {
    /// Name.
    pub name: Name,
    /// What happens.
    pub kind: Told<LoadKind>,
    /// How hard.
    pub how: LoadHow,
    /// Where it acts.
    pub at: LoadAt,
    /// How much more it is at its worst than when still; the usual of its kind when absent.
    pub factor: Option<Told<f64>>,
    /// Does it come all at once? The usual of its kind when absent.
    pub sudden: Option<Told<bool>>,
    /// Does it act the other way too? The usual of its kind when absent.
    pub both_ways: Option<Told<bool>>,
    /// How many times a day; not known when absent.
    pub per_day: Option<Told<f64>>,
}

/// How hard a load is, and which way.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadHow {
    /// A force, a moment or both; never neither.
    Steady {
        /// Push.
        force: Option<ForceDef>,
        /// Turn, and the axis.
        moment: Option<(Sum, Told<[f64; 3]>)>,
    },
    /// Something falls with the part, or on it.
    Fall {
        /// What falls.
        mass: Sum,
        /// How far.
        height: Sum,
        /// Which way the blow pushes the part; up when absent.
        toward: Option<Told<[f64; 3]>>,
    },
}

/// A force by its size and direction.
#[derive(Debug, Clone, PartialEq)]
pub enum ForceDef {
    /// So hard, that way.
    Force {
        /// N.
        size: Sum,
        /// Unit direction in which it pushes the part.
        toward: Told<[f64; 3]>,
    },
    /// The weight of so much.
    Weight {
        /// kg.
        mass: Sum,
        /// Which way; down when absent.
        toward: Option<Told<[f64; 3]>>,
    },
}

/// Where a load acts.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadAt {
    /// At the support.
    Support,
    /// At a place of the equipment: by way of the support, or without one on the plate where it is nearest.
    Place(Box<Where>),
    /// At these holes of the part.
    Holes(Vec<Name>),
}

/// A row of `[together]`.
#[derive(Debug, Clone, PartialEq)]
pub struct TogetherDef {
    /// Name.
    pub name: Name,
    /// Names of loads.
    pub loads: Vec<Name>,
}

/// `[never]`: why something that is always asked for cannot happen.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct NeverDef {
    /// A drop.
    pub drop: Option<Name>,
    /// A jam.
    pub jam: Option<Name>,
}

/// `[limits]`
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LimitsDef {
    /// Largest mass of the bare part.
    pub mass: Option<Sum>,
    /// Largest movement of the support.
    pub moves: Option<Sum>,
    /// Largest turn of the support.
    pub turns: Option<Sum>,
    /// Yield strength over stress, at least.
    pub times_yield: Option<Told<f64>>,
    /// Ultimate strength over stress, at least.
    pub times_ultimate: Option<Told<f64>>,
    /// Yield strength over stress for a sudden load, at least.
    pub times_sudden: Option<Told<f64>>,
    /// Years it must last.
    pub years: Option<Told<f64>>,
    /// Lowest frequency, Hz.
    pub least_hz: Option<Told<f64>>,
}

/// `[[proof]]`: one step of the test on the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct ProofDef {
    /// What it was pulled by.
    pub pull: ForceDef,
    /// Where; never by holes.
    pub at: LoadAt,
    /// How far it moved.
    pub read: Sum,
    /// Which way the movement was read; as it was pulled when absent.
    pub along: Option<Told<[f64; 3]>>,
    /// Where the movement was read; where it was pulled when absent.
    pub read_at: Option<LoadAt>,
    /// Instrument.
    pub with: Option<Name>,
    /// Where the row stands.
    pub said: Place,
}
