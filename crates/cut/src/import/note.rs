//! What was done to a drawing on the way to outlines.

use plane::Point;

/// One thing that was mended, left out or taken. Lines count from 1, lengths are mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Note {
    /// Two open ends were joined half way.
    Joined {
        /// Where.
        at: Point,
        /// How far apart they were.
        gap_mm: f64,
    },
    /// Edges that lay over others were taken once.
    DoubledEdges {
        /// How many were dropped.
        count: usize,
    },
    /// Whole outlines that lay over others were taken once.
    DoubledOutlines {
        /// How many were dropped.
        count: usize,
    },
    /// A run of lines that does not close was left out.
    LeftOpen {
        /// Line of its first entity.
        line: usize,
        /// Where it begins.
        from: Point,
        /// Where it ends.
        to: Point,
        /// Its length.
        length_mm: f64,
    },
    /// Words, dimensions and the like were left out.
    Ignored {
        /// Kind of entity.
        kind: String,
        /// How many.
        count: usize,
    },
    /// Entities that may be part of the shape, but are not read here.
    NotRead {
        /// Kind of entity.
        kind: String,
        /// How many.
        count: usize,
    },
    /// Hidden entities, those on paper and those on layers that were to be left out.
    Hidden {
        /// How many.
        count: usize,
    },
    /// Edges and outlines without size were left out.
    WithoutSize {
        /// How many.
        count: usize,
    },
    /// Splines and ellipses became straight lines.
    Flattened {
        /// How many.
        count: usize,
        /// Within how much.
        within_mm: f64,
    },
    /// Lines that rise or fall were taken as seen from above.
    SeenFromAbove {
        /// How many.
        count: usize,
    },
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let s = |count: &usize| if *count == 1 { "" } else { "s" };
        match self {
            Note::Joined { at, gap_mm } => {
                write!(
                    f,
                    "two ends {gap_mm:.3} mm apart were joined at ({:.2}, {:.2}) mm",
                    at.x, at.y
                )
            }
            Note::DoubledEdges { count } => write!(f, "{count} doubled line{} taken once", s(count)),
            Note::DoubledOutlines { count } => write!(f, "{count} doubled outline{} taken once", s(count)),
            Note::LeftOpen {
                line,
                from,
                to,
                length_mm,
            } => write!(
                f,
                "line {line}: a run of {length_mm:.2} mm from ({:.2}, {:.2}) to ({:.2}, {:.2}) mm does not close and was left out",
                from.x, from.y, to.x, to.y
            ),
            Note::Ignored { kind, count } => write!(f, "{count} {kind} left out"),
            Note::NotRead { kind, count } => write!(f, "{count} {kind} could not be read and left out"),
            Note::Hidden { count } => write!(f, "{count} hidden thing{} left out", s(count)),
            Note::WithoutSize { count } => write!(f, "{count} thing{} without size left out", s(count)),
            Note::Flattened { count, within_mm } => {
                write!(
                    f,
                    "{count} curve{} became straight lines within {within_mm} mm",
                    s(count)
                )
            }
            Note::SeenFromAbove { count } => {
                write!(f, "{count} slanting line{} taken as seen from above", s(count))
            }
        }
    }
}
