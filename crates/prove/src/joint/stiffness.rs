//! How a bolted place gives: springs for the shell's model.

use std::f64::consts::PI;

use crate::BoltStiffness;

/// What a bolt clamps. Every size and modulus is above 0, the spacer 0 or more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grip {
    /// Bolt, nominal diameter, mm.
    pub bolt_mm: f64,
    /// Its stress area, mm2.
    pub stress_area_mm2: f64,
    /// The plate's thickness, mm.
    pub plate_mm: f64,
    /// Thickness of what it is bolted to, as far as it works: the other plate, or the depth of thread in a tapped seat, mm.
    pub seat_mm: f64,
    /// Spacers and washers between head and nut beside these, mm.
    pub spacer_mm: f64,
    /// Diameter of the hole, mm.
    pub hole_mm: f64,
    /// Outside diameter of what presses on the plate, mm.
    pub face_mm: f64,
    /// Elastic modulus of the bolt, MPa.
    pub bolt_elastic_mpa: f64,
    /// Elastic modulus of the plate, MPa.
    pub plate_elastic_mpa: f64,
    /// Elastic modulus of the seat, MPa.
    pub seat_elastic_mpa: f64,
}

/// Part of the head and of the nut that stretches with the bolt, each, x d: as in VDI 2230, from memory.
const HEAD_SHARE: f64 = 0.5;

/// Stretch of the bolt, N/mm: E A_s / (l + 0.5 d + 0.5 d), the head and nut counted with half a diameter each.
pub fn bolt_axial_n_mm(grip: &Grip) -> f64 {
    grip.bolt_elastic_mpa * grip.stress_area_mm2 / working_length_mm(grip)
}

/// Squeeze of the clamped plates, N/mm: 0.5774 pi E d / (2 ln(5 (0.5774 l + 0.5 d) / (0.5774 l + 2.5 d))), cones of 30
/// degrees under a face 1.5 d wide; Shigley 8-5. Plate and seat of different metals: springs in series over their shares
/// of the grip, each with E of its own.
pub fn clamped_plates_n_mm(grip: &Grip) -> f64 {
    let (d, l) = (grip.bolt_mm, grip_mm(grip));
    let compliance = grip.plate_mm / grip.plate_elastic_mpa
        + grip.seat_mm / grip.seat_elastic_mpa
        + grip.spacer_mm / grip.bolt_elastic_mpa;
    let elastic_mpa = l / compliance;
    0.5774 * PI * elastic_mpa * d / (2.0 * (5.0 * (0.5774 * l + 0.5 * d) / (0.5774 * l + 2.5 * d)).ln())
}

/// Shear give of one bolt in single shear, N/mm: 1/C with
/// C = ((t1 + t2)/(2 d))^a b (1/(t1 E1) + 1/(t2 E2) + 1/(2 t1 Ef) + 1/(2 t2 Ef)), a = 2/3 and b = 3.0 for bolted metal;
/// Huth, Influence of fastener flexibility, ASTM STP 927 (1986), from memory.
pub fn huth_shear_n_mm(grip: &Grip) -> f64 {
    let (t1, t2) = (grip.plate_mm, grip.seat_mm);
    let (e1, e2, ef) = (
        grip.plate_elastic_mpa,
        grip.seat_elastic_mpa,
        grip.bolt_elastic_mpa,
    );
    let size = ((t1 + t2) / (2.0 * grip.bolt_mm)).powf(2.0 / 3.0) * 3.0;
    let give = size * (1.0 / (t1 * e1) + 1.0 / (t2 * e2) + 1.0 / (2.0 * t1 * ef) + 1.0 / (2.0 * t2 * ef));
    // A spacer leaves the bolt to stand free over its length, built in at both ends: s^3 / (12 E I), a beam.
    let inertia_mm4 = PI / 64.0 * grip.bolt_mm.powi(4);
    1.0 / (give + grip.spacer_mm.powi(3) / (12.0 * ef * inertia_mm4))
}

/// The three springs of a bolted place.
///
/// Loose, the bolt alone: its stretch, the shear give of Huth, and its bending E I / l. Tightened (and as long as the joint
/// stays closed) bolt and clamped plates side by side along the bolt, and in tilt the same spring spread evenly over the ring
/// that is pressed: k (D^2 + d0^2) / 16, the second moment of a ring over its area.
pub fn bolt_gives(grip: &Grip, tightened: bool) -> BoltStiffness {
    let bolt_n_mm = bolt_axial_n_mm(grip);
    let inertia_mm4 = PI / 64.0 * grip.bolt_mm.powi(4);
    let bends_n_mm_rad = grip.bolt_elastic_mpa * inertia_mm4 / working_length_mm(grip);
    let shear_n_mm = huth_shear_n_mm(grip);
    if !tightened {
        return BoltStiffness {
            axial_n_mm: bolt_n_mm,
            shear_n_mm,
            tilt_n_mm_rad: bends_n_mm_rad,
        };
    }
    let axial_n_mm = bolt_n_mm + clamped_plates_n_mm(grip);
    let ring = (grip.face_mm.powi(2) + grip.hole_mm.powi(2)) / 16.0;
    BoltStiffness {
        axial_n_mm,
        shear_n_mm,
        tilt_n_mm_rad: bends_n_mm_rad + axial_n_mm * ring,
    }
}

fn grip_mm(grip: &Grip) -> f64 {
    grip.plate_mm + grip.seat_mm + grip.spacer_mm
}

fn working_length_mm(grip: &Grip) -> f64 {
    grip_mm(grip) + 2.0 * HEAD_SHARE * grip.bolt_mm
}

#[cfg(test)]
mod tests {
    use super::*;

    const M8: Grip = Grip {
        bolt_mm: 8.0,
        stress_area_mm2: 36.6,
        plate_mm: 4.0,
        seat_mm: 6.0,
        spacer_mm: 0.0,
        hole_mm: 9.0,
        face_mm: 16.0,
        bolt_elastic_mpa: 205_000.0,
        plate_elastic_mpa: 70_000.0,
        seat_elastic_mpa: 205_000.0,
    };

    #[test]
    fn a_tightened_joint_is_stiffer_in_every_way_and_a_spacer_softens_it() {
        let (loose, tight) = (bolt_gives(&M8, false), bolt_gives(&M8, true));
        assert!(tight.axial_n_mm > 2.0 * loose.axial_n_mm);
        assert!(tight.tilt_n_mm_rad > loose.tilt_n_mm_rad);
        let stood_off = Grip {
            spacer_mm: 20.0,
            ..M8
        };
        assert!(bolt_gives(&stood_off, false).shear_n_mm < 0.5 * loose.shear_n_mm);
        assert!(bolt_gives(&stood_off, false).axial_n_mm < loose.axial_n_mm);
    }

    #[test]
    fn twice_the_size_is_twice_as_stiff() {
        let twice = Grip {
            bolt_mm: 16.0,
            stress_area_mm2: 4.0 * 36.6,
            plate_mm: 8.0,
            seat_mm: 12.0,
            hole_mm: 18.0,
            face_mm: 32.0,
            ..M8
        };
        let (one, two) = (bolt_gives(&M8, true), bolt_gives(&twice, true));
        assert!((two.axial_n_mm / one.axial_n_mm - 2.0).abs() < 1e-9);
        assert!((two.shear_n_mm / one.shear_n_mm - 2.0).abs() < 1e-9);
        assert!((two.tilt_n_mm_rad / one.tilt_n_mm_rad - 8.0).abs() < 1e-9);
    }
}
