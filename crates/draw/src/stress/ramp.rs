//! The colours of the bands: even steps of lightness and hue from kraft to layout blue.
//!
//! The steps are taken on a straight line in OKLab, a space in which equal distances look alike (Björn Ottosson, "A
//! perceptual color space for image processing", 2020, whose matrices are used here). Lightness falls all the way, so the
//! bands keep their order in grey. The darkest band is still light enough for ink lines on it to stand out 4.5 to 1.

/// Lowest band: kraft, a little lighter than the ground of the tables. Lightness, green to red, blue to yellow.
const LOW: [f64; 3] = [0.955, 0.004, 0.030];
/// Highest band: layout blue, as dark as ink lines on it allow.
const HIGH: [f64; 3] = [0.628, -0.040, -0.128];

/// The colours of `count` bands, lowest first, as SVG writes them.
pub(super) fn ramp(count: usize) -> Vec<String> {
    let last = count.saturating_sub(1).max(1) as f64;
    (0..count)
        .map(|band| {
            let share = band as f64 / last;
            let lab: [f64; 3] = std::array::from_fn(|part| LOW[part] + (HIGH[part] - LOW[part]) * share);
            written(lab)
        })
        .collect()
}

fn written(lab: [f64; 3]) -> String {
    let [red, green, blue] = linear(lab).map(|light| (encoded(light) * 255.0).round() as u8);
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// Linear red, green and blue of a colour in OKLab.
fn linear([l, a, b]: [f64; 3]) -> [f64; 3] {
    let long = (l + 0.396_337_777_4 * a + 0.215_803_757_3 * b).powi(3);
    let middle = (l - 0.105_561_345_8 * a - 0.063_854_172_8 * b).powi(3);
    let short = (l - 0.089_484_177_5 * a - 1.291_485_548_0 * b).powi(3);
    [
        4.076_741_662_1 * long - 3.307_711_591_3 * middle + 0.230_969_929_2 * short,
        -1.268_438_004_6 * long + 2.609_757_401_1 * middle - 0.341_319_396_5 * short,
        -0.004_196_086_3 * long - 0.703_418_614_7 * middle + 1.707_614_701_0 * short,
    ]
}

/// The sRGB transfer curve of IEC 61966-2-1.
fn encoded(light: f64) -> f64 {
    let light = light.clamp(0.0, 1.0);
    if light <= 0.003_130_8 {
        12.92 * light
    } else {
        1.055 * light.powf(1.0 / 2.4) - 0.055
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{INK, Ink};

    /// Relative luminance as WCAG 2.2 has it.
    fn luminance(colour: &str) -> f64 {
        let part = |at: usize| {
            let code =
                f64::from(u8::from_str_radix(&colour[at..at + 2], 16).expect("two hex digits")) / 255.0;
            if code <= 0.04045 {
                code / 12.92
            } else {
                ((code + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    }

    fn contrast(one: &str, other: &str) -> f64 {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn bands_keep_their_order_in_grey() {
        for count in 2..=9 {
            let bands = ramp(count);
            for pair in bands.windows(2) {
                assert!(
                    luminance(&pair[0]) > luminance(&pair[1]) + 0.03,
                    "{count}: {pair:?}"
                );
            }
        }
    }

    #[test]
    fn every_band_lets_ink_lines_stand_out() {
        for band in ramp(7) {
            for ink in [
                Ink::Seen,
                Ink::Crease,
                Ink::Level,
                Ink::Limit,
                Ink::Moved,
                Ink::Load,
                Ink::Thin,
            ] {
                let stands_out = contrast(ink.colour(), &band);
                assert!(stands_out >= 4.5, "{ink:?} on {band}: {stands_out}");
            }
        }
        assert!(contrast(INK, crate::ink::WHITE) >= 7.0, "words stand on white");
    }

    #[test]
    fn white_in_is_white_out() {
        assert_eq!(written([1.0, 0.0, 0.0]), "#ffffff");
        assert_eq!(written([0.0, 0.0, 0.0]), "#000000");
    }
}
