//! Line kinds: each is told apart by its pattern and by a word in the key as well as by its colour.

/// Dark ink: 16:1 on white, 13:1 on kraft.
pub(crate) const INK: &str = "#1b1a17";
/// Layout blue: 10:1 on white, 8:1 on kraft.
pub(crate) const BLUE: &str = "#0b3d7a";
/// Kraft ground of the material and the table heads.
pub(crate) const KRAFT: &str = "#f1e6d0";
/// White ground of the page.
pub(crate) const WHITE: &str = "#ffffff";

/// What a line stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    /// An edge that is cut.
    Edge,
    /// The middle of a bend.
    BendCentre,
    /// Where a bend begins and ends.
    Tangent,
    /// Scribed on the marked face.
    Scribed,
    /// The cross of a hole.
    Cross,
    /// An edge behind the plate.
    Hidden,
    /// An edge or rounded rim of the folded part that is in sight.
    Seen,
    /// Dimension lines and leaders.
    Thin,
    /// The edges that dimensions are taken from.
    Datum,
    /// Squares to measure the printer by.
    Check,
    /// Where a tile is trimmed.
    Trim,
    /// Rules of tables and boxes.
    Rule,
    /// The line between two bands of a picture of stress.
    Level,
    /// The line along which a limit is reached.
    Limit,
    /// Where a bend begins or ends, on a ground that layout blue is lost on.
    Crease,
    /// Where an edge comes to lie under load.
    Moved,
    /// A force on the part.
    Load,
    /// Where the torch runs.
    Track,
    /// The edge of the sheet or remnant that is cut from.
    Stock,
    /// What holds the sheet.
    Clamp,
    /// An outside edge that is not sound yet.
    Unsound,
}

impl Ink {
    /// The word the drawing's key and the SVG class use.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Edge => "edge",
            Self::BendCentre => "bend-centre",
            Self::Tangent => "tangent",
            Self::Scribed => "scribed",
            Self::Cross => "hole-cross",
            Self::Hidden => "hidden",
            Self::Seen => "seen",
            Self::Thin => "thin",
            Self::Datum => "datum",
            Self::Check => "check",
            Self::Trim => "trim",
            Self::Rule => "rule",
            Self::Level => "level",
            Self::Limit => "limit",
            Self::Crease => "crease",
            Self::Moved => "moved",
            Self::Load => "load",
            Self::Track => "track",
            Self::Stock => "stock-edge",
            Self::Clamp => "clamp",
            Self::Unsound => "unsound",
        }
    }

    pub(crate) const fn colour(self) -> &'static str {
        match self {
            Self::BendCentre | Self::Tangent | Self::Scribed | Self::Track => BLUE,
            Self::Check => "#5a564e",
            _ => INK,
        }
    }

    pub(crate) const fn width_mm(self) -> &'static str {
        match self {
            Self::Load => "0.8",
            Self::Limit => "0.7",
            Self::Stock => "0.6",
            Self::Edge | Self::Track | Self::Unsound => "0.5",
            Self::BendCentre | Self::Datum | Self::Seen | Self::Moved => "0.35",
            Self::Scribed | Self::Hidden | Self::Rule | Self::Clamp => "0.25",
            Self::Tangent
            | Self::Cross
            | Self::Thin
            | Self::Check
            | Self::Trim
            | Self::Level
            | Self::Crease => "0.18",
        }
    }

    pub(crate) const fn pattern(self) -> Option<&'static str> {
        match self {
            Self::BendCentre => Some("6 1.2 0.8 1.2"),
            Self::Scribed => Some("3 0.8 3 0.8 0.6 0.8"),
            Self::Hidden => Some("1.2 0.8"),
            Self::Datum => Some("8 1.5"),
            Self::Trim => Some("4 2"),
            Self::Limit => Some("0.01 1.4"),
            Self::Crease => Some("0.9 0.9"),
            Self::Moved => Some("2.6 1.2"),
            Self::Unsound => Some("1.6 1.6"),
            Self::Stock => Some("9 1.4 1.4 1.4 1.4 1.4"),
            Self::Edge
            | Self::Tangent
            | Self::Cross
            | Self::Seen
            | Self::Thin
            | Self::Check
            | Self::Rule
            | Self::Level
            | Self::Load
            | Self::Track
            | Self::Clamp => None,
        }
    }
}
