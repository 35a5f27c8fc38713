//! Checks a file's text against its table of keys, and gives what is in it with places. Every fault of the text is
//! collected; the conversion that follows may then take the shape of what it reads for granted.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::keys::{Key, Kind, NameOf, Shape, Takes};
use super::model::{FileKind, Line, Name, Place, StockSpec, StockThickness, Sum, Told};
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
}

impl<'a> Reader<'a> {
    /// Parses the text and checks it against the keys. The table is what could be read; the wrongs are in the reader.
    pub(crate) fn open(kind: FileKind, text: &'a str, keys: &'static [Key]) -> (Self, Spanned<DeTable<'a>>) {
        let mut reader = Reader {
            kind,
            text,
            bare: None,
            wrongs: Vec::new(),
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
            reader.bare = units_of(table.get_ref());
            reader.check_version(table.get_ref());
            reader.check_table(table.get_ref(), table.span(), keys, "this file");
        }
        (reader, table)
    }

    pub(crate) fn place(&self, span: Range<usize>) -> Place {
        Place {
            file: self.kind,
            span,
        }
    }

    pub(crate) fn wrong(&mut self, span: Range<usize>, says: impl Into<String>) -> &mut Wrong {
        let at = self.place(span);
        self.wrongs.push(Wrong::new(at, says));
        // Just pushed.
        let last = self.wrongs.len() - 1;
        &mut self.wrongs[last]
    }

    fn full(&self) -> bool {
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

    fn check_table(&mut self, table: &DeTable<'_>, whole: Range<usize>, keys: &'static [Key], what: &str) {
        for (name, value) in table {
            if self.full() {
                return;
            }
            match keys.iter().find(|key| key.name == name.get_ref().as_ref()) {
                Some(key) => self.check(value, &key.takes, key.example, key.name),
                None => self.unknown_key(name, keys, what),
            }
        }
        // A key that is there under a mistyped name is told once, where it is mistyped.
        let meant: Vec<&str> = table
            .iter()
            .filter(|(name, _)| keys.iter().all(|key| key.name != name.get_ref().as_ref()))
            .filter_map(|(name, _)| nearest(name.get_ref(), keys.iter().map(|key| key.name)))
            .collect();
        for key in keys
            .iter()
            .filter(|key| key.must && !table.contains_key(key.name) && !meant.contains(&key.name))
        {
            let fix = paste(key);
            let wrong = self.wrong(head(whole.clone()), format!("{what} has no \"{}\"", key.name));
            wrong.expected = Some(key.says.to_owned());
            wrong.fix = Some(fix);
        }
    }

    fn unknown_key(&mut self, name: &Spanned<std::borrow::Cow<'_, str>>, keys: &'static [Key], what: &str) {
        let known = nearest(name.get_ref(), keys.iter().map(|key| key.name));
        let all: Vec<&str> = keys.iter().map(|key| key.name).collect();
        let says = format!("{what} knows no \"{}\"", name.get_ref());
        let wrong = self.wrong(name.span(), says);
        wrong.expected = Some(format!("one of: {}", all.join(", ")));
        wrong.fix = known.map(str::to_owned);
    }

    fn check(&mut self, value: &Value<'_>, takes: &'static Takes, example: &'static str, what: &str) {
        if self.full() {
            return;
        }
        match (takes, value.get_ref()) {
            (Takes::Text, DeValue::String(_)) | (Takes::Flag, DeValue::Boolean(_)) => {}
            (Takes::Number, DeValue::Integer(_) | DeValue::Float(_)) => {
                if self.number(value).is_none() {
                    self.wrong(
                        value.span(),
                        format!("\"{what}\" is not a number that can be used"),
                    );
                }
            }
            (Takes::Whole, DeValue::Integer(_)) => {}
            (Takes::Sum(_), DeValue::Float(_)) if self.number(value).is_none() => {
                let wrong = self.wrong(
                    value.span(),
                    format!("\"{what}\" is not a number that can be used"),
                );
                wrong.expected = Some(kind_words(takes));
            }
            (Takes::Sum(kind), DeValue::String(_) | DeValue::Integer(_) | DeValue::Float(_)) => {
                let told = self.parse_sum(value).and_then(|sum| check_kind(&sum, *kind));
                if let Err(wrong) = told {
                    self.wrongs.push(wrong);
                }
            }
            (Takes::Name, DeValue::String(text)) => {
                if !is_name(text) {
                    self.bad_name(self.inside(value), text);
                }
            }
            (Takes::Line, DeValue::String(text)) => {
                if split_line(text).is_none() {
                    self.bad_line(self.inside(value), text);
                }
            }
            (Takes::Thread, DeValue::String(text)) => {
                if let Err(error) = units::Thread::parse(text) {
                    let span = self.inside(value);
                    self.wrong(span, error.to_string()).expected =
                        Some("a thread such as 5/16-18 or M6".into());
                }
            }
            (Takes::Stock, DeValue::String(text)) => {
                if let Err(error) = units::StockText::parse(text) {
                    let span = self.inside(value);
                    let wrong = self.wrong(span, error.problem.to_string());
                    wrong.expected =
                        Some("metal and thickness, such as \"5052-H32 3/16 in\" or \"304 16 ga\"".into());
                    wrong.fix = error.fixes.first().map(|text| format!("{text:?}"));
                }
            }
            (Takes::Word(words), DeValue::String(text)) => {
                if !words.contains(&text.as_ref()) {
                    let near = nearest(text, words.iter().copied());
                    let span = self.inside(value);
                    let wrong = self.wrong(span, format!("\"{what}\" cannot be \"{text}\""));
                    wrong.expected = Some(format!("one of: {}", words.join(", ")));
                    wrong.fix = near.map(|word| format!("\"{word}\""));
                }
            }
            (Takes::Direction, DeValue::String(_) | DeValue::Array(_)) => {
                if self.direction(value).is_none() {
                    let wrong = self.wrong(value.span(), format!("\"{what}\" is not a direction"));
                    wrong.expected = Some("\"x\", \"-z\" or three numbers that are not all 0".into());
                    wrong.fix = Some(example.to_owned());
                }
            }
            (Takes::Corner, DeValue::String(text)) => {
                if let Err(wrong) = self.parse_corner(value, text) {
                    self.wrongs.push(wrong);
                }
            }
            (Takes::List { of, least, most }, DeValue::Array(items)) => {
                if items.len() < *least || items.len() > *most {
                    let wanted = if least == most {
                        kind_words(takes)
                    } else {
                        format!("{least} to {most} in brackets, each {}", kind_words(of))
                    };
                    let wrong = self.wrong(
                        value.span(),
                        format!("\"{what}\" has {} in its brackets", items.len()),
                    );
                    wrong.expected = Some(wanted);
                    wrong.fix = (!example.is_empty()).then(|| format!("{what} = {example}"));
                }
                for item in items.iter() {
                    self.check(item, of, "", what);
                }
            }
            (Takes::Pair(first, second), DeValue::Array(items)) => {
                match (items.first(), items.get(1), items.len()) {
                    (Some(one), Some(two), 2) => {
                        self.check(one, first, "", what);
                        self.check(two, second, "", what);
                    }
                    _ => {
                        let wrong = self.wrong(
                            value.span(),
                            format!("\"{what}\" has {} in its brackets", items.len()),
                        );
                        wrong.expected =
                            Some(format!("two: {} and {}", kind_words(first), kind_words(second)));
                    }
                }
            }
            (Takes::Table(keys), DeValue::Table(table)) => {
                self.check_table(table, value.span(), keys, &format!("\"{what}\""));
            }
            (Takes::Shapes(shapes), DeValue::Table(table)) => self.check_shapes(table, value, shapes, what),
            (Takes::Named { of, key }, DeValue::Table(table)) => {
                for (name, item) in table {
                    let good = match key {
                        NameOf::Thing => is_name(name.get_ref()),
                        NameOf::Line => split_line(name.get_ref()).is_some(),
                    };
                    if !good {
                        match key {
                            NameOf::Thing => self.bad_name(name.span(), name.get_ref()),
                            NameOf::Line => self.bad_line(name.span(), name.get_ref()),
                        }
                    }
                    self.check(item, of, example, name.get_ref());
                }
            }
            (Takes::Either(options), _) => {
                match options.iter().find(|option| fits_type(option, value.get_ref())) {
                    Some(option) => self.check(value, option, example, what),
                    None => self.wrong_type(value, takes, example, what),
                }
            }
            _ => self.wrong_type(value, takes, example, what),
        }
    }

    fn check_shapes(&mut self, table: &DeTable<'_>, value: &Value<'_>, shapes: &'static [Shape], what: &str) {
        let leads: Vec<&Shape> = shapes
            .iter()
            .filter(|shape| table.contains_key(shape.lead))
            .collect();
        // A lead may also be a plain key of another form ("radius" of a tangent); the form that knows most keys is meant.
        let known = |shape: &Shape| {
            table
                .iter()
                .filter(|(name, _)| shape.keys.iter().any(|key| key.name == name.get_ref().as_ref()))
                .count()
        };
        let best = leads.iter().copied().max_by_key(|shape| known(shape));
        match best {
            Some(shape) => {
                let other = leads.iter().copied().find(|other| {
                    other.lead != shape.lead && !shape.keys.iter().any(|key| key.name == other.lead)
                });
                if let Some(other) = other {
                    let says = format!(
                        "\"{what}\" is said in two ways at once: \"{}\" and \"{}\"",
                        shape.lead, other.lead
                    );
                    let span = table
                        .iter()
                        .find(|(name, _)| name.get_ref().as_ref() == other.lead);
                    let span = span.map_or(value.span(), |(name, _)| name.span());
                    self.wrong(span, says).expected = Some("one of them; take the other out".into());
                    return;
                }
                self.check_table(table, value.span(), shape.keys, &format!("\"{what}\""));
            }
            None => {
                let names: Vec<&str> = shapes.iter().map(|shape| shape.lead).collect();
                let near = table.iter().find_map(|(name, _)| {
                    nearest(name.get_ref(), names.iter().copied()).map(|near| (name.span(), near))
                });
                let fix = shapes.first().map(|shape| {
                    let absent = |key: &&Key| key.must && !table.contains_key(key.name);
                    shape.keys.iter().filter(absent).map(paste).collect()
                });
                let says = format!("\"{what}\" has none of the keys that say what it is");
                let span = near.as_ref().map_or(head(value.span()), |(span, _)| span.clone());
                let wrong = self.wrong(span, says);
                wrong.expected = Some(format!("one of: {}", names.join(", ")));
                wrong.fix = near
                    .map(|(_, near)| near.to_owned())
                    .or(fix.map(|keys: Vec<String>| keys.join(", ")));
            }
        }
    }

    fn wrong_type(&mut self, value: &Value<'_>, takes: &'static Takes, example: &'static str, what: &str) {
        let says = format!("\"{what}\" cannot be {}", type_words(value.get_ref()));
        let wrong = self.wrong(head(value.span()), says);
        wrong.expected = Some(kind_words(takes));
        wrong.fix = match (takes, value.get_ref()) {
            (Takes::List { .. }, DeValue::Table(_)) => Some(format!("[[{what}]]")),
            (Takes::Named { .. }, DeValue::Array(_)) => {
                Some(format!("[{what}.NAME], with a name of your own"))
            }
            (Takes::Name, DeValue::Array(items)) => match items.first().map(|item| item.get_ref()) {
                Some(DeValue::String(first)) => Some(format!("{what} = \"{first}\"")),
                _ => None,
            },
            _ => (!example.is_empty()).then(|| format!("{what} = {example}")),
        };
    }

    fn bad_name(&mut self, span: Range<usize>, text: &str) {
        let tidy: String = text
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '_' })
            .collect();
        let wrong = self.wrong(span, format!("\"{text}\" cannot be a name"));
        wrong.expected = Some("letters, digits and underscores, beginning with a letter".into());
        wrong.fix = is_name(&tidy).then(|| format!("\"{tidy}\""));
    }

    fn bad_line(&mut self, span: Range<usize>, text: &str) {
        let wrong = self.wrong(span, format!("\"{text}\" does not name a line"));
        wrong.expected = Some("two different points with a dash between: \"A-B\"".into());
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

    fn parse_sum(&self, value: &Value<'_>) -> Result<Sum, Wrong> {
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

    fn parse_corner(&self, value: &Value<'_>, text: &str) -> Result<(CornerWord, Sum), Wrong> {
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

/// A place for a whole table would underline half the file; its first character is enough.
fn head(span: Range<usize>) -> Range<usize> {
    span.start..span.end.min(span.start + 1)
}

fn paste(key: &Key) -> String {
    match (&key.takes, key.example) {
        (Takes::Table(keys), "") => {
            let inner: Vec<String> = keys.iter().filter(|key| key.must).map(paste).collect();
            format!("{} = {{ {} }}", key.name, inner.join(", "))
        }
        (Takes::Named { .. }, "") => format!("[{}]", key.name),
        (_, example) => format!("{} = {example}", key.name),
    }
}

fn fits_type(takes: &Takes, value: &DeValue<'_>) -> bool {
    match takes {
        Takes::Text
        | Takes::Name
        | Takes::Line
        | Takes::Thread
        | Takes::Stock
        | Takes::Word(_)
        | Takes::Corner => value.is_str(),
        Takes::Flag => value.is_bool(),
        Takes::Number => value.is_integer() || value.is_float(),
        Takes::Whole => value.is_integer(),
        Takes::Sum(_) => value.is_str() || value.is_integer() || value.is_float(),
        Takes::Direction => value.is_str() || value.is_array(),
        Takes::List { .. } | Takes::Pair(..) => value.is_array(),
        Takes::Table(_) | Takes::Shapes(_) | Takes::Named { .. } => value.is_table(),
        Takes::Either(options) => options.iter().any(|option| fits_type(option, value)),
    }
}

fn type_words(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "words in quotes",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date without quotes",
        DeValue::Array(_) => "a list in brackets",
        DeValue::Table(_) => "a table",
    }
}

fn kind_words(takes: &Takes) -> String {
    match takes {
        Takes::Text => "words in quotes".into(),
        Takes::Flag => "true or false".into(),
        Takes::Number => "a number".into(),
        Takes::Whole => "a whole number".into(),
        Takes::Sum(Kind::Length) => "a length such as \"1-1/8 in\" or \"28.5 mm\"".into(),
        Takes::Sum(Kind::Angle) => "an angle such as \"25 deg\"".into(),
        Takes::Sum(Kind::Mass) => "a mass such as \"0.9 kg\"".into(),
        Takes::Sum(Kind::Any) => "a quantity such as \"28.5 mm\" or \"25 deg\"".into(),
        Takes::Name => "a name in quotes".into(),
        Takes::Line => "a line such as \"A-B\"".into(),
        Takes::Thread => "a thread such as \"M6\" or \"5/16-18\"".into(),
        Takes::Stock => "metal and thickness such as \"5052-H32 3/16 in\"".into(),
        Takes::Word(words) => format!("one of: {}", words.join(", ")),
        Takes::Direction => "a direction such as \"y\" or [0, 1, 0]".into(),
        Takes::Corner => "a corner such as \"round 1/2 in\"".into(),
        Takes::List { of, least, most } if least == most => {
            format!("{least} in brackets, each {}", kind_words(of))
        }
        Takes::List { of, .. } => format!("a list in brackets, each {}", kind_words(of)),
        Takes::Pair(first, second) => {
            format!("in brackets, {} and {}", kind_words(first), kind_words(second))
        }
        Takes::Table(_) => "a table".into(),
        Takes::Shapes(shapes) => {
            let leads: Vec<&str> = shapes.iter().map(|shape| shape.lead).collect();
            format!("a table with one of: {}", leads.join(", "))
        }
        Takes::Named { .. } => "a table of named things".into(),
        Takes::Either(options) => {
            let words: Vec<String> = options.iter().map(kind_words).collect();
            words.join(", or ")
        }
    }
}

fn megabytes(bytes: usize) -> f64 {
    bytes as f64 / f64::from(1 << 20)
}

/// A sum of plain numbers must be of the kind that its key takes; a sum on measures is judged when it is worked out.
fn check_kind(sum: &Sum, kind: Kind) -> Result<(), Wrong> {
    if !sum.value.is_plain() {
        return Ok(());
    }
    let wrong = |says: String, expected: &str| Wrong::new(sum.at.clone(), says).expected(expected);
    let value = match sum.value.eval_in(&std::collections::BTreeMap::new()) {
        Ok(value) => value,
        // Told with its place within the sum when it is worked out.
        Err(_) => return Ok(()),
    };
    let told = match kind {
        Kind::Length => value
            .length_mm()
            .map_err(|error| (error, "a length, as 28.5 mm or 1-1/8 in")),
        Kind::Angle => value.angle_rad().map_err(|error| (error, "an angle, as 25 deg")),
        Kind::Mass => value.mass_kg().map_err(|error| (error, "a mass, as 0.9 kg")),
        Kind::Any => return Ok(()),
    };
    told.map(|_| ())
        .map_err(|(error, expected)| wrong(error.to_string(), expected))
}
