//! Fillet welds: the least leg for a thickness, and what the weld metal stands.

use crate::Handbook;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table};

/// What a fillet is judged by.
#[derive(Debug, Clone, PartialEq)]
pub enum WeldMetal {
    /// Steel with filler at least as strong as the plate: the plate's ultimate strength over this correlation factor
    /// (beta w of EN 1993-1-8 Table 4.1).
    Matching(Sourced<f64>),
    /// The weld metal's own characteristic strength, MPa (f w of EN 1999-1-1 Table 8.8).
    Own(Sourced<f64>),
}

/// No row for this metal with this filler.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the table weld_metals has no row for {metal} with {}", .filler.as_deref().unwrap_or("any filler"))]
pub struct NoWeldMetal {
    /// The metal.
    pub metal: String,
    /// The filler asked for.
    pub filler: Option<String>,
}

#[derive(Debug, Clone, PartialEq)]
struct WeldMetalRow {
    metal: String,
    filler: Option<String>,
    strength: WeldMetal,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WeldTables {
    legs: Vec<(f64, f64, Sourced<f64>)>,
    metals: Vec<WeldMetalRow>,
}

impl Handbook {
    /// Least leg of a fillet, mm, by the thickness of the thinner part, mm: AISC 360 Table J2.4. None for no thickness.
    pub fn least_fillet_leg_mm(&self, thinner_mm: f64) -> Option<Sourced<f64>> {
        self.welds
            .legs
            .iter()
            .find(|(over_mm, to_mm, _)| *over_mm < thinner_mm && thinner_mm <= *to_mm)
            .map(|(_, _, leg)| leg.clone())
    }

    /// What the weld on this metal stands; where the filler is not known, with the weakest.
    pub fn weld_metal(&self, metal: &str, filler: Option<&str>) -> Result<WeldMetal, NoWeldMetal> {
        let weakness = |row: &&WeldMetalRow| match &row.strength {
            WeldMetal::Matching(_) => 0.0,
            WeldMetal::Own(strength) => strength.value,
        };
        self.welds
            .metals
            .iter()
            .filter(|row| {
                row.metal == metal
                    && match (&row.filler, filler) {
                        (Some(of), Some(with)) => of == with.trim(),
                        _ => true,
                    }
            })
            .min_by(|a, b| weakness(a).total_cmp(&weakness(b)))
            .map(|row| row.strength.clone())
            .ok_or_else(|| NoWeldMetal {
                metal: metal.to_owned(),
                filler: filler.map(str::to_owned),
            })
    }
}

pub(crate) fn read<'a>(
    table: &impl Fn(&'static str) -> Result<&'a Table, BadCell>,
) -> Result<WeldTables, BadCell> {
    Ok(WeldTables {
        legs: table("fillet_legs")?.read(|row| {
            Ok((
                row.number("over_mm")?,
                row.positive("to_mm")?,
                row.sourced_positive("least_leg_mm")?,
            ))
        })?,
        metals: table("weld_metals")?.read(|row| {
            let own = row.if_said("strength_mpa", |row, column| row.sourced_positive(column))?;
            Ok(WeldMetalRow {
                metal: row.text("metal")?.to_owned(),
                filler: Some(row.text("filler")?.to_owned()).filter(|filler| filler != "any"),
                strength: match own {
                    Some(strength) => WeldMetal::Own(strength),
                    None => WeldMetal::Matching(row.sourced_positive("correlation")?),
                },
            })
        })?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unnamed_filler_is_the_weakest_of_the_table() {
        let book = Handbook::builtin();
        let with = |filler| match book.weld_metal("6061-T6", filler) {
            Ok(WeldMetal::Own(strength)) => strength.value,
            other => panic!("{other:?}"),
        };
        assert!(with(None) <= with(Some("4043")) && with(None) < with(Some("5356")));
        assert!(book.weld_metal("7075-T6", None).is_err());
    }
}
