//! The interpreter: modal state, and one line after another in the order that RS274/NGC gives their words.

use plane::{FARTHEST_MM, Point, Segment};

use super::arc::{self, ReadArc};
use super::offset::{self, Side};
use super::read_error::ReadError;
use super::steps::{Move, Place, Program, Step};
use super::words::{Block, LONGEST_PROGRAM_BYTES, Word, block};

/// What this machine's own words mean.
#[derive(Debug, Clone, PartialEq)]
pub struct MachineWords {
    /// Lights the torch, such as `M3` or `M64 P1`.
    pub torch_on: String,
    /// Puts it out.
    pub torch_off: String,
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
enum Motion {
    Rapid,
    Line,
    Arc { counter_clockwise: bool },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Does {
    TorchOn,
    TorchOff,
    Nothing,
}

struct Machine<'a> {
    words: &'a MachineWords,
    switches: Vec<(Vec<Word>, Does)>,
    /// mm in one unit; none before G20 or G21.
    unit_mm: Option<f64>,
    /// G90 or G91; none before either.
    absolute: Option<bool>,
    absolute_centres: bool,
    motion: Option<Motion>,
    feed_mm_min: Option<f64>,
    torch: bool,
    /// Where the program has the torch, in the program's unit.
    at: [Option<f64>; 2],
    z: Option<f64>,
    shift: Option<Shift>,
    ended: bool,
    program: Program,
}

/// A shifted path that is being read.
#[derive(Debug, Clone, Copy)]
struct Shift {
    line: usize,
    side: Side,
    half_mm: f64,
    /// Where the middle of the kerf is when it begins, mm.
    from: Option<Point>,
    /// The first step that belongs to it.
    step: usize,
}

/// The words of a line that are not G or M, each used once.
struct Values {
    line: usize,
    left: Vec<Word>,
}

impl Values {
    fn has(&self, letter: char) -> bool {
        self.left.iter().any(|word| word.letter == letter)
    }

    fn take(&mut self, letter: char) -> Option<f64> {
        let at = self.left.iter().position(|word| word.letter == letter)?;
        Some(self.left.remove(at).value)
    }

    fn need(&mut self, letter: char, word: &'static str, needs: &'static str) -> Result<f64, ReadError> {
        self.take(letter).ok_or(ReadError::Needs {
            line: self.line,
            word,
            needs,
        })
    }
}

/// The G and M words that this interpreter takes, with their modal group (RS274/NGC, NISTIR 6556, table 4; the group of
/// G90.1 and G91.1, which are younger, is their own).
const G_WORDS: [(f64, u8); 20] = [
    (0.0, 1),
    (1.0, 1),
    (2.0, 1),
    (3.0, 1),
    (80.0, 1),
    (4.0, 0),
    (17.0, 2),
    (90.0, 3),
    (91.0, 3),
    (90.1, 4),
    (91.1, 4),
    (94.0, 5),
    (20.0, 6),
    (21.0, 6),
    (40.0, 7),
    (41.0, 7),
    (42.0, 7),
    (41.1, 7),
    (42.1, 7),
    (61.0, 13),
];

impl<'a> Machine<'a> {
    fn new(words: &'a MachineWords) -> Result<Machine<'a>, ReadError> {
        // Line 0 is the machine's own description.
        let words_of = |text: &str| block(0, text).map(|block| block.words);
        let mut switches = vec![
            (words_of(&words.torch_on)?, Does::TorchOn),
            (words_of(&words.torch_off)?, Does::TorchOff),
        ];
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
        let mut values = Values {
            line,
            left: said.values.clone(),
        };
        let does = self.switched(&said, &mut values)?;
        // The order of table 8: feed, torch, dwell, plane, unit, shift, distance, motion, stop. A feed on the line of a
        // unit is in the new unit here, as the motion that uses it is.
        if let Some(g) = said.g_of(6) {
            self.set_unit(if g == 20.0 { 25.4 } else { 1.0 });
        }
        if let Some(feed) = values.take('F') {
            let unit_mm = self.unit_mm.ok_or(ReadError::NoUnit { line })?;
            if feed <= 0.0 {
                return Err(ReadError::BadValue {
                    line,
                    letter: 'F',
                    value: feed,
                    why: "a feed is more than nothing",
                });
            }
            self.feed_mm_min = Some(feed * unit_mm);
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
        if let Some(word) = values.left.first() {
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
    fn switched(&self, said: &Said, values: &mut Values) -> Result<Vec<Does>, ReadError> {
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
                line: values.line,
                letter: 'M',
                value,
            });
        }
        if does.contains(&Does::TorchOn) && does.contains(&Does::TorchOff) {
            return Err(ReadError::SameGroup {
                line: values.line,
                first: self.words.torch_on.clone(),
                second: self.words.torch_off.clone(),
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
                let place = Place {
                    at: self.at_mm(),
                    z_mm: self.z.zip(self.unit_mm).map(|(z, unit)| z * unit),
                };
                self.program.steps.push(Step::TorchOn { line, place });
            }
            Does::TorchOff => {
                self.torch = false;
                self.program.steps.push(Step::TorchOff { line });
            }
            Does::Nothing => {}
        }
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

    fn at_mm(&self) -> Option<Point> {
        match (self.at, self.unit_mm) {
            ([Some(x), Some(y)], Some(unit)) => Some(Point::new(x * unit, y * unit)),
            _ => None,
        }
    }

    fn set_shift(&mut self, line: usize, g: f64, values: &mut Values) -> Result<(), ReadError> {
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

    fn set_motion(&mut self, line: usize, said: &Said, values: &mut Values) -> Result<(), ReadError> {
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

/// The words of a line, sorted.
struct Said {
    /// Number and group of the G words.
    g: Vec<(f64, u8)>,
    /// M words but the end.
    m: Vec<f64>,
    ends: bool,
    values: Vec<Word>,
}

impl Said {
    fn of(block: &Block) -> Result<Said, ReadError> {
        let line = block.line;
        let mut said = Said {
            g: Vec::new(),
            m: Vec::new(),
            ends: false,
            values: Vec::new(),
        };
        for word in &block.words {
            let Word { letter, value } = *word;
            match letter {
                'G' => {
                    let unknown = ReadError::UnknownWord { line, letter, value };
                    let &(_, group) = G_WORDS.iter().find(|(g, _)| *g == value).ok_or(unknown)?;
                    if let Some((first, _)) = said.g.iter().find(|(_, other)| *other == group) {
                        return Err(ReadError::SameGroup {
                            line,
                            first: format!("G{first}"),
                            second: format!("G{value}"),
                        });
                    }
                    said.g.push((value, group));
                }
                'M' if value == 2.0 || value == 30.0 => {
                    if said.ends {
                        return Err(ReadError::Twice { line, letter });
                    }
                    said.ends = true;
                }
                'M' => {
                    if said.m.contains(&value) {
                        return Err(ReadError::Twice { line, letter });
                    }
                    said.m.push(value);
                }
                'D' | 'F' | 'I' | 'J' | 'P' | 'Q' | 'R' | 'S' | 'X' | 'Y' | 'Z' => {
                    if said.values.iter().any(|other| other.letter == letter) {
                        return Err(ReadError::Twice { line, letter });
                    }
                    said.values.push(*word);
                }
                _ => return Err(ReadError::UnknownWord { line, letter, value }),
            }
        }
        Ok(said)
    }

    fn g_of(&self, group: u8) -> Option<f64> {
        self.g.iter().find(|(_, of)| *of == group).map(|(g, _)| *g)
    }

    fn has_g(&self, number: f64) -> bool {
        self.g.iter().any(|(g, _)| *g == number)
    }
}
