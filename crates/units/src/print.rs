//! Figures for people, in both systems: mm to a tenth and the nearest 64th of an inch with what is left over, degrees to
//! a tenth, forces, masses and stresses to three figures.

use crate::unit::{KG_PER_POUND, MM_PER_INCH, MPA_PER_PSI, NEWTON_PER_LBF};

/// The finest fraction on a shop rule.
const PARTS_PER_INCH: f64 = 64.0;
/// A remainder under half of the last digit printed is none.
const LEAST_REMAINDER_IN: f64 = 0.0005;

/// A length to a tenth of a mm: `mm(28.575)` is "28.6 mm".
pub fn mm(length_mm: f64) -> String {
    format!("{} mm", tenths(length_mm))
}

/// A length as the nearest 64th of an inch, with what is left over in thousandths: "1-1/8 in", "1-1/8 in + 0.003 in".
/// The whole reads back as a sum of the same length, to half a thousandth.
///
/// ```
/// assert_eq!(units::inch64(28.575), "1-1/8 in");
/// assert_eq!(units::inch64(28.65), "1-1/8 in + 0.003 in");
/// assert_eq!(units::inch64(-28.65), "-1-1/8 in - 0.003 in");
/// assert_eq!(units::inch64(9.525), "3/8 in");
/// ```
pub fn inch64(length_mm: f64) -> String {
    if !length_mm.is_finite() {
        return format!("{length_mm} in");
    }
    let inches = length_mm.abs() / MM_PER_INCH;
    let parts = (inches * PARTS_PER_INCH).round();
    let remainder = inches - parts / PARTS_PER_INCH;
    let negative = length_mm < 0.0;
    let mut text = String::new();
    if negative && parts > 0.0 {
        text.push('-');
    }
    text.push_str(&parts_of_inch(parts));
    text.push_str(" in");
    if remainder.abs() >= LEAST_REMAINDER_IN {
        let sign = if (remainder < 0.0) == negative { '+' } else { '-' };
        text.push_str(&format!(" {sign} {:.3} in", remainder.abs()));
    }
    text
}

/// Both, side by side: "28.6 mm (1-1/8 in)".
pub fn both(length_mm: f64) -> String {
    format!("{} ({})", mm(length_mm), inch64(length_mm))
}

/// An angle to a tenth of a degree: "25.0 deg".
pub fn deg(angle_rad: f64) -> String {
    format!("{} deg", tenths(angle_rad.to_degrees()))
}

/// A force: "120 N (27 lbf)".
pub fn force(force_n: f64) -> String {
    format!(
        "{} N ({} lbf)",
        three_figures(force_n),
        three_figures(force_n / NEWTON_PER_LBF)
    )
}

/// A moment: "20 N m (14.8 lbf ft)".
pub fn moment(moment_n_mm: f64) -> String {
    const MM_PER_M: f64 = 1000.0;
    const MM_PER_FOOT: f64 = 12.0 * MM_PER_INCH;
    format!(
        "{} N m ({} lbf ft)",
        three_figures(moment_n_mm / MM_PER_M),
        three_figures(moment_n_mm / (NEWTON_PER_LBF * MM_PER_FOOT))
    )
}

/// A mass: "0.9 kg (1.98 lb)".
pub fn mass(mass_kg: f64) -> String {
    format!(
        "{} kg ({} lb)",
        three_figures(mass_kg),
        three_figures(mass_kg / KG_PER_POUND)
    )
}

/// A stress: "193 MPa (28 ksi)".
pub fn stress(stress_mpa: f64) -> String {
    format!(
        "{} MPa ({} ksi)",
        three_figures(stress_mpa),
        three_figures(stress_mpa / (1000.0 * MPA_PER_PSI))
    )
}

/// Three figures, and never fewer than the whole part: 1234.5 is "1235", 0.8995 is "0.9".
fn three_figures(value: f64) -> String {
    // Beyond nine decimals a figure of the shop is zero.
    const MOST_DECIMALS: f64 = 9.0;
    if value == 0.0 || !value.is_finite() {
        return format!("{}", value + 0.0);
    }
    let decimals = (2.0 - value.abs().log10().floor()).clamp(0.0, MOST_DECIMALS);
    let text = format!("{value:.*}", decimals as usize);
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// To a tenth, without a minus sign before zero.
fn tenths(value: f64) -> String {
    let text = format!("{value:.1}");
    if text == "-0.0" { "0.0".to_owned() } else { text }
}

/// So many 64ths as whole and reduced fraction: 72 is "1-1/8".
fn parts_of_inch(parts: f64) -> String {
    let whole = (parts / PARTS_PER_INCH).floor();
    let (mut over, mut under) = (parts - whole * PARTS_PER_INCH, PARTS_PER_INCH);
    while over > 0.0 && over % 2.0 == 0.0 {
        over /= 2.0;
        under /= 2.0;
    }
    match (whole > 0.0, over > 0.0) {
        (true, true) => format!("{whole}-{over}/{under}"),
        (false, true) => format!("{over}/{under}"),
        _ => format!("{whole}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mm_and_64ths_stand_side_by_side() {
        assert_eq!(both(28.575), "28.6 mm (1-1/8 in)");
        assert_eq!(both(28.6), "28.6 mm (1-1/8 in + 0.001 in)");
        assert_eq!(both(0.0), "0.0 mm (0 in)");
        assert_eq!(both(25.4), "25.4 mm (1 in)");
    }

    #[test]
    fn the_remainder_takes_the_sign_that_makes_the_sum_right() {
        // Half a 64th is 0.198 mm: one below it belongs to the 64th under it, one above to the 64th over it.
        assert_eq!(inch64(25.4 + 0.15), "1 in + 0.006 in");
        assert_eq!(inch64(25.4 - 0.15), "1 in - 0.006 in");
        assert_eq!(inch64(-25.4 + 0.15), "-1 in + 0.006 in");
        assert_eq!(inch64(-0.15), "0 in - 0.006 in");
    }

    #[test]
    fn a_small_negative_is_not_minus_zero() {
        assert_eq!(mm(-0.04), "0.0 mm");
        assert_eq!(deg(-0.0001), "0.0 deg");
        assert_eq!(deg(25_f64.to_radians()), "25.0 deg");
    }

    #[test]
    fn forces_masses_and_stresses_stand_in_both_systems() {
        assert_eq!(force(120.0), "120 N (27 lbf)");
        assert_eq!(moment(20_000.0), "20 N m (14.8 lbf ft)");
        assert_eq!(force(9.81), "9.81 N (2.21 lbf)");
        assert_eq!(mass(0.9), "0.9 kg (1.98 lb)");
        assert_eq!(mass(1.6), "1.6 kg (3.53 lb)");
        assert_eq!(stress(193.05), "193 MPa (28 ksi)");
        assert_eq!(stress(70_000.0), "70000 MPa (10153 ksi)");
        assert_eq!(mass(0.0), "0 kg (0 lb)");
        assert_eq!(mass(-1e-12), "0 kg (0 lb)");
        assert_eq!(force(f64::NAN), "NaN N (NaN lbf)");
    }

    #[test]
    fn what_is_not_a_number_prints_and_does_not_panic() {
        assert_eq!(inch64(f64::NAN), "NaN in");
        assert_eq!(mm(f64::INFINITY), "inf mm");
        assert!(inch64(1e300).ends_with(" in"));
    }
}
