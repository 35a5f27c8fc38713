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
    /// How its path is led; none for what follows no path.
    pub path: Option<PathNumbers>,
}

/// What a way of cutting that follows a path asks of the path and of its table.
#[derive(Debug, Clone, PartialEq)]
pub struct PathNumbers {
    /// Feed in small holes as a share of the feed, 0 to 1.
    pub hole_feed_share: Sourced<f64>,
    /// Holes up to this multiple of the thickness are cut at that share.
    pub small_hole_x_t: Sourced<f64>,
    /// Length of a lead in plate of no thickness, mm.
    pub lead_in_mm: Sourced<f64>,
    /// What comes on top of it, as a multiple of the thickness.
    pub lead_in_x_t: Sourced<f64>,
    /// No lead is shorter, mm.
    pub lead_least_mm: Sourced<f64>,
    /// Length of the lead out of an outline, mm.
    pub lead_out_mm: Sourced<f64>,
    /// How far the cut goes on past its start, mm.
    pub over_run_mm: Sourced<f64>,
    /// Radius of what a pierce spoils in plate of no thickness, mm.
    pub puddle_mm: Sourced<f64>,
    /// What comes on top of it, as a multiple of the thickness.
    pub puddle_x_t: Sourced<f64>,
    /// Height of travel between cuts, mm.
    pub travel_height_mm: Sourced<f64>,
    /// Speed of travel between cuts, mm/min.
    pub travel_speed_mm_min: Sourced<f64>,
    /// Acceleration of the table, mm/s2.
    pub acceleration_mm_s2: Sourced<f64>,
    /// From slat to slat, mm; 0 without slats.
    pub slat_pitch_mm: Sourced<f64>,
    /// Width and length of the table, mm.
    pub table_mm: Sourced<[f64; 2]>,
    /// What is left on each side of a hole that is drilled to size, so that the drill takes the burnt edge away, mm.
    pub leave_to_drill_mm: Sourced<f64>,
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
    "hole_feed_share",
    "small_hole",
    "lead_in",
    "lead_in_x_t",
    "lead_least",
    "lead_out",
    "over_run",
    "puddle",
    "puddle_x_t",
    "travel_height",
    "travel_speed",
    "acceleration",
    "slat_pitch",
    "table_width",
    "table_length",
    "leave_to_drill",
];

/// One of these and all of them: a way of cutting follows a path, or it does not.
const FOLLOWS_A_PATH: &str = "lead_in";

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
            "kerf" | "kerf_low" | "kerf_high" | "tolerance_class" | "hole_feed_share" | "travel_speed"
            | "acceleration" | "table_width" | "table_length" => row.sourced_positive("value")?,
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
            let follows_a_path = properties
                .iter()
                .any(|p| p.process == name && p.property == FOLLOWS_A_PATH);
            let path = || {
                Ok(PathNumbers {
                    hole_feed_share: find("hole_feed_share")?,
                    small_hole_x_t: find("small_hole")?,
                    lead_in_mm: find("lead_in")?,
                    lead_in_x_t: find("lead_in_x_t")?,
                    lead_least_mm: find("lead_least")?,
                    lead_out_mm: find("lead_out")?,
                    over_run_mm: find("over_run")?,
                    puddle_mm: find("puddle")?,
                    puddle_x_t: find("puddle_x_t")?,
                    travel_height_mm: find("travel_height")?,
                    travel_speed_mm_min: find("travel_speed")?,
                    acceleration_mm_s2: find("acceleration")?,
                    slat_pitch_mm: find("slat_pitch")?,
                    table_mm: find("table_width")?
                        .and(find("table_length")?, |width, length| [width, length]),
                    leave_to_drill_mm: find("leave_to_drill")?,
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
                path: if follows_a_path { Some(path()?) } else { None },
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
