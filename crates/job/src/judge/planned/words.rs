//! How a hole is made, in words.

use cut::holes::{Because, Before, HolePlan, HoleWay};

/// The smallest drills of both sets, by name.
fn drill_words(drills: &cut::holes::Drills) -> String {
    let names = [&drills.metric, &drills.inch];
    let names: Vec<&str> = names
        .into_iter()
        .flatten()
        .map(|drill| drill.name.as_str())
        .collect();
    if names.is_empty() {
        "a drill of its size".into()
    } else {
        names.join(" or ")
    }
}

/// How a hole is made, in a sentence.
pub(crate) fn hole_words(plan: &HolePlan) -> String {
    let size = units::both(plan.dia_mm);
    let HoleWay::Drill {
        before,
        drills,
        ream_to_mm,
        beyond_mm,
    } = &plan.way
    else {
        return format!("cut to {size}");
    };
    let first = match before {
        Before::CentreMark => "mark the centre, drill".to_owned(),
        Before::CutTo { dia_mm } => format!("cut to {}, then drill", units::both(*dia_mm)),
    };
    let mut says = format!("{first} {}", drill_words(drills));
    if let Some(ream_mm) = ream_to_mm {
        says.push_str(&format!(", ream to {}", units::both(*ream_mm)));
    }
    says.push_str(&match &plan.because {
        Because::WideEnough { .. } => String::new(),
        Because::TooSmall { least_mm } => {
            format!(" ({size}; the cutter makes {} and more well)", units::both(*least_mm))
        }
        Because::HeldCloser {
            tolerance_mm,
            expected_mm,
        } => format!(
            " ({size}; it may be {tolerance_mm:.2} mm off for its bolt, and the cut can be {expected_mm:.2} mm off)"
        ),
        Because::NoLead {
            longest_mm: Some(longest_mm),
            least_mm,
        } => format!(
            " ({size}; the longest lead that fits in it is {}, and {} is the least)",
            units::both(*longest_mm),
            units::both(*least_mm)
        ),
        Because::NoLead { longest_mm: None, .. } => format!(" ({size}; no lead fits in it)"),
        Because::CutNotKnown { tolerance_mm } => {
            format!(" ({size}; it may be {tolerance_mm:.2} mm off, and how the cut comes out is not known)")
        }
        Because::Tapped { .. } => " for the tap; a cut edge is too hard and rough for a thread".into(),
    });
    if let Some(largest_mm) = beyond_mm {
        says.push_str(&format!(
            "; that is a larger drill than the {} that a small shop turns: step up to it, or have it bored",
            units::both(*largest_mm)
        ));
    }
    if plan.hard_edge {
        says.push_str("; the cut edge is hard: slow, with a sharp cobalt drill, or grind the edge first");
    }
    says
}
