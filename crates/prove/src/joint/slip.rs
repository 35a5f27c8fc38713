//! Torque, preload and friction.

use handbook::NutFactor;

/// Preload of a bolt tightened to a torque, N, with its spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preload {
    /// As is usual.
    pub usual_n: f64,
    /// As little as it may be (the highest nut factor): what friction may count on.
    pub low_n: f64,
    /// As much as it may be: what the bolt must stand.
    pub high_n: f64,
}

/// Torque for a preload, N mm: T = K d F.
pub fn torque_n_mm(nut_factor: f64, diameter_mm: f64, preload_n: f64) -> f64 {
    nut_factor * diameter_mm * preload_n
}

/// Preload of a torque, N: F = T / (K d), with the spread of K.
pub fn preload_n(torque_n_mm: f64, diameter_mm: f64, nut_factor: NutFactor) -> Preload {
    let at = |k: f64| torque_n_mm / (k * diameter_mm);
    Preload {
        usual_n: at(nut_factor.usual),
        low_n: at(nut_factor.high),
        high_n: at(nut_factor.low),
    }
}

/// Preload of a share of the proof stress, N: usually 0.75 for a joint that comes apart again (Shigley 8-8).
pub fn tightened_to_n(share: f64, proof_mpa: f64, stress_area_mm2: f64) -> f64 {
    share * proof_mpa * stress_area_mm2
}

/// Force at which one pair of faces slips, N: mu (F_p - 0.8 F_t), EN 1993-1-8 3.9.2; 0 once the pull has opened the joint.
pub fn slip_n(friction: f64, preload_n: f64, tension_n: f64) -> f64 {
    (friction * (preload_n - 0.8 * tension_n.max(0.0))).max(0.0)
}
