//! What a fit says.

use super::*;

/// fits/NAME.toml
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Who or what it is for, in the user's words.
    pub title: Name,
    /// The hand; the design's when absent.
    pub hand: Option<Told<Hand>>,
    /// The five questions.
    pub care: Care,
    /// Values for measures the design lets a fit give.
    pub measures: Vec<(Name, Sum)>,
    /// Named places on the equipment.
    pub places: Vec<PlaceDef>,
    /// Distances between named places.
    pub place_readings: Vec<PlaceReading>,
    /// Where the part is fastened.
    pub mounts: Vec<MountDef>,
    /// Where it is not fastened and could be: each takes one bolt, and has no hole of the part.
    pub unused: Vec<MountDef>,
    /// What carries the body.
    pub support: Option<SupportDef>,
    /// Spaces to stay clear of.
    pub keep_outs: Vec<KeepOutDef>,
    /// Limits on the part, and what it must hold.
    pub limits: LimitsDef,
    /// Which way is down; -z when absent.
    pub down: Option<Told<[f64; 3]>>,
    /// What the part carries.
    pub loads: Vec<LoadDef>,
    /// Loads that act at the same time.
    pub together: Vec<TogetherDef>,
    /// What cannot happen.
    pub never: NeverDef,
    /// Readings of the test on the bench.
    pub proof: Vec<ProofDef>,
}

/// `[care]`: the five questions that come before geometry.
#[derive(Debug, Clone, PartialEq)]
pub struct Care {
    /// What the part is used for, in the user's words.
    pub purpose: Name,
    /// Does anyone's weight hang on it?
    pub weight: Told<bool>,
    /// Could it hold someone under water or to something that moves?
    pub held: Told<bool>,
    /// Does it steer, brake or fire anything?
    pub control: Told<Control>,
    /// Can the person feel the skin it touches?
    pub feels: Told<bool>,
    /// Can the other hand let go of it in two seconds?
    pub release: Told<bool>,
    /// What it is fastened to, for the things that must not be drilled or welded.
    pub onto: Option<Name>,
}

/// The answers to the care questions as far as they are given: each by itself, whatever is wrong with the others.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct CareSaid {
    pub purpose: Option<Name>,
    pub weight: Option<Told<bool>>,
    pub held: Option<Told<bool>>,
    pub control: Option<Told<Control>>,
    pub feels: Option<Told<bool>>,
    pub release: Option<Told<bool>>,
    pub onto: Option<Name>,
}

impl CareSaid {
    /// All of them, where none is missing.
    pub fn whole(self) -> Option<Care> {
        Some(Care {
            purpose: self.purpose?,
            weight: self.weight?,
            held: self.held?,
            control: self.control?,
            feels: self.feels?,
            release: self.release?,
            onto: self.onto,
        })
    }
}

impl From<&Care> for CareSaid {
    fn from(care: &Care) -> CareSaid {
        CareSaid {
            purpose: Some(care.purpose.clone()),
            weight: Some(care.weight.clone()),
            held: Some(care.held.clone()),
            control: Some(care.control.clone()),
            feels: Some(care.feels.clone()),
            release: Some(care.release.clone()),
            onto: care.onto.clone(),
        }
    }
}

/// Steering, braking, firing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Control {
    /// None of them.
    No,
    /// It helps, and another control does the same without it.
    Beside,
    /// It is the only one.
    Only,
}

/// `[places]`: a named place on the equipment, a start for those found by distances.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceDef {
    /// Name.
    pub name: Name,
    /// x, y, z.
    pub at: [Sum; 3],
    /// Known as said; otherwise a rough start that the readings correct.
    pub rough: bool,
}

/// `[[place_readings]]`
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceReading {
    /// Two places.
    pub between: [Name; 2],
    /// The distance read.
    pub read: Sum,
    /// Instrument.
    pub with: Option<Name>,
    /// Where the row stands.
    pub at: Place,
}

/// Where something is on the equipment.
#[derive(Debug, Clone, PartialEq)]
pub enum Where {
    /// Three coordinates.
    At([Sum; 3]),
    /// A named place.
    Place(Name),
}

/// `[mounts.m1]`
#[derive(Debug, Clone, PartialEq)]
pub struct MountDef {
    /// Name.
    pub name: Name,
    /// The hole (or slot) of the part that comes here: one, two for a clamp, none where the part is not fastened.
    pub holes: Vec<Name>,
    /// What is there.
    pub kind: MountKind,
    /// Its place: the middle of the seat (for a clamp, half way between its two bolts).
    pub at: Where,
    /// Unit direction out of the seat, toward the plate.
    pub axis: Told<[f64; 3]>,
    /// The bolt.
    pub bolt: Told<units::Thread>,
    /// Largest gap at the seat that the bolt may pull down.
    pub gap: Option<Sum>,
    /// Largest tilt of the plate against the seat.
    pub tilt: Option<Sum>,
    /// How the bolt is made and tightened.
    pub fastening: FasteningDef,
    /// How wide the flat is that the plate rests on.
    pub seat: Option<Sum>,
    /// For a tapped hole: the metal that the thread is in.
    pub metal: Option<Name>,
    /// For a tapped hole: how deep the bolt goes into the thread.
    pub depth: Option<Sum>,
}

/// How a bolt or screw is made and tightened.
#[derive(Debug, Clone, PartialEq)]
pub struct FasteningDef {
    /// The grade marked on its head.
    pub grade: Option<Name>,
    /// What it is tightened to.
    pub torque: Option<Sum>,
    /// Outside diameter of the washer under its head.
    pub washer: Option<Sum>,
}

/// Kinds of mount.
#[derive(Debug, Clone, PartialEq)]
pub enum MountKind {
    /// Tapped: the bolt stands where the thread is.
    TappedHole,
    /// A through hole: the bolt may move in it too.
    ThroughHole {
        /// Its diameter.
        dia: Sum,
    },
    /// A slot in the equipment.
    Slot {
        /// Across.
        width: Sum,
        /// From end to end.
        length: Sum,
        /// Direction of its length.
        along: Told<[f64; 3]>,
    },
    /// A clamp on a tube: two bolts, this far apart.
    Clamp {
        /// Apart.
        apart: Sum,
        /// From the first hole to the second.
        along: Told<[f64; 3]>,
    },
}

/// `[support]`
#[derive(Debug, Clone, PartialEq)]
pub struct SupportDef {
    /// Its holes in the part, in order; the support's centre is their middle and its length runs first to last.
    pub holes: Vec<Name>,
    /// Where its centre must sit.
    pub at: Where,
    /// Turned about the equipment's y, so that the facing tips toward -x: pitched back.
    pub pitch: Option<Sum>,
    /// Then turned about the equipment's z, counter-clockwise from above: toed in.
    pub toe: Option<Sum>,
    /// Before both, turned about its own length, counter-clockwise looking against it.
    pub roll: Option<Sum>,
    /// Apart: its own hole pattern, end to end.
    pub apart: Option<Sum>,
    /// Bolt of its holes.
    pub bolt: Option<Told<units::Thread>>,
    /// How far off it may sit.
    pub allowed: Option<Sum>,
    /// How far it may be turned.
    pub allowed_turn: Option<Sum>,
    /// How its screws are made and tightened.
    pub fastening: FasteningDef,
    /// The force that moves it by so much; rigid when absent.
    pub stiff_along: Option<Sum>,
    /// The moment that turns it by so much; rigid when absent.
    pub stiff_about: Option<Sum>,
    /// What it weighs, with everything that rides on it.
    pub mass: Option<Sum>,
}

/// `[keep_outs.k1]`
#[derive(Debug, Clone, PartialEq)]
pub struct KeepOutDef {
    /// Name.
    pub name: Name,
    /// Shape.
    pub shape: KeepOutShape,
    /// Least clearance; 0 when absent.
    pub clear: Option<Sum>,
}

/// Shapes of a keep-out.
#[derive(Debug, Clone, PartialEq)]
pub enum KeepOutShape {
    /// `box = [w, d, h]`, `at` its middle, square to the axes.
    Box {
        /// Middle.
        at: Where,
        /// Sizes along x, y, z.
        size: [Sum; 3],
    },
    /// `cylinder`: from, to, radius (flat ends).
    Cylinder {
        /// One end.
        from: Where,
        /// Other end.
        to: Where,
        /// Radius.
        radius: Sum,
    },
    /// `capsule`: from, to, radius (round ends).
    Capsule {
        /// One end.
        from: Where,
        /// Other end.
        to: Where,
        /// Radius.
        radius: Sum,
    },
    /// `beyond`: everything past a plane, in the direction of `toward`.
    Beyond {
        /// A point of the plane.
        at: Where,
        /// Into what must stay free.
        toward: Told<[f64; 3]>,
    },
}
