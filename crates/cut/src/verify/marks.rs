//! A program that only marks: what it was asked to mark, and nothing else, with the torch never lit.

use plane::{Point, Region, Segment};

use super::program::MachineWords;
use super::safe::{ROUNDING_MM, is_at, is_feed, move_is_clear, place_is_clear};
use super::steps::{Move, Program, Step};
use super::wrong::Wrong;

/// A mark is where it was asked within this: the width of a scriber's line is several times as much.
const OFF_MM: f64 = 0.02;

/// One mark as it should be made, in table coordinates, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AskedMark {
    /// A straight line, drawn from either end.
    Line {
        /// One end.
        from: Point,
        /// The other.
        to: Point,
    },
    /// Two strokes that cross in their middles at a right angle, turned anyhow.
    Cross {
        /// Where they cross.
        at: Point,
        /// Length of each.
        size_mm: f64,
    },
}

impl AskedMark {
    fn middle(&self) -> Point {
        match *self {
            AskedMark::Line { from, to } => nalgebra::center(&from, &to),
            AskedMark::Cross { at, .. } => at,
        }
    }
}

/// Heights of the torch over the sheet, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MarkHeights {
    /// While it marks.
    pub mark_mm: f64,
    /// The least between marks.
    pub travel_mm: f64,
}

/// What a program that marks should do, in table coordinates, mm.
#[derive(Debug, Clone, Copy)]
pub struct AskedMarks<'a> {
    /// The marks, in any order.
    pub marks: &'a [AskedMark],
    /// Feed along them, mm/min.
    pub feed_mm_min: f64,
    /// Lower left and upper right of what the torch can reach.
    pub table: [Point; 2],
    /// Where clamps stand.
    pub clamps: &'a [Region],
    /// The machine's zero.
    pub zero: Point,
    /// Heights; none when the machine keeps them by itself.
    pub heights: Option<MarkHeights>,
}

/// Reads a program that marks and proves that every mark asked for is made where it belongs and nothing else is, that the
/// marker is off in travel and at the end, that the torch is never lit, and that no move leaves the table or runs into a
/// clamp. `words` must hold those of the marker.
///
/// # Errors
/// Everything that is wrong, in the order of the program, then the marks that are not made; a text that cannot be read gives
/// one [`Wrong::Unreadable`].
pub fn verify_marks(text: &str, words: &MachineWords, asked: &AskedMarks) -> Result<Program, Vec<Wrong>> {
    let program = super::on_table(text, words, asked.zero)?;
    let (strokes, mut wrong) = followed(&program, asked);
    wrong.extend(compared(&strokes, asked.marks));
    if wrong.is_empty() { Ok(program) } else { Err(wrong) }
}

/// What is drawn from putting the marker on to taking it off.
struct Stroke {
    line: usize,
    /// Where it is put on; none where the program has not said where that is.
    at: Option<Point>,
    edges: Vec<Segment>,
}

impl Stroke {
    /// From end to end, when it goes straight from the one to the other: in pieces if it likes, but neither aside nor
    /// back. A point where the marker did not move.
    fn straight(&self) -> Option<[Point; 2]> {
        let from = self.at?;
        let to = self.edges.last().map_or(from, Segment::to);
        let whole = Segment::line(from, to);
        let near = |at: Point| {
            if (to - from).norm() > plane::SAME_POINT_MM {
                whole.nearest(at).0 <= OFF_MM
            } else {
                (at - from).norm() <= OFF_MM
            }
        };
        let along = self
            .edges
            .iter()
            .all(|edge| matches!(edge, Segment::Line { .. }) && near(edge.from()) && near(edge.to()));
        let length_mm: f64 = self.edges.iter().map(Segment::length_mm).sum();
        (along && length_mm <= (to - from).norm() + OFF_MM).then_some([from, to])
    }
}

/// The strokes of a program, and what is wrong on the way.
fn followed(program: &Program, asked: &AskedMarks) -> (Vec<Stroke>, Vec<Wrong>) {
    let mut wrong = Vec::new();
    let mut strokes: Vec<Stroke> = Vec::new();
    let mut marks = false;
    for step in &program.steps {
        match step {
            Step::Arrive { line, at, .. } => {
                if marks {
                    wrong.push(Wrong::TravelMarkerOn { line: *line });
                }
                wrong.extend(place_is_clear(*line, *at, asked.table, asked.clamps));
            }
            Step::Move(made) => {
                wrong.extend(move_is_clear(made, asked.table, asked.clamps, 0.0));
                wrong.extend(moves_well(made, marks, asked));
                if marks && let Some(stroke) = strokes.last_mut() {
                    stroke.edges.push(made.path);
                }
            }
            Step::Rise { line, to_mm, .. } => {
                if marks
                    && let Some(heights) = asked.heights
                    && !is_at(Some(*to_mm), heights.mark_mm)
                {
                    wrong.push(Wrong::Height {
                        line: *line,
                        found_mm: Some(*to_mm),
                        wanted_mm: heights.mark_mm,
                    });
                }
            }
            Step::TorchOn { line, .. } => wrong.push(Wrong::LitWhileMarking { line: *line }),
            Step::TorchOff { .. } => {}
            Step::MarkerOn { line, place } => {
                if marks {
                    wrong.push(Wrong::MarkerOnTwice { line: *line });
                }
                marks = true;
                if let Some(heights) = asked.heights
                    && !is_at(place.z_mm, heights.mark_mm)
                {
                    wrong.push(Wrong::Height {
                        line: *line,
                        found_mm: place.z_mm,
                        wanted_mm: heights.mark_mm,
                    });
                }
                strokes.push(Stroke {
                    line: *line,
                    at: place.at,
                    edges: Vec::new(),
                });
            }
            Step::MarkerOff { .. } => marks = false,
            Step::Dwell { line, s } => {
                if marks && *s > 0.0 {
                    wrong.push(Wrong::MarkerWaits { line: *line });
                }
            }
            Step::End { line, .. } => {
                if marks {
                    wrong.push(Wrong::MarkerLeftOn { line: *line });
                }
            }
        }
    }
    (strokes, wrong)
}

/// A mark at its feed and height, a travel high enough.
fn moves_well(made: &Move, marks: bool, asked: &AskedMarks) -> Vec<Wrong> {
    let line = made.line;
    let mut wrong = Vec::new();
    if marks {
        match made.feed_mm_min {
            None => wrong.push(Wrong::TravelMarkerOn { line }),
            Some(found_mm_min) if !is_feed(found_mm_min, asked.feed_mm_min) => wrong.push(Wrong::Feed {
                line,
                found_mm_min,
                wanted_mm_min: asked.feed_mm_min,
            }),
            Some(_) => {}
        }
    }
    if let Some(heights) = asked.heights {
        let right = |z_mm: &Option<f64>| match (marks, z_mm) {
            (true, z_mm) => is_at(*z_mm, heights.mark_mm),
            (false, Some(z_mm)) => *z_mm >= heights.travel_mm - ROUNDING_MM,
            (false, None) => false,
        };
        if let Some(found_mm) = made.z_mm.into_iter().find(|z_mm| !right(z_mm)) {
            wrong.push(Wrong::Height {
                line,
                found_mm,
                wanted_mm: if marks { heights.mark_mm } else { heights.travel_mm },
            });
        }
    }
    wrong
}

/// A mark with what is made of it so far.
struct Made {
    mark: AskedMark,
    strokes: Vec<[Point; 2]>,
}

impl Made {
    /// Whether it is all there.
    fn is_whole(&self) -> bool {
        let wanted = match self.mark {
            AskedMark::Line { .. } => 1,
            AskedMark::Cross { .. } => 2,
        };
        self.strokes.len() == wanted
    }

    /// Whether a stroke is what it still lacks.
    fn takes(&self, [from, to]: [Point; 2]) -> bool {
        if self.is_whole() {
            return false;
        }
        match self.mark {
            AskedMark::Line { from: a, to: b } => {
                let is = |a: Point, b: Point| (from - a).norm() <= OFF_MM && (to - b).norm() <= OFF_MM;
                is(a, b) || is(b, a)
            }
            AskedMark::Cross { at, size_mm } => {
                let along = to - from;
                let longer_mm = (along.norm() - size_mm).abs() / 2.0;
                let off_mm = (nalgebra::center(&from, &to) - at).norm();
                // How far an end of the one is aside of the upright on the other.
                let upright = self.strokes.iter().all(|[a, b]| {
                    let other = b - a;
                    (along.dot(&other) / 2.0).abs() <= OFF_MM * other.norm().max(OFF_MM)
                });
                off_mm + longer_mm <= OFF_MM && upright
            }
        }
    }
}

fn compared(strokes: &[Stroke], marks: &[AskedMark]) -> Vec<Wrong> {
    let mut made: Vec<Made> = marks
        .iter()
        .map(|mark| Made {
            mark: *mark,
            strokes: Vec::new(),
        })
        .collect();
    let mut wrong = Vec::new();
    for stroke in strokes {
        let ends = stroke.straight();
        let of = ends.and_then(|ends| {
            let place = made.iter().position(|made| made.takes(ends))?;
            Some((place, ends))
        });
        match of {
            Some((place, ends)) => made[place].strokes.push(ends),
            None => wrong.push(Wrong::MarkNotAsked {
                line: stroke.line,
                at: stroke.at,
            }),
        }
    }
    let left_out = made.iter().enumerate().filter(|(_, made)| !made.is_whole());
    wrong.extend(left_out.map(|(mark, made)| Wrong::MarkLeftOut {
        mark,
        at: made.mark.middle(),
    }));
    wrong
}
