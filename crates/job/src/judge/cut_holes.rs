//! What the cutter does to the fit: a hole that comes out small takes its bolt less far off.

use cut::holes::HoleWay;

use crate::finding::{Finding, Level, Question};
use crate::run::Worked;

/// Mounts that are within what is allowed with the holes as drawn, and past it with holes as they may come off the table.
pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let (Ok(sheet), Some(standing), Some(equipment)) = (&worked.cut, &worked.standing, &worked.equipment)
    else {
        return Vec::new();
    };
    let Some(part) = sheet.plan.placed.first() else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for mount in standing.placement.iter().flat_map(|placement| &placement.mounts) {
        let Some(wish) = equipment
            .mounts
            .iter()
            .find(|wish| wish.place.name == mount.mount)
        else {
            continue;
        };
        let hole = &wish.hole.value;
        let Some(plan) = part.holes.iter().find(|plan| plan.name == *hole) else {
            continue;
        };
        // Drilled holes come out as the drill is.
        if plan.way != HoleWay::CutToSize {
            continue;
        }
        let by_class_mm = plan.expected_mm.as_ref().map_or(0.0, |expected| expected.value);
        let off_mm = by_class_mm.max(plan.by_kerf_mm);
        // Smaller by so much across takes half of it on either side.
        let left_mm = mount.allowed_mm - off_mm / 2.0;
        if mount.offset_mm > mount.allowed_mm || mount.offset_mm <= left_mm {
            continue;
        }
        let source = if by_class_mm >= plan.by_kerf_mm {
            format!(
                "ISO 9013 class {}, {}",
                sheet.cutter.profile.holes.tolerance_class,
                plan.expected_mm
                    .as_ref()
                    .map_or_else(String::new, super::source_words)
            )
        } else {
            "by what is not known of the kerf".into()
        };
        found.push(Finding {
            code: "hole-comes-out",
            level: Level::Care,
            question: Question::Fit,
            about: hole.clone(),
            at: super::design_place(worked, hole),
            says: format!(
                "mount {} is {:.2} mm off its hole, {:.2} allowed; {hole} can come off the table {off_mm:.2} mm small ({source}), \
                 which leaves {:.2}",
                mount.mount,
                mount.offset_mm,
                mount.allowed_mm,
                left_mm.max(0.0)
            ),
            fix: vec![
                format!("drill {hole} to size after cutting"),
                "measure the kerf in this plate: `gusset strip kerf`".into(),
                format!("give {hole} a loose clearance"),
            ],
            margin: Some(left_mm / mount.offset_mm - 1.0),
        });
    }
    found
}
