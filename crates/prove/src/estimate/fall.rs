//! Loads that come at once: a fall, a stop, a load let go.

use crate::estimate::{Estimate, Unit, input};

/// Standard gravity, m/s2.
const GRAVITY_M_S2: f64 = 9.806_65;

/// Greatest force of a mass that falls from a height onto something springy, N. `stiffness_n_mm` is how stiff the part is
/// where it lands and in the direction it falls. All of the energy goes into the part: none is lost in ground, joint or
/// hand, so it is the most that can be. From no height it is twice the weight.
pub fn fallen_n(mass_kg: f64, height_mm: f64, stiffness_n_mm: f64) -> Estimate {
    let weight_n = mass_kg * GRAVITY_M_S2;
    // As F = m g + sqrt((m g)^2 + 2 h k m g), which has no trouble with a mass of 0.
    let from_height = weight_n * (weight_n + 2.0 * height_mm * stiffness_n_mm);
    Estimate {
        value: weight_n + from_height.sqrt(),
        unit: Unit::Newton,
        formula: "F = m g (1 + sqrt(1 + 2 h k / (m g)))",
        inputs: vec![
            input("m", mass_kg, Unit::Kilogram),
            input("h", height_mm, Unit::Mm),
            input("k", stiffness_n_mm, Unit::NewtonPerMm),
        ],
        source: "energy of a falling weight and a spring; Shigley 4-17",
    }
}

/// Greatest force when a moving mass is stopped by something springy, N: what a jam does with the arm behind it.
pub fn stopped_n(mass_kg: f64, speed_m_s: f64, stiffness_n_mm: f64) -> Estimate {
    const MM_PER_M: f64 = 1e3;
    Estimate {
        value: speed_m_s * (stiffness_n_mm * MM_PER_M * mass_kg).sqrt(),
        unit: Unit::Newton,
        formula: "F = v sqrt(k m)",
        inputs: vec![
            input("v", speed_m_s, Unit::MetrePerSecond),
            input("k", stiffness_n_mm, Unit::NewtonPerMm),
            input("m", mass_kg, Unit::Kilogram),
        ],
        source: "energy of a moving mass and a spring",
    }
}

/// Force of a load that comes on at once without a fall, N.
pub fn sudden_n(force_n: f64) -> Estimate {
    Estimate {
        value: 2.0 * force_n,
        unit: Unit::Newton,
        formula: "F = 2 F0",
        inputs: vec![input("F0", force_n, Unit::Newton)],
        source: "the fall from no height",
    }
}
