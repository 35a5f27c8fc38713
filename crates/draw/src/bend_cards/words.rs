//! The cards in words, for those who cannot see them.

use super::{BendCards, ReadBand, flat};
use crate::figures;

/// Everything the cards say.
pub(super) fn of(told: &BendCards) -> String {
    let mut says = told.cautions.clone();
    if !told.ready.is_empty() {
        says.push(format!("Have ready: {}", told.ready.join("; ")));
    }
    for (index, step) in told.steps.iter().enumerate() {
        says.push(format!("Step {}, bend {}:", index + 1, step.bend));
        says.extend(step.cautions.iter().cloned());
        says.extend(step.first.iter().cloned());
        says.push(format!("tool {};", step.tool.join(", ")));
        if let Some(stop) = step.stop {
            says.push(format!(
                "gauge stop {}, {};",
                figures::both(stop.distance_mm),
                flat::line_word(stop.to)
            ));
        }
        says.extend([step.stop_says.clone(), step.face_up.clone(), step.round.clone()]);
        says.push(format!(
            "under load {}; after release {}.",
            figures::bend_angles(step.loaded_rad).join(", "),
            figures::bend_angles(step.released_rad).join(", ")
        ));
        for reading in &step.measure {
            let band = match reading.band {
                ReadBand::LengthMm([low, _, high]) => {
                    format!("between {} and {}", figures::both(low), figures::both(high))
                }
                ReadBand::BentRad([low, _, high]) => {
                    format!(
                        "between {} and {} bent through",
                        figures::deg(low),
                        figures::deg(high)
                    )
                }
            };
            says.push(format!("Measure {}: {band}.", reading.place));
        }
        says.extend(step.stop_when.iter().map(|words| format!("Stop when {words}")));
        says.extend(step.free_hand.iter().cloned());
    }
    says.extend(told.notes.iter().cloned());
    says.retain(|words| !words.is_empty());
    says.join(" ")
}
