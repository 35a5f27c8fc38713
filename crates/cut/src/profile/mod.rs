//! A cutter as plain numbers: what it cuts with, how wide, how fast, and how its controller wants to be spoken to.
//!
//! A profile is data. [`Profile::of`] fills one from the handbook for a way of cutting; a shop then sets what it knows
//! better. Lengths are mm, speeds mm/min, times s, angles radians, places in table coordinates.

mod chart;
mod check;
mod comes_out;
mod from_book;
mod kerfs;
mod leads;

pub use chart::{ChartLine, NoLine, Stock};
pub use check::BadNumber;
pub use comes_out::SizeError;
pub use from_book::NoProfile;
pub use kerfs::{Kerf, KerfFrom, StockKerf};
pub use leads::{LeadKind, LeadRules, Leads, Puddle};

/// Ways of cutting that follow a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Process {
    /// An electric arc through a gas.
    Plasma,
    /// A flame and a jet of oxygen: steel only.
    Oxy,
    /// A beam of light.
    Laser,
    /// A jet of water with abrasive.
    Waterjet,
    /// A turning cutter.
    Router,
}

impl Process {
    /// Every one of them.
    pub const ALL: [Process; 5] = [
        Process::Plasma,
        Process::Oxy,
        Process::Laser,
        Process::Waterjet,
        Process::Router,
    ];

    /// As the handbook names it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Process::Plasma => "plasma",
            Process::Oxy => "oxy",
            Process::Laser => "laser",
            Process::Waterjet => "waterjet",
            Process::Router => "router",
        }
    }

    /// Whether it leaves a hard skin on the cut edge of plain steel, which blunts drills and taps. Common practice, no
    /// source.
    #[must_use]
    pub fn hardens(self, family: handbook::Family) -> bool {
        family == handbook::Family::Steel && matches!(self, Process::Plasma | Process::Oxy)
    }

    /// Whether it melts or burns its way through, so that a pierce spatters and heat stays in the plate.
    #[must_use]
    pub fn is_hot(self) -> bool {
        matches!(self, Process::Plasma | Process::Oxy | Process::Laser)
    }
}

/// The side of the cut that comes out square, seen along the travel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SquareSide {
    /// Right of the travel: outlines run clockwise and openings counter-clockwise. The usual swirl of a plasma torch.
    Right,
    /// Left of the travel: outlines run counter-clockwise and openings clockwise.
    Left,
}

/// An upright rectangle on the table that must stay free, in table coordinates, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Clamp {
    /// What people call it.
    pub name: String,
    /// Its lower left corner.
    pub low: plane::Point,
    /// Its upper right corner.
    pub high: plane::Point,
}

/// How a machine marks the plate without cutting through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marker {
    /// Feed along a mark, mm/min.
    pub feed_mm_min: f64,
    /// Length of the mark at each end of a bend, mm.
    pub tick_mm: f64,
}

/// How the torch or spindle moves and stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Travel {
    /// Height over the plate between cuts, mm.
    pub height_mm: f64,
    /// Speed between cuts, mm/min.
    pub speed_mm_min: f64,
    /// Acceleration along the path, mm/s2.
    pub acceleration_mm_s2: f64,
}

/// What carries the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Reach along x and y, mm.
    pub size_mm: [f64; 2],
    /// From slat to slat, mm; none without slats.
    pub slat_pitch_mm: Option<f64>,
    /// What must stay free.
    pub clamps: Vec<Clamp>,
}

/// What holes need beside the cut itself.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleRules {
    /// Least diameter cut, as a multiple of the thickness.
    pub least_x_t: f64,
    /// Least diameter cut in any thickness, mm: a lead must fit.
    pub least_mm: f64,
    /// Holes up to this multiple of the thickness are cut at [`HoleRules::feed_share`].
    pub small_x_t: f64,
    /// Their feed as a share of the feed, 0 to 1.
    pub feed_share: f64,
    /// Left on each side for a drill that takes the burnt edge away, mm.
    pub leave_to_drill_mm: f64,
    /// Class of ISO 9013 limit deviations to be expected: 1 or 2.
    pub tolerance_class: u8,
}

/// A cutter.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// What the shop calls it.
    pub name: String,
    /// What it cuts with.
    pub process: Process,
    /// Width of its cut where no other is said.
    pub kerf: Kerf,
    /// Width of its cut in this stock and that.
    pub kerfs: Vec<StockKerf>,
    /// Feed, pierce and heights by metal and thickness.
    pub chart: Vec<ChartLine>,
    /// Leads, over-run and what a pierce spoils.
    pub leads: LeadRules,
    /// Holes.
    pub holes: HoleRules,
    /// Which side of the cut is square.
    pub square_side: SquareSide,
    /// How it marks; none when it cannot. Without words for it in the dialect, marks are made by hand all the same.
    pub marker: Option<Marker>,
    /// Travel between cuts.
    pub travel: Travel,
    /// The table.
    pub table: Table,
    /// How its controller wants to be spoken to, and who moves the path over by half the kerf.
    pub dialect: crate::gcode::Dialect,
}

impl Profile {
    /// Least diameter of a hole that is cut in a plate `t_mm` thick.
    #[must_use]
    pub fn least_hole_mm(&self, t_mm: f64) -> f64 {
        (self.holes.least_x_t * t_mm).max(self.holes.least_mm)
    }

    /// Whether it cuts this metal at all.
    #[must_use]
    pub fn cuts(&self, family: handbook::Family) -> bool {
        self.process != Process::Oxy || family == handbook::Family::Steel
    }

    /// The marker and the words for it; none when the machine has none, or its program cannot say so.
    #[must_use]
    pub fn marks_with(&self) -> Option<(Marker, &crate::gcode::OnOff)> {
        self.marker.zip(self.dialect.marker.as_ref())
    }

    /// Feed in an opening as wide as this, mm/min: slower where it is small.
    #[must_use]
    pub fn feed_in_opening_mm_min(&self, feed_mm_min: f64, width_mm: f64, t_mm: f64) -> f64 {
        if width_mm <= self.holes.small_x_t * t_mm {
            feed_mm_min * self.holes.feed_share
        } else {
            feed_mm_min
        }
    }
}
