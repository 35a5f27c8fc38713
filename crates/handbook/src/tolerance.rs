//! General tolerances: ISO 9013 for thermal cuts, ISO 2768-1 for the rest.

use crate::Handbook;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table, Wanted};

/// Classes of ISO 2768-1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum GeneralClass {
    /// f
    Fine,
    /// m
    Medium,
    /// c
    Coarse,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ToleranceTables {
    squareness: Vec<(u8, Sourced<(f64, f64)>)>,
    cut: Vec<CutRow>,
    linear: Vec<GeneralRow>,
    angular: Vec<GeneralRow>,
}

#[derive(Debug, Clone, PartialEq)]
struct CutRow {
    class: u8,
    plate_over_mm: f64,
    plate_to_mm: f64,
    size_from_mm: f64,
    size_to_mm: f64,
    deviation_mm: Sourced<f64>,
}

#[derive(Debug, Clone, PartialEq)]
struct GeneralRow {
    class: GeneralClass,
    from_mm: f64,
    to_mm: f64,
    deviation: Sourced<f64>,
}

/// No tolerance is tabled for that.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ToleranceError {
    /// ISO 9013 ranges run from 1 to 5.
    #[error("ISO 9013 has no range {range}: they run from 1 to 5")]
    NoRange {
        /// As asked.
        range: u8,
    },
    /// The table has no such class.
    #[error("ISO 9013 has no class {class} here: there are 1 and 2")]
    NoClass {
        /// As asked.
        class: u8,
    },
    /// No row holds this plate and size.
    #[error("no row of the tolerance table holds a size of {size_mm} mm{}", .plate_mm.map(|t| format!(" in a plate of {t} mm")).unwrap_or_default())]
    OutsideTable {
        /// The plate where it counts, mm.
        plate_mm: Option<f64>,
        /// The nominal size, mm.
        size_mm: f64,
    },
}

impl Handbook {
    /// Squareness tolerance u of a thermal cut, mm, for a cut `a_mm` thick: base + per_mm a by range 1 to 5. ISO 9013.
    pub fn iso_9013_u_mm(&self, a_mm: f64, range: u8) -> Result<Sourced<f64>, ToleranceError> {
        let row = self
            .tolerances
            .squareness
            .iter()
            .find(|(known, _)| *known == range);
        row.map(|(_, terms)| terms.clone().map(|(base, per_mm)| base + per_mm * a_mm))
            .ok_or(ToleranceError::NoRange { range })
    }

    /// Limit deviation of a size cut by a thermal process, mm either way, in a plate `a_mm` thick. ISO 9013. A size on
    /// the border of two bands is in the smaller.
    pub fn iso_9013_deviation_mm(
        &self,
        class: u8,
        a_mm: f64,
        nominal_mm: f64,
    ) -> Result<Sourced<f64>, ToleranceError> {
        let of_class = || self.tolerances.cut.iter().filter(|row| row.class == class);
        if of_class().next().is_none() {
            return Err(ToleranceError::NoClass { class });
        }
        of_class()
            .find(|row| {
                a_mm > row.plate_over_mm
                    && a_mm <= row.plate_to_mm
                    && nominal_mm >= row.size_from_mm
                    && nominal_mm <= row.size_to_mm
            })
            .map(|row| row.deviation_mm.clone())
            .ok_or(ToleranceError::OutsideTable {
                plate_mm: Some(a_mm),
                size_mm: nominal_mm,
            })
    }

    /// Deviation of a length without a tolerance of its own, mm either way. ISO 2768-1.
    pub fn iso_2768_mm(&self, class: GeneralClass, nominal_mm: f64) -> Result<Sourced<f64>, ToleranceError> {
        general(&self.tolerances.linear, class, nominal_mm)
    }

    /// Deviation of an angle without a tolerance of its own, radians either way, by the length of its shorter side.
    /// ISO 2768-1.
    pub fn iso_2768_rad(
        &self,
        class: GeneralClass,
        short_side_mm: f64,
    ) -> Result<Sourced<f64>, ToleranceError> {
        Ok(general(&self.tolerances.angular, class, short_side_mm)?.map(f64::to_radians))
    }
}

fn general(rows: &[GeneralRow], class: GeneralClass, size_mm: f64) -> Result<Sourced<f64>, ToleranceError> {
    rows.iter()
        .find(|row| row.class == class && size_mm >= row.from_mm && size_mm <= row.to_mm)
        .map(|row| row.deviation.clone())
        .ok_or(ToleranceError::OutsideTable {
            plate_mm: None,
            size_mm,
        })
}

pub(crate) fn read<'a>(
    table: &impl Fn(&'static str) -> Result<&'a Table, BadCell>,
) -> Result<ToleranceTables, BadCell> {
    let general_rows = |name, from, to, deviation| {
        table(name)?.read(|row| {
            let class = row.word("class", &["f", "m", "c"], |word| match word {
                "f" => Some(GeneralClass::Fine),
                "m" => Some(GeneralClass::Medium),
                "c" => Some(GeneralClass::Coarse),
                _ => None,
            })?;
            Ok(GeneralRow {
                class,
                from_mm: row.number(from)?,
                to_mm: row.positive(to)?,
                deviation: row.sourced_positive(deviation)?,
            })
        })
    };
    Ok(ToleranceTables {
        squareness: table("iso_9013_squareness")?.read(|row| {
            let range = row.key().parse().map_err(|_| row.bad("row", Wanted::Number))?;
            let terms = (row.number("base_mm")?, row.number("per_mm")?);
            Ok((range, row.sourced(&["base_mm", "per_mm"], terms)?))
        })?,
        cut: table("iso_9013_deviations")?.read(|row| {
            Ok(CutRow {
                class: row
                    .text("class")?
                    .parse()
                    .map_err(|_| row.bad("class", Wanted::Number))?,
                plate_over_mm: row.number("plate_over_mm")?,
                plate_to_mm: row.positive("plate_to_mm")?,
                size_from_mm: row.number("size_from_mm")?,
                size_to_mm: row.positive("size_to_mm")?,
                deviation_mm: row.sourced_positive("deviation_mm")?,
            })
        })?,
        linear: general_rows("iso_2768_linear", "from_mm", "to_mm", "deviation_mm")?,
        angular: general_rows(
            "iso_2768_angular",
            "short_side_from_mm",
            "short_side_to_mm",
            "deviation_deg",
        )?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_outside_every_band_has_no_tolerance() {
        let handbook = Handbook::builtin();
        let none = ToleranceError::OutsideTable {
            plate_mm: Some(4.76),
            size_mm: 2.0,
        };
        assert_eq!(handbook.iso_9013_deviation_mm(2, 4.76, 2.0), Err(none));
        assert_eq!(
            handbook.iso_9013_deviation_mm(7, 4.76, 20.0),
            Err(ToleranceError::NoClass { class: 7 })
        );
        assert_eq!(
            handbook.iso_9013_u_mm(4.76, 0),
            Err(ToleranceError::NoRange { range: 0 })
        );
        assert!(handbook.iso_2768_mm(GeneralClass::Medium, 5000.0).is_err());
    }
}
