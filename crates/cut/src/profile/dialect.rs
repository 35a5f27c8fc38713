//! How a controller wants its program written: switches over the words of RS-274, with no writer here.

/// Who moves the path over by half the kerf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Compensation {
    /// The path is the middle of the kerf; the controller follows it as written.
    Here,
    /// The controller does, by the words of [`Dialect::compensate_left`] and its fellows. Tracks are still the middle of
    /// the kerf; who writes the program moves them back onto the part's edge.
    Machine,
}

/// How a remark is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Comments {
    /// ( between round brackets )
    Brackets,
    /// ; from a semicolon to the end of the line
    Semicolon,
    /// The controller takes none.
    None,
}

/// What I and J count from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ArcCentres {
    /// From the start of the arc.
    FromStart,
    /// From the program's zero.
    Absolute,
}

/// The unit that lengths are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DistanceUnit {
    /// G21
    Millimetre,
    /// G20
    Inch,
}

/// Whether lines are numbered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LineNumbers {
    /// They are not.
    None,
    /// N, from `step` on in steps of `step`.
    Every {
        /// The step, at least 1.
        step: u32,
    },
}

/// Words that have to do with the height of the torch.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct HeightWords {
    /// Feels for the plate and sets its height to zero before a pierce; one line each. Empty where the controller
    /// does it by itself.
    pub probe: Vec<String>,
    /// Height control by the arc's voltage on; one line each.
    pub control_on: Vec<String>,
    /// Height control off, for corners and small holes; one line each.
    pub control_off: Vec<String>,
    /// Whether heights are written as Z words at all.
    pub writes_z: bool,
}

/// How a controller wants its program written. Every word is written as it stands, on a line of its own where it is one
/// of several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dialect {
    /// How a remark is written.
    pub comments: Comments,
    /// The unit of lengths and of feeds per minute.
    pub unit: DistanceUnit,
    /// Digits after the point for lengths: at least 4 in mm and 5 in inches, so that the two radii of an arc agree
    /// within 0.002 mm.
    pub decimals: u8,
    /// Digits after the point for feeds.
    pub feed_decimals: u8,
    /// What I and J count from.
    pub arc_centres: ArcCentres,
    /// Arcs that turn further than this many degrees are written in pieces: 180 is taken by every controller, 360 by
    /// those that know full circles.
    pub most_arc_deg: u16,
    /// Whether lines are numbered.
    pub line_numbers: LineNumbers,
    /// First lines of the program, before any movement, beside units and modes.
    pub before: Vec<String>,
    /// Last lines of the program, torch off and up.
    pub after: Vec<String>,
    /// Torch, jet or spindle on.
    pub on: Vec<String>,
    /// Torch, jet or spindle off.
    pub off: Vec<String>,
    /// Waits: `P` follows with the time.
    pub dwell: String,
    /// Whether the time of a wait is written in seconds; else in milliseconds.
    pub dwell_in_seconds: bool,
    /// Height words.
    pub height: HeightWords,
    /// Marking tool on and off, when there is one: one line each.
    pub marker: Option<[Vec<String>; 2]>,
    /// Compensation with the part right of the path's tool, that is the tool left of the path: `G41`.
    pub compensate_left: String,
    /// The tool right of the path: `G42`.
    pub compensate_right: String,
    /// No compensation: `G40`.
    pub compensate_off: String,
    /// Letter before the tool's number or diameter in a compensation line, when one is wanted: `D`.
    pub compensate_by: Option<char>,
}

impl Default for Dialect {
    /// Words of RS-274 that most controllers take: mm, brackets, four decimals, centres from the start of the arc, M3
    /// and M5, waits in seconds, half circles at most.
    fn default() -> Self {
        let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
        Dialect {
            comments: Comments::Brackets,
            unit: DistanceUnit::Millimetre,
            decimals: 4,
            feed_decimals: 0,
            arc_centres: ArcCentres::FromStart,
            most_arc_deg: 180,
            line_numbers: LineNumbers::None,
            before: Vec::new(),
            after: words(&["M2"]),
            on: words(&["M3"]),
            off: words(&["M5"]),
            dwell: "G4".to_owned(),
            dwell_in_seconds: true,
            height: HeightWords {
                writes_z: true,
                ..HeightWords::default()
            },
            marker: None,
            compensate_left: "G41".to_owned(),
            compensate_right: "G42".to_owned(),
            compensate_off: "G40".to_owned(),
            compensate_by: Some('D'),
        }
    }
}
