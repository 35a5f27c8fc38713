//! A value with its kind, in base units.

use std::fmt;

use thiserror::Error;

use crate::dim::Dim;
use crate::unit::{LengthUnit, usual_units};

/// A value and its kind, in base units: mm, rad, N, kg, MPa (N/mm2) and their products.
///
/// A number that was typed without a unit remembers that, and the unit its file declares, until it is asked for:
/// [`length_mm`](Self::length_mm) then reads it in the declared unit, [`number`](Self::number) as it stands. Two
/// quantities are equal when value and kind are, however they were typed.
#[derive(Debug, Clone, Copy)]
pub struct Quantity {
    /// In base units.
    pub value: f64,
    /// Its kind.
    pub dim: Dim,
    mark: Mark,
}

/// Was the kind said, or is this a bare number?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mark {
    /// The kind is as said.
    Said,
    /// A number without a unit, in a file that declares this unit for lengths.
    Bare(Option<LengthUnit>),
}

/// A quantity of one kind where another is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WrongKind {
    /// The kind wanted.
    pub wanted: Dim,
    /// The kind found.
    pub found: Dim,
    /// The number, when what is missing is only its unit.
    pub no_unit: Option<f64>,
}

impl std::error::Error for WrongKind {}

impl fmt::Display for WrongKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            wanted,
            found,
            no_unit,
        } = self;
        match no_unit {
            None => write!(f, "this is {found}, and {wanted} is wanted here")?,
            Some(number) => write!(f, "{number} has no unit, and {wanted} is wanted here")?,
        }
        let units = usual_units(*wanted);
        match no_unit {
            Some(number) if !units.is_empty() => {
                let ways: Vec<String> = units.iter().map(|unit| format!("{number} {unit}")).collect();
                write!(f, ": write {}", ways.join(" or "))
            }
            None if *wanted == Dim::FORCE && *found == Dim::MASS => {
                f.write_str(": a weight is written in N, lbf or kgf")
            }
            None if *wanted == Dim::MASS && *found == Dim::FORCE => {
                f.write_str(": a mass is written in kg, g, lb or oz")
            }
            None if *wanted == Dim::NUMBER => {
                f.write_str(": a plain number kept as a measure is written with times, as in 0.44 times")
            }
            _ => Ok(()),
        }
    }
}

/// Two kinds that cannot be added or compared.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("{left} and {right} cannot be added or compared")]
pub struct KindsDiffer {
    /// The first.
    pub left: Dim,
    /// The second.
    pub right: Dim,
    /// The number that was typed without a unit, when a unit would have made them agree.
    pub no_unit: Option<f64>,
}

impl PartialEq for Quantity {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value && self.dim == other.dim
    }
}

impl Quantity {
    /// A value in base units and its kind.
    pub fn new(value: f64, dim: Dim) -> Self {
        Self {
            value,
            dim,
            mark: Mark::Said,
        }
    }

    /// A length in mm.
    pub fn from_mm(value_mm: f64) -> Self {
        Self::new(value_mm, Dim::LENGTH)
    }

    /// An angle in radians.
    pub fn from_rad(value_rad: f64) -> Self {
        Self::new(value_rad, Dim::ANGLE)
    }

    /// An angle in degrees.
    pub fn from_deg(value_deg: f64) -> Self {
        Self::from_rad(value_deg.to_radians())
    }

    /// A force in N.
    pub fn from_n(value_n: f64) -> Self {
        Self::new(value_n, Dim::FORCE)
    }

    /// A mass in kg.
    pub fn from_kg(value_kg: f64) -> Self {
        Self::new(value_kg, Dim::MASS)
    }

    /// A stress in MPa.
    pub fn from_mpa(value_mpa: f64) -> Self {
        Self::new(value_mpa, Dim::STRESS)
    }

    /// A plain number.
    pub fn from_number(value: f64) -> Self {
        Self::new(value, Dim::NUMBER)
    }

    /// A number typed without a unit in a file that declares `unit` (or none) for lengths.
    pub(crate) fn bare(value: f64, unit: Option<LengthUnit>) -> Self {
        Self {
            value,
            dim: Dim::NUMBER,
            mark: Mark::Bare(unit),
        }
    }

    /// Is it a number typed without a unit?
    pub(crate) fn is_bare(self) -> bool {
        matches!(self.mark, Mark::Bare(_))
    }

    /// The same, of another value.
    pub(crate) fn with_value(self, value: f64) -> Self {
        Self { value, ..self }
    }

    /// What a bare number is taken for when nothing more will be asked, as when it is the value of a named measure: a
    /// length in the declared unit; without a declared unit, a plain number. Zero stays open: it is zero in any unit.
    pub fn settled(self) -> Self {
        match self.mark {
            Mark::Bare(Some(unit)) => Self::from_mm(unit.to_mm(self.value)),
            Mark::Bare(None) if self.value != 0.0 => Self::from_number(self.value),
            Mark::Bare(None) | Mark::Said => self,
        }
    }

    /// The value as a length, in mm. A bare number is read in the unit its file declares; zero needs no unit.
    pub fn length_mm(self) -> Result<f64, WrongKind> {
        match self.mark {
            Mark::Bare(Some(unit)) => Ok(unit.to_mm(self.value)),
            _ => self.as_kind(Dim::LENGTH),
        }
    }

    /// The value as an angle, in radians. Zero needs no unit.
    pub fn angle_rad(self) -> Result<f64, WrongKind> {
        self.as_kind(Dim::ANGLE)
    }

    /// The value as a force, in N. Zero needs no unit.
    pub fn force_n(self) -> Result<f64, WrongKind> {
        self.as_kind(Dim::FORCE)
    }

    /// The value as a moment, in N mm. Zero needs no unit.
    pub fn moment_n_mm(self) -> Result<f64, WrongKind> {
        self.as_kind(Dim::MOMENT)
    }

    /// The value as a mass, in kg. Zero needs no unit.
    pub fn mass_kg(self) -> Result<f64, WrongKind> {
        self.as_kind(Dim::MASS)
    }

    /// The value as a stress, in MPa. Zero needs no unit.
    pub fn stress_mpa(self) -> Result<f64, WrongKind> {
        self.as_kind(Dim::STRESS)
    }

    /// The value as a plain number.
    pub fn number(self) -> Result<f64, WrongKind> {
        self.as_kind(Dim::NUMBER)
    }

    /// The value as this kind, in base units. Zero typed without a unit is zero of any kind.
    pub fn as_kind(self, wanted: Dim) -> Result<f64, WrongKind> {
        let bare = self.is_bare();
        if self.dim == wanted || (bare && self.value == 0.0) {
            return Ok(self.value);
        }
        Err(WrongKind {
            wanted,
            found: self.dim,
            no_unit: bare.then_some(self.value),
        })
    }

    /// Both values and their shared kind, for adding and comparing. A bare number beside a length is read in the declared
    /// unit; a bare zero is zero of any kind.
    pub(crate) fn meet(self, other: Self) -> Result<(f64, f64, Self), KindsDiffer> {
        let differ = |no_unit| KindsDiffer {
            left: self.dim,
            right: other.dim,
            no_unit,
        };
        match (self.mark, other.mark) {
            (Mark::Said, Mark::Said) if self.dim == other.dim => Ok((self.value, other.value, self)),
            (Mark::Said, Mark::Said) => Err(differ(None)),
            (Mark::Bare(one), Mark::Bare(two)) => {
                let shape = Self {
                    mark: Mark::Bare(one.or(two)),
                    ..self
                };
                Ok((self.value, other.value, shape))
            }
            (Mark::Bare(unit), Mark::Said) => {
                let value = self
                    .beside(unit, other.dim)
                    .ok_or_else(|| differ(Some(self.value)))?;
                Ok((value, other.value, other))
            }
            (Mark::Said, Mark::Bare(unit)) => {
                let value = other
                    .beside(unit, self.dim)
                    .ok_or_else(|| differ(Some(other.value)))?;
                Ok((self.value, value, self))
            }
        }
    }

    /// A bare number's value beside a quantity of this kind.
    fn beside(self, unit: Option<LengthUnit>, dim: Dim) -> Option<f64> {
        match unit {
            Some(unit) if dim == Dim::LENGTH => Some(unit.to_mm(self.value)),
            _ => self.as_kind(dim).ok(),
        }
    }

    /// The product; `None` when the kind leaves the range of powers. A bare number stays bare when it is multiplied by
    /// numbers only.
    pub(crate) fn times(self, other: Self) -> Option<Self> {
        let mark = match (self.mark, other.mark) {
            (Mark::Bare(one), Mark::Bare(two)) => Mark::Bare(one.or(two)),
            (Mark::Bare(unit), Mark::Said) if other.dim == Dim::NUMBER => Mark::Bare(unit),
            (Mark::Said, Mark::Bare(unit)) if self.dim == Dim::NUMBER => Mark::Bare(unit),
            _ => Mark::Said,
        };
        Some(Self {
            value: self.value * other.value,
            dim: self.dim.times(other.dim)?,
            mark,
        })
    }

    /// The quotient; `None` when the kind leaves the range of powers. The divisor is not zero.
    pub(crate) fn over(self, other: Self) -> Option<Self> {
        let mark = match (self.mark, other.mark) {
            (Mark::Bare(one), Mark::Bare(two)) => Mark::Bare(one.or(two)),
            (Mark::Bare(unit), Mark::Said) if other.dim == Dim::NUMBER => Mark::Bare(unit),
            _ => Mark::Said,
        };
        Some(Self {
            value: self.value / other.value,
            dim: self.dim.over(other.dim)?,
            mark,
        })
    }
}

/// Prints so that reading it again gives the same quantity to the last bit: lengths in mm, angles in degrees where that
/// is exact and else in radians. For figures meant for people see [`mm`](crate::mm), [`both`](crate::both) and
/// [`deg`](crate::deg).
impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let value = Exact(self.value);
        match self.dim {
            Dim::NUMBER => write!(f, "{value}"),
            Dim::LENGTH => write!(f, "{value} mm"),
            Dim::ANGLE => match exact_degrees(self.value) {
                Some(degrees) => write!(f, "{} deg", Exact(degrees)),
                None => write!(f, "{value} rad"),
            },
            Dim::FORCE => write!(f, "{value} N"),
            Dim::MASS => write!(f, "{value} kg"),
            Dim::STRESS => write!(f, "{value} MPa"),
            Dim::AREA => write!(f, "{value} mm2"),
            dim => write_product(f, &value, dim),
        }
    }
}

/// A kind without a unit of its own, as a product that reads back: "5 N * 1 mm", "5 times / 1 mm".
fn write_product(f: &mut fmt::Formatter<'_>, value: &Exact, dim: Dim) -> fmt::Result {
    let mut powers = dim.powers();
    match powers.iter_mut().find(|(power, _)| *power > 0) {
        Some((power, unit)) => {
            *power -= 1;
            write!(f, "{value} {unit}")?;
        }
        None => write!(f, "{value} times")?,
    }
    for (power, unit) in powers {
        let sign = if power > 0 { '*' } else { '/' };
        for _ in 0..power.unsigned_abs() {
            write!(f, " {sign} 1 {unit}")?;
        }
    }
    Ok(())
}

/// The shortest digits that read back as this value; with a power of ten when plain digits would be long.
struct Exact(f64);

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = self.0.abs();
        if size != 0.0 && !(1e-9..1e15).contains(&size) {
            write!(f, "{:e}", self.0)
        } else {
            write!(f, "{}", self.0)
        }
    }
}

/// Degrees that read back as exactly this angle: the rounded ones if they do, so that 25 deg prints as 25.
fn exact_degrees(value_rad: f64) -> Option<f64> {
    const TENTH_DIGIT: f64 = 1e10;
    let degrees = value_rad.to_degrees();
    let rounded = (degrees * TENTH_DIGIT).round() / TENTH_DIGIT;
    [rounded, degrees]
        .into_iter()
        .find(|degrees| degrees.to_radians() == value_rad)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bare_number_is_a_length_only_where_a_unit_is_declared() {
        assert_eq!(
            Quantity::bare(4.5, Some(LengthUnit::In)).length_mm(),
            Ok(4.5 * 25.4)
        );
        let error = Quantity::bare(4.5, None)
            .length_mm()
            .expect_err("no unit declared");
        assert_eq!(
            error.to_string(),
            "4.5 has no unit, and a length is wanted here: write 4.5 mm or 4.5 in"
        );
    }

    #[test]
    fn a_bare_number_is_never_an_angle_but_zero_is() {
        let error = Quantity::bare(90.0, Some(LengthUnit::In))
            .angle_rad()
            .expect_err("90 of what");
        assert_eq!(
            error.to_string(),
            "90 has no unit, and an angle is wanted here: write 90 deg"
        );
        assert_eq!(Quantity::bare(0.0, None).angle_rad(), Ok(0.0));
        assert!(
            Quantity::from_number(0.0).angle_rad().is_err(),
            "a ratio that came out as zero is still a ratio"
        );
    }

    #[test]
    fn pounds_of_mass_are_not_pounds_of_force() {
        let error = Quantity::from_kg(4.5)
            .force_n()
            .expect_err("a mass is not a force");
        assert_eq!(
            error.to_string(),
            "this is a mass, and a force is wanted here: a weight is written in N, lbf or kgf"
        );
    }

    #[test]
    fn whole_degrees_print_as_whole_degrees() {
        assert_eq!(Quantity::from_deg(25.0).to_string(), "25 deg");
        assert_eq!(Quantity::from_deg(-0.1).to_string(), "-0.1 deg");
    }
}
