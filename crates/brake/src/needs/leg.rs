//! The least leg that stays on the die, from geometry, for any angle.

/// A leg must lie past the shoulder by this much of the thickness, so that its end does not slip in; common practice, no
/// source.
const PAST_SHOULDER_X_T: f64 = 0.25;

/// A bend over a V.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverV {
    /// The angle bent through, rad.
    pub bent_rad: f64,
    /// Inside radius, mm.
    pub radius_mm: f64,
    /// Radius of the neutral line, r + K t, mm.
    pub neutral_mm: f64,
    /// Thickness, mm.
    pub t_mm: f64,
    /// The V's opening, mm.
    pub opening_mm: f64,
    /// Radius of its shoulders, mm.
    pub shoulder_mm: f64,
}

impl OverV {
    /// From the middle of the bend, how much flat plate must lie on either side of it on the blank, mm.
    ///
    /// With a half the angle, the plate touches the shoulder at s = (V/2 - (r + t + q) sin a) / cos a past the tangent line,
    /// which lies a (r + K t) from the middle of the strip. The most over the whole way to `bent_rad` counts: past 90 degrees
    /// it grows fast.
    pub fn least_flat_mm(&self) -> f64 {
        const STEPS: usize = 32;
        let touches = |step: usize| {
            let half = self.bent_rad / 2.0 * step as f64 / STEPS as f64;
            let outside_mm = self.radius_mm + self.t_mm + self.shoulder_mm;
            (self.opening_mm / 2.0 - outside_mm * half.sin()) / half.cos() + half * self.neutral_mm
        };
        (0..=STEPS).map(touches).fold(0.0, f64::max) + PAST_SHOULDER_X_T * self.t_mm
    }

    /// The same as a leg measured to the outside of the other leg, mm. At 90 degrees about 0.7 V less the shoulder's radius.
    pub fn least_leg_mm(&self) -> f64 {
        let set_back_mm = (self.radius_mm + self.t_mm) * (self.bent_rad / 2.0).tan().min(1.0);
        self.least_flat_mm() - self.bent_rad / 2.0 * self.neutral_mm + set_back_mm
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_right_angle_over_24_mm_asks_for_about_0_7_v() {
        let row = published::row("A117");
        let v_mm = row.number("V");
        // Sharp shoulders, and only just touched.
        let over = OverV {
            bent_rad: 90f64.to_radians(),
            radius_mm: 3.84,
            neutral_mm: 3.84 + 1.2,
            t_mm: 3.0,
            opening_mm: v_mm,
            shoulder_mm: 0.0,
        };
        row.check(over.least_leg_mm() - PAST_SHOULDER_X_T * over.t_mm);
    }

    #[test]
    fn a_sharper_bend_over_the_same_die_asks_for_more_flat_plate_and_none_for_less_than_half_the_v() {
        let flats = [30.0, 90.0, 120.0, 140.0].map(|deg: f64| {
            let over = OverV {
                bent_rad: deg.to_radians(),
                radius_mm: 2.4,
                neutral_mm: 3.4,
                t_mm: 2.5,
                opening_mm: 16.0,
                shoulder_mm: 1.5,
            };
            over.least_flat_mm()
        });
        assert!(
            flats[0] >= 8.0 && flats.windows(2).all(|pair| pair[0] <= pair[1]),
            "{flats:?}"
        );
        assert!(flats[3] > flats[1], "{flats:?}");
    }
}
