//! What the bolt itself stands.

use std::f64::consts::PI;

/// Strength of a bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltSteel {
    /// Yield strength, MPa.
    pub yield_mpa: f64,
    /// Ultimate strength, MPa.
    pub ultimate_mpa: f64,
    /// Shear strength through the thread as a share of the ultimate: alpha_v, 0.6 or 0.5 by grade.
    pub shear_share: f64,
}

impl From<&handbook::BoltGrade> for BoltSteel {
    fn from(grade: &handbook::BoltGrade) -> Self {
        BoltSteel {
            yield_mpa: grade.yield_mpa.value,
            ultimate_mpa: grade.ultimate_mpa.value,
            shear_share: grade.shear_share.value,
        }
    }
}

/// Where the plates would shear the bolt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShearPlane {
    /// Through the thread: on the stress area.
    Thread,
    /// Through the plain shank: on the full area.
    Shank,
}

/// Form of the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeadForm {
    /// Standing on the plate.
    Raised,
    /// Sunk into it.
    Countersunk,
}

/// Size and shape of a bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltShape {
    /// Nominal diameter, mm.
    pub diameter_mm: f64,
    /// Tensile stress area, mm2.
    pub stress_area_mm2: f64,
    /// Where it would be sheared.
    pub plane: ShearPlane,
    /// Form of the head.
    pub head: HeadForm,
    /// Diameter over which the head or washer presses on the plate, mm.
    pub face_mm: f64,
}

/// Shear strength of a plain shank as a share of the ultimate: EN 1993-1-8 Table 3.4.
const SHANK_SHARE: f64 = 0.6;

impl BoltShape {
    /// A bolt of the handbook, sheared through its thread, with a raised head that presses over this diameter, mm.
    pub fn of(bolt: &handbook::Bolt, face_mm: f64) -> Self {
        BoltShape {
            diameter_mm: bolt.diameter_mm,
            stress_area_mm2: bolt.stress_area_mm2.value,
            plane: ShearPlane::Thread,
            head: HeadForm::Raised,
            face_mm,
        }
    }

    /// Force that shears the bolt once, N: alpha_v f_ub A, EN 1993-1-8 Table 3.4 (A the stress area in the thread, with
    /// alpha_v by grade; the full area in the shank, with 0.6).
    pub fn shear_n(&self, steel: &BoltSteel) -> f64 {
        match self.plane {
            ShearPlane::Thread => steel.shear_share * steel.ultimate_mpa * self.stress_area_mm2,
            ShearPlane::Shank => SHANK_SHARE * steel.ultimate_mpa * self.full_area_mm2(),
        }
    }

    /// Force that pulls the bolt apart, N: k2 f_ub A_s with k2 0.9, or 0.63 for a countersunk head; EN 1993-1-8 Table 3.4.
    pub fn tension_n(&self, steel: &BoltSteel) -> f64 {
        let k2 = match self.head {
            HeadForm::Raised => 0.9,
            HeadForm::Countersunk => 0.63,
        };
        k2 * steel.ultimate_mpa * self.stress_area_mm2
    }

    /// Force that pulls the head through a plate, N: 0.6 pi d_m t f_u, EN 1993-1-8 Table 3.4 (without the partial factor).
    pub fn punching_n(&self, t_mm: f64, plate_ultimate_mpa: f64) -> f64 {
        0.6 * PI * self.face_mm * t_mm * plate_ultimate_mpa
    }

    /// Section modulus of the round bar that has the stress area, mm3: pi d^3 / 32.
    pub fn section_modulus_mm3(&self) -> f64 {
        let d_mm = (4.0 * self.stress_area_mm2 / PI).sqrt();
        PI * d_mm.powi(3) / 32.0
    }

    /// Area that is sheared, mm2.
    pub fn sheared_area_mm2(&self) -> f64 {
        match self.plane {
            ShearPlane::Thread => self.stress_area_mm2,
            ShearPlane::Shank => self.full_area_mm2(),
        }
    }

    /// What is left of the shear resistance with loose packing of this thickness in the joint:
    /// 9 d / (8 d + 3 t_p), no more than 1, once the packing is thicker than d/3; EN 1993-1-8 3.6.1(12), from memory.
    pub fn packing_factor(&self, packing_mm: f64) -> f64 {
        let d = self.diameter_mm;
        if packing_mm <= d / 3.0 {
            1.0
        } else {
            (9.0 * d / (8.0 * d + 3.0 * packing_mm)).min(1.0)
        }
    }

    fn full_area_mm2(&self) -> f64 {
        PI / 4.0 * self.diameter_mm.powi(2)
    }
}
