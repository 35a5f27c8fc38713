//! Limits of the bands: those given, or round ones.

use super::{MOST_BANDS, StressPictureError};

/// Steps that read well, times a power of ten. Each is at most 1.7 times the one before, so five to seven of them reach any
/// level.
const STEPS: [f64; 8] = [1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0];
/// Bands chosen at most.
const BANDS: f64 = 7.0;

/// The limits to draw.
pub(super) fn limits(given: &[f64], levels: &[[f64; 3]]) -> Result<Vec<f64>, StressPictureError> {
    if given.is_empty() {
        return Ok(round(levels));
    }
    let wrong = StressPictureError::Limits { count: given.len() };
    if given.iter().any(|limit| !limit.is_finite()) {
        return Err(StressPictureError::NotFinite { what: "limits" });
    }
    let rises = given.windows(2).all(|pair| pair[0] < pair[1]);
    if !rises || !(2..=MOST_BANDS + 1).contains(&given.len()) {
        return Err(wrong);
    }
    Ok(given.to_vec())
}

fn round(levels: &[[f64; 3]]) -> Vec<f64> {
    let all = || levels.iter().flatten().copied();
    let low = all().fold(0.0, f64::min);
    let high = all().fold(0.0, f64::max);
    if high - low <= 0.0 {
        return vec![0.0, 1.0];
    }
    let power = 10.0_f64.powf(((high - low) / BANDS).log10().floor());
    // Whole numbers of steps first and the power last: 3 * 0.1 is written as 0.3 only so.
    let fits = |step: &f64| {
        let step = step * power;
        (high / step - 1e-9).ceil() - (low / step + 1e-9).floor() <= BANDS
    };
    let step = STEPS
        .into_iter()
        .chain(STEPS.map(|step| 10.0 * step))
        .find(fits)
        .unwrap_or(100.0)
        * power;
    let first = (low / step + 1e-9).floor() as i64;
    let last = (high / step - 1e-9).ceil() as i64;
    (first..=last).map(|count| count as f64 * step).collect()
}

/// A figure without needless noughts; a limit made of steps has at most three figures that count.
pub(super) fn plain(level: f64) -> String {
    let decimals = if level == 0.0 {
        0.0
    } else {
        (2.0 - level.abs().log10().floor()).clamp(0.0, 9.0)
    };
    let words = format!("{level:.*}", decimals as usize);
    let words = if words.contains('.') {
        words.trim_end_matches('0').trim_end_matches('.')
    } else {
        &words
    };
    if words == "-0" {
        "0".to_owned()
    } else {
        words.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_level_is_reached_by_five_to_seven_round_bands() {
        let mut high = 0.013;
        while high < 9000.0 {
            let limits = round(&[[0.0, high / 2.0, high]]);
            assert!((6..=8).contains(&limits.len()), "{high}: {limits:?}");
            assert!(limits[limits.len() - 1] >= high * (1.0 - 1e-6));
            high *= 1.037;
        }
    }

    #[test]
    fn levels_below_nought_get_bands_too() {
        let limits = round(&[[-30.0, 0.0, 50.0]]);
        assert!(limits[0] <= -30.0 && limits.contains(&0.0), "{limits:?}");
    }

    #[test]
    fn limits_that_do_not_rise_are_refused() {
        assert_eq!(
            limits(&[0.0, 20.0, 20.0], &[]),
            Err(StressPictureError::Limits { count: 3 })
        );
    }

    #[test]
    fn figures_carry_no_needless_noughts() {
        assert_eq!(plain(22.5), "22.5");
        assert_eq!(plain(120.0), "120");
        assert_eq!(plain(0.3), "0.3");
        assert_eq!(plain(0.0), "0");
    }
}
