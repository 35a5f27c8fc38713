//! Moves: where a line's words take the torch from where it is.

use plane::{FARTHEST_MM, Point, Segment};

use super::arc::{self, ReadArc};
use super::program::Machine;
use super::read_error::ReadError;
use super::said::{Said, Values};
use super::steps::{Move, Step};

/// How the machine moves until it is told otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Motion {
    Rapid,
    Line,
    Arc { counter_clockwise: bool },
}

impl Machine<'_> {
    pub(super) fn set_motion(
        &mut self,
        line: usize,
        said: &Said,
        values: &mut Values,
    ) -> Result<(), ReadError> {
        if let Some(g) = said.g_of(1) {
            self.motion = match g {
                0.0 => Some(Motion::Rapid),
                1.0 => Some(Motion::Line),
                2.0 | 3.0 => Some(Motion::Arc {
                    counter_clockwise: g == 3.0,
                }),
                _ => None,
            };
        }
        let moves = ['X', 'Y', 'Z'].into_iter().any(|axis| values.has(axis));
        if !moves {
            return match said.g_of(1) {
                Some(g) if g < 80.0 => Err(ReadError::Needs {
                    line,
                    word: "a move",
                    needs: "X, Y or Z",
                }),
                _ => Ok(()),
            };
        }
        if said.has_g(4.0) {
            return Err(ReadError::Unused { line, letter: 'G' });
        }
        let motion = self.motion.ok_or(ReadError::Needs {
            line,
            word: "a place",
            needs: "G0, G1, G2 or G3",
        })?;
        self.go(line, motion, values)
    }

    fn go(&mut self, line: usize, motion: Motion, values: &mut Values) -> Result<(), ReadError> {
        let unit_mm = self.unit_mm.ok_or(ReadError::NoUnit { line })?;
        let absolute = self.absolute.ok_or(ReadError::Needs {
            line,
            word: "a place",
            needs: "G90 or G91 before it",
        })?;
        let target = |now: Option<f64>, said: Option<f64>| match (now, said) {
            (now, None) => Ok(now),
            (_, Some(value)) if absolute => Ok(Some(value)),
            (Some(now), Some(value)) => Ok(Some(now + value)),
            (None, Some(_)) => Err(ReadError::NoPlace { line }),
        };
        let before = (self.at_mm(), self.at, self.z);
        let to = [
            target(self.at[0], values.take('X'))?,
            target(self.at[1], values.take('Y'))?,
        ];
        let z = target(self.z, values.take('Z'))?;
        for length in to.into_iter().chain([z]).flatten() {
            if length.abs() * unit_mm > FARTHEST_MM {
                return Err(ReadError::OutOfMeasure {
                    line,
                    letter: 'X',
                    value: length,
                });
            }
        }
        let feed_mm_min = match motion {
            Motion::Rapid => None,
            _ => Some(self.feed_mm_min.ok_or(ReadError::NoFeed { line })?),
        };
        let z_mm = [before.2, z].map(|z| z.map(|z| z * unit_mm));
        if let Motion::Arc { counter_clockwise } = motion {
            let read = self.arc(line, before.1, to, counter_clockwise, values)?;
            self.at = to;
            self.z = z;
            return self.push_arc(line, &read, before.0, feed_mm_min, z_mm);
        }
        self.at = to;
        self.z = z;
        let moved = to != before.1;
        match (before.0, self.at_mm()) {
            (Some(from), Some(to)) if moved => self.push_move(Move {
                line,
                path: Segment::line(from, to),
                torch: self.torch,
                feed_mm_min,
                z_mm,
            })?,
            (None, Some(at)) if moved && motion == Motion::Rapid => self.program.steps.push(Step::Arrive {
                line,
                at,
                torch: self.torch,
            }),
            (None, _) if moved => return Err(ReadError::NoPlace { line }),
            _ => {
                if let [_, Some(to_mm)] = z_mm {
                    self.program.steps.push(Step::Rise {
                        line,
                        to_mm,
                        torch: self.torch,
                    });
                }
            }
        }
        Ok(())
    }

    fn arc(
        &self,
        line: usize,
        from: [Option<f64>; 2],
        to: [Option<f64>; 2],
        counter_clockwise: bool,
        values: &mut Values,
    ) -> Result<ReadArc, ReadError> {
        let ([Some(x), Some(y)], [Some(end_x), Some(end_y)]) = (from, to) else {
            return Err(ReadError::NoPlace { line });
        };
        let (from, to) = (Point::new(x, y), Point::new(end_x, end_y));
        let (i, j) = (values.take('I'), values.take('J'));
        match (values.take('R'), i, j) {
            (Some(radius), None, None) => arc::by_radius(line, from, to, radius, counter_clockwise),
            (None, None, None) => Err(ReadError::Needs {
                line,
                word: "an arc",
                needs: "I and J, or R",
            }),
            (Some(_), ..) => Err(ReadError::Unused { line, letter: 'R' }),
            (None, i, j) => {
                let centre = if self.absolute_centres {
                    match (i, j) {
                        (Some(i), Some(j)) => Point::new(i, j),
                        _ => {
                            return Err(ReadError::Needs {
                                line,
                                word: "an arc",
                                needs: "both I and J, which are places here",
                            });
                        }
                    }
                } else {
                    Point::new(x + i.unwrap_or(0.0), y + j.unwrap_or(0.0))
                };
                // The rule has its own value in each unit.
                let allowed = if self.unit_mm == Some(1.0) { 0.002 } else { 0.0002 };
                arc::by_centre(line, from, to, centre, counter_clockwise, allowed)
            }
        }
    }

    /// An arc as moves of at most half a turn.
    fn push_arc(
        &mut self,
        line: usize,
        read: &ReadArc,
        from: Option<Point>,
        feed_mm_min: Option<f64>,
        z_mm: [Option<f64>; 2],
    ) -> Result<(), ReadError> {
        let (Some(from), Some(to), Some(unit_mm)) = (from, self.at_mm(), self.unit_mm) else {
            return Err(ReadError::NoPlace { line });
        };
        let centre = read.centre * unit_mm;
        let radius_mm = read.radius * unit_mm;
        let halves = if read.sweep_rad.abs() > std::f64::consts::PI {
            2.0
        } else {
            1.0
        };
        let sweep_rad = read.sweep_rad / halves;
        let mut start = from;
        for i in 1..=halves as u32 {
            let end = if f64::from(i) == halves {
                to
            } else {
                let (sin, cos) = sweep_rad.sin_cos();
                let out = (from - centre).normalize() * radius_mm;
                centre + plane::Vector::new(out.x * cos - out.y * sin, out.x * sin + out.y * cos)
            };
            self.push_move(Move {
                line,
                path: Segment::Arc {
                    from: start,
                    to: end,
                    centre,
                    radius_mm,
                    sweep_rad,
                },
                torch: self.torch,
                feed_mm_min,
                z_mm,
            })?;
            start = end;
        }
        Ok(())
    }

    fn push_move(&mut self, made: Move) -> Result<(), ReadError> {
        if self.shift.is_some() && made.feed_mm_min.is_none() {
            return Err(ReadError::NoShift {
                line: made.line,
                why: "a rapid move stands within it",
            });
        }
        self.program.steps.push(Step::Move(made));
        Ok(())
    }
}
