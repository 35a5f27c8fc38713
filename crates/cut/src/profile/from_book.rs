//! A profile filled from the handbook.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use handbook::{Handbook, PathNumbers, UnknownProcess};
use thiserror::Error;

use super::{
    ChartLine, HoleRules, Kerf, KerfFrom, LeadKind, LeadRules, Leads, Process, Profile, Puddle, SquareSide,
    Table, Travel,
};
use crate::gcode::Dialect;

/// Why the handbook gives no profile.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NoProfile {
    /// It does not know the way of cutting.
    #[error(transparent)]
    Unknown(#[from] UnknownProcess),
    /// It says nothing of leads and tables for it.
    #[error("the handbook has no leads and no table for {process}")]
    FollowsNoPath {
        /// The way of cutting.
        process: &'static str,
    },
}

/// Starts offered for one contour: what an exact order for 16 contours can take.
const MOST_STARTS: usize = 6;

impl Profile {
    /// The handbook's profile for a way of cutting, to be bettered by what the shop knows.
    ///
    /// The kerf's uncertainty is that of any value within the usual range: (high - low) / sqrt 12. Outlines are led in
    /// by an arc, or by a line at 45 degrees, and out by a short arc; openings by an arc, or by a line square to the
    /// edge, and the torch goes off on the line after the over-run. The square side is the right one.
    pub fn of(book: &Handbook, process: Process) -> Result<Profile, NoProfile> {
        let row = book.process(process.name())?;
        let path = row.path.as_ref().ok_or(NoProfile::FollowsNoPath {
            process: process.name(),
        })?;
        let (low_mm, high_mm) = row.kerf_range_mm.value;
        let chart = book.cut_chart(process.name()).map(|line| ChartLine {
            family: line.family,
            thickness_mm: line.thickness_mm,
            feed_mm_min: line.feed_mm_min.value,
            pierce_delay_s: line.pierce_delay_s.value,
            pierce_height_mm: line.pierce_height_mm.value,
            cut_height_mm: line.cut_height_mm.value,
            status: line.feed_mm_min.status,
            source: line.feed_mm_min.source.clone(),
        });
        Ok(Profile {
            name: process.name().to_owned(),
            process,
            kerf: Kerf {
                width_mm: row.kerf_mm.value,
                sd_mm: (high_mm - low_mm) / 12f64.sqrt(),
                from: KerfFrom::Table {
                    row: row.kerf_mm.row.clone(),
                    status: row.kerf_mm.status,
                },
            },
            kerfs: Vec::new(),
            chart: chart.collect(),
            leads: LeadRules {
                outline: leads(path, FRAC_PI_4, path.lead_out_mm.value),
                opening: leads(path, FRAC_PI_2, 0.0),
                puddle: Puddle {
                    radius_mm: path.puddle_mm.value,
                    radius_x_t: path.puddle_x_t.value,
                },
                most_starts: MOST_STARTS,
            },
            holes: HoleRules {
                least_x_t: row.least_hole_x_t.value,
                // What the kerf leaves must still hold a lead as short as may be, from the middle to the edge.
                least_mm: row.kerf_mm.value + 2.0 * path.lead_least_mm.value,
                small_x_t: path.small_hole_x_t.value,
                feed_share: path.hole_feed_share.value,
                leave_to_drill_mm: path.leave_to_drill_mm.value,
                tolerance_class: row.tolerance_class.value,
            },
            square_side: SquareSide::Right,
            marker: None,
            travel: Travel {
                height_mm: path.travel_height_mm.value,
                speed_mm_min: path.travel_speed_mm_min.value,
                acceleration_mm_s2: path.acceleration_mm_s2.value,
            },
            table: Table {
                size_mm: path.table_mm.value,
                slat_pitch_mm: Some(path.slat_pitch_mm.value).filter(|pitch| *pitch > 0.0),
                clamps: Vec::new(),
            },
            dialect: Dialect::default(),
        })
    }
}

fn leads(path: &PathNumbers, line_rad: f64, out_mm: f64) -> Leads {
    Leads {
        kinds: vec![LeadKind::Arc, LeadKind::Line],
        line_rad,
        in_mm: path.lead_in_mm.value,
        in_x_t: path.lead_in_x_t.value,
        least_mm: path.lead_least_mm.value,
        over_run_mm: path.over_run_mm.value,
        out_mm,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{NoLine, Stock, StockKerf};
    use super::*;
    use handbook::Family;

    fn plate(family: Family, thickness_mm: f64) -> Stock {
        Stock {
            name: format!("{family:?} {thickness_mm} mm"),
            family,
            thickness_mm,
        }
    }

    #[test]
    fn every_process_has_a_profile_of_whole_numbers() {
        let book = Handbook::builtin();
        for process in Process::ALL {
            let profile = Profile::of(&book, process).expect("a profile");
            assert!(profile.kerf.width_mm > 0.0 && profile.kerf.sd_mm > 0.0);
            assert!(!profile.kerf.is_measured());
            assert_eq!(profile.check(), []);
            assert!(profile.leads.opening.length_mm(3.0) >= profile.leads.opening.least_mm);
            assert!(profile.table.size_mm.iter().all(|reach| *reach > 0.0));
            assert_eq!(profile.table.slat_pitch_mm.is_none(), process == Process::Router);
        }
    }

    #[test]
    fn a_number_that_cannot_be_is_named() {
        let mut plasma = Profile::of(&Handbook::builtin(), Process::Plasma).expect("plasma");
        plasma.holes.feed_share = 1.2;
        plasma.leads.opening.least_mm = 0.0;
        plasma.travel.speed_mm_min = f64::NAN;
        let said: Vec<String> = plasma.check().iter().map(ToString::to_string).collect();
        assert_eq!(
            said,
            [
                "the shortest lead of openings of the cutter plasma is 0, and must be above 0",
                "the speed of travel of the cutter plasma is NaN, and must be above 0",
                "the feed in small holes of the cutter plasma is 1.2, and must be above 0 and at most 1",
            ]
        );
    }

    #[test]
    fn between_two_lines_of_the_chart_the_feed_lies_between_theirs() {
        let plasma = Profile::of(&Handbook::builtin(), Process::Plasma).expect("plasma");
        let feed = |t_mm| {
            plasma
                .line_for(&plate(Family::Steel, t_mm))
                .map(|line| line.feed_mm_min)
        };
        let (three, between, four) = (feed(3.0), feed(3.4), feed(4.0));
        let (Ok(three), Ok(between), Ok(four)) = (three, between, four) else {
            panic!("3 to 4 mm are in the chart");
        };
        assert!(four < between && between < three);
        assert_eq!(three, 3800.0);
        // A sheet sold as 1 mm that measures 0.95 mm is 1 mm; half a millimetre is another plate.
        assert_eq!(feed(0.95), feed(1.0));
        assert!(matches!(feed(0.5), Err(NoLine::OutsideChart { .. })));
    }

    #[test]
    fn a_flame_cuts_no_aluminium() {
        let oxy = Profile::of(&Handbook::builtin(), Process::Oxy).expect("oxy");
        assert!(matches!(
            oxy.line_for(&plate(Family::Aluminium, 6.0)),
            Err(NoLine::NotThisMetal { .. })
        ));
        assert!(oxy.line_for(&plate(Family::Steel, 6.0)).is_ok());
    }

    #[test]
    fn a_kerf_measured_in_a_stock_goes_before_the_table() {
        let mut plasma = Profile::of(&Handbook::builtin(), Process::Plasma).expect("plasma");
        let stock = plate(Family::Steel, 3.0);
        assert_eq!(plasma.kerf_in(&stock).width_mm, 1.8);
        plasma.kerfs.push(StockKerf {
            stock: stock.name.clone(),
            kerf: Kerf {
                width_mm: 1.52,
                sd_mm: 0.03,
                from: KerfFrom::Measured {
                    on: "2026-05-04".into(),
                },
            },
        });
        assert_eq!(plasma.kerf_in(&stock).width_mm, 1.52);
        assert_eq!(plasma.kerf_in(&plate(Family::Steel, 4.0)).width_mm, 1.8);
    }

    #[test]
    fn a_hot_cut_leaves_steel_hard_and_aluminium_not() {
        assert!(Process::Plasma.hardens(Family::Steel) && Process::Oxy.hardens(Family::Steel));
        assert!(!Process::Plasma.hardens(Family::Aluminium) && !Process::Waterjet.hardens(Family::Steel));
    }
}
