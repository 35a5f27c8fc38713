//! Lines and arcs as lines of the program, each from where the machine really stands after rounding.

use plane::{Point, Segment, Vector};

use super::dialect::{ArcCentres, Dialect};
use super::number::{Scale, Steps};

/// An arc shorter than this is written as its chord, which lies at most a third of it aside: so that rounding can never
/// turn a short arc's end past its start, which a machine would read as nearly a full turn.
const SHORTEST_ARC_MM: f64 = 0.01;
/// Rounding of a whole count of pieces.
const WHOLE_PIECES: f64 = 1e-9;

/// Where the machine stands, and how places are written.
pub(super) struct Pen {
    scale: Scale,
    zero: Point,
    arc_centres: ArcCentres,
    most_sweep_rad: f64,
    /// None until the first move.
    at: Option<[Steps; 2]>,
}

impl Pen {
    pub(super) fn new(dialect: &Dialect, zero: Point) -> Pen {
        Pen {
            scale: Scale::new(dialect.unit.in_mm(), dialect.decimals_n),
            zero,
            arc_centres: dialect.arc_centres,
            most_sweep_rad: dialect.arc_pieces.most_sweep_rad(),
            at: None,
        }
    }

    pub(super) fn scale(&self) -> Scale {
        self.scale
    }

    fn steps_of(&self, at: Point) -> [Steps; 2] {
        let off = at - self.zero;
        [self.scale.steps(off.x), self.scale.steps(off.y)]
    }

    fn words(&self, letters: [char; 2], steps: [Steps; 2]) -> String {
        format!(
            "{} {}",
            self.scale.word(letters[0], steps[0]),
            self.scale.word(letters[1], steps[1])
        )
    }

    /// Words of a straight move to a place; none when the machine stands there already.
    pub(super) fn straight(&mut self, word: &str, to: Point) -> Option<String> {
        let steps = self.steps_of(to);
        if self.at == Some(steps) {
            return None;
        }
        self.at = Some(steps);
        Some(format!("{word} {}", self.words(['X', 'Y'], steps)))
    }

    /// The lines that cut one edge.
    pub(super) fn edge(&mut self, edge: &Segment) -> Vec<String> {
        let Segment::Arc {
            centre, sweep_rad, ..
        } = *edge
        else {
            return self.straight("G1", edge.to()).into_iter().collect();
        };
        let pieces = (sweep_rad.abs() / self.most_sweep_rad - WHOLE_PIECES)
            .ceil()
            .max(1.0);
        let piece_mm = edge.length_mm() / pieces;
        let rise_mm = edge.length_mm() * sweep_rad.abs() / (8.0 * pieces * pieces);
        let straight = piece_mm < SHORTEST_ARC_MM || rise_mm < self.scale.step_mm() / 2.0;
        let word = if sweep_rad > 0.0 { "G3" } else { "G2" };
        let mut lines = Vec::new();
        // A sweep is within a full turn, so there are at most four pieces.
        for i in 1..=pieces as u32 {
            let to = if f64::from(i) == pieces {
                edge.to()
            } else {
                edge.point_at(f64::from(i) / pieces)
            };
            lines.extend(if straight {
                self.straight("G1", to)
            } else {
                self.arc(word, centre, to)
            });
        }
        lines
    }

    fn arc(&mut self, word: &str, centre: Point, to: Point) -> Option<String> {
        let from = self.at.unwrap_or_else(|| self.steps_of(centre));
        let steps = self.steps_of(to);
        if from == steps {
            return None;
        }
        let middle = match self.arc_centres {
            ArcCentres::Absolute => self.steps_of(centre),
            ArcCentres::FromStart => {
                // From the rounded start, so that the roundings of start and centre do not add up.
                let start = Vector::new(self.scale.mm(from[0]), self.scale.mm(from[1]));
                let off = centre - self.zero - start;
                [self.scale.steps(off.x), self.scale.steps(off.y)]
            }
        };
        self.at = Some(steps);
        Some(format!(
            "{word} {} {}",
            self.words(['X', 'Y'], steps),
            self.words(['I', 'J'], middle)
        ))
    }
}
