//! A profile's numbers held to what numbers of their kind can be.

use thiserror::Error;

use super::Profile;

/// A number of a profile that cannot be.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{what} of the cutter {cutter} is {value}, and must be {must}")]
pub struct BadNumber {
    /// The profile's name.
    pub cutter: String,
    /// Which number, in words.
    pub what: &'static str,
    /// As it stands.
    pub value: f64,
    /// What it must be, in words.
    pub must: &'static str,
}

impl Profile {
    /// The numbers that cannot be, in the order of the fields. Empty for a profile of the handbook.
    #[must_use]
    pub fn check(&self) -> Vec<BadNumber> {
        let (leads, holes, travel) = (&self.leads, &self.holes, &self.travel);
        let mut above_0 = vec![
            ("the kerf", self.kerf.width_mm),
            ("the shortest lead of outlines", leads.outline.least_mm),
            ("the shortest lead of openings", leads.opening.least_mm),
            ("the speed of travel", travel.speed_mm_min),
            ("the acceleration", travel.acceleration_mm_s2),
            ("the table's width", self.table.size_mm[0]),
            ("the table's length", self.table.size_mm[1]),
        ];
        above_0.extend(
            self.table
                .slat_pitch_mm
                .map(|pitch_mm| ("the slat pitch", pitch_mm)),
        );
        above_0.extend(self.kerfs.iter().map(|row| ("a stock's kerf", row.kerf.width_mm)));
        above_0.extend(self.marker.iter().flat_map(|marker| {
            [
                ("the feed of marks", marker.feed_mm_min),
                ("the length of marks", marker.tick_mm),
            ]
        }));
        let mut from_0 = vec![
            ("the kerf's uncertainty", self.kerf.sd_mm),
            ("the puddle", leads.puddle.radius_mm),
            ("the puddle by thickness", leads.puddle.radius_x_t),
            ("the least hole by thickness", holes.least_x_t),
            ("the least hole", holes.least_mm),
            ("the size of small holes", holes.small_x_t),
            ("what is left to drill", holes.leave_to_drill_mm),
            ("the height of travel", travel.height_mm),
        ];
        for of in [&leads.outline, &leads.opening] {
            from_0.extend([
                ("a lead", of.in_mm),
                ("a lead by thickness", of.in_x_t),
                ("an over-run", of.over_run_mm),
                ("a lead-out", of.out_mm),
            ]);
        }
        for line in &self.chart {
            above_0.extend([
                ("a thickness of the chart", line.thickness_mm),
                ("a feed of the chart", line.feed_mm_min),
            ]);
            from_0.extend([
                ("a pierce delay", line.pierce_delay_s),
                ("a pierce height", line.pierce_height_mm),
                ("a cut height", line.cut_height_mm),
            ]);
        }
        let share = [("the feed in small holes", holes.feed_share)];
        let angles = [
            ("the angle of a straight lead of outlines", leads.outline.line_rad),
            ("the angle of a straight lead of openings", leads.opening.line_rad),
        ];
        let bad = |must: &'static str, good: fn(f64) -> bool| {
            move |(what, value): (&'static str, f64)| {
                (!value.is_finite() || !good(value)).then_some((what, value, must))
            }
        };
        let mut found: Vec<_> = above_0
            .into_iter()
            .filter_map(bad("above 0", |value| value > 0.0))
            .collect();
        found.extend(
            from_0
                .into_iter()
                .filter_map(bad("0 or more", |value| value >= 0.0)),
        );
        found.extend(
            share
                .into_iter()
                .filter_map(bad("above 0 and at most 1", |value| value > 0.0 && value <= 1.0)),
        );
        found.extend(
            angles
                .into_iter()
                .filter_map(bad("from 0 to a half turn", |value| {
                    (0.0..=std::f64::consts::PI).contains(&value)
                })),
        );
        found
            .into_iter()
            .map(|(what, value, must)| BadNumber {
                cutter: self.name.clone(),
                what,
                value,
                must,
            })
            .collect()
    }
}
