//! A flat strip built in at one end, under a force, a moment or a torque at the other.

use crate::estimate::{Estimate, Input, Unit, input};

/// A strip. It is taken as a beam: a strip far wider than long is stiffer, by up to 1/(1 - nu^2), some 10 %.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// Width, mm.
    pub width_mm: f64,
    /// Thickness, mm.
    pub t_mm: f64,
    /// Free length, mm.
    pub length_mm: f64,
    /// Modulus of elasticity, MPa.
    pub elastic_mpa: f64,
    /// Poisson's ratio.
    pub poisson: f64,
}

const BEAM: &str = "elementary beam theory, built in at one end";
const TORSION: &str = "Roark's Formulas, torsion of a solid rectangle, from memory";

impl Strip {
    fn inputs(&self, load: Input) -> Vec<Input> {
        vec![
            load,
            input("L", self.length_mm, Unit::Mm),
            input("E", self.elastic_mpa, Unit::Mpa),
            input("b", self.width_mm, Unit::Mm),
            input("t", self.t_mm, Unit::Mm),
        ]
    }

    fn stress_inputs(&self, load: Input) -> Vec<Input> {
        vec![
            load,
            input("b", self.width_mm, Unit::Mm),
            input("t", self.t_mm, Unit::Mm),
        ]
    }

    fn bending_n_mm2(&self) -> f64 {
        self.elastic_mpa * self.width_mm * self.t_mm.powi(3)
    }

    /// How far a force at the end, square to the strip's face, moves it, mm.
    pub fn moved_by_force(&self, force_n: f64) -> Estimate {
        Estimate {
            value: 4.0 * force_n * self.length_mm.powi(3) / self.bending_n_mm2(),
            unit: Unit::Mm,
            formula: "w = 4 F L^3 / (E b t^3)",
            inputs: self.inputs(input("F", force_n, Unit::Newton)),
            source: BEAM,
        }
    }

    /// How far such a force turns the end, rad.
    pub fn turned_by_force(&self, force_n: f64) -> Estimate {
        Estimate {
            value: 6.0 * force_n * self.length_mm.powi(2) / self.bending_n_mm2(),
            unit: Unit::Radian,
            formula: "a = 6 F L^2 / (E b t^3)",
            inputs: self.inputs(input("F", force_n, Unit::Newton)),
            source: BEAM,
        }
    }

    /// Stress at the built-in end under such a force, MPa.
    pub fn stress_by_force(&self, force_n: f64) -> Estimate {
        Estimate {
            value: 6.0 * force_n * self.length_mm / (self.width_mm * self.t_mm.powi(2)),
            unit: Unit::Mpa,
            formula: "s = 6 F L / (b t^2)",
            inputs: vec![
                input("F", force_n, Unit::Newton),
                input("L", self.length_mm, Unit::Mm),
                input("b", self.width_mm, Unit::Mm),
                input("t", self.t_mm, Unit::Mm),
            ],
            source: BEAM,
        }
    }

    /// How far a moment at the end, bending the strip over its face, moves it, mm.
    pub fn moved_by_moment(&self, moment_n_mm: f64) -> Estimate {
        Estimate {
            value: 6.0 * moment_n_mm * self.length_mm.powi(2) / self.bending_n_mm2(),
            unit: Unit::Mm,
            formula: "w = 6 M L^2 / (E b t^3)",
            inputs: self.inputs(input("M", moment_n_mm, Unit::NewtonMm)),
            source: BEAM,
        }
    }

    /// How far such a moment turns the end, rad.
    pub fn turned_by_moment(&self, moment_n_mm: f64) -> Estimate {
        Estimate {
            value: 12.0 * moment_n_mm * self.length_mm / self.bending_n_mm2(),
            unit: Unit::Radian,
            formula: "a = 12 M L / (E b t^3)",
            inputs: self.inputs(input("M", moment_n_mm, Unit::NewtonMm)),
            source: BEAM,
        }
    }

    /// Stress all along the strip under such a moment, MPa.
    pub fn stress_by_moment(&self, moment_n_mm: f64) -> Estimate {
        Estimate {
            value: 6.0 * moment_n_mm / (self.width_mm * self.t_mm.powi(2)),
            unit: Unit::Mpa,
            formula: "s = 6 M / (b t^2)",
            inputs: self.stress_inputs(input("M", moment_n_mm, Unit::NewtonMm)),
            source: BEAM,
        }
    }

    /// Torsion constant, mm4: b t^3/3 (1 - 0.63 t/b (1 - t^4/(12 b^4))), b the longer side; within 1 % of the exact series.
    pub fn torsion_mm4(&self) -> f64 {
        let (b, t) = self.sides();
        let r = t / b;
        b * t.powi(3) / 3.0 * (1.0 - 0.63 * r * (1.0 - r.powi(4) / 12.0))
    }

    /// How far a torque about the strip's length twists its end, rad; the built-in end is taken as free to warp, so that a
    /// short strip twists less.
    pub fn twisted(&self, torque_n_mm: f64) -> Estimate {
        let shear_mpa = self.elastic_mpa / (2.0 * (1.0 + self.poisson));
        Estimate {
            value: torque_n_mm * self.length_mm / (shear_mpa * self.torsion_mm4()),
            unit: Unit::Radian,
            formula: "a = T L / (G J), J = b t^3/3 (1 - 0.63 t/b (1 - t^4/(12 b^4)))",
            inputs: vec![
                input("T", torque_n_mm, Unit::NewtonMm),
                input("L", self.length_mm, Unit::Mm),
                input("G", shear_mpa, Unit::Mpa),
                input("J", self.torsion_mm4(), Unit::Mm4),
            ],
            source: TORSION,
        }
    }

    /// Largest shear stress of such a torque, MPa, in the middle of the wide faces; within 5 % of the exact series.
    pub fn stress_by_torque(&self, torque_n_mm: f64) -> Estimate {
        let (b, t) = self.sides();
        Estimate {
            value: torque_n_mm / (b * t * t) * (3.0 + 1.8 * t / b),
            unit: Unit::Mpa,
            formula: "s = T / (b t^2) (3 + 1.8 t/b)",
            inputs: self.stress_inputs(input("T", torque_n_mm, Unit::NewtonMm)),
            source: "Shigley 3-12, torsion of a rectangle",
        }
    }

    /// Longer and shorter side, mm.
    fn sides(&self) -> (f64, f64) {
        (self.width_mm.max(self.t_mm), self.width_mm.min(self.t_mm))
    }
}
