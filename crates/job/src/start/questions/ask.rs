//! The questions themselves: their order, their keys, and the words to choose from.

/// One of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ask {
    Title,
    FitTitle,
    Purpose,
    Onto,
    Weight,
    Held,
    Control,
    Feels,
    Release,
    Hand,
    Unit,
    Stock,
    Form,
    Width,
    Leg,
    OtherLeg,
    Bent,
    Bolt,
    Loads,
    Kind,
    Size,
    Way,
    PerDay,
    Fall,
    FallMass,
    Jam,
    JamWay,
}

use Ask::{
    Bent, Bolt, Control, Fall, FallMass, Feels, FitTitle, Hand, Held, Jam, JamWay, Kind, Leg, Loads, Onto,
    OtherLeg, PerDay, Purpose, Release, Size, Stock, Title, Unit, Way, Weight, Width,
};

/// In the order in which they are asked: the care before the geometry, what it carries last.
pub(super) const ALL: [Ask; 27] = [
    Title,
    FitTitle,
    Purpose,
    Onto,
    Weight,
    Held,
    Control,
    Feels,
    Release,
    Hand,
    Unit,
    Stock,
    Ask::Form,
    Width,
    Leg,
    OtherLeg,
    Bent,
    Bolt,
    Loads,
    Kind,
    Size,
    Way,
    PerDay,
    Fall,
    FallMass,
    Jam,
    JamWay,
];

/// Those that every use of a design needs: the care, the hand, the unit of what is typed.
pub(super) const OF_CARE: [Ask; 9] = [Purpose, Onto, Weight, Held, Control, Feels, Release, Hand, Unit];
/// The five that come before geometry.
pub(super) const FIVE: [Ask; 5] = [Weight, Held, Control, Feels, Release];

/// What may be typed, and the word that it stands for.
pub(super) type Words = &'static [(&'static str, &'static str)];

pub(super) const YES_NO: Words = &[("yes", "yes"), ("no", "no"), ("y", "yes"), ("n", "no")];
/// Directions along the axes of the equipment.
const WAYS: Words = &[
    ("x", "x"),
    ("-x", "-x"),
    ("y", "y"),
    ("-y", "-y"),
    ("z", "z"),
    ("-z", "-z"),
    ("+x", "x"),
    ("+y", "y"),
    ("+z", "z"),
];

impl Ask {
    pub(super) fn key(self) -> &'static str {
        match self {
            Title => "title",
            FitTitle => "fit_title",
            Purpose => "purpose",
            Onto => "onto",
            Weight => "weight",
            Held => "held",
            Control => "control",
            Feels => "feels",
            Release => "release",
            Hand => "hand",
            Unit => "unit",
            Stock => "stock",
            Ask::Form => "form",
            Width => "width",
            Leg => "leg",
            OtherLeg => "other_leg",
            Bent => "bent",
            Bolt => "bolt",
            Loads => "loads",
            Kind => "kind",
            Size => "size",
            Way => "way",
            PerDay => "per_day",
            Fall => "fall",
            FallMass => "fall_mass",
            Jam => "jam",
            JamWay => "jam_way",
        }
    }

    pub(super) fn choices(self) -> Words {
        match self {
            Weight | Held | Feels | Release => YES_NO,
            Control => &[
                ("no", "no"),
                ("beside another", "beside another"),
                ("only", "only"),
                ("beside", "beside another"),
            ],
            Hand => &[("right", "right"), ("left", "left")],
            Unit => &[("mm", "mm"), ("in", "in")],
            Ask::Form => &[("flat", "flat"), ("one bend", "one bend"), ("bend", "one bend")],
            Loads => &[
                ("now", "now"),
                ("later", "later"),
                ("yes", "now"),
                ("no", "later"),
            ],
            Way | JamWay => WAYS,
            _ => &[],
        }
    }
}

/// The word that what was typed stands for.
pub(super) fn word_of(words: Words, typed: &str) -> Option<&'static str> {
    let typed = typed.to_lowercase();
    let mut words = words.iter();
    words.find(|(said, _)| *said == typed).map(|(_, word)| *word)
}
