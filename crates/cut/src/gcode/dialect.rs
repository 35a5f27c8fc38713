//! What differs from machine to machine in how RS-274 is written: data, so that a shop can say it of its own machine. Only
//! what the writer writes and the reader reads back stands here.

use plane::Point;

use super::switch::{self, OnOff};

/// How words for people stand in the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Comments {
    /// `( like this )`.
    #[default]
    Parentheses,
    /// `; like this`, to the end of the line.
    Semicolon,
    /// Not at all: the machine takes none.
    None,
}

/// The unit of the numbers in the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ProgramUnit {
    /// G21.
    #[default]
    Millimetre,
    /// G20.
    Inch,
}

impl ProgramUnit {
    /// How many mm one unit is.
    #[must_use]
    pub fn in_mm(self) -> f64 {
        match self {
            ProgramUnit::Millimetre => 1.0,
            ProgramUnit::Inch => 25.4,
        }
    }

    /// The word that sets it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            ProgramUnit::Millimetre => "G21",
            ProgramUnit::Inch => "G20",
        }
    }

    /// How far the radii at the two ends of an arc may differ, in this unit: NIST RS274/NGC, NISTIR 6556, 3.5.3.2.
    #[must_use]
    pub fn arc_rule(self) -> f64 {
        match self {
            ProgramUnit::Millimetre => 0.002,
            ProgramUnit::Inch => 0.0002,
        }
    }

    /// The fewest decimals with which every arc keeps the [`arc rule`](Self::arc_rule).
    ///
    /// A number rounded to d decimals is off by at most e = 10^-d / 2, a place by at most e sqrt 2. The centre is
    /// written from the rounded start, so start, end and centre are each off by at most e sqrt 2, each radius by twice
    /// that, and the two radii differ by at most 4 sqrt 2 e: 0.00028 mm with 4 decimals, but 0.0028 mm with 3; and
    /// 0.000028 in with 5 decimals, but 0.00028 in with 4.
    #[must_use]
    pub fn least_decimals_n(self) -> u8 {
        match self {
            ProgramUnit::Millimetre => 4,
            ProgramUnit::Inch => 5,
        }
    }
}

/// How I and J say where the centre of an arc is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ArcCentres {
    /// From the start of the arc, as in RS274/NGC.
    #[default]
    FromStart,
    /// As a place, like X and Y. The machine must be set to read them so.
    Absolute,
}

/// How long an arc may be in one line of the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ArcPieces {
    /// Up to half a turn, so that start and end never coincide.
    #[default]
    HalfTurns,
    /// Up to a quarter turn, for machines that take no more.
    QuarterTurns,
}

impl ArcPieces {
    /// The most that one line turns through, radians.
    #[must_use]
    pub fn most_sweep_rad(self) -> f64 {
        match self {
            ArcPieces::HalfTurns => std::f64::consts::PI,
            ArcPieces::QuarterTurns => std::f64::consts::FRAC_PI_2,
        }
    }
}

/// Who waits until the torch is through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PierceDelay {
    /// The program: `G4 P`, seconds (NISTIR 6556).
    #[default]
    Dwell,
    /// The machine, by its own setting.
    ByMachine,
}

/// Who moves the torch up and down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Heights {
    /// The program, by Z words; Z 0 is the top of the sheet.
    #[default]
    Written,
    /// The machine, by its own height control.
    ByMachine,
}

/// Who shifts the path by half the kerf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Compensation {
    /// The path in the program is the middle of the kerf.
    #[default]
    Here,
    /// The path in the program is the edge of the part; the machine shifts it by G41 or G42 and the width that its table
    /// holds under this number (`D`).
    MachineTable {
        /// The number of the row, from 1.
        slot: u32,
    },
    /// As [`Compensation::MachineTable`], but the width stands in the program: `G41.1 D`, as later machines take it.
    MachineWidth,
}

/// The word that ends the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum EndWord {
    /// M2.
    #[default]
    M2,
    /// M30.
    M30,
}

/// How a machine wants its program. The default is plain RS-274 in mm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dialect {
    /// How comments are written.
    pub comments: Comments,
    /// The unit of the numbers.
    pub unit: ProgramUnit,
    /// Digits after the point.
    pub decimals_n: u8,
    /// What I and J mean.
    pub arc_centres: ArcCentres,
    /// How long one arc may be.
    pub arc_pieces: ArcPieces,
    /// Torch on and off.
    pub torch: OnOff,
    /// Who waits for the pierce.
    pub pierce_delay: PierceDelay,
    /// Who moves Z.
    pub heights: Heights,
    /// Words that let the height control follow the sheet and hold still; none when there are none.
    pub height_control: Option<OnOff>,
    /// Words that lower or fire the marker and lift or stop it; none when the machine has none. The word that ends a mark
    /// may be the torch's own: a beam that marks at less power is put out like one that cuts.
    pub marker: Option<OnOff>,
    /// Step of the line numbers (N words); none for none.
    pub line_numbers: Option<u32>,
    /// Who shifts by half the kerf.
    pub compensation: Compensation,
    /// How the program ends.
    pub end: EndWord,
}

impl Default for Dialect {
    fn default() -> Dialect {
        Dialect {
            comments: Comments::default(),
            unit: ProgramUnit::default(),
            decimals_n: ProgramUnit::default().least_decimals_n(),
            arc_centres: ArcCentres::default(),
            arc_pieces: ArcPieces::default(),
            torch: OnOff::new("M3", "M5"),
            pierce_delay: PierceDelay::default(),
            heights: Heights::default(),
            height_control: None,
            marker: None,
            line_numbers: None,
            compensation: Compensation::default(),
            end: EndWord::default(),
        }
    }
}

/// Why a dialect cannot be written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DialectError {
    /// Arcs would not close within the rule of RS-274.
    #[error("{decimals_n} decimals are too few: arcs need at least {least_n} in this unit")]
    TooFewDecimals {
        /// What the dialect has.
        decimals_n: u8,
        /// What it needs.
        least_n: u8,
    },
    /// More digits than a number can hold.
    #[error("{decimals_n} decimals are more than a machine reads; the most is {most_n}")]
    TooManyDecimals {
        /// What the dialect has.
        decimals_n: u8,
        /// The most.
        most_n: u8,
    },
    /// A switch word is not an M word with a number, or has letters that move the machine.
    #[error("{word:?} is no switch: write an M word such as M3, with P, S or Q after it if it needs one")]
    NoSwitch {
        /// As written.
        word: String,
    },
    /// Two switches have the same word.
    #[error("{word:?} stands for two things")]
    SameWord {
        /// As written.
        word: String,
    },
    /// The marker's word would light the torch, which cuts through.
    #[error("{word:?} would light the torch; the marker needs a word of its own")]
    LightsTorch {
        /// As written.
        word: String,
    },
    /// A switch word ends or pauses the program.
    #[error("{word:?} stops the program; it cannot be a switch")]
    Stops {
        /// As written.
        word: String,
    },
    /// Line numbers do not step.
    #[error("line numbers must step by 1 to {most_n}, not by {step_n}")]
    NoStep {
        /// What the dialect has.
        step_n: u32,
        /// The most.
        most_n: u32,
    },
}

/// Beyond this the digits are noise: a millionth of the unit.
const MOST_DECIMALS_N: u8 = 6;
/// A larger step would soon pass the five digits of a line number (RS274/NGC; value from memory).
const MOST_STEP_N: u32 = 1000;

impl Dialect {
    /// Whether a program can be written so.
    ///
    /// # Errors
    /// [`DialectError`]: what cannot be written.
    pub fn check(&self) -> Result<(), DialectError> {
        let (decimals_n, least_n) = (self.decimals_n, self.unit.least_decimals_n());
        if decimals_n < least_n {
            return Err(DialectError::TooFewDecimals { decimals_n, least_n });
        }
        if decimals_n > MOST_DECIMALS_N {
            return Err(DialectError::TooManyDecimals {
                decimals_n,
                most_n: MOST_DECIMALS_N,
            });
        }
        switch::check(self)?;
        match self.line_numbers {
            Some(step_n) if !(1..=MOST_STEP_N).contains(&step_n) => Err(DialectError::NoStep {
                step_n,
                most_n: MOST_STEP_N,
            }),
            _ => Ok(()),
        }
    }
}

/// Where the machine's zero is on the sheet, in words for the person who sets it.
#[must_use]
pub fn zero_in_words(zero: Point, sheet: [Point; 2]) -> String {
    /// Nobody sets a torch nearer than this to a corner.
    const AT_MM: f64 = 0.05;
    let [low, high] = sheet;
    let near = |a: f64, b: f64| (a - b).abs() <= AT_MM;
    let across = [(low.x, "left"), (high.x, "right")]
        .into_iter()
        .find_map(|(x, side)| near(zero.x, x).then_some(side));
    let up = [(low.y, "lower"), (high.y, "upper")]
        .into_iter()
        .find_map(|(y, side)| near(zero.y, y).then_some(side));
    if let (Some(up), Some(across)) = (up, across) {
        return format!("the {up} {across} corner of the sheet");
    }
    let off = zero - low;
    let way = |mm: f64, plus: &str, minus: &str| {
        let side = if mm < 0.0 { minus } else { plus };
        format!("{:.1} mm {side}", mm.abs())
    };
    format!(
        "{} and {} the lower left corner of the sheet",
        way(off.x, "to the right of", "to the left of"),
        way(off.y, "above", "below")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_plain_dialect_can_be_written_and_too_few_decimals_cannot() {
        assert_eq!(Dialect::default().check(), Ok(()));
        let coarse = Dialect {
            decimals_n: 3,
            ..Dialect::default()
        };
        assert!(matches!(
            coarse.check(),
            Err(DialectError::TooFewDecimals { least_n: 4, .. })
        ));
        let inch = Dialect {
            unit: ProgramUnit::Inch,
            ..Dialect::default()
        };
        assert!(matches!(
            inch.check(),
            Err(DialectError::TooFewDecimals { least_n: 5, .. })
        ));
    }

    #[test]
    fn the_fewest_decimals_keep_the_published_arc_rule_and_one_fewer_does_not() {
        for (id, unit) in [("J001", ProgramUnit::Inch), ("J002", ProgramUnit::Millimetre)] {
            published::row(id).check(unit.arc_rule());
            let worst = |decimals: i32| 4.0 * std::f64::consts::SQRT_2 * 10f64.powi(-decimals) / 2.0;
            let least = i32::from(unit.least_decimals_n());
            assert!(worst(least) < unit.arc_rule(), "{unit:?}");
            assert!(worst(least - 1) > unit.arc_rule(), "{unit:?}");
        }
    }

    #[test]
    fn zero_is_told_by_the_nearest_corner_or_from_the_lower_left() {
        let sheet = [Point::new(0.0, 0.0), Point::new(1250.0, 2500.0)];
        assert_eq!(
            zero_in_words(sheet[0], sheet),
            "the lower left corner of the sheet"
        );
        assert_eq!(
            zero_in_words(Point::new(1250.0, 0.0), sheet),
            "the lower right corner of the sheet"
        );
        assert_eq!(
            zero_in_words(Point::new(10.0, -5.0), sheet),
            "10.0 mm to the right of and 5.0 mm below the lower left corner of the sheet"
        );
    }
}
