//! Instruments: how sure one reading is.

use crate::Handbook;
use crate::book::or_nearest;
use crate::nearest::nearest;
use crate::sourced::Sourced;
use crate::table::{BadCell, RowView, Table, Wanted};

/// Largest permitted error of a class of tape: base + per_m L, with L in whole metres rounded up, and more from the hook.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TapeError {
    class: String,
    terms: Sourced<TapeTerms>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct TapeTerms {
    base_mm: f64,
    per_m_mm: f64,
    hook_mm: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct InstrumentRow {
    name: String,
    tape_class: Option<String>,
    reading_sd_mm: Option<f64>,
    sd_per_m_mm: f64,
    angle_sd_rad: Option<f64>,
    row: Sourced<()>,
}

/// An instrument of the handbook.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// Its name: "tape", "rule", "caliper", "grid paper", "angle finder", "exact".
    pub name: String,
    tape: Option<TapeTerms>,
    reading_sd_mm: Option<f64>,
    sd_per_m_mm: f64,
    angle_sd_rad: Option<f64>,
    /// Where its numbers come from.
    pub row: Sourced<()>,
}

/// No such instrument in the handbook.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the handbook has no instrument {asked:?}{}", or_nearest(.nearest))]
pub struct UnknownInstrument {
    /// As asked.
    pub asked: String,
    /// The most alike.
    pub nearest: Option<String>,
}

/// No such class of tape.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no tape class {class:?}: there are I, II and III")]
pub struct UnknownTapeClass {
    /// As asked.
    pub class: String,
}

impl Instrument {
    /// Standard deviation of one reading of a length, mm; none for an instrument that reads no lengths, 0 for `exact`.
    /// A tape's permitted error counts as a rectangular distribution (error / sqrt 3), combined with the reading of
    /// its scale by root sum square. `hook`: read from the hook end.
    pub fn sd_at(&self, length_mm: f64, hook: bool) -> Option<f64> {
        let reading_mm = self.reading_sd_mm? + self.sd_per_m_mm * length_mm.abs() / 1000.0;
        let tape_mm = self.tape.map_or(0.0, |terms| {
            standard_from_largest(tape_error_mm(terms, length_mm, hook))
        });
        Some(reading_mm.hypot(tape_mm))
    }

    /// Standard deviation of one reading of an angle, radians; none for an instrument that reads no angles.
    pub fn angle_sd_rad(&self) -> Option<f64> {
        self.angle_sd_rad
    }

    /// Is what it gives meant rather than measured?
    pub fn is_exact(&self) -> bool {
        self.reading_sd_mm == Some(0.0) && self.tape.is_none() && self.sd_per_m_mm == 0.0
    }
}

impl Handbook {
    /// The instrument of this name.
    pub fn instrument(&self, name: &str) -> Result<Instrument, UnknownInstrument> {
        let wanted = name.trim().to_lowercase().replace(['-', '_'], " ");
        let row = self
            .instruments
            .iter()
            .find(|row| row.name.to_lowercase() == wanted)
            .ok_or_else(|| UnknownInstrument {
                asked: name.to_owned(),
                nearest: nearest(name, self.instruments.iter().map(|row| row.name.as_str())),
            })?;
        let tape = row.tape_class.as_ref().and_then(|class| self.tape_terms(class));
        Ok(Instrument {
            name: row.name.clone(),
            tape: tape.map(|terms| terms.value),
            reading_sd_mm: row.reading_sd_mm,
            sd_per_m_mm: row.sd_per_m_mm,
            angle_sd_rad: row.angle_sd_rad,
            row: match tape {
                Some(terms) => row.row.clone().and(terms.clone(), |(), _| ()),
                None => row.row.clone(),
            },
        })
    }

    /// Names of the instruments, in the order of the table.
    pub fn instrument_names(&self) -> impl Iterator<Item = &str> {
        self.instruments.iter().map(|row| row.name.as_str())
    }

    /// Largest permitted error of a tape, mm, over a length in mm: a + b L, L in metres rounded up to whole ones, and c
    /// more when it is read from the hook end. UK SI 2016/1153 Schedule 1I, the same as MID MI-008.
    pub fn tape_error_mm(
        &self,
        class: &str,
        length_mm: f64,
        hook: bool,
    ) -> Result<Sourced<f64>, UnknownTapeClass> {
        let terms = self.tape_terms(class).ok_or_else(|| UnknownTapeClass {
            class: class.to_owned(),
        })?;
        Ok(terms.clone().map(|terms| tape_error_mm(terms, length_mm, hook)))
    }

    fn tape_terms(&self, class: &str) -> Option<&Sourced<TapeTerms>> {
        self.tape_errors
            .iter()
            .find(|tape| tape.class == class)
            .map(|tape| &tape.terms)
    }
}

/// Standard deviation of an error known only by its largest value: largest / sqrt 3, a rectangular distribution. Usual
/// practice in stating measurement uncertainty.
pub fn standard_from_largest(largest: f64) -> f64 {
    largest / 3f64.sqrt()
}

fn tape_error_mm(terms: TapeTerms, length_mm: f64, hook: bool) -> f64 {
    // A length that is whole metres but for rounding is not rounded up by another metre.
    const WHOLE_METRE_MM: f64 = 1e-6;
    let whole_m = ((length_mm.abs() - WHOLE_METRE_MM) / 1000.0).ceil().max(1.0);
    terms.base_mm + terms.per_m_mm * whole_m + if hook { terms.hook_mm } else { 0.0 }
}

pub(crate) fn read_tape_errors(table: &Table) -> Result<Vec<TapeError>, BadCell> {
    table.read(|row| {
        let terms = TapeTerms {
            base_mm: row.number("base_mm")?,
            per_m_mm: row.number("per_m_mm")?,
            hook_mm: row.number("hook_mm")?,
        };
        let terms = row.sourced(&["base_mm", "per_m_mm", "hook_mm"], terms)?;
        Ok(TapeError {
            class: row.key().to_owned(),
            terms,
        })
    })
}

pub(crate) fn read(table: &Table) -> Result<Vec<InstrumentRow>, BadCell> {
    table.read(|row| {
        let tape_class = row.if_said("tape_class", |row, column| {
            row.word(column, &["I", "II", "III"], |class| {
                ["I", "II", "III"].contains(&class).then(|| class.to_owned())
            })
        })?;
        let reading_sd_mm = row.if_said("reading_sd_mm", RowView::number)?;
        let angle_sd_deg = row.if_said("angle_sd_deg", RowView::number)?;
        if reading_sd_mm.is_none() && (tape_class.is_some() || angle_sd_deg.is_none()) {
            return Err(row.bad("reading_sd_mm", Wanted::Number));
        }
        let columns = ["tape_class", "reading_sd_mm", "sd_per_m_mm", "angle_sd_deg"];
        Ok(InstrumentRow {
            name: row.key().to_owned(),
            tape_class,
            reading_sd_mm,
            sd_per_m_mm: row.if_said("sd_per_m_mm", RowView::number)?.unwrap_or(0.0),
            angle_sd_rad: angle_sd_deg.map(f64::to_radians),
            row: row.sourced(&columns, ())?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tape_is_less_sure_over_a_metre_and_from_its_hook() {
        let tape = Handbook::builtin().instrument("tape").expect("tape");
        let short = tape.sd_at(420.0, false).expect("a length");
        let long = tape.sd_at(1420.0, false).expect("a length");
        let hooked = tape.sd_at(420.0, true).expect("a length");
        assert!(short < long && short < hooked);
        assert!((short - (0.5f64 / 3f64.sqrt()).hypot(0.29)).abs() < 1e-12);
        assert_eq!(tape.angle_sd_rad(), None);
    }

    #[test]
    fn an_angle_finder_reads_no_lengths_and_exact_is_exact() {
        let handbook = Handbook::builtin();
        let finder = handbook.instrument("angle finder").expect("angle finder");
        assert_eq!(finder.sd_at(100.0, false), None);
        assert_eq!(finder.angle_sd_rad(), Some(0.5f64.to_radians()));
        let exact = handbook.instrument("exact").expect("exact");
        assert!(exact.is_exact() && exact.sd_at(100.0, false) == Some(0.0));
        assert!(!handbook.instrument("rule").expect("rule").is_exact());
    }

    #[test]
    fn a_misspelt_instrument_names_the_nearest() {
        let error = Handbook::builtin().instrument("calliper").expect_err("misspelt");
        assert_eq!(error.nearest.as_deref(), Some("caliper"));
    }
}
