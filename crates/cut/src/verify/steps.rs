//! What the machine does, step by step.

use plane::{Point, Segment, Vector};

/// Where the torch is in all three directions, mm. None is not known yet.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Place {
    /// Over the table.
    pub at: Option<Point>,
    /// Height over the sheet.
    pub z_mm: Option<f64>,
}

/// A move over the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    /// Line of the program, from 1.
    pub line: usize,
    /// From, to and the arc between, mm; no longer than half a turn.
    pub path: Segment,
    /// Whether the torch is on.
    pub torch: bool,
    /// Feed in mm/min; none for a rapid move.
    pub feed_mm_min: Option<f64>,
    /// Height over the sheet at start and end, mm; none when the program has not said it.
    pub z_mm: [Option<f64>; 2],
}

/// One thing that the machine does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// The first move, from nobody knows where.
    Arrive {
        /// Line of the program.
        line: usize,
        /// Where it goes.
        at: Point,
        /// Whether the torch is on.
        torch: bool,
    },
    /// A move over the table.
    Move(Move),
    /// A move up or down on the spot.
    Rise {
        /// Line of the program.
        line: usize,
        /// To this height, mm.
        to_mm: f64,
        /// Whether the torch is on.
        torch: bool,
    },
    /// The torch is lit.
    TorchOn {
        /// Line of the program.
        line: usize,
        /// Where.
        place: Place,
    },
    /// The torch goes off.
    TorchOff {
        /// Line of the program.
        line: usize,
    },
    /// The marker is lowered or fired.
    MarkerOn {
        /// Line of the program.
        line: usize,
        /// Where.
        place: Place,
    },
    /// The marker is lifted or stopped.
    MarkerOff {
        /// Line of the program.
        line: usize,
    },
    /// Standing still.
    Dwell {
        /// Line of the program.
        line: usize,
        /// For so long, s.
        s: f64,
    },
    /// The program ends.
    End {
        /// Line of the program.
        line: usize,
        /// Whether the torch is still on.
        torch: bool,
    },
}

/// A program as read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Program {
    /// What the machine does, in order.
    pub steps: Vec<Step>,
}

impl Program {
    /// Every move over the table.
    pub fn moves(&self) -> impl Iterator<Item = &Move> {
        self.steps.iter().filter_map(|step| match step {
            Step::Move(made) => Some(made),
            _ => None,
        })
    }

    /// Moved as a whole, as from the machine's zero to the table's.
    pub(super) fn moved_by(mut self, by: Vector) -> Program {
        for step in &mut self.steps {
            match step {
                Step::Arrive { at, .. } => *at += by,
                Step::Move(made) => made.path = made.path.translated(by),
                Step::TorchOn { place, .. } | Step::MarkerOn { place, .. } => {
                    if let Some(at) = &mut place.at {
                        *at += by;
                    }
                }
                Step::Rise { .. }
                | Step::TorchOff { .. }
                | Step::MarkerOff { .. }
                | Step::Dwell { .. }
                | Step::End { .. } => {}
            }
        }
        self
    }
}
