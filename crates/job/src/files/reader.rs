//! Checks a file's text against its table of keys, and gives what is in it with places. Every fault of the text is
//! collected; the conversion that follows may then take the shape of what it reads for granted.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::keys::Key;
use super::model::{FileKind, Line, Name, Place, StockSpec, StockThickness, Sum, Told};
use super::rate::Rate;
use super::wrong::{Wrong, nearest};

/// A file larger than this is not one of ours: the largest real design is some thousand lines.
const LARGEST_FILE_BYTES: usize = 4 << 20;
/// After so many faults the rest would only bury the first ones.
const MOST_WRONGS: usize = 200;

/// A table of the file.
pub(crate) type Table<'a> = DeTable<'a>;
/// A value of the file.
pub(crate) type Value<'a> = Spanned<DeValue<'a>>;

/// Reads one file.
pub(crate) struct Reader<'a> {
    kind: FileKind,
    text: &'a str,
    /// The unit of a bare number, when the file declares one.
    pub(crate) bare: Option<units::LengthUnit>,
    /// Everything found wrong so far.
    pub(crate) wrongs: Vec<Wrong>,
    /// All places are given as the start of the file: two texts that say the same then read the same.
    pub(super) nowhere: bool,
}

impl<'a> Reader<'a> {
    /// Parses the text and checks it against the keys. The table is what could be read; the wrongs are in the reader.
    pub(crate) fn open(kind: FileKind, text: &'a str, keys: &'static [Key]) -> (Self, Spanned<DeTable<'a>>) {
        let mut reader = Reader {
            kind,
            text,
            bare: None,
            wrongs: Vec::new(),
            nowhere: false,
        };
        if text.len() > LARGEST_FILE_BYTES {
            let at = reader.place(0..0);
            reader.wrongs.push(
                Wrong::new(
                    at,
                    format!(
                        "this file is {:.1} MB large and is not read",
                        megabytes(text.len())
                    ),
                )
                .expected(format!(
                    "a job file of at most {:.0} MB",
                    megabytes(LARGEST_FILE_BYTES)
                )),
            );
            return (reader, Spanned::new(0..0, DeTable::new()));
        }
        let (table, errors) = DeTable::parse_recoverable(text);
        reader.wrongs = super::syntax::wrongs(kind, text, &errors);
        if errors.is_empty() {
            reader.bare = bare_in(table.get_ref());
            reader.check_version(table.get_ref());
            reader.check_table(table.get_ref(), table.span(), keys, "this file");
        }
        (reader, table)
    }

    /// Holds against the keys what the parser could make of a text with faults of its own.
    pub(super) fn look_again(&mut self, table: &DeTable<'_>, whole: Range<usize>, keys: &'static [Key]) {
        self.bare = bare_in(table);
        self.check_table(table, whole, keys, "this file");
    }

    pub(crate) fn place(&self, span: Range<usize>) -> Place {
        Place {
            file: self.kind,
            span: if self.nowhere { 0..0 } else { span },
        }
    }

    pub(crate) fn wrong(&mut self, span: Range<usize>, says: impl Into<String>) -> &mut Wrong {
        let at = self.place(span);
        self.wrongs.push(Wrong::new(at, says));
        // Just pushed.
        let last = self.wrongs.len() - 1;
        &mut self.wrongs[last]
    }

    pub(super) fn full(&self) -> bool {
        self.wrongs.len() >= MOST_WRONGS
    }

    fn check_version(&mut self, table: &DeTable<'_>) {
        if let Some(value) = table.get("gusset")
            && let Some(number) = value.get_ref().as_integer()
            && number.as_str() != "1"
        {
            let says = format!(
                "this file is of form {}, which this program does not know",
                number.as_str()
            );
            let wrong = self.wrong(value.span(), says);
            wrong.expected = Some("form 1; a newer gusset reads newer forms".into());
            wrong.fix = Some("gusset = 1".into());
        }
    }

    /// The bytes between a string's quotes, or the whole value when it is no plain string.
    pub(crate) fn inside(&self, value: &Value<'_>) -> Range<usize> {
        let span = value.span();
        let raw = self.text.get(span.clone()).unwrap_or("");
        let quoted = raw.len() >= 2 && (raw.starts_with('"') || raw.starts_with('\''));
        if quoted && !raw.starts_with("\"\"\"") && !raw.starts_with("'''") {
            span.start + 1..span.end - 1
        } else {
            span
        }
    }

    pub(super) fn parse_sum(&self, value: &Value<'_>) -> Result<Sum, Wrong> {
        let span = self.inside(value);
        let typed;
        let text = match value.get_ref() {
            DeValue::String(text) => text.as_ref(),
            _ => {
                typed = self.text.get(value.span()).unwrap_or("").replace('_', "");
                typed.as_str()
            }
        };
        match units::Expr::parse(text, self.bare) {
            Ok(expr) => Ok(Told {
                value: expr,
                at: self.place(span),
            }),
            Err(error) => {
                let (from, to) = (error.at.start.min(span.len()), error.at.end.min(span.len()));
                let within = self.place(span.start + from..span.start + to);
                let mut wrong = Wrong::new(within, error.problem.to_string()).expected(error.expected());
                wrong.fix = error.fixes.first().map(|text| format!("{text:?}"));
                Err(wrong)
            }
        }
    }

    pub(super) fn parse_corner(&self, value: &Value<'_>, text: &str) -> Result<(CornerWord, Sum), Wrong> {
        let span = self.inside(value);
        let trimmed = text.trim_start();
        let (word, rest) = trimmed.split_once(' ').unwrap_or((trimmed, ""));
        let kind = match word {
            "round" => CornerWord::Round,
            "chamfer" => CornerWord::Chamfer,
            "notch" => CornerWord::Notch,
            _ => {
                let mut wrong = Wrong::new(self.place(span), format!("a corner cannot be \"{text}\""))
                    .expected("round, chamfer or notch, and a length: \"round 1/2 in\"");
                wrong.fix =
                    nearest(word, ["round", "chamfer", "notch"]).map(|near| format!("\"{near} {rest}\""));
                return Err(wrong);
            }
        };
        let start = span.start + (text.len() - rest.len()).min(span.len());
        match units::Expr::parse(rest, self.bare) {
            Ok(expr) => Ok((
                kind,
                Told {
                    value: expr,
                    at: self.place(start..span.end),
                },
            )),
            Err(error) => {
                let within = self.place(start + error.at.start..start + error.at.end);
                let mut wrong = Wrong::new(within, error.problem.to_string()).expected(error.expected());
                wrong.fix = error
                    .fixes
                    .first()
                    .map(|text| format!("{:?}", format!("{word} {text}")));
                Err(wrong)
            }
        }
    }

    // What follows reads values whose form has been checked; each gives None only where a wrong was already recorded.

    pub(crate) fn sum(&self, value: &Value<'_>) -> Option<Sum> {
        self.parse_sum(value).ok()
    }

    pub(crate) fn corner(&self, value: &Value<'_>) -> Option<(CornerWord, Sum)> {
        self.parse_corner(value, value.get_ref().as_str()?).ok()
    }

    pub(crate) fn name(&self, value: &Value<'_>) -> Option<Name> {
        Some(Told {
            value: value.get_ref().as_str()?.to_owned(),
            at: self.place(self.inside(value)),
        })
    }

    pub(crate) fn line(&self, value: &Value<'_>) -> Option<Line> {
        let (a, b) = split_line(value.get_ref().as_str()?)?;
        Some(Told {
            value: [a.to_owned(), b.to_owned()],
            at: self.place(self.inside(value)),
        })
    }

    pub(crate) fn thread(&self, value: &Value<'_>) -> Option<Told<units::Thread>> {
        let thread = units::Thread::parse(value.get_ref().as_str()?).ok()?;
        Some(Told {
            value: thread,
            at: self.place(self.inside(value)),
        })
    }

    pub(crate) fn stock(&self, value: &Value<'_>) -> Option<StockSpec> {
        let text = value.get_ref().as_str()?;
        let stock = units::StockText::parse(text).ok()?;
        let thickness = match stock.thickness {
            units::StockThickness::Mm(mm) => StockThickness::Mm(mm),
            units::StockThickness::Gauge(gauge) => StockThickness::Gauge(gauge.number()),
        };
        Some(StockSpec {
            text: self.name(value)?,
            metal: stock.metal,
            thickness,
        })
    }

    pub(crate) fn number(&self, value: &Value<'_>) -> Option<f64> {
        let raw = self.text.get(value.span())?.replace('_', "");
        raw.parse::<f64>().ok().filter(|number| number.is_finite())
    }

    pub(crate) fn told_number(&self, value: &Value<'_>) -> Option<Told<f64>> {
        Some(Told {
            value: self.number(value)?,
            at: self.place(value.span()),
        })
    }

    pub(super) fn rate(&self, value: &Value<'_>, rate: Rate) -> Option<Told<f64>> {
        Some(Told {
            value: rate.parse(value.get_ref().as_str()?, self.bare)?,
            at: self.place(self.inside(value)),
        })
    }

    pub(super) fn speed(&self, value: &Value<'_>) -> Option<Told<f64>> {
        self.rate(value, Rate::Speed)
    }

    pub(super) fn acceleration(&self, value: &Value<'_>) -> Option<Told<f64>> {
        self.rate(value, Rate::Acceleration)
    }

    pub(super) fn time(&self, value: &Value<'_>) -> Option<Told<f64>> {
        self.rate(value, Rate::Time)
    }

    pub(crate) fn direction(&self, value: &Value<'_>) -> Option<Told<[f64; 3]>> {
        let at = self.place(self.inside(value));
        let vector = match value.get_ref() {
            DeValue::String(text) => match text.as_ref() {
                "x" | "+x" => [1.0, 0.0, 0.0],
                "y" | "+y" => [0.0, 1.0, 0.0],
                "z" | "+z" => [0.0, 0.0, 1.0],
                "-x" => [-1.0, 0.0, 0.0],
                "-y" => [0.0, -1.0, 0.0],
                "-z" => [0.0, 0.0, -1.0],
                _ => return None,
            },
            DeValue::Array(items) if items.len() == 3 => {
                let mut vector = [0.0; 3];
                for (slot, item) in vector.iter_mut().zip(items.iter()) {
                    *slot = self.number(item)?;
                }
                let length = vector.iter().map(|v| v * v).sum::<f64>().sqrt();
                if length < SHORTEST_DIRECTION {
                    return None;
                }
                vector.map(|v| v / length)
            }
            _ => return None,
        };
        Some(Told { value: vector, at })
    }
}

/// A direction shorter than this was not meant as one.
const SHORTEST_DIRECTION: f64 = 1e-9;

/// The first word of a corner's treatment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CornerWord {
    Round,
    Chamfer,
    Notch,
}

/// Letters, digits, underscores; a letter first.
pub(crate) fn is_name(text: &str) -> bool {
    text.chars()
        .next()
        .is_some_and(|first| first.is_ascii_alphabetic())
        && text.chars().all(|c| c.is_ascii_alphanumeric() || c == '_')
        && text.len() <= 64
}

/// "A-B" as its two points.
pub(crate) fn split_line(text: &str) -> Option<(&str, &str)> {
    let (a, b) = text.split_once('-')?;
    let (a, b) = (a.trim(), b.trim());
    (is_name(a) && is_name(b) && a != b).then_some((a, b))
}

/// The unit of a bare number in a file, as its text says it; none where it says none, or is no TOML.
pub(crate) fn unit_of_file(text: &str) -> Option<units::LengthUnit> {
    units_of(DeTable::parse(text).ok()?.get_ref())
}

/// What a bare number is read in. Where the file names a unit that is none, that is told once, and not again of every number:
/// nothing is made of them.
fn bare_in(table: &DeTable<'_>) -> Option<units::LengthUnit> {
    let said = table.get("units");
    said.map(|_| units_of(table).unwrap_or(units::LengthUnit::Mm))
}

fn units_of(table: &DeTable<'_>) -> Option<units::LengthUnit> {
    Some(match table.get("units")?.get_ref().as_str()? {
        "mm" => units::LengthUnit::Mm,
        "cm" => units::LengthUnit::Cm,
        "m" => units::LengthUnit::M,
        "in" => units::LengthUnit::In,
        "ft" => units::LengthUnit::Ft,
        _ => return None,
    })
}

fn megabytes(bytes: usize) -> f64 {
    bytes as f64 / f64::from(1 << 20)
}
