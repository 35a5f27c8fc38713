//! Inside radii: the least a metal takes cold, the range recommended, and the shop's standard.

use crate::Handbook;
use crate::metal::UnknownMetal;
use crate::sourced::Sourced;
use crate::table::{BadCell, RowView, Table, Wanted};

const MM_PER_IN: f64 = 25.4;

/// A plate within this share of a row's thickness is that row's: 3.2 mm plate is bought and sold as 1/8 in.
const SAME_THICKNESS_SHARE: f64 = 0.01;

#[derive(Debug, Clone, PartialEq)]
struct RadiusRow {
    metal: String,
    thick_mm: f64,
    radius: RadiusBy,
}

#[derive(Debug, Clone, PartialEq)]
enum RadiusBy {
    PerThickness(Sourced<f64>),
    Range(Sourced<(f64, f64)>),
    Mm(Sourced<f64>),
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RadiusTables {
    least: Vec<RadiusRow>,
    recommended: Vec<RadiusRow>,
    standard: Vec<RadiusRow>,
    setback_factors: Vec<(f64, Sourced<f64>)>,
}

impl RadiusTables {
    /// The thicknesses that any table has a row for in this metal, mm.
    pub fn thicknesses_mm<'a>(&'a self, metal: &'a str) -> impl Iterator<Item = f64> + 'a {
        let tables = [&self.least, &self.recommended, &self.standard];
        let rows = tables.into_iter().flatten();
        rows.filter(move |row| row.metal == metal).map(|row| row.thick_mm)
    }
}

/// Why the handbook has no radius to give.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RadiusError {
    /// The metal is not known.
    #[error(transparent)]
    Metal(#[from] UnknownMetal),
    /// No table of radii knows the metal.
    #[error("the handbook has no inside radii for {metal}")]
    NoRows {
        /// The metal.
        metal: String,
    },
    /// The plate is thinner or thicker than any row of that metal.
    #[error(
        "{t_mm:.2} mm {metal} is outside the table of radii, which runs from {thinnest_mm:.2} to {thickest_mm:.2} mm"
    )]
    OutsideTable {
        /// The metal.
        metal: String,
        /// The plate, mm.
        t_mm: f64,
        /// Thinnest row, mm.
        thinnest_mm: f64,
        /// Thickest row, mm.
        thickest_mm: f64,
    },
}

impl Handbook {
    /// The least inside radius for a cold bend of 90 degrees, mm, in a plate of this thickness. Between two rows the
    /// thicker row's counts, as radii only grow with thickness; the row is named. Metals without a row of least radii
    /// are answered from the lower end of the recommended range, then from the standard radii of the design book.
    pub fn least_radius_mm(&self, metal: &str, t_mm: f64) -> Result<Sourced<f64>, RadiusError> {
        let name = &self.metal(metal)?.name;
        let tables = [&self.radii.least, &self.radii.recommended, &self.radii.standard];
        let table = tables
            .into_iter()
            .find(|table| table.iter().any(|row| row.metal == *name))
            .ok_or_else(|| RadiusError::NoRows { metal: name.clone() })?;
        Ok(match &row_for(table, name, t_mm)?.radius {
            RadiusBy::PerThickness(factor) => factor.clone().map(|x_t| x_t * t_mm),
            RadiusBy::Range(factors) => factors.clone().map(|(lower, _)| lower * t_mm),
            RadiusBy::Mm(radius) => radius.clone(),
        })
    }

    /// The recommended range of inside radii for a bend of 90 degrees, mm: lower and upper.
    pub fn recommended_radii_mm(&self, metal: &str, t_mm: f64) -> Result<Sourced<(f64, f64)>, RadiusError> {
        let name = &self.metal(metal)?.name;
        match &row_for(&self.radii.recommended, name, t_mm)?.radius {
            RadiusBy::Range(factors) => {
                Ok(factors.clone().map(|(lower, upper)| (lower * t_mm, upper * t_mm)))
            }
            _ => Err(RadiusError::NoRows { metal: name.clone() }),
        }
    }

    /// The standard inside radius of the design book, mm: what a shop bends to when nothing is said.
    pub fn standard_radius_mm(&self, metal: &str, t_mm: f64) -> Result<Sourced<f64>, RadiusError> {
        let name = &self.metal(metal)?.name;
        match &row_for(&self.radii.standard, name, t_mm)?.radius {
            RadiusBy::Mm(radius) => Ok(radius.clone()),
            _ => Err(RadiusError::NoRows { metal: name.clone() }),
        }
    }

    /// Every inside radius that the design book has as a standard one, of whatever metal, mm, ascending: what tools are had for.
    pub fn standard_radii_mm(&self) -> Vec<f64> {
        let rows = self.radii.standard.iter();
        let mut all_mm: Vec<f64> = rows
            .filter_map(|row| match &row.radius {
                RadiusBy::Mm(radius) => Some(radius.value),
                _ => None,
            })
            .collect();
        all_mm.sort_by(f64::total_cmp);
        all_mm.dedup();
        all_mm
    }

    /// The tabled setback factor tan(A/2) for an angle bent through, in whole degrees; none where the table has no
    /// row. The bend's own arithmetic uses the tangent itself: this is what it is checked against.
    pub fn setback_factor(&self, bent_deg: f64) -> Option<Sourced<f64>> {
        let row = self
            .radii
            .setback_factors
            .iter()
            .find(|(deg, _)| *deg == bent_deg);
        row.map(|(_, factor)| factor.clone())
    }
}

/// The thinnest row that is no thinner than the plate.
fn row_for<'a>(table: &'a [RadiusRow], metal: &str, t_mm: f64) -> Result<&'a RadiusRow, RadiusError> {
    let of_metal = || table.iter().filter(|row| row.metal == metal);
    let by_thickness = |a: &&RadiusRow, b: &&RadiusRow| a.thick_mm.total_cmp(&b.thick_mm);
    let (Some(thinnest), Some(thickest)) = (of_metal().min_by(by_thickness), of_metal().max_by(by_thickness))
    else {
        return Err(RadiusError::NoRows {
            metal: metal.to_owned(),
        });
    };
    let outside = || RadiusError::OutsideTable {
        metal: metal.to_owned(),
        t_mm,
        thinnest_mm: thinnest.thick_mm,
        thickest_mm: thickest.thick_mm,
    };
    if t_mm < thinnest.thick_mm * (1.0 - SAME_THICKNESS_SHARE) {
        return Err(outside());
    }
    of_metal()
        .filter(|row| row.thick_mm * (1.0 + SAME_THICKNESS_SHARE) >= t_mm)
        .min_by(by_thickness)
        .ok_or_else(outside)
}

pub(crate) fn read<'a>(
    table: &impl Fn(&'static str) -> Result<&'a Table, BadCell>,
) -> Result<RadiusTables, BadCell> {
    let rows = |name, radius: fn(&RowView<'_>) -> Result<RadiusBy, BadCell>| {
        table(name)?.read(|row| {
            Ok(RadiusRow {
                metal: row.text("metal")?.to_owned(),
                thick_mm: row.positive("thick_in")? * MM_PER_IN,
                radius: radius(&row)?,
            })
        })
    };
    Ok(RadiusTables {
        least: rows("least_radii", |row| {
            Ok(RadiusBy::PerThickness(row.sourced_number("radius_x_t")?))
        })?,
        recommended: rows("recommended_radii", |row| {
            let range = (row.number("lower_x_t")?, row.number("upper_x_t")?);
            Ok(RadiusBy::Range(row.sourced(&["lower_x_t", "upper_x_t"], range)?))
        })?,
        standard: rows("standard_radii", |row| {
            Ok(RadiusBy::Mm(
                row.sourced_positive("radius_in")?
                    .map(|radius| radius * MM_PER_IN),
            ))
        })?,
        setback_factors: table("setback_factors")?.read(|row| {
            let bent_deg = row.key().parse().map_err(|_| row.bad("row", Wanted::Number))?;
            Ok((bent_deg, row.sourced_number("factor")?))
        })?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_two_rows_the_thicker_one_counts_and_is_named() {
        let handbook = Handbook::builtin();
        let least = handbook
            .least_radius_mm("6061-T6", 4.0)
            .expect("4 mm lies in the table");
        assert_eq!(least.value, 3.0 * 4.0);
        assert_eq!(least.row, "least_radii: 6061-T6 3/16 in");
        let sold_as_an_eighth = handbook.least_radius_mm("6061-T6", 3.2).expect("3.2 mm");
        assert_eq!(sold_as_an_eighth.value, 2.5 * 3.2);
    }

    #[test]
    fn outside_the_rows_is_an_error_with_both_ends_and_never_a_guess() {
        let handbook = Handbook::builtin();
        let error = handbook
            .least_radius_mm("5052-H32", 20.0)
            .expect_err("20 mm is past 1/2 in");
        assert_eq!(
            error,
            RadiusError::OutsideTable {
                metal: "5052-H32".to_owned(),
                t_mm: 20.0,
                thinnest_mm: 25.4 / 32.0,
                thickest_mm: 12.7
            }
        );
        assert!(handbook.least_radius_mm("5052-H32", 0.3).is_err());
        assert!(matches!(
            handbook.least_radius_mm("5052-H23", 3.0),
            Err(RadiusError::Metal(_))
        ));
    }

    #[test]
    fn a_metal_without_least_radii_is_answered_by_the_next_table_which_is_named() {
        let handbook = Handbook::builtin();
        let least = handbook
            .least_radius_mm("7075-T6", 1.6)
            .expect("a recommended range");
        assert_eq!(least.row, "recommended_radii: 7075-T6 0.064 in");
        let least = handbook
            .least_radius_mm("4130-normalized", 3.0)
            .expect("a standard radius");
        assert_eq!(least.row, "standard_radii: 4130-normalized 0.125 in");
        assert!((least.value - 0.375 * 25.4).abs() < 1e-12);
    }

    #[test]
    fn least_radii_never_shrink_with_thickness() {
        let handbook = Handbook::builtin();
        for metal in handbook.metals() {
            let mut last = 0.0;
            for step in 1..140 {
                if let Ok(least) = handbook.least_radius_mm(&metal.name, f64::from(step) * 0.1) {
                    assert!(least.value >= last, "{} at {step}", metal.name);
                    last = least.value;
                }
            }
        }
    }
}
