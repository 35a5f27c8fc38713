//! A strip with holes: what is left, and how much the rim of a hole raises the stress.

use crate::estimate::{Estimate, Unit, input};

/// A strip with a round hole in its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoledStrip {
    /// Width, mm.
    pub width_mm: f64,
    /// Thickness, mm.
    pub t_mm: f64,
    /// Diameter of the hole, mm, less than the width.
    pub hole_mm: f64,
}

impl HoledStrip {
    fn share(&self) -> f64 {
        self.hole_mm / self.width_mm
    }

    fn inputs(&self, name: &'static str, value: f64, unit: Unit, factor: f64) -> Vec<crate::estimate::Input> {
        vec![
            input(name, value, unit),
            input("K", factor, Unit::Number),
            input("W", self.width_mm, Unit::Mm),
            input("d", self.hole_mm, Unit::Mm),
            input("t", self.t_mm, Unit::Mm),
        ]
    }

    /// Peak over the mean stress of what is left, when the strip is pulled:
    /// 3.00 - 3.13 d/W + 3.66 (d/W)^2 - 1.53 (d/W)^3; fit to Howland 1930 in Roark's Formulas, from memory.
    pub fn pulled_factor(&self) -> f64 {
        let r = self.share();
        3.00 - 3.13 * r + 3.66 * r.powi(2) - 1.53 * r.powi(3)
    }

    /// Peak over the mean bending stress of what is left, when the strip is bent over its face:
    /// (1.79 + 0.25/(0.39 + d/t) + 0.81/(1 + (d/t)^2) - 0.26/(1 + (d/t)^3)) (1 - 1.04 d/W + 1.22 (d/W)^2); Roark's
    /// Formulas, from memory, for d/W to 0.3.
    pub fn bent_factor(&self) -> f64 {
        let (r, q) = (self.share(), self.hole_mm / self.t_mm);
        let by_depth = 1.79 + 0.25 / (0.39 + q) + 0.81 / (1.0 + q.powi(2)) - 0.26 / (1.0 + q.powi(3));
        by_depth * (1.0 - 1.04 * r + 1.22 * r.powi(2))
    }

    /// Mean stress of what is left beside the hole under a pull, MPa.
    pub fn net_by_pull(&self, force_n: f64) -> Estimate {
        Estimate {
            value: force_n / ((self.width_mm - self.hole_mm) * self.t_mm),
            unit: Unit::Mpa,
            formula: "s = F / ((W - d) t)",
            inputs: vec![
                input("F", force_n, Unit::Newton),
                input("W", self.width_mm, Unit::Mm),
                input("d", self.hole_mm, Unit::Mm),
                input("t", self.t_mm, Unit::Mm),
            ],
            source: "mean stress on the net section",
        }
    }

    /// Peak stress at the rim under a pull, MPa.
    pub fn peak_by_pull(&self, force_n: f64) -> Estimate {
        let factor = self.pulled_factor();
        Estimate {
            value: factor * self.net_by_pull(force_n).value,
            unit: Unit::Mpa,
            formula: "s = K F / ((W - d) t), K = 3.00 - 3.13 d/W + 3.66 (d/W)^2 - 1.53 (d/W)^3",
            inputs: self.inputs("F", force_n, Unit::Newton, factor),
            source: "fit to Howland 1930 in Roark's Formulas, from memory",
        }
    }

    /// Peak stress at the rim under a bending moment over the face, MPa.
    pub fn peak_by_bending(&self, moment_n_mm: f64) -> Estimate {
        let factor = self.bent_factor();
        let net = 6.0 * moment_n_mm / ((self.width_mm - self.hole_mm) * self.t_mm.powi(2));
        Estimate {
            value: factor * net,
            unit: Unit::Mpa,
            formula: "s = K 6 M / ((W - d) t^2)",
            inputs: self.inputs("M", moment_n_mm, Unit::NewtonMm, factor),
            source: "transverse bending with a hole in Roark's Formulas, from memory",
        }
    }
}

/// Second moment of a strip bent edgewise, less its holes, mm4: t h^3/12 - sum (t d^3/12 + t d y^2). `holes` are diameter
/// and distance from the middle line, mm; they are taken to lie so that the middle line stays where it is (Shigley 8-12).
pub fn edgewise_second_moment_mm4(t_mm: f64, width_mm: f64, holes: &[(f64, f64)]) -> f64 {
    let whole = t_mm * width_mm.powi(3) / 12.0;
    let lost: f64 = holes
        .iter()
        .map(|(d, y)| t_mm * d.powi(3) / 12.0 + t_mm * d * y.powi(2))
        .sum();
    whole - lost
}

/// Stress at the edge of a strip bent edgewise, MPa.
pub fn edgewise_stress_mpa(moment_n_mm: f64, width_mm: f64, second_moment_mm4: f64) -> Estimate {
    Estimate {
        value: moment_n_mm * width_mm / 2.0 / second_moment_mm4,
        unit: Unit::Mpa,
        formula: "s = M (h/2) / I",
        inputs: vec![
            input("M", moment_n_mm, Unit::NewtonMm),
            input("h", width_mm, Unit::Mm),
            input("I", second_moment_mm4, Unit::Mm4),
        ],
        source: "elementary beam theory",
    }
}
