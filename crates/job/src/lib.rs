//! The job folder: the three files read with their places, the stages run in order, what they found told to a person.
//!
//! `files` turns text into typed values that know where they were said, or into a list of everything wrong with the
//! text. Nothing below this crate knows a file; nothing above it does arithmetic.

pub mod files;

mod again;
mod asked;
mod bend_strip;
mod care;
mod device_names;
mod finding;
mod folder;
mod folding;
mod held_shape;
mod helping;
mod judge;
mod line_ends;
mod make;
mod measured_bends;
mod measuring;
mod report;
pub mod revise;
mod run;
mod sheet_wrong;
mod shop_record;
mod since;
mod sound_files;
mod stages;
mod start;
mod stop;
mod strip_record;
mod summary;
mod tell;
mod text;
mod typed;
mod understood;
mod write;

pub use asked::{
    refusal_of, refused_text, understood_bend, understood_length, understood_stock, understood_thread,
};
pub use bend_strip::{NoBendStrip, StripAsked};
pub use care::{Refusal, answers, refusal};
pub use device_names::is_device_name;
pub use draw::View;
pub use finding::{Answer, Finding, Level, Question, Verdict};
pub use folder::{Drawing, DrawingFault, Folder, FolderError};
pub use folding::{
    FoldStep, Folding, Frame, KeepOutMet, MountMet, Piece, Solved, SupportMet, folding, folding_picture,
};
pub use held_shape::{BandRow, HeldShape, Pointed, Pushes, held_shape};
pub use helping::{HelpRow, Helps, helps, helps_until};
pub use make::{
    BendStripError, BendStripMade, KerfStrip, KerfStripError, MADE_FILES, Made, MadeFile, MakeError,
    MakeOptions, MarkOutShown, Measured, MeasuredError, NotMade, Picture, kerf_pitch_mm, made_file, make,
    make_bend, make_bend_strip, make_cut, make_kerf_strip, mark_out, not_made, picture,
};
pub use measured_bends::{
    HoleLands, MeasuredBends, MeasuredBendsError, Remaining, Understood, measured_bends,
};
pub use measuring::{
    Meant, MeasureFile, MeasureItem, MeasureKind, Measuring, NextToMeasure, SlipAsked, SlipTried, measuring,
    slip,
};
pub use report::VERSION;
pub use run::{Movement, Outcome, Stopped, Wanted, begin, proof_broke_off, prove, run, run_with};
pub use shop_record::{KerfMeasured, RecordError, record_cut, record_kerf};
pub use since::{Kept, KeptAnswer, Since, SinceRow, next_revision, since};
pub use stages::cutting::CutChoice;
pub use stages::strips::StripGrain;
pub use start::{
    Answered, Answers, Asked, AskedCare, AskedDrawing, AskedFit, AskedLoad, AskedLoads, Asking, Beginning,
    DEMOS, Demo, DrawingError, Form, FromDrawing, Happens, KindOffered, Next, QuestionAsked, SharedError,
    StartError, asked_fit_from, asked_from, asking, care_from, care_questions, kinds_asked, kinds_offered,
    reason_never, shared_design, start_from_answers, start_from_demo, start_from_drawing, start_from_shared,
    take_start_back, understood_answer, understood_load, usual_per_day, usual_size,
};
pub use stop::{NotWanted, Stop};
pub use strip_record::{StripMeasured, StripRecordError, record_bend_strip};
pub use summary::*;
pub use tell::{refusal_json, refusal_text, wrongs_json, wrongs_text};
pub use text::{
    bend_text, check_text, cut_text, help_lines, helps_text, hold_text, measured_text, strip_made_text,
    strip_read_text, summary_text,
};
pub use typed::NotAReading;
pub use understood::understood_at;
pub use write::{WriteError, write_whole};
