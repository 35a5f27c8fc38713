//! Ways of cutting a plate: how wide the cut is, and what is too small for it.

use crate::Handbook;
use crate::book::or_nearest;
use crate::nearest::nearest;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table, Wanted};

/// A way of cutting. Factors are of the thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct Process {
    /// "plasma", "oxy", "laser", "waterjet", "router", "saw and drill".
    pub name: String,
    /// Width of the cut to count on, mm.
    pub kerf_mm: Sourced<f64>,
    /// The narrowest and the widest that is usual, mm.
    pub kerf_range_mm: Sourced<(f64, f64)>,
    /// Least diameter of a hole, as a multiple of the thickness.
    pub least_hole_x_t: Sourced<f64>,
    /// Least space between two parts on a sheet, mm.
    pub part_spacing_mm: Sourced<f64>,
    /// Least web between two openings, as a multiple of the thickness.
    pub least_web_x_t: Sourced<f64>,
    /// Least distance of an opening from the outside edge, as a multiple of the thickness.
    pub edge_x_t: Sourced<f64>,
    /// Class of ISO 9013 limit deviations that may be expected: 1 or 2.
    pub tolerance_class: Sourced<u8>,
}

/// No such way of cutting in the handbook.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the handbook has no cutting process {asked:?}{}", or_nearest(.nearest))]
pub struct UnknownProcess {
    /// As asked.
    pub asked: String,
    /// The most alike.
    pub nearest: Option<String>,
}

impl Handbook {
    /// The way of cutting of this name.
    pub fn process(&self, name: &str) -> Result<&Process, UnknownProcess> {
        let wanted = name.trim().to_lowercase().replace(['-', '_'], " ");
        self.processes
            .iter()
            .find(|process| process.name == wanted)
            .ok_or_else(|| UnknownProcess {
                asked: name.to_owned(),
                nearest: nearest(name, self.processes.iter().map(|process| process.name.as_str())),
            })
    }

    /// Every way of cutting, in the order of the table.
    pub fn processes(&self) -> &[Process] {
        &self.processes
    }
}

const PROPERTIES: &[&str] = &[
    "kerf",
    "kerf_low",
    "kerf_high",
    "least_hole",
    "part_spacing",
    "least_web",
    "edge",
    "tolerance_class",
];

struct Property {
    process: String,
    property: &'static str,
    value: Sourced<f64>,
}

pub(crate) fn read(table: &Table) -> Result<Vec<Process>, BadCell> {
    let properties = table.read(|row| {
        let property = row.word("property", PROPERTIES, |word| {
            PROPERTIES.iter().copied().find(|known| *known == word)
        })?;
        let value = match property {
            "tolerance_class" if !["1", "2"].contains(&row.text("value")?) => {
                return Err(row.bad("value", Wanted::Word(&["1", "2"])));
            }
            "kerf" | "kerf_low" | "kerf_high" | "tolerance_class" => row.sourced_positive("value")?,
            _ => row.sourced_number("value")?,
        };
        Ok(Property {
            process: row.text("process")?.to_owned(),
            property,
            value,
        })
    })?;
    let mut names: Vec<&str> = Vec::new();
    for property in &properties {
        if !names.contains(&property.process.as_str()) {
            names.push(&property.process);
        }
    }
    names
        .into_iter()
        .map(|name| {
            let find = |wanted: &'static str| {
                let found = properties
                    .iter()
                    .find(|p| p.process == name && p.property == wanted);
                found.map(|p| p.value.clone()).ok_or_else(|| BadCell {
                    table: table.name(),
                    row: format!("{name} {wanted}"),
                    column: "value".to_owned(),
                    text: String::new(),
                    wanted: Wanted::Present,
                })
            };
            Ok(Process {
                name: name.to_owned(),
                kerf_mm: find("kerf")?,
                kerf_range_mm: find("kerf_low")?.and(find("kerf_high")?, |low, high| (low, high)),
                least_hole_x_t: find("least_hole")?,
                part_spacing_mm: find("part_spacing")?,
                least_web_x_t: find("least_web")?,
                edge_x_t: find("edge")?,
                tolerance_class: find("tolerance_class")?.map(|class| if class < 1.5 { 1 } else { 2 }),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_kerf_to_count_on_lies_in_the_usual_range() {
        for process in Handbook::builtin().processes() {
            let (low, high) = process.kerf_range_mm.value;
            assert!(
                low <= process.kerf_mm.value && process.kerf_mm.value <= high,
                "{}",
                process.name
            );
        }
    }

    #[test]
    fn a_misspelt_process_names_the_nearest() {
        let error = Handbook::builtin()
            .process("plasm")
            .expect_err("misspelt")
            .nearest;
        assert_eq!(error.as_deref(), Some("plasma"));
        assert!(Handbook::builtin().process("saw-and-drill").is_ok());
    }
}
