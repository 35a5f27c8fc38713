//! From the plan of the cut to the summary.

use cut::Of;
use cut::holes::{Before, HolePlan, HoleWay};
use cut::motion::Between;
use cut::order::Found;
use cut::profile::{Kerf, KerfFrom};
use cut::tracks::{Mark, MarkFor, MarkedBy};
use cut::verify::Wrong;
use cut::whole::CutPlan;
use nalgebra::Rotation2;

use crate::judge::hole_words;
use crate::run::Worked;
use crate::stages::cutting::CutSheet;
use crate::summary::*;

pub(super) fn cut(worked: &Worked) -> Option<Cut> {
    let sheet = worked.cut.as_ref().ok()?;
    let plan = &sheet.plan;
    let profile = &sheet.cutter.profile;
    let kerf = profile.kerf_in(&sheet.cutter.stock);
    let placed = plan.placed.iter().map(|part| CutPlaced {
        name: part.name.clone(),
        at_mm: [Num(part.placed.translation.x), Num(part.placed.translation.y)],
        turn_deg: Num(Rotation2::from(part.placed.rotation).angle().to_degrees()),
        tabs_mm: part
            .tabs
            .iter()
            .map(|tab| [Num(tab.at.x), Num(tab.at.y), Num(tab.width_mm)])
            .collect(),
    });
    let order = plan.cuts.iter().enumerate().map(|(place, planned)| {
        let at = planned.cut.track.start().unwrap_or(plan.zero) - plan.zero;
        CutRow {
            number: place + 1,
            name: planned.cut.name.clone(),
            of: match planned.cut.of {
                Of::Outline { .. } => "outside",
                Of::Opening { .. } => "opening",
            },
            pierce_mm: [Num(at.x), Num(at.y)],
            length_mm: Num(planned.cut.track.length_mm()),
            feed_mm_min: Num(planned.cut.feed_mm_min),
            waits_s: Num(planned.waits_s),
            lifted: planned.travel.lifted,
        }
    });
    let holes = plan.placed.iter().flat_map(|part| {
        let name = part.name.clone();
        part.holes.iter().map(move |hole| cut_hole(&name, hole))
    });
    let left = plan
        .remnant
        .rectangle
        .map(|(low, high)| [Num(low.x), Num(low.y), Num(high.x - low.x), Num(high.y - low.y)]);
    Some(Cut {
        process: profile.process.name(),
        sheet: CutSheetRow {
            number: sheet.sheet.index + 1,
            name: sheet.sheet.name.clone(),
            size_mm: sheet.sheet.size_mm.map(Num),
        },
        parts: plan.placed.len(),
        placed: placed.collect(),
        of_sheet: Num(plan.of_sheet),
        kerf_mm: Num(kerf.width_mm),
        kerf_sd_mm: Num(kerf.sd_mm),
        kerf_from: kerf_from(kerf),
        feed_mm_min: Num(sheet.line.feed_mm_min),
        feed_from: feed_from(sheet),
        size_class: profile.holes.tolerance_class,
        zero: plan.zero_says.clone(),
        zero_mm: [Num(plan.zero.x), Num(plan.zero.y)],
        pierces: plan.work.pierces,
        cut_length_mm: Num(plan.work.cut_mm),
        travel_length_mm: Num(plan.work.travel_mm),
        time_s: two(plan.work.total_s),
        burning_s: two(plan.work.cut_s),
        bill: plan.bill.as_ref().map(|bill| CutBill {
            money: sheet.money.clone().unwrap_or_default(),
            sets_worn: two(bill.sets_worn),
            wear: two(bill.wear),
            burning: two(bill.burning),
            time: two(bill.time),
            plate: two(bill.plate),
            total: two(bill.total),
        }),
        proven: plan.found == Found::Proven,
        order: order.collect(),
        holes: holes.collect(),
        left_mm: left,
        program: plan.program.is_ok(),
        marks: plan
            .marks_program
            .as_ref()
            .map(|program| cut_marks(plan, program.as_ref().err())),
    })
}

fn cut_marks(plan: &CutPlan, wrong: Option<&Vec<Wrong>>) -> CutMarks {
    let marks = plan.placed.iter().flat_map(|part| &part.marks);
    let by_machine: Vec<&Mark> = marks.filter(|mark| mark.by == MarkedBy::Machine).collect();
    let is_centre = |mark: &&&Mark| matches!(mark.what, MarkFor::Centre { .. });
    let centres = by_machine.iter().filter(is_centre).count();
    CutMarks {
        bend_ends: by_machine.len() - centres,
        centres,
        time_s: plan.work.marking.map(|marking| two(marking.total_s)),
        wrong: wrong.and_then(|wrong| wrong.first()).map(ToString::to_string),
    }
}

fn two(between: Between) -> [Num; 2] {
    [Num(between.low), Num(between.high)]
}

fn kerf_from(kerf: &Kerf) -> String {
    match &kerf.from {
        KerfFrom::Measured { on } if on.is_empty() => "this shop's kerf test".into(),
        KerfFrom::Measured { on } => format!("this shop's kerf test of {on}"),
        KerfFrom::Table { row, status } => format!("the handbook, {row}; {status}"),
        KerfFrom::Said => "shop.toml".into(),
    }
}

fn feed_from(sheet: &CutSheet) -> String {
    let (source, status) = (&sheet.line.source, sheet.line.status.to_string());
    let said = status.split(',').next().unwrap_or_default();
    if sheet.line.status == handbook::Status::Shop || source.contains(said) {
        source.clone()
    } else {
        format!("{source}; {status}")
    }
}

fn cut_hole(part: &str, plan: &HolePlan) -> CutHole {
    let (way, cut_to_mm, drill, drill_in, ream_to_mm) = match &plan.way {
        HoleWay::CutToSize => ("cut", None, None, None, None),
        HoleWay::Drill {
            before,
            drills,
            ream_to_mm,
            ..
        } => {
            let (way, cut_to) = match before {
                Before::CentreMark => ("drill", None),
                Before::CutTo { dia_mm } => ("cut and drill", Some(Num(*dia_mm))),
            };
            (
                way,
                cut_to,
                drills.metric.as_ref().map(|drill| drill.name.clone()),
                drills.inch.as_ref().map(|drill| drill.name.clone()),
                ream_to_mm.map(Num),
            )
        }
    };
    CutHole {
        part: part.to_owned(),
        name: plan.name.clone(),
        dia_mm: Num(plan.dia_mm),
        way,
        cut_to_mm,
        drill,
        drill_in,
        ream_to_mm,
        may_be_off_mm: plan.expected_mm.as_ref().map(|expected| Num(expected.value)),
        by_kerf_mm: Num(plan.by_kerf_mm),
        hard_edge: plan.hard_edge,
        says: hole_words(plan),
    }
}
