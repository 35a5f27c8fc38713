//! What plate and tool allow, gathered before a part is looked at.

use handbook::{Handbook, Limit, RadiusError, Sourced, UnknownMetal};

/// The V-die a part is bent over.
#[derive(Debug, Clone, PartialEq)]
pub struct Die {
    /// Its opening, mm; sourced, as it may be the handbook's choice or the shop's only one.
    pub opening_mm: Sourced<f64>,
    /// Least leg, as a share of the opening, to the outside of the other leg.
    pub leg_x_v: Sourced<f64>,
    /// The narrowest die that is used for this thickness, mm: none narrower is proposed.
    pub narrowest_mm: Option<f64>,
}

/// Another metal of the same family and what it takes at the same thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherMetal {
    /// Its name.
    pub name: String,
    /// Its least inside radius, mm.
    pub least_radius_mm: f64,
}

/// What plate and tool allow.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Least inside radius of the stock at its thickness, mm; or why it is not known.
    pub least_radius_mm: Result<Sourced<f64>, RadiusError>,
    /// Metals of the same family that take a smaller radius, the smallest first.
    pub softer: Vec<OtherMetal>,
    /// The die, if the part is bent over one.
    pub die: Option<Die>,
    /// Least leg without a die, x t; the inside radius comes on top.
    pub leg_x_t: Sourced<f64>,
    /// Least distance of an opening from the tangent line, x t; the inside radius comes on top.
    pub opening_x_t: Sourced<f64>,
    /// Least width of a relief, x t.
    pub relief_width_x_t: Sourced<f64>,
    /// Least length of a relief past the tangent line, x r.
    pub relief_past_x_r: Sourced<f64>,
    /// Largest angle bent through, rad.
    pub largest_bend_rad: Sourced<f64>,
}

impl Limits {
    /// The handbook's limits for this metal and thickness, over a V-die of this opening; no die for a folder or a vice.
    /// [`Handbook::vdie_opening_mm`] is the opening to take when the shop names none.
    pub fn of(
        book: &Handbook,
        metal: &str,
        t_mm: f64,
        die_opening_mm: Option<Sourced<f64>>,
    ) -> Result<Limits, UnknownMetal> {
        let family = book.metal(metal)?.family;
        let least_radius_mm = book.least_radius_mm(metal, t_mm);
        let mut softer = Vec::new();
        if let Ok(own) = &least_radius_mm {
            for other in book.metals().iter().filter(|other| other.family == family) {
                if let Ok(least) = book.least_radius_mm(&other.name, t_mm)
                    && least.value < own.value
                {
                    softer.push(OtherMetal {
                        name: other.name.clone(),
                        least_radius_mm: least.value,
                    });
                }
            }
            softer.sort_by(|a, b| a.least_radius_mm.total_cmp(&b.least_radius_mm));
        }
        Ok(Limits {
            least_radius_mm,
            softer,
            die: die_opening_mm.map(|opening_mm| Die {
                opening_mm,
                leg_x_v: book.limit(Limit::LegPerDie),
                narrowest_mm: book.vdie_opening_mm(t_mm).ok().map(|_| NARROWEST_DIE_X_T * t_mm),
            }),
            leg_x_t: book.limit(Limit::LegPerThickness),
            opening_x_t: book.limit(Limit::HoleToBend),
            relief_width_x_t: book.limit(Limit::ReliefWidth),
            relief_past_x_r: book.limit(Limit::ReliefPast),
            largest_bend_rad: book.limit(Limit::LargestBend),
        })
    }
}

/// No V-die narrower than this many thicknesses is proposed as a way out: it is the tightest that the table of V-dies
/// uses for any plate.
const NARROWEST_DIE_X_T: f64 = 6.0;
