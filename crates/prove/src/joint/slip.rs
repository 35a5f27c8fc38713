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

/// Share of a pull that a tightened bolt feels while the joint stays closed: k_b/(k_b + k_m), bolt and clamped plates as
/// springs side by side; Shigley 8-7.
pub fn felt_share(bolt_n_mm: f64, clamped_n_mm: f64) -> f64 {
    bolt_n_mm / (bolt_n_mm + clamped_n_mm)
}

/// Pull that opens a tightened joint, N: F_p/(1 - C), C the share the bolt feels; Shigley 8-9.
pub fn opens_at_n(preload_n: f64, felt_share: f64) -> f64 {
    preload_n / (1.0 - felt_share)
}

/// What tightening asks, as a share of what it may: above 1 it stretches the bolt or strips the thread before any load comes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tightening {
    /// Highest preload over the proof load.
    pub of_proof: f64,
    /// Highest preload over the load that strips the tapped hole; none for a nut, or where the metal is not known.
    pub of_thread: Option<f64>,
}

/// Tightening with its highest preload, N, held against the bolt's proof stress on its stress area, and the thread.
pub fn tightening(
    preload: &Preload,
    proof_mpa: f64,
    stress_area_mm2: f64,
    thread_strips_n: Option<f64>,
) -> Tightening {
    Tightening {
        of_proof: preload.high_n / (proof_mpa * stress_area_mm2),
        of_thread: thread_strips_n.map(|strips_n| preload.high_n / strips_n),
    }
}

/// Force at which one pair of faces slips, N: mu (F_p - 0.8 F_t), EN 1993-1-8 3.9.2; 0 once the pull has opened the joint.
pub fn slip_n(friction: f64, preload_n: f64, tension_n: f64) -> f64 {
    (friction * (preload_n - 0.8 * tension_n.max(0.0))).max(0.0)
}
