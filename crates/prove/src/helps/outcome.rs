//! What came of the changes that were solved.

use nalgebra::Point3;

use super::change::{CannotChange, Change, Changed, Costs, Kind};
use super::rank::Foretold;
use crate::weld::ThroatStress;

/// How the answer to a question stands with a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// Yes.
    Yes,
    /// With care.
    Care,
    /// No.
    No,
    /// It was not checked.
    NotChecked,
}

/// Whether a changed part still fits, and can be cut and bent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Still {
    /// It goes on its mounts, clear of what it must be clear of.
    pub fits: Stands,
    /// It can be cut.
    pub cuts: Stands,
    /// It can be bent.
    pub bends: Stands,
}

impl Still {
    /// Nothing speaks against it.
    pub fn stands(&self) -> bool {
        [self.fits, self.cuts, self.bends]
            .iter()
            .all(|answer| *answer != Stands::No)
    }
}

/// The weld of an added plate that is nearest to breaking: the mean over the stretch of it that carries most, as long as
/// the least that its fillet is counted on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldWeld {
    /// Leg of its fillets, mm.
    pub leg_mm: f64,
    /// Force through a mm of it, N/mm.
    pub line_n_mm: f64,
    /// Stress in the throat.
    pub throat: ThroatStress,
    /// The middle of that stretch, in equipment axes.
    pub at: Point3<f64>,
    /// Times the load that breaks it.
    pub breaks_at: f64,
    /// That as a share of what is asked for: over 1 it does not hold.
    pub used: f64,
}

/// Whether the welds of what is added were checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Welds {
    /// Nothing is welded on.
    None,
    /// Every one was.
    Checked,
    /// The metal is not to be welded, or too little is known of its welds.
    NotKnown,
}

/// What one load does to a part.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldCase {
    /// The load's name.
    pub name: String,
    /// Highest stress, MPa.
    pub stress_mpa: f64,
    /// The same, as a share of what is allowed; 0 when nothing is known.
    pub stress_used: f64,
    /// How far the support moves, mm.
    pub moves_mm: f64,
    /// The movement or turn of the support as a share of what is allowed; 0 when nothing is.
    pub moves_used: f64,
    /// How far the support turns across the line from the mounts to it, rad: bending.
    pub bend_rad: f64,
    /// How far it turns about that line, rad: twist.
    pub twist_rad: f64,
    /// The added weld that is nearest to breaking; none when nothing is welded on, or nothing is known of its welds.
    pub weld: Option<HeldWeld>,
}

/// What the loads do to a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// For each load.
    pub cases: Vec<HeldCase>,
    /// Share used of the limit that decides, over all that is checked (bolts and welds too): over 1 it does not hold.
    pub used: f64,
    /// Whether the welds of what is added are among it.
    pub welds: Welds,
}

impl Held {
    /// The added weld that is nearest to breaking, with the load under which it is.
    pub fn tightest_weld(&self) -> Option<(&str, &HeldWeld)> {
        let welds = self.cases.iter();
        let welds = welds.filter_map(|case| Some((case.name.as_str(), case.weld.as_ref()?)));
        welds.max_by(|a, b| a.1.used.total_cmp(&b.1.used))
    }
}

/// Bending, or twist, under this share of the whole turn counts as this share when a change is held against it: of next to
/// nothing anything is many times more.
const HARDLY_TURNS: f64 = 0.05;

/// What was gained under one load, as shares of what there was; below 0 it is worse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gained {
    /// Less movement.
    pub stiffness: f64,
    /// Less turn by bending.
    pub bending: f64,
    /// Less turn by twist.
    pub twist: f64,
    /// Less stress.
    pub strength: f64,
}

impl Gained {
    pub(super) fn from(before: &HeldCase, now: &HeldCase) -> Self {
        let less = |before: f64, now: f64, of: f64| {
            if of > 0.0 {
                (before.abs() - now.abs()) / of
            } else {
                0.0
            }
        };
        let all = |before: f64, now: f64| less(before, now, before.abs());
        let hardly_rad = HARDLY_TURNS * before.bend_rad.hypot(before.twist_rad);
        let turn = |before: f64, now: f64| less(before, now, before.abs().max(hardly_rad));
        Self {
            stiffness: all(before.moves_mm, now.moves_mm),
            bending: turn(before.bend_rad, now.bend_rad),
            twist: turn(before.twist_rad, now.twist_rad),
            strength: all(before.stress_mpa, now.stress_mpa),
        }
    }
}

/// A change solved in full.
#[derive(Debug, Clone, PartialEq)]
pub struct Help {
    /// The change.
    pub change: Change,
    /// The part as changed.
    pub changed: Changed,
    /// Mass of the changed part with all that is welded on, g.
    pub mass_g: f64,
    /// Whether it still fits, cuts and bends.
    pub still: Still,
    /// What was foretold.
    pub foretold: Foretold,
    /// What the loads do to it.
    pub held: Held,
    /// What was gained, for each load.
    pub gained: Vec<Gained>,
    /// The same on meshes refined until the numbers are as near as asked; none when only the one mesh was solved that all
    /// are compared on.
    pub refined: Option<Held>,
}

impl Help {
    /// It holds within every limit, its welds too, fits, cuts and bends as far as that was checked. What is welded on with
    /// welds of which too little is known does not.
    pub fn passes(&self) -> bool {
        self.held.used <= 1.0
            && self.used() <= 1.0
            && self.held.welds != Welds::NotKnown
            && self.still.stands()
    }

    /// Share used of the limit that decides, as finely as it was solved.
    pub fn used(&self) -> f64 {
        self.finest().used
    }

    /// What the loads do to it, as finely as it was solved.
    pub fn finest(&self) -> &Held {
        self.refined.as_ref().unwrap_or(&self.held)
    }

    /// What it costs.
    pub fn costs(&self) -> Costs {
        self.changed.costs
    }
}

/// A change that was not solved.
#[derive(Debug, Clone, PartialEq)]
pub enum Dropped<E> {
    /// It cannot be made.
    Cannot(Change, CannotChange),
    /// It could not be solved.
    Unsolved(Change, E),
}

/// What would help.
#[derive(Debug, Clone, PartialEq)]
pub struct Helps<E> {
    /// The part as it is.
    pub before: Held,
    /// Its mass, g.
    pub mass_g: f64,
    /// What was solved: first what passes, the lightest first; then the rest, by how much of the limit is gained per gram.
    pub solved: Vec<Help>,
    /// What was well ranked and could not be made or solved, in the order of the ranking.
    pub dropped: Vec<Dropped<E>>,
    /// How many changes were ranked.
    pub ranked: usize,
}

impl<E> Helps<E> {
    /// The lightest that passes by thicker plate alone: what the others are measured against.
    pub fn by_plate(&self) -> Option<&Help> {
        self.solved
            .iter()
            .find(|help| help.passes() && help.change.kind() == Kind::Stock)
    }

    /// The lightest that passes in any other way.
    pub fn otherwise(&self) -> Option<&Help> {
        self.solved
            .iter()
            .find(|help| help.passes() && help.change.kind() != Kind::Stock)
    }
}
