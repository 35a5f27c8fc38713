//! The files of a plan, each read back.

use plane::{Point, Region};

use super::marked::ToMark;
use super::parts::clamps;
use super::{Asked, PlacedPart, PlannedCut, SheetConcern};
use crate::dxf::{TrackMismatch, tracks_written_and_read_back};
use crate::gcode::{
    Heights, Marking, Parking, Surroundings, TorchSetting, Travel, Work, checked_dry_run, checked_marks,
    checked_program,
};
use crate::order::Leg;
use crate::profile::{ChartLine, Profile};
use crate::track::Cut;
use crate::verify::{Tab, Wrong};

pub(super) struct Written {
    pub program: Result<String, Vec<Wrong>>,
    /// Cuts that a machine which shifts the paths by itself cannot shift; none when the program is not given out.
    pub shifted: Vec<SheetConcern>,
    pub dry_run: Result<String, Vec<Wrong>>,
    pub tracks_dxf: Result<String, TrackMismatch>,
    pub marks_program: Option<Result<String, Vec<Wrong>>>,
}

/// A dry run goes at this share of the speed of travel, so that a person can follow it. Common practice, no source.
const DRY_SHARE: f64 = 0.4;

/// What the torch can reach, in table coordinates.
pub(super) fn table(profile: &Profile) -> (Point, Point) {
    let [x, y] = profile.table.size_mm;
    (Point::origin(), Point::new(x, y))
}

/// Travels over what may have tipped, where the program cannot say a height.
pub(super) fn lifted_by_hand(
    profile: &Profile,
    planned: &[PlannedCut],
    park: Option<&Leg>,
) -> Vec<SheetConcern> {
    if profile.dialect.heights == Heights::Written {
        return Vec::new();
    }
    let travels = planned.iter().map(|cut| &cut.travel).chain(park).enumerate();
    travels
        .filter(|(_, travel)| travel.lifted)
        .map(|(cut, _)| SheetConcern::LiftedByHand { cut })
        .collect()
}

pub(super) fn written(
    asked: &Asked<'_>,
    line: &ChartLine,
    zero: Point,
    placed: &[PlacedPart],
    planned: &[PlannedCut],
    park: Option<&Leg>,
    marked: Option<&ToMark>,
) -> Written {
    let profile = asked.profile;
    let written_heights = profile.dialect.heights == Heights::Written;
    let cuts: Vec<Cut> = planned.iter().map(|planned| planned.cut.clone()).collect();
    let travels: Vec<Travel> = planned
        .iter()
        .map(|planned| Travel {
            via: planned.travel.via.clone(),
            over_mm: (planned.travel.lifted && written_heights).then_some(asked.running.over_mm),
            waits_s: planned.waits_s,
        })
        .collect();
    let (low, high) = asked.sheet.bounds();
    let work = Work {
        title: asked.title,
        stock: &asked.stock.name,
        sheet: [low, high],
        zero,
        cuts: &cuts,
        travels: &travels,
        park: park.map(|leg| Parking {
            via: &leg.via,
            at: leg.to,
            over_mm: (leg.lifted && written_heights).then_some(asked.running.over_mm),
        }),
        torch: TorchSetting {
            pierce_delay_s: line.pierce_delay_s,
            pierce_height_mm: line.pierce_height_mm,
            cut_height_mm: line.cut_height_mm,
            travel_height_mm: profile.travel.height_mm,
            dry_feed_mm_min: DRY_SHARE * profile.travel.speed_mm_min,
        },
        cautions: asked.cautions,
    };
    let parts: Vec<Region> = placed.iter().map(|part| part.as_cut.clone()).collect();
    let clamps: Vec<Region> = clamps(profile).into_iter().map(Region::solid).collect();
    let tabs: Vec<Tab> = placed
        .iter()
        .flat_map(|part| &part.tabs)
        .map(|tab| Tab {
            at: tab.at,
            width_mm: tab.width_mm,
        })
        .collect();
    let (from, to) = table(profile);
    let on = Surroundings {
        parts: &parts,
        table: [from, to],
        clamps: &clamps,
        tabs: &tabs,
    };
    let marks_program = marked.zip(profile.marks_with()).map(|(marked, (marker, _))| {
        let marking = Marking {
            steps: &marked.steps,
            feed_mm_min: marker.feed_mm_min,
            park: marked.park.as_ref().map(|leg| Parking {
                via: &leg.via,
                at: leg.to,
                over_mm: None,
            }),
        };
        checked_marks(&work, &marking, &marked.asked, &profile.dialect, &on)
    });
    let (program, shifted) = match checked_program(&work, &profile.dialect, &on) {
        Ok(program) => (Ok(program.text), program.shifted),
        Err(wrongs) => (Err(wrongs), Vec::new()),
    };
    Written {
        marks_program,
        program,
        shifted: shifted
            .into_iter()
            .map(|shifted| SheetConcern::ShiftedHere {
                cut: shifted.cut,
                why: shifted.why,
            })
            .collect(),
        dry_run: checked_dry_run(&work, &profile.dialect, &on),
        tracks_dxf: tracks_written_and_read_back(&cuts, asked.dxf),
    }
}
