//! Words that turn things on and off, each thing's own.

use super::dialect::{Dialect, DialectError};

/// The words that turn something on and off: one M word, and what belongs to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnOff {
    /// Such as `M3`, or `M64 P1`.
    pub on: String,
    /// Such as `M5`, or `M65 P1`.
    pub off: String,
}

impl OnOff {
    /// These words.
    #[must_use]
    pub fn new(on: &str, off: &str) -> OnOff {
        OnOff {
            on: on.to_owned(),
            off: off.to_owned(),
        }
    }
}

/// Whether every switch of a dialect can be written and told from every other.
pub(super) fn check(dialect: &Dialect) -> Result<(), DialectError> {
    let switches = [&dialect.torch].into_iter().chain(&dialect.height_control);
    let mut seen: Vec<&str> = Vec::new();
    for word in switches.flat_map(|pair| [pair.on.as_str(), pair.off.as_str()]) {
        check_switch(word)?;
        if seen.contains(&word) {
            return Err(DialectError::SameWord {
                word: word.to_owned(),
            });
        }
        seen.push(word);
    }
    match &dialect.marker {
        Some(marker) => check_marker(dialect, marker),
        None => Ok(()),
    }
}

/// The marker's words are switches, are no other's, and never light the torch: not by holding its word, nor by leaving
/// out a number of it, which a machine would take from the last time that it was said.
fn check_marker(dialect: &Dialect, marker: &OnOff) -> Result<(), DialectError> {
    check_switch(&marker.on)?;
    check_switch(&marker.off)?;
    let control = dialect.height_control.iter();
    let control = control.flat_map(|switch| [&switch.on, &switch.off]);
    let ends_mark = control.clone().chain([&marker.on, &dialect.torch.on]);
    for (word, mut others) in [
        (&marker.off, ends_mark.collect::<Vec<_>>()),
        (&marker.on, control.chain([&dialect.torch.off]).collect()),
    ] {
        others.retain(|other| read_as(other) == read_as(word));
        if !others.is_empty() {
            return Err(DialectError::SameWord { word: word.clone() });
        }
    }
    let (lights, marks) = (read_as(&dialect.torch.on), read_as(&marker.on));
    let within = |some: &[(&str, f64)], of: &[(&str, f64)]| some.iter().all(|word| of.contains(word));
    if within(&lights, &marks) || within(&marks, &lights) {
        return Err(DialectError::LightsTorch {
            word: marker.on.clone(),
        });
    }
    Ok(())
}

/// The words of a switch as a machine reads them: `M03` is `M3`. Taken from words that were checked.
fn read_as(word: &str) -> Vec<(&str, f64)> {
    word.split(' ')
        .filter_map(|part| part.split_at_checked(1))
        .filter_map(|(letter, number)| Some((letter, number.parse().ok()?)))
        .collect()
}

/// One M word, then P, Q, S words: `M3`, `M64 P0`, `M3 S1000`.
fn check_switch(word: &str) -> Result<(), DialectError> {
    let no_switch = || DialectError::NoSwitch {
        word: word.to_owned(),
    };
    for (i, part) in word.split(' ').enumerate() {
        let (letter, number) = part.split_at_checked(1).ok_or_else(no_switch)?;
        let in_place = if i == 0 {
            letter == "M"
        } else {
            "PQS".contains(letter)
        };
        let plain = !number.is_empty()
            && number.len() <= 6
            && number.chars().all(|c| c.is_ascii_digit() || (i > 0 && c == '.'));
        if !in_place || !plain || number.parse::<f64>().is_err() {
            return Err(no_switch());
        }
        // Stops, ends and the pallet stop: NISTIR 6556, table 4.
        if i == 0 && matches!(number.parse::<u32>(), Ok(0..=2 | 30 | 60)) {
            return Err(DialectError::Stops {
                word: word.to_owned(),
            });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn switches_are_m_words_that_move_nothing_and_stop_nothing() {
        for good in ["M3", "M03", "M64 P0", "M3 S1000"] {
            assert_eq!(check_switch(good), Ok(()), "{good}");
        }
        for bad in [
            "", "M", "G1 X0", "M3 X10", "M3\nG0", "m3", "M3 (x)", "M3  P1", "M2", "M30", "M\u{e9}",
        ] {
            assert!(check_switch(bad).is_err(), "{bad}");
        }
        let same = Dialect {
            torch: OnOff::new("M3", "M3"),
            ..Dialect::default()
        };
        assert!(matches!(same.check(), Err(DialectError::SameWord { .. })));
    }

    #[test]
    fn the_markers_words_are_its_own_and_never_light_the_torch() {
        let with = |torch: [&str; 2], marker: [&str; 2]| {
            let dialect = Dialect {
                torch: OnOff::new(torch[0], torch[1]),
                height_control: Some(OnOff::new("M64 P1", "M65 P1")),
                marker: Some(OnOff::new(marker[0], marker[1])),
                ..Dialect::default()
            };
            dialect.check()
        };
        assert_eq!(with(["M3", "M5"], ["M64 P2", "M65 P2"]), Ok(()));
        // A beam that marks at less power is put out by the same word.
        assert_eq!(with(["M3 S1000", "M5"], ["M3 S90", "M5"]), Ok(()));
        for marker in [
            ["M64 P1", "M65 P2"],
            ["M64 P2", "M65 P1"],
            ["M8", "M08"],
            ["M8", "M3"],
            ["M5", "M9"],
        ] {
            let checked = with(["M3", "M5"], marker);
            assert!(
                matches!(checked, Err(DialectError::SameWord { .. })),
                "{marker:?}: {checked:?}"
            );
        }
        for (torch, on) in [
            ("M3", "M03"),
            ("M3", "M3 S90"),
            ("M3 S1000", "M3"),
            ("M3 S1000", "M3 S1000.0"),
        ] {
            let checked = with([torch, "M5"], [on, "M9"]);
            assert!(
                matches!(checked, Err(DialectError::LightsTorch { .. })),
                "{on}: {checked:?}"
            );
        }
        for no_switch in [["M2", "M9"], ["G1", "M9"], ["M8", ""]] {
            assert!(with(["M3", "M5"], no_switch).is_err(), "{no_switch:?}");
        }
    }
}
