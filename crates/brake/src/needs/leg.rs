//! The least leg that stays on the die, from geometry, for any angle.

/// A leg must lie past the shoulder by this much of the thickness, so that its end does not slip in; common practice, no
/// source.
const PAST_SHOULDER_X_T: f64 = 0.25;

/// From the middle of the bend, how much flat plate must lie on either side of it on the blank, mm, for a V of this
/// opening with shoulders of this radius.
///
/// With a half the angle, the plate touches the shoulder at s = (V/2 - (r + t + q) sin a) / cos a past the tangent line,
/// which lies a (r + K t) from the middle of the strip. The most over the whole way to `bent_rad` counts: past 90 degrees
/// it grows fast.
pub fn least_flat_mm(
    bent_rad: f64,
    radius_mm: f64,
    neutral_mm: f64,
    t_mm: f64,
    opening_mm: f64,
    shoulder_mm: f64,
) -> f64 {
    const STEPS: usize = 32;
    let touches = |step: usize| {
        let half = bent_rad / 2.0 * step as f64 / STEPS as f64;
        let outside_mm = radius_mm + t_mm + shoulder_mm;
        (opening_mm / 2.0 - outside_mm * half.sin()) / half.cos() + half * neutral_mm
    };
    (0..=STEPS).map(touches).fold(0.0, f64::max) + PAST_SHOULDER_X_T * t_mm
}

/// The same as a leg measured to the outside of the other leg, mm. At 90 degrees about 0.7 V less the shoulder's radius.
pub fn least_leg_mm(
    bent_rad: f64,
    radius_mm: f64,
    neutral_mm: f64,
    t_mm: f64,
    opening_mm: f64,
    shoulder_mm: f64,
) -> f64 {
    let flat_mm = least_flat_mm(bent_rad, radius_mm, neutral_mm, t_mm, opening_mm, shoulder_mm);
    let set_back_mm = (radius_mm + t_mm) * (bent_rad / 2.0).tan().min(1.0);
    flat_mm - bent_rad / 2.0 * neutral_mm + set_back_mm
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_right_angle_over_24_mm_asks_for_about_0_7_v() {
        let row = published::row("A117");
        let v_mm = row.number("V");
        // Sharp shoulders, and only just touched.
        let leg_mm = least_leg_mm(90f64.to_radians(), 3.84, 3.84 + 1.2, 3.0, v_mm, 0.0) - 0.25 * 3.0;
        row.check(leg_mm);
    }

    #[test]
    fn a_sharper_bend_over_the_same_die_asks_for_more_flat_plate_and_none_for_less_than_half_the_v() {
        let flats = [30.0, 90.0, 120.0, 140.0]
            .map(|deg: f64| least_flat_mm(deg.to_radians(), 2.4, 3.4, 2.5, 16.0, 1.5));
        assert!(
            flats[0] >= 8.0 && flats.windows(2).all(|pair| pair[0] <= pair[1]),
            "{flats:?}"
        );
        assert!(flats[3] > flats[1], "{flats:?}");
    }
}
