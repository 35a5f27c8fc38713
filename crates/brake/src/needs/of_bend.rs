//! All that one bend asks for with certain tools, in one place.

use handbook::Sourced;

use super::force::Force;
use super::leg::OverV;
use super::practice::Practice;
use super::radius::{Comes, comes};
use super::spring::{Spring, spring};
use crate::tooling::{Means, Tooling};
use crate::work::{Line, Work};

/// How the bend lies to the grain of the sheet: bent along it, it cracks sooner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grain {
    /// The bend line crosses the grain.
    Across,
    /// It lies slantwise.
    Slanting,
    /// It runs along it.
    Along,
    /// The grain is not known.
    Unknown,
}

impl Grain {
    /// Within this of the grain's direction, a bend line runs along it; within it of a right angle, across.
    const NEAR_RAD: f64 = 0.35;

    /// From the bend's line and the grain, both on the blank.
    pub fn of(line: &Line, grain: Option<plane::Vector>) -> Grain {
        let Some(grain) = grain.and_then(|grain| grain.try_normalize(plane::SAME_POINT_MM)) else {
            return Grain::Unknown;
        };
        // The line is square to `across`.
        let turned = grain.dot(&line.across).abs().clamp(0.0, 1.0).asin();
        if turned < Self::NEAR_RAD {
            Grain::Along
        } else if turned > std::f64::consts::FRAC_PI_2 - Self::NEAR_RAD {
            Grain::Across
        } else {
            Grain::Slanting
        }
    }
}

/// Whether the outside of the bend may crack.
#[derive(Debug, Clone, PartialEq)]
pub struct Crack {
    /// The inside radius that comes, or the one drawn where that is not known, mm.
    pub radius_mm: f64,
    /// The least that the metal takes, with what the grain adds, mm; none where the handbook has no row.
    pub least_mm: Option<Sourced<f64>>,
    /// How the bend lies to the grain.
    pub grain: Grain,
}

impl Crack {
    /// Whether the radius is under the least; none where that is not known.
    pub fn is_likely(&self) -> Option<bool> {
        /// No radius gauge tells them apart, mm.
        const SAME_RADIUS_MM: f64 = 0.005;
        Some(self.radius_mm < self.least_mm.as_ref()?.value - SAME_RADIUS_MM)
    }
}

/// What a bend asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct BendNeeds {
    /// The line, as an index into [`Work::lines`].
    pub line: usize,
    /// The tools.
    pub means: Means,
    /// Length of the bend from end to end, mm.
    pub length_mm: f64,
    /// Least leg over the die to the outside of the other leg, mm; none where there is no die.
    pub least_leg_mm: Option<f64>,
    /// The inside radius that comes; none where the metal's share of the V is not known.
    pub comes: Option<Comes>,
    /// The force, with the spread of the rules; none for hand tools or where the strength is not known.
    pub force: Option<Force>,
    /// How much of what the machine has and the tools stand the force uses, by the rule that asks for most; 1 is all.
    pub force_used: Option<f64>,
    /// Under load and after; none where the yield is not known.
    pub spring: Option<Spring>,
    /// Whether it may crack.
    pub crack: Crack,
}

/// What a line asks for with these tools. `grain` is the sheet's on the blank, where it is known.
pub fn needs(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    line: usize,
    means: Means,
    grain: Option<plane::Vector>,
) -> BendNeeds {
    let (made, t_mm) = (&work.lines[line], work.thickness_mm);
    let stock = work.stock.as_ref();
    let comes = comes(tooling, means, stock, made.radius_mm);
    let metal_mm: f64 = made.spans_mm.iter().map(|[from, to]| to - from).sum();
    let (mut least, mut force, mut force_used) = (None, None, None);
    if let Means::Press { press, punch, die } = means {
        let (press, punch, die) = (
            &tooling.presses[press],
            &tooling.punches[punch],
            &tooling.dies[die],
        );
        let over = OverV {
            bent_rad: made.bent_rad,
            radius_mm: made.radius_mm,
            neutral_mm: made.neutral_mm,
            t_mm,
            opening_mm: die.opening_mm,
            shoulder_mm: die.shoulder_mm,
        };
        least = Some(over.least_leg_mm());
        force = stock.and_then(|stock| Force::of(practice, stock, t_mm, die.opening_mm, metal_mm));
        force_used = force.as_ref().map(|force| {
            let tool = force.n_per_mm[2] / punch.most_n_per_mm.min(die.most_n_per_mm);
            (force.total_n / press.force_n).max(tool)
        });
    }
    let grain = Grain::of(made, grain);
    let radius_mm = comes.map_or(made.radius_mm, |comes| comes.radius_mm);
    let least_mm = stock
        .and_then(|stock| stock.least_radius_mm.clone())
        .map(|least| match grain {
            Grain::Along => least.and(practice.along_grain_x_r.clone(), |least, more| least * more),
            _ => least,
        });
    BendNeeds {
        line,
        means,
        length_mm: made.length_mm,
        least_leg_mm: least,
        comes,
        force,
        force_used,
        spring: stock.and_then(|stock| spring(stock, made.bent_rad, radius_mm, t_mm)),
        crack: Crack {
            radius_mm,
            least_mm,
            grain,
        },
    }
}
