//! How the torch travels, and one of its travels.

use plane::Point;

use crate::motion::Mover;

/// How the torch travels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TravelRules {
    /// What the machine can do.
    pub mover: Mover,
    /// What it takes more to lift the torch clear of a tipped part and come down again, s.
    pub lift_s: f64,
    /// How far a move round something stays from it, mm.
    pub clear_mm: f64,
    /// The corners of the table that moves stay on, when they are known.
    pub table: Option<(Point, Point)>,
}

impl TravelRules {
    pub(super) fn on_table(&self, at: Point) -> bool {
        self.table
            .is_none_or(|(low, high)| low.x <= at.x && at.x <= high.x && low.y <= at.y && at.y <= high.y)
    }

    pub(super) fn straight_us(&self, from: Point, to: Point) -> u32 {
        microseconds(self.mover.straight_s((to - from).norm()))
    }
}

/// One travel move.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// Where it starts.
    pub from: Point,
    /// Corners that it goes round, in order; none for a straight move.
    pub via: Vec<Point>,
    /// Where it ends.
    pub to: Point,
    /// Whether the torch is lifted clear first.
    pub lifted: bool,
    /// How long it takes, s.
    pub time_s: f64,
}

impl Leg {
    /// Its straight moves.
    pub fn moves(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let places = || {
            std::iter::once(self.from)
                .chain(self.via.iter().copied())
                .chain(std::iter::once(self.to))
        };
        places().zip(places().skip(1))
    }

    /// Its length, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        self.moves().map(|(from, to)| (to - from).norm()).sum()
    }
}

/// Times are whole microseconds inside, so that sums are exact and a proof is one. No move takes longer than some four
/// minutes; one that would is taken as that.
pub(super) fn microseconds(time_s: f64) -> u32 {
    (time_s * 1e6).round().clamp(0.0, f64::from(u32::MAX / 16)) as u32
}
