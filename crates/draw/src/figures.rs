//! Figures as printed: both systems side by side.

use nalgebra::Point3;
pub(crate) use units::{both, deg};

/// mm to a tenth, without the unit: for the columns of a table that names it once.
pub(crate) fn mm(length_mm: f64) -> String {
    bare(&units::mm(length_mm), " mm")
}

/// The nearest 1/64 in with what is left over in thousandths, without the unit: "1-1/8 +.003".
pub(crate) fn inch(length_mm: f64) -> String {
    bare(&units::inch64(length_mm), " in")
        .replace(" + 0.", " +.")
        .replace(" - 0.", " -.")
}

/// A place in words: "x 12.5, y 0.0, z -3.0 mm".
pub(crate) fn spot(at: &Point3<f64>) -> String {
    format!("x {}, y {}, z {} mm", mm(at.x), mm(at.y), mm(at.z))
}

fn bare(words: &str, unit: &str) -> String {
    words.replace(unit, "")
}

/// The angle bent through and the angle it leaves between the legs.
pub(crate) fn bend_angles(bent_rad: f64) -> [String; 2] {
    [
        format!("{} bent through", deg(bent_rad)),
        format!("{} between legs", deg(std::f64::consts::PI - bent_rad)),
    ]
}

/// kg to a gram, and pounds.
pub(crate) fn mass(mass_kg: f64) -> String {
    format!("{mass_kg:.3} kg ({:.2} lb)", mass_kg / units::KG_PER_POUND)
}

/// Square centimetres, and square inches.
pub(crate) fn area(area_mm2: f64) -> String {
    format!(
        "{:.1} cm² ({:.1} sq in)",
        area_mm2 / 100.0,
        area_mm2 / (units::MM_PER_INCH * units::MM_PER_INCH)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_leaves_the_unit_to_its_head() {
        assert_eq!(mm(63.5), "63.5");
        assert_eq!(inch(63.5), "2-1/2");
        assert_eq!(inch(28.65), "1-1/8 +.003");
    }

    #[test]
    fn the_other_angle_is_always_printed_beside_the_angle_bent_through() {
        assert_eq!(
            bend_angles(62.0_f64.to_radians()),
            ["62.0 deg bent through", "118.0 deg between legs"]
        );
    }
}
