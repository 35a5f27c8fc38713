//! The numbers that the page shows, printed as everything else of the program prints them: in both systems.

use job::{Num, Summary};
use serde_json::{Value, json};

/// Row by row what the page's tables say of the same rows of the summary.
pub(crate) fn said(summary: &Summary) -> Value {
    let length = |mm: Num| units::both(mm.0);
    let angle = |deg: Num| units::deg(deg.0.to_radians());
    let survey = summary.survey.as_ref();
    let readings = survey.map_or_else(Vec::new, |survey| {
        let off = survey
            .readings
            .iter()
            .map(|row| match (row.residual_mm, row.residual_deg) {
                (Some(mm), _) => length(mm),
                (None, Some(deg)) => angle(deg),
                (None, None) => String::new(),
            });
        off.collect()
    });
    let mounts = summary.fit.as_ref().map_or_else(Vec::new, |fit| {
        let rows = fit.mounts.iter();
        rows.map(|row| json!({ "offset": length(row.offset_mm), "allowed": length(row.allowed_mm) }))
            .collect()
    });
    let cuts = summary.cut.as_ref().map_or_else(Vec::new, |cut| {
        cut.order.iter().map(|row| length(row.length_mm)).collect()
    });
    let bends = summary.bend.as_ref().map_or_else(Vec::new, |bend| {
        let rows = bend.order.iter();
        rows.map(|row| {
            json!({
                "bent": angle(row.bent_deg),
                "between_legs": angle(row.between_legs_deg),
                "gauge_to_middle": length(row.gauge_to_middle_mm),
            })
        })
        .collect()
    });
    json!({
        "mass": summary.folded.as_ref().map(|folded| units::mass(folded.mass_kg.0)),
        "readings": readings,
        "mounts": mounts,
        "cuts": cuts,
        "bends": bends,
    })
}
