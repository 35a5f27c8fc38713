//! Screw threads by their size.

use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use crate::nearest::nearest;
use crate::unit::MM_PER_INCH;

/// A screw thread of the metric (ISO 261) or unified (UNC, UNF) series.
///
/// ```
/// use units::Thread;
///
/// let bolt = Thread::parse("5/16-18 UNC")?;
/// assert_eq!(bolt.designation(), "5/16-18");
/// assert_eq!(bolt.nominal_mm(), 7.9375);
///
/// let coarse = Thread::parse("M6")?;
/// assert_eq!(coarse, Thread::parse("M6 x 1")?);
/// assert_eq!(coarse.pitch_mm(), 1.0);
///
/// let wrong = Thread::parse("M6x0.8").unwrap_err();
/// assert_eq!(wrong.to_string(), "there is no thread M6x0.8; the nearest is M6x0.75");
/// # Ok::<(), units::ThreadError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    row: &'static Row,
}

/// The series that a thread belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ThreadSeries {
    /// ISO metric, coarse pitch.
    MetricCoarse,
    /// ISO metric, a fine pitch.
    MetricFine,
    /// Unified coarse, UNC.
    UnifiedCoarse,
    /// Unified fine, UNF.
    UnifiedFine,
}

/// A text that is no thread of the tables.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreadError {
    /// The text.
    pub text: String,
    /// What is wrong with it.
    pub problem: ThreadProblem,
    /// The nearest thread of the tables, if one is near.
    pub nearest: Option<Thread>,
}

/// What is wrong with a thread's name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ThreadProblem {
    /// It is not written as a thread.
    NotAThread,
    /// It is written as a thread, and no table has it.
    NotListed,
    /// An inch size without its threads per inch.
    NoPitch,
    /// UNC is said of a fine thread, or UNF of a coarse one.
    OtherSeries,
}

#[derive(Debug, PartialEq)]
struct Row {
    designation: String,
    series: ThreadSeries,
    nominal_mm: f64,
    pitch_mm: f64,
    per_inch: Option<f64>,
    source: String,
    confirmed: bool,
}

static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
    csv::Reader::from_reader(include_bytes!("threads.csv").as_slice())
        .records()
        .map(|record| record.ok().as_ref().and_then(row))
        .collect::<Option<_>>()
        .expect("threads.csv is compiled in and every row of it is whole")
});

fn row(record: &csv::StringRecord) -> Option<Row> {
    let number = |column: usize| record.get(column)?.parse::<f64>().ok();
    let series = match record.get(1)? {
        "metric coarse" => ThreadSeries::MetricCoarse,
        "metric fine" => ThreadSeries::MetricFine,
        "unified coarse" => ThreadSeries::UnifiedCoarse,
        "unified fine" => ThreadSeries::UnifiedFine,
        _ => return None,
    };
    let (diameter, pitch) = (number(2)?, number(4)?);
    let (nominal_mm, pitch_mm, per_inch) = match (record.get(3)?, record.get(5)?) {
        ("mm", "mm per turn") => (diameter, pitch, None),
        ("in", "turns per in") => (diameter * MM_PER_INCH, MM_PER_INCH / pitch, Some(pitch)),
        _ => return None,
    };
    Some(Row {
        designation: record.get(0)?.to_owned(),
        series,
        nominal_mm,
        pitch_mm,
        per_inch,
        source: record.get(6)?.to_owned(),
        confirmed: record.get(7)? == "confirmed",
    })
}

/// Two diameters or pitches closer than this are the same: a hundredth of the least step between listed ones.
const SAME_SIZE_MM: f64 = 5e-4;

impl Thread {
    /// Reads a thread: `M6`, `M6x1`, `M8 x 1,25`, `5/16-18`, `1/4-20 UNC`, `#10-24`, `No. 10-24`, `10-24`. A metric size
    /// without pitch is the coarse one; an inch size without threads per inch is refused.
    pub fn parse(text: &str) -> Result<Self, ThreadError> {
        let name: String = text
            .trim()
            .to_lowercase()
            .chars()
            .filter(|c| !c.is_whitespace())
            .collect();
        let name = name
            .replace(['\u{d7}', '*'], "x")
            .replace(['\u{2013}', '\u{2010}', '\u{2011}'], "-");
        let found = if name.starts_with('m') {
            metric(&name)
        } else {
            unified(&name)
        };
        found.map_err(|(problem, nearest)| ThreadError {
            text: text.trim().to_owned(),
            problem,
            nearest,
        })
    }

    /// Every thread of the tables, smallest first within the metric and the unified series.
    pub fn all() -> impl Iterator<Item = Self> {
        ROWS.iter().map(|row| Self { row })
    }

    /// As it is called: "M6", "M6x0.75", "5/16-18", "#10-24". Reads back as the same thread.
    pub fn designation(self) -> &'static str {
        &self.row.designation
    }

    /// The nominal (major) diameter, in mm.
    pub fn nominal_mm(self) -> f64 {
        self.row.nominal_mm
    }

    /// The distance from one turn to the next, in mm.
    pub fn pitch_mm(self) -> f64 {
        self.row.pitch_mm
    }

    /// Turns per inch; `None` for a metric thread.
    pub fn per_inch(self) -> Option<f64> {
        self.row.per_inch
    }

    /// The series.
    pub fn series(self) -> ThreadSeries {
        self.row.series
    }

    /// Is it of a metric series?
    pub fn is_metric(self) -> bool {
        self.row.per_inch.is_none()
    }

    /// The size without its pitch: "M6", "5/16", "#10". Clearance holes and washers go by it.
    pub fn size(self) -> &'static str {
        let name = self.designation();
        name.split(['-', 'x']).next().unwrap_or(name)
    }

    /// Where its row comes from.
    pub fn source(self) -> &'static str {
        &self.row.source
    }

    /// Was its row checked against a printed table? If not, it is from memory.
    pub fn is_confirmed(self) -> bool {
        self.row.confirmed
    }
}

type NotFound = (ThreadProblem, Option<Thread>);

/// "m6", "m6x1": diameter and pitch in mm.
fn metric(name: &str) -> Result<Thread, NotFound> {
    let body = name.strip_prefix('m').unwrap_or(name).replace(',', ".");
    let (diameter, pitch) = match body.split_once('x') {
        Some((diameter, pitch)) => (size(diameter), Some(size(pitch))),
        None => (size(&body), None),
    };
    let Some(diameter) = diameter else {
        return Err(not_a_thread(name));
    };
    let listed = |thread: &Thread| thread.is_metric();
    match pitch {
        None => Thread::all()
            .filter(listed)
            .filter(|thread| thread.series() == ThreadSeries::MetricCoarse)
            .find(|thread| (thread.nominal_mm() - diameter).abs() < SAME_SIZE_MM)
            .ok_or_else(|| {
                let coarse = |thread: &Thread| thread.series() == ThreadSeries::MetricCoarse;
                (ThreadProblem::NotListed, closest(coarse, diameter, None))
            }),
        Some(Some(pitch)) => pick(listed, diameter, pitch),
        Some(None) => Err(not_a_thread(name)),
    }
}

/// "5/16-18", "#10-24unc": size and threads per inch.
fn unified(name: &str) -> Result<Thread, NotFound> {
    let name = name.replace("no.", "#").replace("\"", "").replace("in-", "-");
    let (size_part, rest) = match name.split_once('-') {
        Some((size_part, rest)) => (size_part, Some(rest)),
        None => (name.as_str(), None),
    };
    let numbered = |text: &str| {
        text.parse::<u8>()
            .ok()
            .map(|number| 0.060 + 0.013 * f64::from(number))
    };
    let diameters: Vec<f64> = match size_part.strip_prefix('#') {
        Some(number) => numbered(number).into_iter().collect(),
        // "10-24" is a numbered size and "1-8" an inch: the threads per inch tell.
        None => [numbered(size_part), fraction(size_part)]
            .into_iter()
            .flatten()
            .collect(),
    };
    let Some(first) = diameters.first().map(|inches| inches * MM_PER_INCH) else {
        return Err(not_a_thread(&name));
    };
    let listed = |thread: &Thread| !thread.is_metric();
    let Some(rest) = rest else {
        return Err((ThreadProblem::NoPitch, closest(listed, first, None)));
    };
    let digits = rest.trim_end_matches(|c: char| c.is_alphabetic());
    let Some(pitch_mm) = size(digits).map(|per_inch| MM_PER_INCH / per_inch) else {
        return Err(not_a_thread(&name));
    };
    let exact = diameters
        .iter()
        .find_map(|inches| pick(listed, inches * MM_PER_INCH, pitch_mm).ok());
    let Some(thread) = exact else {
        return pick(listed, first, pitch_mm);
    };
    let said = &rest[digits.len()..];
    match (said, thread.series()) {
        ("" | "un", _) | ("unc", ThreadSeries::UnifiedCoarse) | ("unf", ThreadSeries::UnifiedFine) => {
            Ok(thread)
        }
        ("unc" | "unf", _) => Err((ThreadProblem::OtherSeries, Some(thread))),
        _ => Err((ThreadProblem::NotAThread, Some(thread))),
    }
}

/// A positive number.
fn size(text: &str) -> Option<f64> {
    let plain = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '.');
    text.parse::<f64>()
        .ok()
        .filter(|value| plain && value.is_finite() && *value > 0.0)
}

fn fraction(text: &str) -> Option<f64> {
    match text.split_once('/') {
        Some((over, under)) => Some(size(over)? / size(under)?),
        None => size(text),
    }
}

fn pick(listed: impl Fn(&Thread) -> bool, nominal_mm: f64, pitch_mm: f64) -> Result<Thread, NotFound> {
    let same = |one: f64, two: f64| (one - two).abs() < SAME_SIZE_MM;
    Thread::all()
        .filter(|thread| listed(thread))
        .find(|thread| same(thread.nominal_mm(), nominal_mm) && same(thread.pitch_mm(), pitch_mm))
        .ok_or_else(|| {
            (
                ThreadProblem::NotListed,
                closest(listed, nominal_mm, Some(pitch_mm)),
            )
        })
}

/// The nearest by diameter, and among those of that diameter by pitch: a bolt fits by its diameter first.
fn closest(listed: impl Fn(&Thread) -> bool, nominal_mm: f64, pitch_mm: Option<f64>) -> Option<Thread> {
    let apart = |one: f64, two: f64| (one / two).ln().abs();
    let distance = |thread: &Thread| {
        let pitch = pitch_mm.map_or(0.0, |pitch| apart(thread.pitch_mm(), pitch));
        (apart(thread.nominal_mm(), nominal_mm), pitch)
    };
    Thread::all().filter(listed).min_by(|one, two| {
        let ((d1, p1), (d2, p2)) = (distance(one), distance(two));
        let by_diameter = if (d1 - d2).abs() < 1e-9 {
            std::cmp::Ordering::Equal
        } else {
            d1.total_cmp(&d2)
        };
        by_diameter.then(p1.total_cmp(&p2))
    })
}

fn not_a_thread(name: &str) -> NotFound {
    let near = nearest(name, Thread::all().map(Thread::designation));
    (
        ThreadProblem::NotAThread,
        Thread::all().find(|thread| Some(thread.designation()) == near),
    )
}

/// As it is called.
impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.designation())
    }
}

impl FromStr for Thread {
    type Err = ThreadError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl std::error::Error for ThreadError {}

impl fmt::Display for ThreadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            text,
            problem,
            nearest,
        } = self;
        match problem {
            ThreadProblem::NotAThread => {
                write!(f, "`{text}` is not a thread; write it as M6, M6x0.75 or 5/16-18")?
            }
            ThreadProblem::NotListed => write!(f, "there is no thread {text}")?,
            ThreadProblem::NoPitch => write!(f, "`{text}` has no threads per inch")?,
            ThreadProblem::OtherSeries => write!(f, "`{text}` names the other series")?,
        }
        match nearest {
            Some(thread) => write!(f, "; the nearest is {thread}"),
            None => Ok(()),
        }
    }
}
