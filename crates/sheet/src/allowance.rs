//! The arithmetic of one bend: how much metal it takes, and how much shorter the blank is for it.
//!
//! A is the angle bent through in radians, r the inside radius, t the thickness, K the neutral line's share of the
//! thickness from the inside face. Each formula keeps whatever unit r and t share.

/// From the sharp corner to a tangent line, measured on the face that lies `face_mm` outside the bend's inside face:
/// (r + d) tan(A/2). With d = t it is the outside set-back (r + t) tan(A/2) of FAA AC 43.13-1B, chapter 4; with d = 0
/// the inside one. Grows without bound toward 180 degrees.
pub fn set_back_mm(bent_rad: f64, radius_mm: f64, face_mm: f64) -> f64 {
    (radius_mm + face_mm) * (bent_rad / 2.0).tan()
}

/// From the outside sharp corner to a tangent line: (r + t) tan(A/2).
pub fn outside_set_back_mm(bent_rad: f64, radius_mm: f64, thickness_mm: f64) -> f64 {
    set_back_mm(bent_rad, radius_mm, thickness_mm)
}

/// Length of the neutral line in the bend, which is the width of its strip on the blank: A (r + K t).
pub fn allowance_mm(bent_rad: f64, radius_mm: f64, neutral_share: f64, thickness_mm: f64) -> f64 {
    bent_rad * (radius_mm + neutral_share * thickness_mm)
}

/// How much shorter the blank is than the sum of the outside legs, each to the sharp corner: 2 (r + t) tan(A/2) -
/// A (r + K t). Zero for a flat; grows without bound toward 180 degrees.
pub fn deduction_mm(bent_rad: f64, radius_mm: f64, neutral_share: f64, thickness_mm: f64) -> f64 {
    2.0 * outside_set_back_mm(bent_rad, radius_mm, thickness_mm)
        - allowance_mm(bent_rad, radius_mm, neutral_share, thickness_mm)
}

/// Flat length of a strip with several bends, from its outside legs (each between sharp corners or ends) and the
/// deduction of each bend: sum of legs less sum of deductions.
pub fn flat_length_mm(outside_legs_mm: &[f64], deductions_mm: &[f64]) -> f64 {
    outside_legs_mm.iter().sum::<f64>() - deductions_mm.iter().sum::<f64>()
}

/// K of a bent test strip: solves flat = legs - 2 (r + t) tan(A/2) + A (r + K t) for K. `None` when a measure is not
/// above 0 or the angle not between 0 and 180 degrees. A result outside 0 to 1 says that a measure is wrong; it is
/// returned so that it can be shown.
///
/// Both legs are measured on the outside to the sharp corner, where the two outside faces would meet.
pub fn neutral_share_from_strip(
    flat_mm: f64,
    outside_legs_mm: [f64; 2],
    bent_rad: f64,
    radius_mm: f64,
    thickness_mm: f64,
) -> Option<f64> {
    let lengths = [flat_mm, outside_legs_mm[0], outside_legs_mm[1], thickness_mm];
    let measured = lengths.iter().all(|length| *length > 0.0) && radius_mm >= 0.0;
    if !(measured && bent_rad > 0.0 && bent_rad < std::f64::consts::PI) {
        return None;
    }
    let set_backs_mm = 2.0 * outside_set_back_mm(bent_rad, radius_mm, thickness_mm);
    let allowance_mm = flat_mm - outside_legs_mm[0] - outside_legs_mm[1] + set_backs_mm;
    Some((allowance_mm / bent_rad - radius_mm) / thickness_mm)
}

#[cfg(test)]
mod tests {
    use published::{row, rows, rows_between};

    use super::*;

    fn bent_rad(row: &published::Row, key: &str) -> f64 {
        row.number(key).to_radians()
    }

    #[test]
    fn the_trade_pages_bend_allowance() {
        let row = row("A001");
        row.check(allowance_mm(
            bent_rad(&row, "angle_deg"),
            row.number("r"),
            row.number("K"),
            row.number("t"),
        ));
    }

    /// The trade's rule (0.01743 r + 0.0078 t) per degree is A (r + K t) with K = 0.0078 / 0.01743.
    const RULE_OF_0078: f64 = 0.0078 / 0.01743;

    #[test]
    fn the_workbooks_allowances_by_the_rule_of_0_0078() {
        for row in rows("bend allowance (0.01743r+0.0078t)*deg") {
            row.check(allowance_mm(
                bent_rad(&row, "angle_deg"),
                row.number("r"),
                RULE_OF_0078,
                row.number("t"),
            ));
        }
    }

    #[test]
    fn the_workbooks_deduction() {
        let row = row("A003");
        row.check(deduction_mm(
            bent_rad(&row, "angle_deg"),
            row.number("r"),
            RULE_OF_0078,
            row.number("t"),
        ));
    }

    #[test]
    fn three_bends_of_the_workbook_part_develop_to_2_973_in() {
        let row = row("A004");
        let bends = vec![row.number("BD"); row.number("bends") as usize];
        row.check(flat_length_mm(&row.numbers("outside_legs"), &bends));
    }

    #[test]
    fn the_faa_channels_set_back_flats_and_width() {
        let set_back = row("A005");
        let back = outside_set_back_mm(
            bent_rad(&set_back, "bend_deg"),
            set_back.number("r"),
            set_back.number("t"),
        );
        set_back.check(back);
        let side = row("A006");
        side.check(flat_length_mm(&[side.number("MLD")], &[back]));
        let web = row("A007");
        web.check(flat_length_mm(&[web.number("MLD")], &[back, back]));

        let quarter = std::f64::consts::FRAC_PI_2;
        let deduction = deduction_mm(quarter, 0.16, RULE_OF_0078, 0.04);
        row("A009").check(flat_length_mm(&[1.0, 2.0, 1.0], &[deduction, deduction]));
    }

    #[test]
    fn ac_43_13_set_backs_of_45_and_135_degrees() {
        for row in rows_between("A010", "A011") {
            row.check(outside_set_back_mm(
                bent_rad(&row, "bend_deg"),
                row.number("r"),
                row.number("t"),
            ));
        }
    }

    #[test]
    fn ac_43_13_table_4_7() {
        for row in rows("setback K = tan(bend/2)") {
            row.check(set_back_mm(bent_rad(&row, "bend_deg"), 1.0, 0.0));
        }
    }

    #[test]
    fn the_handbook_rule_of_0_43_r_and_1_372_t() {
        let row = row("A038");
        row.check(deduction_mm(
            std::f64::consts::FRAC_PI_2,
            row.number("r"),
            0.40,
            row.number("t"),
        ));
    }

    #[test]
    fn a_strip_gives_back_the_k_it_was_bent_with() {
        let (bent_rad, radius_mm, thickness_mm, k) = (1.2, 4.0, 3.0, 0.41);
        let flat_mm = 50.0 + 40.0 - deduction_mm(bent_rad, radius_mm, k, thickness_mm);
        let found = neutral_share_from_strip(flat_mm, [50.0, 40.0], bent_rad, radius_mm, thickness_mm);
        assert!((found.expect("all measures are positive") - k).abs() < 1e-12);
        assert_eq!(
            neutral_share_from_strip(flat_mm, [50.0, 0.0], bent_rad, radius_mm, thickness_mm),
            None
        );
    }
}
