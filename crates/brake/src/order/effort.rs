//! What a plan costs, in words a person recognises.

use std::ops::AddAssign;

/// What a plan, or a step of it, costs. The unit is a second of a practised person's time, or what one would give as much
/// for; common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effort {
    /// Changing tools, or their length.
    pub tool_changes: u32,
    /// Turning the part over.
    pub flips: u32,
    /// Turning the part round.
    pub turns: u32,
    /// Plate to be held level by hand.
    pub held: u32,
    /// A gauge that bears on less than a straight edge.
    pub gauge: u32,
    /// Hands near the tool.
    pub fingers: u32,
    /// The work itself: the slower tool costs more.
    pub work: u32,
    /// Taking the part off the end of the tool.
    pub off_the_end: u32,
    /// Tools that leave another inside radius than the one drawn: the blank is to be developed again.
    pub radius: u32,
}

impl Effort {
    /// All together.
    pub fn total(&self) -> u32 {
        self.tool_changes
            + self.flips
            + self.turns
            + self.held
            + self.gauge
            + self.fingers
            + self.work
            + self.off_the_end
            + self.radius
    }
}

impl AddAssign for Effort {
    fn add_assign(&mut self, more: Effort) {
        self.tool_changes += more.tool_changes;
        self.flips += more.flips;
        self.turns += more.turns;
        self.held += more.held;
        self.gauge += more.gauge;
        self.fingers += more.fingers;
        self.work += more.work;
        self.off_the_end += more.off_the_end;
        self.radius += more.radius;
    }
}

/// What each thing counts for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Weights {
    /// Another machine.
    pub machine_change: u32,
    /// Another punch or die.
    pub tool_change: u32,
    /// The same tools made up to another length.
    pub length_change: u32,
    /// Turning over.
    pub flip: u32,
    /// Turning round.
    pub turn: u32,
    /// For each time what one hand holds is exceeded.
    pub held: u32,
    /// A gauge that bears on a bend already made.
    pub gauge_bent: u32,
    /// A gauge that bears on a point.
    pub gauge_point: u32,
    /// No gauge.
    pub gauge_mark: u32,
    /// A hand near the tool.
    pub fingers: u32,
    /// One stroke of a brake.
    pub press: u32,
    /// One swing of a folder.
    pub fold: u32,
    /// One leg drawn over in a vice.
    pub vice: u32,
    /// A bend sent out.
    pub away: u32,
    /// Sent out and fetched again, for however many bends: more than all bends of a part together, so that no order goes out
    /// twice that need not.
    pub trip: u32,
    /// A bend sawn into first, so that a hand draws it over: like one sent out, so that no more are than must.
    pub kerf: u32,
    /// Taken off the end of the tool.
    pub off_the_end: u32,
    /// For each tenth that the inside radius comes out off the drawn one.
    pub radius: u32,
}

impl Default for Weights {
    /// For a person with one good hand: turning over and holding cost more than they do for two.
    fn default() -> Self {
        Weights {
            machine_change: 300,
            tool_change: 180,
            length_change: 60,
            flip: 15,
            turn: 8,
            held: 20,
            gauge_bent: 5,
            gauge_point: 20,
            gauge_mark: 45,
            fingers: 15,
            press: 20,
            fold: 20,
            vice: 240,
            away: 20_000,
            trip: 400_000,
            kerf: 20_000,
            off_the_end: 20,
            radius: 6,
        }
    }
}
