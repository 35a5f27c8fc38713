//! A hole of the folded part, as the mounts see it.

use nalgebra::{Point3, Unit, Vector3};

/// The shape of a hole in its panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HoleShape {
    /// A round hole.
    Round {
        /// Diameter.
        dia_mm: f64,
    },
    /// A slot with round ends.
    Slot {
        /// Direction of its length, in part axes, across the hole's axis.
        along: Unit<Vector3<f64>>,
        /// From end to end, round ends included.
        length_mm: f64,
        /// Across.
        width_mm: f64,
    },
}

/// A hole of the folded part, in part axes.
#[derive(Debug, Clone, PartialEq)]
pub struct PartHole {
    /// Its name in the design.
    pub name: String,
    /// Its centre, half way through the plate.
    pub at: Point3<f64>,
    /// Square to the plate. Either of the two ways will do: the plate may lie on a seat with either face.
    pub axis: Unit<Vector3<f64>>,
    /// Thickness of the plate here, at least 0.
    pub thickness_mm: f64,
    /// Its shape.
    pub shape: HoleShape,
}

impl PartHole {
    /// A hole from its centres on the two faces of the plate; `None` when they are one point, for then they say
    /// nothing about the axis.
    pub fn between(
        name: impl Into<String>,
        one: Point3<f64>,
        other: Point3<f64>,
        shape: HoleShape,
    ) -> Option<Self> {
        let through = other - one;
        let axis = Unit::try_new(through, 1e-12)?;
        Some(Self {
            name: name.into(),
            at: one + through * 0.5,
            axis,
            thickness_mm: through.norm(),
            shape,
        })
    }

    /// Its centre on the face whose outward normal is `sign` times the axis (`sign` is 1 or -1).
    pub(crate) fn on_face(&self, sign: f64) -> Point3<f64> {
        self.at + self.axis.into_inner() * (sign * self.thickness_mm * 0.5)
    }
}
