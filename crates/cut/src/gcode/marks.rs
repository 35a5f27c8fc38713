//! The program that marks the plate before anything is cut: ends of bends as lines, centres as crosses.
//!
//! It is a program of its own because marks belong on a whole sheet: a part that is cut free has moved by a little, and
//! what has tipped would catch the marker. The torch's own words never light it.

use plane::{FARTHEST_MM, Point, Segment};

use super::dialect::{Dialect, Heights};
use super::work::{MOST_FEED_MM_MIN, Parking, ProgramError, Work, within};
use super::write::Writer;

/// One mark and the way to it.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkingStep {
    /// What it marks: "bend b1, end 1".
    pub name: String,
    /// Corners that the torch goes round on the way, in table coordinates, mm; none for a straight move.
    pub via: Vec<Point>,
    /// The lines to be drawn, each from and to, in table coordinates, mm. From one to the next the marker is lifted and goes
    /// straight.
    pub strokes: Vec<[Point; 2]>,
}

/// Marks in the order in which they are made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marking<'a> {
    /// The marks.
    pub steps: &'a [MarkingStep],
    /// Feed along them, mm/min.
    pub feed_mm_min: f64,
    /// Where the torch goes after the last; none where it stays there.
    pub park: Option<Parking<'a>>,
}

impl Marking<'_> {
    fn check(&self) -> Result<(), ProgramError> {
        within(
            "the feed of marks in mm/min",
            self.feed_mm_min,
            0.0,
            MOST_FEED_MM_MIN,
        )?;
        let far = |what, at: &Point| {
            within(what, at.x, -FARTHEST_MM, FARTHEST_MM)?;
            within(what, at.y, -FARTHEST_MM, FARTHEST_MM)
        };
        for step in self.steps {
            for at in step.strokes.iter().flatten() {
                far("a place of a mark in mm", at)?;
            }
            for corner in &step.via {
                far("a corner of a travel in mm", corner)?;
            }
        }
        if let Some(park) = &self.park {
            for at in park.via.iter().chain([&park.at]) {
                far("the parking place or a corner on the way to it in mm", at)?;
            }
        }
        Ok(())
    }
}

/// The program that marks, not yet read back: see [`super::checked_marks`]. Of `work` it takes what is said of the sheet, the
/// zero and the torch; where the program has a say in heights, the torch marks at the height at which it cuts, and the
/// marker's own words lower the marker from there.
///
/// # Errors
/// [`ProgramError`] when the dialect has no words for a marker, or it or a number cannot be written.
pub fn write_marks(work: &Work, marking: &Marking, dialect: &Dialect) -> Result<String, ProgramError> {
    work.check(dialect)?;
    marking.check()?;
    let marker = dialect.marker.as_ref().ok_or(ProgramError::NoMarker)?;
    let mut writer = Writer::new(work, dialect);
    writer.head("Marks the plate and cuts nothing: run it before anything is cut.");
    writer.lines.comment(
        "The marker must stand where the torch stands, or the machine shift by what is between them.",
    );
    writer.set_up();
    if marker.off != dialect.torch.off {
        writer.lines.line(&marker.off);
    }
    let feed = writer.feed(marking.feed_mm_min);
    let written = dialect.heights == Heights::Written;
    for step in marking.steps {
        writer.lines.comment(&format!("Mark {}", step.name));
        for (stroke, [from, to]) in step.strokes.iter().enumerate() {
            let via: &[Point] = if stroke == 0 { &step.via } else { &[] };
            writer.travel(via, *from, None);
            if written {
                writer.lower(&feed);
            }
            writer.lines.line(&marker.on);
            writer.follow([Segment::line(*from, *to)], &feed);
            writer.lines.line(&marker.off);
            writer.rise();
        }
    }
    writer.park_at(marking.park);
    Ok(writer.finish())
}
