//! What can be wrong with a program that reads well.

use plane::Point;

use super::read_error::ReadError;
use crate::gcode::ProgramError;

/// Something that a program does and must not, or does not and must. Lines count from 1, parts and openings from 0.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Wrong {
    /// It was not written at all.
    #[error("{0}")]
    NotWritten(#[from] ProgramError),
    /// It cannot be read.
    #[error("the program cannot be read back: {0}")]
    Unreadable(#[from] ReadError),
    /// It is longer than is held against its parts.
    #[error("the program has {moves} moves; at most {most} are held against the parts")]
    TooLong {
        /// How many it has.
        moves: usize,
        /// The most.
        most: usize,
    },
    /// It pierces more or less often than there are cuts.
    #[error("the torch is lit {found} times for {wanted} cuts")]
    Pierces {
        /// How often it is lit.
        found: usize,
        /// How many cuts there are.
        wanted: usize,
    },
    /// The torch is on when the program ends.
    #[error("line {line}: the program ends with the torch on")]
    TorchLeftOn {
        /// The line.
        line: usize,
    },
    /// The torch is lit while it is on.
    #[error("line {line}: the torch is lit while it is on")]
    LitTwice {
        /// The line.
        line: usize,
    },
    /// The torch is lit where it must not be at all.
    #[error("line {line}: the torch is lit in a dry run")]
    LitInDryRun {
        /// The line.
        line: usize,
    },
    /// The torch is lit by a program that only marks.
    #[error("line {line}: the torch is lit in a program that marks")]
    LitWhileMarking {
        /// The line.
        line: usize,
    },
    /// The marker is on when the program ends.
    #[error("line {line}: the program ends with the marker on")]
    MarkerLeftOn {
        /// The line.
        line: usize,
    },
    /// The marker is put on while it is on.
    #[error("line {line}: the marker is put on while it is on")]
    MarkerOnTwice {
        /// The line.
        line: usize,
    },
    /// A rapid move with the marker on.
    #[error("line {line}: the marker is on in travel")]
    TravelMarkerOn {
        /// The line.
        line: usize,
    },
    /// The machine stands still with the marker on, which digs or burns a pit.
    #[error("line {line}: the machine waits with the marker on")]
    MarkerWaits {
        /// The line.
        line: usize,
    },
    /// Something is marked that was not asked for, or a second time.
    #[error("line {line}: the mark begun here{} was not asked for", near_in_words(*at))]
    MarkNotAsked {
        /// The line where the marker is put on.
        line: usize,
        /// Where that is; none when the program has not said where it is.
        at: Option<Point>,
    },
    /// A mark is not made, or not where it belongs.
    #[error("mark {mark} near ({:.2}, {:.2}) mm is not made", at.x, at.y)]
    MarkLeftOut {
        /// Which of those asked for, from 0.
        mark: usize,
        /// Its middle.
        at: Point,
    },
    /// A rapid move with the torch on.
    #[error("line {line}: the torch travels while it is on")]
    TravelTorchOn {
        /// The line.
        line: usize,
    },
    /// A move leaves the table.
    #[error("line {line}: the torch leaves the table at ({:.2}, {:.2}) mm", at.x, at.y)]
    OffTable {
        /// The line.
        line: usize,
        /// A place off the table.
        at: Point,
    },
    /// A move runs into a clamp.
    #[error("line {line}: the torch runs into clamp {clamp} near ({:.2}, {:.2}) mm", at.x, at.y)]
    IntoClamp {
        /// The line.
        line: usize,
        /// Which clamp.
        clamp: usize,
        /// Where.
        at: Point,
    },
    /// The torch is lit over a part, or so near that the kerf touches it.
    #[error("line {line}: the torch is lit over part {part} at ({:.2}, {:.2}) mm", at.x, at.y)]
    PierceInPart {
        /// The line.
        line: usize,
        /// Which part.
        part: usize,
        /// Where.
        at: Point,
    },
    /// The kerf runs into a part.
    #[error("line {line}: the kerf cuts {by_mm:.3} mm into part {part} near ({:.2}, {:.2}) mm", at.x, at.y)]
    CutsIntoPart {
        /// The line.
        line: usize,
        /// Which part.
        part: usize,
        /// Where, on the edge of the part.
        at: Point,
        /// How deep, mm.
        by_mm: f64,
    },
    /// A contour is cut a second time, which widens its kerf.
    #[error(
        "line {line}: after its contour is closed, the cut lit here runs along it again for {length_mm:.1} mm"
    )]
    CutAgain {
        /// The line where the torch is lit.
        line: usize,
        /// For how long, mm.
        length_mm: f64,
    },
    /// An opening, or a part within it, is cut when what should hold it has come loose.
    #[error("line {line}: {} of part {part} is cut after the part or opening round it has come loose", outline_in_words(*opening))]
    OutOfOrder {
        /// The line where the torch is lit.
        line: usize,
        /// Which part.
        part: usize,
        /// Which of its openings; none for its outside.
        opening: Option<usize>,
    },
    /// No cut goes round an outline.
    #[error("no cut goes round {} of part {part}", outline_in_words(*opening))]
    NotCut {
        /// Which part.
        part: usize,
        /// Which of its openings; none for its outside.
        opening: Option<usize>,
    },
    /// A stretch of an edge is not cut.
    #[error("{} of part {part} is not cut near ({:.2}, {:.2}) mm, over {length_mm:.2} mm", outline_in_words(*opening), at.x, at.y)]
    EdgeLeft {
        /// Which part.
        part: usize,
        /// Which of its openings; none for its outside.
        opening: Option<usize>,
        /// The middle of the stretch.
        at: Point,
        /// How long it is, mm.
        length_mm: f64,
    },
    /// A round hole comes out elsewhere or of another size.
    #[error(
        "opening {opening} of part {part} comes out {off_mm:.3} mm from its place and {found_mm:.3} mm wide instead of {wanted_mm:.3}"
    )]
    Hole {
        /// Which part.
        part: usize,
        /// Which opening.
        opening: usize,
        /// How far from its place, mm.
        off_mm: f64,
        /// Diameter that comes out, mm.
        found_mm: f64,
        /// Diameter of the part, mm.
        wanted_mm: f64,
    },
    /// A part comes out with another area.
    #[error("part {part} comes out with {found_mm2:.2} mm2 instead of {wanted_mm2:.2}")]
    Area {
        /// Which part.
        part: usize,
        /// What comes out, mm2.
        found_mm2: f64,
        /// What was asked, mm2.
        wanted_mm2: f64,
    },
    /// It moves before the torch is through.
    #[error("line {line}: the torch waits {found_s} s to pierce; it needs {wanted_s} s")]
    ShortDelay {
        /// The line where it is lit.
        line: usize,
        /// How long it waits, s.
        found_s: f64,
        /// How long it must, s.
        wanted_s: f64,
    },
    /// The torch is at another height than it should be.
    #[error("line {line}: the torch is {} over the sheet; it should be at {wanted_mm} mm", height_in_words(*found_mm))]
    Height {
        /// The line.
        line: usize,
        /// Its height, mm; none when the program has not said it.
        found_mm: Option<f64>,
        /// What it should be, mm: for travel the least.
        wanted_mm: f64,
    },
    /// It cuts at another feed.
    #[error("line {line}: the feed is {found_mm_min:.1} mm/min; it should be {wanted_mm_min:.1}")]
    Feed {
        /// The line.
        line: usize,
        /// The feed, mm/min.
        found_mm_min: f64,
        /// What it should be, mm/min.
        wanted_mm_min: f64,
    },
}

fn outline_in_words(opening: Option<usize>) -> String {
    opening.map_or_else(
        || "the outside".to_owned(),
        |opening| format!("opening {opening}"),
    )
}

fn near_in_words(at: Option<Point>) -> String {
    at.map_or_else(String::new, |at| format!(" near ({:.2}, {:.2}) mm", at.x, at.y))
}

fn height_in_words(mm: Option<f64>) -> String {
    mm.map_or_else(|| "at an unknown height".to_owned(), |mm| format!("{mm:.2} mm"))
}
