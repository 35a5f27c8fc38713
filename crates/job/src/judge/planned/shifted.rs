//! Cuts that the machine was to shift by the kerf, and that the program has shifted already.

use cut::Of;
use cut::gcode::{Along, Compensation, NoEdge};
use cut::whole::{CutPlan, SheetConcern};
use plane::Point;

use super::of_sheet;
use crate::finding::{Finding, Level};
use crate::run::Worked;
use crate::stages::cutting::CutSheet;

/// The cuts of one opening, or of the outside, in all copies.
struct SameContour {
    /// Which of the parts asked for, and which of its openings; none for the outside.
    of: (usize, Option<usize>),
    name: String,
    /// Place of the first in the order, from 0, and how many there are.
    first: usize,
    count: usize,
    why: NoEdge,
}

/// One note for each opening, and one for the outside.
pub(super) fn findings(worked: &Worked, sheet: &CutSheet) -> Vec<Finding> {
    let plan = &sheet.plan;
    let mut found: Vec<SameContour> = Vec::new();
    for concern in &plan.concerns {
        let SheetConcern::ShiftedHere { cut, why } = concern else {
            continue;
        };
        let Some((of, name)) = contour(plan, *cut) else {
            continue;
        };
        match found.iter_mut().find(|same| same.of == of) {
            Some(same) => same.count += 1,
            None => found.push(SameContour {
                of,
                name,
                first: *cut,
                count: 1,
                why: *why,
            }),
        }
    }
    let fix = fixes(sheet.cutter.profile.dialect.compensation);
    let finding = |same: &SameContour| Finding {
        about: same.name.clone(),
        fix: fix.clone(),
        ..of_sheet(worked, "shifted-here", Level::Note, says(same, plan.zero))
    };
    found.iter().map(finding).collect()
}

/// What a cut is of, whichever copy, and what that is called.
fn contour(plan: &CutPlan, cut: usize) -> Option<((usize, Option<usize>), String)> {
    let cut = &plan.cuts.get(cut)?.cut;
    Some(match cut.of {
        Of::Outline { part } => ((plan.placed.get(part)?.part, None), "the outside".to_owned()),
        Of::Opening { part, opening } => {
            let placed = plan.placed.get(part)?;
            // Where there are several copies, names begin with the copy's.
            let copy = format!("{} ", placed.name);
            let name = cut.name.strip_prefix(&copy).unwrap_or(&cut.name);
            ((placed.part, Some(opening)), name.to_owned())
        }
    })
}

fn says(same: &SameContour, zero: Point) -> String {
    let which = match same.count {
        1 => format!("cut {}", same.first + 1),
        count => format!("{count} cuts, the first of them cut {}", same.first + 1),
    };
    format!(
        "{} ({which}) cannot be left to the machine to shift by the kerf, and the program has its path shifted already: {}",
        same.name,
        no_edge(&same.why, zero)
    )
}

/// Why a cut cannot be left to the machine. Places are told in mm from the machine's zero, as the program has them.
fn no_edge(why: &NoEdge, zero: Point) -> String {
    let place = |at: Point| {
        let off = at - zero;
        // No negative zero.
        let [x, y] = [off.x, off.y].map(|mm| (mm * 10.0).round() / 10.0 + 0.0);
        format!("x {x:.1}, y {y:.1} mm from zero")
    };
    match *why {
        NoEdge::NoStraightLead => {
            "its lead does not begin with a straight line, over which the machine would take up the shift"
                .into()
        }
        NoEdge::NotAround => "its contour does not go once around, and no side of it is the part's".into(),
        NoEdge::TooTight { at, radius_mm } => format!(
            "about {} the middle of the kerf turns on an arc of {radius_mm:.3} mm, tighter than half the kerf",
            place(at)
        ),
        NoEdge::TooFine {
            at,
            radius_mm,
            least_mm,
        } => format!(
            "about {} the middle of the kerf turns on an arc of {radius_mm:.3} mm, and none under {least_mm:.3} mm is left to a \
             machine",
            place(at)
        ),
        NoEdge::NoCorner { at } => format!(
            "the edges that meet in the middle of the kerf at {} do not meet on the part",
            place(at)
        ),
        NoEdge::NotJoined { at } => format!(
            "at {} a machine would not join the shifted edges where the cut turns",
            place(at)
        ),
        NoEdge::OffTrack { at } => format!(
            "at {} the edge, shifted by a machine, would not run where the cut does",
            place(at)
        ),
        NoEdge::TooShort {
            at,
            along,
            length_mm,
            least_mm,
        } => format!(
            "the edge at {} is {length_mm:.2} mm long {}, and none under {least_mm:.2} mm is left to a machine",
            place(at),
            match along {
                Along::Part => "on the part",
                Along::KerfMiddle => "in the middle of the kerf",
            }
        ),
        NoEdge::RunsBack { at } => format!("the edge at {} would run backward on the part", place(at)),
    }
}

/// What to do, by where the machine has the kerf from.
fn fixes(compensation: Compensation) -> Vec<String> {
    let kerf = match compensation {
        Compensation::Here => return Vec::new(),
        Compensation::MachineTable { slot } => format!(
            "leave row {slot} of the machine's table at the kerf that the program names: what is cut here does not follow another"
        ),
        Compensation::MachineWidth => {
            "change no D word in the program, since what is cut here does not follow it: put a measured kerf under [[kerfs]] in \
             shop.toml and plan again"
                .into()
        }
    };
    vec![
        kerf,
        "let the program shift all paths: kerf_by = \"path\" under [cutter.program]".into(),
    ]
}
