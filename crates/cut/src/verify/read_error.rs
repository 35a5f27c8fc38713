//! Why a program cannot be read.

/// What stands on a line that the interpreter does not take. Lines count from 1; lengths are in the program's unit.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadError {
    /// Longer than any program this reader is for.
    #[error("the program is {bytes} bytes long; this reader stops at {most}")]
    TooLong {
        /// Its length.
        bytes: usize,
        /// The longest that is read.
        most: usize,
    },
    /// A line is longer than a machine takes.
    #[error("line {line}: {bytes} characters are more than the {most} of a line")]
    LongLine {
        /// The line.
        line: usize,
        /// Its length.
        bytes: usize,
        /// The longest.
        most: usize,
    },
    /// A character that belongs to no word.
    #[error("line {line}: {found:?} is no word")]
    NoWord {
        /// The line.
        line: usize,
        /// The character.
        found: char,
    },
    /// A letter without its number.
    #[error("line {line}: {letter} has no number")]
    NoNumber {
        /// The line.
        line: usize,
        /// The letter.
        letter: char,
    },
    /// A number beyond all measure.
    #[error("line {line}: {letter}{value} is out of all measure")]
    OutOfMeasure {
        /// The line.
        line: usize,
        /// The letter.
        letter: char,
        /// The number.
        value: f64,
    },
    /// A comment that does not end, or has another within.
    #[error("line {line}: a comment does not end")]
    OpenComment {
        /// The line.
        line: usize,
    },
    /// A word that this reader does not know, so that it cannot say what the machine would do.
    #[error("line {line}: {letter}{value} is not known here")]
    UnknownWord {
        /// The line.
        line: usize,
        /// Its letter.
        letter: char,
        /// Its number.
        value: f64,
    },
    /// The same letter twice.
    #[error("line {line}: {letter} stands twice")]
    Twice {
        /// The line.
        line: usize,
        /// The letter.
        letter: char,
    },
    /// Two words of one modal group.
    #[error("line {line}: {first} and {second} contradict each other")]
    SameGroup {
        /// The line.
        line: usize,
        /// The first.
        first: String,
        /// The second.
        second: String,
    },
    /// A word that nothing on its line uses.
    #[error("line {line}: nothing uses {letter}")]
    Unused {
        /// The line.
        line: usize,
        /// The letter.
        letter: char,
    },
    /// A word is missing that another needs.
    #[error("line {line}: {word} needs {needs}")]
    Needs {
        /// The line.
        line: usize,
        /// What needs it.
        word: &'static str,
        /// What is missing.
        needs: &'static str,
    },
    /// A number that its word does not take.
    #[error("line {line}: {letter}{value} cannot be: {why}")]
    BadValue {
        /// The line.
        line: usize,
        /// The letter.
        letter: char,
        /// The number.
        value: f64,
        /// Why.
        why: &'static str,
    },
    /// A length before the unit was set.
    #[error("line {line}: a length stands before G20 or G21")]
    NoUnit {
        /// The line.
        line: usize,
    },
    /// A move that starts nobody knows where.
    #[error("line {line}: nobody knows where this move starts; the first must be G0 to an X and a Y")]
    NoPlace {
        /// The line.
        line: usize,
    },
    /// A feed move without a feed.
    #[error("line {line}: a feed move without a feed")]
    NoFeed {
        /// The line.
        line: usize,
    },
    /// The radii at the two ends of an arc differ by more than the rule allows.
    #[error(
        "line {line}: the radius is {start} at the start of the arc and {end} at its end; they may differ by {allowed}"
    )]
    ArcRadii {
        /// The line.
        line: usize,
        /// Radius at the start.
        start: f64,
        /// Radius at the end.
        end: f64,
        /// The most they may differ by.
        allowed: f64,
    },
    /// An arc without size, or told by its radius where that does not tell it.
    #[error("line {line}: no arc of radius {radius} is told by these words: {why}")]
    NoArc {
        /// The line.
        line: usize,
        /// The radius.
        radius: f64,
        /// Why.
        why: &'static str,
    },
    /// A shifted path that cannot be followed.
    #[error("line {line}: the path cannot be shifted by half the kerf: {why}")]
    NoShift {
        /// The line.
        line: usize,
        /// Why.
        why: &'static str,
    },
    /// Something follows the end of the program.
    #[error("line {line}: something follows the end of the program")]
    AfterEnd {
        /// The line.
        line: usize,
    },
    /// The program does not end.
    #[error("the program has no end: it stops after line {line} without M2 or M30")]
    NoEnd {
        /// The last line.
        line: usize,
    },
}
