//! What kind of thing a number measures.

use std::fmt;

/// The kind of a quantity, as powers of length, angle, force and mass. Stress is force per length squared; a plain
/// number has all powers 0. An angle is kept apart from a number so that degrees cannot slip into a length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Dim {
    /// Power of length.
    pub length: i8,
    /// Power of angle.
    pub angle: i8,
    /// Power of force.
    pub force: i8,
    /// Power of mass.
    pub mass: i8,
}

impl Dim {
    /// A plain number.
    pub const NUMBER: Self = Self::of(0, 0, 0, 0);
    /// A length.
    pub const LENGTH: Self = Self::of(1, 0, 0, 0);
    /// An angle.
    pub const ANGLE: Self = Self::of(0, 1, 0, 0);
    /// A force.
    pub const FORCE: Self = Self::of(0, 0, 1, 0);
    /// A mass.
    pub const MASS: Self = Self::of(0, 0, 0, 1);
    /// A stress.
    pub const STRESS: Self = Self::of(-2, 0, 1, 0);
    /// A moment, or a torque.
    pub const MOMENT: Self = Self::of(1, 0, 1, 0);
    /// A stiffness along: force per length.
    pub const STIFFNESS: Self = Self::of(-1, 0, 1, 0);
    /// A stiffness about: moment per angle.
    pub const TURN_STIFFNESS: Self = Self::of(1, -1, 1, 0);
    /// An area.
    pub const AREA: Self = Self::of(2, 0, 0, 0);

    const fn of(length: i8, angle: i8, force: i8, mass: i8) -> Self {
        Self {
            length,
            angle,
            force,
            mass,
        }
    }

    /// The kind of a product; `None` when a power leaves the range of an i8.
    pub fn times(self, other: Self) -> Option<Self> {
        Some(Self {
            length: self.length.checked_add(other.length)?,
            angle: self.angle.checked_add(other.angle)?,
            force: self.force.checked_add(other.force)?,
            mass: self.mass.checked_add(other.mass)?,
        })
    }

    /// The kind of a quotient; `None` when a power leaves the range of an i8.
    pub fn over(self, other: Self) -> Option<Self> {
        Some(Self {
            length: self.length.checked_sub(other.length)?,
            angle: self.angle.checked_sub(other.angle)?,
            force: self.force.checked_sub(other.force)?,
            mass: self.mass.checked_sub(other.mass)?,
        })
    }

    /// The kind of a square root; `None` when a power is odd.
    pub fn root(self) -> Option<Self> {
        let half = |power: i8| (power % 2 == 0).then_some(power / 2);
        Some(Self {
            length: half(self.length)?,
            angle: half(self.angle)?,
            force: half(self.force)?,
            mass: half(self.mass)?,
        })
    }

    /// The powers with the unit each is kept in.
    pub(crate) fn powers(self) -> [(i8, &'static str); 4] {
        [
            (self.length, "mm"),
            (self.angle, "rad"),
            (self.force, "N"),
            (self.mass, "kg"),
        ]
    }
}

/// The kind in a person's words, with its article: "a length", "an angle", "a number"; where the trade has no word, the
/// unit it would be in.
impl fmt::Display for Dim {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match (self.length, self.angle, self.force, self.mass) {
            (0, 0, 0, 0) => "a number",
            (1, 0, 0, 0) => "a length",
            (2, 0, 0, 0) => "an area",
            (3, 0, 0, 0) => "a volume",
            (4, 0, 0, 0) => "a second moment of area",
            (0, 1, 0, 0) => "an angle",
            (1, 1, 0, 0) => "a length times an angle",
            (0, 0, 1, 0) => "a force",
            (1, 0, 1, 0) => "a moment",
            (-1, 0, 1, 0) => "a force per length",
            (1, -1, 1, 0) => "a moment per angle",
            (-2, 0, 1, 0) => "a stress",
            (0, 0, 0, 1) => "a mass",
            (-3, 0, 0, 1) => "a density",
            (-1, 0, 0, 0) => "a number per length",
            _ => "",
        };
        if !word.is_empty() {
            return f.write_str(word);
        }
        f.write_str("a quantity in")?;
        for (power, unit) in self.powers() {
            match power {
                0 => {}
                1 => write!(f, " {unit}")?,
                _ => write!(f, " {unit}^{power}")?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_named_as_a_person_would() {
        assert_eq!(Dim::LENGTH.to_string(), "a length");
        assert_eq!(Dim::ANGLE.to_string(), "an angle");
        assert_eq!(Dim::NUMBER.to_string(), "a number");
        assert_eq!(Dim::STRESS.to_string(), "a stress");
        assert_eq!(
            Dim {
                mass: 2,
                ..Dim::LENGTH
            }
            .to_string(),
            "a quantity in mm kg^2"
        );
    }

    #[test]
    fn a_force_over_an_area_is_a_stress() {
        assert_eq!(Dim::FORCE.over(Dim::AREA), Some(Dim::STRESS));
    }

    #[test]
    fn powers_out_of_range_are_refused_not_wrapped() {
        let most = Dim {
            length: i8::MAX,
            ..Dim::NUMBER
        };
        assert_eq!(most.times(Dim::LENGTH), None);
        assert_eq!(Dim::LENGTH.root(), None);
    }
}
