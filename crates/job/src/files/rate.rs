//! Speeds, times and accelerations as a machine's book writes them: "3800 mm/min", "150 in/min", "0.5 s", "1500 mm/s2".
//!
//! They stand in shop.toml alone and take part in no sum, so that `min` and `s` stay free as names of measures.

use units::LengthUnit;

/// Of what a rate is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rate {
    /// A length for each minute or second; kept in mm/min.
    Speed,
    /// A length for each second and second; kept in mm/s2.
    Acceleration,
    /// Seconds or minutes; kept in s.
    Time,
}

impl Rate {
    /// How it is written, for people.
    pub fn words(self) -> &'static str {
        match self {
            Rate::Speed => "a speed such as \"3800 mm/min\" or \"150 in/min\"",
            Rate::Acceleration => "an acceleration such as \"1500 mm/s2\" or \"60 in/s2\"",
            Rate::Time => "a time such as \"0.5 s\" or \"2 min\"",
        }
    }

    /// One of it.
    pub fn example(self) -> &'static str {
        match self {
            Rate::Speed => "3800 mm/min",
            Rate::Acceleration => "1500 mm/s2",
            Rate::Time => "0.5 s",
        }
    }

    fn endings(self) -> &'static [(&'static str, f64)] {
        match self {
            Rate::Speed => &[("/min", 1.0), ("/s", SECONDS_PER_MINUTE)],
            Rate::Acceleration => &[("/s2", 1.0), ("/s^2", 1.0), ("/s\u{b2}", 1.0)],
            Rate::Time => &[("min", SECONDS_PER_MINUTE), ("s", 1.0)],
        }
    }

    /// The value in mm/min, mm/s2 or s; none when the text is not one, or not a number above or at 0.
    pub fn parse(self, text: &str, bare: Option<LengthUnit>) -> Option<f64> {
        let squeezed: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let tidy = squeezed.replace(" /", "/").replace("/ ", "/");
        let (head, times) = self
            .endings()
            .iter()
            .find_map(|(ending, times)| Some((tidy.strip_suffix(ending)?.trim_end(), *times)))?;
        let value = match self {
            Rate::Time => head.replace(',', ".").parse::<f64>().ok()?,
            Rate::Speed | Rate::Acceleration => {
                let length = units::Expr::parse(head, bare).ok()?;
                length.value().ok()?.length_mm().ok()?
            }
        };
        let value = value * times;
        (value.is_finite() && (0.0..=LARGEST).contains(&value)).then_some(value)
    }
}

const SECONDS_PER_MINUTE: f64 = 60.0;
/// No machine in a shop is quicker, in mm/min or mm/s2, nor waits longer, in s.
const LARGEST: f64 = 1e7;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_feed_is_read_in_the_units_of_the_machines_book() {
        assert_eq!(Rate::Speed.parse("3800 mm/min", None), Some(3800.0));
        assert_eq!(Rate::Speed.parse("60 mm / s", None), Some(3600.0));
        let inch = Rate::Speed.parse("150 in/min", None).expect("a speed");
        assert!((inch - 3810.0).abs() < 1e-9);
        assert_eq!(Rate::Speed.parse("3.8 m/min", None), Some(3800.0));
        let bare = Rate::Speed
            .parse("150 /min", Some(LengthUnit::In))
            .expect("a speed");
        assert!((bare - 3810.0).abs() < 1e-9);
        assert_eq!(Rate::Speed.parse("150/min", None), None);
    }

    #[test]
    fn times_and_accelerations() {
        assert_eq!(Rate::Time.parse("0.5 s", None), Some(0.5));
        assert_eq!(Rate::Time.parse("0,5s", None), Some(0.5));
        assert_eq!(Rate::Time.parse("2 min", None), Some(120.0));
        assert_eq!(Rate::Acceleration.parse("1.5 m/s^2", None), Some(1500.0));
        for text in ["", "s", "-1 s", "NaN s", "fast", "3800 mm", "1e99 s", "3 kg/min"] {
            assert_eq!(Rate::Time.parse(text, None), None, "{text}");
            assert_eq!(Rate::Speed.parse(text, None), None, "{text}");
        }
    }
}
