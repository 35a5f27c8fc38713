//! The V-die: its opening for a plate, the radius it leaves in an air bend, the shortest leg it holds.

use crate::Handbook;
use crate::limit::Limit;
use crate::metal::{Family, family};
use crate::sourced::Sourced;
use crate::table::{BadCell, Table, Wanted};

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DieOpening {
    from_mm: f64,
    to_mm: f64,
    opening_x_t: Sourced<f64>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AirRadius {
    family: Family,
    radius_per_opening: Sourced<f64>,
}

/// No V-die is tabled for that plate.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "a plate of {t_mm:.2} mm is outside the table of V-dies, which runs from {thinnest_mm} to {thickest_mm} mm"
)]
pub struct NoDie {
    /// The plate, mm.
    pub t_mm: f64,
    /// Thinnest tabled, mm.
    pub thinnest_mm: f64,
    /// Thickest tabled, mm.
    pub thickest_mm: f64,
}

impl Handbook {
    /// Opening of the V-die for a plate of this thickness, mm. Between two rows the thicker plate's counts: the wider
    /// die, which asks for the longer leg.
    pub fn vdie_opening_mm(&self, t_mm: f64) -> Result<Sourced<f64>, NoDie> {
        let ends = |pick: fn(f64, f64) -> f64, of: fn(&DieOpening) -> f64| {
            self.die_openings.iter().map(of).reduce(pick).unwrap_or_default()
        };
        let thinnest_mm = ends(f64::min, |row| row.from_mm);
        let thickest_mm = ends(f64::max, |row| row.to_mm);
        self.die_openings
            .iter()
            .filter(|row| t_mm >= thinnest_mm && t_mm <= row.to_mm)
            .min_by(|a, b| a.to_mm.total_cmp(&b.to_mm))
            .map(|row| row.opening_x_t.clone().map(|x_t| x_t * t_mm))
            .ok_or(NoDie {
                t_mm,
                thinnest_mm,
                thickest_mm,
            })
    }

    /// Inside radius that an air bend takes over a V-die of this opening, mm.
    pub fn air_radius_mm(&self, family: Family, die_opening_mm: f64) -> Option<Sourced<f64>> {
        let row = self.air_radii.iter().find(|row| row.family == family)?;
        Some(row.radius_per_opening.clone().map(|share| share * die_opening_mm))
    }

    /// Shortest leg that lies on both shoulders of a V-die of this opening, mm, to the outside of the other leg.
    pub fn least_leg_mm(&self, die_opening_mm: f64) -> Sourced<f64> {
        self.limit(Limit::LegPerDie).map(|share| share * die_opening_mm)
    }
}

pub(crate) fn read_openings(table: &Table) -> Result<Vec<DieOpening>, BadCell> {
    table.read(|row| {
        Ok(DieOpening {
            from_mm: row.positive("from_mm")?,
            to_mm: row.positive("to_mm")?,
            opening_x_t: row.sourced_positive("opening_x_t")?,
        })
    })
}

pub(crate) fn read_air_radii(table: &Table) -> Result<Vec<AirRadius>, BadCell> {
    table.read(|row| {
        Ok(AirRadius {
            family: family(row.key()).ok_or_else(|| row.bad("row", Wanted::RowOf("metals")))?,
            radius_per_opening: row.sourced_positive("radius_per_opening")?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_sixteenths_plate_takes_eight_times_its_thickness() {
        let opening = Handbook::builtin().vdie_opening_mm(4.7625).expect("in the table");
        assert_eq!(opening.value, 8.0 * 4.7625);
    }

    #[test]
    fn between_two_rows_the_wider_die_counts_and_outside_there_is_none() {
        let handbook = Handbook::builtin();
        assert_eq!(handbook.vdie_opening_mm(2.7).map(|v| v.value), Ok(8.0 * 2.7));
        assert!(handbook.vdie_opening_mm(0.3).is_err());
        assert_eq!(
            handbook.vdie_opening_mm(30.0).expect_err("30 mm").thickest_mm,
            25.0
        );
    }
}
