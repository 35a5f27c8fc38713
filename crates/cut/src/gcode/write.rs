//! The program and its dry run as text.

use plane::{Point, Segment};

use super::by_machine::for_machine;
use super::compensate::NoEdge;
use super::dialect::{Compensation, Dialect, EndWord, Heights, PierceDelay, ProgramUnit, zero_in_words};
use super::number::plain;
use super::path::Pen;
use super::switch::OnOff;
use super::text::Lines;
use super::work::{Parking, ProgramError, Work};
use crate::track::Cut;

/// A program that cuts.
#[derive(Debug, Clone, PartialEq)]
pub struct Program {
    /// Its text.
    pub text: String,
    /// Cuts whose path is shifted already, although the machine is to shift paths: those that it cannot shift.
    pub shifted: Vec<Shifted>,
}

/// A cut whose path the program has shifted already.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shifted {
    /// Place in the order, from 0.
    pub cut: usize,
    /// Why the machine cannot shift it.
    pub why: NoEdge,
}

/// The program that cuts, not yet read back: see [`super::checked_program`]. Where the machine is to shift the path, a cut that
/// [`super::left_to_machine`] refuses is written with its path shifted already, and says so.
///
/// # Errors
/// [`ProgramError`] when the dialect, a number or a track cannot be written.
pub fn write_program(work: &Work, dialect: &Dialect) -> Result<Program, ProgramError> {
    work.check(dialect)?;
    let mut writer = Writer::new(work, dialect);
    writer.head("Cuts the parts.");
    match dialect.compensation {
        Compensation::Here => writer
            .lines
            .comment("Kerf: the path is the middle of the kerf. Set no kerf at the machine."),
        Compensation::MachineTable { slot } => writer.lines.comment(&format!(
            "Kerf: the machine shifts the path. Row {slot} of its table must hold {:.3} mm.",
            work.cuts[0].kerf_mm
        )),
        Compensation::MachineWidth => writer
            .lines
            .comment("Kerf: the machine shifts the path by the width that stands in the program."),
    }
    writer.set_up();
    let mut shifted = Vec::new();
    for (i, cut) in work.cuts.iter().enumerate() {
        let no_edge = writer.cut(i + 1, cut)?.err();
        shifted.extend(no_edge.map(|why| Shifted { cut: i, why }));
    }
    writer.park();
    Ok(Program {
        text: writer.finish(),
        shifted,
    })
}

/// The same way from beginning to end, travels with their detours, leads and contours, at travel height with the torch off, so
/// that the person at the table sees where it goes. Not yet read back: see [`super::checked_dry_run`].
///
/// # Errors
/// [`ProgramError`] when the dialect, a number or a track cannot be written.
pub fn write_dry_run(work: &Work, dialect: &Dialect) -> Result<String, ProgramError> {
    work.check(dialect)?;
    let mut writer = Writer::new(work, dialect);
    writer.head("Dry run: traces the cuts. The torch is never lit.");
    writer.set_up();
    for (i, cut) in work.cuts.iter().enumerate() {
        writer.trace(i + 1, cut)?;
    }
    writer.park();
    Ok(writer.finish())
}

pub(super) struct Writer<'a> {
    pub(super) work: &'a Work<'a>,
    pub(super) dialect: &'a Dialect,
    pub(super) lines: Lines,
    pen: Pen,
}

impl<'a> Writer<'a> {
    pub(super) fn new(work: &'a Work<'a>, dialect: &'a Dialect) -> Writer<'a> {
        Writer {
            work,
            dialect,
            lines: Lines::new(dialect),
            pen: Pen::new(dialect, work.zero),
        }
    }

    pub(super) fn head(&mut self, what: &str) {
        let work = self.work;
        self.lines.comment(&format!("Job: {}", work.title));
        self.lines.comment(what);
        self.lines.comment(&format!("Stock: {}", work.stock));
        let size = work.sheet[1] - work.sheet[0];
        self.lines
            .comment(&format!("Sheet: {:.1} x {:.1} mm", size.x, size.y));
        self.lines
            .comment(&format!("Zero: {}", zero_in_words(work.zero, work.sheet)));
        self.lines.comment(match self.dialect.unit {
            ProgramUnit::Millimetre => "Units: millimetres, feeds in mm/min",
            ProgramUnit::Inch => "Units: inches, feeds in in/min",
        });
        if self.dialect.heights == Heights::Written {
            self.lines.comment("Z 0 is the top of the sheet");
        }
        for caution in work.cautions {
            self.lines.comment(&format!("Caution: {caution}"));
        }
    }

    pub(super) fn set_up(&mut self) {
        self.lines
            .line(&format!("G17 {} G90 G94 G40", self.dialect.unit.word()));
        self.lines.line(&self.dialect.torch.off);
        self.rise();
    }

    /// Up to travel height, when the program has a say in it.
    pub(super) fn rise(&mut self) {
        if self.dialect.heights == Heights::Written {
            self.height("G0", self.work.torch.travel_height_mm);
        }
    }

    fn height(&mut self, word: &str, mm: f64) {
        let z = self.pen.scale().word_of_mm('Z', mm);
        self.lines.line(&format!("{word} {z}"));
    }

    pub(super) fn feed(&self, mm_min: f64) -> String {
        plain('F', mm_min / self.dialect.unit.in_mm())
    }

    /// To the pierce of a cut.
    fn come(&mut self, number: usize, cut: &Cut) -> Result<(), ProgramError> {
        let Some(start) = cut.track.start() else {
            return Err(ProgramError::NoPath {
                name: cut.name.clone(),
            });
        };
        self.lines.comment(&format!("Cut {number}: {}", cut.name));
        let work = self.work;
        match work.travels.get(number - 1) {
            Some(travel) => self.travel(&travel.via, start, travel.over_mm),
            None => self.travel(&[], start, None),
        }
        Ok(())
    }

    pub(super) fn travel(&mut self, via: &[Point], to: Point, over_mm: Option<f64>) {
        if let Some(over_mm) = over_mm
            && self.dialect.heights == Heights::Written
        {
            self.height("G0", over_mm);
        }
        for corner in via.iter().chain([&to]) {
            if let Some(words) = self.pen.straight("G0", *corner) {
                self.lines.line(&words);
            }
        }
    }

    fn park(&mut self) {
        self.park_at(self.work.park);
    }

    pub(super) fn park_at(&mut self, park: Option<Parking>) {
        if let Some(park) = park {
            self.lines.comment("To the parking place.");
            self.travel(park.via, park.at, park.over_mm);
        }
    }

    /// Writes a cut; the inner result says why its path is shifted already where the machine was to shift it.
    fn cut(&mut self, number: usize, cut: &Cut) -> Result<Result<(), NoEdge>, ProgramError> {
        self.come(number, cut)?;
        let torch = self.work.torch;
        let written = self.dialect.heights == Heights::Written;
        if let Some(travel) = self.work.travels.get(number - 1)
            && travel.waits_s > 0.0
        {
            self.lines.comment("Waits for the plate to cool.");
            self.lines.line(&format!("G4 {}", plain('P', travel.waits_s)));
        }
        if written {
            self.height("G0", torch.pierce_height_mm);
        }
        self.lines.line(&self.dialect.torch.on);
        if self.dialect.pierce_delay == PierceDelay::Dwell {
            self.lines
                .line(&format!("G4 {}", plain('P', torch.pierce_delay_s)));
        }
        let feed = self.feed(cut.feed_mm_min);
        if written {
            self.lower(&feed);
        }
        self.control(|switch| &switch.on);
        let shifts = match self.dialect.compensation {
            Compensation::Here => {
                self.follow(cut.track.segments(), &feed);
                Ok(())
            }
            Compensation::MachineTable { slot } => self.follow_shifted(cut, "", &format!("D{slot}"), &feed),
            Compensation::MachineWidth => {
                let width = self.pen.scale().word_of_mm('D', cut.kerf_mm);
                self.follow_shifted(cut, ".1", &width, &feed)
            }
        };
        self.control(|switch| &switch.off);
        self.lines.line(&self.dialect.torch.off);
        self.rise();
        Ok(shifts)
    }

    /// Down to where it works, at a feed.
    pub(super) fn lower(&mut self, feed: &str) {
        let z = self.pen.scale().word_of_mm('Z', self.work.torch.cut_height_mm);
        self.lines.line(&format!("G1 {z} {feed}"));
    }

    fn control(&mut self, word: impl Fn(&OnOff) -> &String) {
        if let Some(switch) = &self.dialect.height_control {
            self.lines.line(word(switch));
        }
    }

    /// The edges one by one, the feed on the first.
    pub(super) fn follow(&mut self, edges: impl IntoIterator<Item = Segment>, feed: &str) {
        let mut feed = Some(feed);
        for edge in edges {
            for words in self.pen.edge(&edge) {
                match feed.take() {
                    Some(feed) => self.lines.line(&format!("{words} {feed}")),
                    None => self.lines.line(&words),
                }
            }
        }
    }

    /// The edges of the part for the machine to shift; the track itself, and why, where it cannot.
    fn follow_shifted(&mut self, cut: &Cut, dynamic: &str, width: &str, feed: &str) -> Result<(), NoEdge> {
        match for_machine(cut) {
            Ok(told) => {
                self.lines.line(&format!("{}{dynamic} {width}", told.word));
                self.follow(told.edges, feed);
                self.lines.line("G40");
                self.follow(told.way_out, feed);
                Ok(())
            }
            Err(why) => {
                self.lines.comment(&format!(
                    "Kerf: this cut cannot be left to the machine to shift. The path is the middle of a kerf of {:.3} mm.",
                    cut.kerf_mm
                ));
                self.follow(cut.track.segments(), feed);
                Err(why)
            }
        }
    }

    /// The whole track of a cut at travel height.
    fn trace(&mut self, number: usize, cut: &Cut) -> Result<(), ProgramError> {
        self.come(number, cut)?;
        self.rise();
        let feed = self.feed(self.work.torch.dry_feed_mm_min);
        self.follow(cut.track.segments(), &feed);
        Ok(())
    }

    pub(super) fn finish(mut self) -> String {
        self.lines.comment("Done. The torch is off.");
        self.lines.line(&self.dialect.torch.off);
        self.lines.line(match self.dialect.end {
            EndWord::M2 => "M2",
            EndWord::M30 => "M30",
        });
        self.lines.finish()
    }
}
