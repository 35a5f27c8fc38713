//! The file's grain: numbered entities, numbers, words, points and directions.

use std::fmt::{self, Write};

use nalgebra::{Point3, Vector3};

/// The number of an entity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Id(usize);

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{}", self.0)
    }
}

/// The entities so far.
#[derive(Debug, Default)]
pub(super) struct Entities {
    text: String,
    count: usize,
}

impl Entities {
    pub(super) fn add(&mut self, says: String) -> Id {
        self.count += 1;
        let id = Id(self.count);
        // Writing into a String cannot fail.
        let _ = writeln!(self.text, "{id}={says};");
        id
    }

    pub(super) fn text(self) -> String {
        self.text
    }

    pub(super) fn point(&mut self, at: Point3<f64>) -> Id {
        self.add(format!(
            "CARTESIAN_POINT('',({},{},{}))",
            real(at.x),
            real(at.y),
            real(at.z)
        ))
    }

    pub(super) fn direction(&mut self, along: Vector3<f64>) -> Id {
        let along = along.normalize();
        self.add(format!(
            "DIRECTION('',({},{},{}))",
            real(along.x),
            real(along.y),
            real(along.z)
        ))
    }

    /// Axes at a place: z along `axis`, x along `reference`.
    pub(super) fn placement(&mut self, at: Point3<f64>, axis: Vector3<f64>, reference: Vector3<f64>) -> Id {
        let (at, axis, reference) = (self.point(at), self.direction(axis), self.direction(reference));
        self.add(format!("AXIS2_PLACEMENT_3D('',{at},{axis},{reference})"))
    }
}

/// A number with a point, as the format wants it, that reads back as the same number.
pub(super) fn real(value: f64) -> String {
    let value = if value == 0.0 { 0.0 } else { value };
    let mut decimal = format!("{value}");
    if !decimal.contains('.') {
        decimal.push('.');
    }
    decimal
}

/// Things in brackets, with commas.
pub(super) fn list<T: fmt::Display>(things: impl IntoIterator<Item = T>) -> String {
    let things: Vec<String> = things.into_iter().map(|thing| thing.to_string()).collect();
    format!("({})", things.join(","))
}

/// Words in the format's spelling: in single quotes, those within doubled, and anything past plain ASCII as
/// `\X2\....\X0\`.
pub(super) fn quoted(words: &str) -> String {
    let mut out = String::from("'");
    for ch in words.chars() {
        match ch {
            '\'' => out.push_str("''"),
            '\\' => out.push_str("\\\\"),
            ' '..='~' => out.push(ch),
            _ if ch.is_control() => out.push(' '),
            _ => {
                out.push_str("\\X2\\");
                ch.encode_utf16(&mut [0; 2])
                    .iter()
                    .for_each(|unit| out.push_str(&format!("{unit:04X}")));
                out.push_str("\\X0\\");
            }
        }
    }
    out.push('\'');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_point_and_words_are_plain() {
        assert_eq!(real(3.0), "3.");
        assert_eq!(real(-0.0), "0.");
        assert_eq!(real(-1.25e-9), "-0.00000000125");
        assert_eq!(quoted("Pat's hoe, 25\u{b0}"), "'Pat''s hoe, 25\\X2\\00B0\\X0\\'");
    }
}
