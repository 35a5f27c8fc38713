//! What a weld leaves of the strength of the plate beside it.

use crate::Handbook;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table};

const MPA_PER_KSI: f64 = 6.894_757_293_168_361;

/// Which rows to answer from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HeatRows {
    /// Least strengths, for design.
    Least,
    /// Characteristic strengths of extrusions, EN 1999-1-1.
    Extrusion,
    /// What groove welds usually reach: to compare with, not for design.
    Typical,
}

/// The plate beside a weld.
#[derive(Debug, Clone, PartialEq)]
pub enum Welded {
    /// As strong as the plate away from the weld.
    AsParent(Sourced<()>),
    /// Weaker within the heat-affected width. None where the table has no such strength.
    Lowered {
        /// Yield strength, MPa.
        yield_mpa: Option<Sourced<f64>>,
        /// Ultimate strength, MPa.
        ultimate_mpa: Option<Sourced<f64>>,
        /// Yield strength of the plate away from the weld in the same table, MPa.
        parent_yield_mpa: Option<Sourced<f64>>,
        /// Ultimate strength of the plate away from the weld in the same table, MPa.
        parent_ultimate_mpa: Option<Sourced<f64>>,
    },
    /// This metal is not to be welded.
    NotWeldable(Sourced<()>),
}

/// The table says nothing of this metal welded; the question stays open.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("the table heat_affected does not say how strong {metal} of {t_mm:.1} mm is beside a weld")]
pub struct WeldedError {
    /// The metal.
    pub metal: String,
    /// Thickness, mm.
    pub t_mm: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum State {
    AsParent(Sourced<()>),
    NotWeldable(Sourced<()>),
    Lowered {
        property: Property,
        rows: HeatRows,
        filler: Option<String>,
        value_mpa: Sourced<f64>,
        parent_mpa: Option<Sourced<f64>>,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Property {
    Yield,
    Ultimate,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct HeatRow {
    metal: String,
    over_mm: f64,
    to_mm: f64,
    state: State,
}

impl Handbook {
    /// How strong plate of this metal and thickness is within the heat-affected width of a weld
    /// ([`crate::Limit::HeatAffectedWidth`]). `metal` is the name in the table `metals`. Where the filler is not known, or
    /// several rows fit, the least strength of them.
    ///
    /// ```
    /// use handbook::{Handbook, HeatRows, Welded};
    /// let handbook = Handbook::builtin();
    /// let beside = handbook.welded("6061-T6", 4.76, Some("5356"), HeatRows::Least).unwrap();
    /// let Welded::Lowered { yield_mpa: Some(yield_mpa), .. } = beside else { panic!() };
    /// assert!((yield_mpa.value - 15.0 * 6.894757).abs() < 1e-3); // 40 ksi away from the weld
    /// ```
    pub fn welded(
        &self,
        metal: &str,
        t_mm: f64,
        filler: Option<&str>,
        rows: HeatRows,
    ) -> Result<Welded, WeldedError> {
        let of_metal = || {
            self.heat_affected
                .iter()
                .filter(move |row| row.metal == metal && row.over_mm < t_mm && t_mm <= row.to_mm)
        };
        for row in of_metal() {
            match &row.state {
                State::AsParent(why) => return Ok(Welded::AsParent(why.clone())),
                State::NotWeldable(why) => return Ok(Welded::NotWeldable(why.clone())),
                State::Lowered { .. } => {}
            }
        }
        let least = |wanted: Property| {
            of_metal()
                .filter_map(|row| match &row.state {
                    State::Lowered {
                        property,
                        rows: of,
                        filler: with,
                        value_mpa,
                        parent_mpa,
                    } if *property == wanted
                        && *of == rows
                        && match (with, filler) {
                            (Some(with), Some(filler)) => with == filler.trim(),
                            _ => true,
                        } =>
                    {
                        Some((value_mpa, parent_mpa))
                    }
                    _ => None,
                })
                .min_by(|a, b| a.0.value.total_cmp(&b.0.value))
        };
        let (yields, breaks) = (least(Property::Yield), least(Property::Ultimate));
        if yields.is_none() && breaks.is_none() {
            return Err(WeldedError {
                metal: metal.to_owned(),
                t_mm,
            });
        }
        Ok(Welded::Lowered {
            yield_mpa: yields.map(|(value, _)| value.clone()),
            ultimate_mpa: breaks.map(|(value, _)| value.clone()),
            parent_yield_mpa: yields.and_then(|(_, parent)| parent.clone()),
            parent_ultimate_mpa: breaks.and_then(|(_, parent)| parent.clone()),
        })
    }
}

const STATES: &[&str] = &["lowered", "as parent", "not weldable"];

pub(crate) fn read(table: &Table) -> Result<Vec<HeatRow>, BadCell> {
    table.read(|row| {
        let per_unit = row.word("unit", &["MPa", "ksi"], |unit| match unit {
            "MPa" => Some(1.0),
            "ksi" => Some(MPA_PER_KSI),
            _ => None,
        })?;
        let mpa = |column: &str| -> Result<Sourced<f64>, BadCell> {
            Ok(row.sourced_positive(column)?.map(|value| value * per_unit))
        };
        let state = match row.word("state", STATES, |word| {
            STATES.iter().copied().find(|known| *known == word)
        })? {
            "as parent" => State::AsParent(row.sourced(&["state"], ())?),
            "not weldable" => State::NotWeldable(row.sourced(&["state"], ())?),
            _ => State::Lowered {
                property: row.word("property", &["yield", "ultimate"], |word| match word {
                    "yield" => Some(Property::Yield),
                    "ultimate" => Some(Property::Ultimate),
                    _ => None,
                })?,
                rows: row.word("basis", &["least", "extrusion", "typical"], |word| match word {
                    "least" => Some(HeatRows::Least),
                    "extrusion" => Some(HeatRows::Extrusion),
                    "typical" => Some(HeatRows::Typical),
                    _ => None,
                })?,
                filler: Some(row.text("filler")?.to_owned()).filter(|filler| filler != "any"),
                value_mpa: mpa("value")?,
                parent_mpa: row.if_said("parent", |_, column| mpa(column))?,
            },
        };
        Ok(HeatRow {
            metal: row.text("metal")?.to_owned(),
            over_mm: row.number("over_mm")?,
            to_mm: row.positive("to_mm")?,
            state,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beside_a_weld_no_metal_is_stronger_than_away_from_it() {
        let book = Handbook::builtin();
        for metal in book.metals() {
            let Ok(Welded::Lowered {
                yield_mpa,
                ultimate_mpa,
                ..
            }) = book.welded(&metal.name, 4.0, None, HeatRows::Least)
            else {
                continue;
            };
            for (beside, away) in [
                (yield_mpa, &metal.yield_least_mpa),
                (ultimate_mpa, &metal.ultimate_least_mpa),
            ] {
                let (beside, away) = (beside.expect("a row"), away.as_ref().expect("a row"));
                assert!(beside.value < away.value, "{}", metal.name);
            }
        }
    }

    #[test]
    fn a_metal_the_table_does_not_know_welded_stays_open() {
        let book = Handbook::builtin();
        assert!(
            book.welded("4130-normalized", 4.0, None, HeatRows::Least)
                .is_err()
        );
        assert!(matches!(
            book.welded("7075-T6", 4.0, None, HeatRows::Least),
            Ok(Welded::NotWeldable(_))
        ));
    }
}
