//! Curves and surfaces without their bounds.

use nalgebra::{Point3, Vector3};

use super::entities::{Entities, Id, real};

impl Entities {
    pub(super) fn line(&mut self, from: Point3<f64>, to: Point3<f64>) -> Id {
        let at = self.point(from);
        let along = self.direction(to - from);
        let vector = self.add(format!("VECTOR('',{along},1.)"));
        self.add(format!("LINE('',{at},{vector})"))
    }

    /// Counter-clockwise about `axis`, from `start` on.
    pub(super) fn circle(&mut self, centre: Point3<f64>, axis: Vector3<f64>, start: Point3<f64>) -> Id {
        let placement = self.placement(centre, axis, start - centre);
        self.add(format!(
            "CIRCLE('',{placement},{})",
            real((start - centre).norm())
        ))
    }

    pub(super) fn plane(&mut self, at: Point3<f64>, normal: Vector3<f64>, along: Vector3<f64>) -> Id {
        let placement = self.placement(at, normal, along);
        self.add(format!("PLANE('',{placement})"))
    }

    /// Its own normal points away from the axis.
    pub(super) fn cylinder(
        &mut self,
        at: Point3<f64>,
        axis: Vector3<f64>,
        start: Vector3<f64>,
        radius_mm: f64,
    ) -> Id {
        let placement = self.placement(at, axis, start);
        self.add(format!("CYLINDRICAL_SURFACE('',{placement},{})", real(radius_mm)))
    }
}
