//! Loads in everyday words, with a number that can be changed.

use crate::Handbook;
use crate::book::or_nearest;
use crate::nearest::nearest;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table};

/// An everyday load and the numbers it stands for until the job says its own.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadKind {
    /// "push", "lean", "hit", "drop".
    pub name: String,
    /// Force, N.
    pub force_n: Option<Sourced<f64>>,
    /// Moment, N mm.
    pub moment_n_mm: Option<Sourced<f64>>,
    /// Height of a fall, mm: the force follows from what falls and how stiff the part is.
    pub height_mm: Option<Sourced<f64>>,
    /// How many times its slow value a load does when it comes on as this one does. For a fall it is the least.
    pub factor: Sourced<f64>,
    /// It comes on at once, and the margin for sudden loads holds.
    pub sudden: bool,
    /// How often a day.
    pub per_day: Sourced<f64>,
    /// What it stands for, in plain words.
    pub means: String,
}

/// No such everyday load.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the handbook has no load {asked:?}{}", or_nearest(.nearest))]
pub struct UnknownLoadKind {
    /// As asked.
    pub asked: String,
    /// The most alike.
    pub nearest: Option<String>,
}

impl Handbook {
    /// The everyday load of this name.
    ///
    /// ```
    /// let handbook = handbook::Handbook::builtin();
    /// assert!(handbook.load_kind("hit").unwrap().sudden);
    /// assert!(handbook.load_kind("drop").unwrap().height_mm.is_some());
    /// ```
    pub fn load_kind(&self, name: &str) -> Result<&LoadKind, UnknownLoadKind> {
        let wanted = name.trim().to_lowercase();
        self.load_kinds
            .iter()
            .find(|kind| kind.name == wanted)
            .ok_or_else(|| UnknownLoadKind {
                asked: name.to_owned(),
                nearest: nearest(name, self.load_kinds.iter().map(|kind| kind.name.as_str())),
            })
    }

    /// Every everyday load, in the order of the table.
    pub fn load_kinds(&self) -> &[LoadKind] {
        &self.load_kinds
    }
}

pub(crate) fn read(table: &Table) -> Result<Vec<LoadKind>, BadCell> {
    table.read(|row| {
        let said = |column: &str| row.if_said(column, |row, column| row.sourced_positive(column));
        Ok(LoadKind {
            name: row.key().to_owned(),
            force_n: said("force_n")?,
            moment_n_mm: said("moment_n_mm")?,
            height_mm: said("height_mm")?,
            factor: row.sourced_positive("factor")?,
            sudden: row.word("sudden", &["yes", "no"], |word| match word {
                "yes" => Some(true),
                "no" => Some(false),
                _ => None,
            })?,
            per_day: row.sourced_number("per_day")?,
            means: row.text("means")?.to_owned(),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_everyday_load_has_a_force_a_moment_or_a_height() {
        for kind in Handbook::builtin().load_kinds() {
            let said = [&kind.force_n, &kind.moment_n_mm, &kind.height_mm];
            assert_eq!(said.iter().filter(|v| v.is_some()).count(), 1, "{}", kind.name);
            assert!(kind.factor.value >= 1.0, "{}", kind.name);
            assert_eq!(kind.sudden, kind.factor.value >= 2.0, "{}", kind.name);
        }
    }
}
