//! Figures as printed: both systems side by side.

/// mm to a tenth.
pub(crate) fn mm(length_mm: f64) -> String {
    let written = format!("{length_mm:.1}");
    if written == "-0.0" {
        "0.0".to_owned()
    } else {
        written
    }
}

/// The nearest 1/64 in, with what is left over in mm when a rule can show it.
pub(crate) fn inch(length_mm: f64) -> String {
    const STEP_MM: f64 = 25.4 / 64.0;
    let steps = (length_mm / STEP_MM).round();
    let left_mm = length_mm - steps * STEP_MM;
    let sign = if steps < 0.0 { "-" } else { "" };
    let steps = steps.abs() as u64;
    let (whole, mut top, mut bottom) = (steps / 64, steps % 64, 64);
    while top > 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    let fraction = match (whole, top) {
        (0, 0) => "0".to_owned(),
        (whole, 0) => format!("{sign}{whole}"),
        (0, top) => format!("{sign}{top}/{bottom}"),
        (whole, top) => format!("{sign}{whole}-{top}/{bottom}"),
    };
    if left_mm.abs() < 0.05 {
        fraction
    } else {
        format!("{fraction} {left_mm:+.1}")
    }
}

/// Both systems, with their units.
pub(crate) fn both(length_mm: f64) -> String {
    let inch = inch(length_mm);
    let inch = match inch.split_once(' ') {
        Some((fraction, left)) => format!("{fraction} in {left} mm"),
        None => format!("{inch} in"),
    };
    format!("{} mm ({inch})", mm(length_mm))
}

/// Degrees to a tenth.
pub(crate) fn degrees(angle_rad: f64) -> String {
    format!("{:.1} deg", angle_rad.to_degrees())
}

/// The angle bent through and the angle it leaves between the legs.
pub(crate) fn bend_angles(bent_rad: f64) -> [String; 2] {
    [
        format!("{} bent through", degrees(bent_rad)),
        format!("{} between legs", degrees(std::f64::consts::PI - bent_rad)),
    ]
}

/// kg to a gram, and pounds.
pub(crate) fn mass(mass_kg: f64) -> String {
    const KG_PER_LB: f64 = 0.453_592_37;
    format!("{mass_kg:.3} kg ({:.2} lb)", mass_kg / KG_PER_LB)
}

/// Square centimetres, and square inches.
pub(crate) fn area(area_mm2: f64) -> String {
    format!("{:.1} cm² ({:.1} sq in)", area_mm2 / 100.0, area_mm2 / 645.16)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_printed_in_both_systems_with_what_is_left_over() {
        assert_eq!(both(63.5), "63.5 mm (2-1/2 in)");
        assert_eq!(both(212.6), "212.6 mm (8-3/8 in -0.1 mm)");
        assert_eq!(both(0.0), "0.0 mm (0 in)");
        assert_eq!(inch(-12.7), "-1/2");
    }
}
