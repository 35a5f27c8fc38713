//! Drill sizes by number, letter, fraction and mm.

use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use thiserror::Error;

use crate::dim::Dim;
use crate::expr::Expr;
use crate::nearest::nearest;
use crate::quantity::Quantity;
use crate::unit::LengthUnit;

/// A drill by the name on its shank.
///
/// ```
/// use units::DrillSize;
///
/// assert_eq!(DrillSize::parse("#7")?.dia_mm(), 5.1054);
/// assert_eq!(DrillSize::parse("letter F")?.to_string(), "F");
/// assert_eq!(DrillSize::parse("1/4 in")?.dia_mm(), 6.35);
/// assert_eq!(DrillSize::parse("6,8 mm")?.dia_mm(), 6.8);
/// # Ok::<(), units::DrillSizeError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct DrillSize {
    name: String,
    dia_mm: f64,
    confirmed: bool,
}

/// A text that is no drill size.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DrillSizeError {
    /// It is not written as a drill size.
    #[error("`{text}` is not a drill size; write it as #7, F, 1/4 in or 6.8 mm{}", or_near(.near))]
    NotADrill {
        /// The text.
        text: String,
        /// The nearest numbered or lettered drill, by its name.
        near: Option<String>,
    },
    /// A number beyond those that are made.
    #[error("numbered drills run from #1 to #80, and this is #{number}")]
    NoSuchNumber {
        /// The number.
        number: u32,
    },
    /// A number with neither `#` nor unit.
    #[error("`{text}` can be a drill number, inches or mm: write #{text}, {text} in or {text} mm")]
    NoUnit {
        /// The text.
        text: String,
    },
    /// A diameter of zero or less.
    #[error("a drill's diameter is more than zero")]
    NotPositive,
}

fn or_near(near: &Option<String>) -> String {
    near.as_ref()
        .map(|name| format!("; the nearest is {name}"))
        .unwrap_or_default()
}

struct Row {
    name: String,
    dia_in: f64,
    confirmed: bool,
}

/// The numbered and lettered drills.
static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
    csv::Reader::from_reader(include_bytes!("drill_sizes.csv").as_slice())
        .records()
        .map(|record| {
            let record = record.ok()?;
            let confirmed = record.get(3)? == "confirmed";
            Some(Row {
                name: record.get(0)?.to_owned(),
                dia_in: record.get(1)?.parse().ok()?,
                confirmed,
            })
        })
        .collect::<Option<_>>()
        .expect("drill_sizes.csv is compiled in and every row of it is whole")
});

impl Row {
    fn drill(&self) -> DrillSize {
        DrillSize {
            name: self.name.clone(),
            dia_mm: LengthUnit::In.to_mm(self.dia_in),
            confirmed: self.confirmed,
        }
    }
}

impl DrillSize {
    /// Reads `#7`, `No. 7`, `F`, `letter F`, or a length with its unit.
    pub fn parse(text: &str) -> Result<Self, DrillSizeError> {
        let said = text.trim();
        let lower = said.to_lowercase();
        let number = ["#", "no.", "no", "number"]
            .into_iter()
            .find_map(|word| lower.strip_prefix(word));
        if let Some(number) = number.and_then(|digits| digits.trim().parse::<u32>().ok()) {
            let name = format!("#{number}");
            return listed(&name).ok_or(DrillSizeError::NoSuchNumber { number });
        }
        let letter = lower
            .strip_prefix("letter")
            .unwrap_or(&lower)
            .trim()
            .to_uppercase();
        if let Some(drill) = listed(&letter) {
            return Ok(drill);
        }
        let quantity = Expr::parse(said, None)
            .ok()
            .filter(Expr::is_plain)
            .and_then(|sum| sum.value().ok());
        match quantity.map(|quantity| (quantity, quantity.length_mm())) {
            Some((_, Ok(dia_mm))) if dia_mm > 0.0 => Ok(Self {
                name: said.to_owned(),
                dia_mm,
                confirmed: true,
            }),
            Some((_, Ok(_))) => Err(DrillSizeError::NotPositive),
            Some((Quantity { dim: Dim::NUMBER, .. }, Err(_))) => Err(DrillSizeError::NoUnit {
                text: said.to_owned(),
            }),
            _ => {
                let near = nearest(said, ROWS.iter().map(|row| row.name.as_str())).map(str::to_owned);
                Err(DrillSizeError::NotADrill {
                    text: said.to_owned(),
                    near,
                })
            }
        }
    }

    /// The numbered and lettered drills, largest number first: #1 to #80, then A to Z.
    pub fn listed() -> impl Iterator<Item = Self> {
        ROWS.iter().map(Row::drill)
    }

    /// The diameter, in mm.
    pub fn dia_mm(&self) -> f64 {
        self.dia_mm
    }

    /// Is its diameter said in the text, or read from a row that was checked against a printed table? If not, the row is
    /// from memory.
    pub fn is_confirmed(&self) -> bool {
        self.confirmed
    }
}

fn listed(name: &str) -> Option<DrillSize> {
    ROWS.iter().find(|row| row.name == name).map(Row::drill)
}

/// The name on its shank.
impl fmt::Display for DrillSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}

impl FromStr for DrillSize {
    type Err = DrillSizeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_letters_each_fall_or_rise_without_a_break() {
        let sizes: Vec<DrillSize> = DrillSize::listed().collect();
        assert_eq!(sizes.len(), 80 + 26);
        assert!(
            sizes[..80]
                .windows(2)
                .all(|pair| pair[0].dia_mm() > pair[1].dia_mm())
        );
        assert!(
            sizes[80..]
                .windows(2)
                .all(|pair| pair[0].dia_mm() < pair[1].dia_mm())
        );
        assert!(sizes[80].dia_mm() > sizes[0].dia_mm(), "A is the next above #1");
    }

    #[test]
    fn every_listed_drill_reads_back_by_its_name() {
        for drill in DrillSize::listed() {
            assert_eq!(DrillSize::parse(&drill.to_string()), Ok(drill));
        }
    }

    #[test]
    fn a_letter_and_a_number_are_read_however_they_are_called() {
        for (text, name) in [
            ("No. 7", "#7"),
            ("# 7", "#7"),
            ("number 7", "#7"),
            ("f", "F"),
            ("Letter f", "F"),
        ] {
            assert_eq!(
                DrillSize::parse(text).map(|drill| drill.to_string()),
                Ok(name.to_owned()),
                "{text}"
            );
        }
    }

    #[test]
    fn a_bare_number_is_not_guessed() {
        let says = DrillSize::parse("7").expect_err("#7 or 7 mm?").to_string();
        assert_eq!(
            says,
            "`7` can be a drill number, inches or mm: write #7, 7 in or 7 mm"
        );
        assert_eq!(
            DrillSize::parse("#81"),
            Err(DrillSizeError::NoSuchNumber { number: 81 })
        );
        assert_eq!(DrillSize::parse("-3 mm"), Err(DrillSizeError::NotPositive));
        assert!(DrillSize::parse("3 kg").is_err());
    }
}
