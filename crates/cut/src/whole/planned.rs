//! What comes of it.

use nalgebra::Isometry2;
use plane::{Point, Region};
use thiserror::Error;

use crate::dxf::TrackMismatch;
use crate::gcode::NoEdge;
use crate::holes::HolePlan;
use crate::motion::{Bill, DriveError, Work};
use crate::order::{Before, Found, Leg, NoContour, OrderError, PlateError, SlatsError};
use crate::place::{PlaceError, Remnant};
use crate::profile::{BadNumber, NoLine};
use crate::track::Cut;
use crate::tracks::{CanBeCut, Mark, NoTracks, TrackConcern};
use crate::verify::Wrong;

/// A part as it lies on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedPart {
    /// Which of the parts asked for.
    pub part: usize,
    /// Which copy, from 1.
    pub copy: usize,
    /// What it is called on this sheet: the blank's name, with the copy where there are several.
    pub name: String,
    /// From the blank's coordinates to the table's.
    pub placed: Isometry2<f64>,
    /// As it comes off the table, in table coordinates: without the holes that are drilled later.
    pub as_cut: Region,
    /// How each round hole is made.
    pub holes: Vec<HolePlan>,
    /// Centres to be drilled and ends of bends, in table coordinates.
    pub marks: Vec<Mark>,
    /// Where tabs hold it.
    pub tabs: Vec<crate::order::Tab>,
}

/// One cut in its place in the order.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedCut {
    /// The cut; its part counts among those placed.
    pub cut: Cut,
    /// The travel to its pierce.
    pub travel: Leg,
    /// How hot the plate is at the pierce when the torch has come and when it is lit, C; none where nothing is said of heat,
    /// and for the further pieces of an outside with tabs.
    pub start_c: Option<[f64; 2]>,
    /// How long is waited there, s.
    pub waits_s: f64,
}

/// What stands against the sheet as a whole, or is to be known.
#[derive(Debug, Clone, PartialEq)]
pub enum SheetConcern {
    /// Of the tracks of one part.
    Track {
        /// Which of those placed.
        placed: usize,
        /// What.
        what: TrackConcern,
    },
    /// There is no room for a part.
    NoRoom {
        /// Which of the parts asked for.
        part: usize,
        /// Which copy, from 1.
        copy: usize,
    },
    /// Every pierce of an outside would be off the sheet.
    PierceOffSheet {
        /// Which of those placed.
        placed: usize,
    },
    /// A part can tip or drop when it is cut free, and no tabs hold it where leads get to.
    CanTip {
        /// Which of those placed.
        placed: usize,
    },
    /// The plate is hotter at a pierce than it should be after the longest wait.
    HotStart {
        /// Place in the order, from 0.
        cut: usize,
        /// How hot, C.
        pierced_c: f64,
        /// How hot at most, C.
        ceiling_c: f64,
    },
    /// The torch must be lifted over what may have tipped, and the machine keeps heights by itself.
    LiftedByHand {
        /// Place in the order, from 0, of the cut that it travels to; the number of cuts for the way to the parking place.
        cut: usize,
    },
    /// The machine shifts the paths by the kerf, and cannot shift this one: the program has it shifted already.
    ShiftedHere {
        /// Place in the order, from 0.
        cut: usize,
        /// Why.
        why: NoEdge,
    },
}

/// Everything about cutting a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct CutPlan {
    /// Where each part lies, in the order asked for.
    pub placed: Vec<PlacedPart>,
    /// Material of the parts over material of the sheet.
    pub of_sheet: f64,
    /// What is left of it.
    pub remnant: Remnant,
    /// The cuts in their order.
    pub cuts: Vec<PlannedCut>,
    /// The travel after the last cut; none where the torch stays there.
    pub park: Option<Leg>,
    /// Whether the order is proven.
    pub found: Found,
    /// What had to come before what: numbers of contours by [`CutPlan::contours`].
    pub before: Vec<Before>,
    /// Which contour each cut is, in the order of cutting: pieces between tabs are one.
    pub contours: Vec<usize>,
    /// Lengths and times; what is marked counts when its program is given out.
    pub work: Work,
    /// What it costs; none without rates.
    pub bill: Option<Bill>,
    /// The machine's zero, in table coordinates.
    pub zero: Point,
    /// The same in words.
    pub zero_says: String,
    /// The program; else everything that was wrong with what was written, which is not given out.
    pub program: Result<String, Vec<Wrong>>,
    /// The dry run, likewise.
    pub dry_run: Result<String, Vec<Wrong>>,
    /// The program that marks ends of bends and centres before anything is cut, likewise; none when the machine marks nothing.
    pub marks_program: Option<Result<String, Vec<Wrong>>>,
    /// The drawing of the tracks, likewise.
    pub tracks_dxf: Result<String, TrackMismatch>,
    /// What stands against it.
    pub concerns: Vec<SheetConcern>,
    /// Can it be cut? None when nothing is to be cut.
    pub answer: Option<CanBeCut>,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoPlan {
    /// A number of the profile cannot be.
    #[error(transparent)]
    BadNumber(#[from] BadNumber),
    /// The cut chart has no line for the stock.
    #[error(transparent)]
    NoLine(#[from] NoLine),
    /// Nothing can be placed.
    #[error(transparent)]
    Place(#[from] PlaceError),
    /// A part has no tracks.
    #[error("{name} cannot be cut: {why}")]
    NoTracks {
        /// Its name on the sheet.
        name: String,
        /// Why.
        why: NoTracks,
    },
    /// A track is no contour.
    #[error(transparent)]
    NoContour(#[from] NoContour),
    /// There is no order.
    #[error(transparent)]
    Order(#[from] OrderError),
    /// The machine's limits are none.
    #[error(transparent)]
    Drive(#[from] DriveError),
    /// The slats are none.
    #[error(transparent)]
    Slats(#[from] SlatsError),
    /// Nobody wanted it any longer: see [`crate::whole::plan_while`].
    #[error("nobody wanted it any longer")]
    NotWanted,
    /// The plate's heat cannot be.
    #[error(transparent)]
    Plate(#[from] PlateError),
}
