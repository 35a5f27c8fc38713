//! From a bend strip to what is told of it.

use super::VERSION;
use crate::make::BendStripMade;
use crate::run::Outcome;
use crate::strip_record::StripMeasured;
use crate::summary::{Num, RestsOn, StripMade, StripRead};

impl StripMade {
    /// Of a strip.
    pub fn of(made: &BendStripMade) -> StripMade {
        let degrees = |rad: f64| Num(rad.to_degrees());
        let between = |rad: f64| Num(180.0 - rad.to_degrees());
        StripMade {
            gusset: VERSION,
            stock: made.stock.clone(),
            tool: made.tool.clone(),
            wide_mm: Num(made.wide_mm),
            flat_mm: Num(made.flat_mm),
            line_at_mm: Num(made.line_at_mm),
            bent_deg: degrees(made.bent_rad),
            between_legs_deg: between(made.bent_rad),
            loaded_deg: degrees(made.loaded_rad),
            loaded_between_legs_deg: between(made.loaded_rad),
            radius_mm: Num(made.radius_mm),
            radius_from: made.radius_from.clone(),
            leg_mm: Num(made.leg_mm),
            grain: made.grain.word(),
            sheet: made.sheet.clone(),
            why_no_program: made.why_no_program.clone(),
            to_type: made.to_type.clone(),
            written: made.files.written.clone(),
            taken_away: made.files.taken_away.clone(),
        }
    }
}

impl StripRead {
    /// Of a strip, with the job as it was before and as it is with it.
    pub fn of(found: &StripMeasured, before: &Outcome, after: &Outcome) -> StripRead {
        let degrees = |rad: f64| Num(rad.to_degrees());
        let size = |outcome: &Outcome| {
            let part = outcome.summary.blank.iter().flat_map(|blank| &blank.parts).next();
            part.map(|part| part.bounds_mm)
        };
        let parts = after.summary.blank.iter().flat_map(|blank| &blank.parts);
        StripRead {
            gusset: VERSION,
            k: Num(found.neutral_share[0]),
            k_sd: Num(found.neutral_share[1]),
            radius_mm: Num(found.radius_mm[0]),
            radius_sd_mm: Num(found.radius_mm[1]),
            radius_gauged: found.gauged,
            bent_deg: degrees(found.bent_rad),
            between_legs_deg: Num(180.0 - found.bent_rad.to_degrees()),
            loaded_deg: degrees(found.loaded_rad),
            opens_deg: degrees(found.opens_rad[0]),
            opens_sd_deg: degrees(found.opens_rad[1]),
            deduction_mm: Num(found.deduction_mm[0]),
            deduction_sd_mm: Num(found.deduction_mm[1]),
            thicker_pct: Num(100.0 * found.thicker_share),
            tool: found.tool.clone(),
            grain: found.grain.word(),
            date: found.date.clone(),
            blank_mm: [size(before), size(after)],
            bends: parts
                .flat_map(|part| &part.bends)
                .map(|bend| RestsOn {
                    bend: bend.name.clone(),
                    k: bend.k,
                    k_from: bend.k_from.clone(),
                    radius_mm: bend.radius_mm,
                    radius_from: bend.radius_from.clone(),
                })
                .collect(),
        }
    }
}
