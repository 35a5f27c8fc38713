//! The program that a cutting table runs: RS-274 words, in the machine's own dialect.
//!
//! Words, arcs and their limits follow the RS274/NGC interpreter of NIST (NISTIR 6556). [`checked_program`] is the way to
//! a file: it gives a text only after [`crate::verify`], which shares no code with the writer, has read it and found every
//! part, every hole and every pierce where it belongs.

mod by_machine;
mod checked;
mod compensate;
mod dialect;
mod marks;
mod number;
mod path;
mod switch;
mod text;
mod work;
mod write;

pub use by_machine::left_to_machine;
pub use checked::{Surroundings, checked_dry_run, checked_marks, checked_program};
pub use compensate::{Along, NoEdge};
pub use dialect::{
    ArcCentres, ArcPieces, Comments, Compensation, Dialect, DialectError, EndWord, Heights, PierceDelay,
    ProgramUnit, zero_in_words,
};
pub use marks::{Marking, MarkingStep, write_marks};
pub use switch::OnOff;
pub use work::{Parking, ProgramError, TorchSetting, Travel, Work};
pub use write::{Program, Shifted, write_dry_run, write_program};
