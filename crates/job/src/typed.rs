//! Readings as they are typed at the command line: names with values, lengths with their unit, angles either way round.

use std::f64::consts::PI;

use units::Expr;

use crate::files::nearest;

/// A reading that cannot be used, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct NotAReading(pub String);

fn fault(says: String) -> NotAReading {
    NotAReading(says)
}

/// A length with its unit, mm.
pub(crate) fn length_mm(text: &str) -> Result<f64, NotAReading> {
    let why = |why: String| fault(format!("\"{}\": {why}", text.trim()));
    let expr = Expr::parse(text.trim(), None).map_err(|error| why(error.to_string()))?;
    let value = expr.value().map_err(|error| why(error.to_string()))?;
    let mm = value.length_mm().map_err(|error| why(error.to_string()))?;
    if mm > 0.0 && mm.is_finite() {
        Ok(mm)
    } else {
        Err(why("a length above 0, please".into()))
    }
}

/// An angle bent through, rad: as said, or said as the one that is left "between the legs".
pub(crate) fn bent_rad(text: &str) -> Result<f64, NotAReading> {
    let lower = text.trim().to_lowercase();
    let endings = [
        (" between the legs", true),
        (" between legs", true),
        (" between", true),
        (" bent through", false),
        (" bent", false),
        (" through", false),
    ];
    let found = endings
        .iter()
        .find_map(|(ending, between)| Some((lower.strip_suffix(ending)?, *between)));
    let (number, between) = found.unwrap_or((&lower, false));
    let why = |why: String| fault(format!("\"{}\": {why}", text.trim()));
    let expr = Expr::parse(number.trim(), None).map_err(|error| why(error.to_string()))?;
    let value = expr.value().map_err(|error| why(error.to_string()))?;
    let rad = value.angle_rad().map_err(|error| why(error.to_string()))?;
    if !(rad > 0.0 && rad < PI) {
        return Err(why(
            "an angle of a bend lies between 0 and 180 deg, as 88.5 deg or 91.5 deg between legs".into(),
        ));
    }
    Ok(if between { PI - rad } else { rad })
}

/// Splits at each comma and semicolon, but for a comma between two digits, which is a decimal one.
pub(crate) fn pieces(text: &str) -> Vec<&str> {
    pieces_to(text).into_iter().map(|(piece, _)| piece).collect()
}

/// The same, each with where it ends in the text.
fn pieces_to(text: &str) -> Vec<(&str, usize)> {
    let bytes = text.as_bytes();
    let digit = |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
    let mut pieces = Vec::new();
    let mut from = 0;
    for (at, byte) in bytes.iter().enumerate() {
        let decimal = *byte == b',' && digit(at.checked_sub(1)) && digit(Some(at + 1));
        if *byte == b';' || (*byte == b',' && !decimal) {
            pieces.push((from, at));
            from = at + 1;
        }
    }
    pieces.push((from, text.len()));
    let pieces = pieces.into_iter().map(|(from, to)| {
        let piece = text[from..to].trim_end();
        (piece.trim_start(), from + piece.len())
    });
    pieces.filter(|(piece, _)| !piece.is_empty()).collect()
}

/// A name with what was typed after it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Named<'a> {
    /// The name, as it is known.
    pub name: &'static str,
    /// Its values, parted at commas and semicolons.
    pub values: Vec<&'a str>,
    /// All of it as it stands, commas and all.
    pub whole: &'a str,
}

impl<'a> Named<'a> {
    /// The only value. None of several is taken for the one that was meant.
    pub fn one(&self) -> Result<&'a str, NotAReading> {
        match self.values[..] {
            [one] => Ok(one),
            [] => Err(fault(format!("{} says nothing", self.name))),
            _ => Err(fault(format!(
                "{} is one reading, and {} were typed: {}",
                self.name,
                self.values.len(),
                self.values.join(" and ")
            ))),
        }
    }

    /// A word, which may have commas in it.
    pub fn word(&self) -> Result<&'a str, NotAReading> {
        if self.whole.is_empty() {
            return Err(fault(format!("{} says nothing", self.name)));
        }
        Ok(self.whole)
    }
}

/// "legs = 79.6 mm, 79.5 mm; thickness = 4.75 mm" as names with their values; each name is one of those known, and is said once.
pub(crate) fn named<'a>(text: &'a str, known: &[&'static str]) -> Result<Vec<Named<'a>>, NotAReading> {
    let mut found: Vec<Named<'_>> = Vec::new();
    // Where what is said of the last name begins.
    let mut from = 0;
    for (piece, end) in pieces_to(text) {
        let value = match piece.split_once('=') {
            Some((name, value)) => {
                let name = name.trim();
                let Some(name) = known.iter().find(|known| known.eq_ignore_ascii_case(name)) else {
                    let near = nearest(name, known.iter().copied());
                    return Err(fault(format!(
                        "\"{name}\" is no reading of a strip{}; there are: {}",
                        near.map_or(String::new(), |near| format!(", did you mean \"{near}\"?")),
                        known.join(", ")
                    )));
                };
                if found.iter().any(|said| said.name == *name) {
                    return Err(fault(format!("{name} is said twice")));
                }
                found.push(Named {
                    name,
                    values: Vec::new(),
                    whole: "",
                });
                from = end - value.len();
                value.trim()
            }
            None => piece,
        };
        let Some(last) = found.last_mut() else {
            let said = known
                .iter()
                .find_map(|name| Some((name, piece.strip_prefix(name)?.trim())));
            return Err(fault(match said {
                Some((name, value)) => format!("\"{piece}\" wants an = after its name: {name} = {value}"),
                None => format!("\"{piece}\" has no name; the readings are: {}", known.join(", ")),
            }));
        };
        if !value.is_empty() {
            last.values.push(value);
        }
        last.whole = text[from..end].trim();
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decimal_comma_parts_nothing_and_any_other_does() {
        assert_eq!(pieces("79,6 mm, 79.5 mm;4 mm"), ["79,6 mm", "79.5 mm", "4 mm"]);
        assert_eq!(pieces("b1=88.5deg,leg=41.2mm"), ["b1=88.5deg", "leg=41.2mm"]);
        assert!(pieces(" ; ,").is_empty());
    }

    #[test]
    fn an_angle_is_bent_through_or_between_the_legs() {
        for (text, deg) in [
            ("88.5deg", 88.5),
            ("88.5 deg bent", 88.5),
            ("91.5 deg between legs", 88.5),
            ("91.5deg between the legs", 88.5),
        ] {
            let rad = bent_rad(text).expect(text);
            assert!((rad.to_degrees() - deg).abs() < 1e-9, "{text}");
        }
        assert!(bent_rad("88.5").is_err(), "no unit");
        assert!(bent_rad("200 deg").is_err());
        assert!(bent_rad("4 mm").is_err());
    }

    #[test]
    fn names_are_known_and_said_once() {
        let known = ["legs", "flat"];
        let found = named("flat = 150 mm; legs=79.6 mm, 79.5 mm", &known).expect("readings");
        let plain: Vec<_> = found.iter().map(|said| (said.name, &said.values[..])).collect();
        assert_eq!(
            plain,
            [("flat", &["150 mm"][..]), ("legs", &["79.6 mm", "79.5 mm"])]
        );
        assert_eq!(found[0].one().expect("one"), "150 mm");
        let error = found[1].one().expect_err("two are not one").to_string();
        assert!(error.contains("79.6 mm and 79.5 mm"), "{error}");
        let commas = named("legs = V 24, hardened , short; flat= 4 May, 2026 ;", &known).expect("words");
        let words: Vec<_> = commas.iter().map(|said| said.word().expect("a word")).collect();
        assert_eq!(words, ["V 24, hardened , short", "4 May, 2026"]);
        assert!(
            named("flat = ; legs = 1 mm", &known).expect("names")[0]
                .one()
                .is_err()
        );
        for (text, says) in [
            ("leggs = 3 mm", "did you mean \"legs\""),
            ("flat = 1 mm; flat = 2 mm", "said twice"),
            ("3 mm", "has no name"),
        ] {
            let error = named(text, &known).expect_err(text).to_string();
            assert!(error.contains(says), "{error}");
        }
    }

    #[test]
    fn a_length_without_its_unit_is_refused() {
        assert!(length_mm("41.2").is_err());
        assert!(length_mm("0 mm").is_err());
        assert!((length_mm("1-5/8 in").expect("a length") - 41.275).abs() < 1e-9);
    }
}
