//! From the force on a weld line to the stress in its throat, and what the throat stands.

use handbook::WeldMetal;
use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

/// A fillet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fillet {
    /// Throat, mm: 0.707 leg for equal legs.
    pub throat_mm: f64,
    /// Distance between the roots of the fillets on either face of the plate, mm, when it is welded on both: its thickness.
    /// None when it is welded on one side.
    pub both_sides_mm: Option<f64>,
}

impl Fillet {
    /// Leg, mm, of a fillet with equal legs and this throat.
    pub fn leg_mm(&self) -> f64 {
        self.throat_mm * SQRT_2
    }

    /// What passes through a mm of it counts as the mean over this length, mm, the least that a fillet is counted on.
    pub(crate) fn stretch_mm(&self) -> f64 {
        least_length_mm(self.leg_mm())
    }

    /// A fillet with equal legs, mm, on one side.
    pub fn one_side(leg_mm: f64) -> Self {
        Fillet {
            throat_mm: leg_mm * FRAC_1_SQRT_2,
            both_sides_mm: None,
        }
    }

    /// Fillets with equal legs, mm, on both faces of a plate of this thickness, mm.
    pub fn both_sides(leg_mm: f64, t_mm: f64) -> Self {
        Fillet {
            throat_mm: leg_mm * FRAC_1_SQRT_2,
            both_sides_mm: Some(t_mm),
        }
    }
}

/// What passes through a mm of seam, seen from the plate that stands on the other: forces N/mm, moment N mm/mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LineForce {
    /// Along the weld.
    pub along_n_mm: f64,
    /// In the standing plate, square to the weld: pulls it off.
    pub pull_n_mm: f64,
    /// Square to the standing plate: pushes it sideways along the other; above 0 away from a fillet on one side.
    pub across_n_mm: f64,
    /// About the weld line: bends the standing plate over, toward the `across` side.
    pub bend_n: f64,
}

/// Stress in the throat, MPa: square to its plane, and in it across and along the weld. EN 1993-1-8 4.5.3.2.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThroatStress {
    /// Square to the throat's plane.
    pub square_mpa: f64,
    /// In the plane, across the weld.
    pub across_mpa: f64,
    /// In the plane, along the weld.
    pub along_mpa: f64,
}

impl ThroatStress {
    /// sqrt(s^2 + 3 (t_across^2 + t_along^2)), MPa; EN 1993-1-8 4.5.3.2, EN 1999-1-1 8.6.3.3 from memory.
    pub fn mises_mpa(&self) -> f64 {
        let shear = self.across_mpa.hypot(self.along_mpa);
        self.square_mpa.hypot(3f64.sqrt() * shear)
    }

    /// The three as one vector, MPa: what the simplified method holds against a shear strength.
    pub fn resultant_mpa(&self) -> f64 {
        self.square_mpa.hypot(self.across_mpa).hypot(self.along_mpa)
    }
}

impl LineForce {
    /// All of the force, N/mm, whatever its way.
    pub fn size_n_mm(&self) -> f64 {
        self.along_n_mm.hypot(self.pull_n_mm).hypot(self.across_n_mm)
    }

    pub(super) fn times(self, share: f64) -> Self {
        LineForce {
            along_n_mm: self.along_n_mm * share,
            pull_n_mm: self.pull_n_mm * share,
            across_n_mm: self.across_n_mm * share,
            bend_n: self.bend_n * share,
        }
    }

    pub(super) fn and(self, other: Self) -> Self {
        LineForce {
            along_n_mm: self.along_n_mm + other.along_n_mm,
            pull_n_mm: self.pull_n_mm + other.pull_n_mm,
            across_n_mm: self.across_n_mm + other.across_n_mm,
            bend_n: self.bend_n + other.bend_n,
        }
    }

    /// Stress in the worse throat, MPa, by the directional method. The throat lies at 45 degrees between the legs, so pull and
    /// sideways push reach it as (pull + across)/sqrt 2 square to it and (pull - across)/sqrt 2 in it.
    ///
    /// On both sides: each fillet takes half the force, and the moment makes a couple over the plate's thickness, its smallest
    /// arm. On one side the moment bends the throat itself, 6 m/a^2, which a designer avoids.
    pub fn throat(&self, fillet: &Fillet) -> ThroatStress {
        let a_mm = fillet.throat_mm;
        match fillet.both_sides_mm {
            Some(t_mm) => {
                let couple = self.bend_n / t_mm;
                // The fillet behind the push is pulled by the couple; the one ahead mirrors it, and is pressed.
                let of = |pull: f64, across: f64| ThroatStress {
                    square_mpa: (pull + across) / (SQRT_2 * a_mm),
                    across_mpa: (pull - across) / (SQRT_2 * a_mm),
                    along_mpa: self.along_n_mm / (2.0 * a_mm),
                };
                let behind = of(self.pull_n_mm / 2.0 + couple, self.across_n_mm / 2.0);
                let ahead = of(self.pull_n_mm / 2.0 - couple, -self.across_n_mm / 2.0);
                if ahead.mises_mpa() > behind.mises_mpa() {
                    ahead
                } else {
                    behind
                }
            }
            None => {
                let square_mpa = (self.pull_n_mm + self.across_n_mm) / (SQRT_2 * a_mm);
                let bent_mpa = 6.0 * self.bend_n.abs() / a_mm.powi(2);
                ThroatStress {
                    square_mpa: square_mpa + bent_mpa.copysign(square_mpa),
                    across_mpa: (self.pull_n_mm - self.across_n_mm) / (SQRT_2 * a_mm),
                    along_mpa: self.along_n_mm / a_mm,
                }
            }
        }
    }
}

/// What a fillet stands, without partial factor, MPa.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilletStrength {
    /// For sqrt(s^2 + 3 t^2) of the throat.
    pub mises_mpa: f64,
    /// For the stress square to the throat alone, where the code limits it.
    pub square_mpa: Option<f64>,
}

impl FilletStrength {
    /// By the table: steel f_u/beta_w, and 0.9 f_u square to the throat (EN 1993-1-8 4.5.3.2); aluminium f_w of the weld metal
    /// (EN 1999-1-1 8.6.3.3), and never more than the plate beside it. `beside_ultimate_mpa` is the least ultimate strength of
    /// the weaker plate beside the weld, heat-affected where it is.
    pub fn of(weld: &WeldMetal, beside_ultimate_mpa: f64) -> Self {
        match weld {
            WeldMetal::Matching(correlation) => FilletStrength {
                mises_mpa: beside_ultimate_mpa / correlation.value,
                square_mpa: Some(0.9 * beside_ultimate_mpa),
            },
            WeldMetal::Own(strength) => FilletStrength {
                mises_mpa: strength.value.min(beside_ultimate_mpa),
                square_mpa: None,
            },
        }
    }

    /// Shear strength for the simplified method, MPa: the above over sqrt 3; EN 1993-1-8 4.5.3.3.
    pub fn shear_mpa(&self) -> f64 {
        self.mises_mpa / 3f64.sqrt()
    }

    /// Load times this breaks the throat, by the directional method. Infinite without stress.
    pub fn directional(&self, stress: &ThroatStress) -> f64 {
        let by_mises = self.mises_mpa / stress.mises_mpa();
        match self.square_mpa {
            Some(square_mpa) => by_mises.min(square_mpa / stress.square_mpa.abs()),
            None => by_mises,
        }
    }

    /// Load times this breaks the throat, by the simplified method: the resultant against the shear strength, whatever its
    /// direction. Never above the directional one.
    pub fn simplified(&self, stress: &ThroatStress) -> f64 {
        self.shear_mpa() / stress.resultant_mpa()
    }
}

/// A fillet whose size the rules do not allow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FilletConcern {
    /// Too thin a fillet for the plate: it cools too fast and cracks.
    LegBelowLeast {
        /// As it is, mm.
        leg_mm: f64,
        /// As it must be, mm.
        least_mm: f64,
    },
    /// The edge it runs along would melt away.
    LegAboveEdge {
        /// As it is, mm.
        leg_mm: f64,
        /// As it may be, mm.
        greatest_mm: f64,
    },
    /// Too short to be counted on.
    TooShort {
        /// As it is, mm.
        length_mm: f64,
        /// As it must be, mm.
        least_mm: f64,
    },
}

/// What the size rules say of a fillet: `least_leg_mm` by the handbook for the thinner part, `edge_mm` the thickness of the
/// plate along whose edge it runs, if it does.
pub fn fillet_concerns(
    leg_mm: f64,
    length_mm: f64,
    least_leg_mm: f64,
    edge_mm: Option<f64>,
) -> Vec<FilletConcern> {
    let below = (leg_mm < least_leg_mm).then_some(FilletConcern::LegBelowLeast {
        leg_mm,
        least_mm: least_leg_mm,
    });
    let above = edge_mm.map(greatest_leg_mm).and_then(|greatest_mm| {
        (leg_mm > greatest_mm).then_some(FilletConcern::LegAboveEdge { leg_mm, greatest_mm })
    });
    let least_mm = least_length_mm(leg_mm);
    let short = (length_mm < least_mm).then_some(FilletConcern::TooShort { length_mm, least_mm });
    below.into_iter().chain(above).chain(short).collect()
}

/// Load of a fillet, N: 0.707 h l tau (Shigley 9-2).
pub fn fillet_n(leg_mm: f64, length_mm: f64, tau_mpa: f64) -> f64 {
    // The book's rounded 0.707, as its tables have it.
    0.707 * leg_mm * length_mm * tau_mpa
}

/// Shear stress a fillet of this filler may carry, MPa: 0.30 of the filler's ultimate strength (Shigley Table 9-6).
pub fn allowable_shear_mpa(filler_ultimate_mpa: f64) -> f64 {
    0.30 * filler_ultimate_mpa
}

/// Greatest leg along the edge of a plate, mm: the thickness, less 2 mm from 6 mm up; AISC 360 J2.2b.
pub fn greatest_leg_mm(t_mm: f64) -> f64 {
    if t_mm < 6.0 { t_mm } else { t_mm - 2.0 }
}

/// Least length of a fillet that is counted on, mm: 4 legs; AISC 360 J2.2b.
pub fn least_length_mm(leg_mm: f64) -> f64 {
    4.0 * leg_mm
}
