//! Hand estimates that stand beside the shell's answer: each is a value with its formula and what went into it, so that a
//! reader can work it out again.
//!
//! Lengths mm, forces N, moments N mm, stresses MPa, angles rad.

mod fall;
mod plate;
mod section;
mod strip;

pub use fall::{fallen_n, stopped_n, sudden_n};
pub use plate::{HoledStrip, edgewise_second_moment_mm4, edgewise_stress_mpa};
pub use section::{NotASection, ThinSection, Wall};
pub use strip::Strip;

/// Unit of a number in an estimate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unit {
    /// mm.
    Mm,
    /// mm4.
    Mm4,
    /// N.
    Newton,
    /// N mm.
    NewtonMm,
    /// N/mm.
    NewtonPerMm,
    /// MPa.
    Mpa,
    /// rad.
    Radian,
    /// kg.
    Kilogram,
    /// m/s.
    MetrePerSecond,
    /// A plain number.
    Number,
}

/// A number in a formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Input {
    /// As the formula calls it.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
}

/// A value with how it was had.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
    /// The formula, with its own name for the value on the left: "s = 6 F L / (b t^2)".
    pub formula: &'static str,
    /// What goes into it, in the order of the formula.
    pub inputs: Vec<Input>,
    /// Where the formula is from.
    pub source: &'static str,
}

impl Estimate {
    /// Another answer to the same question, as a multiple of this one: above 1 the other is the greater. None where the
    /// estimate is 0.
    pub fn times(&self, other: f64) -> Option<f64> {
        (self.value != 0.0).then(|| other / self.value)
    }
}

fn input(name: &'static str, value: f64, unit: Unit) -> Input {
    Input { name, value, unit }
}
