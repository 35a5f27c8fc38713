//! Springback: how much a bend opens when the tool lets go, and the angle to bend to under load.

use crate::work::Stock;

/// The angle is never said to spring by more than this: past it the formula speaks of a spring, not of a bend.
const MOST_SPRING_RAD: f64 = 0.35;
/// Rounds of the search for the radius under load; each halves what is left.
const HALVINGS: usize = 60;

/// A bend under load and after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spring {
    /// The angle to bend to under load, rad.
    pub loaded_rad: f64,
    /// By how much it opens when let go, rad.
    pub opens_rad: f64,
    /// The inside radius under load, mm.
    pub loaded_radius_mm: f64,
}

/// Inside radius under load as a share of that after, 4 a^3 - 3 a + 1 with a = R Y / (E t) and R the radius under load
/// (Gardiner 1957, from memory, unconfirmed). `None` past a = 1/2, where all of the bend springs back.
pub fn radius_share(loaded_radius_mm: f64, yield_mpa: f64, elastic_mpa: f64, t_mm: f64) -> Option<f64> {
    let a = loaded_radius_mm * yield_mpa / (elastic_mpa * t_mm);
    (a < 0.5).then_some(4.0 * a.powi(3) - 3.0 * a + 1.0)
}

/// Inside radius after, from that under load, mm; `None` when all springs back.
pub fn released_radius_mm(loaded_radius_mm: f64, yield_mpa: f64, elastic_mpa: f64, t_mm: f64) -> Option<f64> {
    Some(loaded_radius_mm / radius_share(loaded_radius_mm, yield_mpa, elastic_mpa, t_mm)?)
}

/// Inside radius under load that leaves this one, mm.
pub fn loaded_radius_mm(released_mm: f64, yield_mpa: f64, elastic_mpa: f64, t_mm: f64) -> f64 {
    let (mut low, mut high) = (0.0, released_mm);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        match released_radius_mm(middle, yield_mpa, elastic_mpa, t_mm) {
            Some(after) if after < released_mm => low = middle,
            _ => high = middle,
        }
    }
    (low + high) / 2.0
}

/// The bend under load that leaves this angle and radius: the neutral arc keeps its length, so the angle goes as
/// 1 / (R + t/2) (from memory, unconfirmed). `None` when the metal's yield is not known.
pub fn spring(stock: &Stock, bent_rad: f64, radius_mm: f64, t_mm: f64) -> Option<Spring> {
    let (yield_mpa, elastic_mpa) = (stock.yield_mpa.as_ref()?.value, stock.elastic_mpa.value);
    Some(springs(yield_mpa, elastic_mpa, bent_rad, radius_mm, t_mm))
}

fn springs(yield_mpa: f64, elastic_mpa: f64, bent_rad: f64, radius_mm: f64, t_mm: f64) -> Spring {
    let loaded = loaded_radius_mm(radius_mm, yield_mpa, elastic_mpa, t_mm);
    let kept = (loaded + t_mm / 2.0) / (radius_mm + t_mm / 2.0);
    let opens_rad = (bent_rad / kept - bent_rad).clamp(0.0, MOST_SPRING_RAD);
    Spring {
        loaded_rad: bent_rad + opens_rad,
        opens_rad,
        loaded_radius_mm: loaded,
    }
}

/// The yield, MPa, with which [`spring`] gives back what a strip was measured to open by: what a strip tells of other angles and
/// radii of its stock. 0 when it did not open; `None` when no metal springs so far, or a number is none.
pub fn yield_by_spring_mpa(
    elastic_mpa: f64,
    bent_rad: f64,
    radius_mm: f64,
    t_mm: f64,
    opens_rad: f64,
) -> Option<f64> {
    /// Far over the share of its modulus at which any plate yields: what a strip reads is an equivalent, with whatever tool and
    /// protractor add to it, and a bend that opens further yet was read wrong.
    const MOST_SHARE: f64 = 0.05;
    let sound = [elastic_mpa, bent_rad, t_mm]
        .iter()
        .all(|number| *number > 0.0 && number.is_finite());
    if !(sound && radius_mm >= 0.0 && radius_mm.is_finite() && opens_rad.is_finite()) {
        return None;
    }
    let opens = |yield_mpa| springs(yield_mpa, elastic_mpa, bent_rad, radius_mm, t_mm).opens_rad;
    let (mut low, mut high) = (0.0, MOST_SHARE * elastic_mpa);
    if opens(high) < opens_rad {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if opens(middle) < opens_rad {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(if opens_rad > 0.0 { high } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use published::{Row, rows, rows_starting};

    use super::*;

    fn released(row: &Row) -> f64 {
        let [r, y, e, t] = ["Ri", "Y", "E", "t"].map(|key| row.number(key));
        released_radius_mm(r, y, e, t).expect("less than half springs back")
    }

    #[test]
    fn the_published_radii_after_release() {
        for row in rows("springback final radius") {
            row.check(released(&row));
        }
        let row = &rows_starting("springback Ri/Rf")[0];
        row.check(row.number("Ri") / released(row));
    }

    #[test]
    fn the_published_shares_of_angle_kept() {
        for row in rows_starting("springback angle kept") {
            let half = row.number("t") / 2.0;
            row.check((row.number("Ri") + half) / (released(&row) + half));
        }
    }

    #[test]
    fn the_radius_under_load_leaves_the_radius_asked_for() {
        let loaded = loaded_radius_mm(9.2865, 240.0, 70e3, 3.0);
        assert!((loaded - 9.0).abs() < 1e-3, "{loaded}");
    }

    #[test]
    fn a_strip_that_opens_so_far_gives_the_yield_that_opens_it() {
        let opens_rad = springs(215.0, 70.3e3, 1.571, 7.1, 4.75).opens_rad;
        let found = yield_by_spring_mpa(70.3e3, 1.571, 7.1, 4.75, opens_rad).expect("a yield");
        assert!((found - 215.0).abs() < 1e-6, "{found}");
        assert_eq!(yield_by_spring_mpa(70.3e3, 1.571, 7.1, 4.75, -0.01), Some(0.0));
        assert_eq!(yield_by_spring_mpa(70.3e3, 1.571, 7.1, 4.75, 0.9), None);
        assert_eq!(yield_by_spring_mpa(70.3e3, 1.571, f64::NAN, 4.75, 0.02), None);
    }
}
