//! G41, G42 and G40: from where to where a path is shifted by half the kerf.

use plane::Point;

use super::offset::{self, Side};
use super::program::Machine;
use super::read_error::ReadError;
use super::said::Values;
use super::steps::{Move, Step};

/// A shifted path that is being read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shift {
    pub(super) line: usize,
    side: Side,
    half_mm: f64,
    /// Where the middle of the kerf is when it begins, mm.
    from: Option<Point>,
    /// The first step that belongs to it.
    step: usize,
}

impl Machine<'_> {
    pub(super) fn set_shift(&mut self, line: usize, g: f64, values: &mut Values) -> Result<(), ReadError> {
        if g == 40.0 {
            return self.shift_ends();
        }
        if self.shift.is_some() {
            return Err(ReadError::NoShift {
                line,
                why: "it is shifted already",
            });
        }
        let d = values.need('D', "G41 or G42", "D, the kerf")?;
        let bad = |why| ReadError::BadValue {
            line,
            letter: 'D',
            value: d,
            why,
        };
        let kerf_mm = if g.fract() == 0.0 {
            let slots = &self.words.kerf_slots;
            slots
                .iter()
                .find(|(slot, _)| f64::from(*slot) == d)
                .map(|&(_, kerf_mm)| kerf_mm)
                .ok_or_else(|| bad("the machine's table has no such row"))?
        } else {
            d * self.unit_mm.ok_or(ReadError::NoUnit { line })?
        };
        /// No kerf is wider than this.
        const MOST_KERF_MM: f64 = 100.0;
        if !(0.0..=MOST_KERF_MM).contains(&kerf_mm) || kerf_mm == 0.0 {
            return Err(bad("this is no width of a kerf"));
        }
        self.shift = Some(Shift {
            line,
            side: if g < 42.0 { Side::Left } else { Side::Right },
            half_mm: kerf_mm / 2.0,
            from: self.at_mm(),
            step: self.program.steps.len(),
        });
        Ok(())
    }

    /// Turns the path as programmed into the middle of the kerf, and stands where that ends.
    fn shift_ends(&mut self) -> Result<(), ReadError> {
        let Some(shift) = self.shift.take() else {
            return Ok(());
        };
        let read = self.program.steps.split_off(shift.step);
        let moves: Vec<Move> = read
            .iter()
            .filter_map(|step| match step {
                Step::Move(made) => Some(*made),
                _ => None,
            })
            .collect();
        if moves.is_empty() {
            self.program.steps.extend(read);
            return Ok(());
        }
        let from = shift.from.ok_or(ReadError::NoPlace { line: shift.line })?;
        let shifted = offset::shifted(&moves, from, shift.side, shift.half_mm)?;
        // Everything else that was said on the way keeps its place before or after the moves of its line.
        let mut shifted = shifted.into_iter().peekable();
        for step in read {
            match step {
                Step::Move(made) => {
                    while let Some(next) = shifted.next_if(|next| next.line <= made.line) {
                        self.program.steps.push(Step::Move(next));
                    }
                }
                other => self.program.steps.push(other),
            }
        }
        self.program.steps.extend(shifted.map(Step::Move));
        if let (Some(Step::Move(last)), Some(unit)) = (
            self.program
                .steps
                .iter()
                .rfind(|step| matches!(step, Step::Move(_))),
            self.unit_mm,
        ) {
            let at = last.path.to();
            self.at = [Some(at.x / unit), Some(at.y / unit)];
        }
        Ok(())
    }
}
