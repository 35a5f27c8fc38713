//! A whole sheet: from blanks to everything that the table is given, as one pure function.
//!
//! [`plan`] lays the parts on the sheet, finds their tracks, holds those that would tip by tabs, puts all contours in order,
//! foretells heat, time and cost, and writes program, dry run and drawing, and a program of its own for what the machine marks
//! on the whole sheet, each read back. A file that fails its own reading is not in the plan: what was wrong with it stands in its place.
//!
//! One contour that cannot be begun does not refuse the sheet: it is told with its ways out, the answer is no, and everything
//! else is planned, drawn and run dry. The program is then not given out, since a part would come off the table short and the
//! plate about it be spent: give the contour a way to begin, or take the part off the sheet, and plan again.

mod answer;
mod asked;
mod contours;
mod marked;
mod parts;
mod planned;
mod tabbed;
mod tour;
mod written;

pub use asked::{Asked, Heat, Park, Running, SheetPart, Zero};
pub(crate) use parts::clamps;
pub use planned::{CutPlan, NoPlan, PlacedPart, PlannedCut, SheetConcern};

use std::sync::atomic::{AtomicBool, Ordering};

use plane::{Place, Point};

use crate::gcode::zero_in_words;
use crate::motion::{Mover, bill, work};
use crate::order::{self, Cooling, Leg, Start, Step, TravelRules, cooled};
use crate::place::Corner;
use crate::track::Cut;
use contours::Ways;

/// The plan of a sheet. The same input gives the same plan.
pub fn plan(asked: &Asked<'_>) -> Result<CutPlan, NoPlan> {
    plan_while(asked, &AtomicBool::new(false))
}

/// As [`plan()`], until `stop` is set by whoever no longer wants it: it is looked at between the steps, and all through the search
/// for the order.
///
/// # Errors
/// [`NoPlan::NotWanted`] once it was set; else as [`plan()`].
pub fn plan_while(asked: &Asked<'_>, stop: &AtomicBool) -> Result<CutPlan, NoPlan> {
    let wanted = || match stop.load(Ordering::Relaxed) {
        true => Err(NoPlan::NotWanted),
        false => Ok(()),
    };
    let profile = asked.profile;
    if let Some(bad) = profile.check().into_iter().next() {
        return Err(bad.into());
    }
    let line = profile.line_for(asked.stock)?;
    let mover = Mover::new(asked.running.drive)?;
    let (low, high) = asked.sheet.bounds();
    let zero = match asked.zero {
        Zero::Corner(Corner::LowerLeft) => low,
        Zero::Corner(Corner::LowerRight) => Point::new(high.x, low.y),
        Zero::Corner(Corner::UpperLeft) => Point::new(low.x, high.y),
        Zero::Corner(Corner::UpperRight) => high,
        Zero::At(at) => at,
    };

    let mut concerns = Vec::new();
    let laid = parts::laid(asked, &mut concerns)?;
    wanted()?;
    let (mut placed, tracks) = parts::tracked(asked, &laid, &mut concerns)?;
    wanted()?;
    let ways = contours::ways(asked, &mut placed, &tracks, &mover, &mut concerns)?;
    wanted()?;
    let job = order::Job {
        contours: ways.iter().map(|ways| ways.contour.clone()).collect(),
        before: Vec::new(),
        home: zero,
        park: park(asked, zero),
        clamps: parts::clamps(profile),
        rules: TravelRules {
            mover,
            lift_s: asked.running.lift_s,
            clear_mm: asked.running.clear_mm,
            table: Some(written::table(profile)),
        },
    };
    let ordered = order::plan_while(&job, asked.search, stop).map_err(|error| match error {
        order::OrderError::NotWanted => NoPlan::NotWanted,
        other => other.into(),
    })?;
    let (steps, park, starts) = match &asked.running.heat {
        Some(heat) => {
            let cooling = Cooling {
                plate: heat.plate,
                ceiling_c: heat.ceiling_c,
                power_w: heat.power_w,
                pierce_s: asked.running.pierce.each_s.low,
                longest_wait_s: heat.longest_wait_s,
                tracks: ways.iter().map(Ways::tracks).collect(),
            };
            let cooled = cooled(&job, &ordered, &cooling)?;
            (cooled.steps, cooled.park, cooled.starts)
        }
        None => (ordered.steps.clone(), ordered.park.clone(), Vec::new()),
    };
    let (cuts, order) = in_order(&steps, &starts, &ways, &mover);
    if let Some(heat) = &asked.running.heat {
        for (cut, planned) in cuts.iter().enumerate() {
            if let Some([_, pierced_c]) = planned.start_c
                && pierced_c > heat.ceiling_c + HOTTER_C
            {
                concerns.push(SheetConcern::HotStart {
                    cut,
                    pierced_c,
                    ceiling_c: heat.ceiling_c,
                });
            }
        }
    }
    wanted()?;
    let marking = marked::marking(&placed, &job);
    wanted()?;
    let written = written::written(
        asked,
        &line,
        zero,
        &placed,
        &cuts,
        park.as_ref(),
        marking.as_ref(),
    );
    concerns.extend(written::lifted_by_hand(profile, &cuts, park.as_ref()));
    concerns.extend(written.shifted);

    let bare: Vec<Cut> = cuts.iter().map(|planned| planned.cut.clone()).collect();
    let travels = cuts.iter().map(|planned| &planned.travel).chain(&park);
    let travels_mm: Vec<f64> = travels.map(Leg::length_mm).collect();
    let waits_s = cuts.iter().map(|planned| planned.waits_s).sum();
    let running = asked.running;
    let work = work(
        &bare,
        &travels_mm,
        waits_s,
        &mover,
        &running.pierce,
        &running.doubts,
    )?;
    // Only what is given out is run.
    let marking = match (&marking, profile.marks_with(), &written.marks_program) {
        (Some(marking), Some((marker, _)), Some(Ok(_))) => {
            Some(marking.work(zero, marker.feed_mm_min, &mover, running)?)
        }
        _ => None,
    };
    let work = work.with_marking(marking);
    let answer = answer::answer(&placed, &tracks, &concerns, &cuts, &written.program);
    Ok(CutPlan {
        of_sheet: laid.of_sheet,
        remnant: laid.remnant,
        found: ordered.found,
        before: ordered.before,
        contours: order,
        bill: asked.rates.map(|rates| bill(&work, rates)),
        work,
        zero,
        zero_says: zero_in_words(zero, [low, high]),
        program: written.program,
        dry_run: written.dry_run,
        tracks_dxf: written.tracks_dxf,
        marks_program: written.marks_program,
        placed,
        cuts,
        park,
        concerns,
        answer,
    })
}

/// Where the torch goes at the end; none where it stays.
fn park(asked: &Asked<'_>, zero: Point) -> Option<Point> {
    match asked.running.park {
        Park::Stays => None,
        Park::At(at) => Some(at),
        Park::AtZero => {
            let (low, high) = written::table(asked.profile);
            let on_table = low.x <= zero.x && zero.x <= high.x && low.y <= zero.y && zero.y <= high.y;
            let clear = parts::clamps(asked.profile).iter().all(|clamp| {
                clamp.place_of(zero) == Place::Outside && clamp.distance_to(zero).0 >= asked.running.clear_mm
            });
            (on_table && clear).then_some(zero)
        }
    }
}

/// A start no more than this over the ceiling is at it: waits are found to a hundredth of a second.
const HOTTER_C: f64 = 0.5;

/// The cuts of the steps, pieces between tabs one after the other, and which contour each is.
fn in_order(steps: &[Step], starts: &[Start], ways: &[Ways], mover: &Mover) -> (Vec<PlannedCut>, Vec<usize>) {
    let (mut cuts, mut order) = (Vec::new(), Vec::new());
    for (place, step) in steps.iter().enumerate() {
        let start = starts.get(place);
        let mut here: Option<Point> = None;
        for cut in &ways[step.contour].cuts[step.candidate] {
            let first = here.is_none();
            let travel = match (here, cut.track.start()) {
                (Some(from), Some(to)) => Leg {
                    from,
                    via: Vec::new(),
                    to,
                    lifted: false,
                    time_s: mover.straight_s((to - from).norm()),
                },
                _ => step.leg.clone(),
            };
            cuts.push(PlannedCut {
                cut: cut.clone(),
                travel,
                start_c: start
                    .filter(|_| first)
                    .map(|start| [start.arrives_c, start.pierced_c]),
                waits_s: start.filter(|_| first).map_or(0.0, |start| start.waits_s),
            });
            order.push(step.contour);
            here = cut.track.end();
        }
    }
    (cuts, order)
}
