//! Lengths, angles, forces, masses and threads as the shop writes them: read, checked, printed.
//!
//! What comes in is text; what goes out is a [`Quantity`] in base units (mm, rad, N, kg, MPa) whose kind is checked, or
//! an error that says where in the text, why, and what to write instead. What was typed is kept. Nothing here knows
//! geometry, files or tables of materials; a gauge is only a number until the handbook is asked with a metal.

mod dim;
mod drill;
mod error;
mod eval;
mod expr;
mod function;
mod literal;
mod measures;
mod nearest;
mod number;
mod parse;
mod print;
mod quantity;
mod scan;
mod stock;
mod thread;
mod unit;

pub use dim::Dim;
pub use drill::{DrillSize, DrillSizeError};
pub use error::{ParseProblem, ParseQuantityError};
pub use eval::{EvalError, EvalProblem};
pub use expr::Expr;
pub use function::Function;
pub use measures::{BadName, MeasureError, check_measure_name, resolve_measures, resolve_measures_given};
pub use print::{both, deg, force, inch64, mass, mm, moment, stress};
pub use quantity::{KindsDiffer, Quantity, WrongKind};
pub use stock::{Gauge, GaugeError, StockError, StockProblem, StockText, StockThickness};
pub use thread::{Thread, ThreadError, ThreadProblem, ThreadSeries};
pub use unit::{
    KG_PER_POUND, LengthUnit, MM_PER_INCH, MPA_PER_PSI, NEWTON_PER_KGF, NEWTON_PER_LBF, is_unit_word,
};
