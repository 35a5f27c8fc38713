//! What is said of a fold, and of a hole that meets its mount or does not.

use fit::{Deciding, Mount, MountState, SupportState, SupportWant};
use nalgebra::Point3;
use sheet::Part;

use crate::folding::{KeepOutMet, MountMet, SupportMet, rounded, three};
use crate::stages::equipment::KeepOut;
use crate::stages::pattern::way_word;

use super::seating::apart_words;

/// "b2 up, through 45.0 deg (135.0 deg left between the legs)".
pub(crate) fn step_words(part: &Part, bends: &[usize], to: f64) -> String {
    let names: Vec<&str> = bends.iter().map(|bend| part.bends[*bend].name.as_str()).collect();
    let Some(first) = bends.first().map(|bend| &part.bends[*bend]) else {
        return String::new();
    };
    let way = way_word(first.way);
    let bent_rad = first.bent_rad * to;
    format!(
        "{} {way}, through {} ({} left between the legs)",
        names.join(" and "),
        units::deg(bent_rad),
        units::deg(std::f64::consts::PI - bent_rad)
    )
}

/// How far it is folded: "Fold 2 of 3: b2 half way".
pub(crate) fn stands(part: &Part, bends: Option<&[usize]>, step: usize, steps: usize, share: f64) -> String {
    if steps == 0 {
        return "Nothing to fold".into();
    }
    let Some(bends) = bends.filter(|_| step > 0) else {
        return format!("Flat, before {steps} folds").replace("before 1 folds", "before its fold");
    };
    if step == steps && share >= 1.0 {
        return "All folded".into();
    }
    let names: Vec<&str> = bends.iter().map(|bend| part.bends[*bend].name.as_str()).collect();
    let done = if share >= 1.0 {
        "made".to_owned()
    } else {
        format!("made to {:.0} %", 100.0 * share)
    };
    format!("Fold {step} of {steps}: {} {done}", names.join(" and "))
}

pub(crate) fn mount_row(mount: &Mount, state: &MountState, hole: &str) -> MountMet {
    let meets = state.within();
    let seat = if state.gap_mm < 0.0 {
        format!("it would sink into its seat by {}", units::both(-state.gap_mm))
    } else {
        format!("it stands off its seat by {}", units::both(state.gap_mm))
    };
    let says = format!(
        "Hole {hole} comes {} beside mount {}, and {} is allowed; {seat}, and {} is allowed; it is tilted by {}, and {} is \
         allowed. {}",
        units::both(state.offset_mm),
        mount.name,
        units::both(state.allowed_mm),
        units::both(state.gap_allowed_mm),
        units::deg(state.tilt_rad),
        units::deg(state.tilt_allowed_rad),
        met_words(state)
    );
    MountMet {
        name: mount.name.clone(),
        hole: hole.to_owned(),
        at_mm: three(mount.at),
        axis: [mount.axis.x, mount.axis.y, mount.axis.z].map(rounded),
        off: [units::both(state.offset_mm), units::both(state.allowed_mm)],
        gap: [units::both(state.gap_mm), units::both(state.gap_allowed_mm)],
        tilt: [units::deg(state.tilt_rad), units::deg(state.tilt_allowed_rad)],
        meets,
        says,
    }
}

/// Whether the bolt goes in, and the plate then sits.
fn met_words(state: &MountState) -> &'static str {
    match state.deciding() {
        _ if state.within() => "The bolt goes in.",
        Deciding::Offset => "The bolt does not go in.",
        Deciding::Gap if state.gap_mm < 0.0 => "The seat is in its way.",
        Deciding::Gap => "It does not come to rest on its seat.",
        Deciding::Tilt => "It does not lie flat on its seat.",
    }
}

pub(crate) fn support_row(want: &SupportWant, state: &SupportState) -> SupportMet {
    let meets = state.within();
    let words = [
        units::both(state.offset_mm),
        units::both(state.allowed_mm),
        units::deg(state.turn_rad),
        units::deg(state.allowed_turn_rad),
    ];
    let [off, off_may, turn, turn_may] = &words;
    let apart = state.apart.as_ref().map_or_else(String::new, |apart| {
        format!(
            "; {}, and {} is allowed between the two",
            apart_words(apart),
            units::both(apart.allowed_mm)
        )
    });
    let says = format!(
        "The support comes {off} beside where it must sit, and {off_may} is allowed; it is turned by {turn}, and {turn_may} is \
         allowed{apart}."
    );
    let [off, off_may, turn, turn_may] = words;
    SupportMet {
        at_mm: three(want.at),
        off: [off, off_may],
        turn: [turn, turn_may],
        meets,
        says,
    }
}

pub(crate) fn keep_out_row(
    keep_out: &KeepOut,
    clear_mm: f64,
    nearest: Point3<f64>,
    lines_mm: Vec<Vec<f64>>,
) -> KeepOutMet {
    let name = &keep_out.name.value;
    let least = units::both(keep_out.least_mm);
    let meets = clear_mm >= keep_out.least_mm;
    let says = if clear_mm < 0.0 {
        format!(
            "The part is inside keep-out {name} by {}; it must stay {least} clear.",
            units::both(-clear_mm)
        )
    } else {
        format!(
            "The part stays {} clear of keep-out {name}; {least} is asked.",
            units::both(clear_mm)
        )
    };
    KeepOutMet {
        name: name.clone(),
        clear: [units::both(clear_mm), least],
        meets,
        says,
        nearest_mm: three(nearest),
        lines_mm,
    }
}

#[cfg(test)]
mod tests {
    use fit::{ApartState, Rests};
    use nalgebra::{UnitVector3, Vector3};

    use super::*;

    fn mount(offset_mm: f64, gap_mm: f64, tilt_rad: f64) -> MountState {
        MountState {
            mount: "m1".into(),
            hole: "h1".into(),
            rests: Rests::AxisFace,
            offset_mm,
            allowed_mm: 1.0,
            gap_mm,
            gap_allowed_mm: 1.0,
            tilt_rad,
            tilt_allowed_rad: 0.02,
            offset_ratio: offset_mm,
            gap_ratio: gap_mm.abs(),
            tilt_ratio: tilt_rad / 0.02,
        }
    }

    #[test]
    fn a_bolt_that_goes_in_is_not_said_to_stay_out_where_the_plate_stands_off_or_leans() {
        assert_eq!(met_words(&mount(0.5, 0.5, 0.01)), "The bolt goes in.");
        assert_eq!(met_words(&mount(1.5, 0.5, 0.01)), "The bolt does not go in.");
        assert_eq!(
            met_words(&mount(0.5, 1.5, 0.01)),
            "It does not come to rest on its seat."
        );
        assert_eq!(met_words(&mount(0.5, -1.5, 0.01)), "The seat is in its way.");
        assert_eq!(
            met_words(&mount(0.5, 0.5, 0.05)),
            "It does not lie flat on its seat."
        );
    }

    #[test]
    fn a_support_in_its_place_whose_holes_are_too_far_apart_does_not_meet() {
        let up: UnitVector3<f64> = Vector3::z_axis();
        let want = SupportWant {
            at: Point3::origin(),
            facing: up,
            along: Vector3::x_axis(),
            allowed_mm: 1.0,
            allowed_turn_rad: 0.05,
            apart: None,
        };
        let state = |apart_mm: f64| SupportState {
            at: want.at,
            facing: up,
            along: Some(want.along),
            off_by: Vector3::zeros(),
            offset_mm: 0.0,
            allowed_mm: want.allowed_mm,
            turn_rad: 0.0,
            tip_rad: 0.0,
            spin_rad: 0.0,
            allowed_turn_rad: want.allowed_turn_rad,
            apart: Some(ApartState {
                apart_mm,
                wanted_mm: 40.0,
                off_mm: apart_mm - 40.0,
                allowed_mm: 0.6,
            }),
        };
        assert!(support_row(&want, &state(40.5)).meets);
        let row = support_row(&want, &state(41.0));
        assert!(!row.meets);
        assert!(row.says.contains("the part's are 41.0 mm"), "{}", row.says);
    }
}
