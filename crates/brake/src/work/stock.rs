//! What of the metal matters in bending.

use handbook::{Family, Handbook, Sourced, UnknownMetal};

/// The metal in its temper at one thickness, with what bending asks of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// Its name.
    pub metal: String,
    /// Its family.
    pub family: Family,
    /// Density, kg/m3.
    pub density_kg_m3: Sourced<f64>,
    /// Modulus of elasticity, MPa.
    pub elastic_mpa: Sourced<f64>,
    /// Yield strength that is usual, MPa; the least of the standard when no other is known.
    pub yield_mpa: Option<Sourced<f64>>,
    /// Ultimate strength that is usual, MPa; the least of the standard when no other is known.
    pub ultimate_mpa: Option<Sourced<f64>>,
    /// The least inside radius it takes cold, mm, where the handbook knows one.
    pub least_radius_mm: Option<Sourced<f64>>,
    /// The radius an air bend takes, as a share of the V, where the handbook knows one.
    pub radius_per_opening: Option<Sourced<f64>>,
}

impl Stock {
    /// From the handbook, for a plate of this thickness.
    pub fn of(book: &Handbook, metal: &str, t_mm: f64) -> Result<Stock, UnknownMetal> {
        let found = book.metal(metal)?;
        let usual =
            |usual: &Option<Sourced<f64>>, least: &Option<Sourced<f64>>| usual.clone().or(least.clone());
        Ok(Stock {
            metal: found.name.clone(),
            family: found.family,
            density_kg_m3: found.density_kg_m3.clone(),
            elastic_mpa: found.elastic_mpa.clone(),
            yield_mpa: usual(&found.yield_typical_mpa, &found.yield_least_mpa),
            ultimate_mpa: usual(&found.ultimate_typical_mpa, &found.ultimate_least_mpa),
            least_radius_mm: book.least_radius_mm(metal, t_mm).ok(),
            radius_per_opening: book.air_radius_mm(found.family, 1.0),
        })
    }
}
