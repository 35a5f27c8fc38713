//! What is said of a fold, and of a hole that meets its mount or does not.

use fit::{Mount, MountState, SupportState, SupportWant};
use nalgebra::Point3;
use sheet::{Part, Way};

use crate::stages::equipment::KeepOut;

use super::{KeepOutMet, MountMet, SupportMet, rounded, three};

/// "b2 up, through 45.0 deg (135.0 deg left between the legs)".
pub(super) fn step_words(part: &Part, bends: &[usize], to: f64) -> String {
    let names: Vec<&str> = bends.iter().map(|bend| part.bends[*bend].name.as_str()).collect();
    let Some(first) = bends.first().map(|bend| &part.bends[*bend]) else {
        return String::new();
    };
    let way = match first.way {
        Way::Up => "up",
        Way::Down => "down",
    };
    let bent_rad = first.bent_rad * to;
    format!(
        "{} {way}, through {} ({} left between the legs)",
        names.join(" and "),
        units::deg(bent_rad),
        units::deg(std::f64::consts::PI - bent_rad)
    )
}

/// How far it is folded: "Fold 2 of 3: b2 half way".
pub(super) fn stands(part: &Part, bends: Option<&[usize]>, step: usize, steps: usize, share: f64) -> String {
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

pub(super) fn mount_row(mount: &Mount, state: &MountState, hole: &str) -> MountMet {
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
        if meets {
            "The bolt goes in."
        } else {
            "The bolt does not go in."
        }
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

pub(super) fn support_row(want: &SupportWant, state: &SupportState) -> SupportMet {
    let meets = state.offset_mm <= state.allowed_mm && state.turn_rad <= state.allowed_turn_rad;
    let words = [
        units::both(state.offset_mm),
        units::both(state.allowed_mm),
        units::deg(state.turn_rad),
        units::deg(state.allowed_turn_rad),
    ];
    let [off, off_may, turn, turn_may] = &words;
    let says = format!(
        "The support comes {off} beside where it must sit, and {off_may} is allowed; it is turned by {turn}, and {turn_may} is \
         allowed."
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

pub(super) fn keep_out_row(
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
