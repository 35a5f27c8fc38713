//! The bend test strip: what to cut and bend, and what its three readings say of this stock and this tool.

use handbook::din_6935_k;
use nalgebra::{Matrix2, Vector2};
use plane::{Outline, OutlineError, Point};

/// A strip is at least so wide, mm, and at least so many thicknesses: narrower, its edges curl and it reads wide.
const LEAST_WIDE_MM: f64 = 40.0;
const LEAST_WIDE_X_T: f64 = 12.0;
/// Each leg is at least so long, mm, so that a caliper and a protractor lie on it.
const LEAST_LEG_MM: f64 = 50.0;
/// K before anything is read: DIN 6935 is trusted to this much (a standard deviation).
const K_SD: f64 = 0.05;
/// The radius that a tool should leave is trusted to this share of it (a standard deviation); from 13 to 15 % of V, and
/// what punches wear.
const RADIUS_SD_SHARE: f64 = 0.1;
/// Rounds of the fit: it is nearly linear.
const ROUNDS: usize = 20;

/// A strip to cut and bend. Its long edges are square to the bend.
#[derive(Debug, Clone, PartialEq)]
pub struct TestStrip {
    /// Along the bend, mm.
    pub wide_mm: f64,
    /// Square to the bend, flat, mm.
    pub flat_mm: f64,
    /// From either end to the bend's middle, mm.
    pub line_at_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// The angle to bend to under load, rad.
    pub loaded_rad: f64,
}

/// What a strip is for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripFor {
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// The inside radius to expect, mm.
    pub radius_mm: f64,
    /// Least leg over the die, mm.
    pub least_leg_mm: f64,
    /// The angle to bend to under load, rad.
    pub loaded_rad: f64,
}

impl TestStrip {
    /// A strip for this stock and tool. `None` when a number is not above 0, or the angle not under a half turn.
    pub fn of(wanted: &StripFor) -> Option<TestStrip> {
        let sound = [wanted.thickness_mm, wanted.loaded_rad]
            .iter()
            .all(|number| *number > 0.0 && number.is_finite())
            && wanted.radius_mm >= 0.0
            && wanted.least_leg_mm >= 0.0
            && wanted.loaded_rad < std::f64::consts::PI;
        if !sound {
            return None;
        }
        let leg_mm = LEAST_LEG_MM.max(2.0 * wanted.least_leg_mm).ceil();
        Some(TestStrip {
            wide_mm: LEAST_WIDE_MM.max(LEAST_WIDE_X_T * wanted.thickness_mm).ceil(),
            flat_mm: 2.0 * leg_mm,
            line_at_mm: leg_mm,
            thickness_mm: wanted.thickness_mm,
            loaded_rad: wanted.loaded_rad,
        })
    }

    /// Its outline: the bend along x, the flat length along y.
    pub fn outline(&self) -> Result<Outline, OutlineError> {
        Outline::rectangle(Point::origin(), Point::new(self.wide_mm, self.flat_mm))
    }
}

/// What is read off a bent strip, each with how sure (one standard deviation).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripReadings {
    /// Flat length before bending, mm.
    pub flat_mm: [f64; 2],
    /// Both legs, each on the outside to the sharp corner, added up, mm.
    pub legs_mm: [f64; 2],
    /// Thickness, mm.
    pub thickness_mm: [f64; 2],
    /// Angle bent through after release, rad.
    pub bent_rad: [f64; 2],
    /// Inside radius by a radius gauge, mm, when one was held to it.
    pub radius_mm: Option<[f64; 2]>,
}

/// What the readings say, each with one standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripSays {
    /// K.
    pub neutral_share: [f64; 2],
    /// K by legs and gauge alone, without what DIN 6935 expects of it; none where no gauge was held to the radius.
    pub gauged_neutral_share: Option<[f64; 2]>,
    /// Inside radius, mm.
    pub radius_mm: [f64; 2],
    /// How much the bend opened when it was let go, rad.
    pub opens_rad: [f64; 2],
    /// How much shorter the blank is than the legs at this angle, mm: known far better than K or radius alone.
    pub deduction_mm: [f64; 2],
    /// K as it was expected before anything was read: by DIN 6935, or a third for a radius of nothing.
    pub expected_neutral_share: f64,
    /// By how many standard deviations K and radius had to leave what was expected of them.
    pub strain: f64,
}

/// Why readings say nothing.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StripError {
    /// A reading that is not above 0, or has no uncertainty.
    #[error("a reading of {0} with an uncertainty of {1} cannot be used")]
    Reading(f64, f64),
    /// The legs together are shorter than the flat, or longer by more than any bend makes them.
    #[error("legs of {legs_mm:.2} mm do not come from a flat of {flat_mm:.2} mm bent {:.1} degrees", bent_rad.to_degrees())]
    Impossible {
        /// Both legs, mm.
        legs_mm: f64,
        /// Flat, mm.
        flat_mm: f64,
        /// Bent through, rad.
        bent_rad: f64,
    },
}

impl StripReadings {
    /// K, radius and springback. Legs and angle give one equation, flat = legs - 2 (r + t) tan(A/2) + A (r + K t). K and the radius
    /// apart are told by a gauge held to the radius, else by what the tool should leave (`expected_radius_mm`), and by DIN 6935,
    /// each as far as it is to be trusted: the most likely pair, with its uncertainty. With a gauge the equation also gives K
    /// outright, which of thin plate is less sure than what DIN says.
    pub fn say(&self, expected_radius_mm: f64, loaded_rad: f64) -> Result<StripSays, StripError> {
        let all = [self.flat_mm, self.legs_mm, self.thickness_mm, self.bent_rad];
        for [value, sd] in all.into_iter().chain(self.radius_mm) {
            if !(value > 0.0 && sd > 0.0 && value.is_finite() && sd.is_finite()) {
                return Err(StripError::Reading(value, sd));
            }
        }
        let [flat_mm, legs_mm, t_mm, bent_rad] = all.map(|[value, _]| value);
        let impossible = StripError::Impossible {
            legs_mm,
            flat_mm,
            bent_rad,
        };
        let read_mm = legs_mm - flat_mm;
        if bent_rad >= std::f64::consts::PI || read_mm < -0.5 * t_mm {
            return Err(impossible);
        }
        let half_tan = (bent_rad / 2.0).tan();
        let deduction_mm = |r: f64, k: f64| 2.0 * (r + t_mm) * half_tan - bent_rad * (r + k * t_mm);
        let radius = self.radius_mm.unwrap_or([
            expected_radius_mm,
            (RADIUS_SD_SHARE * expected_radius_mm).max(0.05 * t_mm),
        ]);
        // The deduction's own uncertainty: legs, flat, and what angle and thickness do to it.
        let by_angle = |r: f64, k: f64| (r + t_mm) / (bent_rad / 2.0).cos().powi(2) - (r + k * t_mm);
        let by_t = |k: f64| 2.0 * half_tan - bent_rad * k;
        let prior = Vector2::new(radius[0], expected_k(radius[0], t_mm));
        let fit = |trust_k: f64| {
            let (mut r, mut k) = (prior.x, prior.y);
            let mut cov = Matrix2::zeros();
            for _ in 0..ROUNDS {
                let var = self.legs_mm[1].powi(2)
                    + self.flat_mm[1].powi(2)
                    + (by_angle(r, k) * self.bent_rad[1]).powi(2)
                    + (by_t(k) * self.thickness_mm[1]).powi(2);
                let row = Vector2::new(2.0 * half_tan - bent_rad, -bent_rad * t_mm);
                let trust = Matrix2::new(1.0 / radius[1].powi(2), 0.0, 0.0, trust_k);
                let normal = row * row.transpose() / var + trust;
                let off = read_mm - deduction_mm(r, k);
                let pull = row * (off / var) + trust * (prior - Vector2::new(r, k));
                let inverse = normal.try_inverse()?;
                let step = inverse * pull;
                (r, k, cov) = ((r + step.x).max(0.0), k + step.y, inverse);
            }
            (0.0..=1.0).contains(&k).then_some((r, k, cov))
        };
        let alone = match self.radius_mm {
            Some(_) => Some(fit(0.0).ok_or(impossible)?),
            None => None,
        };
        let (r, k, cov) = fit(1.0 / (K_SD * K_SD)).ok_or(impossible)?;
        let row = Vector2::new(2.0 * half_tan - bent_rad, -bent_rad * t_mm);
        let strain = ((r - prior.x) / radius[1]).hypot((k - prior.y) / K_SD);
        Ok(StripSays {
            neutral_share: [k, cov[(1, 1)].sqrt()],
            gauged_neutral_share: alone.map(|(_, k, cov)| [k, cov[(1, 1)].sqrt()]),
            radius_mm: [r, cov[(0, 0)].sqrt()],
            opens_rad: [loaded_rad - bent_rad, self.bent_rad[1]],
            deduction_mm: [deduction_mm(r, k), (row.transpose() * cov * row)[(0, 0)].sqrt()],
            expected_neutral_share: prior.y,
            strain,
        })
    }
}

/// K by DIN 6935 where it has one; a third for a radius of nothing.
fn expected_k(radius_mm: f64, t_mm: f64) -> f64 {
    const SHARP_K: f64 = 0.33;
    let k = din_6935_k(radius_mm / t_mm).value.neutral_share;
    if k.is_finite() && k > 0.0 { k } else { SHARP_K }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A strip of 150 mm in 4.75 mm plate whose legs come by this K and radius.
    fn bent_by(k: f64, radius_mm: f64, bent_deg: f64, gauged: bool) -> StripReadings {
        let (t_mm, bent_rad) = (4.75, bent_deg.to_radians());
        let deduction_mm =
            2.0 * (radius_mm + t_mm) * (bent_rad / 2.0).tan() - bent_rad * (radius_mm + k * t_mm);
        StripReadings {
            flat_mm: [150.0, 0.03],
            legs_mm: [150.0 + deduction_mm, 0.1],
            thickness_mm: [t_mm, 0.03],
            bent_rad: [bent_rad, 0.5f64.to_radians()],
            radius_mm: gauged.then_some([radius_mm, 0.15]),
        }
    }

    #[test]
    fn a_gauge_and_the_legs_give_k_outright() {
        for (k, radius_mm, bent_deg) in [(0.31, 3.0, 90.0), (0.44, 7.1, 88.5), (0.40, 5.0, 45.0)] {
            let says = bent_by(k, radius_mm, bent_deg, true)
                .say(1.0, 1.6)
                .expect("a strip");
            let [alone, alone_sd] = says.gauged_neutral_share.expect("a gauge");
            assert!((alone - k).abs() < 1e-9, "{says:?}");
            // What DIN expects of the gauged radius counts too, by how sure each is; the legs stay as they were read.
            let [both, sd] = says.neutral_share;
            let (weight, expected) = (alone_sd.powi(-2), says.expected_neutral_share);
            let by_hand = (weight * k + K_SD.powi(-2) * expected) / (weight + K_SD.powi(-2));
            assert!(
                (both - by_hand).abs() < 2e-3 && sd < alone_sd.min(K_SD),
                "{says:?}"
            );
            let readings = bent_by(k, radius_mm, bent_deg, true);
            let read_mm = readings.legs_mm[0] - readings.flat_mm[0];
            assert!(
                (says.deduction_mm[0] - read_mm).abs() < says.deduction_mm[1],
                "{says:?}"
            );
        }
    }

    #[test]
    fn a_gauge_on_thin_plate_leaves_k_to_what_is_expected_of_it() {
        // Of plate of 1 mm a leg read 0.1 mm too long is a tenth of K and more.
        let (t_mm, radius_mm, bent_rad) = (1.0, 1.5, 90f64.to_radians());
        let expected = expected_k(radius_mm, t_mm);
        let deduction_mm = 2.0 * (radius_mm + t_mm) - bent_rad * (radius_mm + expected * t_mm);
        let says = StripReadings {
            flat_mm: [100.0, 0.03],
            legs_mm: [100.0 + deduction_mm + 0.1, 0.15],
            thickness_mm: [t_mm, 0.03],
            bent_rad: [bent_rad, 0.5f64.to_radians()],
            radius_mm: Some([radius_mm, 0.15]),
        }
        .say(1.5, 1.6)
        .expect("a strip");
        let off = |k: f64| (k - expected).abs();
        let [alone, _] = says.gauged_neutral_share.expect("a gauge");
        assert!(
            off(alone) > 0.05 && off(says.neutral_share[0]) < 0.3 * off(alone),
            "{says:?}"
        );
    }

    #[test]
    fn without_a_gauge_the_deduction_is_kept_and_the_radius_is_less_sure() {
        let readings = bent_by(0.42, 5.0, 90.0, false);
        let says = readings.say(5.5, 92f64.to_radians()).expect("a strip");
        let read_mm = readings.legs_mm[0] - readings.flat_mm[0];
        // What is known best is kept to well within how well the legs were read.
        assert!(
            (says.deduction_mm[0] - read_mm).abs() < says.deduction_mm[1],
            "{says:?}"
        );
        assert!(says.radius_mm[0] > 5.0 && says.radius_mm[0] < 5.6, "{says:?}");
        assert!(says.radius_mm[1] > 0.1 && says.deduction_mm[1] < 0.2, "{says:?}");
        assert!((says.opens_rad[0] - 2f64.to_radians()).abs() < 1e-12);
    }

    #[test]
    fn legs_that_no_bend_makes_are_refused() {
        let mut readings = bent_by(0.42, 5.0, 90.0, true);
        readings.legs_mm[0] = 140.0;
        assert!(matches!(
            readings.say(5.0, 1.6),
            Err(StripError::Impossible { .. })
        ));
        readings.legs_mm[0] = 175.0;
        assert!(matches!(
            readings.say(5.0, 1.6),
            Err(StripError::Impossible { .. })
        ));
        readings.legs_mm[0] = f64::NAN;
        assert!(matches!(readings.say(5.0, 1.6), Err(StripError::Reading(..))));
    }
}
