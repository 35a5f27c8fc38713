//! The interpreter: modal state, and one line after another in the order that RS274/NGC gives their words.

use plane::Point;

use super::motion::Motion;
use super::read_error::ReadError;
use super::said::{Said, Values};
use super::shift::Shift;
use super::steps::{Place, Program, Step};
use super::words::{Block, LONGEST_PROGRAM_BYTES, Word, block};

/// What this machine's own words mean.
#[derive(Debug, Clone, PartialEq)]
pub struct MachineWords {
    /// Lights the torch, such as `M3` or `M64 P1`.
    pub torch_on: String,
    /// Puts it out.
    pub torch_off: String,
    /// Lower or fire the marker, and lift or stop it; none where nothing may mark, and then these words are not known.
    pub marker: Option<[String; 2]>,
    /// Words that move nothing and cut nothing.
    pub harmless: Vec<String>,
    /// Whether I and J are places, and not told from the start of the arc, until G90.1 or G91.1 says otherwise.
    pub absolute_centres: bool,
    /// Rows of the machine's table of kerfs: number and width, mm.
    pub kerf_slots: Vec<(u32, f64)>,
}

impl Default for MachineWords {
    fn default() -> MachineWords {
        MachineWords {
            torch_on: "M3".to_owned(),
            torch_off: "M5".to_owned(),
            marker: None,
            harmless: Vec::new(),
            absolute_centres: false,
            kerf_slots: Vec::new(),
        }
    }
}

/// Reads a whole program. Places are in mm from the machine's zero.
///
/// # Errors
/// [`ReadError`] with the first line that cannot be read.
pub fn read_program(text: &str, words: &MachineWords) -> Result<Program, ReadError> {
    if text.len() > LONGEST_PROGRAM_BYTES {
        return Err(ReadError::TooLong {
            bytes: text.len(),
            most: LONGEST_PROGRAM_BYTES,
        });
    }
    let mut machine = Machine::new(words)?;
    let mut last = 0;
    for (i, row) in text.lines().enumerate() {
        last = i + 1;
        machine.line(&block(last, row)?)?;
    }
    if machine.ended {
        Ok(machine.program)
    } else {
        Err(ReadError::NoEnd { line: last })
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Does {
    TorchOn,
    TorchOff,
    MarkerOn,
    MarkerOff,
    Nothing,
}

/// The state of the machine while a program is read.
pub(super) struct Machine<'a> {
    pub(super) words: &'a MachineWords,
    switches: Vec<(Vec<Word>, Does)>,
    /// mm in one unit; none before G20 or G21.
    pub(super) unit_mm: Option<f64>,
    /// G90 or G91; none before either.
    pub(super) absolute: Option<bool>,
    pub(super) absolute_centres: bool,
    pub(super) motion: Option<Motion>,
    pub(super) feed_mm_min: Option<f64>,
    pub(super) torch: bool,
    /// Where the program has the torch, in the program's unit.
    pub(super) at: [Option<f64>; 2],
    pub(super) z: Option<f64>,
    pub(super) shift: Option<Shift>,
    ended: bool,
    pub(super) program: Program,
}

impl<'a> Machine<'a> {
    fn new(words: &'a MachineWords) -> Result<Machine<'a>, ReadError> {
        // Line 0 is the machine's own description.
        let words_of = |text: &str| block(0, text).map(|block| block.words);
        let mut switches = vec![
            (words_of(&words.torch_on)?, Does::TorchOn),
            (words_of(&words.torch_off)?, Does::TorchOff),
        ];
        if let Some([on, off]) = &words.marker {
            switches.push((words_of(on)?, Does::MarkerOn));
            switches.push((words_of(off)?, Does::MarkerOff));
        }
        for harmless in &words.harmless {
            switches.push((words_of(harmless)?, Does::Nothing));
        }
        Ok(Machine {
            words,
            switches,
            unit_mm: None,
            absolute: None,
            absolute_centres: words.absolute_centres,
            motion: None,
            feed_mm_min: None,
            torch: false,
            at: [None; 2],
            z: None,
            shift: None,
            ended: false,
            program: Program::default(),
        })
    }

    fn line(&mut self, block: &Block) -> Result<(), ReadError> {
        let line = block.line;
        if block.words.is_empty() {
            return Ok(());
        }
        if self.ended {
            return Err(ReadError::AfterEnd { line });
        }
        let said = Said::of(block)?;
        let mut values = said.values_of(line);
        let does = self.switched(line, &said, &mut values)?;
        // The order of table 8: feed, torch, dwell, plane, unit, shift, distance, motion, stop.
        if let Some(feed) = values.take('F') {
            self.set_feed(line, feed, said.g_of(6).is_some())?;
        }
        for does in does {
            self.switch(line, does)?;
        }
        if said.has_g(4.0) {
            let s = values.need('P', "G4", "P, the seconds")?;
            if s < 0.0 {
                return Err(ReadError::BadValue {
                    line,
                    letter: 'P',
                    value: s,
                    why: "nobody waits for less than nothing",
                });
            }
            self.program.steps.push(Step::Dwell { line, s });
        }
        if let Some(g) = said.g_of(6) {
            self.set_unit(if g == 20.0 { 25.4 } else { 1.0 });
        }
        if let Some(g) = said.g_of(7) {
            self.set_shift(line, g, &mut values)?;
        }
        if let Some(g) = said.g_of(3) {
            self.absolute = Some(g == 90.0);
        }
        if let Some(g) = said.g_of(4) {
            self.absolute_centres = g == 90.1;
        }
        self.set_motion(line, &said, &mut values)?;
        if let Some(word) = values.first_left() {
            return Err(ReadError::Unused {
                line,
                letter: word.letter,
            });
        }
        if said.ends {
            self.end(line)?;
        }
        Ok(())
    }

    /// What the M words of the line do, in the order torch off, torch on, others.
    fn switched(&self, line: usize, said: &Said, values: &mut Values) -> Result<Vec<Does>, ReadError> {
        let mut does = Vec::new();
        let mut known: Vec<f64> = Vec::new();
        for (words, what) in &self.switches {
            let all = words.iter().all(|word| match word.letter {
                'M' => said.m.contains(&word.value),
                _ => said.values.contains(word),
            });
            if words.is_empty() || !all {
                continue;
            }
            for word in words {
                match word.letter {
                    'M' => known.push(word.value),
                    // A dwell's own P is not the switch's.
                    letter => {
                        values.take(letter);
                    }
                }
            }
            does.push(*what);
        }
        if let Some(&value) = said.m.iter().find(|m| !known.contains(m)) {
            return Err(ReadError::UnknownWord {
                line,
                letter: 'M',
                value,
            });
        }
        if does.contains(&Does::TorchOn) && does.contains(&Does::TorchOff) {
            return Err(ReadError::SameGroup {
                line,
                first: self.words.torch_on.clone(),
                second: self.words.torch_off.clone(),
            });
        }
        if let Some([on, off]) = &self.words.marker
            && does.contains(&Does::MarkerOn)
            && does.contains(&Does::MarkerOff)
        {
            return Err(ReadError::SameGroup {
                line,
                first: on.clone(),
                second: off.clone(),
            });
        }
        Ok(does)
    }

    fn switch(&mut self, line: usize, does: Does) -> Result<(), ReadError> {
        match does {
            Does::TorchOn => {
                if self.shift.is_some() {
                    return Err(ReadError::NoShift {
                        line,
                        why: "the torch must be lit before the shift begins",
                    });
                }
                self.torch = true;
                let place = self.place();
                self.program.steps.push(Step::TorchOn { line, place });
            }
            Does::TorchOff => {
                self.torch = false;
                self.program.steps.push(Step::TorchOff { line });
            }
            Does::MarkerOn => {
                if self.shift.is_some() {
                    return Err(ReadError::NoShift {
                        line,
                        why: "nothing is marked within it",
                    });
                }
                let place = self.place();
                self.program.steps.push(Step::MarkerOn { line, place });
            }
            Does::MarkerOff => self.program.steps.push(Step::MarkerOff { line }),
            Does::Nothing => {}
        }
        Ok(())
    }

    fn place(&self) -> Place {
        Place {
            at: self.at_mm(),
            z_mm: self.z.zip(self.unit_mm).map(|(z, unit)| z * unit),
        }
    }

    fn set_feed(&mut self, line: usize, feed: f64, unit_said: bool) -> Result<(), ReadError> {
        let bad = |why| ReadError::BadValue {
            line,
            letter: 'F',
            value: feed,
            why,
        };
        if unit_said {
            // By the order of words it would be read in the unit before, which nobody means.
            return Err(bad("a feed does not stand on the line that sets its unit"));
        }
        if feed <= 0.0 {
            return Err(bad("a feed is more than nothing"));
        }
        self.feed_mm_min = Some(feed * self.unit_mm.ok_or(ReadError::NoUnit { line })?);
        Ok(())
    }

    fn set_unit(&mut self, unit_mm: f64) {
        if let Some(before) = self.unit_mm {
            let scale = before / unit_mm;
            for length in self.at.iter_mut().chain([&mut self.z]).flatten() {
                *length *= scale;
            }
        }
        self.unit_mm = Some(unit_mm);
    }

    pub(super) fn at_mm(&self) -> Option<Point> {
        match (self.at, self.unit_mm) {
            ([Some(x), Some(y)], Some(unit)) => Some(Point::new(x * unit, y * unit)),
            _ => None,
        }
    }

    /// The machine stops: the torch goes off with it, motion falls back to G1 and distances to G90 (NISTIR 6556).
    fn end(&mut self, line: usize) -> Result<(), ReadError> {
        if let Some(shift) = self.shift {
            return Err(ReadError::NoShift {
                line: shift.line,
                why: "nothing ends it",
            });
        }
        self.program.steps.push(Step::End {
            line,
            torch: self.torch,
        });
        self.motion = Some(Motion::Line);
        self.absolute = Some(true);
        self.ended = true;
        Ok(())
    }
}
