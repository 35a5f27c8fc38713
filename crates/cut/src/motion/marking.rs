//! What marking a sheet takes before it is cut.

use plane::{Point, Vertex};

use super::drive::{DriveError, Mover};
use super::work::{Between, Doubts, Pierce};
use crate::Track;

/// One line that is marked, and the way to it.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedLine {
    /// From where the last one ended, by corners that are gone round, to where this begins, in table coordinates, mm.
    pub way: Vec<Point>,
    /// The line.
    pub line: [Point; 2],
}

/// What the program that marks comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MarkingWork {
    /// How many lines.
    pub lines: usize,
    /// Length of them, mm.
    pub marked_mm: f64,
    /// Length of the travel moves, mm.
    pub travel_mm: f64,
    /// Time along the lines, s.
    pub marked_s: Between,
    /// Time of going down to each line and up again, s: as between cuts. What the marker itself takes to come down nobody has
    /// said.
    pub up_and_down_s: Between,
    /// Time of the travel moves, s.
    pub travel_s: Between,
    /// All of it, s. The sheet is loaded and zero set once for marking and cutting, so that handling is not in it.
    pub total_s: Between,
}

/// The work of these lines in their order at this feed, mm/min, and of the way to the parking place, from the least that the
/// doubts allow to the most. The machine rests at every corner of a way.
///
/// # Errors
/// [`DriveError`] for a feed or a share that is none.
pub fn marking_work(
    lines: &[MarkedLine],
    to_park: &[Point],
    feed_mm_min: f64,
    mover: &Mover,
    pierce: &Pierce,
    doubts: &Doubts,
) -> Result<MarkingWork, DriveError> {
    let ways = || lines.iter().map(|line| line.way.as_slice()).chain([to_park]);
    let moves_mm: Vec<f64> = ways()
        .flat_map(|way| way.windows(2).map(|pair| (pair[1] - pair[0]).norm()))
        .collect();
    let time = |feed_share: f64, accel_share: f64| -> Result<(f64, f64), DriveError> {
        let mover = mover.livelier(accel_share)?;
        let mut marked_s = 0.0;
        for line in lines {
            let track = Track {
                vertices: line.line.map(Vertex::line).to_vec(),
            };
            marked_s += mover.track_time(&track, feed_mm_min * feed_share)?.time_s;
        }
        Ok((marked_s, moves_mm.iter().map(|mm| mover.straight_s(*mm)).sum()))
    };
    let (marked_low, travel_low) = time(doubts.feed_share.high, doubts.accel_share.high)?;
    let (marked_high, travel_high) = time(doubts.feed_share.low, doubts.accel_share.low)?;
    let marked_s = Between {
        low: marked_low,
        high: marked_high,
    };
    let travel_s = Between {
        low: travel_low,
        high: travel_high,
    };
    let up_and_down_s = pierce.up_and_down_s.scaled(lines.len() as f64);
    Ok(MarkingWork {
        lines: lines.len(),
        marked_mm: lines
            .iter()
            .map(|line| (line.line[1] - line.line[0]).norm())
            .sum(),
        travel_mm: moves_mm.iter().sum(),
        marked_s,
        up_and_down_s,
        travel_s,
        total_s: marked_s.plus(up_and_down_s).plus(travel_s),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::{CornerRule, Drive};

    #[test]
    fn marking_takes_its_lines_its_ways_and_going_down_and_up() {
        let mover = Mover::new(Drive {
            travel_mm_s: 200.0,
            accel_mm_s2: 1000.0,
            jerk_mm_s3: None,
            sideways_mm_s2: 1000.0,
            corner: CornerRule::Round { off_mm: 0.05 },
        })
        .expect("a machine");
        let one = |value| Between {
            low: value,
            high: value,
        };
        let pierce = Pierce {
            each_s: one(9.0),
            up_and_down_s: Between { low: 0.5, high: 2.0 },
        };
        let doubts = Doubts {
            feed_share: Between { low: 0.5, high: 1.0 },
            accel_share: one(1.0),
            handling_s: one(100.0),
        };
        let at = Point::new;
        let line = MarkedLine {
            way: vec![at(0.0, 0.0), at(100.0, 0.0), at(100.0, 100.0)],
            line: [at(100.0, 100.0), at(200.0, 100.0)],
        };
        let to_park = [at(200.0, 100.0), at(200.0, 0.0)];
        let work = marking_work(&[line], &to_park, 3000.0, &mover, &pierce, &doubts).expect("a feed");
        // Three moves of 100 mm, each up to 200 mm/s and to rest again; 100 mm at 50 mm/s, or at half of it.
        let near =
            |a: Between, low: f64, high: f64| (a.low - low).abs() < 1e-9 && (a.high - high).abs() < 1e-9;
        assert!(near(work.travel_s, 3.0 * 0.7, 3.0 * 0.7), "{work:?}");
        assert!(near(work.marked_s, 2.05, 4.025), "{work:?}");
        assert!(
            near(work.total_s, 2.1 + 2.05 + 0.5, 2.1 + 4.025 + 2.0),
            "{work:?}"
        );
        assert_eq!((work.lines, work.marked_mm, work.travel_mm), (1, 100.0, 300.0));
        let none = marking_work(&[], &[], 3000.0, &mover, &pierce, &doubts).expect("nothing to mark");
        assert!(near(none.total_s, 0.0, 0.0));
    }
}
