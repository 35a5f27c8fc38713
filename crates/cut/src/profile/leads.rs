//! Leads, over-run, and what a pierce spoils.

/// How a lead runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LeadKind {
    /// An arc that meets the contour along its direction.
    Arc,
    /// A straight line.
    Line,
}

/// The leads of one kind of contour.
#[derive(Debug, Clone, PartialEq)]
pub struct Leads {
    /// The kinds to try, best first; at least one.
    pub kinds: Vec<LeadKind>,
    /// Angle between a straight lead and the contour ahead of it, radians: pi/2 comes square to it, 0 along it.
    pub line_rad: f64,
    /// Length of the lead-in in plate of no thickness, mm.
    pub in_mm: f64,
    /// What comes on top, as a multiple of the thickness.
    pub in_x_t: f64,
    /// No lead-in is shorter than this, mm.
    pub least_mm: f64,
    /// How far the cut goes on past its start, mm; 0 stops on it.
    pub over_run_mm: f64,
    /// Length of the lead-out after the over-run, mm: an arc away from the part. 0 puts the torch off on the line.
    pub out_mm: f64,
}

/// What a pierce spoils round about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Puddle {
    /// Radius in plate of no thickness, mm.
    pub radius_mm: f64,
    /// What comes on top, as a multiple of the thickness.
    pub radius_x_t: f64,
}

/// All of it.
#[derive(Debug, Clone, PartialEq)]
pub struct LeadRules {
    /// Leads of an outline.
    pub outline: Leads,
    /// Leads of an opening.
    pub opening: Leads,
    /// What a pierce spoils.
    pub puddle: Puddle,
    /// The most starts that are offered for one contour, at least 1.
    pub most_starts: usize,
}

impl Leads {
    /// Length of a lead-in in a plate `t_mm` thick, mm.
    #[must_use]
    pub fn length_mm(&self, t_mm: f64) -> f64 {
        (self.in_mm + self.in_x_t * t_mm).max(self.least_mm)
    }
}

impl Puddle {
    /// Its radius in a plate `t_mm` thick, mm.
    #[must_use]
    pub fn in_plate_mm(&self, t_mm: f64) -> f64 {
        self.radius_mm + self.radius_x_t * t_mm
    }
}
