//! Reading a cutting program back: an interpreter of RS-274, and the proof that what it cuts is what was asked for.
//!
//! Nothing here is shared with the writer in [`crate::gcode`] but the geometry of `plane`. [`read_program`] turns a text
//! into the steps of the machine or says on which line it cannot; it never panics, and its time and memory are bounded by
//! the length of the text. [`verify`] then sweeps the kerf along the steps and compares with the parts.
//!
//! Words, modal groups, their order and the arc rule: NIST RS274/NGC, NISTIR 6556. What that interpreter takes and a
//! cutting table has no use for (parameters, expressions, tool changes, other planes) is refused here, because a word that is not
//! understood cannot be proven harmless.

mod arc;
mod asked;
mod columns;
mod edges;
mod marks;
mod motion;
mod offset;
mod program;
mod read_error;
mod runs;
mod safe;
mod said;
mod shift;
mod sizes;
mod steps;
mod words;
mod wrong;

use plane::Region;

pub use asked::{Asked, AskedCut, AskedHeights, Tab};
pub use marks::{AskedMark, AskedMarks, MarkHeights, verify_marks};
pub use program::{MachineWords, read_program};
pub use read_error::ReadError;
pub use runs::Run;
pub use steps::{Move, Place, Program, Step};
pub use wrong::Wrong;

/// The most moves of a program that is held against its parts, five times what a full sheet needs: in a tangle each move is
/// looked at together with every other.
pub const MOST_MOVES: usize = 100_000;

/// A program that was read and does what was asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Verified {
    /// The steps as read.
    pub program: Program,
    /// Area of each part as the kerf leaves it, mm2; none for a part that tabs hold, which is proven by its edges alone.
    pub areas_mm2: Vec<Option<f64>>,
    /// How often the torch pierces.
    pub pierces_n: usize,
    /// Length with the torch on, mm.
    pub cut_length_mm: f64,
}

/// The program as it was read, in table coordinates: its own places with the zero added.
fn on_table(text: &str, words: &MachineWords, zero: plane::Point) -> Result<Program, Vec<Wrong>> {
    let program = read_program(text, words)
        .map_err(|why| vec![Wrong::Unreadable(why)])?
        .moved_by(zero.coords);
    let moves = program.moves().count();
    if moves > MOST_MOVES {
        return Err(vec![Wrong::TooLong {
            moves,
            most: MOST_MOVES,
        }]);
    }
    Ok(program)
}

/// Reads a program and proves that it cuts what was asked, and nothing else.
///
/// Places of the program are turned into table coordinates by adding the zero. The parts are as they should come off the
/// table: openings that are to be drilled later are not in them. Where the kerf is too wide for an inside corner, the corner
/// that stays is not held against the program.
///
/// # Errors
/// Everything that is wrong, in the order of the program; a text that cannot be read gives one [`Wrong::Unreadable`].
pub fn verify(text: &str, words: &MachineWords, asked: &Asked) -> Result<Verified, Vec<Wrong>> {
    let program = on_table(text, words, asked.zero)?;
    let mut wrong = safe::torch_and_travel(&program, asked);
    let runs = runs::runs_of(&program);
    if runs.len() != asked.cuts.len() {
        wrong.push(Wrong::Pierces {
            found: runs.len(),
            wanted: asked.cuts.len(),
        });
        return Err(wrong);
    }
    wrong.extend(safe::pierces(&runs, asked));
    let kerfs: Vec<f64> = asked.cuts.iter().map(|cut| cut.kerf_mm).collect();
    wrong.extend(edges::cut_into(&runs, &kerfs, asked.parts));
    let areas_mm2 = sizes::compare(&runs, &kerfs, asked, &mut wrong);
    if !wrong.is_empty() {
        return Err(wrong);
    }
    Ok(Verified {
        pierces_n: runs.len(),
        cut_length_mm: runs.iter().map(Run::length_mm).sum(),
        areas_mm2,
        program,
    })
}

/// Reads a dry run and proves that it never lights the torch and stays on the table, clear of the clamps.
///
/// # Errors
/// Everything that is wrong, in the order of the program.
pub fn verify_dry_run(
    text: &str,
    words: &MachineWords,
    zero: plane::Point,
    table: [plane::Point; 2],
    clamps: &[Region],
    travel_height_mm: Option<f64>,
) -> Result<Program, Vec<Wrong>> {
    let program = on_table(text, words, zero)?;
    let wrong = safe::dry(&program, table, clamps, travel_height_mm);
    if wrong.is_empty() { Ok(program) } else { Err(wrong) }
}
