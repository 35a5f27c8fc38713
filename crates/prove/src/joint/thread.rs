//! Stripping of threads.

use std::f64::consts::PI;

/// Shear strength of a thread's metal as a share of its ultimate strength: common practice, as in the published examples
/// this room is checked by.
pub const SHEAR_SHARE: f64 = 0.6;

/// Half the slope of a 60 degree thread: tan 30.
const TAN_30: f64 = 0.577_35;

/// The diameters that decide how a pair of threads strips, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadForm {
    /// From thread to thread, mm.
    pub pitch_mm: f64,
    /// Outside diameter of the bolt, mm.
    pub bolt_major_mm: f64,
    /// Least pitch diameter of the bolt, mm.
    pub bolt_pitch_dia_mm: f64,
    /// Largest pitch diameter of the nut, mm.
    pub nut_pitch_dia_mm: f64,
    /// Largest inside diameter of the nut, mm.
    pub nut_minor_mm: f64,
}

impl ThreadForm {
    /// A pair of 60 degree threads at the loose end of 6g and 6H, by the formulas of ISO 965-1 (from memory), in
    /// micrometres with P and d in mm: es = 15 + 11 P; T_d2 = 90 P^0.4 d^0.1; T_D2 = 1.32 T_d2; T_D1 = 230 P^0.7 from
    /// 1 mm pitch, else 433 P - 190 P^1.22. The bolt's outside is taken at its largest, d - es, as in the handbook's
    /// example. Inch threads 2A/2B lie near enough.
    pub fn loose(diameter_mm: f64, pitch_mm: f64) -> Self {
        const MM: f64 = 1e-3;
        let (d, p) = (diameter_mm, pitch_mm);
        let es_mm = (15.0 + 11.0 * p) * MM;
        let bolt_band_mm = 90.0 * p.powf(0.4) * d.powf(0.1) * MM;
        let minor_band_mm = if p >= 1.0 {
            230.0 * p.powf(0.7)
        } else {
            433.0 * p - 190.0 * p.powf(1.22)
        } * MM;
        let pitch_dia_mm = d - 0.649_519 * p;
        ThreadForm {
            pitch_mm: p,
            bolt_major_mm: d - es_mm,
            bolt_pitch_dia_mm: pitch_dia_mm - es_mm - bolt_band_mm,
            nut_pitch_dia_mm: pitch_dia_mm + 1.32 * bolt_band_mm,
            nut_minor_mm: d - 1.082_532 * p + minor_band_mm,
        }
    }

    /// Area on which the nut's (or tapped hole's) thread shears, mm2 per mm of engagement:
    /// pi/P D_s (P/2 + 0.57735 (D_s - E_n)), handbook of threads; never below 0.
    pub fn nut_shear_area_mm2_per_mm(&self) -> f64 {
        let (p, major) = (self.pitch_mm, self.bolt_major_mm);
        (PI / p * major * (p / 2.0 + TAN_30 * (major - self.nut_pitch_dia_mm))).max(0.0)
    }

    /// Area on which the bolt's thread shears, mm2 per mm of engagement:
    /// pi/P K_n (P/2 + 0.57735 (E_s - K_n)), handbook of threads; never below 0.
    pub fn bolt_shear_area_mm2_per_mm(&self) -> f64 {
        let (p, minor) = (self.pitch_mm, self.nut_minor_mm);
        (PI / p * minor * (p / 2.0 + TAN_30 * (self.bolt_pitch_dia_mm - minor))).max(0.0)
    }

    /// Force that strips the nut's thread, N, over an engagement in mm; `tau_mpa` the shear strength of its metal.
    pub fn nut_strips_n(&self, engaged_mm: f64, tau_mpa: f64) -> f64 {
        self.nut_shear_area_mm2_per_mm() * engaged_mm * tau_mpa
    }

    /// Force that strips the bolt's thread, N.
    pub fn bolt_strips_n(&self, engaged_mm: f64, tau_mpa: f64) -> f64 {
        self.bolt_shear_area_mm2_per_mm() * engaged_mm * tau_mpa
    }

    /// Engagement at which the nut's thread carries this load, mm: F / (tau A). Infinite where the threads do not meet.
    pub fn engagement_mm(&self, load_n: f64, nut_tau_mpa: f64) -> f64 {
        load_n / (nut_tau_mpa * self.nut_shear_area_mm2_per_mm())
    }
}
